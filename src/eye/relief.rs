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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{
        eye::Prescription,
        optics::{Age, Cylinder},
    };

    fn observer(glasses: Glasses, cylinder: Option<f64>) -> Observer {
        let cylinder = cylinder.map(|c| Cylinder::new(c).unwrap());
        Observer {
            prescription: Prescription { sphere: None, cylinder },
            ..Observer::person(Age::new(50.0).unwrap(), glasses)
        }
    }

    fn needed(observer: &Observer, exit_pupil: f64) -> (f64, f64, ReliefReason) {
        let need =
            relief_needed(observer, ExitPupil::computed(exit_pupil), &ReliefLimits::default());
        (need.comfortable.mm(), need.floor.mm(), need.reason)
    }

    #[test]
    fn a_bare_eye_needs_fifteen_and_bears_thirteen() {
        for glasses in [Glasses::None, Glasses::TakesOff] {
            assert_eq!(needed(&observer(glasses, None), 4.0), (15.0, 13.0, ReliefReason::BareEye));
        }
    }

    #[test]
    fn glasses_that_stay_on_need_room() {
        let wide = needed(&observer(Glasses::KeepsOn, Some(1.0)), 4.0);
        assert_eq!(wide, (20.0, 16.0, ReliefReason::GlassesOn));
    }

    #[test]
    fn an_unknown_prescription_never_lets_the_glasses_come_off() {
        for exit_pupil in [0.1, 1.0, 6.0] {
            assert_eq!(
                needed(&observer(Glasses::KeepsOn, None), exit_pupil),
                (20.0, 16.0, ReliefReason::PrescriptionNotKnown)
            );
        }
    }

    #[test]
    fn a_narrow_beam_lets_the_glasses_come_off() {
        let (comfortable, floor, reason) = needed(&observer(Glasses::KeepsOn, Some(1.0)), 1.0);
        assert_eq!((comfortable, floor), (15.0, 13.0));
        assert!(matches!(reason, ReliefReason::CylinderHidden { .. }));
        let spherical = needed(&observer(Glasses::KeepsOn, Some(0.0)), 6.0);
        assert!(matches!(spherical.2, ReliefReason::CylinderHidden { .. }));
    }

    #[test]
    fn between_the_two_it_is_soft_stars_or_a_long_relief() {
        let (comfortable, floor, reason) = needed(&observer(Glasses::KeepsOn, Some(1.0)), 1.5);
        assert_eq!((comfortable, floor), (20.0, 13.0));
        assert!(matches!(reason, ReliefReason::CylinderNearlyHidden { .. }));
    }

    #[test]
    fn an_own_floor_takes_the_clubs_place_and_never_lowers_comfort() {
        let own = |mm| Observer {
            relief_floor: Some(EyeRelief::new(mm).unwrap()),
            ..observer(Glasses::None, None)
        };
        assert_eq!(needed(&own(8.0), 4.0), (15.0, 8.0, ReliefReason::BareEye));
        assert_eq!(needed(&own(18.0), 4.0), (18.0, 18.0, ReliefReason::BareEye));
    }

    #[test]
    fn anyone_keeps_glasses_on_whatever_the_beam() {
        let anyone = Observer {
            prescription: observer(Glasses::KeepsOn, Some(0.25)).prescription,
            ..Observer::anyone()
        };
        assert_eq!(needed(&anyone, 0.5), (20.0, 16.0, ReliefReason::PrescriptionNotKnown));
    }
}
