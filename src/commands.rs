//! What each command of the binary does.
