//! Telescopes that give this observer no usable view, and why.

use std::collections::{BTreeSet, HashMap};
use std::hash::Hash;

use super::telling;
use super::wire::SolveRequest;
use super::wire::answers::{ForbiddenBy, Reason, RejectedAnswer};
use crate::kit::explain::Subject;
use crate::kit::rules::verdict_of;
use crate::kit::{Assessment, Bench, Finding, Rule, Settings, Standing, Verdict};
use crate::optics::{Barlow, Eyepiece};

/// How many views are judged between two looks at the budget.
const VIEWS_BETWEEN_LOOKS: usize = 4_096;

/// The rejected telescopes, as far as the time went.
#[derive(Debug, Clone, PartialEq)]
pub struct Rejection {
    /// In the order of their ids.
    pub telescopes: Vec<RejectedAnswer>,
    /// Whether all are there.
    pub complete: bool,
}

/// Finds the telescopes without any usable view. Those in `served` have one, as their kits show.
#[must_use]
pub fn rejected(
    request: &SolveRequest,
    served: &BTreeSet<usize>,
    settings: &Settings,
    spent: &(dyn Fn() -> bool + Sync),
) -> Rejection {
    let search = Search {
        eyepieces: fold(request.eyepieces.specs.iter().map(Eyepiece::fold_key)),
        barlows: if request.wanted.barlow {
            fold(request.barlows.specs.iter().map(Barlow::fold_key))
        } else {
            Vec::new()
        },
        request,
        spent,
    };
    let mut known: HashMap<_, Usability> = HashMap::new();
    let mut rejection = Rejection { telescopes: Vec::new(), complete: true };
    for (at, telescope) in request.telescopes.specs.iter().enumerate() {
        // A telescope with a corrector in it is the same telescope.
        if served.contains(&at) || telescope.fitted.is_some() {
            continue;
        }
        let found =
            known.entry((telescope.spec.fold_key(), telescope.sun_filter)).or_insert_with(|| {
                let filter = telescope.sun_filter;
                search.on(&Bench::new(&telescope.spec, filter, &request.question, settings))
            });
        match found {
            Usability::Usable => {}
            Usability::Open => rejection.complete = false,
            Usability::Useless { reasons, forbidden_by } => {
                rejection.telescopes.push(RejectedAnswer {
                    telescope: request.telescopes.ids[at].clone(),
                    reasons: reasons.clone(),
                    forbidden_by: forbidden_by.clone(),
                });
            }
        }
    }
    rejection
}

/// What came of the search on one telescope.
enum Usability {
    /// At least one view may be used.
    Usable,
    /// None may.
    Useless { reasons: Vec<Reason>, forbidden_by: Vec<ForbiddenBy> },
    /// The time ended first.
    Open,
}

/// Identical pieces stand for one another: the first position of each kind, and how many.
fn fold<K: Hash + Eq>(keys: impl Iterator<Item = K>) -> Vec<(usize, usize)> {
    let mut seen = HashMap::new();
    let mut groups: Vec<(usize, usize)> = Vec::new();
    for (at, key) in keys.enumerate() {
        let group = *seen.entry(key).or_insert(groups.len());
        match groups.get_mut(group) {
            Some((_, copies)) => *copies += 1,
            None => groups.push((at, 1)),
        }
    }
    groups
}

struct Search<'a> {
    eyepieces: Vec<(usize, usize)>,
    barlows: Vec<(usize, usize)>,
    request: &'a SolveRequest,
    spent: &'a (dyn Fn() -> bool + Sync),
}

/// The view that comes nearest to being usable.
struct Nearest {
    broken: usize,
    eyepiece: usize,
    barlow: Option<usize>,
    assessment: Assessment,
}

fn forbids(finding: &Finding) -> bool {
    verdict_of(finding.rule, finding.standing) == Verdict::Unsuitable
}

