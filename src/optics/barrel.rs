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

impl Barrel {
    /// How far a measured barrel may be from its nominal diameter, in mm; common practice, no
    /// source.
    pub const TOLERANCE_MM: f64 = 0.3;

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
        // The rest lets 24.2 pass although it has no exact binary form.
        let close = Self::TOLERANCE_MM + 1e-9;
        let near = |mm: f64| Self::ALL.into_iter().find(|b| (b.mm() - mm).abs() <= close);
        near(given).ok_or_else(|| UnknownBarrel {
            given,
            hint: near(given * 25.4).map(|barrel| {
                let (given, mm) = (plain(given), plain(barrel.mm()));
                format!("{given} inches is {mm} mm: is that what you meant?")
            }),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_barrel_is_read_with_its_tolerance() {
        for (given, barrel) in [
            (24.5, Barrel::Narrow),
            (24.2, Barrel::Narrow),
            (32.0, Barrel::Standard),
            (31.75, Barrel::Standard),
            (50.8, Barrel::Wide),
            (51.0, Barrel::Wide),
        ] {
            assert_eq!(Barrel::try_from(given), Ok(barrel));
        }
        for given in [0.0, -31.75, 28.0, 36.4, 60.0, 1e9] {
            assert_eq!(Barrel::try_from(given).unwrap_err().hint, None);
        }
    }

    #[test]
    fn a_barrel_in_inches_is_asked_about_and_nonsense_is_not() {
        let said = |given: f64| Barrel::try_from(given).unwrap_err().to_string();
        assert!(said(2.0).ends_with("2 inches is 50.8 mm: is that what you meant?"));
        assert!(said(0.965).ends_with("0.965 inches is 24.5 mm: is that what you meant?"));
        assert_eq!(said(f64::NAN), "A barrel must be 24.5, 31.75 or 50.8 mm wide.");
    }

    #[test]
    fn a_narrow_barrel_goes_into_a_wide_holder_and_never_the_other_way() {
        for (i, barrel) in Barrel::ALL.into_iter().enumerate() {
            for (j, holder) in Barrel::ALL.into_iter().enumerate() {
                assert_eq!(barrel.fits_into(holder), i <= j);
            }
            assert!(barrel.largest_field_stop() < barrel.mm());
        }
    }
}
