//! The best state under a budget, proven: branch and bound over the lots.
//!
//! A part of the tree is two states, what is taken for certain and what may be taken at most. Its
//! bound is the lowest reading of its cuts ([`super::knapsack`]). Parts are opened from the highest
//! bound on, so that at any moment the highest open bound says how much better an answer could
//! still be. A part whose bound stays above the best state gets new cuts at the mixture of lots
//! that the bound would take (Frank and Wolfe's steps, 1956, from memory), and is then split at the
//! lot that is taken by halves.

use std::collections::BinaryHeap;
use std::rc::Rc;

use super::Taken;
use super::knapsack::{Ranked, Reading, score, value_of};
use super::rows::Rows;
use super::stock::Origin;

/// Cuts a part of the tree keeps.
const MOST_CUTS: usize = 10;

/// New cuts for the whole tree, and for each part of it.
const FIRST_CUTS: usize = 24;
const NEXT_CUTS: usize = 3;

/// Steps on the prices for the first cut and for each further one.
const FIRST_STEPS: usize = 60;
const NEXT_STEPS: usize = 12;

/// How far a search has come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Progress {
    /// Value of the best state so far, all wants together.
    pub value: i64,
    /// No state's value is higher.
    pub bound: i64,
    /// Parts of the tree looked at.
    pub parts: usize,
}

/// The best state found.
#[derive(Debug, Clone, PartialEq)]
pub struct Best {
    /// How many lots of each open group are taken.
    pub taken: Taken,
    /// Its value, all wants together.
    pub value: i64,
    /// What leaves the purse; below zero where sales bring more than purchases cost.
    pub spent: i64,
    /// No state under the budget has a higher value; equal to `value` where that is proven.
    pub bound: i64,
    /// Parts of the tree looked at.
    pub parts: usize,
}

impl Best {
    /// Whether no state under the budget is better: in value, then in money, then in pieces.
    #[must_use]
    pub fn is_proven(&self) -> bool {
        self.bound == self.value
    }
}

/// A part of the tree.
struct Part {
    bound: i128,
    /// Later ones first among equal bounds: they are deeper.
    number: usize,
    low: Taken,
    high: Taken,
    cuts: Vec<Rc<Ranked>>,
}

impl PartialEq for Part {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}
impl Eq for Part {}
impl PartialOrd for Part {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Part {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        (self.bound, self.number).cmp(&(other.bound, other.number))
    }
}

/// A search under one budget.
pub struct Search<'r> {
    rows: &'r mut Rows,
    /// Money for lots: the budget and what all sales would bring.
    money: i64,
    best: Option<(i128, Taken, i64)>,
    /// What no state scores more than.
    bound: i128,
    parts: usize,
}

/// Asked now and then, with how far the search has come, whether to go on.
type GoOn<'a> = dyn FnMut(&Progress) -> bool + 'a;

impl<'r> Search<'r> {
    /// Looks for the best state with this much to spend. `known` are states to start from, such as
    /// the best one under a smaller budget; those that cost too much are left out.
    pub fn run(rows: &'r mut Rows, budget: u64, known: &[Taken], go_on: &mut GoOn<'_>) -> Best {
        let money = (budget + rows.stock.sales).cast_signed();
        // What everything together is worth, nothing exceeds.
        let most = rows.stock.most();
        let bound = score(rows.value(&most), 0, 0);
        let mut search = Search { rows, money, best: None, bound, parts: 0 };
        let nothing = search.rows.stock.least();
        let today = search.rows.stock.today();
        for state in [&nothing, &today].into_iter().chain(known) {
            if state.len() == nothing.len() {
                // The value of nothing is known, so there is an answer however soon it ends.
                search.consider(state, go_on);
            }
        }
        let bound = search.explore(go_on);
        let (_, taken, value) = search.best.unwrap_or((0, nothing, 0));
        let spent = search.rows.stock.spent(&taken);
        Best { value, spent, bound: bound.max(value), parts: search.parts, taken }
    }

