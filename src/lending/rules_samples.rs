//! The pages of rules with sample values.

use super::rules::{ItemRule, Rules};
use super::rules_form::{NightsForm, RulesForm};
use super::rules_pages::{Kept, NightsOff, Ruled, RulesPage, in_words};
use crate::gallery::{Sample, signed_in};
use crate::people::rights::Role;
use crate::web::field::Field;
use crate::web::frame::{Place, Scheme};

pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
    let frame = || {
        signed_in("Rules of lending", scheme, "Ines Aldous", &[Role::Quartermaster]).at(Place::Desk)
    };
    let empty = RulesPage {
        frame: frame(),
        notice: Some("The rules are kept.".into()),
        refusal: None,
        form: RulesForm::of(&Rules::default()),
        off: Vec::new(),
        closing: NightsForm::default(),
        kept: Vec::new(),
        keeping: NightsForm::default(),
        ruled: Vec::new(),
        tag: Field::default(),
    };
    let mut form = RulesForm::of(&Rules { open_reservations: Some(3), ..Rules::default() });
    form.longest = Field::refused("0", "Write a whole number of nights from 1 to 366.");
    let odd = "<script>alert(1)</script>";
    let full = RulesPage {
        frame: frame(),
        notice: None,
        refusal: Some("T-007 is taken on 2026-06-06: choose other nights or other items.".into()),
        form,
        off: vec![NightsOff {
            label: "Thursday 24 to Saturday 26 December 2026".into(),
            first: "2026-12-24".into(),
            last: "2026-12-26".into(),
            reason: odd.into(),
            touched: vec![41, 57],
        }],
        closing: NightsForm {
            reason: Field::refused("", "Say why, in a few words: members read it."),
            ..NightsForm::default()
        },
        kept: vec![Kept {
            id: 3,
            label: "Friday 5 June 2026".into(),
            tags: vec!["T-007".into(), "E-031".into()],
            reason: odd.into(),
        }],
        keeping: NightsForm {
            tags: Field::refused("T-999", "Nothing on the shelf bears the tag T-999."),
            ..NightsForm::default()
        },
        ruled: vec![Ruled {
            id: 7,
            tag: "T-007".into(),
            name: "Orchard 8-inch".into(),
            says: in_words(ItemRule {
                needs_approval: true,
                needs_training: true,
                asks_age: true,
                turnaround_nights: 1,
            }),
        }],
        tag: Field::refused("T-0", "Nothing on the shelf bears this tag: check the label."),
    };
    vec![Sample::of("rules", &empty), Sample::of("rules-refused", &full)]
}
