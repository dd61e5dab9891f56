//! How far the focuser must move for an eye that is near- or far-sighted.

use super::{Barlow, Eyepiece, Sphere};

/// The focuser's movement in mm that focuses out a sphere: `(f/b)² · S / 1000`.
///
/// An eye of S dioptres wants light that seems to come from `1/S` metres away, which moves the
/// eyepiece by `f²·S` behind the image it looks at (Newton's lens formula). A Barlow of factor
/// b lengthens movements along the axis b² times, so the focuser has to move that much less.
/// Negative is inward: near-sighted observers rack in.
pub fn focus_shift_mm(eyepiece: &Eyepiece, barlow: Option<&Barlow>, sphere: Sphere) -> f64 {
    let factor = barlow.map_or(1.0, |b| b.factor.times());
    (eyepiece.focal_length().mm() / factor).powi(2) * sphere.dioptres() / 1000.0
}
