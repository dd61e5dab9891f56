//! Nights, reservations and loans.
