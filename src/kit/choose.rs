//! The proven choice among columns: at most `slots` of them, the largest sum over purposes of the
//! best worth, less what each column burdens the observer with.
//!
//! This is the uncapacitated facility-location problem with a limit on the number of facilities
//! (weighted k-median). A column is one eyepiece with all the views it gives in one telescope with
//! at most one Barlow; the caller has already taken the better of its two views per purpose.
//!
//! The proof has three steps, all in integers, so that no rounding can decide:
//!
//! 1. a **start** by greedy choice and swaps, which is a lower bound;
//! 2. a **Lagrangian bound**: pay `price[p]` for each purpose up front, let each column earn what
//!    it brings above those prices, and keep the `slots` best earners. Every price list gives an
//!    upper bound; subgradient steps with Polyak's length lower it, and columns that could not
//!    reach the start even if forced in are dropped (reduced-cost fixing);
//! 3. **branch and bound** on what is left, under the smaller of the submodular bound (gains above
//!    what is chosen already) and the Lagrangian bound with the best prices found.
//!
//! Sources: Cornuéjols, Fisher and Nemhauser 1977, *Management Science* 23(8):789–810, for the
//! Lagrangian bound; Nemhauser, Wolsey and Fisher 1978, *Math. Programming* 14:265–294, for the
//! submodular bound; Polyak 1969 for the step length (all three from memory).

mod branch;
mod relax;
mod top;

/// How many purposes a worth vector has room for.
pub(crate) const LANES: usize = 24;

/// Weight times worth for each purpose, in units of 2⁻³⁰.
pub(crate) type Worths = [i32; LANES];

/// Bits below the value that hold the tie-break: fewer pieces, then less mass.
pub(crate) const TIE_BITS: u32 = 24;

/// The most slots a kit may have.
pub(crate) const MAX_SLOTS: usize = 8;

/// Subgradient steps before branching begins.
const STEPS: usize = 120;

/// Subgradient steps from a neighbour's prices before a start is looked for.
const FIRST_STEPS: usize = 24;

/// Packs what one piece costs (units of 2⁻³⁰) and weighs into the number that scores subtract.
///
/// A score is `value << TIE_BITS` less these burdens, so that equal values are told apart by the
/// number of pieces and then by their mass.
pub(crate) fn burden(cost: i32, mass_g: u32) -> i64 {
    (i64::from(cost) << TIE_BITS) + (1 << 20) + i64::from(mass_g.min(65_535))
}

/// The value (units of 2⁻³⁰) inside a score.
pub(crate) fn value_of(score: i64) -> i64 {
    // Scores are value·2²⁴ − tie with 0 ≤ tie < 2²⁴, so rounding up recovers the value.
    (score + (1 << TIE_BITS) - 1) >> TIE_BITS
}

/// What there is to choose from. Columns stand in the order in which ties prefer them.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Columns<'a> {
    /// Weighted worth per purpose, one entry per column.
    pub(crate) worths: &'a [Worths],
    /// Burden of each column, see [`burden`].
    pub(crate) burdens: &'a [i64],
}

/// A choice of columns with its score.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Choice {
    /// Chosen columns, ascending.
    pub(crate) columns: Vec<u32>,
    /// Value and tie-break, see [`burden`].
    pub(crate) score: i64,
}

impl Choice {
    /// Whether this choice is to be preferred: higher score, then the smaller columns.
    fn beats(&self, other: &Self) -> bool {
        self.score > other.score || (self.score == other.score && self.columns < other.columns)
    }
}

/// What a search found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Found {
    /// The best choice, proven.
    Best(Choice),
    /// No choice reaches the floor, proven.
    BelowFloor,
    /// The budget ended first: the best so far, and a score no choice exceeds.
    Unproven {
        /// The best choice met, if any reached the floor.
        best: Option<Choice>,
        /// An upper bound on every choice's score.
        bound: i64,
    },
}

/// Prices that a similar problem ended with: a good start for the next one.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Prices(Worths);

impl Prices {
    /// No prices known yet.
    pub(crate) fn none() -> Self {
        Self([0; LANES])
    }

    /// Prices kept from before.
    pub(crate) fn of(prices: Worths) -> Self {
        Self(prices)
    }

    /// The price of each purpose.
    pub(crate) fn worths(self) -> Worths {
        self.0
    }
}

/// The better of two views for each purpose.
#[inline]
pub(crate) fn better(one: Option<&Worths>, other: Option<&Worths>) -> Option<Worths> {
    match (one, other) {
        (Some(one), Some(other)) => Some(raised(one, other)),
        (one, other) => one.or(other).copied(),
    }
}

/// Finds the best non-empty choice of at most `slots` columns whose score is at least `floor`.
///
/// `offset` is added to every score (what the telescope and the Barlow burden). `prices` is both a
/// start and a result. `spent` is asked now and then whether to stop early.
pub(crate) fn choose(
    columns: Columns<'_>,
    slots: usize,
    offset: i64,
    floor: i64,
    prices: &mut Prices,
    spent: &dyn Fn() -> bool,
) -> Found {
    let slots = slots.min(MAX_SLOTS);
    if slots == 0 || columns.worths.is_empty() {
        return Found::BelowFloor;
    }
    let mut search = Search::new(columns, offset, floor, spent);
    // With a neighbour's price list the floor is often out of reach at once, or nearly so.
    if prices.0 != [0; LANES] {
        let (bound, best_prices) = search.lower_the_bound(slots, *prices, FIRST_STEPS);
        *prices = Prices(best_prices);
        if bound < floor {
            return Found::BelowFloor;
        }
    }
    search.start(slots);
    let (bound, best_prices) = search.lower_the_bound(slots, *prices, STEPS);
    *prices = Prices(best_prices);
    if bound < search.target() {
        return search.settled();
    }
    search.branch_all(&best_prices, slots);
    if search.stopped {
        let bound = bound.max(search.target());
        return Found::Unproven { best: search.best, bound };
    }
    search.settled()
}

