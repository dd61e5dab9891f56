//! Pieces whose going costs nothing: exact, one by one and all together.

use super::rows::{Lowest, Rows};
use super::{Demand, Glassware, Sale, Stock, Terms};
use crate::kit::Settings;

/// What may go.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Idle {
    /// Pieces owned, by position, whose going alone leaves every value as it is.
    pub alone: Vec<usize>,
    /// Of these, pieces that may all go together: none can be added, though another choice of as
    /// many may exist.
    pub together: Vec<usize>,
}

/// Looks at every piece owned; none where `go_on` says no.
pub fn idle(
    owned: &[Glassware],
    demand: &Demand<'_>,
    settings: &Settings,
    terms: Terms,
    go_on: &mut dyn FnMut(usize, usize) -> bool,
) -> Option<Idle> {
    // As if each could be sold for nothing. Pieces of one specification are told apart by number
    // only, so one of them stands for all.
    let sales: Vec<Sale> = (0..owned.len()).map(|owned| Sale { owned, price: 0 }).collect();
    let stock = Stock::new(owned, &[], &sales);
    let wants = demand.wants.len();
    let mut rows = Rows::build(stock, demand, settings, terms, Lowest::AllTaken, &mut |done| {
        go_on(done, wants + owned.len())
    })?;
    let everything = rows.stock().most();
    let all = rows.value(&everything);
    let mut alone = Vec::new();
    for at in 0..everything.len() {
        let mut without = everything.clone();
        without[at] -= 1;
        let mut go_on = || go_on(wants + at, wants + owned.len());
        if !go_on() || !rows.prepare(&without, &mut go_on) {
            return None;
        }
        if rows.value(&without) == all {
            alone.push(at);
        }
    }
    let mut left = everything;
    let mut together = Vec::new();
    // From the last on: what came later to the shelf goes first.
    for at in alone.iter().rev() {
        while left[*at] > 0 {
            left[*at] -= 1;
            let mut go_on = || go_on(wants + owned.len(), wants + owned.len());
            if !rows.prepare(&left, &mut go_on) {
                return None;
            }
            if rows.value(&left) != all {
                left[*at] += 1;
                break;
            }
            let group = rows.stock().open[*at];
            let copy = usize::from(left[*at]);
            together.extend(
                rows.stock()
                    .group_of
                    .iter()
                    .enumerate()
                    .filter(|(_, of)| **of == group)
                    .map(|(owned, _)| owned)
                    .nth(copy),
            );
        }
    }
    together.sort_unstable();
    let stock = rows.stock();
    let pieces = |at: &usize| {
        let group = stock.open[*at];
        stock.group_of.iter().enumerate().filter(move |(_, of)| **of == group).map(|(at, _)| at)
    };
    let mut alone: Vec<usize> = alone.iter().flat_map(pieces).collect();
    alone.sort_unstable();
    Some(Idle { alone, together })
}
