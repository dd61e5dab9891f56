//! The numbers a person may type, each with its unit and its sensible range.
//!
//! A quantity can only be made by `new` (or `TryFrom<f64>`), which refuses what is not a finite
//! number or lies outside the range, in a sentence fit to show. Because nothing but finite
//! numbers get in, quantities have a total order and can be hashed.

use std::fmt;

/// A number outside the range its quantity allows.
///
/// `Display` is one friendly sentence, with a question behind it when the number looks as if it
/// was meant in another unit:
///
/// ```
/// use borrowed_light::optics::Aperture;
/// let refused = Aperture::new(8.0).unwrap_err();
/// assert_eq!(
///     refused.to_string(),
///     "The aperture must be between 30 and 3000 mm, but 8 was given. \
///      8 inches is 203.2 mm: is that what you meant?"
/// );
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct OutOfRange {
    /// The quantity in plain words, such as "aperture".
    pub what: &'static str,
    /// The number that was refused; may be infinite or not a number.
    pub given: f64,
    /// The unit's symbol or name, such as "mm".
    pub unit: &'static str,
    /// The smallest number accepted.
    pub low: f64,
    /// The largest number accepted.
    pub high: f64,
    /// A question about a likely mistake, such as a length in inches.
    pub hint: Option<String>,
}

impl fmt::Display for OutOfRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { what, given, unit, low, high, hint } = self;
        let (low, high) = (plain(*low), plain(*high));
        if given.is_finite() {
            let given = plain(*given);
            write!(
                f,
                "The {what} must be between {low} and {high} {unit}, but {given} was given."
            )?;
        } else {
            write!(f, "The {what} must be a number between {low} and {high} {unit}.")?;
        }
        match hint {
            Some(hint) => write!(f, " {hint}"),
            None => Ok(()),
        }
    }
}

impl std::error::Error for OutOfRange {}

/// A number as a person would write it: no exponent unless it is enormous or tiny.
pub(crate) fn plain(number: f64) -> String {
    let size = number.abs();
    if size != 0.0 && !(1e-5..1e9).contains(&size) {
        format!("{number:e}")
    } else {
        format!("{number}")
    }
}

/// Asks about inches, or metres, when the number would fit the range in that unit.
pub(crate) fn other_unit(given: f64, low: f64, high: f64) -> Option<String> {
    [("inches", 25.4), ("metres", 1000.0)].into_iter().find_map(|(unit, factor)| {
        let converted = given * factor;
        (given < low && (low..=high).contains(&converted)).then(|| {
            // Two decimals are enough to recognise a size by.
            let shown = plain((converted * 100.0).round() / 100.0);
            format!("{} {unit} is {shown} mm: is that what you meant?", plain(given))
        })
    })
}

/// No question to ask: the number is simply out of range.
pub(crate) fn no_hint(_: f64, _: f64, _: f64) -> Option<String> {
    None
}

/// Makes one checked quantity; see the module's words.
macro_rules! quantity {
    (
        $(#[$meta:meta])*
        $name:ident, $accessor:ident, $what:literal, $unit:literal,
        $low:literal ..= $high:literal, $hint:path
    ) => {
        $crate::optics::quantity::quantity! {
            $(#[$meta])*
            $name, $accessor, $what, $unit, $low..=$high, $hint, std::convert::identity
        }
    };
    (
        $(#[$meta:meta])*
        $name:ident, $accessor:ident, $what:literal, $unit:literal,
        $low:literal ..= $high:literal, $hint:path, $tidy:path
    ) => {
        $(#[$meta])*
        #[derive(Clone, Copy)]
        pub struct $name(f64);

        impl $name {
            /// The smallest value accepted.
            pub const LOW: f64 = $low;
            /// The largest value accepted.
            pub const HIGH: f64 = $high;

            #[doc = concat!("Checks a number in ", $unit, ".")]
            ///
            /// # Errors
            #[doc = concat!(
                "[`OutOfRange`](crate::optics::OutOfRange) unless it is finite and between ",
                stringify!($low), " and ", stringify!($high), " ", $unit, "."
            )]
            pub fn new(given: f64) -> Result<Self, $crate::optics::OutOfRange> {
                let tidied: f64 = $tidy(given);
                if ($low..=$high).contains(&tidied) {
                    // Adding zero turns -0 into 0, so that equal numbers have equal bits.
                    Ok(Self(tidied + 0.0))
                } else {
                    Err($crate::optics::OutOfRange {
                        what: $what,
                        given,
                        unit: $unit,
                        low: $low,
                        high: $high,
                        hint: $hint(given, $low, $high),
                    })
                }
            }

            /// A value known when the program is written; a wrong one does not compile in a
            /// constant.
            #[allow(dead_code)]
            pub(crate) const fn known(value: f64) -> Self {
                assert!(value >= $low && value <= $high);
                Self(value)
            }

            #[doc = concat!("The value in ", $unit, ".")]
            pub const fn $accessor(self) -> f64 {
                self.0
            }
        }

        impl TryFrom<f64> for $name {
            type Error = $crate::optics::OutOfRange;
            fn try_from(given: f64) -> Result<Self, Self::Error> {
                Self::new(given)
            }
        }

        impl PartialEq for $name {
            fn eq(&self, other: &Self) -> bool {
                self.0.to_bits() == other.0.to_bits()
            }
        }

        impl Eq for $name {}

        impl std::hash::Hash for $name {
            fn hash<H: std::hash::Hasher>(&self, state: &mut H) {
                self.0.to_bits().hash(state);
            }
        }

        impl PartialOrd for $name {
            fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
                Some(self.cmp(other))
            }
        }

        impl Ord for $name {
            fn cmp(&self, other: &Self) -> std::cmp::Ordering {
                self.0.total_cmp(&other.0)
            }
        }

        impl std::fmt::Debug for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                write!(f, "{}({} {})", stringify!($name), self.0, $unit)
            }
        }
    };
}
pub(crate) use quantity;

