//! What the form of each kind asks, column by column, and what the columns are called on pages.

use super::item::Kind;

/// How an entry is filled in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum By {
    /// A few words.
    Words,
    /// Some lines of text.
    Lines,
    /// A number.
    Number,
    /// A date.
    Date,
    /// One of these: word in the table, words on the page; and the words for none of them, empty
    /// where one is needed.
    Pick(&'static [(&'static str, &'static str)], &'static str),
}

/// One entry of a form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Asked {
    /// The column of the kind's table.
    pub column: &'static str,
    /// What the reader sees, without its unit.
    pub label: &'static str,
    /// A hint; may be empty.
    pub hint: &'static str,
    /// How it is filled in.
    pub by: By,
    /// Whether it stands at the top, or folded away with the rest.
    pub first: bool,
}

impl Asked {
    /// The unit that ends the column's name.
    pub fn unit(&self) -> &'static str {
        match self.column.rsplit('_').next() {
            Some("mm") => "mm",
            Some("g") => "g",
            Some("deg") => "degrees",
            Some("wh") => "Wh",
            _ => "",
        }
    }

    /// The label with its unit.
    pub fn full_label(&self) -> String {
        match self.unit() {
            "" => self.label.to_owned(),
            unit => format!("{}, {unit}", self.label),
        }
    }
}

const fn first(column: &'static str, label: &'static str, hint: &'static str, by: By) -> Asked {
    Asked { column, label, hint, by, first: true }
}

const fn more(column: &'static str, label: &'static str, hint: &'static str, by: By) -> Asked {
    Asked { column, label, hint, by, first: false }
}

const BARRELS: By = By::Pick(
    &[
        ("31.75", "31.75 mm (1¼ inch)"),
        ("50.8", "50.8 mm (2 inch)"),
        ("24.5", "24.5 mm, an old one"),
    ],
    "Not known",
);
const YES_NO: By = By::Pick(&[("yes", "Yes"), ("no", "No")], "Not known");

const TAG: Asked =
    first("asset_tag", "Tag", "The code on its label; the next free one is filled in.", By::Words);
const NAME: Asked = first("name", "Name", "What the club calls it.", By::Words);
const MASS: Asked = more("mass_g", "Mass", "", By::Number);
const YEAR: Asked = more("acquired_year", "Year it came to the club", "", By::Number);
const NOTES: Asked =
    more("notes", "Notes", "Anything that whoever fetches it should know.", By::Lines);

const TELESCOPE: &[Asked] = &[
    TAG,
    NAME,
    first(
        "aperture_mm",
        "Aperture",
        "The clear diameter of the front lens or the main mirror.",
        By::Number,
    ),
    first("focal_length_mm", "Focal length", "It stands on the tube, often as F or f.", By::Number),
    first("focuser_barrel_mm", "Widest barrel the focuser takes", "", BARRELS),
    first(
        "heaviest_part_mass_g",
        "Heaviest part",
        "What has to be lifted in one piece.",
        By::Number,
    ),
    more(
        "layout",
        "How it is built",
        "",
        By::Pick(
            &[
                ("refractor", "Refractor: lenses only"),
                ("newtonian", "Newtonian: a mirror and a small flat one"),
                ("schmidt_cassegrain", "Schmidt-Cassegrain: folded, thin corrector plate"),
                ("maksutov_cassegrain", "Maksutov-Cassegrain: folded, deep meniscus lens"),
                ("other", "Another design"),
                ("unknown", "Not known"),
            ],
            "",
        ),
    ),
    more(
        "central_obstruction_mm",
        "Central obstruction",
        "Diameter of the secondary mirror with its holder; nothing for a refractor.",
        By::Number,
    ),
    more(
        "tube_outer_diameter_mm",
        "Tube, outer diameter",
        "Measured at the front, where a solar filter goes over it.",
        By::Number,
    ),
    more(
        "focuser_travel_mm",
        "Focuser travel",
        "How far it moves inward from where a normal eye focuses.",
        By::Number,
    ),
    more("balance_limit_g", "Heaviest eyepiece it balances", "", By::Number),
    more(
        "mount",
        "Mount",
        "",
        By::Pick(
            &[
                ("dobsonian", "A rocker on the ground"),
                ("tabletop", "A small rocker for a table"),
                ("altazimuth", "Up-down and left-right, on a tripod"),
                ("equatorial", "Equatorial"),
            ],
            "Not known",
        ),
    ),
    more("tracking", "Follows the sky by itself", "", YES_NO),
    more("total_mass_g", "Everything together", "", By::Number),
    more(
        "eyepiece_height_min_mm",
        "Eyepiece, lowest height",
        "Above the ground, looking low.",
        By::Number,
    ),
    more(
        "eyepiece_height_max_mm",
        "Eyepiece, greatest height",
        "Above the ground, looking straight up.",
        By::Number,
    ),
    more("helpers", "People needed besides the borrower", "", By::Number),
    YEAR,
    NOTES,
];

