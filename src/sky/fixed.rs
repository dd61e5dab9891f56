//! Points among the stars through one night: they only turn with the sky.

use super::catalogue::Object;
use super::instant::Instant;
use super::night::{Event, Night, Nothing, Stretch};
use super::tonight::{LOWEST_DEG, Showing, Target};
use super::vector::angles;

/// Degrees of hour angle in a second: the turning of the Earth against the stars.
const PACE: f64 = 360.985_647_366 / 86_400.0;

/// What all points among the stars share in a night: they only turn with the sky, so that
/// everything about them follows from one formula.
pub(super) struct Fixed<'a> {
    night: &'a Night,
    sin_lat: f64,
    cos_lat: f64,
}

impl<'a> Fixed<'a> {
    pub(super) fn of(night: &'a Night) -> Self {
        let (sin_lat, cos_lat) = night.site.latitude.deg().to_radians().sin_cos();
        Self { night, sin_lat, cos_lat }
    }

    /// The object, where it comes up high enough while it can be looked at.
    pub(super) fn showing(
        &self,
        object: &'static Object,
        stretches: &[Stretch],
    ) -> Option<Showing> {
        let frame = self.night.frame();
        let (ra, dec) = angles(frame.star(object.ra_deg, object.dec_deg));
        let (sin_dec, cos_dec) = dec.sin_cos();
        // sin h = sin φ sin δ + cos φ cos δ cos H: any handbook of spherical astronomy.
        let (still, swing) = (self.sin_lat * sin_dec, self.cos_lat * cos_dec);
        let altitude = |hour_angle_deg: f64| {
            (still + swing * hour_angle_deg.to_radians().cos()).clamp(-1.0, 1.0).asin().to_degrees()
        };
        if altitude(0.0) < LOWEST_DEG {
            return None;
        }
        let middle = self.night.sun.lowest;
        let local = frame.sidereal_at(middle) + self.night.site.longitude.deg().to_radians();
        let hour_angle = ((local - ra).to_degrees() + 180.0).rem_euclid(360.0) - 180.0;
        let transit = middle.later(-hour_angle / PACE);
        let at = |instant: Instant| altitude(instant.since(transit) * PACE);
        let best = stretches
            .iter()
            .flat_map(|one| {
                let inside = [-1.0, 0.0, 1.0].map(|turn: f64| transit.later(turn * 360.0 / PACE));
                let inside = inside.into_iter().filter(|at| one.contains(*at));
                [one.from, one.to].into_iter().chain(inside)
            })
            .max_by(|a, b| at(*a).total_cmp(&at(*b)))?;
        if at(best) < LOWEST_DEG {
            return None;
        }
        let star = Star { still, swing, sin_dec, cos_dec, transit };
        let (best, hidden_s) = self.behind_the_skyline(&star, stretches, best)?;
        let half = star.half_s(LOWEST_DEG);
        let usable_s: f64 = stretches.iter().map(|one| overlap(*one, transit, half)).sum();
        let usable_s = (usable_s - hidden_s).max(0.0);
        let (rise, set) = self.rise_and_set(transit, star.half_s(-34.0 / 60.0), altitude(180.0));
        Some(Showing {
            target: Target::Object(object),
            best,
            altitude_deg: at(best),
            usable_s,
            transit,
            transit_altitude_deg: altitude(0.0),
            rise,
            set,
            looks: None,
        })
    }