    /// Works out a state's value and keeps it if it is better; false where it is time to stop.
    fn consider(&mut self, taken: &[u8], go_on: &mut GoOn<'_>) -> bool {
        let price = self.rows.stock.price(taken);
        if price > self.money {
            return true;
        }
        let at = self.progress(self.bound);
        if !self.rows.prepare(taken, &mut || go_on(&at)) {
            return false;
        }
        let value = self.rows.value(taken);
        let pieces = taken.iter().map(|count| usize::from(*count)).sum();
        let this = score(value, price, pieces);
        let better = self.best.as_ref().is_none_or(|(best, known, _)| {
            this > *best || this == *best && self.names(taken) < self.names(known)
        });
        if better {
            self.best = Some((this, taken.to_vec(), value));
        }
        true
    }

    fn progress(&self, bound: i128) -> Progress {
        let value = self.best.as_ref().map_or(0, |best| best.2);
        Progress { value, bound: value_of(bound).max(value), parts: self.parts }
    }

    /// The lots of a state by where they come from: the last resort among equals.
    fn names(&self, taken: &[u8]) -> Vec<Origin> {
        let mut names: Vec<Origin> =
            self.rows.stock.lots(taken).map(|(_, lot)| lot.origin).collect();
        names.sort_unstable();
        names
    }

    fn target(&self) -> i128 {
        self.best.as_ref().map_or(i128::MIN, |(score, ..)| *score)
    }

    /// Takes away what the money does not reach.
    fn within_reach(&self, low: &[u8], high: &mut [u8]) -> i64 {
        let left = self.money - self.rows.stock.price(low);
        for (at, (low, high)) in low.iter().zip(high.iter_mut()).enumerate() {
            let mut left = left;
            let mut count = *low;
            while count < *high {
                left -= i64::from(self.rows.lot(at, usize::from(count)).price);
                if left < 0 {
                    break;
                }
                count += 1;
            }
            *high = count;
        }
        left
    }

    /// How many lots may come together at most.
    fn together(&self, low: &[u8], high: &[u8], mut left: i64) -> usize {
        let mut prices: Vec<i64> = Vec::new();
        for (at, (low, high)) in low.iter().zip(high).enumerate() {
            prices.extend(
                (*low..*high).map(|lot| i64::from(self.rows.lot(at, usize::from(lot)).price)),
            );
        }
        prices.sort_unstable();
        let mut many = 0;
        for price in prices {
            left -= price;
            if left < 0 {
                break;
            }
            many += 1;
        }
        many
    }

    /// The lowest reading of the cuts.
    fn reading(&self, cuts: &[Rc<Ranked>], low: &[u8], high: &[u8]) -> Option<(usize, Reading)> {
        cuts.iter()
            .map(|cut| cut.read(self.rows, low, high, self.money))
            .enumerate()
            .min_by_key(|(_, reading)| reading.bound)
    }

    /// Opens parts until the best state is proven or it is time to stop; answers with the bound.
    fn explore(&mut self, go_on: &mut GoOn<'_>) -> i64 {
        let mut open = BinaryHeap::new();
        let first = Part {
            bound: self.bound,
            number: 0,
            low: self.rows.stock.least(),
            high: self.rows.stock.most(),
            cuts: Vec::new(),
        };
        open.push(first);
        let mut number = 0;
        while let Some(mut part) = open.pop() {
            if part.bound < self.target() {
                break;
            }
            self.parts += 1;
            self.bound = part.bound;
            let rounds = if self.parts == 1 { FIRST_CUTS } else { NEXT_CUTS };
            let stopped = self.tighten(&mut part, rounds, go_on);
            if stopped {
                let bound = match open.peek() {
                    Some(next) if next.bound > part.bound => next.bound,
                    _ => part.bound,
                };
                return value_of(bound);
            }
            if part.bound < self.target() {
                continue;
            }
            let Some((at, lot)) = self.split(&part) else { continue };
            for take in [false, true] {
                let (mut low, mut high) = (part.low.clone(), part.high.clone());
                if take {
                    low[at] = lot + 1;
                } else {
                    high[at] = lot;
                }
                if self.within_reach(&low, &mut high) < 0 {
                    continue;
                }
                let bound = self
                    .reading(&part.cuts, &low, &high)
                    .map_or(part.bound, |(_, reading)| reading.bound.min(part.bound));
                if bound >= self.target() {
                    number += 1;
                    open.push(Part { bound, number, low, high, cuts: part.cuts.clone() });
                }
            }
        }
        value_of(self.target())
    }

