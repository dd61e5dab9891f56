//! What choosing a kit needs of somebody's eyes, in words: all that others ever see.

use crate::eye::{Glasses, Observer, ReliefLimits};
use crate::optics::ExitPupil;

/// The two facts that choosing needs, rounded so that neither age nor prescription can be read
/// back from them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Needs {
    /// How far the eye has to stand from the glass.
    pub relief: String,
    /// How wide the pupil opens in the dark.
    pub pupil: String,
}

/// A beam as wide as any eye takes: there glasses matter most.
const WIDE: ExitPupil = ExitPupil::computed(7.0);
/// A beam as thin as anybody should be given.
const THIN: ExitPupil = ExitPupil::computed(0.5);

impl Needs {
    /// The needs of this observer.
    ///
    /// ```
    /// use borrowed_light::eye::{Glasses, Observer};
    /// use borrowed_light::optics::Age;
    /// use borrowed_light::profile::needs::Needs;
    ///
    /// let needs = Needs::of(&Observer::person(Age::new(47.0)?, Glasses::None));
    /// assert_eq!(needs.relief, "15 mm of eye relief or more; 13 mm at the very least.");
    /// # Ok::<(), borrowed_light::optics::OutOfRange>(())
    /// ```
    #[must_use]
    pub fn of(observer: &Observer) -> Self {
        let limits = ReliefLimits::default();
        let wide = observer.relief_needed(WIDE, &limits);
        let thin = observer.relief_needed(THIN, &limits);
        let whole = |mm: f64| format!("{:.0} mm", mm.ceil());
        let mut relief = format!(
            "{} of eye relief or more; {} at the very least.",
            whole(wide.comfortable.mm()),
            whole(wide.floor.mm())
        );
        if thin.comfortable < wide.comfortable {
            let enough = whole(thin.comfortable.mm());
            relief = format!("{relief} At the highest powers {enough} is enough.");
        }
        if observer.glasses == Glasses::NotKnown {
            relief =
                format!("{relief} Whether glasses stay on is not known, so we count with them.");
        }
        let pupil = if observer.pupil_is_known() {
            let range = observer.pupil();
            format!(
                "Opens to about {:.0} to {:.0} mm in the dark.",
                range.low.mm(),
                range.high.mm()
            )
        } else {
            "Not known, so we count with that of an old eye.".into()
        };
        Self { relief, pupil }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::eye::Prescription;
    use crate::optics::{Age, Cylinder, EyeRelief, PupilDiameter};

    fn person(years: f64, glasses: Glasses) -> Observer {
        Observer::person(Age::new(years).unwrap(), glasses)
    }

    #[test]
    fn glasses_that_stay_on_ask_for_more_and_a_known_cylinder_for_less_at_high_powers() {
        let on = person(52.0, Glasses::KeepsOn);
        assert!(Needs::of(&on).relief.starts_with("20 mm of eye relief or more; 16 mm"));
        assert!(!Needs::of(&on).relief.contains("highest powers"));
        let cylinder = Cylinder::new(-1.0).ok();
        let known = Observer { prescription: Prescription { sphere: None, cylinder }, ..on };
        assert!(Needs::of(&known).relief.contains("At the highest powers 15 mm is enough."));
        let unknown = person(52.0, Glasses::NotKnown);
        assert!(Needs::of(&unknown).relief.contains("is not known"));
        let floor = Observer { relief_floor: EyeRelief::new(22.0).ok(), ..known };
        assert!(Needs::of(&floor).relief.starts_with("22 mm"), "one's own floor counts");
    }

    #[test]
    fn ages_years_apart_have_the_same_words_and_a_measurement_is_rounded() {
        let words = |years| Needs::of(&person(years, Glasses::None)).pupil;
        assert_eq!(words(45.0), words(46.0));
        assert_ne!(words(20.0), words(80.0));
        let measured = PupilDiameter::new(6.43).ok();
        let needs =
            Needs::of(&Observer { measured_pupil: measured, ..person(45.0, Glasses::None) });
        assert_eq!(needs.pupil, "Opens to about 6 to 7 mm in the dark.");
    }
}
