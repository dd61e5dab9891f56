//! The plan for a reservation's or a kit's nights: what to look at, when, through which eyepiece.

mod field_picture;
mod kit;
mod page;
pub mod pages;
#[cfg(test)]
pub(crate) mod samples;
mod shown;
mod timeline;
mod words;

pub use shown::{NightShown, StopShown};
pub use words::direction;
