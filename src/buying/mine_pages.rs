//! `/buying/mine`: what to buy next for one's own telescope.

use std::time::Duration;

use askama::Template;
use askama_web::WebTemplate;
use axum::extract::State;
use serde::Deserialize;

use super::candidate::glass_in_words;
use super::candidate_store::{Kept, candidates};
use super::report::money;
use crate::choosing::desk;
use crate::kit::purchase::ideal::{range, tried};
use crate::kit::purchase::{
    Demand, Glassware, Lowest, Offer, Origin, Rows, Scene, Search, Stock, Terms, Want, in_ones,
};
use crate::kit::{Question, Settings, Shelf, ShelfTelescope, Solver, SunFilter, Usage, Wanted};
use crate::optics::{ApparentField, EyeRelief, Eyepiece, View};
use crate::people;
use crate::people::access::SignedIn;
use crate::profile::own_case;
use crate::profile::whose::own_member;
use crate::shelf::{self, EyepieceRecord, Worth};
use crate::store::Store;
use crate::web::body::Query;
use crate::web::clock::Clock;
use crate::web::field::Field;
use crate::web::format;
use crate::web::frame::{Frame, Place};
use crate::web::problem::Problem;

/// Eyepieces in a good set: four or five, as is usual (`common practice, no source`).
const SET: usize = 5;

/// Pieces to wish for until a set is whole.
const WISHES: usize = 4;

/// How far a focal length may be off for a piece of the club's to be worth trying: a sixth.
const LIKE: f64 = 1.0 / 6.0;

/// What stands after the question mark.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct Asked {
    budget: String,
}

/// An eyepiece of a set in one telescope.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InSet {
    /// What it is.
    pub what: String,
    /// "152×, exit pupil 1.3 mm".
    pub view: String,
    /// Whether it would be bought.
    pub new: bool,
}

/// A set for one telescope.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Set {
    /// The telescope.
    pub telescope: String,
    /// Value, in points.
    pub points: String,
    /// Its eyepieces from low to high power.
    pub pieces: Vec<InSet>,
}

/// Something to buy, and what to try before.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Advice {
    /// What to buy.
    pub what: String,
    /// Why: price, or what it adds.
    pub says: String,
    /// A piece of the club's to try: tag, name, address of its free nights.
    pub attempt: Option<(String, String, String)>,
}

/// `/buying/mine`
#[derive(Template, WebTemplate)]
#[template(path = "buying/mine.html")]
pub struct MinePage {
    /// The frame.
    pub frame: Frame,
    /// The budget as typed.
    pub budget: Field,
    /// Whether there is an own telescope.
    pub has_telescope: bool,
    /// Sets of today.
    pub today: Vec<Set>,
    /// What to buy from the club's list under the budget.
    pub buy: Vec<Advice>,
    /// What it costs.
    pub cost: String,
    /// Whether the choice is proven.
    pub proven: bool,
    /// How many candidates the club's list has.
    pub candidates: usize,
    /// Sets with that.
    pub then: Vec<Set>,
    /// What would make the set whole, whatever is for sale.
    pub wishes: Vec<Advice>,
}

/// Everything the answer is worked out from.
struct Case {
    question: Question,
    telescopes: Vec<(String, ShelfTelescope)>,
    owned: Vec<(String, Eyepiece)>,
    candidates: Vec<Kept>,
    club: Vec<EyepieceRecord>,
    budget: u64,
}

/// `GET /buying/mine`
///
/// # Errors
/// 404 for an account of nobody on the list, 503 when too many ask at once, or the database could
/// not be read.
pub async fn look(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Query(asked): Query<Asked>,
) -> Result<MinePage, Problem> {
    let member = own_member(&who.account)?;
    let mut tx = store.reader().begin().await?;
    let case = own_case(&mut tx, member).await?;
    let eyes = people::member_eye(&mut tx, member).await?;
    let candidates = candidates(&mut tx).await?;
    let club = shelf::eyepieces_in_service(&mut tx).await?;
    drop(tx);
    let mut budget = Field::of(asked.budget.trim());
    let money = match budget.value.as_str() {
        "" => {
            budget.value = "200".into();
            20_000
        }
        text => match Worth::parse(text) {
            Ok(worth) => worth.cents().unsigned_abs(),
            Err(why) => {
                budget.refuse(why.to_string());
                0
            }
        },
    };
    let observer = eyes.observer(clock.today().year());
    let case = Case {
        question: Question { observer, seeing: None, usage: Usage::Night, tonight: None },
        telescopes: case
            .telescopes
            .iter()
            .map(|own| {
                let telescope = ShelfTelescope::plain(own.figures, SunFilter::Missing);
                (own.name.to_string(), telescope)
            })
            .collect(),
        owned: case.eyepieces.iter().map(|own| (own.name.to_string(), own.figures)).collect(),
        candidates,
        club,
        budget: money,
    };
    let frame = who.visit.frame("My next eyepiece").at(Place::Me).returning_to("/buying/mine");
    let page = MinePage {
        frame,
        budget,
        has_telescope: !case.telescopes.is_empty(),
        today: Vec::new(),
        buy: Vec::new(),
        cost: String::new(),
        proven: true,
        candidates: case.candidates.len(),
        then: Vec::new(),
        wishes: Vec::new(),
    };
    if !page.has_telescope {
        return Ok(page);
    }
    let worked = desk::search_within(Duration::from_secs(6), move |budget, _| {
        case.work(&|| !(budget.telling)())
    })
    .await?;
    let worked = worked.ok_or_else(Problem::busy)?;
    Ok(MinePage {
        today: worked.today,
        buy: worked.buy,
        cost: worked.cost,
        proven: worked.proven,
        then: worked.then,
        wishes: worked.wishes,
        ..page
    })
}

struct Worked {
    today: Vec<Set>,
    buy: Vec<Advice>,
    cost: String,
    proven: bool,
    then: Vec<Set>,
    wishes: Vec<Advice>,
}

impl Case {
    fn work(&self, go_on: &dyn Fn() -> bool) -> Option<Worked> {
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
        let telescopes: Vec<ShelfTelescope> =
            self.telescopes.iter().map(|one| one.1.clone()).collect();
        let mut names: Vec<(String, bool)> =
            self.owned.iter().map(|one| (one.0.clone(), false)).collect();
        let mut eyepieces: Vec<Eyepiece> = self.owned.iter().map(|one| one.1).collect();
        let mut barlows = Vec::new();
        let mut barlow_names = Vec::new();
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
            }
        }
        let shelf = Shelf { telescopes: &telescopes, eyepieces: &eyepieces, barlows: &barlows };
        let own = crate::kit::Own { telescopes: telescopes.len(), eyepieces: eyepieces.len() };
        let solver = Solver::new(shelf, &self.question, &settings).with_own(own);
        let wanted = Wanted { max_eyepieces: SET, barlow: true, limit: telescopes.len() };
        let answer = solver.solve(wanted, 1, &|| false);
        let mut sets: Vec<Set> = answer
            .kits
            .iter()
            .map(|kit| {
                let telescope = &telescopes[kit.telescope].spec;
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
                        let view = format!(
                            "{}, exit pupil {}",
                            format::power(view.magnification().times()),
                            format::exit_pupil(view.exit_pupil().mm())
                        );
                        InSet { what, view, new }
                    })
                    .collect();
                if let Some(at) = kit.barlow {
                    pieces.push(InSet {
                        what: barlow_names[at].clone(),
                        view: glass_in_words(&Glassware::Barlow(barlows[at])),
                        new: true,
                    });
                }
                Set {
                    telescope: self.telescopes[kit.telescope].0.clone(),
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
