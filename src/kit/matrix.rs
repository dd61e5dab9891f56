//! The whole problem written out, for anyone who wants to find the optimum themselves.

use super::choose::LANES;
use super::purpose::WEIGHT_SUM;
use super::solve::{Costs, Solver};

/// Purposes with weights, costs of pieces, and every admissible view's worth.
#[derive(Debug, Clone, PartialEq)]
pub struct Matrix {
    /// Name and weight of each purpose; weights add up to 1.
    pub purposes: Vec<(&'static str, f64)>,
    /// What each piece costs, by position on the shelf.
    pub costs: Costs,
    /// Admissible views, one list per telescope on the shelf.
    pub telescopes: Vec<Vec<MatrixView>>,
}

/// One admissible view.
#[derive(Debug, Clone, PartialEq)]
pub struct MatrixView {
    /// Position of the eyepiece.
    pub eyepiece: usize,
    /// Position of the Barlow.
    pub barlow: Option<usize>,
    /// Worth to each purpose.
    pub worth: Vec<f64>,
}

impl Solver<'_> {
    /// How many views a matrix would have to look at.
    #[must_use]
    pub fn matrix_size(&self) -> usize {
        self.shelf
            .telescopes
            .len()
            .saturating_mul(self.shelf.eyepieces.len())
            .saturating_mul(1 + self.shelf.barlows.len())
    }

    /// Writes the problem out. `barlow` says whether views with a Barlow are wanted.
    #[must_use]
    pub fn matrix(&self, barlow: bool) -> Matrix {
        let mix = self.question.mix();
        let lanes: Vec<usize> = (0..LANES).filter(|lane| mix[*lane].weight > 0).collect();
        let purposes = lanes
            .iter()
            .map(|lane| (mix[*lane].id, f64::from(mix[*lane].weight) / f64::from(WEIGHT_SUM)))
            .collect();
        let barlows = if barlow { self.shelf.barlows.len() } else { 0 };
        let telescopes = (0..self.shelf.telescopes.len())
            .map(|telescope| {
                let (bench, scale) = self.bench(telescope);
                let mut views = Vec::new();
                for barlow in std::iter::once(None).chain((0..barlows).map(Some)) {
                    for eyepiece in 0..self.shelf.eyepieces.len() {
                        if let Some(worths) = self.view_worths(&bench, &scale, eyepiece, barlow) {
                            let worth =
                                lanes.iter().map(|lane| scale.worth(&worths, *lane)).collect();
                            views.push(MatrixView { eyepiece, barlow, worth });
                        }
                    }
                }
                views
            })
            .collect();
        Matrix { purposes, costs: self.costs(), telescopes }
    }
}
