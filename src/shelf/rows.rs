//! Rows of the shelf's tables, and what they mean.

use jiff::civil::Date;

use super::accessory::{AccessoryFigures, AccessoryKind, AccessoryRecord, Capacity, LightPath};
use super::item::{AcquiredYear, AssetTag, Facts, ItemId, ItemState, Record};
use super::model::{
    BarlowRecord, EyepieceRecord, FilterFigures, FilterKind, FilterRecord, Heights, Helpers, Mount,
    TelescopeFigures, TelescopeRecord, TubeDiameter, TubeDiameters,
};
use crate::optics::{
    Barlow, BarlowKind, Barrel, Eyepiece, EyepieceSpec, Layout, Mass, OpticalClass, Telescope,
    TelescopeSpec, Tracking,
};
use crate::sheet::{Name, Notes};

/// A stored row that no longer makes sense: something other than this program wrote it.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("Item {tag} can't be read from the database: {why}")]
pub struct Unreadable {
    /// The tag in the row, whatever it says.
    pub tag: String,
    /// What is wrong.
    pub why: String,
}

/// The columns every kind has.
pub(super) struct Common {
    pub id: i64,
    pub version: i64,
    pub asset_tag: String,
    pub name: String,
    pub state: String,
    pub acquired_year: Option<i64>,
    pub notes: String,
}

pub(super) struct TelescopeRow {
    pub id: i64,
    pub version: i64,
    pub asset_tag: String,
    pub name: String,
    pub state: String,
    pub mass_g: Option<f64>,
    pub acquired_year: Option<i64>,
    pub notes: String,
    pub layout: String,
    pub aperture_mm: f64,
    pub focal_length_mm: f64,
    pub central_obstruction_mm: Option<f64>,
    pub focuser_barrel_mm: Option<f64>,
    pub focuser_travel_mm: Option<f64>,
    pub balance_limit_g: Option<f64>,
    pub mount: Option<String>,
    pub tracking: Option<i64>,
    pub heaviest_part_mass_g: Option<f64>,
    pub eyepiece_height_min_mm: Option<f64>,
    pub eyepiece_height_max_mm: Option<f64>,
    pub helpers: Option<i64>,
    pub tube_outer_diameter_mm: Option<f64>,
}

pub(super) struct EyepieceRow {
    pub id: i64,
    pub version: i64,
    pub asset_tag: String,
    pub name: String,
    pub state: String,
    pub mass_g: Option<f64>,
    pub acquired_year: Option<i64>,
    pub notes: String,
    pub focal_length_mm: f64,
    pub apparent_field_deg: Option<f64>,
    pub field_stop_mm: Option<f64>,
    pub eye_relief_mm: Option<f64>,
    pub usable_eye_relief_mm: Option<f64>,
    pub barrel_mm: Option<f64>,
    pub optical_class: Option<String>,
}

pub(super) struct BarlowRow {
    pub id: i64,
    pub version: i64,
    pub asset_tag: String,
    pub name: String,
    pub state: String,
    pub mass_g: Option<f64>,
    pub acquired_year: Option<i64>,
    pub notes: String,
    pub factor: f64,
    pub barrel_mm: Option<f64>,
    pub kind: Option<String>,
}

pub(super) struct FilterRow {
    pub id: i64,
    pub version: i64,
    pub asset_tag: String,
    pub name: String,
    pub state: String,
    pub mass_g: Option<f64>,
    pub acquired_year: Option<i64>,
    pub notes: String,
    pub kind: String,
    pub barrel_mm: Option<f64>,
    pub fits_telescope: Option<String>,
    pub fits_outer_diameter_min_mm: Option<f64>,
    pub fits_outer_diameter_max_mm: Option<f64>,
    pub last_light_test: Option<String>,
    pub damaged: i64,
}

pub(super) struct AccessoryRow {
    pub id: i64,
    pub version: i64,
    pub asset_tag: String,
    pub name: String,
    pub state: String,
    pub mass_g: Option<f64>,
    pub acquired_year: Option<i64>,
    pub notes: String,
    pub kind: String,
    pub barrel_mm: Option<f64>,
    pub light_path_mm: Option<f64>,
    pub factor: Option<f64>,
    pub capacity_wh: Option<f64>,
}

/// Takes the common columns out of a row of any kind.
macro_rules! common {
    ($row:ident) => {
        Common {
            id: $row.id,
            version: $row.version,
            asset_tag: $row.asset_tag,
            name: $row.name,
            state: $row.state,
            acquired_year: $row.acquired_year,
            notes: $row.notes,
        }
    };
}

/// Finishes a row: its facts with its figures, or why not.
fn record<T>(common: Common, figures: Result<T, String>) -> Result<Record<T>, Unreadable> {
    let tag = common.asset_tag.clone();
    let read = || {
        let Common { id, version, asset_tag, name, state, acquired_year, notes } = common;
        let facts = Facts {
            tag: AssetTag::new(&asset_tag).map_err(say)?,
            name: Name::new(&name).map_err(say)?,
            state: word(&state, ItemState::parse)?,
            acquired: acquired_year.map(AcquiredYear::new).transpose().map_err(say)?,
            notes: Notes::new(&notes).map_err(say)?,
        };
        Ok(Record { id: ItemId(id), version, facts, figures: figures? })
    };
    read().map_err(|why| Unreadable { tag, why })
}

fn say(error: impl std::fmt::Display) -> String {
    error.to_string()
}

