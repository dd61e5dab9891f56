//! The sky over the club's sites: positions and nights for programs.

pub mod night_answer;
pub mod night_api;
pub mod place;
pub mod positions_api;
