//! What goes back to programs: full double precision, nothing rounded.

use std::collections::BTreeSet;

use std::collections::BTreeMap;

use serde::Serialize;
use utoipa::ToSchema;

use super::pieces::Id;

/// A view's numbers, its verdict and the reasons for it.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct ViewAnswer {
    /// Magnification, times.
    #[schema(example = 48.76)]
    pub magnification: f64,
    /// Exit pupil: the width of the beam that leaves the eyepiece.
    #[schema(example = 4.167_350)]
    pub exit_pupil_mm: f64,
    /// True field of view; `null` where neither field stop nor apparent field is known.
    #[schema(example = 1.066_448)]
    pub true_field_deg: Option<f64>,
    /// What the true field was computed from: `field_stop`, or `apparent_field`, which overstates
    /// wide eyepieces with distortion.
    #[schema(example = "apparent_field")]
    pub true_field_from: Option<&'static str>,
    /// How long a star on the celestial equator takes to cross the field where nothing tracks.
    #[schema(example = 255.248_7)]
    pub drift_time_s: Option<f64>,
    /// How wide the observer's pupil opens: a range, because eyes of one age differ.
    pub eye_pupil_mm: PupilAnswer,
    /// The aperture whose light gets into the eye.
    pub effective_aperture_mm: f64,
    /// Share of the light that the iris keeps out.
    pub light_loss_fraction: f64,
    /// Lowest useful power of the telescope for this observer.
    pub power_floor: f64,
    /// Highest power, on the rare excellent night or as the given seeing allows.
    pub power_ceiling: f64,
    /// Highest power on most nights, or comfortable in the given seeing.
    pub comfortable_power_ceiling: f64,
    /// Eye relief at which this observer is comfortable in this view.
    pub eye_relief_needed_mm: f64,
    /// Eye relief offered: measured where somebody measured it, else the maker's.
    pub eye_relief_mm: Option<f64>,
    /// `suits`, `compromise` or `unsuitable`: that of the worst rule.
    #[schema(example = "suits")]
    pub verdict: &'static str,
    /// What each rule found, in the rules' order.
    pub reasons: Vec<Reason>,
}

/// A pupil as a range.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, ToSchema)]
pub struct PupilAnswer {
    /// What a small pupil of that age opens to.
    pub low: f64,
    /// What is counted with.
    pub typical: f64,
    /// What a large pupil of that age opens to.
    pub high: f64,
}

/// What one rule found.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct Reason {
    /// `fits`, `pupil`, `thin_beam`, `ceiling`, `eye_relief`, `focus`, `field_edge`, `balance` or
    /// `sun`; of a whole kit also `worth`, and where nothing can be chosen `shelf`.
    #[schema(example = "eye_relief")]
    pub rule: &'static str,
    /// `suits`, `not_known`, `compromise`, `unsuitable`, or `blocked` by a safety gate.
    #[schema(example = "unsuitable")]
    pub verdict: &'static str,
    /// The number that was judged, where it is a matter of number.
    #[schema(example = 6.0)]
    pub value: Option<f64>,
    /// The limit it was held against.
    #[schema(example = 13.0)]
    pub limit: Option<f64>,
    /// How far the value is on the good side of the limit; negative beyond it.
    #[schema(example = -7.0)]
    pub margin: Option<f64>,
    /// The same in plain words.
    #[schema(example = "6 mm of eye relief: your lashes will touch the glass; you need 13.")]
    pub text: String,
    /// The eyepiece it is about, where that is not plain from the place it stands in.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub eyepiece: Option<Id>,
    /// The Barlow used with it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub barlow: Option<Id>,
}

/// Judged views, in the order of the cases.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct ViewsAnswer {
    /// One for each case.
    pub views: Vec<ViewAnswer>,
}

/// The best kits.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct KitsAnswer {
    /// The best kit of each telescope, best first, as many as were asked for.
    pub kits: Vec<KitAnswer>,
    /// Whether it is proven that no better kit can be made from these pieces.
    pub proven_optimal: bool,
    /// Where the time ended before the proof: the largest possible improvement on the first kit.
    pub gap: Option<f64>,
    /// Telescopes without any usable view.
    pub rejected: Vec<RejectedAnswer>,
    /// Whether every telescope that belongs there is among the rejected; false where the time
    /// ended first.
    pub rejected_complete: bool,
    /// The whole problem written out, where it was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub matrix: Option<MatrixAnswer>,
}

impl KitsAnswer {
    /// The numbers of the pieces that the kits, their alternatives and the rejected telescopes
    /// speak of, each once.
    #[must_use]
    pub fn named(&self) -> BTreeSet<Id> {
        let mut ids: Vec<&Id> = self.rejected.iter().map(|one| &one.telescope).collect();
        for kit in &self.kits {
            ids.push(&kit.telescope);
            ids.extend(kit.eyepieces.iter().chain(&kit.barlow).chain(&kit.corrector));
            for other in &kit.alternatives {
                ids.extend(other.eyepieces.iter().chain(&other.barlow).chain(&other.corrector));
            }
            if let Some(one) = &kit.one_more {
                ids.extend(one.eyepiece.iter().chain(&one.barlow));
            }
        }
        ids.into_iter().cloned().collect()
    }
}

