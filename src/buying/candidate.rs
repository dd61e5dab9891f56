//! Something the club could buy, in its own words.

use std::fmt;
use std::io::Write;

use crate::kit::purchase::Glassware;
use crate::optics::{
    ApparentField, Barlow, BarlowKind, Barrel, ComaCorrector, CorrectorFactor, EyeRelief, Eyepiece,
    FieldStop, Mass, OpticalClass,
};
use crate::sheet::{Cell, Cells, Columns, Lined, Name, Refused, Sheet, SheetWriter, read_one};
use crate::shelf::{Tabular, Worth};
use crate::web::format;

/// New or used.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Condition {
    /// New.
    New,
    /// Used.
    Used,
}

impl Condition {
    /// Both.
    pub const ALL: [Self; 2] = [Self::New, Self::Used];

    /// The word in tables.
    #[must_use]
    pub fn as_str(self) -> &'static str {
        match self {
            Self::New => "new",
            Self::Used => "used",
        }
    }

    /// Reads the word.
    #[must_use]
    pub fn parse(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|one| one.as_str() == word)
    }
}

/// How many one would buy at most.
pub const MOST_OF_ONE: i64 = 9;

/// The most candidates on the list.
pub const MOST_CANDIDATES: usize = 400;

/// Something for sale.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// What the club calls it; each name once.
    pub name: Name,
    /// Its figures.
    pub glass: Glassware,
    /// What one costs.
    pub price: Worth,
    /// New or used, where it is said.
    pub condition: Option<Condition>,
    /// How many one would buy at most, 1 to 9.
    pub most: u8,
}

/// The columns of the table of candidates.
pub const COLUMNS: &[&str] = &[
    "name",
    "piece",
    "price",
    "condition",
    "most",
    "focal_length_mm",
    "apparent_field_deg",
    "field_stop_mm",
    "eye_relief_mm",
    "barrel_mm",
    "optical_class",
    "mass_g",
    "factor",
    "kind",
];

/// What a candidate can be, as tables say it.
pub const PIECES: [&str; 3] = ["eyepiece", "barlow", "corrector"];

/// Columns that only an eyepiece has.
const OF_EYEPIECES: [&str; 5] =
    ["focal_length_mm", "apparent_field_deg", "field_stop_mm", "eye_relief_mm", "optical_class"];

struct NotSoMany;

impl fmt::Display for NotSoMany {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "This must be a whole number from 1 to {MOST_OF_ONE}.")
    }
}

fn read(cells: &mut Cells<'_>) -> Option<Candidate> {
    let name = cells.needed("name", Name::new);
    let price = cells.needed("price", Worth::parse);
    let condition = cells.word("condition", &["new", "used"], Condition::parse);
    let most = cells.whole("most", |number| {
        let fits = (1..=MOST_OF_ONE).contains(&number);
        u8::try_from(number).ok().filter(|_| fits).ok_or(NotSoMany)
    });
    let word = |word: &str| PIECES.into_iter().find(|one| *one == word);
    let piece = cells.needed_word("piece", &PIECES, word)?;
    let other: &[&'static str] = match piece {
        "eyepiece" => &["factor", "kind"],
        "barlow" => &OF_EYEPIECES,
        _ => &[&OF_EYEPIECES[..], &["kind"]].concat(),
    };
    let mut clean = true;
    for column in other {
        if !cells.text(column).is_empty() {
            cells.fault(Some(column), "This belongs to another kind of piece: leave it empty.");
            clean = false;
        }
    }
    let glass = match piece {
        "eyepiece" => Glassware::Eyepiece(<Eyepiece as Tabular>::read(cells)?),
        "barlow" => Glassware::Barlow(<Barlow as Tabular>::read(cells)?),
        _ => Glassware::Corrector(corrector(cells)?),
    };
    let price = price?;
    clean.then_some(Candidate { name: name?, glass, price, condition, most: most.unwrap_or(1) })
}

/// A corrector without its width or factor would fit nowhere, so both are needed.
fn corrector(cells: &mut Cells<'_>) -> Option<ComaCorrector> {
    let factor = cells.needed_number("factor", CorrectorFactor::new);
    let barrel = cells.needed_number("barrel_mm", Barrel::try_from);
    let mass = cells.number("mass_g", Mass::new);
    Some(ComaCorrector { factor: Some(factor?), barrel: Some(barrel?), mass })
}

/// Reads a table of candidates.
///
/// # Errors
/// [`Refused`] with every bad cell.
pub fn read_table(bytes: &[u8]) -> Result<Vec<Lined<Candidate>>, Refused> {
    Sheet::take_apart(bytes, Columns::all(COLUMNS))?.rows(read)
}

/// Reads one candidate from its cells, in the order of [`COLUMNS`].
///
/// # Errors
/// [`Refused`] with every bad cell.
pub fn read_cells(texts: Vec<String>) -> Result<Candidate, Refused> {
    read_one(COLUMNS, texts, read)
}

/// Writes the table.
///
/// # Errors
/// The output refused.
pub fn write_table<'a>(
    output: impl Write,
    candidates: impl Iterator<Item = &'a Candidate>,
) -> std::io::Result<()> {
    let mut sheet = SheetWriter::new(output, COLUMNS.iter().copied())?;
    for candidate in candidates {
        let texts = candidate.texts();
        sheet.row(texts.iter().map(|text| Cell::Text(text)))?;
    }
    sheet.finish()
}

fn number(value: Option<f64>) -> String {
    value.map_or_else(String::new, |value| value.to_string())
}

