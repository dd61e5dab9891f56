//! The invented demo club.
