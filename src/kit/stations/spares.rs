//! Spares from what is left on the shelf.

use super::flow::{Pair, Regrets, best_paths};
use super::{Candidate, Helper, Plan, Problem};

/// A spare eyepiece for each station, by its place in the plan; `None` where nothing that is left
/// shows any of its targets.
///
/// Spares are given out after the stations are chosen, all together: the largest sum of what each
/// station's own targets are worth through its spare.
#[must_use]
pub fn choose_spares(problem: &Problem, plan: &Plan) -> Vec<Option<usize>> {
    let mut pairs = Vec::new();
    for (at, station) in plan.stations.iter().enumerate() {
        for view in &problem.telescopes[station.telescope].views {
            if plan.stations.iter().any(|other| other.eyepiece == view.eyepiece) {
                continue;
            }
            let score: i64 = station
                .targets
                .iter()
                .enumerate()
                .filter_map(|(slot, target)| Some(slot * problem.targets + (*target)?))
                .map(|cell| i64::from(view.worths[cell]))
                .sum();
            if score > 0 {
                pairs.push(Pair { telescope: at, eyepiece: view.eyepiece, score });
            }
        }
    }
    let count = plan.stations.len();
    let own = |station: usize| Helper { may_run: (0..count).map(|at| at == station).collect() };
    let drawer = Problem {
        stations: count,
        helpers: (0..count).map(own).collect(),
        telescopes: vec![Candidate { views: Vec::new(), seated: Vec::new() }; count],
        ..problem.clone()
    };
    let mut spares = vec![None; count];
    for path in best_paths(&drawer, &pairs, Regrets::NotWanted).taken {
        let pair = pairs[path.pair];
        spares[pair.telescope] = Some(pair.eyepiece);
    }
    spares
}
