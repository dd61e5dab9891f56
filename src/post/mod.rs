//! The post room: letters to members, written down with their reason and sent by a worker.
//!
//! A feature writes a letter with [`queue`] inside its own transaction, so a letter exists exactly
//! when its reason does. Its key makes one reason give one letter, however often it is queued. The
//! letter is shown on its reader's page at once; where the club has a mail server, [`Worker`] sends
//! it too.
//!
//! **Never twice, never lost.** Before a letter is handed to the mail server, `sending` is written
//! down and on disk. What the server refuses, and what never reached it, is tried again later.
//! Where the answer to the whole letter stays out, for a broken line or an ended process, nobody
//! can know whether it was taken: it becomes `unclear`, is not sent again by itself, and a person
//! decides.
//!
//! ```
//! use borrowed_light::people::MemberId;
//! use borrowed_light::post::{Letter, Message, Reader, Weight};
//!
//! let letter = Letter::about("Your loan is due on Sunday")
//!     .says("The Orchard 8-inch and two eyepieces are due back on Sunday, 7 June.")
//!     .lists(["T-007 The Orchard 8-inch", "E-031 25 mm wide field"])
//!     .leads_to("See your loan", "/mine");
//! let message = Message {
//!     to: Reader::Member(MemberId(7)),
//!     kind: "loan-due",
//!     weight: Weight::Essential,
//!     key: "loan 12 due 2026-06-07".into(),
//!     letter,
//!     not_before: None,
//!     not_after: None,
//! };
//! assert!(message.check().is_ok());
//! ```

mod carrier;
mod desk;
mod envelope;
mod faces;
mod letter;
mod outbox;
pub mod page;
pub mod pages;
mod server;
mod worker;

pub use carrier::{Carried, Post};
pub use desk::{
    Letters, ShownLetter, State, Tally, Troubled, Wanted, forget_account, forget_member,
    in_trouble, is_quiet, leave_it, letters_of, send_again, tally, want,
};
pub use faces::{Opening, html, plain};
pub use letter::{Letter, Message, NotALetter, Part, Reader, Weight};
pub use outbox::{PostError, Queued, queue};
pub use server::{BadMailSettings, MailServer, Outcome, Tls};

pub use worker::{Round, Worker};
