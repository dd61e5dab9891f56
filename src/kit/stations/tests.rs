//! The joint choice against an exhaustive search, and what holds it together.

use super::*;

/// A small generator of our own: the core has no random source, and the tests want none.
pub(super) struct Rolls(pub(super) u64);

impl Rolls {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    pub(super) fn below(&mut self, end: u64) -> u64 {
        self.next() % end
    }
}

/// Sizes of a random problem: stations, slots, targets, eyepieces, helpers, telescopes.
pub(super) type Sizes = [usize; 6];

/// A random problem; the style decides how alike its worths are.
pub(super) fn random(rolls: &mut Rolls, sizes: Sizes, style: u64) -> Problem {
    let [stations, slots, targets, eyepieces, helpers, telescopes] = sizes;
    let cells = slots * targets;
    let mut worth = |telescope: u64| match style {
        // Unrelated numbers.
        0 => rolls.below(u64::from(WORTH_UNITS) + 1) as u32,
        // Everybody wants the same target.
        1 => (rolls.below(1000) + 1000 * telescope) as u32,
        // Few distinct numbers: ties everywhere, and nothing to show now and then.
        _ => rolls.below(3) as u32 * 1000,
    };
    let mut all: Vec<Candidate> = (0..telescopes as u64)
        .map(|telescope| Candidate {
            views: (0..eyepieces)
                .map(|eyepiece| View {
                    eyepiece,
                    worths: (0..cells).map(|_| worth(telescope)).collect(),
                })
                .collect(),
            seated: vec![false; cells],
        })
        .collect();
    for candidate in &mut all {
        for seated in &mut candidate.seated {
            *seated = rolls.below(3) == 0;
        }
        candidate.views.retain(|_| rolls.below(4) > 0);
    }
    let may_run =
        |rolls: &mut Rolls| (0..telescopes).map(|_| rolls.below(3) > 0).collect::<Vec<bool>>();
    let scale = if style == 2 { 1000 } else { 5000 };
    Problem {
        stations,
        slots,
        targets,
        eyepieces,
        helpers: (0..helpers).map(|_| Helper { may_run: may_run(rolls) }).collect(),
        telescopes: all,
        costs: Costs { change: rolls.below(scale) as u32, crowding: rolls.below(scale) as u32 },
        one_seated: rolls.below(2) == 0,
    }
}

/// Every row of targets that a view can show.
fn rows(problem: &Problem, view: &View) -> Vec<Vec<Option<usize>>> {
    let mut rows = vec![Vec::new()];
    for slot in 0..problem.slots {
        rows = rows
            .into_iter()
            .flat_map(|row: Vec<Option<usize>>| {
                let shows = (0..problem.targets)
                    .filter(|target| view.worths[slot * problem.targets + target] > 0)
                    .map(Some);
                std::iter::once(None)
                    .chain(shows)
                    .map(|next| [row.clone(), vec![next]].concat())
                    .collect::<Vec<_>>()
            })
            .collect();
    }
    rows
}

/// How many slots of a row somebody who sits can use, or `None` where they could not use a target.
fn seated_slots(problem: &Problem, station: &Station) -> Option<usize> {
    let seated = &problem.telescopes[station.telescope].seated;
    let mut slots = 0;
    for (slot, target) in station.targets.iter().enumerate() {
        if let Some(target) = target {
            if !seated[slot * problem.targets + target] {
                return None;
            }
            slots += 1;
        }
    }
    Some(slots)
}

/// The best value by trying everything; the second number is the largest count of slots that
/// somebody who sits can use at one station.
fn by_trying(problem: &Problem) -> (i64, usize) {
    let mut most_seated = 0;
    for (telescope, candidate) in problem.telescopes.iter().enumerate() {
        if !problem.helpers.iter().any(|helper| helper.may_run[telescope]) {
            continue;
        }
        for view in &candidate.views {
            let usable = (0..problem.slots)
                .filter(|slot| {
                    (0..problem.targets).any(|target| {
                        let cell = slot * problem.targets + target;
                        candidate.seated[cell] && view.worths[cell] > 0
                    })
                })
                .count();
            most_seated = most_seated.max(usable);
        }
    }
    let wanted = if problem.one_seated && problem.stations > 0 { most_seated } else { 0 };
    let mut best = if wanted == 0 { 0 } else { i64::MIN };
    let mut stations = Vec::new();
    try_from(problem, 0, &mut stations, wanted, &mut best);
    (best, wanted)
}

