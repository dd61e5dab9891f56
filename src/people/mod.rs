//! Members, their accounts and their access.
