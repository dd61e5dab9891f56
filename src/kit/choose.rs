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
    let mut search = Search {
        columns,
        offset,
        floor,
        best: None,
        alive: (0..columns.worths.len() as u32).collect(),
        spent,
        nodes: 0,
        stopped: false,
    };
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

/// The `slots` largest earnings, kept sorted from large to small.
struct Top {
    earn: [i64; MAX_SLOTS],
    who: [u32; MAX_SLOTS],
    len: usize,
    room: usize,
}

impl Top {
    fn new(room: usize) -> Self {
        Self { earn: [0; MAX_SLOTS], who: [0; MAX_SLOTS], len: 0, room }
    }

    /// The smallest earning a newcomer replaces: zero while there is room.
    fn bar(&self) -> i64 {
        if self.len < self.room { 0 } else { self.earn[self.room - 1] }
    }

    fn offer(&mut self, earn: i64, who: u32) {
        if earn <= self.bar() {
            return;
        }
        let mut at = if self.len < self.room { self.len } else { self.room - 1 };
        while at > 0 && self.earn[at - 1] < earn {
            self.earn[at] = self.earn[at - 1];
            self.who[at] = self.who[at - 1];
            at -= 1;
        }
        self.earn[at] = earn;
        self.who[at] = who;
        if self.len < self.room {
            self.len += 1;
        }
    }

    fn sum(&self) -> i64 {
        self.earn[..self.len].iter().sum()
    }

    fn members(&self) -> &[u32] {
        &self.who[..self.len]
    }
}

fn above(worths: &Worths, base: &Worths) -> i32 {
    let mut sum = 0;
    for lane in 0..LANES {
        sum += (worths[lane] - base[lane]).max(0);
    }
    sum
}

fn total(worths: &Worths) -> i64 {
    let mut sum = 0;
    for worth in worths {
        sum += i64::from(*worth);
    }
    sum
}

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

impl Search<'_> {
    fn settled(self) -> Found {
        match self.best {
            Some(best) => Found::Best(best),
            None => Found::BelowFloor,
        }
    }

    /// The score a choice must reach to matter; ties are still looked at.
    fn target(&self) -> i64 {
        self.best.as_ref().map_or(self.floor, |best| best.score)
    }

    fn worths(&self, column: u32) -> &Worths {
        &self.columns.worths[column as usize]
    }

    fn burden(&self, column: u32) -> i64 {
        self.columns.burdens[column as usize]
    }

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
    fn lower_the_bound(&mut self, slots: usize, warm: Prices, steps: usize) -> (i64, Worths) {
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

    fn branch_all(&mut self, prices: &Worths, slots: usize) {
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
