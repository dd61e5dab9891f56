//! What the observer's eye does with the light (pure).
//!
//! * [`pupil`] – how wide the pupil opens, by age, as a range.
//! * [`light`] – how much of the telescope's light passes that pupil.
//! * [`glasses`] – what a prescription means at the eyepiece.
//! * [`relief`] – how far behind the eyepiece this observer's eye must stand.
//! * [`faint`] – the faintest star.
//! * [`Observer`] – who looks: one person, or anyone at a public night.

pub mod faint;
pub mod glasses;
pub mod light;
mod observer;
pub mod pupil;
pub mod relief;

pub use glasses::{Astigmatism, Glasses, Prescription, cylinder_hiding_exit_pupil};
pub use light::Light;
pub use observer::{Observer, Viewers};
pub use pupil::{Pupil, PupilRange, dark_pupil};
pub use relief::{ReliefLimits, ReliefNeed, ReliefReason};
