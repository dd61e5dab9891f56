//! The guide: what the three users do, step by step, and what whoever keeps the machine does.

pub mod pages;
