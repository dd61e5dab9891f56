//! Rules, worth and the proven choice of a kit (pure).
//!
//! One model answers every question the service is asked. A *view* is one eyepiece, with or
//! without a Barlow, in one telescope, for one observer. [`rules`] say whether the observer may
//! use it, [`purpose`] and worth say what for, and [`solve`] finds the kit that no other kit on
//! the shelf beats, with the proof. [`explain`] puts a reason beside every verdict and [`story`]
//! tells a whole kit.
//!
//! No clock, no network, no database, no randomness: time budgets come in as a question ("is it
//! spent?"), and everything else is a value.

pub mod bench;
mod ceiling;
mod choose;
mod dominance;
pub mod explain;
mod judge;
pub mod matrix;
pub mod plan;
pub mod purchase;
pub mod purpose;
pub mod real_sky;
pub mod rules;
mod screen;
mod settings;
pub mod shelf;
pub mod sight;
pub mod solve;
pub mod stations;
pub mod story;
mod worth;

pub use bench::Bench;
pub use rules::{Assessment, Finding, Question, Rule, Standing, SunFilter, Usage, Verdict};
pub use settings::Settings;
pub use shelf::{Answer, Fitted, Kit, Own, Proof, Shelf, ShelfTelescope, Wanted};
pub use solve::Solver;
