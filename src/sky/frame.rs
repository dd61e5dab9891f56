//! The frame of one instant: how the Earth stands, moves and turns.

use super::body;
use super::instant::Instant;
use super::site::Site;
use super::vector::{
    Matrix, Vector, difference, direction, dot, length, scaled, sum, turned, unit,
};

/// Kilometres of an astronomical unit, exact: IAU 2012 Resolution B2.
pub(super) const AU_KM: f64 = 149_597_870.7;

/// Days that light takes for one astronomical unit.
pub(super) const LIGHT_DAYS_PER_AU: f64 = 499.004_783_84 / 86_400.0;

/// The turning of the Earth against the moving equinox, rad/s: IAU 2006.
const TURN_RATE: f64 = 7.292_115_855_3e-5;

/// Everything about the Earth that an apparent place needs, at one instant.
#[derive(Debug, Clone)]
pub struct Frame {
    pub(super) instant: Instant,
    /// From the axes of J2000 to the true equator and equinox of date, IAU 2006/2000A.
    to_date: Matrix,
    /// Greenwich apparent sidereal time, rad.
    sidereal: f64,
    /// The Earth's centre from the centre of mass of the Solar System, au.
    pub(super) earth: Vector,
    /// Its velocity as a share of light's.
    velocity: Vector,
    /// The Sun from the centre of mass, au.
    pub(super) sun: Vector,
}

impl Frame {
    /// The frame at an instant.
    #[must_use]
    pub fn at(instant: Instant) -> Self {
        let (tt1, tt2) = instant.tt();
        let (ut1, ut2) = instant.ut1();
        let to_date = sofars::pnp::pnm06a(tt1, tt2);
        let sidereal = sofars::erst::gst06(ut1, ut2, tt1, tt2, &to_date);
        let (about_sun, about_all) =
            sofars::eph::epv00(tt1, tt2).unwrap_or_else(|| earth_after_2100(tt1 + tt2));
        Self {
            instant,
            to_date,
            sidereal,
            earth: about_all[0],
            velocity: scaled(about_all[1], LIGHT_DAYS_PER_AU),
            sun: difference(about_all[0], about_sun[0]),
        }
    }

    /// Where something at this vector from the Earth appears, its light already accounted for:
    /// bent by the Earth's motion and turned to the axes of date. Keeps the length.
    pub(super) fn apparent(&self, geocentric: Vector) -> Vector {
        let distance = length(geocentric);
        let natural = scaled(geocentric, 1.0 / distance);
        // Special relativity to first order and the term that keeps its length: Explanatory
        // Supplement to the Astronomical Almanac 2013, section 7.2.3.
        let speed = dot(self.velocity, self.velocity).sqrt();
        let inverse = (1.0 - speed * speed).sqrt();
        let along = dot(natural, self.velocity);
        let factor = 1.0 + along / (1.0 + inverse);
        let bent = sum(scaled(natural, inverse), scaled(self.velocity, factor));
        turned(&self.to_date, scaled(unit(bent), distance))
    }

    /// Turns a vector to the axes of date, for what moves along with the Earth.
    pub(super) fn of_date(&self, geocentric: Vector) -> Vector {
        turned(&self.to_date, geocentric)
    }

    /// Turns a vector of date back to the axes of J2000.
    pub(super) fn of_j2000(&self, dated: Vector) -> Vector {
        let [x, y, z] = &self.to_date;
        let column = |at: usize| [x[at], y[at], z[at]];
        [dot(column(0), dated), dot(column(1), dated), dot(column(2), dated)]
    }

    /// Where a star at these J2000 angles (degrees) appears, as a direction of date.
    #[must_use]
    pub fn star(&self, ra_deg: f64, dec_deg: f64) -> [f64; 3] {
        self.apparent(direction(ra_deg.to_radians(), dec_deg.to_radians()))
    }

    /// Apparent sidereal time at Greenwich a little later than the frame's instant, rad.
    pub(super) fn sidereal_at(&self, instant: Instant) -> f64 {
        self.sidereal + TURN_RATE * instant.since(self.instant)
    }

    /// The site from the Earth's centre, km, in the axes of date.
    pub(super) fn site(&self, site: Site, instant: Instant) -> Vector {
        let [x, y, z] = site.vector_km();
        let (sin, cos) = self.sidereal_at(instant).sin_cos();
        [x * cos - y * sin, x * sin + y * cos, z]
    }
}

type PositionVelocity = [Vector; 2];

/// The Earth about the Sun, twice, au and au per day, where the better series has ended. The Sun's
/// own motion about the centre of mass, which is left out, bends light by 0.01″.
fn earth_after_2100(tt: f64) -> (PositionVelocity, PositionVelocity) {
    const STEP_DAYS: f64 = 0.5;
    let at = |days: f64| body::to_equator(vsop87::vsop87a::earth(tt + days));
    let velocity = scaled(difference(at(STEP_DAYS), at(-STEP_DAYS)), 0.5 / STEP_DAYS);
    ([at(0.0), velocity], [at(0.0), velocity])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::vector::angle;

    #[test]
    fn the_two_ways_to_the_earth_agree_where_both_are_known() {
        for tt in [2_433_283.0, 2_460_000.5, 2_488_069.0] {
            let (better, _) = sofars::eph::epv00(tt, 0.0).unwrap();
            let (other, _) = earth_after_2100(tt);
            let apart = angle(better[0], other[0]).to_degrees() * 3600.0;
            assert!(apart < 0.1, "{tt}: {apart}″");
            let slip = length(difference(better[1], other[1])) / length(better[1]);
            assert!(slip < 2e-5, "{tt}: {slip}");
        }
    }

    /// The constant of aberration is 20.49551″ (IAU 1976), reached at right angles to the motion.
    #[test]
    fn aberration_reaches_its_constant() {
        let frame = Frame::at(Instant::from_unix_seconds(1_750_000_000.0).unwrap());
        let across = unit([-frame.velocity[1], frame.velocity[0], 0.0]);
        let bent = angle(frame.apparent(across), frame.of_date(across)).to_degrees() * 3600.0;
        assert!((bent - 20.495_51).abs() < 0.4, "{bent}");
    }
}
