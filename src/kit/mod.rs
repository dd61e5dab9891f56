//! Rules, worth and the proven choice of a kit (pure).
