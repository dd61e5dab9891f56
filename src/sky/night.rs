//! One night over a site: twilights, the Moon, and when it is dark.

use super::body::Body;
use super::crossing::{crossings, first_crossing, turning_point};
use super::horizon::Horizon;
use super::instant::Instant;
use super::place::sighting;
use super::site::Site;
use super::tonight::LOWEST_DEG;
use super::track::{Nodes, Track};

/// Between two samples of an altitude, s.
const STEP_S: f64 = 600.0;

/// The Sun this far below the horizon ends civil, nautical and astronomical twilight, degrees: the
/// almanacs' definitions, for the Sun's centre without air.
const TWILIGHTS_DEG: [f64; 3] = [-6.0, -12.0, -18.0];

/// Up to this lit share the Moon is called faint: half a magnitude of sky at most, most of it low
/// in the twilight (common practice, no source).
const FAINT_MOON: f64 = 0.15;

/// Less darkness than this in a night is not waited for, s: our own choice.
const SHORT_DARKNESS_S: f64 = 3_600.0;

/// Why something does not happen in a night.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Nothing {
    /// It stays above that height all the while; lowest, degrees.
    StaysAbove(f64),
    /// It stays below that height all the while; highest, degrees.
    StaysBelow(f64),
    /// It is up when the night begins and does not rise again before it ends.
    AlreadyUp,
    /// It is down when the night begins, rises, and is still up when the night ends; or the reverse.
    LaterThanTheNight,
}

/// An event, or why there is none.
pub type Event = Result<Instant, Nothing>;

/// What the Sun does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SunEvents {
    /// The upper edge goes under.
    pub set: Event,
    /// The end of civil, nautical and astronomical twilight.
    pub dusk: [Event; 3],
    /// The beginning of civil, nautical and astronomical twilight.
    pub dawn: [Event; 3],
    /// The upper edge appears.
    pub rise: Event,
    /// The Sun at its lowest.
    pub lowest: Instant,
    /// Its altitude then, degrees.
    pub lowest_deg: f64,
}

/// What the Moon does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MoonEvents {
    /// The upper edge appears.
    pub rise: Event,
    /// The upper edge goes under.
    pub set: Event,
    /// The lit share of the disc in the middle of the night.
    pub illuminated_fraction: f64,
    /// Whether it waxes.
    pub waxing: bool,
}

/// From one instant to another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// Its beginning.
    pub from: Instant,
    /// Its end.
    pub to: Instant,
}

impl Stretch {
    /// How long, s.
    #[must_use]
    pub fn seconds(self) -> f64 {
        self.to.since(self.from)
    }

    /// Whether an instant lies in it.
    #[must_use]
    pub fn contains(self, instant: Instant) -> bool {
        self.from <= instant && instant <= self.to
    }
}

/// Why no part of a night is dark.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NotDark {
    /// The Sun does not go deep enough.
    Twilight,
    /// The Moon is up and bright while the Sun is deep enough.
    Moon,
}

/// One night over a site.
#[derive(Debug)]
pub struct Night {
    /// The site.
    pub site: Site,
    /// From the Sun's highest before the night to its highest after.
    pub whole: Stretch,
    /// The Sun.
    pub sun: SunEvents,
    /// The Moon.
    pub moon: MoonEvents,
    /// Sun below −18°, Moon down or faint.
    pub dark: Vec<Stretch>,
    /// Why `dark` is empty.
    pub not_dark: Option<NotDark>,
    /// Sun below −18°, whatever the Moon does.
    pub deep: Vec<Stretch>,
    /// What trees, roofs and hills hide.
    pub horizon: Horizon,
    nodes: Nodes,
}

impl Night {
    /// The night that follows the Sun's highest point nearest to `noon`, which is the civil noon of
    /// the night's date.
    #[must_use]
    pub fn after(noon: Instant, site: Site) -> Self {
        let whole = between_noons(noon, site);
        let nodes = Nodes::over(whole.from, whole.to);
        let sun_track = Track::of(Body::Sun, &nodes, site);
        let sun = sun_events(&sun_track, whole);
        let moon_track = Track::of(Body::Moon, &nodes, site);
        let moon = moon_events(&moon_track, &nodes, whole);
        let deep = below(whole, |t| sun_track.altitude_deg(t) - TWILIGHTS_DEG[2]);
        let (dark, not_dark) = dark_stretches(&deep, &moon_track, moon);
        let horizon = Horizon::LEVEL;
        Self { site, whole, sun, moon, dark, not_dark, deep, horizon, nodes }
    }

