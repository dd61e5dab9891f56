//! How wide the pupil opens.
//!
//! The formula is Watson & Yellott 2012, "A unified formula for light-adapted pupil size",
//! Journal of Vision 12(10):12, equation 21, which builds on Stanley & Davies 1995. People of one
//! age differ by millimetres, so what is shown is a range, never one number.

use crate::optics::{
    Age, PupilDiameter,
    quantity::{no_hint, quantity},
};

quantity! {
    /// How bright the field is that the eye looks at, 0.00001–100000 cd/m².
    Luminance, cd_per_m2, "luminance", "cd/m²", 1e-5..=1e5, no_hint
}
quantity! {
    /// How large that field is, 0.001–20627 square degrees (half of all directions).
    FieldArea, deg2, "field's area", "square degrees", 1e-3..=20627.0, no_hint
}
quantity! {
    /// How far the low and the high pupil lie from the typical one, 0–3 mm.
    PupilSpread, mm, "pupil's spread", "mm", 0.0..=3.0, no_hint
}

impl Luminance {
    /// A dark sky seen through an eyepiece.
    pub const DARK_SKY: Self = Self::known(1e-3);
}

impl FieldArea {
    /// A round field, by its diameter.
    ///
    /// # Errors
    /// [`OutOfRange`](crate::optics::OutOfRange) when the area is outside the range.
    pub fn round(diameter_deg: f64) -> Result<Self, crate::optics::OutOfRange> {
        Self::new(std::f64::consts::PI * (diameter_deg / 2.0).powi(2))
    }

    /// A 60° round field, a common eyepiece's.
    pub const ROUND_60_DEG: Self = Self::known(std::f64::consts::PI * 30.0 * 30.0);
}

impl PupilSpread {
    /// The default around the formula: 1 mm covers the decade means of Bradley et al. 2011
    /// (J. Refract. Surg. 27(3):202–207) for ages 20 to 80.
    pub const BY_AGE: Self = Self::known(1.0);
    /// Around a measured pupil, which changes a little from night to night; common practice, no
    /// source.
    pub const MEASURED: Self = Self::known(0.3);
}

/// The youngest age of the formula's data, years.
pub const YOUNGEST_YEARS: f64 = 20.0;
/// The oldest age of the formula's data, years.
pub const OLDEST_YEARS: f64 = 83.0;

/// How many eyes look; the formula's pupil closes as if one eye saw a tenth of the light.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Eyes {
    /// At a telescope.
    One,
    /// At a binocular, or with the bare eyes.
    Two,
}

/// The diameter of an eye's pupil.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Pupil(f64);

impl Pupil {
    pub(crate) const fn computed(mm: f64) -> Self {
        Self(mm)
    }

    /// The diameter in mm.
    pub const fn mm(self) -> f64 {
        self.0
    }
}

impl From<PupilDiameter> for Pupil {
    fn from(measured: PupilDiameter) -> Self {
        Self(measured.mm())
    }
}

/// What is known of a pupil: three diameters and whether the age had to be clamped.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PupilRange {
    /// What a small pupil of that age opens to.
    pub low: Pupil,
    /// What to count with.
    pub typical: Pupil,
    /// What a large pupil of that age opens to.
    pub high: Pupil,
    /// The age lies outside the formula's 20–83 years and was brought to the nearer end.
    pub clamped: bool,
}

impl PupilRange {
    pub(crate) fn around(typical: Pupil, spread: PupilSpread, clamped: bool) -> Self {
        Self {
            low: Pupil((typical.0 - spread.mm()).max(0.0)),
            typical,
            high: Pupil(typical.0 + spread.mm()),
            clamped,
        }
    }

    /// By day, whatever the age: 2 to 3 mm; common practice, no source.
    pub fn by_day() -> Self {
        Self { low: Pupil(2.0), typical: Pupil(2.5), high: Pupil(3.0), clamped: false }
    }

    /// The range around a pupil that somebody measured.
    pub fn measured(pupil: PupilDiameter) -> Self {
        Self::around(pupil.into(), PupilSpread::MEASURED, false)
    }
}

/// The pupil's diameter in light of a given luminance: the whole formula.
///
/// The age counts from 20 to 83 years, the range of the formula's data; outside it the nearer end
/// is taken. Whether that happened, [`is_clamped`] tells.
///
/// ```
/// use borrowed_light::{eye::pupil::*, optics::Age};
/// let pupil = light_adapted_pupil(
///     Luminance::new(1.0)?,
///     FieldArea::round(30.0)?,
///     Eyes::Two,
///     Age::new(45.0)?,
/// );
/// assert!((pupil.mm() - 5.3459).abs() < 5e-5);
/// # Ok::<(), borrowed_light::optics::OutOfRange>(())
/// ```
pub fn light_adapted_pupil(luminance: Luminance, area: FieldArea, eyes: Eyes, age: Age) -> Pupil {
    let attenuation = match eyes {
        Eyes::One => 0.1,
        Eyes::Two => 1.0,
    };
    let q = (luminance.cd_per_m2() * area.deg2() * attenuation / 846.0).powf(0.41);
    let stanley_davies = 7.75 - 5.75 * q / (q + 2.0);
    let years = age.years().clamp(YOUNGEST_YEARS, OLDEST_YEARS);
    Pupil(stanley_davies + (years - 28.58) * (0.02132 - 0.009_562 * stanley_davies))
}