/// One telescope with its best eyepieces.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct KitAnswer {
    /// The telescope.
    pub telescope: Id,
    /// The coma corrector in it, if there is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub corrector: Option<Id>,
    /// The eyepieces, in the order of their ids.
    pub eyepieces: Vec<Id>,
    /// The Barlow, if there is one.
    pub barlow: Option<Id>,
    /// Worth to all purposes less what the pieces cost to carry.
    pub value: f64,
    /// The verdict on its worst view.
    pub verdict: &'static str,
    /// Its views in order of power; told of the first thousand kits only.
    pub views: Vec<KitViewAnswer>,
    /// Why this kit, and what to know about it.
    pub reasons: Vec<Reason>,
    /// The most useful further piece; told of the first kits only.
    pub one_more: Option<OneMoreAnswer>,
    /// The best kits of the same telescope that differ noticeably; told of the first kits only.
    pub alternatives: Vec<AlternativeAnswer>,
    /// Why other eyepieces are not in it, those that would add most first; told of the first kits
    /// only, and only with `explain` set to `reasons`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub left_out: Option<Vec<LeftOutAnswer>>,
}

/// One view of a kit.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct KitViewAnswer {
    /// The eyepiece.
    pub eyepiece: Id,
    /// The Barlow, where it is used.
    pub barlow: Option<Id>,
    /// Its power over that of the view before it.
    pub step_ratio: Option<f64>,
    /// What it serves better than the kit's other views, best served first.
    pub serves: Vec<ServedAnswer>,
    /// Its numbers and verdict.
    #[serde(flatten)]
    pub view: ViewAnswer,
}

/// A purpose and how well it is served.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct ServedAnswer {
    /// The purpose, as in a matrix.
    #[schema(example = "faint-globular")]
    pub purpose: &'static str,
    /// What it is, for people.
    #[schema(example = "globulars")]
    pub name: &'static str,
    /// How well, 0 to 1.
    pub worth: f64,
}

/// The most useful further piece.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct OneMoreAnswer {
    /// The eyepiece, if it is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub eyepiece: Option<Id>,
    /// The Barlow, if it is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub barlow: Option<Id>,
    /// Worth it would add.
    pub adds: f64,
    /// What it would cost to carry.
    pub costs: f64,
    /// The same in plain words.
    pub text: String,
}

/// A kit that differs noticeably.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct AlternativeAnswer {
    /// `no_corrector`, `no_barlow`, `one_fewer` or `without`.
    pub difference: &'static str,
    /// The eyepiece it does without.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub without: Option<Id>,
    /// The coma corrector in the telescope, if there is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub corrector: Option<Id>,
    /// The eyepieces, in the order of their ids.
    pub eyepieces: Vec<Id>,
    /// The Barlow, if there is one.
    pub barlow: Option<Id>,
    /// Its value.
    pub value: f64,
    /// The difference in plain words.
    pub text: String,
}

/// Why an eyepiece is not in a kit.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct LeftOutAnswer {
    /// The eyepiece.
    pub eyepiece: Id,
    /// Worth it would add to the kit; `null` where a rule forbids it.
    pub adds: Option<f64>,
    /// What it would cost to carry.
    pub costs: f64,
    /// The rules that forbid it in this telescope; empty where none does.
    pub reasons: Vec<Reason>,
    /// Why, in plain words.
    pub text: String,
}

/// A telescope without any usable view.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct RejectedAnswer {
    /// The telescope.
    pub telescope: Id,
    /// What forbids the view that comes nearest to being usable.
    pub reasons: Vec<Reason>,
    /// How many views each rule forbids, the most forbidding first.
    pub forbidden_by: Vec<ForbiddenBy>,
}

/// How many views a rule forbids.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct ForbiddenBy {
    /// The rule.
    #[schema(example = "fits")]
    pub rule: &'static str,
    /// Views it forbids, alone or with others.
    pub views: usize,
}

/// The whole problem. A kit's value is the sum over the purposes of weight times the best worth
/// among its views, less the costs of its pieces.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct MatrixAnswer {
    /// Purposes; their weights add up to 1.
    pub purposes: Vec<PurposeAnswer>,
    /// What each piece costs, by id.
    pub costs: BTreeMap<String, f64>,
    /// Telescopes in the order of their ids.
    pub telescopes: Vec<MatrixTelescope>,
}

/// A purpose and its weight.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct PurposeAnswer {
    /// Its name.
    #[schema(example = "faint-globular")]
    pub id: &'static str,
    /// Its share of the whole.
    pub weight: f64,
}

/// A telescope's admissible views.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct MatrixTelescope {
    /// The telescope.
    pub id: Id,
    /// The coma corrector in it, if there is one: the telescope is then told twice.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub corrector: Option<Id>,
    /// Views that no rule forbids.
    pub views: Vec<MatrixViewAnswer>,
}

/// An admissible view.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct MatrixViewAnswer {
    /// The eyepiece.
    pub eyepiece: Id,
    /// The Barlow, where it is used.
    pub barlow: Option<Id>,
    /// Worth to each purpose, in the order of the purposes.
    pub worth: Vec<f64>,
}
