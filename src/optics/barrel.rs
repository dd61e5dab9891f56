//! The tube by which an eyepiece is held.

use std::fmt;

use super::quantity::plain;

/// The three barrel diameters in use, narrow to wide.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Barrel {
    /// 24.5 mm (0.965 inches), found on old and small telescopes.
    Narrow,
    /// 31.75 mm (1.25 inches), the usual one.
    Standard,
    /// 50.8 mm (2 inches), for wide fields.
    Wide,
}

/// How far a measured barrel may be from its nominal diameter, mm; common practice, no source.
const TOLERANCE_MM: f64 = 0.3;

impl Barrel {
    /// Every barrel, narrow to wide.
    pub const ALL: [Self; 3] = [Self::Narrow, Self::Standard, Self::Wide];

    /// The nominal diameter in mm.
    pub const fn mm(self) -> f64 {
        match self {
            Self::Narrow => 24.5,
            Self::Standard => 31.75,
            Self::Wide => 50.8,
        }
    }

    /// The widest field stop that such a barrel can hold, in mm; common practice, no source.
    pub const fn largest_field_stop(self) -> f64 {
        match self {
            Self::Narrow => 23.0,
            Self::Standard => 27.5,
            Self::Wide => 46.5,
        }
    }

    /// Whether this barrel goes into a holder made for `holder`. A narrower one does, with an
    /// adapter; a wider one never does.
    pub fn fits_into(self, holder: Self) -> bool {
        self <= holder
    }
}

/// A barrel diameter that is none of the three in use.
#[derive(Debug, Clone, PartialEq)]
pub struct UnknownBarrel {
    /// The diameter that was given, mm.
    pub given: f64,
    /// A question about a likely mistake, such as a diameter in inches.
    pub hint: Option<String>,
}

impl fmt::Display for UnknownBarrel {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("A barrel must be 24.5, 31.75 or 50.8 mm wide")?;
        if self.given.is_finite() {
            write!(f, ", but {} was given", plain(self.given))?;
        }
        f.write_str(".")?;
        match &self.hint {
            Some(hint) => write!(f, " {hint}"),
            None => Ok(()),
        }
    }
}

impl std::error::Error for UnknownBarrel {}

impl TryFrom<f64> for Barrel {
    type Error = UnknownBarrel;

    /// Reads a diameter in mm, give or take 0.3 mm.
    ///
    /// ```
    /// use borrowed_light::optics::Barrel;
    /// assert_eq!(Barrel::try_from(31.7), Ok(Barrel::Standard));
    /// assert_eq!(
    ///     Barrel::try_from(1.25).unwrap_err().to_string(),
    ///     "A barrel must be 24.5, 31.75 or 50.8 mm wide, but 1.25 was given. \
    ///      1.25 inches is 31.75 mm: is that what you meant?"
    /// );
    /// ```
    fn try_from(given: f64) -> Result<Self, UnknownBarrel> {
        let near = |mm: f64| Self::ALL.into_iter().find(|b| (b.mm() - mm).abs() <= TOLERANCE_MM);
        near(given).ok_or_else(|| UnknownBarrel {
            given,
            hint: near(given * 25.4).map(|barrel| {
                let (given, mm) = (plain(given), plain(barrel.mm()));
                format!("{given} inches is {mm} mm: is that what you meant?")
            }),
        })
    }
}
