//! The club itself: its name and zone, its tables coming in and going out, and whether all is well.

pub mod check;
pub mod exchange;
#[cfg(test)]
mod exchange_tests;
mod model;
#[cfg(test)]
mod paper_exchange_tests;
mod store;

pub use model::{Club, NoSuchZone, Zone};
pub use store::{ClubError, club, put_club};
