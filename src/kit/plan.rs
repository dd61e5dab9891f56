//! A plan for one night with one kit: what to look at, in which order, through which view.

use std::cmp::Ordering;

pub use super::sight::Air;
use super::sight::{Glass, Lamps, Moment, Outline, Sight, Wanted};
use super::story::ViewFacts;
use crate::optics::{self, Telescope};
use crate::sky::catalogue::Kind;
use crate::sky::tonight::{self, Showing, Target, Up};
use crate::sky::{Instant, Night, Stretch};

use super::{Bench, Verdict};

/// Of one kind of thing, no more than so many: an evening wants change.
const MOST_OF_A_KIND: usize = 3;

/// What stands nearer together than this is one stop, degrees.
const ONE_STOP_DEG: f64 = 0.6;

/// The highest rank of an object.
const HIGHEST_RANK: u8 = 3;

/// What each compromise of the rules leaves of a view, as in [`super::worth`].
pub(super) const PER_COMPROMISE: f64 = 0.85;

/// Under this worth a sight is not worth a stop.
const WORTH_A_STOP: f64 = 0.08;

/// A view of the kit that the rules admit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct KitGlass {
    /// Position of the eyepiece.
    pub eyepiece: usize,
    /// Position of the Barlow, where it is used.
    pub barlow: Option<usize>,
    /// What it shows.
    pub glass: Glass,
    /// What its compromises leave of its worth.
    pub ease: f64,
}

/// The views of a telescope with these eyepieces and Barlows that the rules admit, weakest first.
#[must_use]
pub fn admissible(
    bench: &Bench<'_>,
    telescope: &Telescope,
    eyepieces: &[optics::Eyepiece],
    barlows: &[optics::Barlow],
) -> Vec<KitGlass> {
    let lenses = std::iter::once(None).chain((0..barlows.len()).map(Some));
    let mut views: Vec<KitGlass> = lenses
        .flat_map(|barlow| (0..eyepieces.len()).map(move |eyepiece| (eyepiece, barlow)))
        .filter_map(|(eyepiece, barlow)| {
            let (glass, lens) = (&eyepieces[eyepiece], barlow.map(|at| &barlows[at]));
            let assessment = bench.assess(glass, lens);
            if assessment.verdict() == Verdict::Unsuitable {
                return None;
            }
            let compromises = assessment.findings.iter().filter(|finding| {
                super::rules::verdict_of(finding.rule, finding.standing) == Verdict::Compromise
            });
            let compromises = i32::try_from(compromises.count()).unwrap_or(i32::MAX);
            let obstruction =
                telescope.obstruction_ratio().map_or(0.0, optics::ObstructionRatio::fraction);
            Some(KitGlass {
                eyepiece,
                barlow,
                glass: Glass {
                    facts: ViewFacts::of(bench, glass, lens),
                    aperture: telescope.aperture(),
                    obstruction,
                },
                ease: PER_COMPROMISE.powi(compromises),
            })
        })
        .collect();
    views.sort_by(|a, b| a.glass.facts.magnification.total_cmp(&b.glass.facts.magnification));
    views
}

/// Something to look at, through one of the views.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stop {
    /// What, and when it stands best.
    pub showing: Showing,
    /// Position among the views.
    pub view: usize,
    /// What that view shows.
    pub sight: Sight,
    /// The moment at which it does.
    pub moment: Moment,
    /// The stretch around its best moment in which it can be looked at.
    pub window: Stretch,
    /// How much it promises: its promise tonight times what the view makes of it.
    pub score: f64,
}

/// Everything that shows, each with the view that shows it best, the most promising first.
#[must_use]
pub fn everything(night: &Night, views: &[KitGlass], air: Air) -> Vec<Stop> {
    let lamps = Lamps::of(night);
    let shown = tonight::showing(night).into_iter();
    let mut all: Vec<Stop> =
        shown.filter_map(|showing| look(night, &lamps, views, air, showing)).collect();
    all.sort_by(by_score);
    all
}

fn look(
    night: &Night,
    lamps: &Lamps<'_>,
    views: &[KitGlass],
    air: Air,
    showing: Showing,
) -> Option<Stop> {
    let moment = Moment::best(night, lamps, &showing, air.zenith, air.seeing_arcsec);
    let (view, sight, worth) = best_view(views, &showing, &moment)?;
    let window = Stretch { from: showing.best, to: showing.best };
    let score = showing.promise() * worth;
    Some(Stop { showing, view, sight, moment, window, score })
}

fn by_score(a: &Stop, b: &Stop) -> Ordering {
    b.score.total_cmp(&a.score).then_with(|| tonight::by_promise(&a.showing, &b.showing))
}

