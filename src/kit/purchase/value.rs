//! The exact value of one state: every want's best kit, by the solver's own search.

use super::memo::Memo;
use super::rows::{Choice, Row, Rows, piece_cost};
use crate::kit::choose::{self, Columns, Found, LANES, Prices, TIE_BITS, Worths, burden};

/// Rows between two questions whether to go on.
pub(super) const BATCH: usize = 24;

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
        for fitted in option.fitted() {
            let copies = self.copies(row.scene, fitted, taken);
            if copies == 0 {
                return None;
            }
            cost += piece_cost(copies, shared);
        }
        scratch.worths.clear();
        scratch.burdens.clear();
        for column in &option.columns {
            let copies = self.copies(row.scene, column.group(), taken);
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

    /// The same, out of what is remembered or worked out now.
    pub(super) fn known_value(&self, row: &Row, taken: &[u8], scratch: &mut Scratch) -> i64 {
        let key = Memo::key(&row.depends, taken);
        row.memo.get(&key).unwrap_or_else(|| self.row_value(row, taken, scratch))
    }

    /// The same, remembered.
    pub(super) fn remember(&self, row: &mut Row, taken: &[u8], scratch: &mut Scratch) -> i64 {
        let key = Memo::key(&row.depends, taken);
        if let Some(value) = row.memo.get(&key) {
            return value;
        }
        let value = self.row_value(row, taken, scratch);
        row.memo.insert(key, value);
        value
    }

    /// The sum over all wants of weight times value.
    pub fn value(&mut self, taken: &[u8]) -> i64 {
        self.prepare(taken, &mut || true);
        let mut scratch = Scratch::default();
        let value = |row: &Row| row.weight * self.known_value(row, taken, &mut scratch);
        self.constant + self.each.iter().map(value).sum::<i64>()
    }

    /// Value of every want, not weighted, in the order of the demand.
    pub fn values(&mut self, taken: &[u8]) -> Vec<i64> {
        self.prepare(taken, &mut || true);
        let mut scratch = Scratch::default();
        (0..self.row_of.len())
            .map(|want| match self.row_of[want] {
                Some(row) => self.known_value(&self.each[row], taken, &mut scratch),
                None => self.fixed[want],
            })
            .collect()
    }

    /// Works out with all threads what is not yet remembered of a state, and asks every few rows
    /// whether to go on; false where the answer is no, and what was worked out stays.
    pub fn prepare(&mut self, taken: &[u8], go_on: &mut dyn FnMut() -> bool) -> bool {
        let threads = self.terms.threads.max(1);
        let unknown = |row: &Row| row.memo.get(&Memo::key(&row.depends, taken)).is_none();
        let open: Vec<usize> = (0..self.each.len()).filter(|at| unknown(&self.each[*at])).collect();
        for batch in open.chunks(BATCH * threads) {
            if !go_on() {
                return false;
            }
            let found = self.worked_out(batch, taken, threads);
            for (at, value) in found {
                let row = &mut self.each[at];
                row.memo.insert(Memo::key(&row.depends, taken), value);
            }
        }
        true
    }

    fn worked_out(&self, batch: &[usize], taken: &[u8], threads: usize) -> Vec<(usize, i64)> {
        let work = |part: &[usize]| -> Vec<(usize, i64)> {
            let mut scratch = Scratch::default();
            let value = |at: &usize| (*at, self.row_value(&self.each[*at], taken, &mut scratch));
            part.iter().map(value).collect()
        };
        if threads == 1 || batch.len() < BATCH {
            return work(batch);
        }
        std::thread::scope(|scope| {
            let hands: Vec<_> = batch
                .chunks(batch.len().div_ceil(threads))
                .map(|part| scope.spawn(|| work(part)))
                .collect();
            // What a broken hand leaves out is worked out by whoever asks.
            hands.into_iter().filter_map(|hand| hand.join().ok()).flatten().collect()
        })
    }

    /// How many kits' values are remembered: what the search has learnt so far.
    #[must_use]
    pub fn remembered(&self) -> usize {
        self.each.iter().map(|row| row.memo.len()).sum()
    }
}
