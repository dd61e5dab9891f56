//! Why a telescope stays at home.

use super::{Plan, Problem};

/// Why a telescope is at no station.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LeftOut {
    /// No helper may run it.
    NobodyRunsIt,
    /// No eyepiece on the shelf shows anything of the evening in it that a visitor could see.
    ShowsNothing,
    /// All stations are taken by others, and swapping it in for the least of them would lose so
    /// much, in units of 2⁻¹⁴, with the rest of the plan as it is.
    Others {
        /// What the plan would lose at least; 0 where another telescope is as good.
        loses: i64,
    },
    /// Every helper who may run it, or every eyepiece that suits it, is at another station.
    NothingLeft,
}

/// Why each telescope that is at no station is at none: its position and the reason.
#[must_use]
pub fn left_out(problem: &Problem, plan: &Plan) -> Vec<(usize, LeftOut)> {
    let standing = |telescope: usize| plan.stations.iter().any(|one| one.telescope == telescope);
    (0..problem.telescopes.len())
        .filter(|telescope| !standing(*telescope))
        .map(|telescope| (telescope, reason(problem, plan, telescope)))
        .collect()
}

fn reason(problem: &Problem, plan: &Plan, telescope: usize) -> LeftOut {
    if !problem.helpers.iter().any(|helper| helper.may_run[telescope]) {
        return LeftOut::NobodyRunsIt;
    }
    let views = &problem.telescopes[telescope].views;
    if views.iter().all(|view| view.worths.iter().all(|worth| *worth == 0)) {
        return LeftOut::ShowsNothing;
    }
    // The plan with this telescope in one station's place, under the same helper.
    let swapped = plan.stations.iter().enumerate().filter_map(|(at, station)| {
        if !problem.helpers[station.helper].may_run[telescope] {
            return None;
        }
        let rest = plan.stations.iter().enumerate().filter(|(other, _)| *other != at);
        let taken: Vec<usize> = rest.map(|(_, one)| one.eyepiece).collect();
        let mut smaller = problem.clone();
        smaller.telescopes[telescope].views.retain(|view| !taken.contains(&view.eyepiece));
        let mut stations = plan.stations.clone();
        stations.swap_remove(at);
        super::mend::best_addition(&smaller, &stations, telescope, station.helper)
    });
    match swapped.max() {
        Some(value) => LeftOut::Others { loses: (plan.value - value).max(0) },
        None => LeftOut::NothingLeft,
    }
}
