//! What glass does: powers, fields, limits (pure).
