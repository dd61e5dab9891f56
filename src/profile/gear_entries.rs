//! What the form of a thing of one's own asks, entry by entry.

use super::gear::GearKind;
use crate::web::field::{Choice, Field};

/// One thing that the form asks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Entry {
    /// A text or a number.
    Text {
        /// Its name in the form.
        id: &'static str,
        /// What the reader sees.
        label: &'static str,
        /// A hint; may be empty.
        hint: &'static str,
        /// The keyboard that suits, `decimal` or empty.
        mode: &'static str,
        /// What was typed.
        field: Field,
    },
    /// One of several words.
    Pick {
        /// Its name in the form.
        id: &'static str,
        /// What the reader sees.
        label: &'static str,
        /// What there is to choose from.
        options: Vec<Choice>,
        /// What was chosen.
        chosen: String,
        /// The words for no answer; empty where one is needed.
        none: &'static str,
    },
}

impl Entry {
    pub(super) fn id(&self) -> &'static str {
        match self {
            Self::Text { id, .. } | Self::Pick { id, .. } => id,
        }
    }

    pub(super) fn told(&self) -> (&'static str, String) {
        match self {
            Self::Text { label, field, .. } => (label, field.value.trim().to_owned()),
            Self::Pick { label, options, chosen, none, .. } => {
                let option = options.iter().find(|option| option.value == *chosen);
                (label, option.map_or_else(|| (*none).to_owned(), |option| option.label.clone()))
            }
        }
    }
}

fn text(id: &'static str, label: &'static str, hint: &'static str) -> Entry {
    Entry::Text { id, label, hint, mode: "decimal", field: Field::default() }
}

fn pick(
    id: &'static str,
    label: &'static str,
    options: &[(&str, &str)],
    none: &'static str,
) -> Entry {
    let options = options.iter().map(|(value, label)| Choice::new(*value, *label)).collect();
    Entry::Pick { id, label, options, chosen: String::new(), none }
}

pub(super) const BARRELS: [(&str, &str); 3] = [
    ("31.75", "31.75 mm (1¼ inch)"),
    ("50.8", "50.8 mm (2 inch)"),
    ("24.5", "24.5 mm, an old one"),
];

pub(super) const LAYOUTS: [(&str, &str); 5] = [
    ("refractor", "Lenses only"),
    ("newtonian", "A mirror and a small flat one"),
    ("schmidt_cassegrain", "Folded, with a thin corrector plate"),
    ("maksutov_cassegrain", "Folded, with a deep meniscus lens"),
    ("other", "Another design"),
];

pub(super) const CLASSES: [(&str, &str); 4] = [
    ("two_lens", "Two lenses"),
    ("three_element", "Three lenses"),
    ("four_element", "Four lenses"),
    ("wide_field", "More, for a wide field"),
];

const TRACKING: [(&str, &str); 2] =
    [("yes", "It follows the sky"), ("no", "It stands still, and I nudge it")];

const NOT_KNOWN: &str = "I don't know";

/// Everything that the form of this kind asks, with nothing typed.
pub(super) fn entries(kind: GearKind) -> Vec<Entry> {
    let name = |hint| Entry::Text {
        id: "name",
        label: "What you call it",
        hint,
        mode: "",
        field: Field::default(),
    };
    match kind {
        GearKind::Telescope => vec![
            name("“My 130 mm table-top”, say."),
            pick("layout", "How it is built", &LAYOUTS, NOT_KNOWN),
            text(
                "aperture_mm",
                "Aperture, mm",
                "The clear diameter of the front lens or the main mirror.",
            ),
            text("focal_length_mm", "Focal length, mm", "It stands on the tube, often as F or f."),
            pick("focuser_barrel_mm", "The widest eyepiece it takes", &BARRELS, NOT_KNOWN),
            text(
                "central_obstruction_mm",
                "Central obstruction, mm",
                "The diameter of the secondary mirror with its holder. Empty if you don't know.",
            ),
            pick("tracking", "The mount", &TRACKING, NOT_KNOWN),
            text(
                "focuser_travel_mm",
                "Focuser travel, mm",
                "How far it still moves inward from where a normal eye focuses.",
            ),
            text("balance_limit_g", "Heaviest eyepiece it balances, g", ""),
        ],
        GearKind::Eyepiece => vec![
            name("“25 mm from the first telescope”, say."),
            text("focal_length_mm", "Focal length, mm", "The number on its side."),
            pick("barrel_mm", "Barrel", &BARRELS, NOT_KNOWN),
            text(
                "apparent_field_deg",
                "Apparent field, degrees",
                "How wide the circle looks; common ones are 40 to 82.",
            ),
            text("eye_relief_mm", "Eye relief, mm", "As the maker states it."),
            text(
                "usable_eye_relief_mm",
                "Eye relief as measured, mm",
                "From the rim that your eye meets. Counts before the maker's figure.",
            ),
            pick("optical_class", "How it is built", &CLASSES, NOT_KNOWN),
            text(
                "field_stop_mm",
                "Field stop, mm",
                "The ring that bounds the field, if you know it.",
            ),
            text("mass_g", "Mass, g", ""),
        ],
    }
}
