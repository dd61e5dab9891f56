//! The main question: which kit suits this observer, on these nights, and why.
