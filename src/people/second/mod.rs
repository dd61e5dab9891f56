//! The second factor: codes of an app that go with the time (TOTP, RFC 6238), and codes on paper
//! for the day the phone is lost.

mod base32;
pub mod code_page;
pub mod code_pages;
pub mod enrol_page;
pub mod enrol_pages;
pub(super) mod half;
mod qr;
mod recovery;
mod store;
mod totp;

pub use qr::Picture;
pub use recovery::RecoveryCode;
pub use store::{Standing, drop_it, standing};
pub use totp::Secret;

use recovery::renew as renew_recovery_codes;
