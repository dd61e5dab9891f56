//! Better plans near a plan.

use super::prices::{Corner, Wish};
use super::sequence::{Desk, Leave};
use super::{FINER, Problem, Station};

/// What it costs to join the crowd that these stations make, by slot and target.
pub(super) fn crowds<'a>(
    problem: &Problem,
    stations: impl Iterator<Item = &'a Station>,
) -> Vec<i64> {
    let mut prices = vec![0; problem.slots * problem.targets];
    for station in stations {
        for (slot, target) in station.targets.iter().enumerate() {
            if let Some(target) = target {
                prices[slot * problem.targets + target] +=
                    i64::from(problem.costs.crowding) << FINER;
            }
        }
    }
    prices
}

/// What a plan is worth with this telescope beside these stations, which stay as they are; `None`
/// where none of its views shows anything.
pub(super) fn best_addition(
    problem: &Problem,
    stations: &[Station],
    telescope: usize,
    helper: usize,
) -> Option<i64> {
    let prices = crowds(problem, stations.iter());
    let everything = Leave::everything(problem);
    let mut desk = Desk::default();
    let views = &problem.telescopes[telescope].views;
    let best = views
        .iter()
        .filter_map(|view| Some((view.eyepiece, desk.row(problem, view, &everything, &prices)?)))
        .filter(|(_, row)| row.targets.iter().any(Option::is_some))
        .max_by_key(|(_, row)| row.score)?;
    let mut with = stations.to_vec();
    with.push(Station { telescope, eyepiece: best.0, helper, targets: best.1.targets });
    Some(problem.value(&with))
}

/// Each station in turn looks for its best row among the others until nothing changes. Returns what
/// the plan is worth.
pub(super) fn rows(
    problem: &Problem,
    corner: &Corner,
    plan: &mut [Station],
    desk: &mut Desk,
) -> i64 {
    let mut value = problem.value(plan);
    loop {
        for at in 0..plan.len() {
            let others = plan.iter().enumerate().filter(|(other, _)| *other != at);
            let prices = crowds(problem, others.map(|(_, other)| other));
            let station = &plan[at];
            let leave = &corner.leaves[station.telescope];
            let row = problem.telescopes[station.telescope]
                .views
                .iter()
                .find(|view| view.eyepiece == station.eyepiece)
                .and_then(|view| desk.row(problem, view, leave, &prices));
            if let Some(row) = row {
                plan[at].targets = row.targets;
            }
        }
        let mended = problem.value(plan);
        if mended <= value {
            return value.max(mended);
        }
        value = mended;
    }
}

/// Stations are taken away one by one, and in two neighbours of the plan two by two, and the best
/// telescopes and eyepieces are put in their place, until nothing changes. Returns what the plan is
/// worth.
pub(super) fn stations(
    problem: &Problem,
    corner: &Corner,
    plan: &mut Vec<Station>,
    desk: &mut Desk,
) -> i64 {
    let mut value = rows(problem, corner, plan, desk);
    loop {
        let before = value;
        for first in 0..plan.len() {
            for second in first..plan.len() {
                let mut other = plan.clone();
                let mut taken = vec![other.remove(second)];
                if first != second {
                    taken.push(other.remove(first));
                }
                if taken.iter().any(|one| is_wanted(problem, corner, one)) {
                    continue;
                }
                for _ in &taken {
                    add_best(problem, corner, &mut other, desk);
                }
                let reached = rows(problem, corner, &mut other, desk);
                if reached > value {
                    value = reached;
                    *plan = other;
                }
            }
        }
        if plan.len() < problem.stations {
            let mut other = plan.clone();
            add_best(problem, corner, &mut other, desk);
            let reached = rows(problem, corner, &mut other, desk);
            if reached > value {
                value = reached;
                *plan = other;
            }
        }
        if value <= before {
            return value;
        }
    }
}

fn is_wanted(problem: &Problem, corner: &Corner, station: &Station) -> bool {
    let views = problem.telescopes[station.telescope].views.iter();
    views
        .zip(&corner.wishes[station.telescope])
        .any(|(view, wish)| view.eyepiece == station.eyepiece && *wish == Wish::Wanted)
}

/// Adds the station that brings most beside those that stand, with a helper who has none.
fn add_best(problem: &Problem, corner: &Corner, plan: &mut Vec<Station>, desk: &mut Desk) {
    let prices = crowds(problem, plan.iter());
    let mut best: Option<(i64, usize, usize, usize)> = None;
    for (telescope, candidate) in problem.telescopes.iter().enumerate() {
        if plan.iter().any(|one| one.telescope == telescope) {
            continue;
        }
        let helper = (0..problem.helpers.len()).find(|helper| {
            problem.helpers[*helper].may_run[telescope]
                && !plan.iter().any(|one| one.helper == *helper)
        });
        let Some(helper) = helper else { continue };
        for (number, view) in candidate.views.iter().enumerate() {
            if corner.wishes[telescope][number] == Wish::Banned
                || plan.iter().any(|one| one.eyepiece == view.eyepiece)
            {
                continue;
            }
            let leave = &corner.leaves[telescope];
            let Some(score) = desk.score(problem, view, leave, &prices) else { continue };
            if best.is_none_or(|best| score > best.0) {
                best = Some((score, telescope, number, helper));
            }
        }
    }
    let Some((score, telescope, number, helper)) = best else { return };
    let view = &problem.telescopes[telescope].views[number];
    let Some(row) = desk.row(problem, view, &corner.leaves[telescope], &prices) else { return };
    if score > 0 {
        plan.push(Station { telescope, eyepiece: view.eyepiece, helper, targets: row.targets });
    }
}
