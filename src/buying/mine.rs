//! What to buy next for one's own telescope: worked out from one's eyes, what one owns and the
//! club's list of what is for sale.

use super::candidate_store::Kept;
use super::mine_pages::{Advice, InSet, Set};
use super::report::money;
use crate::kit::purchase::ideal::{range, tried};
use crate::kit::purchase::{
    Demand, Glassware, Lowest, Offer, Origin, Rows, Scene, Search, Stock, Terms, Want, in_ones,
};
use crate::kit::{Bench, Fitted, Own, Question, Settings, Shelf, ShelfTelescope, Solver, Wanted};
use crate::optics::{ApparentField, EyeRelief, Eyepiece, View};
use crate::shelf::EyepieceRecord;
use crate::web::format;

/// Eyepieces in a good set: four or five, as is usual (`common practice, no source`).
const SET: usize = 5;

/// Pieces to wish for until a set is whole.
const WISHES: usize = 4;

/// How far a focal length may be off for a piece of the club's to be worth trying: a sixth.
const LIKE: f64 = 1.0 / 6.0;

/// Everything the answer is worked out from.
pub(super) struct Case {
    pub(super) question: Question,
    pub(super) telescopes: Vec<(String, ShelfTelescope)>,
    pub(super) owned: Vec<(String, Eyepiece)>,
    pub(super) candidates: Vec<Kept>,
    pub(super) club: Vec<EyepieceRecord>,
    pub(super) budget: u64,
}

/// The answer.
pub(super) struct Worked {
    pub(super) today: Vec<Set>,
    pub(super) buy: Vec<Advice>,
    pub(super) cost: String,
    pub(super) proven: bool,
    pub(super) then: Vec<Set>,
    pub(super) wishes: Vec<Advice>,
}

impl Case {
    /// Works it out; none where the time ends first.
    pub(super) fn work(&self, go_on: &dyn Fn() -> bool) -> Option<Worked> {
        let settings = Settings::default();
        let telescopes: Vec<ShelfTelescope> =
            self.telescopes.iter().map(|one| one.1.clone()).collect();
        let questions = [self.question.clone()];
        let scenes = [Scene::default()];
        let wants: Vec<Want> = (0..telescopes.len())
            .map(|telescope| Want { telescope, question: 0, scene: 0, weight: 1 })
            .collect();
        let demand = Demand {
            telescopes: &telescopes,
            questions: &questions,
            scenes: &scenes,
            wants: &wants,
        };
        // Nobody misses what is one's own.
        let terms = Terms { slots: SET, shared: false, threads: 1 };
        let mut owned: Vec<Glassware> =
            self.owned.iter().map(|one| Glassware::Eyepiece(one.1)).collect();
        let offers: Vec<Offer> = self
            .candidates
            .iter()
            .map(|kept| Offer {
                glass: kept.candidate.glass,
                price: u32::try_from(kept.candidate.price.cents()).unwrap_or(u32::MAX),
                most: 1,
            })
            .collect();
        let stock = Stock::new(&owned, &offers, &[]);
        let mut rows =
            Rows::build(stock, &demand, &settings, terms, Lowest::NothingTaken, &mut |_| go_on())?;
        let best = Search::run(&mut rows, self.budget, &[], &mut |_| go_on());
        let bought: Vec<&Kept> = rows
            .stock()
            .lots(&best.taken)
            .filter_map(|(_, lot)| match lot.origin {
                Origin::Offered(at) => Some(&self.candidates[at]),
                Origin::Kept(_) => None,
            })
            .collect();
        let buy = bought
            .iter()
            .map(|kept| Advice {
                what: kept.candidate.name.to_string(),
                says: format!("{}, {}", kept.candidate.in_words(), kept.candidate.price),
                attempt: self.attempt(&kept.candidate.glass),
            })
            .collect();
        let mut wishes = Vec::new();
        for _ in 0..WISHES {
            let Some(all) = tried(&owned, &demand, &settings, terms, &mut |_, _| go_on()) else {
                break;
            };
            let (Some(ideal), Some(first)) = (range(&all), all.first()) else { break };
            let gain = in_ones(ideal.gain) / wants.len().max(1) as f64;
            if gain < 0.002 {
                break;
            }
            let glass = Glassware::Eyepiece(first.eyepiece);
            let lengths = match ideal.focal_length_mm {
                (low, high) if low < high => {
                    format!("{low} to {}", format::millimetres(high))
                }
                (low, _) => format::millimetres(low),
            };
            wishes.push(Advice {
                what: format!(
                    "{lengths}, at least {:.0}° of field and {} of eye relief",
                    ideal.field_deg,
                    format::millimetres(ideal.relief_mm)
                ),
                says: format!("adds {:.1} points", gain * 100.0),
                attempt: self.attempt(&glass),
            });
            owned.push(glass);
        }
        Some(Worked {
            today: self.sets(&[]),
            then: if bought.is_empty() { Vec::new() } else { self.sets(&bought) },
            buy,
            cost: money(best.spent),
            proven: best.is_proven(),
            wishes,
        })
    }

