//! The form of a piece, from what was typed to a draft, nothing lost on the way.

use std::collections::BTreeMap;

use super::asked::{Asked, By, asked, shown};
use super::fields::{Holds, holds};
use super::history::Change;
use super::item::{Draft, ItemState, Kind, Record};
use super::table::{Tabular, cells_of, read_draft};
use crate::sheet::{read_one, seen_of};
use crate::web::field::{Choice, Field, Slip, slips};

/// One entry with what was typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// What is asked.
    pub asked: &'static Asked,
    /// What was typed or chosen, and what is wrong with it.
    pub field: Field,
    /// What there is to choose from.
    pub options: Vec<Choice>,
}

impl Entry {
    /// What there is to choose from.
    pub fn choices(&self) -> &[Choice] {
        &self.options
    }

    /// The words for no answer; empty where one is needed.
    pub fn none(&self) -> &'static str {
        match self.asked.by {
            By::Pick(_, none) => none,
            _ => "",
        }
    }
}

/// The form of a piece as a page shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PieceForm {
    /// Of what kind it is.
    pub kind: Kind,
    /// Everything it asks, in order.
    pub entries: Vec<Entry>,
}

/// What somebody else changed while the form was filled in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Crossing {
    /// What it is.
    pub label: &'static str,
    /// What it was when the form was opened.
    pub was: String,
    /// What it is now.
    pub now: String,
    /// What was typed here, where that is something else again.
    pub typed: Option<String>,
}

/// Columns without which there is no such piece.
fn is_needed(kind: Kind, column: &str) -> bool {
    matches!(column, "asset_tag" | "name" | "aperture_mm" | "focal_length_mm" | "factor")
        || (matches!(kind, Kind::Filter | Kind::Accessory) && column == "kind")
}

impl PieceForm {
    /// An empty form of the kind's figures.
    pub fn empty(kind: Kind) -> Self {
        Self::asking(kind, asked(kind))
    }

    /// A form that asks something else of the kind, as it was sent, with members to choose from
    /// where a list of its own has none.
    pub fn of_list(
        kind: Kind,
        list: impl IntoIterator<Item = &'static Asked>,
        members: &[Choice],
        sent: &BTreeMap<String, String>,
    ) -> Self {
        let mut form = Self::asking(kind, list);
        for entry in &mut form.entries {
            if entry.asked.by == By::Pick(&[], entry.none()) {
                entry.options = members.to_vec();
            }
        }
        form.fill(sent);
        form
    }

    fn asking(kind: Kind, list: impl IntoIterator<Item = &'static Asked>) -> Self {
        let entries = list.into_iter().map(|asked| {
            let mut options = Vec::new();
            let mut field = Field::default();
            if let By::Pick(words, none) = asked.by {
                options.extend(words.iter().map(|(value, label)| Choice::new(*value, *label)));
                if let Some(usual) = words.first().filter(|_| none.is_empty()) {
                    // A telescope of no known layout is more honest than a guess.
                    let unknown = words.iter().find(|(value, _)| *value == "unknown");
                    field = Field::of(unknown.unwrap_or(usual).0);
                }
            }
            Entry { asked, field, options }
        });
        Self { kind, entries: entries.collect() }
    }

    /// The form as it was sent.
    pub fn typed(kind: Kind, sent: &BTreeMap<String, String>) -> Self {
        let mut form = Self::empty(kind);
        form.fill(sent);
        form
    }

    fn fill(&mut self, sent: &BTreeMap<String, String>) {
        for entry in &mut self.entries {
            let Some(value) = sent.get(entry.asked.column) else { continue };
            let known = |option: &Choice| option.value == *value;
            if entry.options.is_empty()
                || entry.options.iter().any(known)
                || (value.is_empty() && !entry.none().is_empty())
            {
                entry.field.value = seen_of(value);
            }
        }
    }

    /// The form that shows a piece as it is stored.
    pub fn of<T: Tabular>(record: &Record<T>) -> Self {
        let cells = cells_of(&record.facts, &record.figures);
        let sent =
            cells.into_iter().map(|(column, cell)| (column.to_owned(), cell.plain())).collect();
        Self::typed(T::KIND, &sent)
    }

    /// The text of an entry.
    pub fn text(&self, column: &str) -> &str {
        let found = self.entries.iter().find(|entry| entry.asked.column == column);
        found.map_or("", |entry| entry.field.value.trim())
    }

