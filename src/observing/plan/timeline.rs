//! The picture of a night: how dark it is, where the Moon stands, and when each stop of a plan is
//! high.

use jiff::tz::TimeZone;

use super::super::place::{noon, on_clocks};
use crate::kit::plan::Stop;
use crate::sky::tonight::Target;
use crate::sky::{Body, Instant, Night, Stretch, Track};

/// Before sunset and after sunrise the picture goes on for this long, s.
const MARGIN_S: f64 = 1_800.0;

/// Between two points of a path, s.
const STEP_S: f64 = 900.0;

/// Numbers stand at least so far from each other, in units of the picture.
const APART: f64 = 23.0;

/// How large the drawing is, in units of its own.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Size {
    /// `narrow` or `wide`.
    pub name: &'static str,
    /// From left to right.
    pub width: f64,
    /// From top to bottom.
    pub height: f64,
    /// Hours from one tick to the next.
    hours: i64,
}

impl Size {
    /// For a phone.
    pub const NARROW: Self = Self { name: "narrow", width: 344.0, height: 250.0, hours: 2 };
    /// For a wide window.
    pub const WIDE: Self = Self { name: "wide", width: 900.0, height: 320.0, hours: 1 };

    const LEFT: f64 = 30.0;
    const RIGHT: f64 = 8.0;
    const TOP: f64 = 14.0;
    const BOTTOM: f64 = 26.0;

    /// Where the level horizon is drawn.
    #[must_use]
    pub fn ground(&self) -> f64 {
        self.height - Self::BOTTOM
    }

    fn y(&self, altitude_deg: f64) -> f64 {
        let room = self.ground() - Self::TOP;
        self.ground() - room * altitude_deg.clamp(0.0, 90.0) / 90.0
    }
}

/// A stretch of one darkness.
#[derive(Clone, Debug, PartialEq)]
pub struct Band {
    /// Its left edge.
    pub x: f64,
    /// Its width.
    pub width: f64,
    /// 0 is day, 1–3 are the twilights, 4 is full darkness.
    pub depth: u8,
}

/// Text at a place.
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    /// From the left.
    pub x: f64,
    /// From the top.
    pub y: f64,
    /// What it says.
    pub text: String,
}

/// The path of one stop.
#[derive(Clone, Debug, PartialEq)]
pub struct Course {
    /// All of it above the horizon.
    pub whole: String,
    /// The part in which it can be looked at.
    pub usable: String,
    /// Its number, where it stands best.
    pub number: Label,
}

/// The picture of a night in one size.
#[derive(Clone, Debug, PartialEq)]
pub struct Timeline {
    /// How large.
    pub size: Size,
    /// Darkness from left to right.
    pub bands: Vec<Band>,
    /// The Moon's path, empty where it is down.
    pub moon: String,
    /// Where the Moon's name stands.
    pub moon_label: Option<Label>,
    /// The stops.
    pub courses: Vec<Course>,
    /// Hours on the clock.
    pub hours: Vec<Label>,
    /// 30° and 60°.
    pub heights: Vec<Label>,
}

struct Drawing<'a> {
    night: &'a Night,
    size: Size,
    shown: Stretch,
}

impl Timeline {
    /// Draws a night.
    #[must_use]
    pub fn of(night: &Night, stops: &[Stop], zone: &TimeZone, size: Size) -> Self {
        let drawing = Drawing { night, size, shown: shown(night) };
        let moon = night.track(Body::Moon);
        let mut taken: Vec<(f64, f64)> = Vec::new();
        let courses = stops
            .iter()
            .zip(1..)
            .map(|(stop, number)| drawing.course(stop, number, &mut taken))
            .collect();
        Self {
            size,
            bands: drawing.bands(),
            moon: drawing.path(&moon, drawing.shown),
            // As a stop it has its number.
            moon_label: if stops.iter().any(is_moon) { None } else { drawing.moon_label(&moon) },
            courses,
            hours: drawing.hours(zone),
            heights: [30.0, 60.0]
                .map(|deg| Label { x: 4.0, y: size.y(deg), text: format!("{deg:.0}°") })
                .into(),
        }
    }
}

fn is_moon(stop: &Stop) -> bool {
    stop.showing.target == Target::Body(Body::Moon)
}

/// From before sunset to after sunrise, where the Sun does either.
fn shown(night: &Night) -> Stretch {
    Stretch {
        from: night.sun.set.map_or(night.whole.from, |set| set.later(-MARGIN_S)),
        to: night.sun.rise.map_or(night.whole.to, |rise| rise.later(MARGIN_S)),
    }
}

