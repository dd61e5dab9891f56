//! Where something stands over a site at an instant.

use super::body::{Body, km};
use super::frame::{AU_KM, Frame};
use super::instant::Instant;
use super::magnitude::{Lit, magnitude};
use super::site::Site;
use super::vector::{self, Vector, angles, difference, length, scaled, sum};

/// A direction over a site.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Direction {
    /// Right ascension of date, degrees 0–360.
    pub ra_deg: f64,
    /// Declination of date, degrees.
    pub dec_deg: f64,
    /// Above the horizon as without air, degrees.
    pub altitude_deg: f64,
    /// From north through east, degrees 0–360.
    pub azimuth_deg: f64,
}

/// A body as seen from a site.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sighting {
    /// Where.
    pub direction: Direction,
    /// How far, km.
    pub distance_km: f64,
    /// How large, arcseconds across the equator.
    pub diameter_arcsec: f64,
    /// The lit share of the disc, 0–1; nothing for the Sun, which shines itself.
    pub illuminated_fraction: Option<f64>,
    /// V magnitude outside the air, where a published formula reaches.
    pub magnitude: Option<f64>,
}

/// The direction of a vector from the site, in axes of date.
pub(super) fn direction(frame: &Frame, site: Site, instant: Instant, seen: Vector) -> Direction {
    let (ra, dec) = angles(seen);
    let (altitude, azimuth) = horizon(frame, site, instant, seen);
    Direction {
        ra_deg: ra.to_degrees(),
        dec_deg: dec.to_degrees(),
        altitude_deg: altitude.to_degrees(),
        azimuth_deg: azimuth.to_degrees(),
    }
}

/// Altitude and azimuth of a vector from the site, rad.
fn horizon(frame: &Frame, site: Site, instant: Instant, seen: Vector) -> (f64, f64) {
    let local = frame.sidereal_at(instant) + site.longitude.deg().to_radians();
    let (sin_t, cos_t) = local.sin_cos();
    let (sin_lat, cos_lat) = site.latitude.deg().to_radians().sin_cos();
    let towards_meridian = seen[0] * cos_t + seen[1] * sin_t;
    let east = seen[1] * cos_t - seen[0] * sin_t;
    let up = cos_lat * towards_meridian + sin_lat * seen[2];
    let north = cos_lat * seen[2] - sin_lat * towards_meridian;
    (up.atan2(north.hypot(east)), east.atan2(north).rem_euclid(std::f64::consts::TAU))
}

/// Airless altitude of a vector from the site, rad, without the cost of the azimuth.
pub(super) fn altitude(frame: &Frame, site: Site, instant: Instant, seen: Vector) -> f64 {
    let local = frame.sidereal_at(instant) + site.longitude.deg().to_radians();
    let (sin_t, cos_t) = local.sin_cos();
    let (sin_lat, cos_lat) = site.latitude.deg().to_radians().sin_cos();
    let up = cos_lat * (seen[0] * cos_t + seen[1] * sin_t) + sin_lat * seen[2];
    (up / length(seen)).clamp(-1.0, 1.0).asin()
}

/// A body as seen from a site at the frame's instant.
#[must_use]
pub fn sighting(frame: &Frame, site: Site, body: Body) -> Sighting {
    let instant = frame.instant;
    let from_us = body.geometric(frame);
    let site_km = frame.site(site, instant);
    let seen = difference(km(body.apparent_of(frame, from_us)), site_km);
    let distance_km = length(seen);
    let site_au = scaled(frame.of_j2000(site_km), 1.0 / AU_KM);
    let lit = lit(frame, body, difference(from_us, site_au), site_au);
    Sighting {
        direction: direction(frame, site, instant, seen),
        distance_km,
        diameter_arcsec: body.diameter_arcsec(distance_km),
        illuminated_fraction: (body != Body::Sun).then(|| lit.illuminated_fraction()),
        magnitude: magnitude(body, &lit),
    }
}

/// How the body is lit, as seen along `from_us` from a site at `site` from the Earth's centre, au.
fn lit(frame: &Frame, body: Body, from_us: Vector, site: Vector) -> Lit {
    let earth_from_sun = sum(difference(frame.earth, frame.sun), site);
    // The Sun is not lit; any direction will do.
    let from_sun = if body == Body::Sun { from_us } else { sum(earth_from_sun, from_us) };
    Lit { from_sun, from_us, year: frame.instant.year() }
}

impl Direction {
    /// The direction of something without parallax, given by its apparent direction of date.
    #[must_use]
    pub fn of_star(frame: &Frame, site: Site, instant: Instant, star: [f64; 3]) -> Self {
        direction(frame, site, instant, star)
    }

    /// The angle to another direction, degrees.
    #[must_use]
    pub fn apart_deg(&self, other: &Self) -> f64 {
        let of = |one: &Self| vector::direction(one.ra_deg.to_radians(), one.dec_deg.to_radians());
        vector::angle(of(self), of(other)).to_degrees()
    }
}

/// The distance of light-years is nothing here: what has no parallax stands at one unit.
pub(super) const FAR_KM: f64 = AU_KM * 1e9;
