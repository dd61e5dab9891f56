//! The SQLite file: opening, writing, checking. Knows no feature.
//!
//! One writer connection takes its lock at the start of a transaction (`BEGIN IMMEDIATE`), so a
//! transaction that has begun never fails for another's sake; readers stand beside it on a
//! read-only pool. Every commit reaches the disk before it is acknowledged (`synchronous=FULL`).

pub mod backup;
pub mod check;
mod copies;
mod fault;
mod open;

pub use copies::{Copies, copies_in, stamp};
pub use fault::Fault;
pub use open::{Keeping, Size, Store, StoreError, WriteTx};
