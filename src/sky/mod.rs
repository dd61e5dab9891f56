//! The sky over a place (pure): where things stand, when they rise, how dark it gets, what shows.
//!
//! [`Instant`] and [`Site`] go in; [`Sighting`]s and [`Night`]s come out. No clock: instants are
//! arguments, and a night is a stretch between two instants that somebody with a calendar made.
//!
//! Earth, Sun, Moon, precession and nutation come from the published models of the International
//! Astronomical Union (`sofars`), the planets from VSOP87 (`vsop87`). Positions are apparent
//! (light-time, aberration, true equator and equinox of date) and topocentric, altitudes airless.

pub mod air;
mod body;
pub mod catalogue;
mod crossing;
mod earth_turning;
mod fixed;
mod frame;
mod horizon;
mod instant;
mod magnitude;
mod night;
mod place;
pub mod seeing_limit;
mod site;
pub mod tonight;
mod track;
mod vector;

pub use body::Body;
pub use crossing::{Crossing, first_crossing};
pub use frame::Frame;
pub use horizon::{Horizon, Skyline};
pub use instant::{Instant, OutOfTime};
pub use night::{Event, MoonEvents, Night, NotDark, Nothing, Stretch, SunEvents};
pub use place::{Direction, Sighting, sighting};
pub use site::{Height, Latitude, Longitude, Site};
pub use track::{Nodes, Track};
