//! The purposes of real nights: what a kit is for when it is known what will be up.
//!
//! Each thing that shows becomes a purpose with the ideal exit pupil of its kind (`common practice,
//! no source`, see [`super::purpose`]) and its own size. Its weight is what it promises (rank,
//! altitude, time) times how well the sky shows it, summed over the nights; things that ask for much
//! the same view share one purpose. Finding things keeps a share of its own whatever is up. Shares
//! and slopes are our own choice, written here to be argued with.

use std::collections::BTreeMap;

use super::choose::LANES;
use super::purpose::{Kind, Mix, Purpose, UNUSED, WEIGHT_SUM, general};
use super::rules::Usage;
use super::sight::{Lamps, Moment, PLAIN_MAG, object_margin};
use crate::sky::catalogue::{self, Object};
use crate::sky::seeing_limit::{Eyepiece, TYPICAL_OBSERVER};
use crate::sky::tonight::{self, Showing, Target};
use crate::sky::{Body, Night, Stretch};

/// Kept for star-hopping and for finding faint things, of the whole.
const FINDING_SHARE: f64 = 0.12;

/// Kept for sweeping the Milky Way where all nights are dark for two hours and more.
const SWEEPING_SHARE: f64 = 0.06;

/// How dark counts in full, s.
const LONG_DARKNESS_S: f64 = 7200.0;

/// The telescope that tells how well the sky shows something: a usual one, so that the sky decides
/// and not the instrument.
const USUAL_APERTURE_MM: f64 = 150.0;
const USUAL_PUPIL_MM: f64 = 6.5;
const USUAL_TRANSMISSION: f64 = 0.85;

/// The nights asked about, seen from one site.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlook {
    /// What the kit is to serve.
    pub mix: Mix,
    /// The share of each kind of purpose, in the order of [`Kind::ALL`].
    pub shares: [f64; Kind::ALL.len()],
    /// The same in the general mix.
    pub usual_shares: [f64; Kind::ALL.len()],
    /// Each night.
    pub nights: Vec<NightOutlook>,
    /// What counts most, best first, with its share.
    pub leading: Vec<(Target, f64)>,
}

/// What decides about one night.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NightOutlook {
    /// Sun below −18° and Moon down or faint, s in all.
    pub dark_s: f64,
    /// Sun below −18°, s in all.
    pub deep_s: f64,
    /// The lit share of the Moon.
    pub moon_lit: f64,
}

/// What one thing asks of a view.
#[derive(Debug, Clone, Copy)]
struct Wish {
    target: Target,
    purpose: Purpose,
    gain: f64,
}

impl Wish {
    /// Whether two things ask for much the same view. The Moon and the planets stand for themselves.
    fn is_like(&self, other: &Self) -> bool {
        let near = |a: f64, b: f64, factor: f64| (a / b).ln().abs() < factor.ln();
        let (a, b) = (&self.purpose, &other.purpose);
        let fixed = |wish: &Self| matches!(wish.target, Target::Object(_));
        fixed(self)
            && fixed(other)
            && a.kind == b.kind
            && near(a.ideal_exit_pupil_mm, b.ideal_exit_pupil_mm, 1.06)
            && near(a.size_deg.max(0.02), b.size_deg.max(0.02), 1.5)
    }
}

/// A purpose in the making: the best of the things that ask for it, and what all of them count.
struct Lane {
    best: Wish,
    gain: f64,
}

