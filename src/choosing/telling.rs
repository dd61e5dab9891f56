//! Puts what the rules found into words and numbers for programs.

use super::wire::Id;
use super::wire::answers::{PupilAnswer, Reason, ViewAnswer};
use crate::kit::explain::Subject;
use crate::kit::story::ViewFacts;
use crate::kit::{Assessment, Finding, Standing};
use crate::optics::FieldBasis;

/// Which findings are told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Which {
    /// All nine.
    Every,
    /// Those that do not simply suit.
    Doubtful,
}

/// A finding in words.
#[must_use]
pub fn reason(finding: &Finding, subject: Subject<'_>) -> Reason {
    Reason {
        rule: finding.rule.as_str(),
        verdict: finding.standing.as_str(),
        value: finding.value,
        limit: finding.limit,
        margin: finding.margin(),
        text: finding.sentence(subject),
        eyepiece: None,
        barlow: None,
    }
}

/// A finding in words where it must be said which view it is about.
#[must_use]
pub fn reason_about(
    finding: &Finding,
    subject: Subject<'_>,
    eyepiece: &Id,
    barlow: Option<&Id>,
) -> Reason {
    Reason { eyepiece: Some(eyepiece.clone()), barlow: barlow.cloned(), ..reason(finding, subject) }
}

/// A view in words and numbers.
#[must_use]
pub fn view(
    facts: &ViewFacts,
    assessment: &Assessment,
    subject: Subject<'_>,
    which: Which,
) -> ViewAnswer {
    let told = |finding: &&Finding| which == Which::Every || finding.standing != Standing::Suits;
    ViewAnswer {
        magnification: facts.magnification,
        exit_pupil_mm: facts.exit_pupil_mm,
        true_field_deg: facts.true_field_deg,
        true_field_from: facts.field_basis.map(|basis| match basis {
            FieldBasis::FieldStop => "field_stop",
            FieldBasis::ApparentField => "apparent_field",
        }),
        drift_time_s: facts.drift_time_s,
        eye_pupil_mm: PupilAnswer {
            low: facts.eye_pupil.low.mm(),
            typical: facts.eye_pupil.typical.mm(),
            high: facts.eye_pupil.high.mm(),
        },
        effective_aperture_mm: facts.effective_aperture_mm,
        light_loss_fraction: facts.light_loss_fraction,
        power_floor: facts.power_floor,
        power_ceiling: facts.power_ceiling,
        comfortable_power_ceiling: facts.comfortable_power_ceiling,
        eye_relief_needed_mm: facts.eye_relief_needed_mm,
        eye_relief_mm: facts.eye_relief_mm,
        verdict: assessment.verdict().as_str(),
        reasons: assessment
            .findings
            .iter()
            .filter(told)
            .map(|finding| reason(finding, subject))
            .collect(),
    }
}
