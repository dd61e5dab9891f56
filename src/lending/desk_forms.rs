//! The desk's forms, read.

use std::collections::BTreeMap;

use super::cautions;
use super::handing::{Back, Condition, HandOver};
use super::machine::LineState;
use super::reading::Whole;
use crate::shelf::ItemId;

/// A field as it was typed, without its outer spaces.
pub fn text(typed: &BTreeMap<String, String>, name: &str) -> String {
    typed.get(name).map(|text| text.trim().to_owned()).unwrap_or_default()
}

/// What a hand-over's form notes.
pub fn hand_over_of(typed: &BTreeMap<String, String>, whole: &Whole) -> HandOver {
    let ticked = |item: &ItemId| typed.contains_key(&format!("take_{item}"));
    let some = |name: &str| Some(text(typed, name)).filter(|text| !text.is_empty());
    let acknowledged = typed.contains_key("acknowledged")
        && text(typed, "cautions_version") == cautions::VERSION.to_string();
    HandOver {
        items: whole.items(LineState::Planned).into_iter().filter(ticked).collect(),
        signed_name: text(typed, "signed_name"),
        cautions_version: if acknowledged { cautions::VERSION } else { 0 },
        guardian: some("guardian"),
        witness: some("witness"),
        note: text(typed, "note"),
        to_self: false,
    }
}

/// What comes back, and what is missing.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Pieces {
    /// Back.
    pub back: Vec<Back>,
    /// Not to be found.
    pub missing: Vec<ItemId>,
}

/// What a return's form says of each piece that is out.
pub fn pieces_of(typed: &BTreeMap<String, String>, whole: &Whole) -> Pieces {
    let mut pieces = Pieces::default();
    for item in whole.items(LineState::Out) {
        let says = text(typed, &format!("piece_{item}"));
        if says == "missing" {
            pieces.missing.push(item);
        } else if let Some(condition) = Condition::parse(&says) {
            let note = text(typed, &format!("note_{item}"));
            pieces.back.push(Back { item, condition, note });
        }
    }
    pieces
}
