//! Nights, reservations and loans.

pub mod cautions;
pub mod cautions_page;