    /// The same night behind this skyline. Rising, setting, twilight and darkness stay those of a
    /// level horizon, as almanacs give them.
    #[must_use]
    pub fn behind(self, horizon: Horizon) -> Self {
        Self { horizon, ..self }
    }

    /// A body's path through the night.
    #[must_use]
    pub fn track(&self, body: Body) -> Track<'_> {
        Track::of(body, &self.nodes, self.site)
    }

    /// The path of a point among the stars, J2000 degrees.
    #[must_use]
    pub fn star_track(&self, ra_deg: f64, dec_deg: f64) -> Track<'_> {
        Track::of_star(self.nodes.middle().star(ra_deg, dec_deg), &self.nodes, self.site)
    }

    /// The frame in the middle of the night.
    #[must_use]
    pub fn frame(&self) -> &super::Frame {
        self.nodes.middle()
    }

    /// Rising and setting of a path within the night.
    pub fn rise_and_set(&self, track: &Track<'_>) -> (Event, Event) {
        rise_and_set(track, self.whole)
    }

    /// When one looks: at bright things from the end of civil twilight to its beginning, at faint
    /// ones while it is dark, or where it is not for an hour, as near to that as the night comes.
    /// Empty where the Sun hardly sets.
    #[must_use]
    pub fn stretches(&self, bright: bool) -> Vec<Stretch> {
        let between = |twilight: usize| {
            (self.sun.lowest_deg < TWILIGHTS_DEG[twilight]).then(|| Stretch {
                from: self.sun.dusk[twilight].unwrap_or(self.whole.from),
                to: self.sun.dawn[twilight].unwrap_or(self.whole.to),
            })
        };
        if bright {
            return between(0).into_iter().collect();
        }
        let dark_s: f64 = self.dark.iter().map(|one| one.seconds()).sum();
        // With the Moon up all night but for a few minutes, nobody waits for those.
        if dark_s >= SHORT_DARKNESS_S {
            return self.dark.clone();
        }
        between(2).or_else(|| between(1)).or_else(|| between(0)).into_iter().collect()
    }
}

impl Night {
    /// Under this altitude something is hidden, or not worth the trouble, at an azimuth; degrees.
    #[must_use]
    pub fn floor_deg(&self, azimuth_deg: f64) -> f64 {
        self.horizon.altitude_deg(azimuth_deg).max(LOWEST_DEG)
    }

    /// The parts of these stretches in which a path runs high enough and in front of the skyline.
    #[must_use]
    pub fn clear(&self, track: &Track<'_>, stretches: &[Stretch]) -> Vec<Stretch> {
        let hidden = |t: Instant| {
            let stands = track.direction(t);
            self.floor_deg(stands.azimuth_deg) - stands.altitude_deg
        };
        stretches.iter().flat_map(|one| below(*one, hidden)).collect()
    }
}

/// From the upper transit of the Sun nearest to an instant to the next.
fn between_noons(noon: Instant, site: Site) -> Stretch {
    const HALF_DAY: f64 = 43_200.0;
    let nodes = Nodes::over(noon.later(-HALF_DAY), noon.later(3.0 * HALF_DAY));
    let sun = Track::of(Body::Sun, &nodes, site);
    let from = sun.transit_near(noon);
    Stretch { from, to: sun.transit_near(from.later(2.0 * HALF_DAY)) }
}