/// [`everything`], one after the other and no further than somebody asks. A sight is worth at most
/// 1, so nothing scores more than it promises, and nothing of a rank promises more than the rank
/// does: what can't come next is not looked at.
struct InTurn<'a> {
    night: &'a Night,
    lamps: Lamps<'a>,
    views: &'a [KitGlass],
    air: Air,
    up: Up<'a>,
    /// The next rank to be asked for; none when all were.
    rank: Option<u8>,
    /// What shows and was not looked at, the most promising last.
    waiting: Vec<Showing>,
    /// What was looked at, the best last.
    seen: Vec<Stop>,
}

impl<'a> InTurn<'a> {
    fn of(night: &'a Night, views: &'a [KitGlass], air: Air) -> Self {
        let up = Up::of(night);
        let mut waiting = up.bodies();
        waiting.sort_by(|a, b| tonight::by_promise(b, a));
        let (lamps, rank) = (Lamps::of(night), Some(HIGHEST_RANK));
        Self { night, lamps, views, air, up, rank, waiting, seen: Vec::new() }
    }
}

impl Iterator for InTurn<'_> {
    type Item = Stop;

    fn next(&mut self) -> Option<Stop> {
        loop {
            let promised = self.waiting.last().map(Showing::promise);
            let unasked = self.rank.map(tonight::most_promised);
            let best = self.seen.last().map(|stop| stop.score);
            // Of equals all are looked at, so that ties fall as in the whole list.
            if best.is_some_and(|best| Some(best) > promised && Some(best) > unasked) {
                return self.seen.pop();
            }
            if let Some(rank) = self.rank.filter(|_| unasked >= promised) {
                self.waiting.extend(self.up.objects(|other| other == rank));
                self.waiting.sort_by(|a, b| tonight::by_promise(b, a));
                self.rank = rank.checked_sub(1);
            } else if let Some(showing) = self.waiting.pop() {
                if let Some(stop) = look(self.night, &self.lamps, self.views, self.air, showing) {
                    let at = self.seen.partition_point(|one| by_score(one, &stop).is_gt());
                    self.seen.insert(at, stop);
                }
            } else {
                return self.seen.pop();
            }
        }
    }
}

fn best_view(
    views: &[KitGlass],
    showing: &Showing,
    moment: &Moment,
) -> Option<(usize, Sight, f64)> {
    let wanted = Wanted::of(showing);
    let mut order: Vec<(usize, Outline, f64)> = views
        .iter()
        .enumerate()
        .map(|(at, view)| {
            let outline = Outline::of(&view.glass, &wanted);
            (at, outline, outline.most * view.ease)
        })
        .collect();
    // The most promising first, so that the sky is asked about few of them.
    order.sort_by(|a, b| b.2.total_cmp(&a.2).then(a.0.cmp(&b.0)));
    let mut best: Option<(usize, Sight, f64)> = None;
    for (at, outline, most) in order {
        if best.is_some_and(|(_, _, worth)| most < worth) {
            break;
        }
        let view = &views[at];
        let sight = outline.filled(&view.glass, showing, moment);
        let worth = sight.worth * view.ease;
        // Of equals the first, which has the lower power.
        if best.is_none_or(|(first, _, most)| worth > most || (worth >= most && at < first)) {
            best = Some((at, sight, worth));
        }
    }
    best
}

/// At most so many stops, in the order in which to look: what stands best first comes first, and of
/// two such what goes sooner.
#[must_use]
pub fn stops(night: &Night, views: &[KitGlass], air: Air, most: usize) -> Vec<Stop> {
    chosen(night, InTurn::of(night, views, air), most)
}

/// The stops out of all that shows, the most promising first.
fn chosen(night: &Night, all: impl IntoIterator<Item = Stop>, most: usize) -> Vec<Stop> {
    let mut chosen: Vec<Stop> = Vec::new();
    for stop in all {
        if chosen.len() == most {
            break;
        }
        if stop.sight.worth < WORTH_A_STOP {
            continue;
        }
        let like = chosen.iter().filter(|one| kind(one) == kind(&stop)).count();
        let near = chosen.iter().any(|one| are_neighbours(one, &stop));
        let fixed = kind(&stop).is_some();
        if !(near || fixed && like >= MOST_OF_A_KIND) {
            chosen.push(stop);
        }
    }
    for stop in &mut chosen {
        stop.window = window(night, &stop.showing);
    }
    chosen.sort_by(|a, b| {
        let order = |a: Instant, b: Instant| a.since(b).total_cmp(&0.0);
        order(a.showing.best, b.showing.best).then(order(a.window.to, b.window.to))
    });
    chosen
}

