//! How far behind the eyepiece this observer's eye must stand.

use super::{Astigmatism, Glasses, Observer, cylinder_hiding_exit_pupil};
use crate::optics::{ExitPupil, EyeRelief};

/// The eye reliefs the club counts with; the defaults are common practice, no source.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ReliefLimits {
    /// From here a bare eye is comfortable.
    pub bare_comfortable: EyeRelief,
    /// Below this lashes touch the lens.
    pub bare_floor: EyeRelief,
    /// From here glasses fit between: an eye stands 12–14 mm behind its glasses (the usual vertex
    /// distance in optometry, from memory), and lens and gap need their place.
    pub glasses_comfortable: EyeRelief,
    /// Below this a wearer of glasses sees only the middle of the field.
    pub glasses_floor: EyeRelief,
}

impl Default for ReliefLimits {
    fn default() -> Self {
        Self {
            bare_comfortable: EyeRelief::known(15.0),
            bare_floor: EyeRelief::known(13.0),
            glasses_comfortable: EyeRelief::known(20.0),
            glasses_floor: EyeRelief::known(16.0),
        }
    }
}

/// Why an observer needs the relief they need.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ReliefReason {
    /// The observer looks without glasses.
    BareEye,
    /// Glasses stay on, and the beam is too wide to do without them.
    GlassesOn,
    /// Glasses stay on because nobody knows the prescription.
    PrescriptionNotKnown,
    /// The glasses can come off: the beam is narrower than `hiding`, where the cylinder no longer
    /// blurs.
    CylinderHidden {
        /// The widest exit pupil that hides the cylinder.
        hiding: ExitPupil,
    },
    /// The glasses can come off at the price of slightly soft stars; with glasses on the view
    /// would be crisp but needs `comfortable`.
    CylinderNearlyHidden {
        /// The widest exit pupil that hides the cylinder.
        hiding: ExitPupil,
    },
}

/// The relief an observer needs in one view.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReliefNeed {
    /// From here the view suits.
    pub comfortable: EyeRelief,
    /// From here to `comfortable` it is a compromise; below, unsuitable.
    pub floor: EyeRelief,
    /// Why.
    pub reason: ReliefReason,
}

/// Works out the relief that `observer` needs at an exit pupil.
///
/// An observer's own floor takes the place of the club's for the way they usually look; it never
/// makes the comfortable limit smaller, and moves it up when it is larger.
pub fn relief_needed(
    observer: &Observer,
    exit_pupil: ExitPupil,
    limits: &ReliefLimits,
) -> ReliefNeed {
    let own = observer.relief_floor;
    let need = |comfortable: EyeRelief, floor: EyeRelief, reason| {
        let floor = own.unwrap_or(floor);
        ReliefNeed { comfortable: comfortable.max(floor), floor, reason }
    };
    let bare = |reason| need(limits.bare_comfortable, limits.bare_floor, reason);
    let glasses = |reason| need(limits.glasses_comfortable, limits.glasses_floor, reason);
    if matches!(observer.glasses, Glasses::None | Glasses::TakesOff) {
        return bare(ReliefReason::BareEye);
    }
    let prescription = observer.prescription();
    let hiding = prescription.cylinder.map(cylinder_hiding_exit_pupil);
    match (prescription.astigmatism(exit_pupil), hiding) {
        (Astigmatism::Hidden, Some(hiding)) => bare(ReliefReason::CylinderHidden { hiding }),
        (Astigmatism::Slight, Some(hiding)) => {
            let floor = limits.bare_floor.min(limits.glasses_floor);
            need(limits.glasses_comfortable, floor, ReliefReason::CylinderNearlyHidden { hiding })
        }
        (Astigmatism::Visible, Some(_)) => glasses(ReliefReason::GlassesOn),
        _ => glasses(ReliefReason::PrescriptionNotKnown),
    }
}
