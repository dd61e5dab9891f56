//! What all threads have found so far.

use super::seat::Solved;

/// Below every score, and far enough from the end of the integers to subtract from.
pub(super) const NO_FLOOR: i64 = i64::MIN / 2;

/// What all threads have found so far.
#[derive(Debug)]
pub(super) struct Board {
    limit: usize,
    pub(super) solved: Vec<Solved>,
    /// The best scores, from high to low, at most `limit` of them.
    scores: Vec<i64>,
}

impl Board {
    pub(super) fn new(limit: usize, telescopes: usize) -> Self {
        Self { limit, solved: Vec::with_capacity(telescopes), scores: Vec::new() }
    }

    /// The `limit`-th best score: a telescope that stays below it cannot be in the answer.
    pub(super) fn floor(&self) -> i64 {
        match self.limit.checked_sub(1) {
            Some(last) => self.scores.get(last).copied().unwrap_or(NO_FLOOR),
            None => NO_FLOOR,
        }
    }

    pub(super) fn note(&mut self, result: Solved) {
        if let Some(best) = &result.best {
            let score = best.choice.score;
            let at = self.scores.partition_point(|other| *other >= score);
            self.scores.insert(at, score);
            self.scores.truncate(self.limit);
        }
        self.solved.push(result);
    }
}
