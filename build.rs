//! Prepares what the binary carries inside it.

fn main() {}
