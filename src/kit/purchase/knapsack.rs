//! The best lots under a budget, for a sum over single lots: by fractions for a bound, whole for a
//! candidate.

use std::cmp::Ordering;

use super::cut::Cut;
use super::rows::Rows;

/// Below the value in a score stand money and pieces, so that among equal values the cheaper state
/// wins and then the one with fewer pieces.
const VALUE_BITS: u32 = 40;
const PRICE_BITS: u32 = 12;

/// A value with what it costs and how many pieces it takes, as one number to compare.
pub(super) fn score(value: i64, price: i64, pieces: usize) -> i128 {
    (i128::from(value) << VALUE_BITS) - (i128::from(price) << PRICE_BITS) - pieces as i128
}

/// The value that no state of a score exceeds.
pub(super) fn value_of(score: i128) -> i64 {
    ((score + (1 << VALUE_BITS) - 1) >> VALUE_BITS) as i64
}

/// A lot that a cut finds worth its price.
#[derive(Debug, Clone, Copy)]
struct Bid {
    at: usize,
    lot: usize,
    profit: i128,
    price: i64,
}

/// A cut with its lots in order of profit per money.
#[derive(Debug, Clone)]
pub(super) struct Ranked {
    cut: Cut,
    bids: Vec<Bid>,
}

/// What a cut says of a part of the tree.
pub(super) struct Reading {
    /// No state in this part scores more.
    pub(super) bound: i128,
    /// By open group and lot, how far the bound takes it.
    pub(super) share: Vec<Vec<f64>>,
    /// The same without fractions: a state that can be had.
    pub(super) whole: Vec<u8>,
}

impl Ranked {
    pub(super) fn of(rows: &Rows, cut: Cut) -> Self {
        let mut bids = Vec::new();
        for (at, lots) in cut.lots.iter().enumerate() {
            for (lot, gain) in lots.iter().enumerate() {
                let price = i64::from(rows.lot(at, lot).price);
                let profit = score(*gain, price, 1);
                if profit > 0 {
                    bids.push(Bid { at, lot, profit, price });
                }
            }
        }
        bids.sort_by(|one, other| {
            // Profit per money, exactly; what costs nothing comes first.
            (other.profit * i128::from(one.price))
                .cmp(&(one.profit * i128::from(other.price)))
                .then_with(|| match (one.price, other.price) {
                    (0, 0) => other.profit.cmp(&one.profit),
                    _ => one.price.cmp(&other.price),
                })
                .then_with(|| (one.at, one.lot).cmp(&(other.at, other.lot)))
        });
        Self { cut, bids }
    }

    /// The largest profit this lot could bring.
    pub(super) fn profit(&self, at: usize, lot: usize) -> i64 {
        self.cut.lots[at][lot]
    }

    /// Reads the cut between two states with this much money for lots.
    pub(super) fn read(&self, rows: &Rows, low: &[u8], high: &[u8], money: i64) -> Reading {
        let mut value = self.cut.base;
        for (lots, count) in self.cut.lots.iter().zip(low) {
            value += lots.iter().take(usize::from(*count)).sum::<i64>();
        }
        let price = rows.stock.price(low);
        let pieces = low.iter().map(|count| usize::from(*count)).sum();
        let mut bound = score(value, price, pieces);
        let mut share: Vec<Vec<f64>> = self.cut.lots.iter().map(|l| vec![0.0; l.len()]).collect();
        for (share, count) in share.iter_mut().zip(low) {
            share.iter_mut().take(usize::from(*count)).for_each(|share| *share = 1.0);
        }
        let mut whole = low.to_vec();
        let (mut left, mut left_whole) = (money - price, money - price);
        let mut open = true;
        for bid in &self.bids {
            let number = bid.lot as u8;
            if number < low[bid.at] || number >= high[bid.at] {
                continue;
            }
            if open {
                match bid.price.cmp(&left) {
                    Ordering::Less | Ordering::Equal => {
                        bound += bid.profit;
                        left -= bid.price;
                        share[bid.at][bid.lot] = 1.0;
                    }
                    Ordering::Greater => {
                        let part = bid.profit * i128::from(left.max(0)) / i128::from(bid.price);
                        bound += part;
                        share[bid.at][bid.lot] = left.max(0) as f64 / bid.price as f64;
                        open = false;
                    }
                }
            }
            if bid.price <= left_whole && whole[bid.at] == number {
                whole[bid.at] += 1;
                left_whole -= bid.price;
            }
        }
        Reading { bound, share, whole }
    }
}
