//! How many a night's stations serve, how long people wait, and what one more station or a mount
//! that follows the sky would change; and who reaches which eyepiece. Pure.

use super::hours::stands;
use super::keeping::Around;
use super::model::{PublicNight, Station};
use crate::kit::stations::height::{Places, Posture, Reach, height_mm, reach};
use crate::kit::stations::queue::{CHANGE_S, Coming, Queue, Service, simulate};
use crate::optics::{Declination, DriftTime, Tracking, View};
use crate::sky::Direction;
use crate::web::format;

/// So many evenings are simulated; the mean wait is then known to a few per cent.
const EVENINGS: u32 = 200;

/// Any number: the same one gives the same answer.
const SEED: u64 = 20_260_605;

/// One station's queue, with what it is worked out from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StationQueue {
    /// The station's number.
    pub number: i64,
    /// Its evening.
    pub service: Service,
    /// What the queue does.
    pub queue: Queue,
}

/// Whether visitors come all at once: where most are children, a class comes (our own choice).
fn coming(night: &PublicNight) -> Coming {
    let occasion = &night.occasion;
    if occasion.children * 2 > occasion.visitors { Coming::AtOnce } else { Coming::OneByOne }
}

/// The evening of a station; none where it shows nothing or the hours are not known.
fn service(station: &Station, around: &Around) -> Option<Service> {
    let (hours, site) = (around.hours.as_ref()?, around.site.as_ref()?);
    let scope = around.shelf.telescopes.iter().find(|one| one.id == station.telescope)?;
    let eyepiece = around.shelf.eyepieces.iter().find(|one| Some(one.id) == station.eyepiece);
    let follows = scope.figures.optics.tracking() == Some(Tracking::Tracks);
    let (mut closed_s, mut before, mut shortest) = (0.0, None, None::<f64>);
    for (aim, slot) in station.aims.iter().zip(&hours.slots) {
        let Some(aim) = *aim else {
            closed_s += slot.seconds();
            before = None;
            continue;
        };
        if before.is_some_and(|before| before != aim) {
            closed_s += CHANGE_S;
        }
        before = Some(aim);
        if let (false, Some(eyepiece)) = (follows, eyepiece) {
            let view = View::of(&scope.figures.optics, &eyepiece.figures, None);
            let middle = slot.from.later(slot.seconds() / 2.0);
            let dec = Declination::new(stands(aim, middle, site.place).dec_deg).ok()?;
            let drift = view.drift_time(dec).map(DriftTime::s);
            shortest = match (shortest, drift) {
                (Some(a), Some(b)) => Some(a.min(b)),
                (a, b) => a.or(b),
            };
        }
    }
    let evening_s = hours.whole.seconds();
    (closed_s < evening_s).then_some(Service { evening_s, closed_s, drift_s: shortest })
}

/// The queue at each station that shows something, with visitors shared among them.
#[must_use]
pub fn queues(night: &PublicNight, around: &Around) -> Vec<StationQueue> {
    let services: Vec<(i64, Service)> =
        night.stations.iter().filter_map(|one| Some((one.number, service(one, around)?))).collect();
    let each = f64::from(night.occasion.visitors) / services.len().max(1) as f64;
    services
        .into_iter()
        .map(|(number, service)| {
            let queue = simulate(&service, each, coming(night), EVENINGS, SEED);
            StationQueue { number, service, queue }
        })
        .collect()
}

/// A station's queue in one sentence.
#[must_use]
pub fn says(one: &StationQueue) -> String {
    format!(
        "Serves about {:.0} visitors; they wait about {}, nine in ten of them at most {}.",
        one.queue.served,
        minutes(one.queue.wait_s),
        minutes(one.queue.long_wait_s)
    )
}

fn minutes(seconds: f64) -> String {
    if seconds < 90.0 { "a minute".to_owned() } else { format!("{:.0} minutes", seconds / 60.0) }
}

/// What holds for all stations together, and what would change it.
#[must_use]
pub fn together(night: &PublicNight, all: &[StationQueue]) -> Vec<String> {
    if all.is_empty() || night.occasion.visitors == 0 {
        return Vec::new();
    }
    let visitors = f64::from(night.occasion.visitors);
    let total = |queues: &[Queue]| {
        let served: f64 = queues.iter().map(|one| one.served).sum();
        let waited: f64 = queues.iter().map(|one| one.served * one.wait_s).sum();
        (served, if served > 0.0 { waited / served } else { 0.0 })
    };
    let now: Vec<Queue> = all.iter().map(|one| one.queue).collect();
    let (served, wait) = total(&now);
    let come = match coming(night) {
        Coming::AtOnce => "All come at the beginning, as a class does",
        Coming::OneByOne => "Visitors come one by one",
    };
    let mut says = vec![format!(
        "{come} and look once each: about {:.0} of {visitors:.0} get their look, after {} on average.",
        served.min(visitors),
        minutes(wait)
    )];
    // One more like the best of those that are there.
    let best = all.iter().max_by(|a, b| a.service.capacity().total_cmp(&b.service.capacity()));
    if let Some(best) = best {
        let each = visitors / (all.len() + 1) as f64;
        let more: Vec<Queue> = all
            .iter()
            .map(|one| &one.service)
            .chain([&best.service])
            .map(|service| simulate(service, each, coming(night), EVENINGS, SEED))
            .collect();
        says.push(change("One more station", total(&more), (served, wait), visitors));
    }
    if all.iter().any(|one| one.service.drift_s.is_some()) {
        let each = visitors / all.len() as f64;
        let follows: Vec<Queue> = all
            .iter()
            .map(|one| Service { drift_s: None, ..one.service })
            .map(|service| simulate(&service, each, coming(night), EVENINGS, SEED))
            .collect();
        says.push(change("Mounts that follow the sky", total(&follows), (served, wait), visitors));
    }
    says
}