quantity! {
    /// The clear diameter of a telescope's lens or mirror, 30–3000 mm.
    Aperture, mm, "aperture", "mm", 30.0..=3000.0, other_unit
}
quantity! {
    /// A telescope's own focal length, without a Barlow, 100–30000 mm.
    TelescopeFocalLength, mm, "telescope's focal length", "mm", 100.0..=30000.0, other_unit
}
quantity! {
    /// An eyepiece's focal length, 1.5–100 mm.
    EyepieceFocalLength, mm, "eyepiece's focal length", "mm", 1.5..=100.0, other_unit
}
quantity! {
    /// The diameter of whatever stands in the middle of the beam, 0–2000 mm.
    Obstruction, mm, "central obstruction", "mm", 0.0..=2000.0, no_hint
}
quantity! {
    /// The diameter of the ring that bounds an eyepiece's field, 1–60 mm.
    FieldStop, mm, "field stop", "mm", 1.0..=60.0, other_unit
}
quantity! {
    /// The angle across an eyepiece's field as the eye sees it, 15–130 degrees.
    ApparentField, deg, "apparent field", "degrees", 15.0..=130.0, no_hint
}
quantity! {
    /// How far behind the last lens the eye stands, 0–60 mm.
    EyeRelief, mm, "eye relief", "mm", 0.0..=60.0, no_hint
}
quantity! {
    /// How many times a Barlow lengthens the telescope's focal length, 1.01–6.
    BarlowFactor, times, "Barlow factor", "times", 1.01..=6.0, no_hint
}
quantity! {
    /// How many times a coma corrector lengthens the focal length, 0.5–2.
    CorrectorFactor, times, "corrector's factor", "times", 0.5..=2.0, no_hint
}
quantity! {
    /// How far a focuser moves inward from where a normal eye focuses, 0–500 mm.
    Travel, mm, "focuser travel", "mm", 0.0..=500.0, no_hint
}
quantity! {
    /// A mass, 1–200000 grams.
    Mass, g, "mass", "grams", 1.0..=200_000.0, no_hint
}
quantity! {
    /// How wide the air smears a star, full width at half maximum, 0.2–15 arcseconds.
    Seeing, arcsec, "seeing", "arcseconds", 0.2..=15.0, no_hint
}
quantity! {
    /// An observer's age, 4–120 years.
    Age, years, "age", "years", 4.0..=120.0, no_hint
}
quantity! {
    /// The sphere of a prescription, −25 to 25 dioptres; negative for near-sight.
    Sphere, dioptres, "sphere", "dioptres", -25.0..=25.0, no_hint
}
quantity! {
    /// The diameter of an eye's pupil as somebody measured it, 1–10 mm.
    PupilDiameter, mm, "measured pupil", "mm", 1.0..=10.0, no_hint
}
quantity! {
    /// The strength of a prescription's cylinder, 0–10 dioptres. Opticians write the same
    /// glasses with either sign, so a minus is dropped on the way in.
    Cylinder, dioptres, "cylinder", "dioptres", 0.0..=10.0, no_hint, f64::abs
}
quantity! {
    /// A declination, −90 to 90 degrees from the celestial equator, north positive.
    Declination, deg, "declination", "degrees", -90.0..=90.0, no_hint
}
quantity! {
    /// A wavelength of visible light, 380–780 nm.
    Wavelength, nm, "wavelength", "nm", 380.0..=780.0, no_hint
}
quantity! {
    /// How far apart the two stars of a double stand in the sky, 0.05–3600 arcseconds.
    Separation, arcsec, "separation", "arcseconds", 0.05..=3600.0, no_hint
}
quantity! {
    /// How wide a blurred star may look in the eyepiece, 60–3600 arcseconds.
    ApparentBlur, arcsec, "apparent blur", "arcseconds", 60.0..=3600.0, no_hint
}
quantity! {
    /// Magnification allowed for each inch (25.4 mm) of aperture, 1–100.
    PowerPerInch, times, "power per inch of aperture", "times", 1.0..=100.0, no_hint
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_not_a_number_is_refused_by_every_range() {
        for given in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            assert!(Aperture::new(given).is_err());
            assert!(Sphere::new(given).is_err());
            assert!(Cylinder::new(given).is_err());
            assert_eq!(
                Mass::new(given).unwrap_err().to_string(),
                "The mass must be a number between 1 and 200000 grams."
            );
        }
    }

    #[test]
    fn the_ends_of_a_range_belong_to_it() {
        assert!(Aperture::new(30.0).is_ok());
        assert!(Aperture::new(3000.0).is_ok());
        assert!(Aperture::new(30.0_f64.next_down()).is_err());
        assert!(Aperture::new(3000.0_f64.next_up()).is_err());
        assert!(Mass::new(0.0).is_err());
    }

    #[test]
    fn a_three_metre_eyepiece_is_refused_without_a_guess() {
        assert_eq!(
            EyepieceFocalLength::new(3000.0).unwrap_err().to_string(),
            "The eyepiece's focal length must be between 1.5 and 100 mm, but 3000 was given."
        );
    }

    #[test]
    fn lengths_that_look_like_inches_or_metres_are_asked_about() {
        let hint = |error: OutOfRange| error.hint.unwrap_or_default();
        let aperture = |given| hint(Aperture::new(given).unwrap_err());
        assert_eq!(aperture(4.5), "4.5 inches is 114.3 mm: is that what you meant?");
        assert_eq!(aperture(0.25), "0.25 metres is 250 mm: is that what you meant?");
        assert_eq!(aperture(-8.0), "");
        assert_eq!(aperture(0.0), "");
        let focal_length = |given| hint(TelescopeFocalLength::new(given).unwrap_err());
        assert_eq!(focal_length(48.0), "48 inches is 1219.2 mm: is that what you meant?");
        assert_eq!(focal_length(1.2), "1.2 metres is 1200 mm: is that what you meant?");
        let eyepiece = |given| hint(EyepieceFocalLength::new(given).unwrap_err());
        assert_eq!(eyepiece(0.5), "0.5 inches is 12.7 mm: is that what you meant?");
    }

    #[test]
    fn a_cylinder_loses_its_sign_and_zero_loses_its_minus() {
        assert_eq!(Cylinder::new(-1.25).unwrap(), Cylinder::new(1.25).unwrap());
        assert!(Cylinder::new(-10.5).is_err());
        assert!(Cylinder::new(-10.5).unwrap_err().given < 0.0);
        assert_eq!(Sphere::new(-0.0).unwrap(), Sphere::new(0.0).unwrap());
    }

    #[test]
    fn enormous_and_tiny_numbers_stay_short_in_a_sentence() {
        assert_eq!(plain(1e300), "1e300");
        assert_eq!(plain(1e-300), "1e-300");
        assert_eq!(plain(0.0), "0");
        assert_eq!(plain(203.2), "203.2");
    }

    #[test]
    fn quantities_order_and_hash_by_value() {
        let mut masses = [300.0, 20.0, 150.0].map(|g| Mass::new(g).unwrap());
        masses.sort();
        assert_eq!(masses, [20.0, 150.0, 300.0].map(|g| Mass::new(g).unwrap()));
        let set = std::collections::HashSet::from([Mass::new(7.0), Mass::new(7.0)].map(Result::ok));
        assert_eq!(set.len(), 1);
    }
}