/// The outlook for some nights under a sky whose moonless zenith has this brightness (V magnitudes
/// per square arcsecond). `None` where nothing shows at all.
#[must_use]
pub fn outlook(nights: &[Night], zenith: f64) -> Option<Outlook> {
    let mut wishes: BTreeMap<&str, Wish> = BTreeMap::new();
    for night in nights {
        let lamps = Lamps::of(night);
        for showing in tonight::showing(night) {
            let shown = showing.promise() * shown_well(night, &lamps, &showing, zenith);
            for (purpose, share) in purposes_of(&showing) {
                let gain = shown * share;
                let target = showing.target;
                wishes.entry(purpose.id).or_insert(Wish { target, purpose, gain: 0.0 }).gain +=
                    gain;
            }
        }
    }
    let mut wishes: Vec<Wish> = wishes.into_values().collect();
    wishes.retain(|wish| wish.gain > 0.0);
    wishes.sort_by(|a, b| b.gain.total_cmp(&a.gain).then(a.purpose.id.cmp(b.purpose.id)));
    let total: f64 = wishes.iter().map(|wish| wish.gain).sum();
    let dark_s = nights.iter().fold(0.0, |sum, night| sum + seconds(&night.dark));
    let darkness = (dark_s / nights.len().max(1) as f64 / LONG_DARKNESS_S).min(1.0);
    let mix = mixed(&wishes, darkness)?;
    let mut leading: Vec<(Target, f64)> = Vec::new();
    for wish in &wishes {
        let share = wish.gain / total;
        match leading.iter_mut().find(|(target, _)| *target == wish.target) {
            Some((_, sum)) => *sum += share,
            None => leading.push((wish.target, share)),
        }
    }
    leading.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.name().cmp(b.0.name())));
    Some(Outlook {
        mix,
        shares: shares(&mix),
        usual_shares: shares(general(Usage::Night)),
        nights: nights
            .iter()
            .map(|night| NightOutlook {
                dark_s: seconds(&night.dark),
                deep_s: seconds(&night.deep),
                moon_lit: night.moon.illuminated_fraction,
            })
            .collect(),
        leading,
    })
}

fn seconds(stretches: &[Stretch]) -> f64 {
    stretches.iter().fold(0.0, |sum, one| sum + one.seconds())
}

/// The share of each kind in a mix.
#[must_use]
pub fn shares(mix: &Mix) -> [f64; Kind::ALL.len()] {
    Kind::ALL.map(|kind| {
        let weight: u32 = mix.iter().filter(|one| one.kind == kind).map(|one| one.weight).sum();
        f64::from(weight) / f64::from(WEIGHT_SUM)
    })
}

/// How well the sky shows something at its best, 0–1: by how far it stands over the threshold of
/// seeing through a usual telescope; a magnitude and a half is plenty.
fn shown_well(night: &Night, lamps: &Lamps<'_>, showing: &Showing, zenith: f64) -> f64 {
    let object = match showing.target {
        // A hair of a Moon shows little.
        Target::Body(Body::Moon) => return (night.moon.illuminated_fraction / 0.1).min(1.0),
        Target::Body(_) => return 1.0,
        Target::Object(object) if showing.target.is_bright() => {
            return if object.pair.is_some() { 1.0 } else { 0.5 };
        }
        Target::Object(object) => object,
    };
    let moment = Moment::best(night, lamps, showing, zenith, 0.0);
    let ideal = ideal_exit_pupil_mm(object).1;
    let eyepiece = Eyepiece {
        effective_aperture_mm: USUAL_APERTURE_MM,
        exit_pupil_mm: ideal,
        eye_pupil_mm: USUAL_PUPIL_MM,
        magnification: USUAL_APERTURE_MM / ideal,
        transmission: USUAL_TRANSMISSION,
        observer: TYPICAL_OBSERVER,
    };
    match object_margin(&eyepiece, object, moment.sky, moment.extinction) {
        Some(margin) => (margin / PLAIN_MAG).clamp(0.0, 1.0),
        // Nobody measured it: it counts half, and the Moon takes its share.
        None if night.dark.is_empty() => 0.15,
        None => 0.5,
    }
}

/// What a thing is looked at for, and how much that counts: an evening goes to the Moon and the
/// large planets first.
pub(super) fn purposes_of(showing: &Showing) -> Vec<(Purpose, f64)> {
    let make = |id, name, kind, ideal_exit_pupil_mm, size_deg| Purpose {
        id,
        name,
        kind,
        ideal_exit_pupil_mm,
        size_deg,
        weight: 0,
    };
    match showing.target {
        Target::Body(Body::Moon) => vec![
            (make("moon", "the whole Moon", Kind::Detail, WHOLE_MOON_MM, 0.52), 1.6),
            (make("moon-seas", "the lunar seas", Kind::Detail, 1.35, 0.25), 1.2),
            (make("moon-craters", "lunar craters", Kind::Detail, 0.85, 0.1), 1.2),
        ],
        Target::Body(body) => {
            let size = showing.looks.map_or(0.01, |looks| looks.diameter_arcsec / 3600.0);
            let ideal = body_ideal_mm(body);
            let share = match body {
                Body::Jupiter | Body::Saturn => 3.0,
                Body::Mars | Body::Venus => 1.5,
                _ => 1.0,
            };
            vec![(make(body.id(), body.in_words(), Kind::Sharp, ideal, size * 3.0), share)]
        }
        Target::Object(object) => {
            let (kind, ideal) = ideal_exit_pupil_mm(object);
            let size = match object.pair {
                Some(pair) => pair.separation_arcsec / 3600.0,
                None => object.major_arcmin.unwrap_or(3.0) / 60.0,
            };
            let name = object.called.unwrap_or_else(|| object.short_name());
            // A double star is looked at once and left again.
            let share = if object.pair.is_some() { 0.4 } else { 1.0 };
            vec![(make(object.name, name, kind, ideal, size), share)]
        }
    }
}

