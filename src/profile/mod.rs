//! What belongs to a member: what they say of their eyes, what they own, the tokens they use, and
//! all that is kept of them, to take along or to have forgotten.

pub mod api;
pub mod care_page;
pub mod care_pages;
pub mod data_page;
pub mod data_pages;
pub mod erasure;
pub mod export;
mod export_traces;
pub mod gear;
pub mod gear_entries;
pub mod gear_form;
pub mod gear_page;
pub mod gear_pages;
pub mod gear_store;
pub mod needs;
pub mod observer_form;
pub mod observer_page;
pub mod observer_pages;
pub mod section;
pub mod token_page;
pub mod token_pages;
pub mod whose;

pub use gear::OwnCase;
pub use gear_store::own_case;