fn try_from(
    problem: &Problem,
    telescope: usize,
    stations: &mut Vec<Station>,
    wanted: usize,
    best: &mut i64,
) {
    let met = wanted == 0
        || stations.iter().any(|one| seated_slots(problem, one).is_some_and(|n| n >= wanted));
    if met {
        *best = (*best).max(problem.value(stations));
    }
    if telescope == problem.telescopes.len() {
        return;
    }
    try_from(problem, telescope + 1, stations, wanted, best);
    if stations.len() == problem.stations {
        return;
    }
    for view in &problem.telescopes[telescope].views {
        if stations.iter().any(|one| one.eyepiece == view.eyepiece) {
            continue;
        }
        for (helper, who) in problem.helpers.iter().enumerate() {
            if !who.may_run[telescope] || stations.iter().any(|one| one.helper == helper) {
                continue;
            }
            for targets in rows(problem, view) {
                stations.push(Station { telescope, eyepiece: view.eyepiece, helper, targets });
                try_from(problem, telescope + 1, stations, wanted, best);
                stations.pop();
            }
        }
    }
}

/// What is wrong with a plan, if something is.
pub(super) fn fault(problem: &Problem, plan: &Plan) -> Option<String> {
    let distinct = |of: fn(&Station) -> usize| {
        let mut all: Vec<usize> = plan.stations.iter().map(of).collect();
        all.sort_unstable();
        all.windows(2).all(|two| two[0] != two[1])
    };
    if !distinct(|one| one.telescope)
        || !distinct(|one| one.eyepiece)
        || !distinct(|one| one.helper)
    {
        return Some("something stands twice".to_owned());
    }
    if plan.stations.len() > problem.stations {
        return Some("too many stations".to_owned());
    }
    for station in &plan.stations {
        let candidate = &problem.telescopes[station.telescope];
        if !problem.helpers[station.helper].may_run[station.telescope] {
            return Some("a helper may not run it".to_owned());
        }
        let Some(view) = candidate.views.iter().find(|one| one.eyepiece == station.eyepiece) else {
            return Some("an eyepiece that does not go in".to_owned());
        };
        let shown = station.targets.iter().enumerate();
        for cell in shown.filter_map(|(slot, one)| Some(slot * problem.targets + (*one)?)) {
            if view.worths[cell] == 0 {
                return Some("something that is not to be shown".to_owned());
            }
        }
    }
    (plan.value != problem.value(&plan.stations)).then(|| "the value is not the plan's".to_owned())
}

#[test]
fn no_plan_beats_the_chosen_one() {
    let mut rolls = Rolls(0x5eed_0001);
    for case in 0..400 {
        let style = case % 3;
        let small = [
            1 + rolls.below(2) as usize,
            1 + rolls.below(2) as usize,
            1 + rolls.below(3) as usize,
            2 + rolls.below(2) as usize,
            1 + rolls.below(2) as usize,
            1 + rolls.below(3) as usize,
        ];
        let problem = random(&mut rolls, small, style);
        problem.check().unwrap();
        let plan = choose(&problem, &|| false);
        let (best, wanted) = by_trying(&problem);
        assert_eq!(fault(&problem, &plan), None, "case {case}");
        assert_eq!(plan.value, best, "case {case}: {problem:?} {plan:?}");
        assert_eq!(plan.proof, Proof::Optimal, "case {case}");
        assert_eq!(plan.seated.is_some(), wanted > 0, "case {case}");
        if let Some(at) = plan.seated {
            assert_eq!(seated_slots(&problem, &plan.stations[at]), Some(wanted), "case {case}");
        }
    }
}

