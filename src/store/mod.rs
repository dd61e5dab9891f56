//! The SQLite file: opening, writing, checking. Knows no feature.
//!
//! One writer connection takes its lock at the start of a transaction (`BEGIN IMMEDIATE`), so a
//! transaction that has begun never fails for another's sake; readers stand beside it on
//! connections of their own that refuse to write. Every commit reaches the disk before it is
//! acknowledged (`synchronous=FULL`); one commit may be that of several who wait for it together.

pub mod backup;
pub mod check;
mod copies;
mod error;
mod fault;
mod open;
mod owed;
mod readers;
mod together;
mod trouble;
mod writer;

pub use copies::{Copies, Kept, copies_in, stamp, to_let_go};
pub use error::StoreError;
pub use fault::{Fault, told};
pub use open::{Keeping, Size, Store, WriteTx};
pub use readers::{Readers, Reading};
