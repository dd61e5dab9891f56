//! The whole problem of a request, for anyone who wants to find the optimum themselves.

use std::collections::BTreeMap;

use super::wire::answers::{MatrixAnswer, MatrixTelescope, MatrixViewAnswer, PurposeAnswer};
use super::wire::{Id, SolveRequest};
use crate::kit::Solver;
use crate::kit::matrix::MatrixView;

/// Writes the whole problem out with the caller's ids.
#[must_use]
pub fn write(request: &SolveRequest, solver: &Solver<'_>) -> MatrixAnswer {
    let matrix = solver.matrix(request.wanted.barlow);
    let mut costs = BTreeMap::new();
    let corrector = |at: usize| request.correctors.get(at).cloned().flatten();
    // A telescope with a corrector costs what both cost.
    let telescopes = request.telescopes.ids.iter().zip(&matrix.costs.telescopes);
    for (at, (id, cost)) in telescopes.enumerate() {
        let fitted = request.telescopes.specs[at].fitted;
        match (fitted, corrector(at)) {
            (Some(fitted), Some(corrector)) => {
                let plain = matrix.costs.telescopes[fitted.telescope];
                costs.insert(corrector.to_string(), cost - plain);
            }
            _ => {
                costs.insert(id.to_string(), *cost);
            }
        }
    }
    let racks = [
        (&request.eyepieces.ids, &matrix.costs.eyepieces),
        (&request.barlows.ids, &matrix.costs.barlows),
    ];
    for (ids, of) in racks {
        costs.extend(ids.iter().map(Id::to_string).zip(of.iter().copied()));
    }
    let view = |view: MatrixView| MatrixViewAnswer {
        eyepiece: request.eyepieces.ids[view.eyepiece].clone(),
        barlow: view.barlow.map(|at| request.barlows.ids[at].clone()),
        worth: view.worth,
    };
    MatrixAnswer {
        purposes: matrix
            .purposes
            .into_iter()
            .map(|(id, weight)| PurposeAnswer { id, weight })
            .collect(),
        costs,
        telescopes: request
            .telescopes
            .ids
            .iter()
            .zip(matrix.telescopes)
            .enumerate()
            .map(|(at, (id, views))| MatrixTelescope {
                id: id.clone(),
                corrector: corrector(at),
                views: views.into_iter().map(view).collect(),
            })
            .collect(),
    }
}