fn sun_events(track: &Track<'_>, whole: Stretch) -> SunEvents {
    // Where the Sun hardly moves in height, as at the poles, its lowest point may be at an end.
    let inside = turning_point(whole.from, whole.to, |t| -track.altitude_deg(t));
    let lowest = [whole.from, whole.to]
        .into_iter()
        .fold(inside, |a, b| if track.altitude_deg(b) < track.altitude_deg(a) { b } else { a });
    let event = |rising: bool, height: &dyn Fn(Instant) -> f64| -> Event {
        let found = crossings(whole.from, whole.to, STEP_S, height);
        let wanted = if rising {
            first_crossing(&found, true)
        } else {
            found.iter().rev().find(|one| !one.rising).map(|one| one.at)
        };
        wanted.ok_or_else(|| {
            let (low, high) = (height(lowest), height(whole.from).max(height(whole.to)));
            if low >= 0.0 {
                Nothing::StaysAbove(track.altitude_deg(lowest))
            } else if high < 0.0 {
                Nothing::StaysBelow(
                    track.altitude_deg(whole.from).max(track.altitude_deg(whole.to)),
                )
            } else {
                Nothing::LaterThanTheNight
            }
        })
    };
    let edge = |t: Instant| track.above_horizon_deg(t);
    let dusk = TWILIGHTS_DEG.map(|deg| event(false, &|t| track.altitude_deg(t) - deg));
    let dawn = TWILIGHTS_DEG.map(|deg| event(true, &|t| track.altitude_deg(t) - deg));
    SunEvents {
        set: event(false, &edge),
        dusk,
        dawn,
        rise: event(true, &edge),
        lowest,
        lowest_deg: track.altitude_deg(lowest),
    }
}

fn rise_and_set(track: &Track<'_>, whole: Stretch) -> (Event, Event) {
    let height = |t: Instant| track.above_horizon_deg(t);
    let found = crossings(whole.from, whole.to, STEP_S, height);
    let why = |rising: bool| {
        let begins_up = height(whole.from) >= 0.0;
        match (found.is_empty(), begins_up) {
            (true, true) => {
                let low = turning_point(whole.from, whole.to, |t| -height(t));
                Nothing::StaysAbove(track.altitude_deg(low))
            }
            (true, false) => {
                let high = turning_point(whole.from, whole.to, height);
                Nothing::StaysBelow(track.altitude_deg(high))
            }
            (false, true) if rising => Nothing::AlreadyUp,
            (false, _) => Nothing::LaterThanTheNight,
        }
    };
    let event = |rising| first_crossing(&found, rising).ok_or_else(|| why(rising));
    (event(true), event(false))
}

fn moon_events(track: &Track<'_>, nodes: &Nodes, whole: Stretch) -> MoonEvents {
    let (rise, set) = rise_and_set(track, whole);
    let lit = |frame: &super::Frame| {
        // The site moves this by less than a thousandth.
        sighting(frame, track.site(), Body::Moon).illuminated_fraction.unwrap_or(0.0)
    };
    let middle = nodes.middle();
    let later = super::Frame::at(middle.instant.later(3_600.0));
    let now = lit(middle);
    MoonEvents { rise, set, illuminated_fraction: now, waxing: lit(&later) > now }
}

/// The parts of the deep night in which the Moon is down or faint.
fn dark_stretches(
    deep: &[Stretch],
    moon: &Track<'_>,
    phase: MoonEvents,
) -> (Vec<Stretch>, Option<NotDark>) {
    if deep.is_empty() {
        return (Vec::new(), Some(NotDark::Twilight));
    }
    if phase.illuminated_fraction <= FAINT_MOON {
        return (deep.to_vec(), None);
    }
    let dark: Vec<Stretch> =
        deep.iter().flat_map(|stretch| below(*stretch, |t| moon.above_horizon_deg(t))).collect();
    let why = dark.is_empty().then_some(NotDark::Moon);
    (dark, why)
}

/// The parts of a stretch in which a function is negative.
pub(super) fn below(whole: Stretch, height: impl Fn(Instant) -> f64) -> Vec<Stretch> {
    let found = crossings(whole.from, whole.to, STEP_S, &height);
    let mut ends = vec![whole.from];
    ends.extend(found.iter().map(|one| one.at));
    ends.push(whole.to);
    ends.windows(2)
        .filter_map(|pair| {
            let [from, to] = *pair else { return None };
            let middle = from.later(to.since(from) / 2.0);
            (height(middle) < 0.0).then_some(Stretch { from, to })
        })
        .collect()
}
