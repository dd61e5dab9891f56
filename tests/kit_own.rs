//! What the observer owns: it costs nobody else anything, wins ties, and the optimum stays one.
#![allow(clippy::unwrap_used, clippy::float_cmp)] // helpers of tests; sums are exact

mod shelves;

use borrowed_light::eye::{Glasses, Observer};
use borrowed_light::kit::{Own, Question, Settings, Solver, Usage, Wanted};
use borrowed_light::optics::Age;
use shelves::OwnShelf;

fn question() -> Question {
    let observer = Observer::person(Age::new(45.0).unwrap(), Glasses::None);
    Question { observer, seeing: None, usage: Usage::Night, tonight: None }
}

const WANTED: Wanted = Wanted { max_eyepieces: 4, barlow: true, limit: 50 };

#[test]
fn a_kit_is_worth_more_by_what_nobody_else_misses_and_never_less() {
    let (question, settings) = (question(), Settings::default());
    let mut gained = 0;
    for seed in 0..20 {
        let shelf = OwnShelf::club(24, seed);
        let loan = Solver::new(shelf.view(), &question, &settings);
        let own = Own { telescopes: 1, eyepieces: 6, barlows: 0 };
        let with = Solver::new(shelf.view(), &question, &settings).with_own(own);
        let best = |solver: &Solver<'_>| {
            solver.solve(WANTED, 1, &|| false).kits.first().map_or(0.0, |kit| kit.value)
        };
        let (before, after) = (best(&loan), best(&with));
        assert!(after >= before - 1e-12, "seed {seed}: {after} after {before}");
        gained += usize::from(after > before + 1e-12);
    }
    assert!(gained > 0, "own pieces were in some kit");
}

#[test]
fn a_kits_value_is_the_worth_of_its_views_less_the_costs_that_are_told() {
    let (question, settings) = (question(), Settings::default());
    let shelf = OwnShelf::club(24, 7);
    let own = Own { telescopes: 2, eyepieces: 8, barlows: 1 };
    let solver = Solver::new(shelf.view(), &question, &settings).with_own(own);
    let costs = solver.costs();
    let matrix = solver.matrix(true);
    assert_eq!(costs.telescopes[..2], [0.0, 0.0]);
    assert!(costs.barlows[0] < costs.barlows.iter().copied().fold(0.0, f64::max));
    assert!(costs.eyepieces[0] < costs.eyepieces.iter().copied().fold(0.0, f64::max));
    let kits = solver.solve(WANTED, 1, &|| false).kits;
    assert!(!kits.is_empty());
    for kit in &kits {
        let mut reached = vec![0.0_f64; matrix.purposes.len()];
        for view in &matrix.telescopes[kit.telescope] {
            if kit.eyepieces.contains(&view.eyepiece)
                && (view.barlow.is_none() || view.barlow == kit.barlow)
            {
                for (best, worth) in reached.iter_mut().zip(&view.worth) {
                    *best = best.max(*worth);
                }
            }
        }
        let worth: f64 =
            reached.iter().zip(&matrix.purposes).map(|(worth, (_, weight))| worth * weight).sum();
        let mut cost = costs.telescopes[kit.telescope];
        cost += kit.eyepieces.iter().map(|at| costs.eyepieces[*at]).sum::<f64>();
        cost += kit.barlow.map_or(0.0, |at| costs.barlows[at]);
        assert_eq!(kit.value, worth - cost, "every sum is exact");
    }
}
