//! The faintest star.

use super::Pupil;
use crate::optics::{
    Aperture, ExitPupil,
    quantity::{no_hint, quantity},
};

quantity! {
    /// The faintest star the bare eye sees at this place, magnitude 0–8.5.
    NakedEyeLimit, mag, "naked-eye limit", "magnitudes", 0.0..=8.5, no_hint
}
quantity! {
    /// The share of the light that glass and mirrors let pass, 0.05–1.
    Transmission, fraction, "transmission", "parts of the light", 0.05..=1.0, no_hint
}

/// The magnitude of the faintest star in the eyepiece, by light grasp alone:
/// `naked-eye limit + 5 log₁₀(D_eff / p) + 2.5 log₁₀(transmission)`.
///
/// It leaves out that power darkens the sky behind the star, so it is a floor at high power.
pub fn limiting_magnitude_by_grasp(
    naked_eye: NakedEyeLimit,
    aperture: Aperture,
    exit_pupil: ExitPupil,
    pupil: Pupil,
    transmission: Transmission,
) -> f64 {
    let effective = super::light::effective_aperture_mm(aperture, exit_pupil, pupil);
    naked_eye.mag() + 5.0 * (effective / pupil.mm()).log10() + 2.5 * transmission.fraction().log10()
}
