//! What to buy next: candidates, the choice under a budget, and the report on it.

pub mod api;
pub mod candidate;
pub mod candidate_page;
pub mod candidate_pages;
mod candidate_preview;
pub mod candidate_store;
mod classes;
mod cover;
pub mod facts;
mod history;
pub mod job_store;
mod mine;
pub mod mine_pages;
pub mod page;
pub mod pages;
mod paper;
pub mod report;
#[cfg(test)]
pub(crate) mod samples;
pub mod solve_api;
pub mod work;
pub mod worker;