impl Drawing<'_> {
    fn x(&self, at: Instant) -> f64 {
        let room = self.size.width - Size::LEFT - Size::RIGHT;
        let share = at.since(self.shown.from) / self.shown.seconds();
        Size::LEFT + room * share.clamp(0.0, 1.0)
    }

    fn bands(&self) -> Vec<Band> {
        let sun = &self.night.sun;
        let events = [sun.set, sun.rise].into_iter().chain(sun.dusk).chain(sun.dawn);
        let mut edges: Vec<Instant> = events.filter_map(Result::ok).collect();
        edges.retain(|at| self.shown.contains(*at));
        edges.extend([self.shown.from, self.shown.to]);
        edges.sort_by(|a, b| a.since(*b).total_cmp(&0.0));
        let track = self.night.track(Body::Sun);
        edges
            .windows(2)
            .filter_map(|pair| {
                let [from, to] = *pair else { return None };
                let altitude = track.altitude_deg(from.later(to.since(from) / 2.0));
                let depth = match altitude {
                    deg if deg > -0.83 => 0,
                    deg if deg > -6.0 => 1,
                    deg if deg > -12.0 => 2,
                    deg if deg > -18.0 => 3,
                    _ => 4,
                };
                let (x, end) = (self.x(from), self.x(to));
                (end > x).then_some(Band { x, width: end - x, depth })
            })
            .collect()
    }

    /// A path above the horizon within a stretch, as SVG draws it.
    fn path(&self, track: &Track<'_>, within: Stretch) -> String {
        use std::fmt::Write as _;
        let steps = (within.seconds() / STEP_S).ceil().max(1.0);
        let (mut path, mut pen_down) = (String::new(), false);
        for step in 0..=steps as u32 {
            let at = within.from.later(within.seconds() * f64::from(step) / steps);
            let altitude = track.altitude_deg(at);
            if altitude < 0.0 {
                pen_down = false;
                continue;
            }
            let command = if pen_down { 'L' } else { 'M' };
            pen_down = true;
            // Writing to a String cannot fail.
            let _ = write!(path, "{command}{:.1} {:.1}", self.x(at), self.size.y(altitude));
        }
        path
    }

    fn course(&self, stop: &Stop, number: u32, taken: &mut Vec<(f64, f64)>) -> Course {
        let track = match stop.showing.target {
            Target::Body(body) => self.night.track(body),
            Target::Object(object) => self.night.star_track(object.ra_deg, object.dec_deg),
        };
        let place = |at: Instant| (self.x(at), self.size.y(track.altitude_deg(at)));
        let part = |share: f64| stop.window.from.later(stop.window.seconds() * share);
        let candidates = [0.5, 0.25, 0.75, 0.12, 0.88, 0.37, 0.62, 1.0, 0.0].map(part);
        let (best_x, best_y) = place(stop.showing.best);
        // Beside its path, where others stand on it.
        let beside = [1.0, -1.0, 2.0, -2.0, 3.0].map(|steps| best_y + steps * APART);
        let inside = beside.into_iter().filter(|y| (APART / 2.0..self.size.ground()).contains(y));
        let candidates: Vec<(f64, f64)> = std::iter::once((best_x, best_y))
            .chain(candidates.map(place))
            .chain(inside.map(|y| (best_x, y)))
            .collect();
        let room = |spot: &(f64, f64)| {
            let near = |one: &(f64, f64)| (one.0 - spot.0).hypot(one.1 - spot.1);
            taken.iter().map(near).fold(f64::INFINITY, f64::min)
        };
        let free = candidates.iter().find(|spot| room(spot) >= APART);
        let roomiest = || candidates.iter().max_by(|a, b| room(a).total_cmp(&room(b)));
        let (x, y) = free.or_else(roomiest).copied().unwrap_or_default();
        taken.push((x, y));
        Course {
            whole: self.path(&track, self.shown),
            usable: self.path(&track, stop.window),
            number: Label { x, y, text: number.to_string() },
        }
    }

    fn moon_label(&self, moon: &Track<'_>) -> Option<Label> {
        let steps = 24;
        let places = (1..steps).map(|step| {
            self.shown.from.later(self.shown.seconds() * f64::from(step) / f64::from(steps))
        });
        let highest = places
            .map(|at| (at, moon.altitude_deg(at)))
            .max_by(|a, b| a.1.total_cmp(&b.1))
            .filter(|(_, altitude)| *altitude > 3.0)?;
        let (x, y) = (self.x(highest.0), self.size.y(highest.1) - 7.0);
        let x = x.clamp(Size::LEFT + 22.0, self.size.width - Size::RIGHT - 22.0);
        Some(Label { x, y: y.max(Size::TOP), text: "Moon".into() })
    }

    fn hours(&self, zone: &TimeZone) -> Vec<Label> {
        let Some(start) = on_clocks(self.shown.from, zone) else { return Vec::new() };
        let Ok(midday) = noon(start.date(), zone) else { return Vec::new() };
        // Ticks stand on hours of the clock, whatever the clock does in this night.
        (-12..48)
            .map(|hour| midday.later(f64::from(hour) * 3_600.0))
            .filter(|at| self.shown.contains(*at))
            .filter_map(|at| Some((at, i64::from(on_clocks(at, zone)?.hour()))))
            .filter(|(_, hour)| hour % self.size.hours == 0)
            .map(|(at, hour)| (self.x(at), hour))
            .filter(|(x, _)| *x > Size::LEFT + 4.0 && *x < self.size.width - 12.0)
            .map(|(x, hour)| Label { x, y: self.size.height - 8.0, text: format!("{hour:02}") })
            .collect()
    }
}
