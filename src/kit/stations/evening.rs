//! A public night as a problem: what shows when, through which telescope and eyepiece, how well.

use super::height::{Places, Reach, height_mm, reach};
use super::look::{Look, Showable, Steps, delight, judge, through_air};
use super::{Candidate, Costs, Helper, MOST_TARGETS, Problem, View};
use crate::eye::Observer;
use crate::kit::plan::{KitGlass, admissible};
use crate::kit::sight::{Air, Lamps};
use crate::kit::{Bench, Question, Settings, SunFilter, Usage};
use crate::optics::{Eyepiece, Seeing, Telescope, Tracking};
use crate::sky::tonight::{self, Target};
use crate::sky::{Body, Direction, Night, Stretch};

/// Below this altitude nothing faint is shown to a crowd, degrees: under it the air boils and the
/// neighbour's roof begins. What is bright is shown down to [`tonight::LOWEST_DEG`]. Common practice,
/// no source.
pub const LOWEST_FOR_VISITORS_DEG: f64 = 20.0;

/// What stands nearer together than this is one target, degrees.
const ONE_TARGET_DEG: f64 = 0.6;

/// Until the Sun is this far down the sky is too bright to find anything but the Moon and planets by,
/// degrees: the end of civil twilight.
const BRIGHT_UNTIL_DEG: f64 = -6.0;

/// Below this altitude the Sun is not shown, degrees. Common practice, no source.
const LOWEST_SUN_DEG: f64 = 10.0;

/// So many of the most promising targets are chosen from.
const TARGETS: usize = 20;

/// Only what delights is shown: the ranks of [`Showing::rank`] from here.
const LEAST_RANK: u8 = 2;

/// What turning to another target and sharing one cost, in units of worth. Our own choice: a change
/// is worth a sixth of a perfect half hour, and the second station at the same target loses a quarter.
pub const COSTS: Costs = Costs { change: super::WORTH_UNITS / 6, crowding: super::WORTH_UNITS / 4 };

/// What the evening is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Show {
    /// The night sky. While the Sun is up nothing is shown.
    Sky,
    /// The Sun, through telescopes with verified front filters and nothing else.
    Sun,
}

/// A telescope that may stand at a station.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StationTelescope {
    /// Its optics.
    pub optics: Telescope,
    /// Whether a verified solar filter goes with it.
    pub sun_filter: SunFilter,
    /// Where its eyepiece stands, when both ends are recorded.
    pub places: Option<Places>,
}

/// The evening as it is planned.
#[derive(Debug, Clone, Copy)]
pub struct Evening<'a> {
    /// The night over the site, behind its skyline. For a day it is the night whose evening belongs to
    /// that day, or the one before.
    pub night: &'a Night,
    /// The air over the site.
    pub air: Air,
    /// The half hours.
    pub slots: &'a [Stretch],
    /// What it is for.
    pub show: Show,
    /// Whether children come.
    pub children: bool,
    /// How many stations are wanted.
    pub stations: usize,
    /// Whether one of them must be within reach of somebody in a wheelchair.
    pub one_seated: bool,
}

/// A thing that may be shown, and where it stands in each half hour.
#[derive(Debug, Clone, PartialEq)]
pub struct EveningTarget {
    /// What.
    pub showable: Showable,
    /// Where it stands in the middle of each half hour.
    pub stands: Vec<Direction>,
    /// Whether it can be shown then: high enough, nothing in front of it, and the sky right for it.
    pub open: Vec<bool>,
}

/// The evening as a problem, with what is needed to tell its answer.
#[derive(Debug)]
pub struct Prepared<'a> {
    /// What [`super::choose`] solves.
    pub problem: Problem,
    /// The targets, by the problem's positions.
    pub targets: Vec<EveningTarget>,
    evening: Evening<'a>,
    telescopes: &'a [StationTelescope],
    /// By telescope, the views that the rules admit for anyone.
    glasses: Vec<Vec<KitGlass>>,
}

/// Sets an evening up: anyone from 6 to 90, glasses on, first time at an eyepiece. `helpers` say by
/// telescope what they may run.
#[must_use]
pub fn prepare<'a>(
    evening: Evening<'a>,
    telescopes: &'a [StationTelescope],
    eyepieces: &[Eyepiece],
    helpers: Vec<Helper>,
    settings: &Settings,
) -> Prepared<'a> {
    let targets = targets(&evening);
    let question = Question {
        observer: Observer::anyone(),
        seeing: Seeing::new(evening.air.seeing_arcsec).ok(),
        usage: match evening.show {
            Show::Sky => Usage::Night,
            Show::Sun => Usage::Sun,
        },
        tonight: None,
    };
    let glasses = telescopes
        .iter()
        .map(|one| {
            let bench = Bench::new(&one.optics, one.sun_filter, &question, settings);
            admissible(&bench, &one.optics, eyepieces, &[])
        })
        .collect();
    let problem = Problem {
        stations: evening.stations,
        slots: evening.slots.len(),
        targets: targets.len(),
        eyepieces: eyepieces.len(),
        helpers,
        telescopes: Vec::new(),
        costs: COSTS,
        one_seated: evening.one_seated,
    };
    let mut prepared = Prepared { problem, targets, evening, telescopes, glasses };
    prepared.problem.telescopes =
        (0..telescopes.len()).map(|telescope| prepared.candidate(telescope)).collect();
    prepared
}

