//! The service through its front door: a whole application on a temporary database, asked as a
//! browser or a program would ask. Laid out as the addresses are.
#![allow(clippy::unwrap_used, reason = "what a test cannot unwrap has failed it")]

#[path = "../shelves/bodies.rs"]
mod bodies;
mod choosing_api;
mod client;
mod every_address;
mod serving;
#[path = "../shelves/mod.rs"]
mod shelves;
mod static_files;
