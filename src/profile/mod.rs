//! What belongs to a member: what they say of their eyes, what they own, the tokens they use, and
//! all that is kept of them, to take along or to have forgotten.

pub mod section;
pub mod token_page;
pub mod token_pages;