impl Prepared<'_> {
    /// What visitors get of a target in a half hour; `None` where it cannot be shown or the eyepiece is
    /// not for anyone in this telescope.
    #[must_use]
    pub fn look(
        &self,
        telescope: usize,
        eyepiece: usize,
        slot: usize,
        target: usize,
    ) -> Option<Look> {
        let glass = self.glasses[telescope].iter().find(|glass| glass.eyepiece == eyepiece)?;
        self.through(telescope, glass, &Lamps::of(self.evening.night), slot, target)
    }

    /// Who reaches a telescope's eyepiece while it points to a target; `None` where its places or its
    /// layout are not known.
    #[must_use]
    pub fn reach(&self, telescope: usize, slot: usize, target: usize) -> Option<Reach> {
        let altitude = self.targets[target].stands[slot].altitude_deg;
        self.reach_at(telescope, altitude)
    }

    fn reach_at(&self, telescope: usize, altitude_deg: f64) -> Option<Reach> {
        let one = &self.telescopes[telescope];
        height_mm(one.optics.layout(), one.places?, altitude_deg).map(reach)
    }

    fn through(
        &self,
        telescope: usize,
        glass: &KitGlass,
        lamps: &Lamps<'_>,
        slot: usize,
        target: usize,
    ) -> Option<Look> {
        let one = &self.targets[target];
        if !one.open[slot] {
            return None;
        }
        let stands = one.stands[slot];
        let tracks = self.telescopes[telescope].optics.tracking() == Some(Tracking::Tracks);
        let middle = middle(self.evening.slots[slot]);
        Some(judge(
            glass,
            &one.showable,
            &crate::kit::sight::Moment::at(
                self.evening.night,
                lamps,
                stands,
                middle,
                self.evening.air,
            ),
            tracks,
            if self.evening.children { Steps::Count } else { Steps::Ignore },
            self.reach_at(telescope, stands.altitude_deg),
        ))
    }

    fn candidate(&self, telescope: usize) -> Candidate {
        let lamps = Lamps::of(self.evening.night);
        let (slots, targets) = (self.problem.slots, self.problem.targets);
        let cells = || (0..slots).flat_map(|slot| (0..targets).map(move |target| (slot, target)));
        let views = self.glasses[telescope]
            .iter()
            .map(|glass| View {
                eyepiece: glass.eyepiece,
                worths: cells()
                    .map(|(slot, target)| {
                        let look = self.through(telescope, glass, &lamps, slot, target);
                        look.map_or(0, |look| look.units())
                    })
                    .collect(),
            })
            .collect();
        let seated = cells()
            .map(|(slot, target)| {
                self.reach(telescope, slot, target).is_some_and(|reach| reach.seated)
            })
            .collect();
        Candidate { views, seated }
    }
}

fn middle(slot: Stretch) -> crate::sky::Instant {
    slot.from.later(slot.seconds() / 2.0)
}

/// What may be shown, the most promising first.
fn targets(evening: &Evening<'_>) -> Vec<EveningTarget> {
    let night = evening.night;
    let sun = night.track(Body::Sun);
    if evening.show == Show::Sun {
        let stands: Vec<Direction> =
            evening.slots.iter().map(|slot| sun.direction(middle(*slot))).collect();
        let open = stands
            .iter()
            .map(|at| {
                at.altitude_deg >= night.horizon.altitude_deg(at.azimuth_deg).max(LOWEST_SUN_DEG)
            })
            .collect();
        return vec![EveningTarget { showable: Showable::Sun, stands, open }];
    }
    // The whole half hour must be past the Sun, at both of its ends.
    let dark_enough = |slot: &Stretch, bright: bool| {
        let below = if bright { BRIGHT_UNTIL_DEG } else { BRIGHT_UNTIL_DEG * 2.0 };
        sun.altitude_deg(slot.from).max(sun.altitude_deg(slot.to)) < below
    };
    let mut all: Vec<(f64, EveningTarget)> = tonight::showing(night)
        .into_iter()
        .filter(|showing| showing.rank() >= LEAST_RANK)
        .filter_map(|showing| {
            let bright = showing.target.is_bright();
            let track = match showing.target {
                Target::Body(body) => night.track(body),
                Target::Object(object) => night.star_track(object.ra_deg, object.dec_deg),
            };
            let stands: Vec<Direction> =
                evening.slots.iter().map(|slot| track.direction(middle(*slot))).collect();
            let open: Vec<bool> = evening
                .slots
                .iter()
                .zip(&stands)
                .map(|(slot, at)| {
                    let lowest = if bright { tonight::LOWEST_DEG } else { LOWEST_FOR_VISITORS_DEG };
                    let floor = night.floor_deg(at.azimuth_deg).max(lowest);
                    at.altitude_deg >= floor && dark_enough(slot, bright)
                })
                .collect();
            let showable = Showable::Sky(showing);
            let promise: f64 = stands
                .iter()
                .zip(&open)
                .filter(|(_, open)| **open)
                .map(|(at, _)| delight(&showing) * through_air(at.altitude_deg, &showable))
                .sum();
            let target = EveningTarget { showable, stands, open };
            (promise > 0.0).then_some((promise, target))
        })
        .collect();
    all.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut chosen: Vec<EveningTarget> = Vec::new();
    for (_, target) in all {
        let apart = |other: &EveningTarget| match (other.stands.first(), target.stands.first()) {
            (Some(theirs), Some(ours)) => theirs.apart_deg(ours) >= ONE_TARGET_DEG,
            _ => true,
        };
        if chosen.len() < TARGETS.min(MOST_TARGETS) && chosen.iter().all(apart) {
            chosen.push(target);
        }
    }
    chosen
}

#[cfg(test)]
mod tests;