const EYEPIECE: &[Asked] = &[
    TAG,
    NAME,
    first("focal_length_mm", "Focal length", "The number on its side.", By::Number),
    first("barrel_mm", "Barrel", "", BARRELS),
    first(
        "apparent_field_deg",
        "Apparent field",
        "How wide the circle looks; 40 to 100.",
        By::Number,
    ),
    first("eye_relief_mm", "Eye relief", "As its maker states it.", By::Number),
    more(
        "usable_eye_relief_mm",
        "Eye relief as measured",
        "From the rim that the eye meets; counts before the maker's.",
        By::Number,
    ),
    more(
        "field_stop_mm",
        "Field stop",
        "Diameter of the ring that bounds the field; counts before the apparent field.",
        By::Number,
    ),
    more(
        "optical_class",
        "How it is built",
        "",
        By::Pick(
            &[
                ("two_lens", "Two lenses"),
                ("three_element", "Three lenses"),
                ("four_element", "Four lenses"),
                ("wide_field", "More, for a wide field"),
            ],
            "Not known",
        ),
    ),
    MASS,
    YEAR,
    NOTES,
];

const BARLOW: &[Asked] = &[
    TAG,
    NAME,
    first("factor", "Factor", "How many times it lengthens the focal length: 2, say.", By::Number),
    first("barrel_mm", "Barrel", "", BARRELS),
    more(
        "kind",
        "How it is built",
        "",
        By::Pick(&[("plain", "Plain"), ("telecentric", "Telecentric")], "Not known"),
    ),
    MASS,
    YEAR,
    NOTES,
];

const FILTER: &[Asked] = &[
    TAG,
    NAME,
    first(
        "kind",
        "What it is for",
        "",
        By::Pick(
            &[
                ("solar_full_aperture", "The Sun: goes over the front of the telescope"),
                ("moon", "Dims the Moon"),
                ("nebula", "Lets through the light of nebulae"),
                ("colour", "Coloured glass for planets"),
                ("polarising", "Turns to dim"),
            ],
            "Choose one",
        ),
    ),
    first(
        "barrel_mm",
        "Barrel",
        "Never one for the Sun: at the eyepiece it can burst in the heat.",
        BARRELS,
    ),
    first(
        "fits_telescope",
        "Tag of the telescope it was made for",
        "Of a solar filter: the one it was tried on.",
        By::Words,
    ),
    first(
        "last_light_test",
        "Last light test",
        "Of a solar filter: held before a bright lamp, no pinhole seen. Year, month and day.",
        By::Date,
    ),
    more("fits_outer_diameter_min_mm", "Narrowest tube it goes over", "", By::Number),
    more("fits_outer_diameter_max_mm", "Widest tube it goes over", "", By::Number),
    more("damaged", "Damaged", "", By::Pick(&[("no", "No"), ("yes", "Yes")], "")),
    MASS,
    YEAR,
    NOTES,
];

