//! How much power the aperture and the air allow, and how fine a detail they show.

pub use super::quantity::{ApparentBlur, PowerPerInch, Separation, Wavelength};
use super::{Aperture, Magnification, Resolution, Seeing};

const INCH_MM: f64 = 25.4;

impl PowerPerInch {
    /// What most nights bear at the most; common practice, no source.
    pub const MOST_NIGHTS: Self = Self::known(25.0);
    /// What a rare excellent night bears; common practice, no source.
    pub const EXCELLENT_NIGHTS: Self = Self::known(40.0);
}

impl ApparentBlur {
    /// A blurred star this wide still looks sharp enough; common practice, no source.
    pub const COMFORTABLE: Self = Self::known(600.0);
    /// Beyond this nothing is gained; common practice, no source.
    pub const LAST: Self = Self::known(1000.0);
}

impl Wavelength {
    /// Green light, the usual wavelength for stating a telescope's quality.
    pub const GREEN: Self = Self::known(550.0);
    /// Where the eye sees best by day: the peak of the CIE photopic luminous efficiency.
    pub const PHOTOPIC_PEAK: Self = Self::known(555.0);
}

/// The highest useful magnification for an aperture: so many times for each 25.4 mm.
pub fn power_ceiling(aperture: Aperture, per_inch: PowerPerInch) -> Magnification {
    Magnification::computed(aperture.mm() / INCH_MM * per_inch.times())
}

/// The magnification at which the smeared disc of a star looks `blur` wide.
pub fn seeing_limited_power(seeing: Seeing, blur: ApparentBlur) -> Magnification {
    Magnification::computed(blur.arcsec() / seeing.arcsec())
}

/// Dawes's rule for two equal stars of middling brightness: `116 / D` arcseconds with the
/// aperture in mm.
pub fn dawes_limit(aperture: Aperture) -> Resolution {
    Resolution::computed(116.0 / aperture.mm())
}

/// Rayleigh's criterion: one star on the other's first dark ring, `1.22 λ / D`.
pub fn rayleigh_limit(aperture: Aperture, wavelength: Wavelength) -> Resolution {
    let radians = 1.22 * wavelength.nm() * 1e-6 / aperture.mm();
    Resolution::computed(radians.to_degrees() * 3600.0)
}

/// How far apart the two stars of a double look in the eyepiece, in arcseconds. The eye splits
/// them comfortably from about 240 to 360; common practice, no source.
pub fn apparent_separation_arcsec(separation: Separation, magnification: Magnification) -> f64 {
    separation.arcsec() * magnification.times()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::optics::testing::agrees;

    fn aperture() -> Aperture {
        Aperture::new(203.2).unwrap()
    }

    #[test]
    fn power_follows_aperture() {
        agrees(power_ceiling(aperture(), PowerPerInch::MOST_NIGHTS).times(), 200.0, 9);
        agrees(power_ceiling(aperture(), PowerPerInch::EXCELLENT_NIGHTS).times(), 320.0, 9);
    }

    #[test]
    fn the_air_allows_less_when_it_is_restless() {
        let power = |seeing, blur| seeing_limited_power(Seeing::new(seeing).unwrap(), blur).times();
        agrees(power(2.0, ApparentBlur::COMFORTABLE), 300.0, 9);
        agrees(power(2.0, ApparentBlur::LAST), 500.0, 9);
        agrees(power(4.0, ApparentBlur::COMFORTABLE), 150.0, 9);
    }

    #[test]
    fn resolution_follows_aperture() {
        agrees(dawes_limit(aperture()).arcsec(), 0.57087, 5);
        agrees(rayleigh_limit(aperture(), Wavelength::GREEN).arcsec(), 0.68112, 5);
    }

    #[test]
    fn a_double_star_looks_as_wide_as_power_makes_it() {
        let separation = Separation::new(2.0).unwrap();
        agrees(apparent_separation_arcsec(separation, Magnification::computed(150.0)), 300.0, 9);
    }
}
