//! The computation behind a report, step by step, so that it can be watched, stopped and gone on
//! with.

use std::time::{Duration, Instant};

use super::cover::cover;
use super::facts::{Facts, Named};
use super::report::{Bought, Gain, Piece, Point, Report, Sold, Sought, Wish};
use crate::kit::Settings;
use crate::kit::purchase::ideal::{range, tried};
use crate::kit::purchase::retire::idle;
use crate::kit::purchase::{
    Best, Demand, Glassware, Lowest, Origin, Rows, Scene, Search, Stock, Taken, Terms, Want,
    in_ones,
};
use crate::optics::Barrel;

/// Budgets looked at on the way to the one asked about.
const BUDGETS: u64 = 8;

/// How long the search under one budget may take before it answers with its gap.
const LONGEST_SEARCH: Duration = Duration::from_mins(2);

/// Ideal pieces looked for, one after another.
const WISHES: usize = 3;

/// What a member must gain for it to be noticed: half a point.
const NOTICED: f64 = 0.005;

/// Eyepieces in a kit at most.
const SLOTS: usize = 5;

/// Whoever watches a computation.
pub trait Watch {
    /// How far it has come, in thousandths, and what it does; false to stop.
    fn at(&mut self, thousandths: usize, stage: &str) -> bool;
    /// The search under one budget is done.
    fn found(&mut self, point: &Point);
}

/// Each stage's share of the whole, in thousandths.
struct Stage {
    name: &'static str,
    from: usize,
    to: usize,
}

const COVER: Stage = Stage { name: "How today's shelf serves everybody", from: 0, to: 100 };
const WEIGHING: Stage =
    Stage { name: "Weighing the candidates in every telescope", from: 100, to: 300 };
const CHOOSING: Stage = Stage { name: "Choosing", from: 300, to: 600 };
const RETIRING: Stage = Stage { name: "What may go", from: 600, to: 750 };
const WISHING: Stage = Stage { name: "What would be ideal", from: 750, to: 1000 };

impl Stage {
    fn at(&self, done: usize, of: usize) -> usize {
        self.from + (self.to - self.from) * done.min(of) / of.max(1)
    }
}

/// Computes the report; none where the watch stops it. `known` are points found before.
pub fn compute(facts: &Facts, known: &[Point], watch: &mut dyn Watch) -> Option<Report> {
    let begun = Instant::now();
    let settings = Settings::default();
    let terms = Terms { slots: SLOTS, shared: true, threads: 1 };
    let questions: Vec<_> = facts.classes.iter().map(super::classes::Class::question).collect();
    let scenes: Vec<Scene> = facts.evenings.iter().map(|one| one.scene.clone()).collect();
    let wants = facts.wants();
    let demand = Demand {
        telescopes: &facts.telescopes,
        questions: &questions,
        scenes: &scenes,
        wants: &wants,
    };
    let (cover, relief_too_short) =
        cover(facts, &settings, &mut |done, of| watch.at(COVER.at(done, of), COVER.name))?;

    let stock = Stock::new(&facts.owned, &facts.offers, &facts.sales);
    let mut rows =
        Rows::build(stock, &demand, &settings, terms, Lowest::NothingTaken, &mut |done| {
            watch.at(WEIGHING.at(done, wants.len()), WEIGHING.name)
        })?;
    let scale = Scale::of(&wants);
    let today_state = rows.today();
    if !rows.prepare(&today_state, &mut || watch.at(CHOOSING.from, CHOOSING.name)) {
        return None;
    }
    let today = rows.value(&today_state);
    let points = frontier(facts, &mut rows, known, &scale, watch)?;
    let before = rows.values(&today_state);
    let after = points.last().map_or_else(|| before.clone(), |best| rows.values(&best.taken));
    drop(rows);
    let (groups, members_who_gain, gaining_classes) =
        gains_of_members(facts, &wants, &before, &after);
    let by_telescope = gains_of_telescopes(facts, &wants, &before, &after);

    let going = idle(&facts.owned, &demand, &settings, terms, &mut |done, of| {
        watch.at(RETIRING.at(done, of), RETIRING.name)
    })?;
    // What is ideal is asked of the first evening, on which the most is in store.
    let calm: Vec<Want> = wants.iter().filter(|want| want.scene == 0).copied().collect();
    let demand = Demand { wants: &calm, ..demand };
    let calm_scale = Scale::of(&calm);
    let wishes = wishes(facts, &demand, &settings, terms, &calm_scale, watch)?;
    let piece = |at: &usize| piece(&facts.owned_names[*at]);
    Some(Report {
        made_on: facts.today.to_string(),
        members: facts.members(),
        classes: facts.classes.len(),
        telescopes: facts.telescopes.len(),
        pieces: facts.owned.len(),
        candidates: facts.offers.len(),
        evenings: facts.evenings.iter().map(|one| one.says.clone()).collect(),
        weekends: facts.weekends,
        today: scale.average(today),
        points,
        groups,
        members_who_gain,
        gaining_classes,
        by_telescope,
        cover,
        relief_too_short,
        sought: facts
            .busy
            .iter()
            .map(|one| Sought {
                piece: self::piece(&one.piece),
                weekends: one.weekends,
                waiting: one.waiting,
            })
            .collect(),
        idle: going.alone.iter().map(piece).collect(),
        idle_together: going.together.iter().map(piece).collect(),
        wishes,
        seconds: begun.elapsed().as_secs_f64(),
    })
}