const ACCESSORY: &[Asked] = &[
    TAG,
    NAME,
    first(
        "kind",
        "What it is",
        "",
        By::Pick(
            &[
                ("diagonal", "A diagonal"),
                ("coma_corrector", "A coma corrector"),
                ("power_pack", "A power pack"),
                ("case", "A case"),
                ("finder", "A finder"),
                ("other", "Something else"),
            ],
            "Choose one",
        ),
    ),
    first("barrel_mm", "Barrel", "What goes into the focuser, if anything does.", BARRELS),
    more(
        "light_path_mm",
        "Light path",
        "Of a diagonal: how far the light travels in it.",
        By::Number,
    ),
    more(
        "factor",
        "Factor",
        "Of a coma corrector: 1.15, say; 1 if it changes nothing.",
        By::Number,
    ),
    more("capacity_wh", "Capacity", "Of a power pack; volts times ampere-hours.", By::Number),
    MASS,
    YEAR,
    NOTES,
];

/// What the papers of every kind ask.
pub(super) const PAPERS: &[Asked] = &[
    first("place", "Where it lives", "Cupboard, board, box.", By::Words),
    first("owner", "Belongs to", "", By::Pick(&[], "The club")),
    first(
        "value",
        "Value",
        "What it would cost to have it again, in the club's money.",
        By::Number,
    ),
    first("custodian", "Kept at home by", "", By::Pick(&[], "Nobody: it lives in the store")),
    more("donor", "Given by", "", By::Words),
    more("serial", "Serial number", "", By::Words),
    more("bought_on", "Bought on", "Year, month and day.", By::Date),
];

/// What is asked of a telescope besides.
pub(super) const SET: &[Asked] = &[first(
    "set",
    "What always leaves with it",
    "One thing a line: finder, dust caps, collimation cap. It becomes the check-list at hand-over and return.",
    By::Lines,
)];

/// Everything that the form of this kind asks: all columns of its table but the state, which has
/// a way of its own.
pub fn asked(kind: Kind) -> &'static [Asked] {
    match kind {
        Kind::Telescope => TELESCOPE,
        Kind::Eyepiece => EYEPIECE,
        Kind::Barlow => BARLOW,
        Kind::Filter => FILTER,
        Kind::Accessory => ACCESSORY,
    }
}

/// What a column is called on pages.
pub fn label(kind: Kind, column: &str) -> String {
    if column == "state" {
        return "Condition".to_owned();
    }
    let found = asked(kind).iter().chain(PAPERS).chain(SET).find(|one| one.column == column);
    found.map_or_else(|| column.replace('_', " "), |one| one.label.to_owned())
}

/// A column's value as a page shows it: `25 mm` for `25`, words for words.
pub fn shown(kind: Kind, column: &str, value: &str) -> String {
    use crate::shelf::ItemState;
    use crate::web::format;
    if column == "state" {
        let state = ItemState::parse(value);
        return state.map_or_else(|| value.to_owned(), |state| state.words().to_owned());
    }
    if matches!(column, "owner" | "custodian") {
        return "a member".to_owned();
    }
    let Some(one) = asked(kind).iter().find(|one| one.column == column) else {
        return value.to_owned();
    };
    if let By::Pick(words, _) = one.by {
        let word = words.iter().find(|(word, _)| *word == value);
        return word.map_or(value, |(_, label)| *label).to_owned();
    }
    if (column, value) == ("helpers", "0") {
        return "Nobody".to_owned();
    }
    match (one.unit(), value.parse::<f64>()) {
        ("mm", Ok(mm)) => format::millimetres(mm),
        ("g", Ok(grams)) => format::mass(grams),
        ("Wh", Ok(hours)) => format!("{hours} Wh"),
        ("degrees", Ok(degrees)) => format::field(degrees),
        _ => value.to_owned(),
    }
}

#[cfg(test)]
#[path = "asked_tests.rs"]
mod tests;
