//! The audit log: who did what to which record, when, and from where.
//!
//! A deed is noted in the transaction that does it, so there is neither a deed without its entry
//! nor an entry without its deed:
//!
//! ```no_run
//! # use borrowed_light::audit::{Subject, note};
//! # use borrowed_light::people::access::SignedIn;
//! # use borrowed_light::store::{StoreError, WriteTx};
//! # async fn example(tx: &mut WriteTx, who: &SignedIn, loan: i64) -> Result<(), StoreError> {
//! note(tx, &who.actor(), "loan handed over", Subject::of("loan", loan), "4 pieces").await
//! # }
//! ```
//!
//! No password, token, link or measure of anybody's eyes belongs in an entry, nor a name: names are
//! looked up when the log is read.

mod actor;
pub mod page;
pub mod pages;
mod read;
mod store;

pub use actor::{Actor, Means, Subject};
pub use read::{Entry, all_about};
pub use store::{ADDRESS_KEPT, LONGEST_DETAIL, note, shorten_old_addresses};
