//! The server, request guards, problems and the page frame. Knows no feature.
//!
//! A request passes through these, outermost first (the order is set in [`crate::app`]):
//! [`request_id`] numbers it, [`headers`] protects its answer, [`visit`] learns what its page's
//! frame needs, [`finish`] gives refusals their face, [`leftovers`] reads what a handler left,
//! [`guard`] keeps other sites out. Handlers read it with [`body`], answer pages with a
//! [`frame::Frame`] from a [`visit::Visit`], and refuse with a [`problem::Problem`].

pub mod body;
pub mod clock;
pub mod error_page;
pub mod field;
pub mod files;
pub mod finish;
pub mod format;
pub mod frame;
pub mod guard;
pub mod headers;
pub(crate) mod json_fault;
pub mod kind_page;
pub mod kinds;
pub mod leftovers;
pub mod mark;
pub mod measures;
pub mod paced;
pub mod problem;
pub mod query;
pub mod refusals;
pub mod request_id;
pub mod resend;
pub mod scheme;
pub mod secret;
pub mod server;
pub mod site;
pub mod tls;
pub mod visit;
pub(crate) mod whole;
