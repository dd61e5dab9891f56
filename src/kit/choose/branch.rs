//! Branch and bound on what the bound leaves open.

use super::top::Top;
use super::{LANES, Search, TIE_BITS, Worths, raised, total};

impl Search<'_> {
    pub(super) fn branch_all(&mut self, prices: &Worths, slots: usize) {
        let mut order: Vec<(i64, u32)> =
            self.alive.iter().map(|column| (self.gain(*column, prices), *column)).collect();
        order.sort_unstable_by_key(|(earn, column)| (std::cmp::Reverse(*earn), *column));
        let candidates: Vec<u32> = order.into_iter().map(|(_, column)| column).collect();
        let mut chosen = Vec::with_capacity(slots);
        self.branch(&candidates, slots, &[0; LANES], self.offset, &mut chosen, prices);
    }

    /// Explores every choice that adds some of `candidates` to `chosen`.
    ///
    /// `score` is that of `chosen`; `reached` its best worth per purpose.
    fn branch(
        &mut self,
        candidates: &[u32],
        slots: usize,
        reached: &Worths,
        score: i64,
        chosen: &mut Vec<u32>,
        prices: &Worths,
    ) {
        self.nodes = self.nodes.wrapping_add(1);
        if self.nodes.is_multiple_of(64) && (self.spent)() {
            self.stopped = true;
        }
        if slots == 0 || self.stopped {
            return;
        }
        // Submodular bound: no column ever gains more than it does now.
        let mut gains: Vec<(i64, u32)> = Vec::with_capacity(candidates.len());
        let mut top = Top::new(slots);
        for &column in candidates {
            let gain = self.gain(column, reached);
            if gain > 0 || chosen.is_empty() {
                gains.push((gain, column));
                top.offer(gain, column);
            }
        }
        let ceiling = score + top.sum();
        if !chosen.is_empty() && ceiling < self.target() {
            return;
        }
        // Lagrangian bound with prices no lower than what is reached already.
        let lifted = raised(reached, prices);
        let mut priced = Top::new(slots);
        for &(_, column) in &gains {
            priced.offer(self.gain(column, &lifted), column);
        }
        let lift = (total(&lifted) - total(reached)) << TIE_BITS;
        if score + lift + priced.sum() < self.target() {
            return;
        }
        gains.sort_unstable_by_key(|(gain, column)| (std::cmp::Reverse(*gain), *column));
        let ordered: Vec<u32> = gains.iter().map(|(_, column)| *column).collect();
        for (at, &(gain, column)) in gains.iter().enumerate() {
            // Sorted by gain, so the next `slots` ones bound everything from here on.
            let rest: i64 = gains[at..].iter().take(slots).map(|(gain, _)| (*gain).max(0)).sum();
            let within = if chosen.is_empty() { score + rest.max(gain) } else { score + rest };
            if within < self.target() || self.stopped {
                return;
            }
            chosen.push(column);
            let with = score + gain;
            self.consider(&chosen.clone(), with);
            let reached_with = raised(reached, self.worths(column));
            self.branch(&ordered[at + 1..], slots - 1, &reached_with, with, chosen, prices);
            chosen.pop();
        }
    }
}
