//! The whole body of a wish to have views judged.

use super::correctors::CorrectorIn;
use super::forms::{Filled, List, form};
use super::observers::ObserverIn;
use super::pieces::{BarlowIn, EyepieceIn, TelescopeIn};
use super::read::{OrNull, Sink, Slot};
use crate::kit::{Question, ShelfTelescope};
use crate::optics::{Barlow, Eyepiece};

/// Most cases in one evaluation.
pub const MOST_CASES: usize = 1_000;

const DOES_NOT_FIT: &str = "It does not fit this telescope, or it is not known whether it does: a corrector goes into a `newtonian` whose `focuser_barrel_mm` takes its own `barrel_mm`, and weighs less than `balance_limit_g`.";

/// One view to be judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    /// The telescope, with its corrector, if one is used.
    pub telescope: ShelfTelescope,
    /// The eyepiece.
    pub eyepiece: Eyepiece,
    /// The Barlow, if one is used.
    pub barlow: Option<Barlow>,
}

form! {
    /// The fields of a case.
    CASE_FIELDS;
    CaseForm is "a case" {
        telescope: Slot<TelescopeIn>,
        eyepiece: Slot<EyepieceIn>,
        barlow: Slot<OrNull<BarlowIn>>,
        corrector: Slot<OrNull<CorrectorIn>>,
    }
}

impl Filled for Case {
    type Form = CaseForm;

    fn filled(form: CaseForm, sink: &mut Sink) -> Option<Self> {
        let telescope = form.telescope.needed("telescope", "a case", sink);
        let eyepiece = form.eyepiece.needed("eyepiece", "a case", sink);
        let OrNull(barlow) = form.barlow.or_default()?;
        let OrNull(corrector) = form.corrector.or_default()?;
        let (Some(telescope), Some(eyepiece)) = (telescope, eyepiece) else { return None };
        let mut telescope = telescope.spec;
        if let Some(corrector) = corrector {
            let Some(spec) = telescope.spec.with_corrector(&corrector.spec) else {
                sink.fault_at("corrector", DOES_NOT_FIT);
                return None;
            };
            telescope.spec = spec;
        }
        Some(Self { telescope, eyepiece: eyepiece.spec, barlow: barlow.map(|one| one.spec) })
    }
}

/// Asks for views to be judged.
#[derive(Debug, Clone, PartialEq)]
pub struct EvaluateRequest {
    /// Who looks, under which sky, for what.
    pub question: Question,
    /// The views.
    pub cases: Vec<Case>,
}

form! {
    /// The fields of an evaluation.
    EVALUATE_FIELDS;
    EvaluateForm is "the body" {
        observer: Slot<ObserverIn>,
        cases: Slot<List<Case, MOST_CASES>>,
    }
}

impl Filled for EvaluateRequest {
    type Form = EvaluateForm;

    fn filled(form: EvaluateForm, sink: &mut Sink) -> Option<Self> {
        let observer = form.observer.needed("observer", "the body", sink);
        let cases = form.cases.needed("cases", "the body", sink);
        let (Some(observer), Some(cases)) = (observer, cases) else { return None };
        if cases.count > MOST_CASES {
            let detail = format!(
                "At most {MOST_CASES} cases go into one request, but {} were given: send them in several.",
                cases.count
            );
            sink.fault_at("cases", detail);
        }
        Some(Self {
            question: observer.0,
            cases: cases.items.into_iter().map(|(_, case)| case).collect(),
        })
    }
}