    /// The best set in each telescope with what is owned and these.
    fn sets(&self, more: &[&Kept]) -> Vec<Set> {
        let settings = Settings::default();
        let mut telescopes: Vec<ShelfTelescope> =
            self.telescopes.iter().map(|one| one.1.clone()).collect();
        let mut names: Vec<(String, bool)> =
            self.owned.iter().map(|one| (one.0.clone(), false)).collect();
        let mut eyepieces: Vec<Eyepiece> = self.owned.iter().map(|one| one.1).collect();
        let mut barlows = Vec::new();
        let mut barlow_names = Vec::new();
        // By position behind the telescopes as they are.
        let mut correctors = Vec::new();
        for kept in more {
            match kept.candidate.glass {
                Glassware::Eyepiece(one) => {
                    eyepieces.push(one);
                    names.push((kept.candidate.name.to_string(), true));
                }
                Glassware::Barlow(one) => {
                    barlows.push(one);
                    barlow_names.push(kept.candidate.name.to_string());
                }
                Glassware::Corrector(one) => {
                    for telescope in 0..self.telescopes.len() {
                        let plain = telescopes[telescope].clone();
                        if let Some(spec) = plain.spec.with_corrector(&one) {
                            // Nobody misses it, as in the purchase: so many that scarcity is none.
                            let fitted =
                                Some(Fitted { telescope, copies: usize::MAX, mass: one.mass });
                            telescopes.push(ShelfTelescope { spec, fitted, ..plain });
                            correctors.push(kept.candidate.name.to_string());
                        }
                    }
                }
            }
        }
        let shelf = Shelf { telescopes: &telescopes, eyepieces: &eyepieces, barlows: &barlows };
        let own = Own {
            telescopes: telescopes.len(),
            eyepieces: eyepieces.len(),
            barlows: barlows.len(),
        };
        let solver = Solver::new(shelf, &self.question, &settings).with_own(own);
        let wanted = Wanted { max_eyepieces: SET, barlow: true, limit: telescopes.len() };
        let answer = solver.solve(wanted, 1, &|| false);
        let mut sets: Vec<Set> = answer
            .kits
            .iter()
            .map(|kit| {
                let laid = &telescopes[kit.telescope];
                let itself = laid.fitted.map_or(kit.telescope, |fitted| fitted.telescope);
                let telescope = &laid.spec;
                let seen = |at: usize| View::of(telescope, &eyepieces[at], None);
                let mut order = kit.eyepieces.clone();
                order.sort_by(|a, b| {
                    seen(*a).magnification().times().total_cmp(&seen(*b).magnification().times())
                });
                let mut pieces: Vec<InSet> = order
                    .into_iter()
                    .map(|at| {
                        let view = seen(at);
                        let (what, new) = names[at].clone();
                        InSet { what, view: seen_in_words(&view), new }
                    })
                    .collect();
                let corrector = kit.telescope.checked_sub(self.telescopes.len());
                if let Some(what) = corrector.and_then(|at| correctors.get(at)) {
                    pieces.push(InSet {
                        what: what.clone(),
                        view: "stays in the focuser".into(),
                        new: true,
                    });
                }
                if let Some(at) = kit.barlow {
                    let bench = Bench::new(telescope, laid.sun_filter, &self.question, &settings);
                    let with = kit.eyepieces.iter().map(|eyepiece| &eyepieces[*eyepiece]);
                    let usable = with.filter(|one| bench.screen(one, Some(&barlows[at])).is_some());
                    let mut views: Vec<View> =
                        usable.map(|one| View::of(telescope, one, Some(&barlows[at]))).collect();
                    views.sort_by(|one, other| {
                        one.magnification().times().total_cmp(&other.magnification().times())
                    });
                    let each = views.iter().map(seen_in_words).collect::<Vec<_>>();
                    pieces.push(InSet {
                        what: barlow_names[at].clone(),
                        view: format!("with the others {}", each.join("; ")),
                        new: true,
                    });
                }
                Set {
                    telescope: self.telescopes[itself].0.clone(),
                    points: format!("{:.1}", kit.value * 100.0),
                    pieces,
                }
            })
            .collect();
        sets.sort_by(|one, other| one.telescope.cmp(&other.telescope));
        sets
    }

    /// The club's piece that is most like this one, to try before buying.
    fn attempt(&self, glass: &Glassware) -> Option<(String, String, String)> {
        let Glassware::Eyepiece(wanted) = glass else { return None };
        let length = wanted.focal_length().mm();
        let relief = |one: &Eyepiece| one.relief().map_or(0.0, EyeRelief::mm);
        let field = |one: &Eyepiece| one.apparent_field().map_or(0.0, ApparentField::deg);
        let unlike = |one: &Eyepiece| {
            (one.focal_length().mm() / length).ln().abs() * 20.0
                + (relief(wanted) - relief(one)).max(0.0)
                + (field(wanted) - field(one)).max(0.0) / 5.0
        };
        let like = self
            .club
            .iter()
            .filter(|item| (item.figures.focal_length().mm() / length).ln().abs() <= LIKE);
        let best =
            like.min_by(|one, other| unlike(&one.figures).total_cmp(&unlike(&other.figures)))?;
        let address = format!("/reserve/calendar?items={}", best.id.0);
        Some((best.facts.tag.to_string(), best.facts.name.to_string(), address))
    }
}

/// "152×, exit pupil 1.3 mm".
fn seen_in_words(view: &View) -> String {
    format!(
        "{}, exit pupil {}",
        format::power(view.magnification().times()),
        format::exit_pupil(view.exit_pupil().mm())
    )
}
