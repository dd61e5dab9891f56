//! What is up in a night, when it stands best, and for how long.

use std::cmp::Ordering;

use super::body::Body;
use super::catalogue::{self, Kind, Object};
use super::fixed::Fixed;
use super::instant::Instant;
use super::night::{Event, Night, Stretch};
use super::place::{Sighting, sighting};
use super::track::Track;

/// Under this altitude nothing is worth the trouble: trees, mist and five airmasses (common
/// practice, no source).
pub const LOWEST_DEG: f64 = 15.0;

/// Something to look at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Target {
    /// The Moon or a planet.
    Body(Body),
    /// An object among the stars.
    Object(&'static Object),
}

impl Target {
    /// Its name: Messier's number where it has one.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Body(body) => body.in_words(),
            Self::Object(object) => object.short_name(),
        }
    }

    /// Its name with what people call it.
    #[must_use]
    pub fn full_name(self) -> String {
        match self {
            Self::Body(body) => body.in_words().to_owned(),
            Self::Object(object) => object.full_name(),
        }
    }

    /// Whether it is as good under the Moon or before the sky is black.
    #[must_use]
    pub fn is_bright(self) -> bool {
        match self {
            Self::Body(_) => true,
            Self::Object(object) => object.kind == Kind::Double,
        }
    }
}

/// Something that is up in a night.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Showing {
    /// What.
    pub target: Target,
    /// When it stands highest while it can be looked at.
    pub best: Instant,
    /// Its airless altitude then, degrees.
    pub altitude_deg: f64,
    /// How long it stands above [`LOWEST_DEG`] while it can be looked at, s.
    pub usable_s: f64,
    /// Passage through the meridian nearest to the middle of the night.
    pub transit: Instant,
    /// Its altitude then, degrees.
    pub transit_altitude_deg: f64,
    /// When it rises within the night.
    pub rise: Event,
    /// When it sets within the night.
    pub set: Event,
    /// The body's looks at its best; nothing for objects among the stars.
    pub looks: Option<Sighting>,
}

impl Showing {
    /// 0–3, where 3 delights everybody: the Moon and the bright planets, and the objects' own rank.
    #[must_use]
    pub fn rank(&self) -> u8 {
        match self.target {
            Target::Body(Body::Moon | Body::Jupiter | Body::Saturn) => 3,
            Target::Body(Body::Mars | Body::Venus) => 2,
            Target::Body(_) => 1,
            Target::Object(object) => object.rank,
        }
    }

    /// How much it promises, 0–1: its rank, its altitude (less air) and the time there is for it.
    /// Our own choice: rank counts most; half an hour is enough, and so is an altitude of 60°.
    #[must_use]
    pub fn promise(&self) -> f64 {
        let height = (self.altitude_deg.to_radians().sin() / 60_f64.to_radians().sin()).min(1.0);
        let time = (self.usable_s / 1800.0).min(1.0);
        most_promised(self.rank()) * height * time
    }
}

/// What something of a rank promises at most, 0–1: overhead, for as long as anybody wants.
#[must_use]
pub fn most_promised(rank: u8) -> f64 {
    0.1 + 0.9 * (f64::from(rank) / 3.0)
}

/// The most promising first; ties by brightness, then by name, so that the order never wavers.
#[must_use]
pub fn by_promise(a: &Showing, b: &Showing) -> Ordering {
    let bright = |one: &Showing| match one.target {
        Target::Body(_) => one.looks.and_then(|looks| looks.magnitude).unwrap_or(99.0),
        Target::Object(object) => object.v_magnitude().unwrap_or(99.0),
    };
    b.promise()
        .total_cmp(&a.promise())
        .then(bright(a).total_cmp(&bright(b)))
        .then_with(|| a.target.name().cmp(b.target.name()))
}

/// Whatever stands above [`LOWEST_DEG`] while it can be looked at, unsorted. The Sun is never
/// among it.
#[must_use]
pub fn showing(night: &Night) -> Vec<Showing> {
    let up = Up::of(night);
    let mut all = up.bodies();
    all.extend(up.objects(|_| true));
    all
}

/// What is up in a night, asked part by part: whoever wants the best only need not ask for all.
pub struct Up<'a> {
    night: &'a Night,
    fixed: Fixed<'a>,
    faint: Vec<Stretch>,
    bright: Vec<Stretch>,
}

impl<'a> Up<'a> {
    /// Of this night.
    #[must_use]
    pub fn of(night: &'a Night) -> Self {
        let (faint, bright) = (night.stretches(false), night.stretches(true));
        Self { night, fixed: Fixed::of(night), faint, bright }
    }

    /// The Moon and the planets that show.
    #[must_use]
    pub fn bodies(&self) -> Vec<Showing> {
        let bodies = Body::ALL.into_iter().filter(|body| *body != Body::Sun);
        bodies.filter_map(|body| of_body(self.night, body, &self.bright)).collect()
    }

