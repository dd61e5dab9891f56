//! The exact value of one state: every want's best kit, by the solver's own search.

use super::rows::{Choice, Row, Rows, piece_cost};
use crate::kit::choose::{self, Columns, Found, LANES, Prices, TIE_BITS, Worths, burden};

/// Reused memory.
#[derive(Default)]
pub(super) struct Scratch {
    worths: Vec<Worths>,
    burdens: Vec<i64>,
}

impl Rows {
    /// The best kit's value in one option, if it is not below `floor`. `prices` is a start and a
    /// result.
    pub(super) fn option_value(
        &self,
        row: &Row,
        option: &Choice,
        taken: &[u8],
        floor: i64,
        prices: &mut Prices,
        scratch: &mut Scratch,
    ) -> Option<i64> {
        let shared = self.terms.shared;
        let mut cost = row.telescope_cost;
        if let Some(barlow) = option.barlow {
            let copies = self.copies(row.scene, barlow, taken);
            if copies == 0 {
                return None;
            }
            cost += piece_cost(copies, shared);
        }
        scratch.worths.clear();
        scratch.burdens.clear();
        for column in &option.columns {
            let copies = self.copies(row.scene, column.group, taken);
            if copies > 0 {
                scratch.worths.push(column.worths);
                scratch.burdens.push(burden(piece_cost(copies, shared), 0));
            }
        }
        let columns = Columns { worths: &scratch.worths, burdens: &scratch.burdens };
        let offset = -(i64::from(cost) << TIE_BITS);
        // The lowest score that has this value: see `choose::value_of`.
        let floor = ((floor - 1) << TIE_BITS) + 1;
        match choose::choose(columns, self.terms.slots, offset, floor, prices, &|| false) {
            Found::Best(choice) => Some(choose::value_of(choice.score)),
            // Without a budget nothing stays unproven.
            Found::BelowFloor | Found::Unproven { .. } => None,
        }
    }

    /// The best kit's value in one want; nothing where there is no kit.
    pub(super) fn row_value(&self, row: &Row, taken: &[u8], scratch: &mut Scratch) -> i64 {
        let mut best = row.floor;
        let mut last = Prices::none();
        for option in &row.options {
            // What one search learns starts the next.
            let mut prices =
                if option.prices == [0; LANES] { last } else { Prices::of(option.prices) };
            let better = self.option_value(row, option, taken, best + 1, &mut prices, scratch);
            best = better.unwrap_or(best);
            last = prices;
        }
        best
    }

    /// The part of a state on which a row depends.
    fn key(row: &Row, taken: &[u8]) -> Vec<u8> {
        row.depends.iter().map(|at| taken[*at]).collect()
    }

    /// The same, remembered.
    pub(super) fn known_value(&mut self, at: usize, taken: &[u8], scratch: &mut Scratch) -> i64 {
        let key = Self::key(&self.each[at], taken);
        if let Some(value) = self.each[at].memo.get(&key) {
            return *value;
        }
        let value = self.row_value(&self.each[at], taken, scratch);
        self.each[at].memo.insert(key, value);
        value
    }

    /// The sum over all wants of weight times value.
    pub fn value(&mut self, taken: &[u8]) -> i64 {
        self.fill_memos(taken);
        let mut scratch = Scratch::default();
        let mut sum = self.constant;
        for at in 0..self.each.len() {
            sum += self.each[at].weight * self.known_value(at, taken, &mut scratch);
        }
        sum
    }

    /// Value of every want, not weighted, in the order of the demand.
    pub fn values(&mut self, taken: &[u8]) -> Vec<i64> {
        self.fill_memos(taken);
        let mut scratch = Scratch::default();
        (0..self.row_of.len())
            .map(|want| match self.row_of[want] {
                Some(row) => self.known_value(row, taken, &mut scratch),
                None => self.fixed[want],
            })
            .collect()
    }

    /// Works out with all threads what is not yet remembered.
    fn fill_memos(&mut self, taken: &[u8]) {
        let threads = self.terms.threads.max(1);
        let open: Vec<usize> = (0..self.each.len())
            .filter(|at| !self.each[*at].memo.contains_key(&Self::key(&self.each[*at], taken)))
            .collect();
        if threads == 1 || open.len() < 32 {
            return;
        }
        let share = open.len().div_ceil(threads);
        let this = &*self;
        let found: Vec<(usize, i64)> = std::thread::scope(|scope| {
            let hands: Vec<_> = open
                .chunks(share)
                .map(|part| {
                    scope.spawn(move || {
                        let mut scratch = Scratch::default();
                        let value = |at: &usize| {
                            (*at, this.row_value(&this.each[*at], taken, &mut scratch))
                        };
                        part.iter().map(value).collect::<Vec<_>>()
                    })
                })
                .collect();
            // What a broken hand leaves out is worked out by whoever asks.
            hands.into_iter().filter_map(|hand| hand.join().ok()).flatten().collect()
        });
        for (at, value) in found {
            let key = Self::key(&self.each[at], taken);
            self.each[at].memo.insert(key, value);
        }
    }

    /// How many kits' values are remembered: what the search has learnt so far.
    #[must_use]
    pub fn remembered(&self) -> usize {
        self.each.iter().map(|row| row.memo.len()).sum()
    }
}
