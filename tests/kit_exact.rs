//! The solver against an exhaustive search of the written-out problem.
//!
//! The matrix is the problem as an outsider sees it; here every choice in it is tried. Worths are
//! whole numbers of 2⁻²⁰ and weights of 2⁻¹⁰, so sums are exact and values are compared with `==`.

#![allow(clippy::float_cmp)] // sums are exact, see above

mod shelves;

use borrowed_light::kit::matrix::Matrix;
use borrowed_light::kit::solve::Difference;
use borrowed_light::kit::{Proof, Settings, Solver, Wanted};
use shelves::{OwnShelf, Rolls, question};

/// The best value per telescope, by trying everything.
fn try_everything(matrix: &Matrix, telescope: usize, wanted: Wanted) -> Option<f64> {
    let views = &matrix.telescopes[telescope];
    let eyepieces = matrix.costs.eyepieces.len();
    let barlows = matrix.costs.barlows.len();
    let mut best: Option<f64> = None;
    for barlow in std::iter::once(None).chain((0..barlows).map(Some)) {
        for mask in 1_u32..(1 << eyepieces) {
            if mask.count_ones() as usize > wanted.max_eyepieces {
                continue;
            }
            let mut reached = vec![0.0_f64; matrix.purposes.len()];
            let mut any = false;
            for view in views {
                let carried = mask & (1 << view.eyepiece) != 0;
                if carried && (view.barlow.is_none() || view.barlow == barlow) {
                    any = true;
                    for (best, worth) in reached.iter_mut().zip(&view.worth) {
                        *best = best.max(*worth);
                    }
                }
            }
            if !any {
                continue;
            }
            let worth: f64 = reached
                .iter()
                .zip(&matrix.purposes)
                .map(|(worth, (_, weight))| worth * weight)
                .sum();
            let mut cost = matrix.costs.telescopes[telescope];
            cost += barlow.map_or(0.0, |barlow| matrix.costs.barlows[barlow]);
            for eyepiece in 0..eyepieces {
                if mask & (1 << eyepiece) != 0 {
                    cost += matrix.costs.eyepieces[eyepiece];
                }
            }
            let value = worth - cost;
            if best.is_none_or(|best| value > best) {
                best = Some(value);
            }
        }
    }
    best
}

#[test]
fn the_best_kit_is_that_of_an_exhaustive_search_on_thousands_of_shelves() {
    let settings = Settings::default();
    let mut with_barlow = 0;
    let mut without_any = 0;
    for seed in 0..6_000 {
        let mut rolls = Rolls::new(seed + 1);
        let (telescopes, eyepieces, barlows) = (1 + rolls.below(3), rolls.below(9), rolls.below(3));
        let shelf = OwnShelf::mixed(&mut rolls, telescopes, eyepieces, barlows);
        let question = question(&mut rolls);
        let wanted = Wanted { max_eyepieces: 1 + rolls.below(5), barlow: true, limit: 99 };
        let solver = Solver::new(shelf.view(), &question, &settings);
        let answer = solver.solve(wanted, 1, &|| false);
        assert_eq!(answer.proof, Proof::Optimal, "seed {seed}");
        let matrix = solver.matrix(true);
        for telescope in 0..telescopes {
            let tried = try_everything(&matrix, telescope, wanted);
            let kit = answer.kits.iter().find(|kit| kit.telescope == telescope);
            assert_eq!(kit.map(|kit| kit.value), tried, "seed {seed}, telescope {telescope}");
            without_any += usize::from(kit.is_none());
            with_barlow += usize::from(kit.is_some_and(|kit| kit.barlow.is_some()));
        }
        let ordered = answer.kits.windows(2).all(|pair| pair[0].value >= pair[1].value);
        assert!(ordered, "seed {seed}: best first");
    }
    // The shelves must be varied enough for the comparison to mean something.
    assert!(with_barlow > 500, "{with_barlow} kits with a Barlow");
    assert!(without_any > 100, "{without_any} telescopes without a kit");
}

#[test]
fn the_value_of_a_kit_follows_from_the_matrix() {
    let settings = Settings::default();
    for seed in 0..60 {
        let shelf = OwnShelf::club(60, seed);
        let question = question(&mut Rolls::new(seed));
        let wanted = Wanted { max_eyepieces: 5, barlow: true, limit: 99 };
        let solver = Solver::new(shelf.view(), &question, &settings);
        let matrix = solver.matrix(true);
        for kit in solver.solve(wanted, 1, &|| false).kits {
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
                reached.iter().zip(&matrix.purposes).map(|(worth, (_, w))| worth * w).sum();
            let mut cost = matrix.costs.telescopes[kit.telescope];
            cost += kit.eyepieces.iter().map(|at| matrix.costs.eyepieces[*at]).sum::<f64>();
            cost += kit.barlow.map_or(0.0, |at| matrix.costs.barlows[at]);
            assert_eq!(kit.value, worth - cost, "seed {seed}");
        }
    }
}

/// The best value of a telescope by trying everything, as it is and with each corrector.
fn try_with_correctors(
    matrix: &Matrix,
    shelf: &OwnShelf,
    telescope: usize,
    wanted: Wanted,
) -> Option<f64> {
    let itself = |at: usize| shelf.telescopes[at].fitted.map_or(at, |fitted| fitted.telescope);
    (0..shelf.telescopes.len())
        .filter(|at| itself(*at) == telescope)
        .filter_map(|at| try_everything(matrix, at, wanted))
        .reduce(f64::max)
}

