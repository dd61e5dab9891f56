//! Who looks through the eyepiece.

use std::ops::RangeInclusive;

use super::{
    Glasses, Prescription, PupilRange, ReliefLimits, ReliefNeed,
    pupil::{PupilSpread, dark_pupil_with_spread},
    relief,
};
use crate::optics::{Age, ExitPupil, EyeRelief, PupilDiameter};

/// Whose eyes are meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Viewers {
    /// One person.
    Person {
        /// Their age.
        age: Age,
    },
    /// One person whose age nobody has written down.
    AgeNotKnown,
    /// Anyone at a public night: 6 to 90 years, glasses on, first time at an eyepiece.
    Anyone,
}

impl Viewers {
    /// The youngest of [`Viewers::Anyone`].
    pub const YOUNGEST: Age = Age::known(6.0);
    /// The oldest of [`Viewers::Anyone`].
    pub const OLDEST: Age = Age::known(90.0);
}

/// Who looks, and what is known of their eyes.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
pub struct Observer {
    /// Whose eyes are meant.
    pub viewers: Viewers,
    /// What happens to glasses.
    pub glasses: Glasses,
    /// The observing eye's prescription; not used for [`Viewers::Anyone`].
    pub prescription: Prescription,
    /// The dark-adapted pupil, if somebody measured it; not used for [`Viewers::Anyone`].
    pub measured_pupil: Option<PupilDiameter>,
    /// The smallest eye relief this observer accepts, if they set one.
    pub relief_floor: Option<EyeRelief>,
}

/// Ages and measurements of eyes are private: `Debug` shows only which are known.
impl std::fmt::Debug for Observer {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Observer")
            .field("anyone", &(self.viewers == Viewers::Anyone))
            .field("age_known", &matches!(self.viewers, Viewers::Person { .. }))
            .field("prescription", &self.prescription)
            .field("pupil_measured", &self.measured_pupil.is_some())
            .finish_non_exhaustive()
    }
}

impl Observer {
    /// A person of whom only the age and the use of glasses are known.
    pub fn person(age: Age, glasses: Glasses) -> Self {
        Self {
            viewers: Viewers::Person { age },
            glasses,
            prescription: Prescription::default(),
            measured_pupil: None,
            relief_floor: None,
        }
    }

    /// Anyone at a public night: 6 to 90 years, glasses stay on, prescription unknown.
    pub fn anyone() -> Self {
        Self {
            viewers: Viewers::Anyone,
            glasses: Glasses::KeepsOn,
            prescription: Prescription::default(),
            measured_pupil: None,
            relief_floor: None,
        }
    }

    /// The prescription that may be relied on: nobody's when anyone may come.
    pub fn prescription(&self) -> Prescription {
        match self.viewers {
            Viewers::Anyone => Prescription::default(),
            Viewers::Person { .. } | Viewers::AgeNotKnown => self.prescription,
        }
    }

    /// How wide the pupil opens under a dark sky.
    ///
    /// A measured pupil beats the formula. For anyone, and for a person of unknown age, the range
    /// spans the oldest pupil's low end to the youngest's high end; what is counted with is
    /// the oldest's typical pupil, so that nobody loses light unawares.
    ///
    /// ```
    /// use borrowed_light::eye::Observer;
    /// let range = Observer::anyone().pupil();
    /// assert!(range.low < range.typical && range.typical < range.high);
    /// assert!(range.clamped);
    /// ```
    pub fn pupil(&self) -> PupilRange {
        self.pupil_with_spread(PupilSpread::BY_AGE)
    }

    /// [`Observer::pupil`] with the club's own spread around the formula.
    pub fn pupil_with_spread(&self, spread: PupilSpread) -> PupilRange {
        match (self.viewers, self.measured_pupil) {
            (Viewers::Person { .. } | Viewers::AgeNotKnown, Some(pupil)) => {
                PupilRange::measured(pupil)
            }
            (Viewers::Person { age }, None) => dark_pupil_with_spread(age, spread),
            (Viewers::AgeNotKnown, None) | (Viewers::Anyone, _) => {
                let oldest = dark_pupil_with_spread(Viewers::OLDEST, spread);
                let youngest = dark_pupil_with_spread(Viewers::YOUNGEST, spread);
                let clamped = self.viewers == Viewers::Anyone;
                PupilRange { high: youngest.high, clamped, ..oldest }
            }
        }
    }

    /// Whether the pupil is known by measurement or at least by age.
    pub fn pupil_is_known(&self) -> bool {
        self.viewers != Viewers::AgeNotKnown || self.measured_pupil.is_some()
    }

    /// The exit pupils in mm that make the image easy to find and hold for children and
    /// first-timers; `None` for a person, who needs no such help. Common practice, no source.
    pub fn wanted_exit_pupil_mm(&self) -> Option<RangeInclusive<f64>> {
        (self.viewers == Viewers::Anyone).then_some(2.0..=5.0)
    }

    /// The eye relief this observer needs at an exit pupil; see
    /// [`relief_needed`](relief::relief_needed).
    pub fn relief_needed(&self, exit_pupil: ExitPupil, limits: &ReliefLimits) -> ReliefNeed {
        relief::relief_needed(self, exit_pupil, limits)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::eye::dark_pupil;

    fn person(years: f64) -> Observer {
        Observer::person(Age::new(years).unwrap(), Glasses::None)
    }

    #[test]
    fn a_persons_pupil_comes_from_age_until_it_is_measured() {
        assert_eq!(person(60.0).pupil(), dark_pupil(Age::new(60.0).unwrap()));
        let measured = PupilDiameter::new(5.0).unwrap();
        let observer = Observer { measured_pupil: Some(measured), ..person(60.0) };
        assert_eq!(observer.pupil(), PupilRange::measured(measured));
    }

    #[test]
    fn anyone_spans_every_age_and_counts_with_the_oldest() {
        let range = Observer::anyone().pupil();
        assert_eq!(range.low, person(90.0).pupil().low);
        assert_eq!(range.typical, person(90.0).pupil().typical);
        assert_eq!(range.high, person(6.0).pupil().high);
        assert!(range.clamped);
        let measured =
            Observer { measured_pupil: PupilDiameter::new(7.9).ok(), ..Observer::anyone() };
        assert_eq!(measured.pupil(), range);
    }

    #[test]
    fn an_unknown_age_is_counted_as_the_oldest_and_admitted() {
        let unknown = Observer { viewers: Viewers::AgeNotKnown, ..person(30.0) };
        assert_eq!(unknown.pupil().typical, Observer::anyone().pupil().typical);
        assert!(!unknown.pupil_is_known());
        let measured = PupilDiameter::new(6.0).unwrap();
        let observer = Observer { measured_pupil: Some(measured), ..unknown };
        assert_eq!(observer.pupil(), PupilRange::measured(measured));
        assert!(observer.pupil_is_known());
    }

    #[test]
    fn only_a_public_night_wants_an_easy_beam() {
        assert_eq!(Observer::anyone().wanted_exit_pupil_mm(), Some(2.0..=5.0));
        assert_eq!(person(9.0).wanted_exit_pupil_mm(), None);
    }

    #[test]
    fn an_observer_keeps_age_and_eyes_out_of_logs() {
        let measured = PupilDiameter::new(6.4).ok();
        let shown = format!("{:?}", Observer { measured_pupil: measured, ..person(61.0) });
        assert!(!shown.contains("61") && !shown.contains("6.4"), "{shown}");
    }
}
