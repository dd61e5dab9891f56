//! The choice of somebody who takes one good piece after another, for comparison.

use super::Solver;
use super::columns::Scratch;
use super::seat::{Best, Solved};
use crate::kit::choose;
use crate::kit::shelf::{Answer, Wanted};
use crate::kit::worth::Lens;

impl Solver<'_> {
    /// The best of what someone would end with who takes one good piece after another, per
    /// telescope, without looking back. For comparison only: see the benchmark.
    #[must_use]
    pub fn greedy(&self, wanted: Wanted) -> Answer {
        let useful = self.useful(wanted, None);
        let mut scratch = Scratch::default();
        let mut solved = Vec::new();
        for (at, piece) in self.telescopes.iter().enumerate() {
            let (bench, scale) = self.bench(piece.first);
            self.fill_direct(&bench, &scale, &useful.eyepieces, &mut scratch);
            let mut best: Option<Best> = None;
            let with = self.barlows_for(&bench, &useful);
            for barlow in std::iter::once(None).chain(with.into_iter().map(Some)) {
                let lens = barlow.map(|at| Lens::of(&bench, self.barlow_spec(at)));
                if !self.fill_columns(
                    &bench,
                    &scale,
                    lens.as_ref(),
                    &useful.eyepieces,
                    &mut scratch,
                ) {
                    continue;
                }
                let burden = barlow.map_or(0, |at| self.barlows[at].burden);
                let offset = self.telescope_burden(at) - burden;
                if let Some(choice) =
                    choose::greedy(scratch.columns(), wanted.max_eyepieces, offset)
                {
                    let candidate = Best { choice: scratch.named(choice), barlow };
                    if best.as_ref().is_none_or(|best| candidate.beats(best)) {
                        best = Some(candidate);
                    }
                }
            }
            solved.push(Solved { telescope: at, best, open_bound: None });
        }
        self.answer(&solved, wanted.limit)
    }
}
