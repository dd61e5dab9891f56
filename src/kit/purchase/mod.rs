//! What to buy, what to sell, what may go: the set of pieces under a budget that raises the best
//! kits of all observers in all telescopes the most.
//!
//! The value of a state of the shelf is `sum over wants of weight × value of the best kit`, each
//! best kit being what [`super::Solver`] would find, in the same integers. A *want* is one class of
//! observers at one telescope on one kind of evening.
//!
//! Everything that can change is a *lot* with a price ([`Group::lots`]). An offer for sale is a lot
//! that may be taken. A piece that could be sold is a lot too: its price is what the buyer would
//! pay, and the budget is larger by as much, so keeping it is buying it back. Pieces of the same
//! specification share a group, whose lots are taken from the cheapest on.
//!
//! The search ([`search`]) is exact: branch and bound over the lots under *cuts* ([`bound`]), sums
//! over single lots that no purchase exceeds. Where time ends first it says what could still be
//! gained, at most.

mod bound;
pub mod coverage;
mod cut;
pub mod demand;
mod fixing;
pub mod ideal;
mod knapsack;
mod memo;
pub mod retire;
mod rows;
pub mod search;
pub mod stock;
mod value;

pub use demand::{Demand, Scene, Want};
pub use rows::{Lowest, Rows};
pub use search::{Best, Progress, Search};
pub use stock::{Glassware, Group, Lot, Offer, Origin, Sale, Stock};

use super::worth::VALUE_UNIT;

/// How a purchase is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Terms {
    /// Most eyepieces in a kit, 1 to 8.
    pub slots: usize,
    /// Whether others miss a piece while it is out, as in a club; nobody misses one's own.
    pub shared: bool,
    /// How many threads to work with.
    pub threads: usize,
}

/// A value out of the solver's integers: one is the whole worth of one want of weight one.
#[must_use]
pub fn in_ones(value: i64) -> f64 {
    value as f64 * VALUE_UNIT
}

/// How many lots of each open group are taken.
pub type Taken = Vec<u8>;
