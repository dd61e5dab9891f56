//! The path of one body through one night: computed exactly at a few instants, drawn between.

use super::body::{Body, km};
use super::frame::Frame;
use super::instant::Instant;
use super::place::{self, Direction, FAR_KM};
use super::site::Site;
use super::vector::{Vector, difference, length, scaled};

/// Instants at which the Moon is computed; every second one serves the planets.
const NODES: usize = 9;

/// The frames of one stretch of time, shared by all bodies.
#[derive(Debug, Clone)]
pub struct Nodes {
    frames: Vec<Frame>,
}

impl Nodes {
    /// Frames spread over a stretch of at most two days, closer together at its ends (Chebyshev's
    /// points with the ends): what is drawn between them is then good to 0.01″ even for the Moon.
    #[must_use]
    pub fn over(from: Instant, to: Instant) -> Self {
        let half = to.since(from) / 2.0;
        let frames = (0..NODES)
            .map(|at| {
                let angle = std::f64::consts::PI * at as f64 / (NODES - 1) as f64;
                Frame::at(from.later(half * (1.0 - angle.cos())))
            })
            .collect();
        Self { frames }
    }

    /// The frame in the middle of the stretch.
    #[must_use]
    pub fn middle(&self) -> &Frame {
        &self.frames[NODES / 2]
    }
}

/// The path of one body, or of a point among the stars, over a site.
#[derive(Debug, Clone)]
pub struct Track<'a> {
    frame: &'a Frame,
    site: Site,
    body: Option<Body>,
    /// Instants, barycentric weights and vectors from the Earth's centre, km.
    nodes: Vec<(Instant, f64, Vector)>,
}

impl<'a> Track<'a> {
    /// A body's path.
    #[must_use]
    pub fn of(body: Body, nodes: &'a Nodes, site: Site) -> Self {
        let every = if body == Body::Moon { 1 } else { 2 };
        let chosen: Vec<&Frame> = nodes.frames.iter().step_by(every).collect();
        let last = chosen.len() - 1;
        let nodes_of_path = chosen
            .iter()
            .enumerate()
            .map(|(at, frame)| {
                // Berrut & Trefethen 2004 (SIAM Review 46, 501), equation 5.4.
                let sign = if at % 2 == 0 { 1.0 } else { -1.0 };
                let weight = if at == 0 || at == last { sign / 2.0 } else { sign };
                (frame.instant, weight, km(body.apparent(frame)))
            })
            .collect();
        Self { frame: nodes.middle(), site, body: Some(body), nodes: nodes_of_path }
    }

    /// The path of a point among the stars, given by its apparent direction in the middle frame.
    #[must_use]
    pub fn of_star(direction: [f64; 3], nodes: &'a Nodes, site: Site) -> Self {
        let frame = nodes.middle();
        let path = vec![(frame.instant, 1.0, scaled(direction, FAR_KM))];
        Self { frame, site, body: None, nodes: path }
    }

    /// Where it is seen from.
    #[must_use]
    pub fn site(&self) -> Site {
        self.site
    }

    /// From the Earth's centre, km, axes of date.
    fn geocentric(&self, instant: Instant) -> Vector {
        let (mut above, mut below) = ([0.0; 3], 0.0);
        for (node, weight, vector) in &self.nodes {
            let apart = instant.since(*node);
            if apart.abs() < 1e-6 || self.nodes.len() == 1 {
                return *vector;
            }
            let share = weight / apart;
            below += share;
            for (sum, part) in above.iter_mut().zip(vector) {
                *sum += share * part;
            }
        }
        scaled(above, 1.0 / below)
    }

    /// From the site, km, axes of date.
    fn seen(&self, instant: Instant) -> Vector {
        let geocentric = self.geocentric(instant);
        match self.body {
            Some(_) => difference(geocentric, self.frame.site(self.site, instant)),
            None => geocentric,
        }
    }