impl Candidate {
    /// Its cells as they would be typed, in the order of [`COLUMNS`].
    #[must_use]
    pub fn texts(&self) -> Vec<String> {
        let mut cells = vec![
            self.name.to_string(),
            String::new(),
            self.price.to_string(),
            self.condition.map_or_else(String::new, |one| one.as_str().to_owned()),
            self.most.to_string(),
        ];
        match self.glass {
            Glassware::Eyepiece(one) => {
                "eyepiece".clone_into(&mut cells[1]);
                cells.extend([
                    number(Some(one.focal_length().mm())),
                    number(one.apparent_field().map(ApparentField::deg)),
                    number(one.field_stop().map(FieldStop::mm)),
                    number(one.relief().map(EyeRelief::mm)),
                    number(one.barrel().map(Barrel::mm)),
                    one.class().map_or_else(String::new, |class| class.as_str().to_owned()),
                    number(one.mass().map(Mass::g)),
                    String::new(),
                    String::new(),
                ]);
            }
            Glassware::Barlow(one) => {
                "barlow".clone_into(&mut cells[1]);
                cells.extend(std::iter::repeat_n(String::new(), 4));
                cells.extend([
                    number(one.barrel.map(Barrel::mm)),
                    String::new(),
                    number(one.mass.map(Mass::g)),
                    number(Some(one.factor.times())),
                    one.kind.map_or_else(String::new, |kind| kind.as_str().to_owned()),
                ]);
            }
            Glassware::Corrector(one) => {
                "corrector".clone_into(&mut cells[1]);
                cells.extend(std::iter::repeat_n(String::new(), 4));
                cells.extend([
                    number(one.barrel.map(Barrel::mm)),
                    String::new(),
                    number(one.mass.map(Mass::g)),
                    number(one.factor.map(CorrectorFactor::times)),
                    String::new(),
                ]);
            }
        }
        cells
    }

    /// What it is, in figures a person reads.
    #[must_use]
    pub fn in_words(&self) -> String {
        glass_in_words(&self.glass)
    }
}

/// The figures of a piece, in words.
#[must_use]
pub fn glass_in_words(glass: &Glassware) -> String {
    let mut parts = Vec::new();
    match glass {
        Glassware::Eyepiece(one) => {
            parts.push(format::millimetres(one.focal_length().mm()));
            parts.extend(one.apparent_field().map(|a| format!("{:.0}° field", a.deg())));
            parts.extend(
                one.relief().map(|r| format!("{} eye relief", format::millimetres(r.mm()))),
            );
            parts.extend(one.barrel().map(|b| format!("{}\u{a0}mm barrel", b.mm())));
            if one.class() == Some(OpticalClass::TwoLens) {
                parts.push("two lenses".into());
            }
        }
        Glassware::Barlow(one) => {
            parts.push(format!("{} Barlow", format::factor(one.factor.times())));
            if one.kind == Some(BarlowKind::Telecentric) {
                parts.push("telecentric".into());
            }
            parts.extend(one.barrel.map(|b| format!("{}\u{a0}mm barrel", b.mm())));
        }
        Glassware::Corrector(one) => {
            let factor = one.factor.map_or(1.0, CorrectorFactor::times);
            parts.push(format!("{} coma corrector", format::factor(factor)));
            parts.extend(one.barrel.map(|b| format!("{}\u{a0}mm barrel", b.mm())));
        }
    }
    parts.join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    const TABLE: &str = "name,piece,price,condition,most,focal_length_mm,apparent_field_deg,field_stop_mm,eye_relief_mm,barrel_mm,optical_class,mass_g,factor,kind\n\
        \"7 mm, long relief\",eyepiece,119.50,used,2,7,65,,20,31.75,wide_field,210,,\n\
        2× telecentric,barlow,90,new,,,,,,31.75,,150,2,telecentric\n\
        A corrector,corrector,120,used,,,,,,50.8,,430,1.15,\n";

    #[test]
    fn a_table_is_written_as_it_was_read() {
        let rows: Vec<Candidate> =
            read_table(TABLE.as_bytes()).unwrap().into_iter().map(|row| row.value).collect();
        assert_eq!(rows[0].price.cents(), 11_950);
        assert_eq!(rows[1].most, 1);
        assert_eq!(rows[2].in_words(), "1.15× coma corrector, 50.8\u{a0}mm barrel");
        let mut bytes = Vec::new();
        write_table(&mut bytes, rows.iter()).unwrap();
        let again = read_table(&bytes).unwrap();
        assert_eq!(again.into_iter().map(|row| row.value).collect::<Vec<_>>(), rows);
        assert_eq!(
            rows[0].in_words(),
            "7\u{a0}mm, 65° field, 20\u{a0}mm eye relief, 31.75\u{a0}mm barrel"
        );
    }

    #[test]
    fn every_bad_cell_is_named() {
        let bad = TABLE.replace("119.50", "much").replace(",2,telecentric", ",2,plainer");
        let refused = read_table(bad.as_bytes()).unwrap_err();
        let columns: Vec<_> = refused.faults.iter().map(|fault| fault.column).collect();
        assert_eq!(columns, [Some("price"), Some("kind")]);
        let narrow = "A corrector,corrector,120,,,,,,,,,430,1.15,plain\n";
        let refused = read_table(format!("{TABLE}{narrow}").as_bytes()).unwrap_err();
        assert_eq!(refused.faults[0].column, Some("kind"));
        let narrow = narrow.replace(",plain", ",");
        let refused = read_table(format!("{TABLE}{narrow}").as_bytes()).unwrap_err();
        assert_eq!(refused.faults[0].column, Some("barrel_mm"), "its width is needed");
        let mixed = TABLE.replace("90,new,,,", "90,new,,12,");
        let refused = read_table(mixed.as_bytes()).unwrap_err();
        assert_eq!(refused.faults[0].column, Some("focal_length_mm"));
    }
}
