//! Members, their accounts and their access.

pub mod sign_in_page;