    /// Airless altitude of its centre, degrees.
    #[must_use]
    pub fn altitude_deg(&self, instant: Instant) -> f64 {
        place::altitude(self.frame, self.site, instant, self.seen(instant)).to_degrees()
    }

    /// Altitude of its upper edge above the visible horizon, degrees: the Sun's and Moon's edge, the
    /// centre of all else, lifted by 34′ of air (the almanacs' usual value). Zero when it rises and
    /// sets. The horizon is taken as level.
    #[must_use]
    pub fn above_horizon_deg(&self, instant: Instant) -> f64 {
        const AIR_DEG: f64 = 34.0 / 60.0;
        let seen = self.seen(instant);
        let centre = place::altitude(self.frame, self.site, instant, seen).to_degrees();
        let edge = match self.body {
            // The almanacs' round 16′, at all distances.
            Some(Body::Sun) => 16.0 / 60.0,
            Some(Body::Moon) => Body::Moon.diameter_arcsec(length(seen)) / 7200.0,
            _ => 0.0,
        };
        centre + edge + AIR_DEG
    }

    /// Where it stands.
    #[must_use]
    pub fn direction(&self, instant: Instant) -> Direction {
        place::direction(self.frame, self.site, instant, self.seen(instant))
    }

    /// Hour angle at the site, degrees −180–180: zero on the meridian, west positive.
    #[must_use]
    pub fn hour_angle_deg(&self, instant: Instant) -> f64 {
        let seen = self.seen(instant);
        let local = self.frame.sidereal_at(instant) + self.site.longitude.deg().to_radians();
        let angle = (local - seen[1].atan2(seen[0])).to_degrees();
        (angle + 180.0).rem_euclid(360.0) - 180.0
    }

    /// The upper passage through the meridian nearest to an instant.
    #[must_use]
    pub fn transit_near(&self, instant: Instant) -> Instant {
        // Degrees of hour angle in a second for a star; the Moon's slower pace needs the rounds.
        const PACE: f64 = 360.985_647 / 86_400.0;
        (0..6).fold(instant, |at, _| at.later(-self.hour_angle_deg(at) / PACE))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::sighting;
    use crate::sky::site::{Height, Latitude, Longitude};

    #[test]
    fn what_is_drawn_between_is_what_would_be_computed() {
        let site = Site {
            latitude: Latitude::new(52.6).unwrap(),
            longitude: Longitude::new(-8.1).unwrap(),
            height: Height::new(80.0).unwrap(),
        };
        let from = Instant::from_unix_seconds(1_780_000_000.0).unwrap();
        let nodes = Nodes::over(from, from.later(86_400.0));
        for body in Body::ALL {
            let track = Track::of(body, &nodes, site);
            for part in 0..=20 {
                let instant = from.later(f64::from(part) * 4_320.0);
                let exact = sighting(&Frame::at(instant), site, body).direction;
                let off = track.direction(instant).apart_deg(&exact) * 3600.0;
                assert!(off < 0.05, "{body} {part}: {off}″");
                let high = (track.altitude_deg(instant) - exact.altitude_deg).abs() * 3600.0;
                assert!(high < 0.2, "{body} {part}: {high}″ in altitude");
            }
        }
    }

    #[test]
    fn a_body_on_the_meridian_has_no_hour_angle() {
        let site = Site {
            latitude: Latitude::new(-33.0).unwrap(),
            longitude: Longitude::new(151.0).unwrap(),
            height: Height::new(0.0).unwrap(),
        };
        let from = Instant::from_unix_seconds(1_780_000_000.0).unwrap();
        let nodes = Nodes::over(from, from.later(86_400.0));
        for body in [Body::Sun, Body::Moon, Body::Mars] {
            let track = Track::of(body, &nodes, site);
            let transit = track.transit_near(from.later(43_200.0));
            assert!(track.hour_angle_deg(transit).abs() < 1e-5, "{body}");
        }
    }
}
