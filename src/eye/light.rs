//! How much of the telescope's light passes the pupil, and what stands in the way.

use super::Pupil;
use crate::optics::{Aperture, ExitPupil, Magnification, ObstructionRatio};

/// Nobody is sent beyond an exit pupil of 7 mm; common practice, no source.
pub const WIDEST_EXIT_PUPIL_MM: f64 = 7.0;

/// The lowest power at which no light is lost: `D / min(pupil, 7 mm)`.
pub fn power_floor(aperture: Aperture, pupil: Pupil) -> Magnification {
    Magnification::computed(aperture.mm() / pupil.mm().min(WIDEST_EXIT_PUPIL_MM))
}

/// What becomes of the telescope's beam at the pupil.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Light {
    effective_aperture_mm: f64,
    loss: f64,
    shadow_mm: f64,
    shadow_share: f64,
}

impl Light {
    /// Follows the beam through a pupil (not capped at 7 mm).
    ///
    /// A beam of width x wider than the pupil p stops the telescope down to the aperture
    /// `D·p/x`. Of the light that passes the obstruction ε, the pupil admits
    /// `(p² − (εx)²) / (x² (1 − ε²))`, or nothing when it lies wholly in the shadow εx.
    ///
    /// ```
    /// use borrowed_light::{eye::{Light, dark_pupil}, optics::*};
    /// let telescope = Telescope::new(TelescopeSpec {
    ///     obstruction: Some(Obstruction::new(58.0)?),
    ///     ..TelescopeSpec::new(
    ///         Layout::Newtonian,
    ///         Aperture::new(254.0)?,
    ///         TelescopeFocalLength::new(1200.0)?,
    ///     )
    /// })?;
    /// let eyepiece = Eyepiece::new(EyepieceSpec::new(EyepieceFocalLength::new(31.0)?))?;
    /// let view = View::of(&telescope, &eyepiece, None);
    /// let pupil = dark_pupil(Age::new(65.0)?).typical;
    /// let obstruction = telescope.obstruction_ratio().expect("it was given");
    /// let light = Light::at(telescope.aperture(), view.exit_pupil(), pupil, obstruction);
    /// assert!((light.loss() - 0.24248).abs() < 5e-6);
    /// assert!((light.effective_aperture_mm() - 222.908).abs() < 5e-4);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn at(
        aperture: Aperture,
        exit_pupil: ExitPupil,
        pupil: Pupil,
        obstruction: ObstructionRatio,
    ) -> Self {
        let (beam, pupil, ratio) = (exit_pupil.mm(), pupil.mm(), obstruction.fraction());
        let shadow = ratio * beam;
        let loss = if beam <= pupil {
            0.0
        } else if pupil <= shadow {
            1.0
        } else {
            let admitted = pupil * pupil - shadow * shadow;
            1.0 - admitted / (beam * beam * (1.0 - ratio * ratio))
        };
        Self {
            effective_aperture_mm: effective_aperture_mm(
                aperture,
                exit_pupil,
                Pupil::computed(pupil),
            ),
            loss,
            shadow_mm: shadow,
            shadow_share: if pupil > 0.0 { (shadow / pupil).min(1.0) } else { 1.0 },
        }
    }

    /// The aperture whose light the pupil admits, obstruction left aside, in mm.
    pub const fn effective_aperture_mm(&self) -> f64 {
        self.effective_aperture_mm
    }

    /// The share of the telescope's light that the iris keeps out, 0 to 1.
    pub const fn loss(&self) -> f64 {
        self.loss
    }

    /// The diameter of the obstruction's shadow in the exit pupil, in mm.
    pub const fn shadow_mm(&self) -> f64 {
        self.shadow_mm
    }

    /// The shadow's diameter as a share of the pupil's, at most 1.
    pub const fn shadow_share(&self) -> f64 {
        self.shadow_share
    }
}

/// The aperture that the pupil lets through, in mm: `D·p/x`, at most D. Needs no obstruction.
pub fn effective_aperture_mm(aperture: Aperture, exit_pupil: ExitPupil, pupil: Pupil) -> f64 {
    aperture.mm() * (pupil.mm() / exit_pupil.mm()).min(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        eye::dark_pupil,
        optics::{
            Age, Obstruction, Telescope, TelescopeSpec, View,
            testing::{agrees, eyepiece, newtonian},
        },
    };

    fn light(telescope: (f64, f64, f64), focal_length: f64, years: f64) -> (Light, View) {
        let (aperture, length, obstruction) = telescope;
        let telescope = Telescope::new(TelescopeSpec {
            obstruction: Some(Obstruction::new(obstruction).unwrap()),
            ..newtonian(aperture, length)
        })
        .unwrap();
        let view = View::of(&telescope, &eyepiece(focal_length), None);
        let pupil = dark_pupil(Age::new(years).unwrap()).typical;
        let ratio = telescope.obstruction_ratio().unwrap();
        (Light::at(telescope.aperture(), view.exit_pupil(), pupil, ratio), view)
    }

    #[test]
    fn a_beam_wider_than_the_pupil_stops_the_telescope_down() {
        let (wide, _) = light((254.0, 1200.0, 58.0), 31.0, 65.0);
        agrees(wide.loss(), 0.24248, 5);
        agrees(wide.effective_aperture_mm(), 222.908, 3);
        let (wider, view) = light((406.4, 1829.0, 90.0), 40.0, 55.0);
        agrees(view.exit_pupil().mm(), 8.88792, 5);
        agrees(wider.loss(), 0.52721, 5);
        agrees(wider.effective_aperture_mm(), 286.978, 3);
    }

    #[test]
    fn a_beam_that_fits_loses_nothing() {
        let (light, view) = light((254.0, 1200.0, 58.0), 10.0, 65.0);
        agrees(light.loss(), 0.0, 12);
        agrees(light.effective_aperture_mm(), 254.0, 12);
        agrees(light.shadow_mm(), view.exit_pupil().mm() * 58.0 / 254.0, 12);
    }

    #[test]
    fn a_pupil_inside_the_shadow_gets_nothing() {
        let aperture = Aperture::new(200.0).unwrap();
        let ratio = ObstructionRatio::computed(0.5);
        let at =
            |pupil| Light::at(aperture, ExitPupil::computed(8.0), Pupil::computed(pupil), ratio);
        agrees(at(4.0).loss(), 1.0, 12);
        agrees(at(3.0).loss(), 1.0, 12);
        agrees(at(3.0).shadow_share(), 1.0, 12);
        assert!(at(4.1).loss() < 1.0);
        agrees(at(8.0 - 1e-12).loss(), 0.0, 9);
    }

    #[test]
    fn nobody_is_sent_beyond_seven_millimetres() {
        let aperture = Aperture::new(203.0).unwrap();
        agrees(power_floor(aperture, Pupil::computed(8.1)).times(), 29.0, 9);
        agrees(power_floor(aperture, Pupil::computed(5.8)).times(), 35.0, 9);
    }
}
