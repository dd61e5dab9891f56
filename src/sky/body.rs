//! The Sun, the Moon and the planets, and where they are.

use std::fmt;
use std::str::FromStr;

use vsop87::RectangularCoordinates;

use super::frame::{AU_KM, Frame, LIGHT_DAYS_PER_AU};
use super::vector::{Matrix, Vector, difference, length, scaled, sum, turned};

/// A body of the Solar System that an observer looks at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Body {
    /// The Sun: never without a full-aperture front filter.
    Sun,
    /// The Moon.
    Moon,
    /// Mercury.
    Mercury,
    /// Venus.
    Venus,
    /// Mars.
    Mars,
    /// Jupiter.
    Jupiter,
    /// Saturn.
    Saturn,
    /// Uranus.
    Uranus,
    /// Neptune.
    Neptune,
}

impl Body {
    /// All of them, from the Sun outwards.
    pub const ALL: [Self; 9] = [
        Self::Sun,
        Self::Moon,
        Self::Mercury,
        Self::Venus,
        Self::Mars,
        Self::Jupiter,
        Self::Saturn,
        Self::Uranus,
        Self::Neptune,
    ];

    /// The planets.
    pub const PLANETS: [Self; 7] = [
        Self::Mercury,
        Self::Venus,
        Self::Mars,
        Self::Jupiter,
        Self::Saturn,
        Self::Uranus,
        Self::Neptune,
    ];

    /// Its name in lower case, as programs write it.
    #[must_use]
    pub fn id(self) -> &'static str {
        match self {
            Self::Sun => "sun",
            Self::Moon => "moon",
            Self::Mercury => "mercury",
            Self::Venus => "venus",
            Self::Mars => "mars",
            Self::Jupiter => "jupiter",
            Self::Saturn => "saturn",
            Self::Uranus => "uranus",
            Self::Neptune => "neptune",
        }
    }

    /// Its name in a sentence.
    #[must_use]
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Sun => "the Sun",
            Self::Moon => "the Moon",
            Self::Mercury => "Mercury",
            Self::Venus => "Venus",
            Self::Mars => "Mars",
            Self::Jupiter => "Jupiter",
            Self::Saturn => "Saturn",
            Self::Uranus => "Uranus",
            Self::Neptune => "Neptune",
        }
    }

    /// Equatorial radius, km: Archinal et al. 2018, "Report of the IAU Working Group on
    /// Cartographic Coordinates and Rotational Elements: 2015" (Celest. Mech. Dyn. Astr. 130:22);
    /// the Sun's nominal radius from IAU 2015 Resolution B3.
    #[must_use]
    pub fn radius_km(self) -> f64 {
        match self {
            Self::Sun => 695_700.0,
            Self::Moon => 1_737.4,
            Self::Mercury => 2_440.53,
            Self::Venus => 6_051.8,
            Self::Mars => 3_396.19,
            Self::Jupiter => 71_492.0,
            Self::Saturn => 60_268.0,
            Self::Uranus => 25_559.0,
            Self::Neptune => 24_764.0,
        }
    }

    /// Where it appears from the Earth's centre, au, in the axes of date.
    pub(super) fn apparent(self, frame: &Frame) -> Vector {
        self.apparent_of(frame, self.geometric(frame))
    }

    /// The same where [`Body::geometric`] is known already.
    pub(super) fn apparent_of(self, frame: &Frame, geometric: Vector) -> Vector {
        // The Moon moves with the Earth, so that the Earth's motion does not bend its light.
        if self == Self::Moon { frame.of_date(geometric) } else { frame.apparent(geometric) }
    }

    /// Where its arriving light left it, seen from the Earth's centre, au, in the axes of J2000.
    pub(super) fn geometric(self, frame: &Frame) -> Vector {
        let (tt1, tt2) = frame.instant.tt();
        if self == Self::Moon {
            // The series is of the Moon as its light arrives.
            return sofars::eph::moon98(tt1, tt2)[0];
        }
        let from_sun = difference(frame.sun, frame.earth);
        let seen = |light_days: f64| match self.heliocentric(tt1 + tt2 - light_days) {
            Some(helio) => sum(from_sun, helio),
            None => from_sun,
        };
        // Once is enough: the planets move by a ten-thousandth of light's speed, so what is left of
        // the delay moves them by 0.002″.
        seen(length(seen(0.0)) * LIGHT_DAYS_PER_AU)
    }

    /// From the Sun, au, in the axes of J2000; nothing for the Sun and the Moon.
    pub(super) fn heliocentric(self, tt: f64) -> Option<Vector> {
        use vsop87::vsop87a;
        Some(to_equator(match self {
            Self::Sun | Self::Moon => return None,
            Self::Mercury => vsop87a::mercury(tt),
            Self::Venus => vsop87a::venus(tt),
            Self::Mars => vsop87a::mars(tt),
            Self::Jupiter => vsop87a::jupiter(tt),
            Self::Saturn => vsop87a::saturn(tt),
            Self::Uranus => vsop87a::uranus(tt),
            Self::Neptune => vsop87a::neptune(tt),
        }))
    }

    /// The angle it takes at a distance in km, arcseconds across.
    pub(super) fn diameter_arcsec(self, distance_km: f64) -> f64 {
        2.0 * (self.radius_km() / distance_km).min(1.0).asin().to_degrees() * 3600.0
    }
}

impl fmt::Display for Body {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.in_words())
    }
}

/// A name that no body here has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("This is not the Sun, the Moon or a planet from Mercury to Neptune.")]
pub struct NoSuchBody;

impl FromStr for Body {
    type Err = NoSuchBody;

    fn from_str(name: &str) -> Result<Self, NoSuchBody> {
        let same = |body: &&Self| body.id().eq_ignore_ascii_case(name);
        Self::ALL.iter().find(same).copied().ok_or(NoSuchBody)
    }
}

/// From VSOP87's ecliptic of J2000 to the equator of FK5, which lies within 0.02″ of the
/// International Celestial Reference Frame: the rotation given with the theory (Bretagnon &
/// Francou 1988, Astron. Astrophys. 202, 309).
pub(super) fn to_equator(ecliptic: RectangularCoordinates) -> Vector {
    const TURN: Matrix = [
        [1.0, 0.000_000_440_360, -0.000_000_190_919],
        [-0.000_000_479_966, 0.917_482_137_087, -0.397_776_982_902],
        [0.0, 0.397_776_982_902, 0.917_482_137_087],
    ];
    turned(&TURN, [ecliptic.x, ecliptic.y, ecliptic.z])
}

/// Kilometres from astronomical units.
pub(super) fn km(vector_au: Vector) -> Vector {
    scaled(vector_au, AU_KM)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_body_answers_to_its_name() {
        for body in Body::ALL {
            assert_eq!(body.id().parse(), Ok(body));
            assert_eq!(body.id().to_uppercase().parse(), Ok(body));
        }
        assert_eq!("pluto".parse::<Body>(), Err(NoSuchBody));
    }

    /// Astronomical Almanac: at 1 au the Sun's diameter is 2 × 959.63″ (older radius) or, with the
    /// nominal radius of IAU 2015, 2 × 959.22″; the Moon at its mean 384,400 km 1,864.6″.
    #[test]
    fn diameters_are_the_almanacs() {
        assert!((Body::Sun.diameter_arcsec(AU_KM) - 2.0 * 959.22).abs() < 0.1);
        assert!((Body::Moon.diameter_arcsec(384_400.0) - 1_864.6).abs() < 0.5);
    }
}
