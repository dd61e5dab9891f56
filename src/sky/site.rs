//! Where the telescope stands.

use super::vector::Vector;
use crate::optics::quantity::{no_hint, quantity};

quantity! {
    /// Degrees north of the equator, −90–90.
    Latitude, deg, "latitude", "degrees", -90.0..=90.0, no_hint
}
quantity! {
    /// Degrees east of Greenwich, −180–180.
    Longitude, deg, "longitude", "degrees", -180.0..=180.0, no_hint
}
quantity! {
    /// Metres above sea level, −500–9000.
    Height, m, "height", "m", -500.0..=9000.0, no_hint
}

/// A place on the Earth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Site {
    /// North of the equator.
    pub latitude: Latitude,
    /// East of Greenwich.
    pub longitude: Longitude,
    /// Above sea level.
    pub height: Height,
}

/// Equatorial radius of the Earth, km, and its flattening: WGS 84.
const EARTH_RADIUS_KM: f64 = 6378.137;
const EARTH_FLATTENING: f64 = 1.0 / 298.257_223_563;

impl Site {
    /// The vector from the Earth's centre, km, in axes that turn with the Earth.
    pub(super) fn vector_km(self) -> Vector {
        let (sin, cos) = self.latitude.deg().to_radians().sin_cos();
        let (sin_lon, cos_lon) = self.longitude.deg().to_radians().sin_cos();
        let squash = (1.0 - EARTH_FLATTENING).powi(2);
        let normal = EARTH_RADIUS_KM / (cos * cos + squash * sin * sin).sqrt();
        let height = self.height.m() / 1000.0;
        let across = (normal + height) * cos;
        [across * cos_lon, across * sin_lon, (squash * normal + height) * sin]
    }
}
