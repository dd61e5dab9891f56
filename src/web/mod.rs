//! The server, request guards, problems and the page frame.

pub mod frame;
