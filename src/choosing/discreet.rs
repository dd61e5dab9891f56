//! How an answer speaks of somebody's eyes: plainly to themselves, and to others so that neither
//! age nor prescription can be read back from it.

use super::wire::answers::{KitsAnswer, PupilAnswer, Reason, ViewAnswer};
use crate::kit::explain::Subject;
use crate::kit::{Finding, Rule, Standing};

/// To whom the answer speaks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Telling {
    /// To whoever looks, or about nobody in particular.
    Plainly,
    /// To somebody who chooses for another person.
    Discreetly,
}

impl Telling {
    /// One sentence on what a rule found.
    #[must_use]
    pub fn sentence(self, finding: &Finding, subject: Subject<'_>) -> String {
        match self {
            Self::Plainly => finding.sentence(subject),
            Self::Discreetly => match veiled(finding.rule, finding.standing) {
                Some(words) => words.into(),
                None => finding.sentence(subject),
            },
        }
    }

    /// A diameter of an eye's pupil: to others in whole millimetres.
    #[must_use]
    pub fn pupil_mm(self, mm: f64) -> f64 {
        match self {
            Self::Plainly => mm,
            Self::Discreetly => mm.round(),
        }
    }

    /// Takes out of an answer for programs what only its observer may know.
    pub fn veil(self, answer: &mut KitsAnswer) {
        if self == Self::Plainly {
            return;
        }
        for kit in &mut answer.kits {
            kit.value = coarse(kit.value);
            kit.reasons.iter_mut().for_each(veil_reason);
            for view in &mut kit.views {
                veil_view(&mut view.view);
                view.serves.iter_mut().for_each(|served| served.worth = coarse(served.worth));
            }
            for other in kit.left_out.iter_mut().flatten() {
                other.adds = other.adds.map(coarse);
                other.reasons.iter_mut().for_each(veil_reason);
                if !other.reasons.is_empty() {
                    other.text = "A rule forbids it in this telescope.".into();
                }
            }
            for other in &mut kit.alternatives {
                other.value = coarse(other.value);
            }
            if let Some(one) = &mut kit.one_more {
                one.adds = coarse(one.adds);
            }
        }
        for telescope in &mut answer.rejected {
            telescope.reasons.iter_mut().for_each(veil_reason);
        }
        answer.matrix = None;
    }
}

/// To two decimals: enough to compare, too little to work backwards from.
fn coarse(value: f64) -> f64 {
    (value * 100.0).round() / 100.0
}

/// Words on the rules that lean on age and prescription; none for the others, and none where a fact
/// is missing, for that says nothing.
fn veiled(rule: Rule, standing: Standing) -> Option<&'static str> {
    Some(match (rule, standing) {
        (_, Standing::NotKnown) => return None,
        (Rule::Pupil, Standing::Suits) => "The beam goes into this observer's pupil.",
        (Rule::Pupil, Standing::Compromise) => {
            "Not all of the beam may go into this observer's pupil, or the secondary mirror's shadow may show."
        }
        (Rule::Pupil, _) => "The beam is wider than this observer's eye should be given.",
        (Rule::EyeRelief, Standing::Suits) => {
            "The eye relief is comfortable for this observer in this view."
        }
        (Rule::EyeRelief, Standing::Compromise) => {
            "This view is usable for this observer, but not quite comfortable or crisp."
        }
        (Rule::EyeRelief, _) => "The eye relief is too little for this observer in this view.",
        (Rule::Focus, Standing::Suits) => "The focuser reaches this observer's focus.",
        (Rule::Focus, _) => "Without glasses the focuser may not reach this observer's focus.",
        _ => return None,
    })
}

fn veil_reason(reason: &mut Reason) {
    let rule = Rule::ALL.into_iter().find(|rule| rule.as_str() == reason.rule);
    let standings =
        [Standing::Suits, Standing::NotKnown, Standing::Compromise, Standing::Unsuitable];
    let standing = standings.into_iter().find(|standing| standing.as_str() == reason.verdict);
    let (Some(rule), Some(standing)) = (rule, standing) else {
        // A word on the whole kit: its worth is told as coarsely as its value.
        reason.value = reason.value.map(coarse);
        return;
    };
    if let Some(words) = veiled(rule, standing) {
        reason.text = words.into();
    }
    // Even where a fact is missing, the limit is the observer's own.
    if matches!(rule, Rule::Pupil | Rule::EyeRelief | Rule::Focus) {
        reason.value = None;
        reason.limit = None;
        reason.margin = None;
    }
}

fn veil_view(view: &mut ViewAnswer) {
    let pupil = &mut view.eye_pupil_mm;
    *pupil = PupilAnswer {
        low: pupil.low.round(),
        typical: pupil.typical.round(),
        high: pupil.high.round(),
    };
    // What follows from the pupil is worked out from the rounded one again.
    let taken = (pupil.typical / view.exit_pupil_mm).min(1.0);
    let aperture = view.magnification * view.exit_pupil_mm;
    view.effective_aperture_mm = aperture * taken;
    view.light_loss_fraction = 1.0 - taken * taken;
    view.power_floor = aperture / pupil.typical.max(1.0);
    view.eye_relief_needed_mm = view.eye_relief_needed_mm.ceil();
    view.reasons.iter_mut().for_each(veil_reason);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rules_on_glass_alone_are_told_as_they_are() {
        for rule in [Rule::Fits, Rule::Ceiling, Rule::FieldEdge, Rule::Balance, Rule::Sun] {
            assert_eq!(veiled(rule, Standing::Unsuitable), None, "{rule:?}");
        }
        for rule in [Rule::Pupil, Rule::EyeRelief, Rule::Focus] {
            for standing in [Standing::Suits, Standing::Compromise, Standing::Unsuitable] {
                let words = veiled(rule, standing).unwrap();
                assert!(!words.contains(|c: char| c.is_ascii_digit()), "{words}");
            }
        }
    }
}
