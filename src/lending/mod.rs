//! Nights, reservations and loans.

pub mod cautions;
pub mod cautions_page;
pub mod check;
mod model;
mod night;
mod store;
mod table;
#[cfg(test)]
mod tests;

pub use model::{
    Clash, LendingError, NotInService, NotReserved, Origin, Promise, Reservation, ReservationId,
    ReservationState, Wish,
};
pub use night::{Night, Nights, NotANight, NotNights};
pub use store::{cancel, free_items, free_on, promises, reservations, reserve};
pub use table::{
    RESERVATION_COLUMNS, ReservationRow, read_reservations, take_reservations_in,
    write_reservations,
};