/// What a column brings above what is reached already.
#[inline]
pub(crate) fn above(worths: &Worths, base: &Worths) -> i32 {
    let mut sum = 0;
    for lane in 0..LANES {
        sum += (worths[lane] - base[lane]).max(0);
    }
    sum
}

/// The sum over all purposes.
#[inline]
pub(crate) fn total(worths: &Worths) -> i64 {
    let mut sum = 0;
    for worth in worths {
        sum += i64::from(*worth);
    }
    sum
}

#[inline]
fn raised(base: &Worths, by: &Worths) -> Worths {
    let mut result = *base;
    for lane in 0..LANES {
        result[lane] = result[lane].max(by[lane]);
    }
    result
}

struct Search<'a> {
    columns: Columns<'a>,
    offset: i64,
    floor: i64,
    best: Option<Choice>,
    /// Columns that may still be in a choice worth having.
    alive: Vec<u32>,
    spent: &'a dyn Fn() -> bool,
    nodes: u32,
    stopped: bool,
}

impl<'a> Search<'a> {
    fn new(columns: Columns<'a>, offset: i64, floor: i64, spent: &'a dyn Fn() -> bool) -> Self {
        Self {
            columns,
            offset,
            floor,
            best: None,
            alive: (0..columns.worths.len() as u32).collect(),
            spent,
            nodes: 0,
            stopped: false,
        }
    }

    fn settled(self) -> Found {
        match self.best {
            Some(best) => Found::Best(best),
            None => Found::BelowFloor,
        }
    }

    /// The score a choice must reach to matter; ties are still looked at.
    #[inline]
    fn target(&self) -> i64 {
        self.best.as_ref().map_or(self.floor, |best| best.score)
    }

    #[inline]
    fn worths(&self, column: u32) -> &Worths {
        &self.columns.worths[column as usize]
    }

    #[inline]
    fn burden(&self, column: u32) -> i64 {
        self.columns.burdens[column as usize]
    }

    #[inline]
    fn gain(&self, column: u32, base: &Worths) -> i64 {
        (i64::from(above(self.worths(column), base)) << TIE_BITS) - self.burden(column)
    }

    fn score(&self, columns: &[u32]) -> i64 {
        let mut reached = [0; LANES];
        let mut score = self.offset;
        for column in columns {
            reached = raised(&reached, self.worths(*column));
            score -= self.burden(*column);
        }
        score + (total(&reached) << TIE_BITS)
    }

    fn consider(&mut self, columns: &[u32], score: i64) {
        if score < self.target() {
            return;
        }
        let mut sorted = columns.to_vec();
        sorted.sort_unstable();
        let choice = Choice { columns: sorted, score };
        if self.best.as_ref().is_none_or(|best| choice.beats(best)) {
            self.best = Some(choice);
        }
    }

    /// Greedy choice, then swaps of one column while they help.
    fn start(&mut self, slots: usize) {
        let mut chosen: Vec<u32> = Vec::with_capacity(slots);
        let mut reached = [0; LANES];
        while chosen.len() < slots {
            let next = self
                .alive
                .iter()
                .map(|column| (self.gain(*column, &reached), *column))
                .max_by_key(|(gain, column)| (*gain, std::cmp::Reverse(*column)));
            match next {
                Some((gain, column)) if gain > 0 || chosen.is_empty() => {
                    reached = raised(&reached, self.worths(column));
                    chosen.push(column);
                }
                _ => break,
            }
        }
        if chosen.is_empty() {
            return;
        }
        let mut score = self.score(&chosen);
        let mut improved = true;
        let mut rounds = 0;
        while improved && rounds < 4 {
            improved = false;
            rounds += 1;
            for at in 0..chosen.len() {
                let mut others = [0; LANES];
                for (index, column) in chosen.iter().enumerate() {
                    if index != at {
                        others = raised(&others, self.worths(*column));
                    }
                }
                let now = self.gain(chosen[at], &others);
                let best = self
                    .alive
                    .iter()
                    .map(|column| (self.gain(*column, &others), *column))
                    .max_by_key(|(gain, column)| (*gain, std::cmp::Reverse(*column)));
                if let Some((gain, column)) = best
                    && gain > now
                {
                    chosen[at] = column;
                    score += gain - now;
                    improved = true;
                }
            }
        }
        self.consider(&chosen, score);
    }
}

/// The greedy choice alone, for comparison: what a person picking one at a time would take.
pub(crate) fn greedy(columns: Columns<'_>, slots: usize, offset: i64) -> Option<Choice> {
    let mut chosen: Vec<u32> = Vec::new();
    let mut reached = [0; LANES];
    let mut score = offset;
    while chosen.len() < slots.min(MAX_SLOTS) {
        let mut next: Option<(i64, u32)> = None;
        for (column, worths) in (0_u32..).zip(columns.worths) {
            let gain =
                (i64::from(above(worths, &reached)) << TIE_BITS) - columns.burdens[column as usize];
            if next.is_none_or(|(best, _)| gain > best) {
                next = Some((gain, column));
            }
        }
        let (gain, column) = next?;
        if gain <= 0 && !chosen.is_empty() {
            break;
        }
        reached = raised(&reached, &columns.worths[column as usize]);
        score += gain;
        chosen.push(column);
    }
    chosen.sort_unstable();
    (!chosen.is_empty()).then_some(Choice { columns: chosen, score })
}

#[cfg(test)]
mod tests;
