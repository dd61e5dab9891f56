//! Tables of text (RFC 4180) that people edit by hand, read and written cell by cell. Knows no
//! feature.

mod code;

pub use code::{LONGEST_CODE, NotACode};
pub(crate) use code::{check_code, code};