/// Whether an age lies outside the formula's data.
pub fn is_clamped(age: Age) -> bool {
    !(YOUNGEST_YEARS..=OLDEST_YEARS).contains(&age.years())
}

/// How wide the pupil of an observer opens at the eyepiece under a dark sky: one eye, a 60° round
/// field of 0.001 cd/m².
///
/// The formula's data begin at 20 years. Six people of 18 and 19 years measured 6.85 mm on average
/// (Bradley et al. 2011), just under this range's low end; `clamped` warns of such ages.
///
/// ```
/// use borrowed_light::{eye::dark_pupil, optics::Age};
/// let range = dark_pupil(Age::new(60.0)?);
/// assert!((range.typical.mm() - 6.0173).abs() < 5e-5);
/// assert!((range.low.mm() - 5.0173).abs() < 5e-5);
/// assert!(!range.clamped);
/// # Ok::<(), borrowed_light::optics::OutOfRange>(())
/// ```
pub fn dark_pupil(age: Age) -> PupilRange {
    dark_pupil_with_spread(age, PupilSpread::BY_AGE)
}

/// [`dark_pupil`] with the club's own spread.
pub fn dark_pupil_with_spread(age: Age, spread: PupilSpread) -> PupilRange {
    let typical = light_adapted_pupil(Luminance::DARK_SKY, FieldArea::ROUND_60_DEG, Eyes::One, age);
    PupilRange::around(typical, spread, is_clamped(age))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::optics::testing::agrees;

    fn age(years: f64) -> Age {
        Age::new(years).unwrap()
    }

    fn at(luminance: f64, eyes: Eyes, years: f64) -> f64 {
        let luminance = Luminance::new(luminance).unwrap();
        light_adapted_pupil(luminance, FieldArea::ROUND_60_DEG, eyes, age(years)).mm()
    }

    #[test]
    fn the_dark_pupil_shrinks_with_age_as_the_formula_says() {
        for (years, mm) in [
            (20.0, 8.0882),
            (30.0, 7.5705),
            (40.0, 7.0527),
            (50.0, 6.5350),
            (60.0, 6.0173),
            (70.0, 5.4996),
            (80.0, 4.9819),
        ] {
            let range = dark_pupil(age(years));
            agrees(range.typical.mm(), mm, 4);
            agrees(range.low.mm(), mm - 1.0, 4);
            agrees(range.high.mm(), mm + 1.0, 4);
            assert!(!range.clamped);
        }
        agrees(dark_pupil(age(65.0)).typical.mm(), 5.75845, 5);
    }

    #[test]
    fn light_closes_the_pupil_and_a_second_eye_counts_as_more_light() {
        agrees(at(1.0, Eyes::One, 30.0), 6.3032, 4);
        agrees(at(1.0, Eyes::One, 60.0), 5.1186, 4);
        agrees(at(100.0, Eyes::One, 30.0), 3.8282, 4);
        agrees(at(1e-3, Eyes::Two, 30.0), 7.4138, 4);
        let round_30 = FieldArea::round(30.0).unwrap();
        let luminance = Luminance::new(1.0).unwrap();
        agrees(light_adapted_pupil(luminance, round_30, Eyes::Two, age(45.0)).mm(), 5.3459, 4);
    }

    #[test]
    fn ages_outside_the_data_take_the_nearer_end_and_say_so() {
        for (outside, end) in [(6.0, 20.0), (19.9, 20.0), (83.1, 83.0), (120.0, 83.0)] {
            let range = dark_pupil(age(outside));
            assert!(range.clamped);
            agrees(range.typical.mm(), dark_pupil(age(end)).typical.mm(), 12);
        }
        assert!(!is_clamped(age(20.0)) && !is_clamped(age(83.0)));
    }

    #[test]
    fn a_measured_pupil_stands_with_a_little_room() {
        let range = PupilRange::measured(PupilDiameter::new(6.2).unwrap());
        agrees(range.low.mm(), 5.9, 9);
        agrees(range.typical.mm(), 6.2, 9);
        agrees(range.high.mm(), 6.5, 9);
        assert!(!range.clamped);
    }
}
