//! The server, request guards, problems and the page frame.

pub mod error_page;
pub mod field;
pub mod format;
pub mod frame;
pub mod mark;