    /// What an entry is called.
    pub fn label(&self, column: &str) -> &'static str {
        let found = self.entries.iter().find(|entry| entry.asked.column == column);
        found.map_or("", |entry| entry.asked.label)
    }

    /// Puts a text into an entry.
    pub fn put(&mut self, column: &str, text: &str) {
        if let Some(entry) = self.entries.iter_mut().find(|entry| entry.asked.column == column) {
            text.clone_into(&mut entry.field.value);
        }
    }

    /// Says what is wrong with an entry.
    pub fn refuse(&mut self, column: &str, says: impl Into<String>) {
        let at = self.entries.iter().position(|entry| entry.asked.column == column).unwrap_or(0);
        if let Some(entry) = self.entries.get_mut(at).filter(|entry| entry.field.error.is_none()) {
            entry.field.refuse(says);
        }
    }

    /// The entries that matter first.
    pub fn first(&self) -> impl Iterator<Item = &Entry> {
        self.entries.iter().filter(|entry| entry.asked.first)
    }

    /// The rest.
    pub fn more(&self) -> impl Iterator<Item = &Entry> {
        self.entries.iter().filter(|entry| !entry.asked.first)
    }

    /// Whether something among the rest needs to be seen.
    pub fn more_is_open(&self) -> bool {
        self.more().any(|entry| entry.field.error.is_some())
    }

    /// What is wrong with it.
    pub fn slips(&self) -> Vec<Slip> {
        slips(self.entries.iter().map(|entry| (entry.asked.column, &entry.field)))
    }

    /// Reads the piece; refused entries are marked. `None` where at least one is.
    pub fn draft<T: Tabular>(&mut self, state: ItemState) -> Option<Draft<T>> {
        for entry in &mut self.entries {
            let field = &mut entry.field;
            if is_needed(self.kind, entry.asked.column) && field.value.trim().is_empty() {
                field.refuse(match entry.asked.column {
                    "asset_tag" => "It needs a tag, so that people can tell it from the others.",
                    "kind" => "Choose what it is: the rest hangs on that.",
                    "name" => "It needs a name, so that people know what they are asking for.",
                    _ => "This one is needed: nothing can be worked out without it.",
                });
            }
        }
        let text = |column: &&str| match *column {
            "state" => state.as_str().to_owned(),
            column if holds(column) == Holds::Number => self.text(column).replace(',', "."),
            column => self.text(column).to_owned(),
        };
        let texts = T::COLUMNS.iter().map(text).collect();
        match read_one(T::COLUMNS, texts, read_draft::<T>) {
            Ok(draft) => Some(draft),
            Err(refused) => {
                for fault in refused.faults {
                    self.refuse(fault.column.unwrap_or("name"), fault.says);
                }
                None
            }
        }
    }

    /// Lays what somebody saved meanwhile beside what was typed. An entry that was not touched here
    /// takes the new value; one that was keeps what was typed.
    pub fn meet(&mut self, now: &Self, changes: &[Change]) -> Vec<Crossing> {
        let mut crossings = Vec::new();
        for (entry, now) in self.entries.iter_mut().zip(&now.entries) {
            let column = entry.asked.column;
            // The changes come latest first; the oldest tells what was on the page.
            let Some(first) = changes.iter().rev().find(|change| change.field == column) else {
                continue;
            };
            let was = first.before.as_deref().unwrap_or_default();
            let typed = entry.field.value.trim().to_owned();
            let is = now.field.value.trim();
            let said = |value: &str| match value {
                "" => "nothing".to_owned(),
                value => shown(self.kind, column, value),
            };
            let mine = typed != was && typed != is;
            crossings.push(Crossing {
                label: entry.asked.label,
                was: said(was),
                now: said(is),
                typed: mine.then(|| said(&typed)),
            });
            if !mine {
                is.clone_into(&mut entry.field.value);
            }
        }
        crossings
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::optics::Eyepiece;

    fn typed(pairs: &[(&str, &str)]) -> PieceForm {
        let sent = pairs.iter().map(|(k, v)| ((*k).to_owned(), (*v).to_owned())).collect();
        PieceForm::typed(Kind::Eyepiece, &sent)
    }

    const WIDE: [(&str, &str); 4] = [
        ("asset_tag", "E-7"),
        ("name", "25 mm"),
        ("focal_length_mm", "25,5"),
        ("barrel_mm", "31.75"),
    ];

    #[test]
    fn what_is_shown_again_reads_as_the_same() {
        let draft = typed(&WIDE).draft::<Eyepiece>(ItemState::InRepair).unwrap();
        assert_eq!(draft.facts.state, ItemState::InRepair);
        let record = Record {
            id: crate::shelf::ItemId(1),
            version: 1,
            facts: draft.facts.clone(),
            figures: draft.figures,
        };
        let mut again = PieceForm::of(&record);
        assert_eq!(again.text("focal_length_mm"), "25.5");
        assert_eq!(again.draft::<Eyepiece>(ItemState::InRepair), Some(draft));
    }

    #[test]
    fn everything_wrong_is_said_beside_its_entry() {
        let mut form = typed(&[
            ("asset_tag", "E 7"),
            ("name", ""),
            ("focal_length_mm", "1 inch"),
            ("field_stop_mm", "40"),
            ("barrel_mm", "camel"),
        ]);
        assert!(form.draft::<Eyepiece>(ItemState::InService).is_none());
        let wrong: Vec<String> = form.slips().into_iter().map(|slip| slip.field).collect();
        assert_eq!(wrong, ["asset_tag", "name", "focal_length_mm"]);
        assert_eq!(form.text("barrel_mm"), "", "a word that is not offered is not taken");
        assert!(form.slips()[2].text.contains("25.4"));
    }

    #[test]
    fn two_who_change_one_piece_lose_nothing() {
        let mut now = typed(&WIDE);
        now.put("name", "25 mm, blue");
        now.put("apparent_field_deg", "60");
        let change = |field: &str, before: Option<&str>, after: &str| Change {
            version: 2,
            field: field.into(),
            before: before.map(Into::into),
            after: Some(after.into()),
            at: 0,
            by: None,
        };
        let changes = [
            change("apparent_field_deg", None, "60"),
            change("name", Some("25 mm"), "25 mm, blue"),
        ];
        let mut mine = typed(&WIDE);
        mine.put("apparent_field_deg", "52");
        mine.put("mass_g", "120");
        let crossings = mine.meet(&now, &changes);
        assert_eq!(crossings.len(), 2);
        assert_eq!(crossings[0].typed, None);
        assert_eq!(mine.text("name"), "25 mm, blue", "not touched here: takes the new value");
        assert_eq!(crossings[1].typed.as_deref(), Some("52°"));
        assert_eq!(crossings[1].was, "nothing");
        assert_eq!((mine.text("apparent_field_deg"), mine.text("mass_g")), ("52", "120"));
    }
}
