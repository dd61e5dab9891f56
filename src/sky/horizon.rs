//! How far trees, roofs and hills reach up around a site.

use crate::optics::quantity::{no_hint, quantity};

quantity! {
    /// How high something stands in the way, 0–80 degrees above the level.
    Skyline, deg, "skyline", "degrees", 0.0..=80.0, no_hint
}

/// Degrees from one of the eight directions to the next.
const STEP_DEG: f64 = 45.0;

/// The skyline in the eight directions of the compass, from north through east; straight between
/// two of them.
///
/// ```
/// use borrowed_light::sky::{Horizon, Skyline};
///
/// let mut around = [Skyline::new(0.0)?; 8];
/// around[2] = Skyline::new(20.0)?; // a house in the east
/// let horizon = Horizon::new(around);
/// assert!((horizon.altitude_deg(90.0) - 20.0).abs() < 1e-12);
/// assert!((horizon.altitude_deg(67.5) - 10.0).abs() < 1e-12);
/// # Ok::<(), borrowed_light::optics::OutOfRange>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Horizon([f64; 8]);

impl Horizon {
    /// Nothing in the way anywhere.
    pub const LEVEL: Self = Self([0.0; 8]);

    /// The eight directions, from north through east.
    pub const DIRECTIONS: [&'static str; 8] =
        ["north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"];

    /// A skyline, from north through east.
    #[must_use]
    pub fn new(around: [Skyline; 8]) -> Self {
        Self(around.map(Skyline::deg))
    }

    /// The eight altitudes, degrees, from north through east.
    #[must_use]
    pub fn around_deg(&self) -> [f64; 8] {
        self.0
    }

    /// What hides the sky at an azimuth, degrees.
    #[must_use]
    pub fn altitude_deg(&self, azimuth_deg: f64) -> f64 {
        let place = azimuth_deg.rem_euclid(360.0) / STEP_DEG;
        let before = (place.floor() as usize) % self.0.len();
        let after = (before + 1) % self.0.len();
        let share = place.fract();
        self.0[before] * (1.0 - share) + self.0[after] * share
    }

    /// The highest of it, degrees.
    #[must_use]
    pub fn highest_deg(&self) -> f64 {
        self.0.into_iter().fold(0.0, f64::max)
    }
}

impl Default for Horizon {
    fn default() -> Self {
        Self::LEVEL
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_skyline_closes_around_north() {
        let mut around = [Skyline::new(0.0).unwrap(); 8];
        around[0] = Skyline::new(30.0).unwrap();
        let horizon = Horizon::new(around);
        for azimuth in [-22.5, 22.5, 337.5, 382.5] {
            assert!((horizon.altitude_deg(azimuth) - 15.0).abs() < 1e-9, "{azimuth}");
        }
        assert!((horizon.altitude_deg(360.0) - 30.0).abs() < 1e-9);
        assert!(horizon.altitude_deg(180.0).abs() < 1e-12);
        assert!((horizon.highest_deg() - 30.0).abs() < 1e-12);
    }
}
