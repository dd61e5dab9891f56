//! The whole body of a wish to have views judged.

use serde::de::{Deserializer, MapAccess};

use super::correctors::CorrectorIn;
use super::forms::{Form, List, fill};
use super::observers::ObserverIn;
use super::pieces::{BarlowIn, EyepieceIn, TelescopeIn};
use super::read::{Element, OrNull, Sink, Slot, nested};
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

/// The fields of a case.
pub const CASE_FIELDS: [&str; 4] = ["telescope", "eyepiece", "barlow", "corrector"];

#[derive(Debug, Default)]
struct CaseForm {
    telescope: Slot<TelescopeIn>,
    eyepiece: Slot<EyepieceIn>,
    barlow: Slot<OrNull<BarlowIn>>,
    corrector: Slot<OrNull<CorrectorIn>>,
}

impl Form for CaseForm {
    fn name(&self) -> &'static str {
        "a case"
    }

    fn fields(&self) -> &'static [&'static str] {
        &CASE_FIELDS
    }

    fn take<'de, A: MapAccess<'de>>(
        &mut self,
        field: usize,
        sink: &mut Sink,
        map: &mut A,
    ) -> Result<(), A::Error> {
        match field {
            0 => self.telescope = nested(sink, map)?,
            1 => self.eyepiece = nested(sink, map)?,
            2 => self.barlow = nested(sink, map)?,
            _ => self.corrector = nested(sink, map)?,
        }
        Ok(())
    }
}

impl Element for Case {
    fn read<'de, D: Deserializer<'de>>(
        sink: &mut Sink,
        deserializer: D,
    ) -> Result<Option<Self>, D::Error> {
        let mut form = CaseForm::default();
        if !fill(&mut form, sink, deserializer)? {
            return Ok(None);
        }
        let telescope = form.telescope.needed("telescope", "a case", sink);
        let eyepiece = form.eyepiece.needed("eyepiece", "a case", sink);
        let barlow = match form.barlow {
            Slot::Missing | Slot::Read(OrNull(None)) => None,
            Slot::Read(OrNull(Some(barlow))) => Some(barlow.spec),
            Slot::Faulty => return Ok(None),
        };
        let corrector = match form.corrector {
            Slot::Missing | Slot::Read(OrNull(None)) => None,
            Slot::Read(OrNull(Some(corrector))) => Some(corrector.spec),
            Slot::Faulty => return Ok(None),
        };
        let (Some(telescope), Some(eyepiece)) = (telescope, eyepiece) else { return Ok(None) };
        let mut telescope = telescope.spec;
        if let Some(corrector) = corrector {
            let Some(spec) = telescope.spec.with_corrector(&corrector) else {
                sink.fault_at("corrector", DOES_NOT_FIT);
                return Ok(None);
            };
            telescope.spec = spec;
        }
        Ok(Some(Self { telescope, eyepiece: eyepiece.spec, barlow }))
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

/// The fields of an evaluation.
pub const EVALUATE_FIELDS: [&str; 2] = ["observer", "cases"];

#[derive(Debug, Default)]
struct EvaluateForm {
    observer: Slot<ObserverIn>,
    cases: Slot<List<Case, MOST_CASES>>,
}

impl Form for EvaluateForm {
    fn name(&self) -> &'static str {
        "the body"
    }

    fn fields(&self) -> &'static [&'static str] {
        &EVALUATE_FIELDS
    }

    fn take<'de, A: MapAccess<'de>>(
        &mut self,
        field: usize,
        sink: &mut Sink,
        map: &mut A,
    ) -> Result<(), A::Error> {
        match field {
            0 => self.observer = nested(sink, map)?,
            _ => self.cases = nested(sink, map)?,
        }
        Ok(())
    }
}

impl Element for EvaluateRequest {
    fn read<'de, D: Deserializer<'de>>(
        sink: &mut Sink,
        deserializer: D,
    ) -> Result<Option<Self>, D::Error> {
        let mut form = EvaluateForm::default();
        if !fill(&mut form, sink, deserializer)? {
            return Ok(None);
        }
        let observer = form.observer.needed("observer", "the body", sink);
        let cases = form.cases.needed("cases", "the body", sink);
        let (Some(observer), Some(cases)) = (observer, cases) else { return Ok(None) };
        if cases.count > MOST_CASES {
            let detail = format!(
                "At most {MOST_CASES} cases go into one request, but {} were given: send them in several.",
                cases.count
            );
            sink.fault_at("cases", detail);
        }
        Ok(Some(Self {
            question: observer.0,
            cases: cases.items.into_iter().map(|(_, case)| case).collect(),
        }))
    }
}