    /// New cuts for a part, and the states they point to; whether it is time to stop.
    fn tighten(&mut self, part: &mut Part, rounds: usize, go_on: &mut GoOn<'_>) -> bool {
        let left = self.within_reach(&part.low.clone(), &mut part.high);
        let together = self.together(&part.low, &part.high, left);
        if !self.consider(&part.low.clone(), go_on) {
            return true;
        }
        if part.low == part.high {
            // Nothing is left to decide, and the state is known exactly.
            part.bound = i128::MIN;
            return false;
        }
        let mut share: Vec<Vec<f64>> = match self.reading(&part.cuts, &part.low, &part.high) {
            Some((_, reading)) => reading.share,
            None => self.even_share(&part.low, &part.high, left),
        };
        let mut idle = 0;
        for round in 0..rounds {
            let at = self.progress(part.bound);
            if !go_on(&at) {
                return true;
            }
            let steps = if part.cuts.is_empty() { FIRST_STEPS } else { NEXT_STEPS };
            let (low, high) = (&part.low, &part.high);
            let cut = self.rows.cut(low, high, &share, together, steps, &mut || go_on(&at));
            let Some(cut) = cut else { return true };
            let cut = Ranked::of(self.rows, cut);
            let reading = cut.read(self.rows, &part.low, &part.high, self.money);
            let before = part.bound;
            part.bound = part.bound.min(reading.bound);
            if !self.consider(&reading.whole, go_on) {
                return true;
            }
            let step = 2.0 / (round as f64 + 2.0);
            let step = if round == 0 && !part.cuts.is_empty() { 0.5 } else { step };
            for (mix, pure) in share.iter_mut().flatten().zip(reading.share.iter().flatten()) {
                *mix += step.min(0.6) * (pure - *mix);
            }
            part.cuts.push(Rc::new(cut));
            if part.cuts.len() > MOST_CUTS {
                self.drop_loosest(part);
            }
            if part.bound < self.target() {
                return false;
            }
            let gained = before - part.bound > (before - self.target()) / 50;
            idle = if gained { 0 } else { idle + 1 };
            if idle >= 4 {
                break;
            }
        }
        false
    }

    fn drop_loosest(&self, part: &mut Part) {
        let loosest = part
            .cuts
            .iter()
            .map(|cut| cut.read(self.rows, &part.low, &part.high, self.money).bound)
            .enumerate()
            .max_by_key(|(_, bound)| *bound);
        if let Some((at, _)) = loosest {
            part.cuts.remove(at);
        }
    }

    /// Everything within reach by the same share.
    fn even_share(&self, low: &[u8], high: &[u8], left: i64) -> Vec<Vec<f64>> {
        let mut wanted = 0;
        for (at, (low, high)) in low.iter().zip(high).enumerate() {
            wanted += (*low..*high)
                .map(|lot| i64::from(self.rows.lot(at, usize::from(lot)).price))
                .sum::<i64>();
        }
        let even = if wanted > 0 { (left.max(0) as f64 / wanted as f64).min(1.0) } else { 1.0 };
        self.rows
            .stock
            .open
            .iter()
            .zip(low.iter().zip(high))
            .map(|(group, (low, high))| {
                (0..self.rows.stock.groups[*group].lots.len())
                    .map(|lot| match lot {
                        lot if lot < usize::from(*low) => 1.0,
                        lot if lot < usize::from(*high) => even,
                        _ => 0.0,
                    })
                    .collect()
            })
            .collect()
    }

    /// Where to split a part: at the lot that the bound takes by halves, else at the one that could
    /// bring the most.
    fn split(&self, part: &Part) -> Option<(usize, u8)> {
        let (tightest, reading) = self.reading(&part.cuts, &part.low, &part.high)?;
        let mut halves: Option<(f64, usize)> = None;
        let mut most: Option<(i64, usize)> = None;
        for at in 0..part.low.len() {
            if part.low[at] >= part.high[at] {
                continue;
            }
            let lot = usize::from(part.low[at]);
            let share = reading.share[at][lot];
            let off = (share - 0.5).abs();
            if (0.02..=0.98).contains(&share) && halves.is_none_or(|(best, _)| off < best) {
                halves = Some((off, at));
            }
            let profit = part.cuts[tightest].profit(at, lot);
            if most.is_none_or(|(best, _)| profit > best) {
                most = Some((profit, at));
            }
        }
        let ((Some((_, at)), _) | (None, Some((_, at)))) = (halves, most) else { return None };
        Some((at, part.low[at]))
    }
}