#[test]
fn of_a_telescope_with_a_corrector_and_without_the_better_is_the_answer() {
    let settings = Settings::default();
    let (mut fitted, mut plain_beside) = (0, 0);
    for seed in 0..4_000 {
        let mut rolls = Rolls::new(seed + 5_001);
        let (telescopes, eyepieces) = (1 + rolls.below(3), rolls.below(8));
        let barlows = rolls.below(3);
        let shelf =
            OwnShelf::mixed(&mut rolls, telescopes, eyepieces, barlows).with_correctors(&mut rolls);
        let question = question(&mut rolls);
        let wanted = Wanted { max_eyepieces: 1 + rolls.below(5), barlow: true, limit: 99 };
        let solver = Solver::new(shelf.view(), &question, &settings);
        let answer = solver.solve(wanted, 1, &|| false);
        assert_eq!(answer.proof, Proof::Optimal, "seed {seed}");
        let matrix = solver.matrix(true);
        let itself = |at: usize| shelf.telescopes[at].fitted.map_or(at, |one| one.telescope);
        for telescope in 0..telescopes {
            let tried = try_with_correctors(&matrix, &shelf, telescope, wanted);
            let kits: Vec<_> =
                answer.kits.iter().filter(|kit| itself(kit.telescope) == telescope).collect();
            assert!(kits.len() <= 1, "seed {seed}: one kit for each telescope");
            let value = kits.first().map(|kit| kit.value);
            assert_eq!(value, tried, "seed {seed}, telescope {telescope}");
            let with = kits.first().is_some_and(|kit| kit.telescope != telescope);
            let could = shelf
                .telescopes
                .iter()
                .any(|one| one.fitted.is_some_and(|fitted| fitted.telescope == telescope));
            fitted += usize::from(with);
            plain_beside += usize::from(could && !kits.is_empty() && !with);
        }
        // A short list is the top of the long one here too.
        let short = solver.solve(Wanted { limit: 1, ..wanted }, 1, &|| false).kits;
        assert_eq!(short, answer.kits[..answer.kits.len().min(1)], "seed {seed}");
        if let Some(best) = answer.kits.first() {
            for other in solver.alternatives(best, wanted, &|| false) {
                assert!(other.kit.value <= best.value, "seed {seed}: {:?}", other.difference);
                let without = other.difference == Difference::NoCorrector;
                assert!(!without || other.kit.telescope == itself(best.telescope), "seed {seed}");
            }
        }
    }
    println!("{fitted} kits with a corrector, {plain_beside} better without one that fits");
    // Both must happen often enough for the comparison to mean something.
    assert!(fitted > 200, "{fitted} kits with a corrector");
    assert!(plain_beside > 200, "{plain_beside} kits without one that would fit");
}

#[test]
fn threads_and_limits_change_nothing_but_the_time() {
    let settings = Settings::default();
    for seed in 0..8 {
        let shelf = OwnShelf::club(300, seed);
        let question = question(&mut Rolls::new(seed));
        let solver = Solver::new(shelf.view(), &question, &settings);
        let all = Wanted { max_eyepieces: 5, barlow: true, limit: usize::MAX };
        let alone = solver.solve(all, 1, &|| false);
        let together = solver.solve(all, 4, &|| false);
        assert_eq!(alone, together, "seed {seed}");
        let few = solver.solve(Wanted { limit: 3, ..all }, 4, &|| false);
        assert_eq!(few.kits, alone.kits[..alone.kits.len().min(3)], "seed {seed}");
    }
}

#[test]
fn a_short_list_is_the_top_of_the_long_one() {
    // A short list lets the solver leave telescopes unopened; none of them may have been better.
    let settings = Settings::default();
    for seed in 0..1_500 {
        let mut rolls = Rolls::new(seed + 91);
        let shelf = OwnShelf::mixed(&mut rolls, 12, 10, 2);
        let question = question(&mut rolls);
        let solver = Solver::new(shelf.view(), &question, &settings);
        let all = Wanted { max_eyepieces: 4, barlow: true, limit: usize::MAX };
        let long = solver.solve(all, 1, &|| false).kits;
        for limit in [1, 2, 5] {
            let short = solver.solve(Wanted { limit, ..all }, 1, &|| false).kits;
            assert_eq!(short, long[..long.len().min(limit)], "seed {seed}, limit {limit}");
        }
    }
}

#[test]
fn a_spent_budget_is_owned_up_to() {
    let settings = Settings::default();
    let shelf = OwnShelf::club(200, 3);
    let question = question(&mut Rolls::new(1));
    let solver = Solver::new(shelf.view(), &question, &settings);
    let wanted = Wanted { max_eyepieces: 5, barlow: true, limit: 5 };
    let proven = solver.solve(wanted, 1, &|| false);
    let hurried = solver.solve(wanted, 1, &|| true);
    let best = |kits: &[borrowed_light::kit::Kit]| kits.first().map_or(0.0, |kit| kit.value);
    match hurried.proof {
        Proof::Optimal => panic!("nothing was looked at, nothing can be proven"),
        Proof::BudgetSpent { gap } => {
            assert!(best(&hurried.kits) + gap >= best(&proven.kits));
        }
    }
}
