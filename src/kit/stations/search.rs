//! The proven choice: bounds by prices, plans by mending, the rest by branching.

use super::flow::Regrets;
use super::prices::{Corner, Said, Walk, Wish, ask, earned};
use super::sequence::{Desk, Leave};
use super::{FINER, Plan, Problem, Proof, Station, mend};

/// Steps towards better prices before branching begins, and in each corner.
const FIRST_STEPS: usize = 600;
const STEPS: usize = 12;

/// So many steps without a lower bound, and the steps get shorter.
const PATIENCE: usize = 10;

/// Finds the plan that no other plan beats; of equals the one met first, which depends on nothing
/// but the problem. `spent` is asked now and then whether to stop early.
///
/// The problem must agree with itself, see [`Problem::check`].
#[must_use]
pub fn choose(problem: &Problem, spent: &dyn Fn() -> bool) -> Plan {
    let mut search = Search {
        problem,
        spent,
        best: Vec::new(),
        // A plan without stations is worth nothing and always possible.
        value: 0,
        seated: None,
        desk: Desk::default(),
        open: None,
    };
    let mut everything = Corner::everything(problem);
    if !problem.one_seated {
        leave_out_the_outdone(problem, &mut everything);
    }
    let mut prices = vec![0; problem.slots * problem.targets];
    let seats = if problem.one_seated { seats(problem) } else { Vec::new() };
    if seats.is_empty() {
        search.explore(&everything, i64::MAX / 4, &mut prices, FIRST_STEPS);
        return search.plan();
    }
    search.value = i64::MIN / 4;
    search.with_a_seat(&everything, &seats, &mut prices);
    search.plan()
}

/// Bans views that as many others at the same telescope outdo in every cell as there are stations:
/// one of those is always free. A seat asks for more than worth, so it bans nothing.
fn leave_out_the_outdone(problem: &Problem, corner: &mut Corner) {
    for (candidate, wishes) in problem.telescopes.iter().zip(&mut corner.wishes) {
        let views = &candidate.views;
        for (at, wish) in wishes.iter_mut().enumerate() {
            let outdoes = |other: usize| {
                let pairs = || views[other].worths.iter().zip(&views[at].worths);
                pairs().all(|(theirs, ours)| theirs >= ours)
                    && (other < at || pairs().any(|(theirs, ours)| theirs > ours))
            };
            let others = (0..views.len()).filter(|other| *other != at && outdoes(*other));
            if others.count() >= problem.stations {
                *wish = Wish::Banned;
            }
        }
    }
}

/// A telescope with an eyepiece that somebody who sits can use for as much of the evening as any.
struct Seat {
    telescope: usize,
    view: usize,
    leave: Leave,
}

fn seats(problem: &Problem) -> Vec<Seat> {
    let everything = Leave::everything(problem);
    let mut all: Vec<(usize, Seat)> = Vec::new();
    for (telescope, candidate) in problem.telescopes.iter().enumerate() {
        if !problem.helpers.iter().any(|helper| helper.may_run[telescope]) {
            continue;
        }
        for (number, view) in candidate.views.iter().enumerate() {
            let mut leave = everything.clone();
            let mut usable = 0;
            for slot in 0..problem.slots {
                let cells = slot * problem.targets..(slot + 1) * problem.targets;
                leave.targets[slot] = cells
                    .enumerate()
                    .filter(|(_, cell)| candidate.seated[*cell] && view.worths[*cell] > 0)
                    .fold(0, |bits, (target, _)| bits | 1 << target);
                leave.rest[slot] = leave.targets[slot] == 0;
                usable += usize::from(!leave.rest[slot]);
            }
            all.push((usable, Seat { telescope, view: number, leave }));
        }
    }
    let most = all.iter().map(|one| one.0).max().unwrap_or(0);
    if most == 0 || problem.stations == 0 {
        return Vec::new();
    }
    all.into_iter().filter(|one| one.0 == most).map(|one| one.1).collect()
}

/// How hard to look for a better plan near a plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Effort {
    Quick,
    Thorough,
}

struct Search<'a> {
    problem: &'a Problem,
    spent: &'a dyn Fn() -> bool,
    best: Vec<Station>,
    value: i64,
    /// The telescope that somebody who sits uses.
    seated: Option<usize>,
    desk: Desk,
    /// The highest bound among the corners that were left unexplored.
    open: Option<i64>,
}

