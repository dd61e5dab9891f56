//! Cuts: sums over single lots that no purchase's value exceeds.
//!
//! For one want with one Barlow or none and one corrector or none, prices `λ ≥ 0` for the purposes
//! and `μ ≥ 0` for a place in the kit bound every kit `K` of at most `k` eyepieces:
//!
//! ```text
//! value(K) ≤ offset + Σλ + k·μ + Σ over K of (earned above λ − cost − μ)⁺
//! ```
//!
//! The last sum may run over all eyepieces there, so the bound is a constant plus a sum over lots:
//! it holds for *every* purchase at once, whatever the prices. Of several such options the best
//! counts; `U + Σh` with `U` the largest constant and `h` the largest share of each lot covers them all,
//! and an option whose constant lies lower by a slack gives its lots a share less, since at most
//! that many of them come together.
//!
//! Good prices are those at which the bound is lowest for the purchase the search is looking at,
//! which may be one of fractions of lots; subgradient steps find them, as in [`crate::kit::choose`].
//! That is the Lagrangian dual of Cornuéjols, Fisher and Nemhauser 1977, used for cuts as in
//! Benders 1962, *Numerische Mathematik* 4:238–252 (both from memory).

use super::rows::{Choice, Row, Rows, piece_cost};
use crate::kit::choose::{LANES, Worths, above, total};

/// Where a bound is to be low: a state, or a mixture of states.
pub(super) struct Level<'a> {
    /// Lots that are there for certain.
    pub(super) taken: &'a [u8],
    /// By open group and lot, how far the lot is there; none for not at all.
    pub(super) share: Option<&'a [Vec<f64>]>,
    /// A value that the bound will not fall below: it sets the length of the steps.
    pub(super) target: i64,
}

impl Level<'_> {
    /// How far the first lot that brings a group in is there.
    fn share(&self, place: Option<usize>, first: usize) -> f64 {
        match (self.share, place) {
            (Some(share), Some(at)) => share[at].get(first).copied().unwrap_or(0.0),
            _ => 0.0,
        }
    }
}

/// A bound on one option with the price of a place that goes with it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Lowered {
    pub(super) value: i64,
    pub(super) place: i64,
}

/// Reused memory.
#[derive(Default)]
pub(super) struct Pricing {
    earned: Vec<(i64, f64)>,
    sorted: Vec<(i64, f64)>,
}

impl Rows {
    /// Lowers one option's bound at a level and keeps the prices; answers with the bound.
    pub(super) fn lower(
        &self,
        row: &Row,
        option: &mut Choice,
        level: &Level<'_>,
        steps: usize,
        pricing: &mut Pricing,
    ) -> Lowered {
        let mut lowest = (f64::INFINITY, option.prices, 0);
        let mut prices = option.prices;
        let mut length = 1.0;
        let mut idle = 0;
        for _ in 0..steps.max(1) {
            let (value, place, slope) = self.priced(row, option, &prices, level, pricing);
            if value < lowest.0 - 0.5 {
                lowest = (value, prices, place);
                idle = 0;
            } else {
                idle += 1;
                if idle >= 3 {
                    length *= 0.5;
                    idle = 0;
                    prices = lowest.1;
                    continue;
                }
            }
            let norm: f64 = slope.iter().map(|part| part * part).sum();
            if norm < 1e-9 || length < 1e-3 {
                break;
            }
            let stride = length * (value - level.target as f64).max(1.0) / norm;
            for lane in 0..LANES {
                let moved = f64::from(prices[lane]) - stride * slope[lane];
                prices[lane] = moved.clamp(0.0, f64::from(1 << 29)) as i32;
            }
        }
        option.prices = lowest.1;
        Lowered { value: self.constant(row, option, level.taken, lowest.2).0, place: lowest.2 }
    }

    /// The bound at given prices, the best price of a place, and the slope in the prices.
    fn priced(
        &self,
        row: &Row,
        option: &Choice,
        prices: &Worths,
        level: &Level<'_>,
        pricing: &mut Pricing,
    ) -> (f64, i64, [f64; LANES]) {
        pricing.earned.clear();
        pricing.sorted.clear();
        for column in &option.columns {
            let group = column.group();
            let copies = self.copies(row.scene, group, level.taken);
            let place = self.place[group];
            let there = if copies > 0 {
                1.0
            } else {
                let away = self.away[row.scene][group];
                level.share(place, away.saturating_sub(self.stock.groups[group].permanent))
            };
            let cost = piece_cost(copies.max(1), self.terms.shared);
            let earned = i64::from(above(&column.worths, prices)) - i64::from(cost);
            pricing.earned.push((earned, there));
            if earned > 0 && there > 0.0 {
                pricing.sorted.push((earned, there));
            }
        }
        // The best price of a place: what the first eyepiece earns that finds none.
        pricing.sorted.sort_unstable_by_key(|(earned, _)| std::cmp::Reverse(*earned));
        let mut room = self.terms.slots as f64;
        let mut place = 0;
        let mut at_place = 0.0;
        for (earned, there) in &pricing.sorted {
            if *there > room {
                place = *earned;
                at_place = room;
                break;
            }
            room -= there;
        }
        let mut value = total(prices) as f64 + self.terms.slots as f64 * place as f64;
        let mut slope = [1.0; LANES];
        for (column, (earned, there)) in option.columns.iter().zip(&pricing.earned) {
            let part = if *earned > place {
                value += there * (earned - place) as f64;
                *there
            } else if *earned == place && place > 0 {
                let part = at_place.min(*there);
                at_place -= part;
                part
            } else {
                0.0
            };
            if part > 0.0 {
                for lane in 0..LANES {
                    if column.worths[lane] > prices[lane] {
                        slope[lane] -= part;
                    }
                }
            }
        }
        let mut offset = f64::from(row.telescope_cost);
        for fitted in option.fitted() {
            let copies = self.copies(row.scene, fitted, level.taken).max(1);
            offset += f64::from(piece_cost(copies, self.terms.shared));
        }
        (value - offset, place, slope)
    }

    /// An option's bound with what is taken, and the same without what is fitted costs.
    pub(super) fn constant(
        &self,
        row: &Row,
        option: &Choice,
        taken: &[u8],
        place: i64,
    ) -> (i64, i64) {
        let shared = self.terms.shared;
        let mut value = total(&option.prices) + i64::from(self.terms.slots as u32) * place
            - i64::from(row.telescope_cost);
        for column in &option.columns {
            let copies = self.copies(row.scene, column.group(), taken);
            if copies > 0 {
                let earned = i64::from(above(&column.worths, &option.prices))
                    - i64::from(piece_cost(copies, shared));
                value += (earned - place).max(0);
            }
        }
        let fitted = option.fitted().map(|fitted| {
            let copies = self.copies(row.scene, fitted, taken).max(1);
            i64::from(piece_cost(copies, shared))
        });
        (value - fitted.sum::<i64>(), value)
    }
}