/// The exit pupil that shows a thing best, mm: the first of what it is looked at for.
pub(super) fn first_ideal_mm(target: Target) -> f64 {
    match target {
        Target::Body(Body::Moon) => WHOLE_MOON_MM,
        Target::Body(body) => body_ideal_mm(body),
        Target::Object(object) => ideal_exit_pupil_mm(object).1,
    }
}

/// The beam for the whole Moon, mm.
const WHOLE_MOON_MM: f64 = 2.0;

/// The beam for a planet, mm.
const fn body_ideal_mm(body: Body) -> f64 {
    match body {
        Body::Jupiter | Body::Venus => 1.1,
        Body::Saturn => 1.0,
        Body::Mars => 0.85,
        _ => 0.8,
    }
}

/// The exit pupil that shows an object best, mm, by its kind and size.
#[must_use]
pub fn ideal_exit_pupil_mm(object: &Object) -> (Kind, f64) {
    use catalogue::Kind as What;
    let size = object.major_arcmin.unwrap_or(3.0);
    match object.kind {
        What::Galaxy => (Kind::Faint, between(size, (2.0, 1.5), (30.0, 2.5))),
        What::Globular => (Kind::Faint, between(size, (3.0, 1.5), (15.0, 2.0))),
        What::PlanetaryNebula => (Kind::Detail, between(size, (0.5, 1.0), (4.0, 1.5))),
        What::OpenCluster | What::ClusterWithNebula | What::Asterism => {
            (Kind::Wide, between(size, (5.0, 2.0), (70.0, 4.2)))
        }
        What::Nebula | What::Remnant => (Kind::Wide, between(size, (5.0, 2.5), (120.0, 5.0))),
        What::Double => {
            let apart = object.pair.map_or(5.0, |pair| pair.separation_arcsec);
            (Kind::Sharp, between(apart, (2.0, 0.7), (20.0, 1.3)))
        }
    }
}

/// Between two points, straight on the log of the size, and level beyond them.
fn between(size: f64, low: (f64, f64), high: (f64, f64)) -> f64 {
    let share = (size / low.0).ln() / (high.0 / low.0).ln();
    low.1 + (high.1 - low.1) * share.clamp(0.0, 1.0)
}

/// The mix from wishes in order of their gain.
fn mixed(wishes: &[Wish], darkness: f64) -> Option<Mix> {
    let mut kept = vec![
        (finding("finding-stars", "star-hopping", 5.0), FINDING_SHARE / 2.0),
        (finding("finding-faint", "finding faint things", 4.2), FINDING_SHARE / 2.0),
    ];
    if darkness > 0.0 {
        let sweep = finding("sweep-milky-way", "sweeping the Milky Way", 6.0);
        kept.push((sweep, SWEEPING_SHARE * darkness));
    }
    let room = LANES - kept.len();
    let mut lanes: Vec<Lane> = Vec::new();
    for wish in wishes {
        if let Some(lane) = lanes.iter_mut().find(|lane| lane.best.is_like(wish)) {
            // A crowd of like things counts up to twice its best.
            lane.gain = (lane.gain + 0.25 * wish.gain).min(2.0 * lane.best.gain);
        } else if lanes.len() < room {
            lanes.push(Lane { best: *wish, gain: wish.gain });
        }
    }
    let objects: f64 = lanes.iter().map(|lane| lane.gain).sum();
    if objects <= 0.0 {
        return None;
    }
    let left = 1.0 - kept.iter().map(|(_, share)| share).sum::<f64>();
    kept.extend(lanes.iter().map(|lane| (lane.best.purpose, left * lane.gain / objects)));
    let mut mix = [UNUSED; LANES];
    for (lane, (purpose, share)) in mix.iter_mut().zip(&kept) {
        *lane = Purpose { weight: (share * f64::from(WEIGHT_SUM)).floor() as u32, ..*purpose };
    }
    // What rounding left over goes to what counts most.
    let given: u32 = mix.iter().map(|purpose| purpose.weight).sum();
    if let Some(best) = mix.iter_mut().max_by_key(|purpose| purpose.weight) {
        best.weight += WEIGHT_SUM - given;
    }
    Some(mix)
}