    /// When a star stands best in front of the skyline, and for how long of the time in which it is
    /// high enough the skyline hides it, s. `None` where it never comes out.
    fn behind_the_skyline(
        &self,
        star: &Star,
        stretches: &[Stretch],
        best: Instant,
    ) -> Option<(Instant, f64)> {
        /// Fine enough: a star rises by a degree in this time.
        const STEP_S: f64 = 240.0;
        let horizon = &self.night.horizon;
        if horizon.highest_deg() <= LOWEST_DEG {
            return Some((best, 0.0));
        }
        let highest_deg = horizon.highest_deg();
        let hides = |at: Instant, altitude_deg: f64| {
            altitude_deg < highest_deg
                && altitude_deg < horizon.altitude_deg(self.azimuth_deg(star, at))
        };
        // Nearer to the meridian than this it stands over the whole skyline, and further from it
        // than that it is too low: neither needs a look at the skyline.
        let (over_all, too_low) = (star.half_s(highest_deg), star.half_s(LOWEST_DEG));
        let best_is_clear = !hides(best, star.altitude_deg(best));
        let (mut hidden_s, mut clear) = (0.0, None::<(Instant, f64)>);
        for one in stretches {
            let steps = (one.seconds() / STEP_S).ceil().max(1.0);
            for step in 0..=steps as u32 {
                let at = one.from.later(one.seconds() * f64::from(step) / steps);
                let off = star.off_meridian_s(at);
                if off > too_low || (best_is_clear && off < over_all) {
                    continue;
                }
                let altitude = star.altitude_deg(at);
                if hides(at, altitude) {
                    hidden_s += one.seconds() / (steps + 1.0);
                } else if clear.is_none_or(|(_, highest)| altitude > highest) {
                    clear = Some((at, altitude));
                }
            }
        }
        let best = if best_is_clear { best } else { clear?.0 };
        Some((best, hidden_s))
    }

    /// From north through east, degrees.
    fn azimuth_deg(&self, star: &Star, at: Instant) -> f64 {
        let (sin, cos) = star.hour_angle_deg(at).to_radians().sin_cos();
        let east = -star.cos_dec * sin;
        let north = self.cos_lat * star.sin_dec - self.sin_lat * star.cos_dec * cos;
        east.atan2(north).to_degrees()
    }

    /// Rising and setting of what is up for `half` seconds on both sides of a transit.
    fn rise_and_set(&self, transit: Instant, half: f64, lowest_deg: f64) -> (Event, Event) {
        let turn = 360.0 / PACE;
        if half >= turn / 2.0 {
            let always = Err(Nothing::StaysAbove(lowest_deg));
            return (always, always);
        }
        let within = |at: Instant| {
            [-1.0, 0.0, 1.0]
                .into_iter()
                .map(|turns: f64| at.later(turns * turn))
                .find(|at| self.night.whole.contains(*at))
                .ok_or(Nothing::LaterThanTheNight)
        };
        (within(transit.later(-half)), within(transit.later(half)))
    }
}

/// A point among the stars on its way through the night.
struct Star {
    still: f64,
    swing: f64,
    sin_dec: f64,
    cos_dec: f64,
    transit: Instant,
}

impl Star {
    /// For how long it stands above an altitude on each side of its transit, s.
    fn half_s(&self, limit_deg: f64) -> f64 {
        let cosine = (limit_deg.to_radians().sin() - self.still) / self.swing;
        let half = if cosine <= -1.0 { 180.0 } else { cosine.min(1.0).acos().to_degrees() };
        half / PACE
    }

    /// How far an instant is from the nearest of its upper transits, s.
    fn off_meridian_s(&self, at: Instant) -> f64 {
        let turn = 360.0 / PACE;
        let since = at.since(self.transit).rem_euclid(turn);
        since.min(turn - since)
    }

    fn hour_angle_deg(&self, at: Instant) -> f64 {
        at.since(self.transit) * PACE
    }

    fn altitude_deg(&self, at: Instant) -> f64 {
        let cosine = self.hour_angle_deg(at).to_radians().cos();
        (self.still + self.swing * cosine).clamp(-1.0, 1.0).asin().to_degrees()
    }
}

/// For how long of a stretch something is up that is up for `half` seconds on both sides of its
/// transits.
fn overlap(stretch: Stretch, transit: Instant, half: f64) -> f64 {
    let turn = 360.0 / PACE;
    [-1.0, 0.0, 1.0]
        .into_iter()
        .map(|turns: f64| {
            let middle = transit.later(turns * turn);
            let half = half.min(turn / 2.0);
            let from = stretch.from.since(middle).max(-half);
            let to = stretch.to.since(middle).min(half);
            (to - from).max(0.0)
        })
        .sum()
}
