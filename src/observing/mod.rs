//! The sky over the club's sites: where it observes, what its nights are like, positions and nights
//! for programs.

pub mod coordinate;
pub mod night_answer;
pub mod night_api;
pub mod outlook;
pub mod place;
pub mod plan;
pub mod positions_api;
mod site;
pub mod site_form;
pub mod site_page;
pub mod site_pages;
pub mod sites;
pub mod sites_api;
pub mod skyline;
