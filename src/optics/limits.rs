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
    /// Green light, near where the eye sees best by day.
    pub const GREEN: Self = Self::known(550.0);
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
