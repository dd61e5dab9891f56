//! The faintest star.
//!
//! Only light grasp is counted. Schaefer 1990 (PASP 102, 212) also models how power darkens the
//! sky, how large the blurred star looks, its colour and the observer's experience; that model
//! belongs here once its constants can be checked against the paper itself.

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
/// `D_eff` is the aperture that the pupil admits. `naked_eye` is what this observer sees with a
/// pupil of `pupil`. Power also darkens the sky behind the star, which is left out here, so higher
/// powers show somewhat fainter stars than this says.
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::optics::testing::agrees;

    fn faintest(aperture: f64, exit_pupil: f64, pupil: f64, transmission: f64) -> f64 {
        limiting_magnitude_by_grasp(
            NakedEyeLimit::new(6.0).unwrap(),
            Aperture::new(aperture).unwrap(),
            ExitPupil::computed(exit_pupil),
            Pupil::computed(pupil),
            Transmission::new(transmission).unwrap(),
        )
    }

    #[test]
    fn ten_times_the_pupil_gains_five_magnitudes() {
        agrees(faintest(70.0, 3.0, 7.0, 1.0), 11.0, 12);
        agrees(faintest(700.0, 3.0, 7.0, 1.0), 16.0, 12);
    }

    #[test]
    fn light_lost_in_glass_or_beside_the_pupil_is_not_gained() {
        agrees(faintest(70.0, 3.0, 7.0, 0.1), 8.5, 12);
        agrees(faintest(140.0, 14.0, 7.0, 1.0), 11.0, 12);
    }
}