impl Search<'_> {
    fn plan(mut self) -> Plan {
        self.best.sort_by_key(|station| station.telescope);
        let proof = match self.open {
            Some(bound) if bound > self.value => Proof::BudgetSpent { gap: bound - self.value },
            _ => Proof::Optimal,
        };
        let seated = self.seated.and_then(|telescope| {
            self.best.iter().position(|station| station.telescope == telescope)
        });
        Plan { value: self.problem.value(&self.best), stations: self.best, seated, proof }
    }

    /// One root for each seat, the most promising first.
    fn with_a_seat(&mut self, everything: &Corner, seats: &[Seat], prices: &mut Vec<i64>) {
        let free = Search {
            problem: self.problem,
            spent: self.spent,
            best: Vec::new(),
            value: 0,
            seated: None,
            desk: Desk::default(),
            open: None,
        };
        // Good prices first, from the plan without the wish.
        let said = free.lower(everything, prices, FIRST_STEPS);
        let bounds: Vec<i64> = seats
            .iter()
            .map(|seat| {
                said.as_ref().map_or(i64::MAX / 4, |said| self.bound_of(said, seat, prices))
            })
            .collect();
        let mut order: Vec<usize> = (0..seats.len()).collect();
        order.sort_by_key(|at| std::cmp::Reverse(bounds[*at]));
        for at in order {
            let seat = &seats[at];
            if bounds[at] <= self.value {
                break;
            }
            if self.seated.is_some() && (self.spent)() {
                self.open = Some(self.open.map_or(bounds[at], |open| open.max(bounds[at])));
                break;
            }
            let mut corner = everything.clone();
            corner.want(self.problem, seat.telescope, seat.view);
            corner.leaves[seat.telescope] = seat.leave.clone();
            let before = self.value;
            let mut own = prices.clone();
            self.explore(&corner, bounds[at], &mut own, FIRST_STEPS / 4);
            if self.value > before {
                self.seated = Some(seat.telescope);
            }
        }
    }

    /// An upper bound on the plans with this seat, from one answer for all.
    fn bound_of(&mut self, said: &Said, seat: &Seat, prices: &[i64]) -> i64 {
        let drop = said
            .regrets
            .iter()
            .find(|(telescope, view, _)| (*telescope, *view) == (seat.telescope, seat.view))
            .map_or(0, |(_, _, drop)| *drop);
        let view = &self.problem.telescopes[seat.telescope].views[seat.view];
        let everything = Leave::everything(self.problem);
        let mut score = |leave: &Leave| self.desk.score(self.problem, view, leave, prices);
        match (score(&everything), score(&seat.leave)) {
            // A rounded bound is up to a unit higher before it is rounded.
            (Some(free), Some(bound)) => said.bound + 1 - ((drop + free - bound) >> FINER),
            _ => i64::MIN / 4,
        }
    }

    /// Lowers the bound on a corner; leaves the best prices behind. The answer is of those prices,
    /// with regrets. `None` where the corner holds no plan.
    fn lower(mut self, corner: &Corner, prices: &mut Vec<i64>, steps: usize) -> Option<Said> {
        self.settle(corner, prices, steps)?;
        ask(self.problem, corner, prices, Regrets::Wanted, &mut self.desk)
    }

    /// Steps towards better prices and mends each answer into a plan. The answer has the lowest
    /// bound met; `None` where no plan in the corner can beat the best.
    fn settle(&mut self, corner: &Corner, prices: &mut Vec<i64>, steps: usize) -> Option<Said> {
        let mut now = prices.clone();
        let mut lowest: Option<Said> = None;
        let mut walk = Walk::new(self.problem, if steps > STEPS { 1.0 } else { 0.3 });
        let mut stuck = 0;
        for number in 0..steps {
            let said = ask(self.problem, corner, &now, Regrets::NotWanted, &mut self.desk)?;
            let thorough = steps > STEPS && number % STEPS == 0;
            self.mend(corner, &said, if thorough { Effort::Thorough } else { Effort::Quick });
            let next = walk.step(self.problem, &now, &said, self.value);
            if lowest.as_ref().is_none_or(|lowest| said.bound < lowest.bound) {
                prices.clone_from(&now);
                lowest = Some(said);
                stuck = 0;
            } else {
                stuck += 1;
                if stuck >= PATIENCE {
                    // Back to the best prices, more carefully.
                    walk = Walk::new(self.problem, walk.boldness / 2.0);
                    now.clone_from(prices);
                    stuck = 0;
                    continue;
                }
            }
            if lowest.as_ref().is_some_and(|lowest| lowest.bound <= self.value) {
                break;
            }
            match next {
                Some(next) if walk.boldness > 0.002 && !(self.spent)() => now = next,
                _ => break,
            }
        }
        lowest
    }

    /// Makes a plan of what each station would do on its own, and keeps it where it beats the best.
    fn mend(&mut self, corner: &Corner, said: &Said, effort: Effort) {
        let mut plan = said.stations.clone();
        let mut value = mend::rows(self.problem, corner, &mut plan, &mut self.desk);
        if effort == Effort::Thorough || value > self.value {
            value = mend::stations(self.problem, corner, &mut plan, &mut self.desk);
        }
        if value > self.value {
            self.value = value;
            self.best = plan;
        }
    }

    /// Searches a corner in which no plan is worth more than `bound`.
    fn explore(&mut self, corner: &Corner, bound: i64, prices: &mut Vec<i64>, steps: usize) {
        let Some(said) = self.settle(corner, prices, steps) else { return };
        let bound = bound.min(said.bound);
        if bound <= self.value {
            return;
        }
        if (self.spent)() {
            self.open = Some(self.open.map_or(bound, |open| open.max(bound)));
            return;
        }
        let corner = self.without_the_hopeless(corner, prices);
        for branch in self.branches(&corner, &said, prices) {
            self.explore(&branch, bound, &mut prices.clone(), STEPS);
        }
    }

    /// Bans the pairs that could not reach the best even if forced in.
    fn without_the_hopeless(&mut self, corner: &Corner, prices: &[i64]) -> Corner {
        let mut corner = corner.clone();
        if let Some(said) = ask(self.problem, &corner, prices, Regrets::Wanted, &mut self.desk) {
            for (telescope, view, drop) in said.regrets {
                let wish = &mut corner.wishes[telescope][view];
                if *wish == Wish::Open && said.bound - (drop >> FINER) < self.value {
                    *wish = Wish::Banned;
                }
            }
        }
        corner
    }

    /// Two corners that hold every plan of this one between them.
    fn branches(&self, corner: &Corner, said: &Said, prices: &[i64]) -> Vec<Corner> {
        self.by_pair(corner, said)
            .or_else(|| self.by_target(corner, said, prices))
            .unwrap_or_default()
    }

    /// A telescope shows a target in a slot, if it shows at all, or it does not: in the slot whose
    /// price misses its crowd by most.
    fn by_target(&self, corner: &Corner, said: &Said, prices: &[i64]) -> Option<Vec<Corner>> {
        let problem = self.problem;
        let crowding = i64::from(problem.costs.crowding) << FINER;
        let missed = |cell: usize| {
            let (price, shown) = (prices[cell], said.shown[cell]);
            earned(price, crowding, problem.stations) - price * shown
                + crowding * shown * (shown - 1) / 2
        };
        let mut cells: Vec<usize> = (0..prices.len()).filter(|cell| missed(*cell) > 0).collect();
        cells.sort_by_key(|cell| std::cmp::Reverse(missed(*cell)));
        for cell in cells {
            let (slot, target) = (cell / problem.targets, cell % problem.targets);
            let undecided = |telescope: usize| {
                let leave = &corner.leaves[telescope];
                let may = leave.targets[slot];
                may & (1 << target) != 0 && (may != 1 << target || leave.rest[slot])
            };
            let telescope = said
                .stations
                .iter()
                .filter(|station| undecided(station.telescope))
                .max_by_key(|station| station.targets[slot] == Some(target))
                .map(|station| station.telescope)
                .or_else(|| {
                    (0..problem.telescopes.len()).find(|at| {
                        undecided(*at)
                            && problem.telescopes[*at]
                                .views
                                .iter()
                                .zip(&corner.wishes[*at])
                                .any(|(view, wish)| *wish != Wish::Banned && view.worths[cell] > 0)
                    })
                });
            if let Some(telescope) = telescope {
                let (mut yes, mut no) = (corner.clone(), corner.clone());
                yes.leaves[telescope].targets[slot] = 1 << target;
                yes.leaves[telescope].rest[slot] = false;
                no.leaves[telescope].targets[slot] &= !(1 << target);
                return Some(vec![yes, no]);
            }
        }
        None
    }

    /// A telescope stands with an eyepiece, or not with this one.
    fn by_pair(&self, corner: &Corner, said: &Said) -> Option<Vec<Corner>> {
        let open =
            |telescope: usize| corner.wishes[telescope].iter().position(|wish| *wish == Wish::Open);
        let standing = said.stations.iter().find_map(|station| {
            let view = self.problem.telescopes[station.telescope]
                .views
                .iter()
                .position(|view| view.eyepiece == station.eyepiece)?;
            (corner.wishes[station.telescope][view] == Wish::Open)
                .then_some((station.telescope, view))
        });
        let (telescope, view) = standing
            .or_else(|| (0..self.problem.telescopes.len()).find_map(|at| Some((at, open(at)?))))?;
        let (mut yes, mut no) = (corner.clone(), corner.clone());
        yes.want(self.problem, telescope, view);
        no.wishes[telescope][view] = Wish::Banned;
        Some(vec![yes, no])
    }
}