fn finding(id: &'static str, name: &'static str, ideal_exit_pupil_mm: f64) -> Purpose {
    Purpose { id, name, kind: Kind::Sweep, ideal_exit_pupil_mm, size_deg: 0.0, weight: 0 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::{Height, Instant, Latitude, Longitude, Site};

    /// Two nights from a noon in seconds since 1970, over 52° north.
    fn weekend(noon: f64) -> Vec<Night> {
        let site = Site {
            latitude: Latitude::new(52.0).unwrap(),
            longitude: Longitude::new(-2.0).unwrap(),
            height: Height::new(100.0).unwrap(),
        };
        [0.0, 86_400.0]
            .map(|later| Night::after(Instant::from_unix_seconds(noon + later).unwrap(), site))
            .into()
    }

    /// Noon of 2026-10-10 (new Moon) and of 2026-10-24 (nearly full).
    const DARK: f64 = 1_791_633_600.0;
    const MOONLIT: f64 = 1_792_843_200.0;

    fn share(outlook: &Outlook, kind: Kind) -> f64 {
        outlook.shares[kind as usize]
    }

    #[test]
    fn every_real_mix_adds_up_and_shares_no_name() {
        for day in 0..24 {
            let nights = weekend(DARK + f64::from(day) * 15.0 * 86_400.0);
            let Some(outlook) = outlook(&nights, 21.0) else { panic!("nothing shows") };
            let sum: u32 = outlook.mix.iter().map(|one| one.weight).sum();
            assert_eq!(sum, WEIGHT_SUM);
            let mut ids: Vec<&str> =
                outlook.mix.iter().filter(|one| one.weight > 0).map(|one| one.id).collect();
            let count = ids.len();
            assert!(count >= 12, "{count} purposes");
            ids.sort_unstable();
            ids.dedup();
            assert_eq!(ids.len(), count);
            assert!(!ids.contains(&"sun"));
        }
    }

    #[test]
    fn moonlight_turns_a_kit_from_faint_things_to_sharp_ones() {
        let dark = outlook(&weekend(DARK), 21.4).unwrap();
        let moonlit = outlook(&weekend(MOONLIT), 21.4).unwrap();
        assert!(share(&dark, Kind::Faint) > 1.3 * share(&moonlit, Kind::Faint), "{dark:?}");
        let fine = |one: &Outlook| share(one, Kind::Sharp) + share(one, Kind::Detail);
        assert!(fine(&moonlit) > 1.3 * fine(&dark), "{:?} {:?}", moonlit.shares, dark.shares);
        assert!(moonlit.mix.iter().any(|one| one.id == "moon" && one.weight > 0));
    }

    #[test]
    fn a_town_takes_the_faint_things_away() {
        let (country, town) =
            (outlook(&weekend(DARK), 21.6).unwrap(), outlook(&weekend(DARK), 18.0).unwrap());
        assert!(share(&town, Kind::Faint) < share(&country, Kind::Faint));
    }

    #[test]
    fn where_nothing_shows_there_is_no_mix() {
        let site = Site {
            latitude: Latitude::new(80.0).unwrap(),
            longitude: Longitude::new(0.0).unwrap(),
            height: Height::new(0.0).unwrap(),
        };
        let midsummer = Night::after(Instant::from_unix_seconds(1_781_956_800.0).unwrap(), site);
        assert_eq!(outlook(&[midsummer], 21.0), None);
    }
}
