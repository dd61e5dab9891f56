//! Numbers that only come out of other numbers, never from a keyboard.
//!
//! They are made inside this crate alone, so that a magnification is always one that some
//! telescope and eyepiece really give.

use super::{Declination, view::SIDEREAL_RATE_ARCSEC_PER_S};

/// Makes one computed quantity with a crate-private constructor.
macro_rules! computed {
    ($(#[$meta:meta])* $name:ident, $accessor:ident, $unit:literal) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            #[allow(dead_code)]
            pub(crate) const fn computed(value: f64) -> Self {
                Self(value)
            }

            #[doc = concat!("The value in ", $unit, ".")]
            pub const fn $accessor(self) -> f64 {
                self.0
            }
        }
    };
}
pub(crate) use computed;

computed! {
    /// How many times larger things look than to the bare eye.
    Magnification, times, "times"
}
computed! {
    /// The diameter of the beam that leaves the eyepiece.
    ExitPupil, mm, "mm"
}
computed! {
    /// A telescope's focal length with whatever lengthens it.
    EffectiveFocalLength, mm, "mm"
}
computed! {
    /// Focal length over aperture: the number after "f/".
    FocalRatio, number, "focal lengths per aperture"
}
computed! {
    /// How long a star on the celestial sphere takes to cross the field when nothing follows it.
    DriftTime, s, "seconds"
}
computed! {
    /// The smallest angle two stars may have and still show as two.
    Resolution, arcsec, "arcseconds"
}
computed! {
    /// The central obstruction's diameter as a share of the aperture's, at least 0 and below 1.
    ObstructionRatio, fraction, "parts of the aperture's diameter"
}

impl ObstructionRatio {
    /// Nothing stands in the beam.
    pub const CLEAR: Self = Self(0.0);
}

/// What a true field was computed from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum FieldBasis {
    /// The field stop's diameter: exact.
    FieldStop,
    /// The apparent field over the magnification: overstates wide eyepieces with distortion.
    ApparentField,
}

/// The angle of sky seen at once.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct TrueField {
    deg: f64,
    basis: FieldBasis,
}

impl TrueField {
    pub(crate) const fn computed(deg: f64, basis: FieldBasis) -> Self {
        Self { deg, basis }
    }

    /// The angle in degrees.
    pub const fn deg(self) -> f64 {
        self.deg
    }

    /// What the angle was computed from.
    pub const fn basis(self) -> FieldBasis {
        self.basis
    }

    /// How long a star on the celestial equator takes through the middle of the field.
    pub fn drift_on_equator(self) -> DriftTime {
        DriftTime(self.deg * 3600.0 / SIDEREAL_RATE_ARCSEC_PER_S)
    }

    /// How long a star at this declination takes through the middle of the field:
    /// `field / (15.04107″/s · cos δ)`. Grows without bound toward the poles.
    pub fn drift(self, declination: Declination) -> DriftTime {
        DriftTime(self.drift_on_equator().0 / declination.deg().to_radians().cos())
    }
}
