//! The main question: which kit suits this observer, on these nights, and why.

pub mod answer_page;
pub mod ask_page;
pub mod labels;
pub mod power_picture;
#[cfg(test)]
pub(crate) mod samples;
