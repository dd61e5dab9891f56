//! The main question: which kit suits this observer, on these nights, and why.

pub mod answer_page;
pub mod api;
pub mod ask_form;
pub mod ask_page;
pub mod card_pages;
mod card_pdf;
pub mod club_shelf;
pub mod desk;
pub mod discreet;
pub mod evaluation;
pub mod labels;
mod marks;
mod nights;
pub mod nights_pages;
pub mod pages;
mod power_drawing;
pub mod power_picture;
mod power_scale;
pub mod present;
mod present_pieces;
pub mod reading_page;
pub mod rejection;
pub mod replacement;
#[cfg(test)]
pub(crate) mod samples;
pub mod search;
pub mod search_api;
pub mod solution;
pub mod telescope_page;
pub mod telescope_pages;
pub mod telling;
pub mod wire;
mod without;
pub mod wording;
pub mod written_matrix;
