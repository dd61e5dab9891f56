//! What the observer's eye does with the light (pure).
