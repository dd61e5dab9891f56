//! An upper bound on every plan: crowding priced, so that each telescope minds its own business.
//!
//! With a price for showing a target in a slot, a plan is worth no more than the best stations after
//! prices, each on its own, plus what the prices can earn at most: a target that n stations show earns
//! its price n times less the crowding c·n(n−1)/2, so at most Σ over j of max(0, price − c·j). Every
//! price list gives a bound (Lagrangian relaxation; Geoffrion 1974, *Math. Programming Study* 2:82–114,
//! from memory); subgradient steps of Polyak's length lower it.

use super::flow::{Pair, Paths, Regrets, best_paths};
use super::sequence::{Desk, Leave, Row};
use super::{FINER, Problem, Station};

/// What has been decided about a pair of telescope and eyepiece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Wish {
    Open,
    Wanted,
    Banned,
}

/// What has been decided on the way to a corner of the search.
#[derive(Debug, Clone)]
pub(super) struct Corner {
    /// By telescope.
    pub(super) leaves: Vec<Leave>,
    /// By telescope and its views.
    pub(super) wishes: Vec<Vec<Wish>>,
}

impl Corner {
    pub(super) fn everything(problem: &Problem) -> Self {
        Self {
            leaves: vec![Leave::everything(problem); problem.telescopes.len()],
            wishes: problem
                .telescopes
                .iter()
                .map(|telescope| vec![Wish::Open; telescope.views.len()])
                .collect(),
        }
    }

    /// Bans whatever would take a wanted pair's telescope or eyepiece.
    pub(super) fn want(&mut self, problem: &Problem, telescope: usize, view: usize) {
        let eyepiece = problem.telescopes[telescope].views[view].eyepiece;
        for (at, candidate) in problem.telescopes.iter().enumerate() {
            for (number, other) in candidate.views.iter().enumerate() {
                if at == telescope || other.eyepiece == eyepiece {
                    self.wishes[at][number] = Wish::Banned;
                }
            }
        }
        self.wishes[telescope][view] = Wish::Wanted;
    }
}

/// The share of the newest slope in a walk's direction.
const NEWS: f64 = 0.3;

/// More than any plan can be worth.
const BONUS: i64 = 1 << 44;

/// What one price list says about a corner.
#[derive(Debug, Clone)]
pub(super) struct Said {
    /// No plan in the corner is worth more, in units of worth: rounded down, because plans are whole.
    pub(super) bound: i64,
    /// The stations that would be best at these prices.
    pub(super) stations: Vec<Station>,
    /// How many stations show it, by slot and target.
    pub(super) shown: Vec<i64>,
    /// By how much the bound drops, at least, where a pair is forced in: telescope, view, drop in the
    /// prices' units.
    pub(super) regrets: Vec<(usize, usize, i64)>,
}

/// What the prices can earn in one cell.
pub(super) fn earned(price: i64, crowding: i64, stations: usize) -> i64 {
    (0..).take(stations).map(|other: i64| (price - crowding * other).max(0)).sum()
}

/// Asks a price list; `None` where no plan is possible in the corner.
pub(super) fn ask(
    problem: &Problem,
    corner: &Corner,
    prices: &[i64],
    regrets: Regrets,
    desk: &mut Desk,
) -> Option<Said> {
    let mut pairs = Vec::new();
    let mut views = Vec::new();
    let mut wanted = 0;
    let mut bonuses = 0;
    for (telescope, candidate) in problem.telescopes.iter().enumerate() {
        for (number, view) in candidate.views.iter().enumerate() {
            let wish = corner.wishes[telescope][number];
            if wish == Wish::Banned {
                continue;
            }
            wanted += usize::from(wish == Wish::Wanted);
            let Some(score) = desk.score(problem, view, &corner.leaves[telescope], prices) else {
                continue;
            };
            let bonus = if wish == Wish::Wanted { BONUS } else { 0 };
            bonuses += bonus;
            let score = score + bonus;
            pairs.push(Pair { telescope, eyepiece: view.eyepiece, score });
            views.push(number);
        }
    }
    let Paths { score, taken: paths, regret } = best_paths(problem, &pairs, regrets);
    let kept = paths
        .iter()
        .filter(|path| corner.wishes[pairs[path.pair].telescope][views[path.pair]] == Wish::Wanted)
        .count();
    if kept < wanted {
        return None;
    }
    let crowding = i64::from(problem.costs.crowding) << FINER;
    let earnings: i64 = prices.iter().map(|price| earned(*price, crowding, problem.stations)).sum();
    let mut stations = Vec::with_capacity(paths.len());
    let mut shown = vec![0; prices.len()];
    for path in &paths {
        let (pair, view) = (pairs[path.pair], views[path.pair]);
        let glass = &problem.telescopes[pair.telescope].views[view];
        let Row { targets, .. } =
            desk.row(problem, glass, &corner.leaves[pair.telescope], prices)?;
        for (slot, target) in targets.iter().enumerate() {
            if let Some(target) = target {
                shown[slot * problem.targets + target] += 1;
            }
        }
        stations.push(Station {
            telescope: pair.telescope,
            eyepiece: pair.eyepiece,
            helper: path.helper,
            targets,
        });
    }
    let regrets = regret
        .into_iter()
        .enumerate()
        .map(|(at, drop)| (pairs[at].telescope, views[at], drop))
        .collect();
    Some(Said { bound: (score - bonuses + earnings) >> FINER, stations, shown, regrets })
}

/// A walk towards better prices.
#[derive(Debug, Clone)]
pub(super) struct Walk {
    /// Where the last steps led, by slot and target: a mean of slopes, which turns less wildly than
    /// the last one alone.
    direction: Vec<f64>,
    /// The share of Polyak's length.
    pub(super) boldness: f64,
}

impl Walk {
    pub(super) fn new(problem: &Problem, boldness: f64) -> Self {
        Self { direction: vec![0.0; problem.slots * problem.targets], boldness }
    }

    /// The next prices: where more stations show a target than its price pays for, it gets dearer.
    /// `None` where nothing is to be mended.
    pub(super) fn step(
        &mut self,
        problem: &Problem,
        prices: &[i64],
        said: &Said,
        target: i64,
    ) -> Option<Vec<i64>> {
        let crowding = i64::from(problem.costs.crowding) << FINER;
        let within = |price: i64, over: i64| -> i64 {
            let others = (0..).take(problem.stations);
            others.map(|other: i64| i64::from(price - crowding * other > over)).sum()
        };
        let mut mended = true;
        for ((price, shown), direction) in prices.iter().zip(&said.shown).zip(&mut self.direction) {
            // At a kink every slope between its two sides is right; the gentlest is taken.
            let slope = (*shown).clamp(within(*price, 0), within(*price, -1)) - shown;
            mended &= slope == 0;
            *direction = NEWS * slope as f64 + (1.0 - NEWS) * *direction;
        }
        if mended {
            return None;
        }
        let steepness: f64 = self.direction.iter().map(|slope| slope * slope).sum();
        let length = self.boldness * (((said.bound - target) << FINER) + 1).max(1) as f64
            / steepness.max(NEWS);
        let moved = prices.iter().zip(&self.direction);
        Some(moved.map(|(price, slope)| (price - (length * slope).round() as i64).max(0)).collect())
    }
}
