//! What a table of candidates would do to the list, cell by cell.

use super::candidate::{COLUMNS, Candidate};
use super::candidate_store::{Kept, same_name};
use crate::sheet::{Lined, Preview, Would};

/// Compares the rows with the list. Every cell that differs is named, so that two previews are alike
/// only where they would store the same.
pub(super) fn preview(there: &[Kept], rows: &[Lined<Candidate>]) -> Preview {
    let mut preview = Preview::default();
    let mut named = 0;
    for Lined { line, value } in rows {
        let would = |changes| Would { line: *line, what: value.name.to_string(), changes };
        let Some(kept) = there.iter().find(|kept| same_name(&kept.candidate, value)) else {
            preview.added.push(would(vec![filled(value)]));
            continue;
        };
        named += 1;
        if kept.candidate == *value {
            preview.unchanged += 1;
        } else {
            preview.changed.push(would(differences(&kept.candidate, value)));
        }
    }
    preview.unnamed = there.len().saturating_sub(named);
    preview
}

/// What stands in the cells, but for the name.
fn filled(one: &Candidate) -> String {
    let texts = one.texts();
    let cells = COLUMNS
        .iter()
        .zip(&texts)
        .filter(|(column, text)| **column != "name" && !text.is_empty())
        .map(|(column, text)| format!("{}: {}", label(column), shown(column, text)));
    cells.collect::<Vec<_>>().join("; ")
}

fn differences(before: &Candidate, after: &Candidate) -> Vec<String> {
    let (before, after) = (before.texts(), after.texts());
    let pairs = COLUMNS.iter().zip(before.iter().zip(&after));
    pairs
        .filter(|(_, (before, after))| before != after)
        .map(|(column, (before, after))| {
            let (before, after) = (shown(column, before), shown(column, after));
            format!("{}: {before} becomes {after}", label(column))
        })
        .collect()
}

/// What a column is called on the page.
fn label(column: &str) -> &str {
    match column {
        "name" => "Name",
        "piece" => "Piece",
        "price" => "Price",
        "condition" => "Condition",
        "most" => "How many at most",
        "focal_length_mm" => "Focal length",
        "apparent_field_deg" => "Apparent field",
        "field_stop_mm" => "Field stop",
        "eye_relief_mm" => "Eye relief",
        "barrel_mm" => "Barrel",
        "optical_class" => "How it is built",
        "mass_g" => "Mass",
        "factor" => "Factor",
        "kind" => "Kind of Barlow",
        other => other,
    }
}

/// A cell with its unit, and not rounded: what differs must look different.
fn shown(column: &str, text: &str) -> String {
    if text.is_empty() {
        return "nothing".to_owned();
    }
    match (column, column.rsplit('_').next()) {
        ("name" | "price", _) => text.to_owned(),
        ("piece", _) if text == "barlow" => "Barlow".to_owned(),
        ("piece", _) if text == "corrector" => "coma corrector".to_owned(),
        ("factor", _) => format!("{text}×"),
        (_, Some("mm")) => format!("{text}\u{a0}mm"),
        (_, Some("g")) => format!("{text}\u{a0}g"),
        (_, Some("deg")) => format!("{text}°"),
        _ => text.replace('_', " "),
    }
}

#[cfg(test)]
mod tests {
    use super::super::candidate::read_table;
    use super::*;

    fn rows(cells: &str) -> Vec<Lined<Candidate>> {
        read_table(format!("{}\n{cells}\n", COLUMNS.join(",")).as_bytes()).unwrap()
    }

    const EYEPIECE: &str = "7 mm,eyepiece,119.50,new,1,7,65,,20,31.75,wide_field,210,,";
    const BARLOW: &str = "2x,barlow,60,,1,,,,,31.75,,150,2,plain";
    const CORRECTOR: &str = "Corrector,corrector,110,,1,,,,,50.8,,380,1.1,";

    fn list() -> Vec<Kept> {
        let rows = rows(&[EYEPIECE, BARLOW, CORRECTOR].join("\n"));
        (1..).zip(rows).map(|(id, row)| Kept { id, candidate: row.value }).collect()
    }

    #[test]
    fn every_cell_that_differs_is_named_and_no_other() {
        for (row, cell, other, says) in [
            (EYEPIECE, "7 mm,", "7 MM,", "Name: 7 mm becomes 7 MM"),
            (EYEPIECE, "119.50", "100", "Price: 119.50 becomes 100"),
            (EYEPIECE, "new", "used", "Condition: new becomes used"),
            (EYEPIECE, "new,1", "new,3", "How many at most: 1 becomes 3"),
            (EYEPIECE, ",7,65", ",7.001,65", "Focal length: 7\u{a0}mm becomes 7.001\u{a0}mm"),
            (EYEPIECE, "65", "65.2", "Apparent field: 65° becomes 65.2°"),
            (EYEPIECE, "65,,", "65,7.5,", "Field stop: nothing becomes 7.5\u{a0}mm"),
            (EYEPIECE, ",20,", ",,", "Eye relief: 20\u{a0}mm becomes nothing"),
            (EYEPIECE, "31.75", "50.8", "Barrel: 31.75\u{a0}mm becomes 50.8\u{a0}mm"),
            (EYEPIECE, "wide_field", "two_lens", "How it is built: wide field becomes two lens"),
            (EYEPIECE, "210", "211", "Mass: 210\u{a0}g becomes 211\u{a0}g"),
            (BARLOW, "150,2,", "150,2.5,", "Factor: 2× becomes 2.5×"),
            (BARLOW, "plain", "telecentric", "Kind of Barlow: plain becomes telecentric"),
        ] {
            let preview = preview(&list(), &rows(&row.replacen(cell, other, 1)));
            let told: Vec<_> = preview.changed.iter().map(|one| one.changes.clone()).collect();
            assert_eq!(told, [[says.to_owned()]], "{other}");
            assert_eq!((preview.unnamed, preview.unchanged), (2, 0), "{other}");
        }
        let same = preview(&list(), &rows(BARLOW));
        assert!(same.does_nothing() && same.unchanged == 1, "{same:?}");
    }

    #[test]
    fn another_kind_of_piece_is_told_with_all_that_it_brings() {
        let other = CORRECTOR.replacen("Corrector", "2x", 1);
        let preview = preview(&list(), &rows(&other));
        let told = [
            "Piece: Barlow becomes coma corrector",
            "Price: 60 becomes 110",
            "Barrel: 31.75\u{a0}mm becomes 50.8\u{a0}mm",
            "Mass: 150\u{a0}g becomes 380\u{a0}g",
            "Factor: 2× becomes 1.1×",
            "Kind of Barlow: plain becomes nothing",
        ];
        assert_eq!(preview.changed[0].changes, told);
    }

    #[test]
    fn something_new_is_told_with_every_cell_that_is_filled() {
        let preview = preview(&[], &rows(BARLOW));
        let told = "Piece: Barlow; Price: 60; How many at most: 1; Barrel: 31.75\u{a0}mm; \
                    Mass: 150\u{a0}g; Factor: 2×; Kind of Barlow: plain";
        assert_eq!(preview.added[0].changes, [told]);
    }
}
