//! How far the focuser must move for an eye that is near- or far-sighted.

use super::{Barlow, Eyepiece, Sphere};

/// The focuser's movement in mm that focuses out a sphere: `(f/b)² · S / 1000`.
///
/// A far-sighted eye (S positive) wants converging light, a near-sighted one diverging light; the
/// image has to stand `f²·S` before or behind the eyepiece's focus (Newton's lens formula, and
/// the "dioptre movement" of optics dictionaries). A Barlow of factor b lengthens small movements
/// along the axis b² times, and it rides in the focuser together with the eyepiece, so the
/// focuser has to move that much less. Negative is inward: near-sighted observers rack in.
///
/// ```
/// use borrowed_light::optics::{
///     Eyepiece, EyepieceFocalLength, EyepieceSpec, Sphere, focus::focus_shift_mm,
/// };
/// let eyepiece = Eyepiece::new(EyepieceSpec::new(EyepieceFocalLength::new(25.0)?))?;
/// assert_eq!(focus_shift_mm(&eyepiece, None, Sphere::new(-4.0)?), -2.5);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn focus_shift_mm(eyepiece: &Eyepiece, barlow: Option<&Barlow>, sphere: Sphere) -> f64 {
    let factor = barlow.map_or(1.0, |b| b.factor.times());
    (eyepiece.focal_length().mm() / factor).powi(2) * sphere.dioptres() / 1000.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::optics::{
        BarlowFactor,
        testing::{agrees, eyepiece},
    };

    fn shift(focal_length: f64, sphere: f64, factor: Option<f64>) -> f64 {
        let barlow = factor.map(|f| Barlow::new(BarlowFactor::new(f).unwrap()));
        focus_shift_mm(&eyepiece(focal_length), barlow.as_ref(), Sphere::new(sphere).unwrap())
    }

    #[test]
    fn near_sight_racks_inward_by_the_square_of_the_focal_length() {
        agrees(shift(10.0, -4.0, None), -0.4, 12);
        agrees(shift(25.0, -4.0, None), -2.5, 12);
        agrees(shift(40.0, -6.0, None), -9.6, 12);
        agrees(shift(40.0, 6.0, None), 9.6, 12);
    }

    #[test]
    fn a_barlow_saves_travel_by_the_square_of_its_factor() {
        agrees(shift(40.0, -6.0, Some(2.0)), -2.4, 12);
        agrees(shift(40.0, -6.0, Some(3.0)), -9.6 / 9.0, 12);
    }
}
