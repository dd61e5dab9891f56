//! What glasses and a prescription mean at the eyepiece.
//!
//! Near- and far-sight alone are focused out. Astigmatism is not, but a narrow beam hides it.

use crate::optics::{Cylinder, ExitPupil, Sphere, limits::Wavelength};

/// What an observer does with glasses at the eyepiece.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Glasses {
    /// Wears none.
    None,
    /// Wears glasses and takes them off.
    TakesOff,
    /// Wears glasses and keeps them on.
    KeepsOn,
    /// Nobody knows; counted with as if they stayed on.
    NotKnown,
}

impl Glasses {
    /// Every answer a person can give.
    pub const ALL: [Self; 3] = [Self::None, Self::TakesOff, Self::KeepsOn];

    /// The name on the wire and in files.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::None => "none",
            Self::TakesOff => "takes_off",
            Self::KeepsOn => "keeps_on",
            Self::NotKnown => "not_known",
        }
    }

    /// Reads a wire name; `None` when it is not one.
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|glasses| glasses.as_str() == name)
    }
}

/// The observing eye's prescription, as far as it is known.
///
/// Health data: `Debug` shows only which parts are known.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Prescription {
    /// Near- or far-sight.
    pub sphere: Option<Sphere>,
    /// Astigmatism.
    pub cylinder: Option<Cylinder>,
}

impl std::fmt::Debug for Prescription {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Prescription")
            .field("sphere_known", &self.sphere.is_some())
            .field("cylinder_known", &self.cylinder.is_some())
            .finish()
    }
}

/// How much wider than the hiding exit pupil a beam may be before astigmatism spoils the view;
/// common practice, no source.
pub const SLIGHT_BLUR_FACTOR: f64 = 1.5;

/// Whether an eye without its glasses sees its astigmatism in a beam.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Astigmatism {
    /// The cylinder is not known.
    NotKnown,
    /// The beam is narrow enough.
    Hidden,
    /// Up to 1.5 times that: stars are a little soft.
    Slight,
    /// Glasses are needed.
    Visible,
}

impl Prescription {
    /// What this eye's astigmatism does in a beam of this width when the glasses are off.
    pub fn astigmatism(&self, exit_pupil: ExitPupil) -> Astigmatism {
        let Some(cylinder) = self.cylinder else { return Astigmatism::NotKnown };
        let hiding = cylinder_hiding_exit_pupil(cylinder).mm();
        if exit_pupil.mm() <= hiding {
            Astigmatism::Hidden
        } else if exit_pupil.mm() <= SLIGHT_BLUR_FACTOR * hiding {
            Astigmatism::Slight
        } else {
            Astigmatism::Visible
        }
    }
}

/// The widest exit pupil at which a cylinder does not blur the image; infinite for none.
///
/// A cylinder of C dioptres over a pupil of radius r mm bends the wavefront by `C·r²/(4√6)` µm RMS
/// (Zernike astigmatism). Maréchal's λ/14 for green light sets the limit:
/// `2·√(4√6 · λ/14 / C)`.
///
/// ```
/// use borrowed_light::{eye::cylinder_hiding_exit_pupil, optics::Cylinder};
/// let widest = cylinder_hiding_exit_pupil(Cylinder::new(-1.0)?);
/// assert!((widest.mm() - 1.2408).abs() < 5e-5);
/// # Ok::<(), borrowed_light::optics::OutOfRange>(())
/// ```
pub fn cylinder_hiding_exit_pupil(cylinder: Cylinder) -> ExitPupil {
    let limit_um = Wavelength::GREEN.nm() * 1e-3 / 14.0;
    let radius_mm = (4.0 * 6_f64.sqrt() * limit_um / cylinder.dioptres()).sqrt();
    ExitPupil::computed(2.0 * radius_mm)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::optics::testing::agrees;

    fn cylinder(dioptres: f64) -> Cylinder {
        Cylinder::new(dioptres).unwrap()
    }

    #[test]
    fn a_stronger_cylinder_needs_a_narrower_beam() {
        for (dioptres, mm) in [
            (0.25, 2.4817),
            (0.5, 1.7548),
            (0.75, 1.4328),
            (1.0, 1.2408),
            (1.5, 1.0131),
            (2.0, 0.8774),
            (3.0, 0.7164),
        ] {
            agrees(cylinder_hiding_exit_pupil(cylinder(dioptres)).mm(), mm, 4);
            agrees(cylinder_hiding_exit_pupil(cylinder(-dioptres)).mm(), mm, 4);
        }
    }

    #[test]
    fn no_cylinder_sets_no_limit() {
        let widest = cylinder_hiding_exit_pupil(cylinder(0.0)).mm();
        assert!(widest.is_infinite() && widest > 0.0);
    }

    #[test]
    fn astigmatism_is_hidden_then_slight_then_visible() {
        let eye = Prescription { sphere: None, cylinder: Some(cylinder(1.0)) };
        let at = |mm| eye.astigmatism(ExitPupil::computed(mm));
        assert_eq!(at(1.24), Astigmatism::Hidden);
        assert_eq!(at(1.25), Astigmatism::Slight);
        assert_eq!(at(1.86), Astigmatism::Slight);
        assert_eq!(at(1.87), Astigmatism::Visible);
        let unknown = Prescription::default();
        assert_eq!(unknown.astigmatism(ExitPupil::computed(0.5)), Astigmatism::NotKnown);
    }

    #[test]
    fn a_prescription_keeps_its_numbers_out_of_logs() {
        let eye = Prescription {
            sphere: Some(Sphere::new(-3.75).unwrap()),
            cylinder: Some(cylinder(1.25)),
        };
        let shown = format!("{eye:?}");
        assert!(!shown.contains("3.75") && !shown.contains("1.25"), "{shown}");
    }

    #[test]
    fn every_answer_about_glasses_reads_back_its_own_name() {
        for glasses in Glasses::ALL {
            assert_eq!(Glasses::parse(glasses.as_str()), Some(glasses));
        }
        assert_eq!(Glasses::parse("on"), None);
    }
}