fn piece(named: &Named) -> Piece {
    Piece { tag: named.tag.clone(), name: named.name.clone() }
}

/// Turns sums into averages.
struct Scale {
    weight: f64,
}

impl Scale {
    fn of(wants: &[Want]) -> Self {
        let weight: f64 = wants.iter().map(|want| f64::from(want.weight)).sum();
        Self { weight: weight.max(1.0) }
    }

    fn average(&self, value: i64) -> f64 {
        in_ones(value) / self.weight
    }
}

/// The best choice under each budget.
fn frontier(
    facts: &Facts,
    rows: &mut Rows,
    known: &[Point],
    scale: &Scale,
    watch: &mut dyn Watch,
) -> Option<Vec<Point>> {
    if facts.offers.is_empty() && facts.sales.is_empty() {
        return Some(Vec::new());
    }
    let mut budgets: Vec<u64> = (0..=BUDGETS).map(|part| facts.budget * part / BUDGETS).collect();
    if facts.sales.is_empty() {
        budgets.retain(|budget| *budget > 0);
    }
    budgets.dedup();
    if budgets.is_empty() {
        budgets.push(facts.budget);
    }
    let mut points: Vec<Point> = Vec::new();
    let mut states: Vec<Taken> = Vec::new();
    for (at, budget) in budgets.iter().enumerate() {
        if let Some(point) = known.iter().find(|point| point.budget_cents == *budget) {
            states.push(point.taken.clone());
            points.push(point.clone());
            continue;
        }
        let begun = Instant::now();
        let mut stopped = false;
        let best = Search::run(rows, *budget, &states, &mut |_| {
            stopped |= !watch.at(CHOOSING.at(at, budgets.len()), CHOOSING.name);
            !stopped && begun.elapsed() < LONGEST_SEARCH
        });
        if stopped {
            return None;
        }
        let point = point(facts, rows.stock(), *budget, &best, scale);
        watch.found(&point);
        states.push(best.taken);
        points.push(point);
    }
    Some(points)
}

fn point(facts: &Facts, stock: &Stock, budget: u64, best: &Best, scale: &Scale) -> Point {
    let mut counts = vec![0; facts.offers.len()];
    let mut kept = vec![false; facts.owned.len()];
    for (_, lot) in stock.lots(&best.taken) {
        match lot.origin {
            Origin::Offered(at) => counts[at] += 1,
            Origin::Kept(at) => kept[at] = true,
        }
    }
    let buy = counts
        .iter()
        .enumerate()
        .filter(|(_, count)| **count > 0)
        .map(|(at, count)| Bought {
            candidate: facts.offer_names[at].id,
            name: facts.offer_names[at].name.clone(),
            figures: facts.offer_names[at].figures.clone(),
            condition: facts.offer_names[at].condition.clone(),
            count: *count,
            price_cents: i64::from(facts.offers[at].price),
        })
        .collect();
    let sell = facts
        .sales
        .iter()
        .filter(|sale| !kept[sale.owned])
        .map(|sale| Sold {
            piece: piece(&facts.owned_names[sale.owned]),
            price_cents: i64::from(sale.price),
        })
        .collect();
    Point {
        budget_cents: budget,
        spent_cents: best.spent,
        value: scale.average(best.value),
        bound: scale.average(best.bound),
        proven_optimal: best.is_proven(),
        buy,
        sell,
        taken: best.taken.clone(),
        steps: best.parts,
    }
}

