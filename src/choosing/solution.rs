//! Finds the best kits among pieces that a caller sends, and tells them in full.

use std::collections::BTreeSet;

use super::rejection::rejected;
use super::telling::{self, Which};
use super::wire::answers::{
    AlternativeAnswer, KitAnswer, KitViewAnswer, KitsAnswer, LeftOutAnswer, OneMoreAnswer, Reason,
    ServedAnswer,
};
use super::wire::{Explain, Id, SolveRequest};
use super::written_matrix;
use crate::kit::explain::Subject;
use crate::kit::rules::verdict_of;
use crate::kit::solve::{Alternative, Costs, Difference};
use crate::kit::story::{KitView, LeftOut, OneMore, PieceAt};
use crate::kit::{Bench, Finding, Kit, Own, Proof, Settings, Shelf, Solver, Verdict};

/// How many kits are told with what each view serves, what one more piece would add, and what
/// other kits the telescope has.
pub const TOLD_IN_FULL: usize = 10;

/// How many kits are told with their views at all: an answer of thousands stays a few megabytes.
pub const TOLD_WITH_VIEWS: usize = 1_000;

/// Most eyepieces of which it is told why a kit does without them.
pub const MOST_LEFT_OUT: usize = 1_000;

/// Asks whether the time is used up: for the search, and a little later for telling what it found.
#[derive(Clone, Copy)]
pub struct Budget<'a> {
    /// For the search.
    pub search: &'a (dyn Fn() -> bool + Sync),
    /// For all that follows.
    pub telling: &'a (dyn Fn() -> bool + Sync),
}

impl Budget<'static> {
    /// As long as it takes.
    pub const ENDLESS: Self = Self { search: &|| false, telling: &|| false };
}

/// Finds the best kits on `threads` threads; the answer depends neither on how many these are nor
/// on the order in which the pieces were sent.
#[must_use]
pub fn solve(
    request: &SolveRequest,
    settings: &Settings,
    threads: usize,
    budget: Budget<'_>,
) -> KitsAnswer {
    solve_with_own(request, Own::default(), settings, threads, budget)
}

/// The same where the first pieces are the observer's own.
#[must_use]
pub fn solve_with_own(
    request: &SolveRequest,
    own: Own,
    settings: &Settings,
    threads: usize,
    budget: Budget<'_>,
) -> KitsAnswer {
    let shelf = Shelf {
        telescopes: &request.telescopes.specs,
        eyepieces: &request.eyepieces.specs,
        barlows: &request.barlows.specs,
    };
    let solver = Solver::new(shelf, &request.question, settings).with_own(own);
    let answer = solver.solve(request.wanted, threads, budget.search);
    let teller = Teller { request, solver: &solver, costs: solver.costs(), budget };
    let itself = |at: usize| shelf.telescopes[at].fitted.map_or(at, |fitted| fitted.telescope);
    let served: BTreeSet<usize> = answer.kits.iter().map(|kit| itself(kit.telescope)).collect();
    let rejection = rejected(request, &served, settings, budget.telling);
    KitsAnswer {
        kits: answer.kits.iter().enumerate().map(|(rank, kit)| teller.kit(rank, kit)).collect(),
        proven_optimal: answer.proof == Proof::Optimal,
        gap: match answer.proof {
            Proof::Optimal => None,
            Proof::BudgetSpent { gap } => Some(gap),
        },
        rejected: rejection.telescopes,
        rejected_complete: rejection.complete,
        matrix: (request.explain == Explain::Matrix)
            .then(|| written_matrix::write(request, &solver)),
    }
}

struct Teller<'a> {
    request: &'a SolveRequest,
    solver: &'a Solver<'a>,
    costs: Costs,
    budget: Budget<'a>,
}

