//! Reading the demo club's files, cell by cell.

use std::{collections::BTreeMap, path::Path};

/// One row: its place in the file and its cells by column.
#[derive(Clone)]
pub struct Row {
    place: String,
    cells: BTreeMap<&'static str, String>,
}

impl Row {
    /// The cell; empty when nothing is written there.
    pub fn text(&self, column: &str) -> &str {
        self.cells.get(column).unwrap_or_else(|| panic!("{}: no column {column}", self.place))
    }

    /// The number in the cell, none when it is empty.
    pub fn number(&self, column: &str) -> Option<f64> {
        let text = self.text(column);
        (!text.is_empty()).then(|| {
            text.parse().unwrap_or_else(|_| panic!("{}: {column} is no number: {text}", self.place))
        })
    }

    /// The date in the cell, none when it is empty.
    pub fn date(&self, column: &str) -> Option<jiff::civil::Date> {
        let text = self.text(column);
        (!text.is_empty()).then(|| {
            text.parse().unwrap_or_else(|_| panic!("{}: {column} is no date: {text}", self.place))
        })
    }

    /// Every cell with its column.
    pub fn cells(&self) -> impl Iterator<Item = (&'static str, &str)> {
        self.cells.iter().map(|(column, text)| (*column, text.as_str()))
    }

    /// Where the row stands, followed by what is wrong with it.
    pub fn fault(&self, what: impl std::fmt::Display) -> String {
        format!("{}: {what}", self.place)
    }

    /// Writes another text into a cell.
    pub fn spoil(&mut self, column: &'static str, text: &str) {
        assert!(self.cells.insert(column, text.to_owned()).is_some(), "no column {column}");
    }

    /// A fault unless the number, if there is one, lies in the range.
    pub fn outside(&self, column: &str, range: std::ops::RangeInclusive<f64>) -> Option<String> {
        let number = self.number(column)?;
        (!range.contains(&number))
            .then(|| self.fault(format_args!("{column} {number} is outside {range:?}")))
    }

    /// A fault unless the cell holds one of the words.
    pub fn other_than(&self, column: &str, words: &[&str]) -> Option<String> {
        let text = self.text(column);
        (!words.contains(&text))
            .then(|| self.fault(format_args!("{column} is {text:?}, not one of {words:?}")))
    }

    /// Whether the thing can be lent at all.
    pub fn in_service(&self) -> bool {
        self.text("state") == "in_service"
    }
}

/// The whole club as it is written down.
#[derive(Clone)]
pub struct Club {
    pub telescopes: Vec<Row>,
    pub eyepieces: Vec<Row>,
    pub barlows: Vec<Row>,
    pub filters: Vec<Row>,
    pub accessories: Vec<Row>,
    pub members: Vec<Row>,
    pub reservations: Vec<Row>,
}

const TELESCOPES: &str = "asset_tag,name,layout,aperture_mm,focal_length_mm,\
    central_obstruction_mm,tube_outer_diameter_mm,focuser_barrel_mm,focuser_travel_mm,balance_limit_g,mount,tracking,\
    total_mass_g,heaviest_part_mass_g,eyepiece_height_min_mm,eyepiece_height_max_mm,helpers,\
    acquired_year,state,notes";
const EYEPIECES: &str = "asset_tag,name,focal_length_mm,apparent_field_deg,field_stop_mm,\
    eye_relief_mm,usable_eye_relief_mm,barrel_mm,optical_class,mass_g,acquired_year,state,notes";
const BARLOWS: &str = "asset_tag,name,factor,barrel_mm,kind,mass_g,acquired_year,state,notes";
const FILTERS: &str = "asset_tag,name,kind,barrel_mm,fits_telescope,\
    fits_outer_diameter_min_mm,fits_outer_diameter_max_mm,last_light_test,damaged,mass_g,\
    acquired_year,state,notes";
const ACCESSORIES: &str = "asset_tag,name,kind,barrel_mm,light_path_mm,factor,capacity_wh,mass_g,\
    acquired_year,state,notes";
const MEMBERS: &str = "member_number,name,email,birth_year,glasses,sphere_d,cylinder_d,\
    measured_pupil_mm,relief_floor_mm,joined,state";
const RESERVATIONS: &str = "member_number,first_night,last_night,asset_tags";

impl Club {
    /// Reads every file; stops at the first that is not what it should be.
    pub fn read() -> Self {
        Self {
            telescopes: rows("telescopes.csv", TELESCOPES),
            eyepieces: rows("eyepieces.csv", EYEPIECES),
            barlows: rows("barlows.csv", BARLOWS),
            filters: rows("filters.csv", FILTERS),
            accessories: rows("accessories.csv", ACCESSORIES),
            members: rows("members.csv", MEMBERS),
            reservations: rows("reservations.csv", RESERVATIONS),
        }
    }

    /// Everything that can be lent.
    pub fn items(&self) -> impl Iterator<Item = &Row> {
        let glass = self.telescopes.iter().chain(&self.eyepieces).chain(&self.barlows);
        glass.chain(&self.filters).chain(&self.accessories)
    }

    /// Every row of every file.
    pub fn rows(&self) -> impl Iterator<Item = &Row> {
        self.items().chain(&self.members).chain(&self.reservations)
    }
}

/// The rows of one file, whose header must be exactly `header`.
fn rows(file: &str, header: &'static str) -> Vec<Row> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-data").join(file);
    let mut reader = csv::ReaderBuilder::new()
        .from_path(&path)
        .unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    let found = reader.headers().unwrap_or_else(|error| panic!("{file}: {error}"));
    assert_eq!(found.iter().collect::<Vec<_>>().join(","), header, "the header of {file}");
    reader
        .records()
        .map(|record| {
            let record = record.unwrap_or_else(|error| panic!("{file}: {error}"));
            let line = record.position().map_or(0, csv::Position::line);
            Row {
                place: format!("{file} line {line}"),
                cells: header.split(',').zip(record.iter().map(str::to_owned)).collect(),
            }
        })
        .collect()
}