fn word<T>(text: &str, parse: impl FnOnce(&str) -> Option<T>) -> Result<T, String> {
    parse(text).ok_or_else(|| format!("\"{text}\" is not a word this program knows."))
}

/// A number that may be missing, made into a quantity.
fn maybe<T, E: std::fmt::Display>(
    number: Option<f64>,
    make: impl FnOnce(f64) -> Result<T, E>,
) -> Result<Option<T>, String> {
    number.map(make).transpose().map_err(say)
}

fn maybe_word<T>(
    text: Option<String>,
    parse: impl FnOnce(&str) -> Option<T>,
) -> Result<Option<T>, String> {
    text.map(|text| word(&text, parse)).transpose()
}

fn made<T>(number: f64) -> Result<T, String>
where
    T: TryFrom<f64>,
    T::Error: std::fmt::Display,
{
    T::try_from(number).map_err(say)
}

impl TryFrom<TelescopeRow> for TelescopeRecord {
    type Error = Unreadable;

    fn try_from(row: TelescopeRow) -> Result<Self, Unreadable> {
        let figures = (|| {
            let optics = Telescope::new(TelescopeSpec {
                layout: word(&row.layout, Layout::parse)?,
                aperture: made(row.aperture_mm)?,
                focal_length: made(row.focal_length_mm)?,
                obstruction: maybe(row.central_obstruction_mm, made)?,
                focuser: maybe(row.focuser_barrel_mm, Barrel::try_from)?,
                focuser_travel: maybe(row.focuser_travel_mm, made)?,
                balance_limit: maybe(row.balance_limit_g, made)?,
                tracking: row.tracking.map(|tracks| {
                    if tracks == 0 { Tracking::StandsStill } else { Tracking::Tracks }
                }),
            })
            .map_err(say)?;
            Ok(TelescopeFigures {
                optics,
                mount: maybe_word(row.mount, Mount::parse)?,
                total_mass: maybe(row.mass_g, Mass::new)?,
                heaviest_part: maybe(row.heaviest_part_mass_g, Mass::new)?,
                eyepiece_height: Heights::new(
                    row.eyepiece_height_min_mm,
                    row.eyepiece_height_max_mm,
                )
                .map_err(say)?,
                helpers: row.helpers.map(Helpers::new).transpose().map_err(say)?,
                tube: maybe(row.tube_outer_diameter_mm, TubeDiameter::new)?,
            })
        })();
        record(common!(row), figures)
    }
}

impl TryFrom<EyepieceRow> for EyepieceRecord {
    type Error = Unreadable;

    fn try_from(row: EyepieceRow) -> Result<Self, Unreadable> {
        let figures = (|| {
            Eyepiece::new(EyepieceSpec {
                focal_length: made(row.focal_length_mm)?,
                apparent_field: maybe(row.apparent_field_deg, made)?,
                field_stop: maybe(row.field_stop_mm, made)?,
                eye_relief: maybe(row.eye_relief_mm, made)?,
                usable_relief: maybe(row.usable_eye_relief_mm, made)?,
                barrel: maybe(row.barrel_mm, Barrel::try_from)?,
                class: maybe_word(row.optical_class, OpticalClass::parse)?,
                mass: maybe(row.mass_g, made)?,
            })
            .map_err(say)
        })();
        record(common!(row), figures)
    }
}

impl TryFrom<BarlowRow> for BarlowRecord {
    type Error = Unreadable;

    fn try_from(row: BarlowRow) -> Result<Self, Unreadable> {
        let figures = (|| {
            Ok(Barlow {
                factor: made(row.factor)?,
                barrel: maybe(row.barrel_mm, Barrel::try_from)?,
                kind: maybe_word(row.kind, BarlowKind::parse)?,
                mass: maybe(row.mass_g, made)?,
            })
        })();
        record(common!(row), figures)
    }
}

impl TryFrom<AccessoryRow> for AccessoryRecord {
    type Error = Unreadable;

    fn try_from(row: AccessoryRow) -> Result<Self, Unreadable> {
        let figures = (|| {
            let figures = AccessoryFigures {
                kind: word(&row.kind, AccessoryKind::parse)?,
                barrel: maybe(row.barrel_mm, Barrel::try_from)?,
                light_path: maybe(row.light_path_mm, LightPath::new)?,
                factor: maybe(row.factor, made)?,
                capacity: maybe(row.capacity_wh, Capacity::new)?,
                mass: maybe(row.mass_g, Mass::new)?,
            };
            figures.checked().map_err(say)
        })();
        record(common!(row), figures)
    }
}

impl TryFrom<FilterRow> for FilterRecord {
    type Error = Unreadable;

    fn try_from(row: FilterRow) -> Result<Self, Unreadable> {
        let figures = (|| {
            let figures = FilterFigures {
                kind: word(&row.kind, FilterKind::parse)?,
                barrel: maybe(row.barrel_mm, Barrel::try_from)?,
                fits_telescope: row
                    .fits_telescope
                    .map(|tag| AssetTag::new(&tag))
                    .transpose()
                    .map_err(say)?,
                fits_tube: TubeDiameters::new(
                    row.fits_outer_diameter_min_mm,
                    row.fits_outer_diameter_max_mm,
                )
                .map_err(say)?,
                last_light_test: row
                    .last_light_test
                    .map(|date| date.parse::<Date>())
                    .transpose()
                    .map_err(say)?,
                damaged: row.damaged != 0,
                mass: maybe(row.mass_g, Mass::new)?,
            };
            figures.checked().map_err(say)
        })();
        record(common!(row), figures)
    }
}
