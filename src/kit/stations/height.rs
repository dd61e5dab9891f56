//! How high the eyepiece stands, and who reaches it.
//!
//! A tube turns about an axle at a fixed height, so its eyepiece moves on a circle: at the upper end of
//! a Newtonian it rises with the sine of the altitude, at the lower end of all other layouts it sinks
//! with it. The recorded lowest and highest places are those at the horizon and at the zenith.

use crate::optics::Layout;

/// Eyes of a child of six who stands, mm: a median height of 1,155 mm (WHO growth reference 2007, mean
/// of girls and boys) less 105 mm from the eyes to the crown. From memory.
pub const CHILD_EYE_MM: f64 = 1_050.0;

/// Eyes of a small and of a tall adult who stand, mm: about the 5th percentile of women and the 95th
/// of men. From memory.
pub const ADULT_EYES_MM: [f64; 2] = [1_430.0, 1_750.0];

/// Eyes of adults in a wheelchair, mm: from the lower to the upper end of the usual range. From memory.
pub const SEATED_EYES_MM: [f64; 2] = [960.0, 1_250.0];

/// So far down an adult bends for the length of a look, mm under the eyes of a small one. Common
/// practice, no source.
const BEND_MM: f64 = 250.0;

/// The highest step that a child climbs in the dark with an adult's hand, mm. Common practice, no source.
const CHILD_STEP_MM: f64 = 450.0;

/// The eyepiece's places at the horizon and the zenith, whichever is lower first, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Places {
    /// The lowest.
    pub lowest_mm: f64,
    /// The highest.
    pub highest_mm: f64,
}

/// How high the eyepiece stands with the tube at an altitude, mm; `None` for layouts whose eyepiece
/// may be at either end.
///
/// ```
/// use borrowed_light::kit::stations::height::{Places, height_mm};
/// use borrowed_light::optics::Layout;
/// let places = Places { lowest_mm: 700.0, highest_mm: 1_500.0 };
/// let at_30 = height_mm(Layout::Newtonian, places, 30.0).unwrap();
/// assert!((at_30 - 1_100.0).abs() < 1e-9);
/// ```
#[must_use]
pub fn height_mm(layout: Layout, places: Places, altitude_deg: f64) -> Option<f64> {
    let span = places.highest_mm - places.lowest_mm;
    let up = altitude_deg.clamp(0.0, 90.0).to_radians().sin();
    match layout {
        Layout::Newtonian => Some(places.lowest_mm + span * up),
        Layout::Refractor | Layout::SchmidtCassegrain | Layout::MaksutovCassegrain => {
            Some(places.highest_mm - span * up)
        }
        Layout::Other | Layout::Unknown => None,
    }
}

/// How grown-ups look.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Posture {
    /// On a chair or on their knees.
    Sit,
    /// Standing, the taller ones bent.
    Stand,
    /// The smaller ones on a step.
    SomeStep,
    /// Everybody on a step.
    AllStep,
}

/// Who reaches an eyepiece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reach {
    /// The eyepiece's height, mm.
    pub height_mm: f64,
    /// The step that a child of six needs, mm; none where it stands on the ground.
    pub child_step_mm: Option<f64>,
    /// Whether that step is too high for a child.
    pub beyond_children: bool,
    /// How grown-ups look.
    pub adults: Posture,
    /// Whether somebody in a wheelchair reaches it.
    pub seated: bool,
}

/// Who reaches an eyepiece at a height, mm.
#[must_use]
pub fn reach(height_mm: f64) -> Reach {
    let step = height_mm - CHILD_EYE_MM;
    let [small, tall] = ADULT_EYES_MM;
    let adults = match height_mm {
        low if low < small - BEND_MM => Posture::Sit,
        middle if middle <= small => Posture::Stand,
        high if high <= tall => Posture::SomeStep,
        _ => Posture::AllStep,
    };
    Reach {
        height_mm,
        child_step_mm: (step > 0.0).then_some(step),
        beyond_children: step > CHILD_STEP_MM,
        adults,
        seated: (SEATED_EYES_MM[0]..=SEATED_EYES_MM[1]).contains(&height_mm),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PLACES: Places = Places { lowest_mm: 600.0, highest_mm: 1_800.0 };

    #[test]
    fn an_eyepiece_moves_on_a_circle_about_the_axle() {
        // The eyepiece at the end of an arm of 1,200 mm, turned by the altitude as a vector.
        for degrees in 0..=90 {
            let altitude = f64::from(degrees);
            let (sine, _) = altitude.to_radians().sin_cos();
            let upper = 600.0 + 1_200.0 * sine;
            let newtonian = height_mm(Layout::Newtonian, PLACES, altitude).unwrap();
            assert!((newtonian - upper).abs() < 1e-9);
            // Its ends are mirror images about the axle.
            let refractor = height_mm(Layout::Refractor, PLACES, altitude).unwrap();
            assert!((refractor + newtonian - 2_400.0).abs() < 1e-9);
        }
    }

    #[test]
    fn a_layout_whose_eyepiece_may_be_anywhere_says_nothing() {
        assert_eq!(height_mm(Layout::Unknown, PLACES, 45.0), None);
        assert_eq!(height_mm(Layout::Other, PLACES, 45.0), None);
    }

    #[test]
    fn higher_asks_for_more_and_nobody_sits_where_all_climb() {
        let mut before = reach(0.0);
        for mm in 1..300 {
            let now = reach(f64::from(mm) * 10.0);
            assert!(now.adults >= before.adults);
            assert!(now.child_step_mm >= before.child_step_mm);
            assert!(!(now.seated && now.adults > Posture::Stand));
            before = now;
        }
        assert_eq!(before.adults, Posture::AllStep);
        assert!(before.beyond_children);
        assert_eq!(reach(1_000.0).child_step_mm, None);
        assert!(reach(1_000.0).seated);
        assert_eq!(reach(1_350.0).child_step_mm, Some(300.0));
    }
}