impl Teller<'_> {
    fn eyepiece(&self, at: usize) -> &Id {
        &self.request.eyepieces.ids[at]
    }

    fn barlow(&self, at: usize) -> &Id {
        &self.request.barlows.ids[at]
    }

    fn corrector(&self, kit: &Kit) -> Option<Id> {
        self.request.correctors.get(kit.telescope).cloned().flatten()
    }

    fn eyepieces(&self, kit: &Kit) -> Vec<Id> {
        kit.eyepieces.iter().map(|at| self.eyepiece(*at).clone()).collect()
    }

    fn subject<'b>(&'b self, bench: &'b Bench<'b>, view: &KitView) -> Subject<'b> {
        Subject {
            bench,
            eyepiece: &self.request.eyepieces.specs[view.eyepiece],
            barlow: view.barlow.map(|at| &self.request.barlows.specs[at]),
        }
    }

    fn kit(&self, rank: usize, kit: &Kit) -> KitAnswer {
        let (bench, _) = self.solver.bench(kit.telescope);
        let in_full = rank < TOLD_IN_FULL && !(self.budget.telling)();
        let (views, forbidden, one_more) = if in_full {
            let story = self.solver.story(kit);
            (story.views, story.forbidden, story.one_more)
        } else {
            let (views, forbidden) = self.plain_views(kit);
            (views, forbidden, None)
        };
        let which = if in_full { Which::Every } else { Which::Doubtful };
        let alternatives = if in_full {
            self.solver.alternatives(kit, self.request.wanted, self.budget.telling)
        } else {
            Vec::new()
        };
        let worst = views.iter().map(|view| view.assessment.verdict()).max();
        let worst = worst.unwrap_or(Verdict::Suits);
        let told = rank < TOLD_WITH_VIEWS;
        let mut reasons = self.kit_reasons(kit, &bench, worst, &views, &forbidden);
        reasons.truncate(if told { usize::MAX } else { 1 });
        KitAnswer {
            telescope: self.request.telescopes.ids[kit.telescope].clone(),
            corrector: self.corrector(kit),
            eyepieces: self.eyepieces(kit),
            barlow: kit.barlow.map(|at| self.barlow(at).clone()),
            value: kit.value,
            verdict: worst.as_str(),
            reasons,
            views: if told {
                views.iter().map(|view| self.view(&bench, view, which)).collect()
            } else {
                Vec::new()
            },
            one_more: one_more.map(|one| self.one_more(one)),
            alternatives: alternatives.iter().map(|one| self.alternative(kit, one)).collect(),
            left_out: (in_full && self.request.explain == Explain::Reasons)
                .then(|| self.left_out(kit, &bench)),
        }
    }

    /// A kit's views, usable and forbidden, in order of power, without their story.
    fn plain_views(&self, kit: &Kit) -> (Vec<KitView>, Vec<KitView>) {
        let barlows = std::iter::once(None).chain(kit.barlow.map(Some));
        let mut views: Vec<KitView> = barlows
            .flat_map(|barlow| kit.eyepieces.iter().map(move |eyepiece| (*eyepiece, barlow)))
            .map(|(eyepiece, barlow)| self.solver.view(kit.telescope, eyepiece, barlow))
            .collect();
        views.sort_by(|a, b| {
            let power = |view: &KitView| view.facts.magnification;
            power(a).total_cmp(&power(b)).then(a.eyepiece.cmp(&b.eyepiece))
        });
        let (mut usable, forbidden): (Vec<_>, Vec<_>) =
            views.into_iter().partition(|view| view.assessment.verdict() != Verdict::Unsuitable);
        let powers: Vec<f64> = usable.iter().map(|view| view.facts.magnification).collect();
        for (view, pair) in usable.iter_mut().skip(1).zip(powers.windows(2)) {
            view.step = Some(pair[1] / pair[0]);
        }
        (usable, forbidden)
    }

    fn view(&self, bench: &Bench<'_>, view: &KitView, which: Which) -> KitViewAnswer {
        let subject = self.subject(bench, view);
        KitViewAnswer {
            eyepiece: self.eyepiece(view.eyepiece).clone(),
            barlow: view.barlow.map(|at| self.barlow(at).clone()),
            step_ratio: view.step,
            serves: view
                .serves
                .iter()
                .filter(|served| served.worth > 0.0)
                .map(|served| ServedAnswer {
                    purpose: served.id,
                    name: served.name,
                    worth: served.worth,
                })
                .collect(),
            view: telling::view(&view.facts, &view.assessment, subject, which),
        }
    }

    /// What the kit reaches, then the drawback of each view that has one, then the combinations to
    /// avoid.
    fn kit_reasons(
        &self,
        kit: &Kit,
        bench: &Bench<'_>,
        worst: Verdict,
        views: &[KitView],
        forbidden: &[KitView],
    ) -> Vec<Reason> {
        let carried: f64 = kit.eyepieces.iter().map(|at| self.costs.eyepieces[*at]).sum::<f64>()
            + self.costs.telescopes[kit.telescope]
            + kit.barlow.map_or(0.0, |at| self.costs.barlows[at]);
        let worth = kit.value + carried;
        let mut reasons = vec![Reason {
            rule: "worth",
            verdict: worst.as_str(),
            value: Some(worth),
            limit: Some(1.0),
            margin: None,
            text: reach_in_words(worth, views),
            eyepiece: None,
            barlow: None,
        }];
        let doubtful = views.iter().filter(|view| view.assessment.verdict() != Verdict::Suits);
        for view in doubtful.chain(forbidden) {
            let verdict = view.assessment.verdict();
            let subject = self.subject(bench, view);
            let barlow = view.barlow.map(|at| self.barlow(at));
            let decisive =
                |finding: &&Finding| verdict_of(finding.rule, finding.standing) == verdict;
            for finding in view.assessment.findings.iter().filter(decisive) {
                let eyepiece = self.eyepiece(view.eyepiece);
                reasons.push(telling::reason_about(finding, subject, eyepiece, barlow));
            }
        }
        reasons
    }

    fn one_more(&self, one: OneMore) -> OneMoreAnswer {
        let OneMore { piece, adds, costs } = one;
        let (eyepiece, barlow, what) = match piece {
            PieceAt::Eyepiece(at) => {
                let focal_length = self.request.eyepieces.specs[at].focal_length().mm();
                (Some(at), None, format!("the {focal_length} mm eyepiece"))
            }
            PieceAt::Barlow(at) => {
                let factor = self.request.barlows.specs[at].factor.times();
                (None, Some(at), format!("the {factor}× Barlow"))
            }
        };
        let text = if adds > costs {
            format!(
                "Of all further pieces {what} would add most: {}, for {} of carrying.",
                per_cent(adds),
                per_cent(costs)
            )
        } else {
            format!(
                "Nothing more is worth carrying: even {what} would add {}, for {} of carrying.",
                per_cent(adds),
                per_cent(costs)
            )
        };
        OneMoreAnswer {
            eyepiece: eyepiece.map(|at| self.eyepiece(at).clone()),
            barlow: barlow.map(|at| self.barlow(at).clone()),
            adds,
            costs,
            text,
        }
    }

    fn alternative(&self, kit: &Kit, other: &Alternative) -> AlternativeAnswer {
        let lost = per_cent(kit.value - other.kit.value);
        let (difference, without, text) = match other.difference {
            Difference::NoCorrector => {
                ("no_corrector", None, format!("Without the corrector, for a loss of {lost}."))
            }
            Difference::NoBarlow => {
                ("no_barlow", None, format!("Without a Barlow, for a loss of {lost}."))
            }
            Difference::OneFewer => (
                "one_fewer",
                None,
                format!("With one eyepiece fewer to carry, for a loss of {lost}."),
            ),
            Difference::Without(at) => {
                let focal_length = self.request.eyepieces.specs[at].focal_length().mm();
                let text = format!(
                    "Should someone else need the {focal_length} mm eyepiece, for a loss of {lost}."
                );
                ("without", Some(at), text)
            }
        };
        AlternativeAnswer {
            difference,
            without: without.map(|at| self.eyepiece(at).clone()),
            corrector: self.corrector(&other.kit),
            eyepieces: self.eyepieces(&other.kit),
            barlow: other.kit.barlow.map(|at| self.barlow(at).clone()),
            value: other.kit.value,
            text,
        }
    }

    fn left_out(&self, kit: &Kit, bench: &Bench<'_>) -> Vec<LeftOutAnswer> {
        let mut left = self.solver.left_out(kit);
        let adds = |one: &LeftOut| match one {
            LeftOut::AddsLittle { adds, .. } => *adds,
            LeftOut::Forbidden(_) => -1.0,
        };
        left.sort_by(|(at_a, a), (at_b, b)| adds(b).total_cmp(&adds(a)).then(at_a.cmp(at_b)));
        left.truncate(MOST_LEFT_OUT);
        left.iter().map(|(at, why)| self.one_left_out(kit, bench, *at, why)).collect()
    }

    fn one_left_out(
        &self,
        kit: &Kit,
        bench: &Bench<'_>,
        at: usize,
        why: &LeftOut,
    ) -> LeftOutAnswer {
        let costs = self.costs.eyepieces[at];
        let (adds, reasons, text) = match why {
            LeftOut::Forbidden(_) => {
                let eyepiece = &self.request.eyepieces.specs[at];
                let subject = Subject { bench, eyepiece, barlow: None };
                let assessment = bench.assess(eyepiece, None);
                let forbids = |finding: &&Finding| {
                    verdict_of(finding.rule, finding.standing) == Verdict::Unsuitable
                };
                let forbidding = assessment.findings.iter().filter(forbids);
                let reasons: Vec<Reason> =
                    forbidding.map(|finding| telling::reason(finding, subject)).collect();
                let text = reasons.first().map_or(String::new(), |first| first.text.clone());
                (None, reasons, text)
            }
            LeftOut::AddsLittle { adds, beside } => {
                let near = self.request.eyepieces.specs[*beside].focal_length().mm();
                let full = kit.eyepieces.len() >= self.request.wanted.max_eyepieces;
                let text = if *adds <= costs {
                    format!(
                        "Beside the {near} mm it would add {}, no more than the {} of carrying it.",
                        per_cent(*adds),
                        per_cent(costs)
                    )
                } else if full {
                    format!(
                        "The kit is full, and none of its eyepieces could make room for it without loss; beside the {near} mm it would add {}.",
                        per_cent(*adds)
                    )
                } else {
                    format!("Beside the {near} mm it would add {}.", per_cent(*adds))
                };
                (Some(*adds), Vec::new(), text)
            }
        };
        LeftOutAnswer { eyepiece: self.eyepiece(at).clone(), adds, costs, reasons, text }
    }
}

fn per_cent(worth: f64) -> String {
    format!("{:.1}%", worth * 100.0)
}

fn reach_in_words(worth: f64, views: &[KitView]) -> String {
    let reach = format!("{:.0}%", worth * 100.0);
    let power = |view: &KitView| format!("{:.0}×", view.facts.magnification);
    match views {
        [] => format!("It reaches {reach} of what a perfect set would."),
        [only] => format!(
            "Its one view, at {}, reaches {reach} of what a perfect set would.",
            power(only)
        ),
        [first, .., last] => {
            let widest = views.iter().filter_map(|view| view.step).fold(1.0, f64::max);
            format!(
                "Its {} views run from {} to {}, none more than {widest:.1} times the one before, and reach {reach} of what a perfect set would.",
                views.len(),
                power(first),
                power(last)
            )
        }
    }
}
