//! The desk's forms, read.

use std::collections::BTreeMap;

use sqlx::SqliteConnection;

use super::cautions;
use super::handing::{Back, Condition, HandOver};
use super::machine::LineState;
use super::reading::Whole;
use super::shown::PieceShown;
use super::signature::Strokes;
use crate::shelf::{self, ItemId};
use crate::web::problem::Problem;

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
        strokes: Strokes::parse(&text(typed, "strokes")).unwrap_or_default(),
    }
}

/// The note of a hand-over, with those parts of the sets that were not ticked.
pub fn with_lacking(
    note: String,
    typed: &BTreeMap<String, String>,
    sets: &[(ItemId, String)],
) -> String {
    let mut place: BTreeMap<ItemId, usize> = BTreeMap::new();
    let lacking: Vec<&str> = sets
        .iter()
        .filter(|(item, _)| {
            let at = place.entry(*item).or_default();
            *at += 1;
            !typed.contains_key(&format!("set_{item}_{at}"))
        })
        .map(|(_, what)| what.as_str())
        .collect();
    if lacking.is_empty() {
        return note;
    }
    let lacking = format!("Stayed here: {}.", lacking.join(", "));
    let mut whole = if note.is_empty() { lacking } else { format!("{note} {lacking}") };
    // The note's own limit.
    whole = whole.chars().take(1000).collect();
    whole
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

/// Puts what always leaves with a telescope beside it.
pub(super) async fn add_sets(
    conn: &mut SqliteConnection,
    pieces: &mut [PieceShown],
) -> Result<(), Problem> {
    let ids: Vec<ItemId> = pieces.iter().map(|piece| ItemId(piece.id)).collect();
    for (item, what) in shelf::set_parts(conn, &ids).await? {
        if let Some(piece) = pieces.iter_mut().find(|piece| piece.id == item.0) {
            piece.set.push(what);
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_not_ticked_of_a_set_is_noted() {
        let typed = BTreeMap::from([("set_7_1".to_owned(), "yes".to_owned())]);
        let sets = [(ItemId(7), "Finder".to_owned()), (ItemId(7), "Dust cap".to_owned())];
        assert_eq!(with_lacking(String::new(), &typed, &sets[..1]), "");
        assert_eq!(with_lacking("Fine.".into(), &typed, &sets), "Fine. Stayed here: Dust cap.");
        let long = with_lacking("x".repeat(999), &typed, &sets);
        assert_eq!(long.chars().count(), 1000);
    }
}
