//! The Lagrangian bound: prices for purposes, lowered step by step.

use super::top::Top;
use super::{LANES, Prices, Search, TIE_BITS, Worths, total};

impl Search<'_> {
    /// The Lagrangian bound at `prices`, dropping columns it proves useless on the way.
    fn relax_and_fix(&mut self, prices: &Worths, slots: usize) -> (i64, Top) {
        let mut top = Top::new(slots);
        let mut earnings = Vec::with_capacity(self.alive.len());
        for &column in &self.alive {
            let earn = self.gain(column, prices);
            earnings.push(earn);
            top.offer(earn, column);
        }
        let bound = (total(prices) << TIE_BITS) + self.offset + top.sum();
        // Forced in, a column would take the place of the least of the top earners.
        let bar = top.bar();
        let needed = self.target().saturating_sub(bound - bar);
        let keep = needed.min(bar);
        let mut at = 0;
        self.alive.retain(|_| {
            at += 1;
            earnings[at - 1] >= keep
        });
        (bound, top)
    }

    /// Subgradient steps on the prices; returns the lowest bound and its prices.
    pub(super) fn lower_the_bound(
        &mut self,
        slots: usize,
        warm: Prices,
        steps: usize,
    ) -> (i64, Worths) {
        let mut prices = self.first_prices(warm);
        let mut lowest = (i64::MAX, prices);
        let mut length = 1.0_f64;
        let mut idle = 0;
        for step in 0..steps {
            let (bound, top) = self.relax_and_fix(&prices, slots);
            let target = self.target();
            if bound < lowest.0 {
                lowest = (bound, prices);
                idle = 0;
            } else {
                idle += 1;
                if idle >= 5 {
                    length *= 0.6;
                    idle = 0;
                    prices = lowest.1;
                    continue;
                }
            }
            if lowest.0 < target || self.alive.len() <= slots {
                break;
            }
            if step % 8 == 7 {
                // What the relaxation chose is often a better start than the greedy one.
                let members = top.members().to_vec();
                if !members.is_empty() {
                    let score = self.score(&members);
                    self.consider(&members, score);
                }
            }
            let mut slope = [1_i32; LANES];
            for &column in top.members() {
                let worths = self.worths(column);
                for lane in 0..LANES {
                    slope[lane] -= i32::from(worths[lane] > prices[lane]);
                }
            }
            let norm: i32 = slope.iter().map(|part| part * part).sum();
            if norm == 0 {
                break;
            }
            let gap = ((bound - target).max(0) >> TIE_BITS) as f64;
            let step = length * gap.max(1.0) / f64::from(norm);
            for lane in 0..LANES {
                let moved = f64::from(prices[lane]) - step * f64::from(slope[lane]);
                prices[lane] = moved.clamp(0.0, f64::from(1 << 30)) as i32;
            }
        }
        lowest
    }

    /// Half-way between the best and the second-best worth of the start: where, for each purpose,
    /// exactly one chosen column earns.
    fn first_prices(&self, warm: Prices) -> Worths {
        let Some(best) = &self.best else { return warm.0 };
        let mut first = [0; LANES];
        let mut second = [0; LANES];
        for column in &best.columns {
            for (lane, worth) in self.worths(*column).iter().enumerate() {
                if *worth > first[lane] {
                    second[lane] = first[lane];
                    first[lane] = *worth;
                } else if *worth > second[lane] {
                    second[lane] = *worth;
                }
            }
        }
        let mut prices = [0; LANES];
        for lane in 0..LANES {
            prices[lane] = first[lane] - (first[lane] - second[lane]) / 4;
        }
        prices
    }
}