/// Whether two things stand in one field: turning there once is enough. The Moon and the planets
/// move on and stand for themselves.
fn are_neighbours(a: &Stop, b: &Stop) -> bool {
    let place = |stop: &Stop| match stop.showing.target {
        Target::Body(_) => None,
        Target::Object(object) => Some((object.ra_deg, object.dec_deg)),
    };
    let (Some(a), Some(b)) = (place(a), place(b)) else { return false };
    let across = (a.0 - b.0 + 180.0).rem_euclid(360.0) - 180.0;
    let across = across * f64::midpoint(a.1, b.1).to_radians().cos();
    across.hypot(a.1 - b.1) < ONE_STOP_DEG
}

fn kind(stop: &Stop) -> Option<Kind> {
    match stop.showing.target {
        Target::Body(_) => None,
        Target::Object(object) => Some(object.kind),
    }
}

/// The stretch around its best moment in which it is high enough, and nothing hides it.
fn window(night: &Night, showing: &Showing) -> Stretch {
    let track = match showing.target {
        Target::Body(body) => night.track(body),
        Target::Object(object) => night.star_track(object.ra_deg, object.dec_deg),
    };
    let clear = night.clear(&track, &night.stretches(showing.target.is_bright()));
    // The best moment may stand on an edge.
    let near =
        |one: &Stretch| one.from.since(showing.best).max(showing.best.since(one.to)).max(0.0);
    clear
        .into_iter()
        .min_by(|a, b| near(a).total_cmp(&near(b)))
        .unwrap_or(Stretch { from: showing.best, to: showing.best })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::eye::{Glasses, Observer};
    use crate::kit::{Question, Settings, SunFilter, Usage};
    use crate::optics::{
        Age, Aperture, ApparentField, Barrel, EyeRelief, Eyepiece, EyepieceFocalLength,
        EyepieceSpec, Layout, Telescope, TelescopeFocalLength, TelescopeSpec,
    };
    use crate::sky::{Height, Horizon, Latitude, Longitude, Site, Skyline};

    fn views() -> Vec<KitGlass> {
        let telescope = Telescope::new(TelescopeSpec {
            focuser: Some(Barrel::Wide),
            ..TelescopeSpec::new(
                Layout::Refractor,
                Aperture::new(150.0).unwrap(),
                TelescopeFocalLength::new(900.0).unwrap(),
            )
        })
        .unwrap();
        let question = Question {
            observer: Observer::person(Age::new(45.0).unwrap(), Glasses::None),
            seeing: None,
            usage: Usage::Night,
            tonight: None,
        };
        let settings = Settings::default();
        let bench = Bench::new(&telescope, SunFilter::Missing, &question, &settings);
        let glass = [32.0, 20.0, 12.0, 8.0].map(|mm| {
            Eyepiece::new(EyepieceSpec {
                barrel: Some(Barrel::Standard),
                apparent_field: Some(ApparentField::new(60.0).unwrap()),
                eye_relief: Some(EyeRelief::new(18.0).unwrap()),
                ..EyepieceSpec::new(EyepieceFocalLength::new(mm).unwrap())
            })
            .unwrap()
        });
        admissible(&bench, &telescope, &glass, &[])
    }

    #[test]
    fn asking_in_turn_chooses_what_asking_for_everything_chooses() {
        let views = views();
        let mut spared = 0;
        let places =
            [(-78.0, 0.0), (-34.0, 17.0), (0.0, 34.0), (38.0, 51.0), (52.0, -8.0), (66.0, 85.0)];
        for (latitude, longitude) in places {
            for month in 0..13 {
                // From noon of 2026-01-18, a new Moon.
                let noon = 1_768_737_600.0 + f64::from(month) * 33.3 * 86_400.0;
                let site = Site {
                    latitude: Latitude::new(latitude).unwrap(),
                    longitude: Longitude::new(longitude).unwrap(),
                    height: Height::new(0.0).unwrap(),
                };
                let trees = f64::from(month % 3) * 12.0;
                let night = Night::after(Instant::from_unix_seconds(noon).unwrap(), site)
                    .behind(Horizon::new([Skyline::new(trees).unwrap(); 8]));
                let air = Air { zenith: 18.5 + f64::from(month % 4), seeing_arcsec: 2.0 };
                let all = everything(&night, &views, air);
                let in_turn: Vec<Stop> = InTurn::of(&night, &views, air).collect();
                assert_eq!(in_turn, all, "{latitude} {month}: the whole list");
                for most in [1, 9, 40] {
                    let (whole, part) =
                        (chosen(&night, all.clone(), most), stops(&night, &views, air, most));
                    assert_eq!(part, whole, "{latitude} {month} {most}");
                }
                let mut few = InTurn::of(&night, &views, air);
                let _ = few.by_ref().take(9).count();
                spared += usize::from(few.rank.is_some());
            }
        }
        assert!(spared > 40, "{spared}: it asks for everything all the same");
    }
}