/// Weighted average of some wants' values.
fn average<'a>(of: impl Iterator<Item = (&'a Want, &'a i64)>) -> f64 {
    let (mut sum, mut weight) = (0.0, 0.0);
    for (want, value) in of {
        sum += f64::from(want.weight) * in_ones(*value);
        weight += f64::from(want.weight);
    }
    if weight > 0.0 { sum / weight } else { 0.0 }
}

fn gains_of_members(
    facts: &Facts,
    wants: &[Want],
    before: &[i64],
    after: &[i64],
) -> (Vec<Gain>, usize, Vec<String>) {
    let of = |values: &[i64], classes: &[usize]| {
        average(wants.iter().zip(values).filter(|(want, _)| classes.contains(&want.question)))
    };
    let noticed = |at: usize| of(after, &[at]) - of(before, &[at]) >= NOTICED;
    let gaining: Vec<_> =
        facts.classes.iter().enumerate().filter(|(at, _)| noticed(*at)).map(|one| one.1).collect();
    let who = super::classes::coarse(gaining.iter().map(|class| class.members).sum());
    let words = gaining.iter().map(|class| class.key.word()).collect();
    let mut gains: Vec<Gain> = super::classes::groups(&facts.classes)
        .into_iter()
        .map(|(what, classes)| Gain {
            what,
            members: classes.iter().map(|at| facts.classes[*at].members).sum(),
            before: of(before, &classes),
            after: of(after, &classes),
        })
        .collect();
    sort_gains(&mut gains);
    (gains, who, words)
}

fn gains_of_telescopes(facts: &Facts, wants: &[Want], before: &[i64], after: &[i64]) -> Vec<Gain> {
    let of = |values: &[i64], telescope: usize| {
        average(wants.iter().zip(values).filter(|(want, _)| want.telescope == telescope))
    };
    let mut gains: Vec<Gain> = facts
        .telescope_names
        .iter()
        .enumerate()
        .map(|(at, named)| Gain {
            what: format!("{} {}", named.tag, named.name),
            members: 0,
            before: of(before, at),
            after: of(after, at),
        })
        .collect();
    sort_gains(&mut gains);
    gains
}

fn sort_gains(gains: &mut [Gain]) {
    gains.sort_by(|one, other| {
        let gain = |one: &Gain| one.after - one.before;
        gain(other).total_cmp(&gain(one)).then_with(|| one.what.cmp(&other.what))
    });
}

fn wishes(
    facts: &Facts,
    demand: &Demand<'_>,
    settings: &Settings,
    terms: Terms,
    scale: &Scale,
    watch: &mut dyn Watch,
) -> Option<Vec<Wish>> {
    let mut owned: Vec<Glassware> = facts.owned.clone();
    let mut wishes = Vec::new();
    for round in 0..WISHES {
        let all = tried(&owned, demand, settings, terms, &mut |done, of| {
            watch.at(WISHING.at(round * of + done, WISHES * of), WISHING.name)
        })?;
        let Some(ideal) = range(&all) else { break };
        if let Some(best) = all.first() {
            owned.push(Glassware::Eyepiece(best.eyepiece));
        }
        wishes.push(Wish {
            focal_length_min_mm: ideal.focal_length_mm.0,
            focal_length_max_mm: ideal.focal_length_mm.1,
            best_focal_length_mm: ideal.best_focal_length_mm,
            apparent_field_min_deg: ideal.field_deg,
            eye_relief_min_mm: ideal.relief_mm,
            barrels_mm: ideal.barrels.iter().map(|one| Barrel::mm(*one)).collect(),
            gain: scale.average(ideal.gain),
        });
    }
    Some(wishes)
}
