//! Public nights: a date and a place become a plan of stations, with everything to print for it.

pub mod after;
pub mod after_pages;
pub mod aim;
pub mod answers;
pub mod api;
pub mod edit_page;
pub mod edit_pages;
mod form;
pub mod gate;
pub mod helper_pages;
pub mod hours;
pub mod keeping;
mod kinds;
pub mod list_page;
mod loads;
pub mod looks;
pub mod model;
pub mod night_page;
pub mod night_pages;
pub mod open_pages;
pub mod print_page;
pub mod print_pages;
pub mod priority_pages;
mod runs;
#[cfg(test)]
pub(crate) mod samples;
pub mod shown;
pub mod station_page;
pub mod station_pages;
mod station_store;
pub mod step_pages;
pub mod store;
pub mod wire;