#[test]
fn three_stations_that_all_want_the_moon_share_the_sky() {
    let view = |eyepiece, worths: &[u32]| View { eyepiece, worths: worths.to_vec() };
    let problem = Problem {
        stations: 3,
        slots: 1,
        targets: 3,
        eyepieces: 3,
        helpers: vec![Helper { may_run: vec![true; 3] }; 3],
        telescopes: (0..3)
            .map(|at| Candidate {
                views: vec![view(at, &[1000, 700, 400])],
                seated: vec![false; 3],
            })
            .collect(),
        costs: Costs { change: 0, crowding: 200 },
        one_seated: false,
    };
    let plan = choose(&problem, &|| false);
    // Two at the best and one at the second, or two at the second: 1000 + 1000 − 200 + 700.
    assert_eq!(plan.value, 2500);
    let apart = Problem { costs: Costs { change: 0, crowding: 700 }, ..problem };
    let mut targets: Vec<_> =
        choose(&apart, &|| false).stations.iter().map(|one| one.targets[0]).collect();
    targets.sort_unstable();
    assert_eq!(targets, [Some(0), Some(1), Some(2)]);
}

#[test]
fn more_on_the_shelf_is_never_worse_and_the_order_does_not_matter() {
    let mut rolls = Rolls(0x5eed_0002);
    for case in 0..60 {
        let mut problem = random(&mut rolls, [3, 3, 4, 5, 4, 5], case % 3);
        problem.one_seated = false;
        let whole = choose(&problem, &|| false);
        let mut turned = problem.clone();
        turned.telescopes.reverse();
        for helper in &mut turned.helpers {
            helper.may_run.reverse();
        }
        assert_eq!(choose(&turned, &|| false).value, whole.value, "case {case}");
        let mut less = problem.clone();
        less.telescopes.pop();
        for helper in &mut less.helpers {
            helper.may_run.pop();
        }
        assert!(choose(&less, &|| false).value <= whole.value, "case {case}");
    }
}

#[test]
fn a_budget_that_ends_says_how_much_better_a_plan_could_be() {
    let mut rolls = Rolls(0x5eed_0003);
    let mut unproven = 0;
    for case in 0..30 {
        let problem = random(&mut rolls, [4, 3, 4, 6, 5, 6], case % 2);
        let proven = choose(&problem, &|| false);
        assert_eq!(proven.proof, Proof::Optimal);
        let hasty = choose(&problem, &|| true);
        assert_eq!(fault(&problem, &hasty), None);
        match hasty.proof {
            Proof::Optimal => assert_eq!(hasty.value, proven.value, "case {case}"),
            Proof::BudgetSpent { gap } => {
                unproven += 1;
                assert!(hasty.value + gap >= proven.value, "case {case}");
            }
        }
    }
    assert!(unproven > 0);
}

#[test]
fn spares_come_from_what_is_left_and_serve_the_stations_targets() {
    let mut rolls = Rolls(0x5eed_0004);
    for case in 0..60 {
        let problem = random(&mut rolls, [3, 2, 3, 7, 4, 4], case % 3);
        let plan = choose(&problem, &|| false);
        let spares = choose_spares(&problem, &plan);
        assert_eq!(spares.len(), plan.stations.len());
        let mut used: Vec<usize> = plan.stations.iter().map(|one| one.eyepiece).collect();
        used.extend(spares.iter().flatten());
        used.sort_unstable();
        assert!(used.windows(2).all(|two| two[0] != two[1]), "case {case}");
    }
}

#[test]
fn whoever_stays_at_home_is_told_why() {
    let view = |eyepiece, worth| View { eyepiece, worths: vec![worth] };
    let candidate = |views| Candidate { views, seated: vec![false] };
    let problem = Problem {
        stations: 1,
        slots: 1,
        targets: 1,
        eyepieces: 2,
        helpers: vec![Helper { may_run: vec![true, true, true, false] }],
        telescopes: vec![
            candidate(vec![view(0, 900)]),
            candidate(vec![view(1, 600)]),
            candidate(vec![view(1, 0)]),
            candidate(vec![view(1, 1000)]),
        ],
        costs: Costs { change: 0, crowding: 0 },
        one_seated: false,
    };
    let plan = choose(&problem, &|| false);
    assert_eq!(
        left_out(&problem, &plan),
        [
            (1, LeftOut::Others { loses: 300 }),
            (2, LeftOut::ShowsNothing),
            (3, LeftOut::NobodyRunsIt)
        ]
    );
}
