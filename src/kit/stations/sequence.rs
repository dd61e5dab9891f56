//! The best row of targets for one telescope and one eyepiece, at given prices.

use super::{FINER, Problem, View};

/// Which targets a telescope may show in which slot.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Leave {
    /// A bit for each target, by slot.
    pub(super) targets: Vec<u64>,
    /// Whether it may rest, by slot.
    pub(super) rest: Vec<bool>,
}

impl Leave {
    pub(super) fn everything(problem: &Problem) -> Self {
        let all = if problem.targets == 64 { u64::MAX } else { (1_u64 << problem.targets) - 1 };
        Self { targets: vec![all; problem.slots], rest: vec![true; problem.slots] }
    }
}

/// A row of targets and what it brings after prices and changes, in the prices' units.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Row {
    pub(super) score: i64,
    pub(super) targets: Vec<Option<usize>>,
}

/// Room for the search, kept between calls.
#[derive(Debug, Default)]
pub(super) struct Desk {
    /// The best score that ends in each state, and where it came from; state 0 is rest.
    scores: Vec<i64>,
    next: Vec<i64>,
    from: Vec<u8>,
}

const IMPOSSIBLE: i64 = i64::MIN / 4;

impl Desk {
    /// The best score alone, which most calls want; `None` where no row is allowed.
    pub(super) fn score(
        &mut self,
        problem: &Problem,
        view: &View,
        leave: &Leave,
        prices: &[i64],
    ) -> Option<i64> {
        self.walk(problem, view, leave, prices, false)?;
        self.scores.iter().copied().max().filter(|best| *best > IMPOSSIBLE)
    }

    /// The best row; of equals the one with the earlier targets.
    pub(super) fn row(
        &mut self,
        problem: &Problem,
        view: &View,
        leave: &Leave,
        prices: &[i64],
    ) -> Option<Row> {
        self.walk(problem, view, leave, prices, true)?;
        let states = problem.targets + 1;
        let (mut state, score) = first_best(self.scores.iter().copied())?;
        if score <= IMPOSSIBLE {
            return None;
        }
        let mut targets = vec![None; problem.slots];
        for slot in (0..problem.slots).rev() {
            targets[slot] = state.checked_sub(1);
            state = usize::from(self.from[slot * states + state]);
        }
        Some(Row { score, targets })
    }

    fn walk(
        &mut self,
        problem: &Problem,
        view: &View,
        leave: &Leave,
        prices: &[i64],
        trace: bool,
    ) -> Option<()> {
        let states = problem.targets + 1;
        let change = i64::from(problem.costs.change) << FINER;
        self.scores.clear();
        self.scores.resize(states, IMPOSSIBLE);
        // Before the evening it rests: turning to the first target costs nothing.
        self.scores[0] = 0;
        if trace {
            self.from.clear();
            self.from.resize(problem.slots * states, 0);
        }
        for slot in 0..problem.slots {
            let (best_at, best) = first_best(self.scores.iter().copied())?;
            let rested = self.scores[0];
            self.next.clear();
            self.next.resize(states, IMPOSSIBLE);
            if leave.rest[slot] {
                self.next[0] = best;
                if trace {
                    self.from[slot * states] = best_at as u8;
                }
            }
            let mut allowed = leave.targets[slot];
            while allowed != 0 {
                let target = allowed.trailing_zeros() as usize;
                allowed &= allowed - 1;
                let cell = slot * problem.targets + target;
                let worth = view.worths[cell];
                if worth == 0 {
                    continue;
                }
                let state = target + 1;
                let stay = self.scores[state];
                let (mut came, mut score) = (state, stay);
                if rested > score {
                    (came, score) = (0, rested);
                }
                if best - change > score {
                    (came, score) = (best_at, best - change);
                }
                if score <= IMPOSSIBLE {
                    continue;
                }
                self.next[state] = score + (i64::from(worth) << FINER) - prices[cell];
                if trace {
                    self.from[slot * states + state] = came as u8;
                }
            }
            std::mem::swap(&mut self.scores, &mut self.next);
        }
        Some(())
    }
}

fn first_best(scores: impl Iterator<Item = i64>) -> Option<(usize, i64)> {
    scores.enumerate().reduce(|best, one| if one.1 > best.1 { one } else { best })
}
