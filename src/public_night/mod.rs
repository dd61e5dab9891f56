//! Public nights: a date and a place become a plan of stations, with everything to print for it.

pub mod aim;
pub mod gate;
pub mod hours;
pub mod keeping;
pub mod model;
mod station_store;
pub mod store;