impl Search<'_> {
    fn on(&self, bench: &Bench<'_>) -> Usability {
        let mut counts = [0_usize; Rule::ALL.len()];
        let mut nearest: Option<Nearest> = None;
        let mut looked_at = 0_usize;
        let direct = std::iter::once((None, 1));
        let with = self.barlows.iter().map(|(at, copies)| (Some(*at), *copies));
        for (barlow, barlow_copies) in direct.chain(with) {
            for &(eyepiece, copies) in &self.eyepieces {
                if looked_at.is_multiple_of(VIEWS_BETWEEN_LOOKS) && (self.spent)() {
                    return Usability::Open;
                }
                looked_at += 1;
                let assessment = bench.assess(
                    &self.request.eyepieces.specs[eyepiece],
                    barlow.map(|at| &self.request.barlows.specs[at]),
                );
                if assessment.verdict() != Verdict::Unsuitable {
                    return Usability::Usable;
                }
                let mut broken = 0;
                for (count, finding) in counts.iter_mut().zip(&assessment.findings) {
                    if forbids(finding) {
                        *count += copies * barlow_copies;
                        broken += 1;
                    }
                }
                if nearest.as_ref().is_none_or(|nearest| broken < nearest.broken) {
                    nearest = Some(Nearest { broken, eyepiece, barlow, assessment });
                }
                if assessment.of(Rule::Sun).standing == Standing::Blocked {
                    // No eyepiece changes that, so nothing else need be judged.
                    return self.blocked(bench, &assessment, eyepiece);
                }
            }
        }
        self.useless(bench, counts, nearest)
    }

    fn blocked(&self, bench: &Bench<'_>, assessment: &Assessment, eyepiece: usize) -> Usability {
        let eyepiece = &self.request.eyepieces.specs[eyepiece];
        let subject = Subject { bench, eyepiece, barlow: None };
        let barlows: usize = self.barlows.iter().map(|(_, copies)| copies).sum();
        let eyepieces: usize = self.eyepieces.iter().map(|(_, copies)| copies).sum();
        Usability::Useless {
            reasons: vec![telling::reason(assessment.of(Rule::Sun), subject)],
            forbidden_by: vec![ForbiddenBy {
                rule: Rule::Sun.as_str(),
                views: eyepieces * (1 + barlows),
            }],
        }
    }

    fn useless(
        &self,
        bench: &Bench<'_>,
        counts: [usize; Rule::ALL.len()],
        nearest: Option<Nearest>,
    ) -> Usability {
        let Some(nearest) = nearest else {
            let reason = Reason {
                rule: "shelf",
                verdict: Standing::Unsuitable.as_str(),
                value: None,
                limit: None,
                margin: None,
                text: "There is no eyepiece to choose from: add at least one.".into(),
                eyepiece: None,
                barlow: None,
            };
            return Usability::Useless { reasons: vec![reason], forbidden_by: Vec::new() };
        };
        let Self { request, .. } = self;
        let subject = Subject {
            bench,
            eyepiece: &request.eyepieces.specs[nearest.eyepiece],
            barlow: nearest.barlow.map(|at| &request.barlows.specs[at]),
        };
        let eyepiece = &request.eyepieces.ids[nearest.eyepiece];
        let barlow = nearest.barlow.map(|at| &request.barlows.ids[at]);
        let reasons = nearest
            .assessment
            .findings
            .iter()
            .filter(|finding| forbids(finding))
            .map(|finding| telling::reason_about(finding, subject, eyepiece, barlow))
            .collect();
        let mut forbidden_by: Vec<ForbiddenBy> = Rule::ALL
            .into_iter()
            .zip(counts)
            .filter(|(_, views)| *views > 0)
            .map(|(rule, views)| ForbiddenBy { rule: rule.as_str(), views })
            .collect();
        // Stable, so rules that forbid alike stay in the rules' order.
        forbidden_by.sort_by_key(|one| std::cmp::Reverse(one.views));
        Usability::Useless { reasons, forbidden_by }
    }
}