    /// The objects of these ranks that show.
    #[must_use]
    pub fn objects(&self, wanted: impl Fn(u8) -> bool) -> Vec<Showing> {
        let wanted = catalogue::objects().iter().filter(|object| wanted(object.rank));
        wanted
            .filter_map(|object| {
                let double = object.kind == Kind::Double;
                self.fixed.showing(object, if double { &self.bright } else { &self.faint })
            })
            .collect()
    }
}

fn of_body(night: &Night, body: Body, stretches: &[Stretch]) -> Option<Showing> {
    let track = night.track(body);
    let clear = night.clear(&track, stretches);
    let (best, altitude_deg) = highest(&track, &clear)?;
    let usable_s = clear.iter().map(|one| one.seconds()).sum();
    let (rise, set) = night.rise_and_set(&track);
    let transit = track.transit_near(night.sun.lowest);
    Some(Showing {
        target: Target::Body(body),
        best,
        altitude_deg,
        usable_s,
        transit,
        transit_altitude_deg: track.altitude_deg(transit),
        rise,
        set,
        looks: Some(Sighting {
            direction: track.direction(best),
            // Within a night, the rest stays as in its middle.
            ..sighting(night.frame(), night.site, body)
        }),
    })
}

/// When a path stands highest within stretches: on the meridian or at one of the ends.
fn highest(track: &Track<'_>, stretches: &[Stretch]) -> Option<(Instant, f64)> {
    let mut candidates = Vec::new();
    for one in stretches {
        let middle = one.from.later(one.seconds() / 2.0);
        candidates.extend([one.from, one.to]);
        candidates.extend(Some(track.transit_near(middle)).filter(|at| one.contains(*at)));
    }
    candidates.into_iter().map(|at| (at, track.altitude_deg(at))).max_by(|a, b| a.1.total_cmp(&b.1))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::site::{Height, Latitude, Longitude, Site};

    fn night(latitude: f64, noon: f64) -> Night {
        let site = Site {
            latitude: Latitude::new(latitude).unwrap(),
            longitude: Longitude::new(-8.0).unwrap(),
            height: Height::new(100.0).unwrap(),
        };
        Night::after(Instant::from_unix_seconds(noon).unwrap(), site)
    }

    #[test]
    fn the_formula_for_fixed_objects_agrees_with_following_them() {
        // Noon of 2026-10-10.
        let night = night(52.5, 1_791_633_600.0);
        let all = showing(&night);
        assert!(all.len() > 800, "{}", all.len());
        for one in all.iter().step_by(7) {
            let Target::Object(object) = one.target else { continue };
            let track = night.star_track(object.ra_deg, object.dec_deg);
            let name = object.name;
            assert!((track.altitude_deg(one.best) - one.altitude_deg).abs() < 0.001, "{name}");
            let (rise, set) = night.rise_and_set(&track);
            for (formula, followed) in [(one.rise, rise), (one.set, set)] {
                assert_eq!(formula.is_ok(), followed.is_ok(), "{name}");
                if let (Ok(a), Ok(b)) = (formula, followed) {
                    assert!(a.since(b).abs() < 1.0, "{name}: {} s", a.since(b));
                }
            }
            let usable: f64 = night
                .stretches(object.kind == Kind::Double)
                .iter()
                .flat_map(|s| crate::sky::night::below(*s, |t| LOWEST_DEG - track.altitude_deg(t)))
                .map(Stretch::seconds)
                .sum();
            assert!((usable - one.usable_s).abs() < 2.0, "{name}: {usable} {}", one.usable_s);
        }
    }

    #[test]
    fn what_trees_hide_is_not_offered_and_counts_no_time() {
        use crate::sky::{Horizon, Skyline};
        let open = night(52.5, 1_791_633_600.0);
        let mut around = [Skyline::new(10.0).unwrap(); 8];
        around[3..=5].fill(Skyline::new(45.0).unwrap());
        let wood = night(52.5, 1_791_633_600.0).behind(Horizon::new(around));
        let before = showing(&open);
        let after = showing(&wood);
        assert!(after.len() < before.len(), "{} {}", after.len(), before.len());
        for one in &after {
            let Target::Object(object) = one.target else { continue };
            let track = wood.star_track(object.ra_deg, object.dec_deg);
            let stands = track.direction(one.best);
            let floor = wood.floor_deg(stands.azimuth_deg);
            assert!(stands.altitude_deg > floor - 0.05, "{} {stands:?}", object.name);
            let as_open = before.iter().find(|other| other.target == one.target).unwrap();
            assert!(one.usable_s <= as_open.usable_s + 1e-6, "{}", object.name);
        }
        // M 30 never gets out of 45 degrees of southern trees at 52 degrees north.
        let low = catalogue::find("M 30").unwrap();
        assert!(!after.iter().any(|one| one.target == Target::Object(low)));
    }

    #[test]
    fn the_sun_is_never_offered() {
        for noon in [1_780_660_800.0, 1_791_633_600.0] {
            for latitude in [-90.0, -60.0, 0.0, 52.0, 78.0, 90.0] {
                let all = showing(&night(latitude, noon));
                assert!(all.iter().all(|one| one.target != Target::Body(Body::Sun)));
            }
        }
    }
}
