//! One table of all addresses, the shared state and the wiring.
