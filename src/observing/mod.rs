//! The sky over the club's sites: positions and nights for programs.

pub mod night_answer;
pub mod night_api;
pub mod outlook;
pub mod place;
pub mod positions_api;
pub mod sites;
