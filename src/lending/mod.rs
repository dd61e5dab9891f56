//! Nights, reservations and loans.

pub mod cautions;
pub mod cautions_page;
mod night;

pub use night::{Night, Nights, NotANight, NotNights};
