//! What is much like a piece, for whoever would take either. Pure.
//!
//! How near is near is our own choice: a sixth in focal length or factor is less than the step from
//! one eyepiece of a set to the next.
//!
//! Accessories and telescopes are waited for by name: a club has one or two of a sort. When a piece
//! is swapped at the hand-over, accessories of the same sort and barrel are offered
//! (`choosing/replacement.rs`).

use crate::shelf::{ItemId, Shelf};

/// The most that two figures may differ, as a factor.
const NEAR: f64 = 1.0 + 1.0 / 6.0;

fn near(a: f64, b: f64) -> bool {
    a / b <= NEAR && b / a <= NEAR
}

/// Whether a piece would do in place of another: eyepieces of nearly the same focal length for the
/// same barrel, Barlows of nearly the same factor, filters of the same sort. A piece is like itself.
#[must_use]
pub fn is_like(shelf: &Shelf, piece: ItemId, other: ItemId) -> bool {
    if piece == other {
        return true;
    }
    let eyepiece = |id: ItemId| shelf.eyepieces.iter().find(|item| item.id == id);
    if let (Some(a), Some(b)) = (eyepiece(piece), eyepiece(other)) {
        let (a, b) = (&a.figures, &b.figures);
        return a.barrel() == b.barrel() && near(a.focal_length().mm(), b.focal_length().mm());
    }
    let barlow = |id: ItemId| shelf.barlows.iter().find(|item| item.id == id);
    if let (Some(a), Some(b)) = (barlow(piece), barlow(other)) {
        let (a, b) = (&a.figures, &b.figures);
        return a.barrel == b.barrel && near(a.factor.times(), b.factor.times());
    }
    let filter = |id: ItemId| shelf.filters.iter().find(|item| item.id == id);
    if let (Some(a), Some(b)) = (filter(piece), filter(other)) {
        let (a, b) = (&a.figures, &b.figures);
        return a.kind == b.kind && a.barrel == b.barrel && a.fits_telescope == b.fits_telescope;
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sixth_is_near_and_a_fifth_is_not() {
        assert!(near(24.0, 28.0) && near(28.0, 24.0));
        assert!(!near(20.0, 24.0) && !near(24.0, 20.0));
    }
}