fn change(what: &str, then: (f64, f64), now: (f64, f64), visitors: f64) -> String {
    let more = (then.0.min(visitors) - now.0.min(visitors)).round();
    let shorter = (now.1 - then.1) / 60.0;
    match (more >= 1.0, shorter >= 0.5) {
        (false, false) => format!("{what} would change next to nothing."),
        (false, true) => format!("{what} would shorten the wait by about {shorter:.0} minutes."),
        (true, false) => format!("{what} would give about {more:.0} more their look."),
        (true, true) => format!(
            "{what} would give about {more:.0} more their look and shorten the wait by about {shorter:.0} minutes."
        ),
    }
}

/// Who reaches a telescope's eyepiece, pointing so high; none where its heights are not recorded or
/// its layout says nothing.
#[must_use]
pub fn reaches(station: &Station, around: &Around, at: Direction) -> Option<Reach> {
    let scope = around.shelf.telescopes.iter().find(|one| one.id == station.telescope)?;
    let heights = scope.figures.eyepiece_height;
    let places = Places { lowest_mm: heights.min_mm()?, highest_mm: heights.max_mm()? };
    height_mm(scope.figures.optics.layout(), places, at.altitude_deg).map(reach)
}

/// The same in one sentence.
#[must_use]
pub fn reach_says(one: &Reach) -> String {
    let metres = one.height_mm / 1000.0;
    let adults = match one.adults {
        Posture::Sit => "grown-ups sit on a chair",
        Posture::Stand => "grown-ups stand",
        Posture::SomeStep => "smaller grown-ups need a step",
        Posture::AllStep => "everybody needs a step",
    };
    let children = match one.child_step_mm {
        None => "children reach it from the ground".to_owned(),
        Some(_) if one.beyond_children => {
            "it is too high for small children: give them a lower telescope".to_owned()
        }
        Some(step) => format!("children of six need a step of {:.0} cm", (step / 10.0).ceil()),
    };
    let seated = if one.seated { "; within reach of a wheelchair" } else { "" };
    format!("The eyepiece stands {metres:.1} m high: {adults}, {children}{seated}.")
}

/// Who reaches a station's eyepiece over the evening: at its lowest and at its highest.
#[must_use]
pub fn reach_over(station: &Station, around: &Around) -> Vec<String> {
    let (Some(hours), Some(site)) = (&around.hours, &around.site) else { return Vec::new() };
    let mut all: Vec<Reach> = station
        .aims
        .iter()
        .zip(&hours.slots)
        .filter_map(|(aim, slot)| {
            let middle = slot.from.later(slot.seconds() / 2.0);
            reaches(station, around, stands((*aim)?, middle, site.place))
        })
        .collect();
    all.sort_by(|a, b| a.height_mm.total_cmp(&b.height_mm));
    match (all.first(), all.last()) {
        (Some(low), Some(high)) if high.height_mm - low.height_mm > 100.0 => {
            vec![
                format!("At its lowest: {}", lower(&reach_says(low))),
                format!("At its highest: {}", lower(&reach_says(high))),
            ]
        }
        (Some(low), _) => vec![reach_says(low)],
        _ => Vec::new(),
    }
}

fn lower(sentence: &str) -> String {
    let mut letters = sentence.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}

/// Whether any station can be used from a wheelchair in at least one half hour.
#[must_use]
pub fn any_seated(night: &PublicNight, around: &Around) -> bool {
    let (Some(hours), Some(site)) = (&around.hours, &around.site) else { return false };
    night.stations.iter().any(|station| {
        station.aims.iter().zip(&hours.slots).any(|(aim, slot)| {
            let middle = slot.from.later(slot.seconds() / 2.0);
            aim.and_then(|aim| reaches(station, around, stands(aim, middle, site.place)))
                .is_some_and(|reach| reach.seated)
        })
    })
}

/// A warning where wheelchairs are expected and no station is known to be within reach.
#[must_use]
pub fn seated_says(night: &PublicNight, around: &Around) -> Option<String> {
    let wanted = night.occasion.wheelchairs > 0 && !night.stations.is_empty();
    (wanted && !any_seated(night, around)).then(|| {
        format!(
            "{} in a wheelchair, and no station is known to be within reach: choose a lower telescope, or write down how high its eyepiece stands.",
            format::sentence_case(&format::count(night.occasion.wheelchairs as usize, "visitor comes", "visitors come"))
        )
    })
}
