//! What programs send and get, and how it becomes checked values.
//!
//! A body is read in one pass, straight into core values, so that twenty thousand pieces need
//! little more memory than the pieces themselves. Reading does not stop at the first mistake:
//! every fault is kept with a JSON Pointer (RFC 6901) to its place and a sentence that says what
//! to do. Only a body that is not JSON at all ends the reading.
//!
//! * [`read`] – the reader and the faults it notes; [`cells`] and [`forms`] – flat objects, nested
//!   ones and lists.
//! * [`pieces`] – telescopes, eyepieces, Barlows; [`correctors`] – what goes into telescopes.
//! * [`observers`] – who looks, under which sky, for what.
//! * [`requests`], [`evaluate_request`] – whole bodies.
//! * [`answers`] – what goes back.
//! * [`schemas`] – the bodies as the OpenAPI document describes them.

pub mod answers;
pub mod cells;
pub mod correctors;
pub mod evaluate_request;
pub mod forms;
pub mod observers;
pub mod pieces;
pub mod purchase_request;
pub mod read;
pub mod requests;
pub mod schemas;
pub mod search_request;

#[cfg(test)]
mod tests;

pub use evaluate_request::EvaluateRequest;
pub use pieces::{BarlowIn, EyepieceIn, Id, TelescopeIn};
pub use read::{Fault, Unreadable};
pub use requests::{Explain, SolveRequest};
