//! The service through its front door: a whole application on a temporary database, asked as a
//! browser or a program would ask. Laid out as the addresses are.

mod client;
mod every_address;
mod serving;
mod static_files;
