//! The club's equipment.
