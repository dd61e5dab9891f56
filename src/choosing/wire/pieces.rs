//! Telescopes, eyepieces and Barlows as programs send them.

use std::fmt;

use serde::Serialize;
use serde::de::Deserializer;
use utoipa::ToSchema;

use super::cells::{Cell, Record};
use super::read::{Element, Sink, Slot};
use crate::kit::{ShelfTelescope, SunFilter};
use crate::optics::{
    Aperture, ApparentField, Barlow, BarlowFactor, BarlowKind, Barrel, EyeRelief, Eyepiece,
    EyepieceFocalLength, EyepieceSpec, FieldStop, Layout, Mass, Obstruction, OpticalClass,
    Telescope, TelescopeError, TelescopeFocalLength, TelescopeSpec, Tracking, Travel,
};

/// Longest id in characters.
pub const LONGEST_ID: usize = 200;

/// A caller's name for a piece: a whole number or text, given back as it came.
///
/// Whole numbers come before texts, each in its own order.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, ToSchema)]
#[serde(untagged)]
pub enum Id {
    /// A whole number.
    Number(i64),
    /// A text.
    Text(String),
}

impl fmt::Display for Id {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Number(number) => write!(f, "{number}"),
            Self::Text(text) => f.write_str(text),
        }
    }
}

pub(super) fn id(record: &Record, sink: &mut Sink) -> Slot<Id> {
    match record.cell("id") {
        None => Slot::Missing,
        Some(Cell::Whole(number)) => Slot::Read(Id::Number(*number)),
        Some(Cell::Text(text)) if !text.is_empty() && text.chars().count() <= LONGEST_ID => {
            Slot::Read(Id::Text(text.clone()))
        }
        Some(Cell::Text(_)) => {
            sink.fault_at("id", format!("An id of text has 1 to {LONGEST_ID} characters."));
            Slot::Faulty
        }
        Some(_) => {
            sink.fault_at("id", "An id must be a whole number or text.");
            Slot::Faulty
        }
    }
}

/// A piece with the id its caller gave it, if any.
#[derive(Debug, Clone, PartialEq)]
pub struct Piece<T> {
    /// What the caller calls it.
    pub id: Slot<Id>,
    /// What it is.
    pub spec: T,
}

/// A telescope as sent.
pub type TelescopeIn = Piece<ShelfTelescope>;
/// An eyepiece as sent.
pub type EyepieceIn = Piece<Eyepiece>;
/// A Barlow as sent.
pub type BarlowIn = Piece<Barlow>;

/// The fields of a telescope.
pub const TELESCOPE_FIELDS: [&str; 10] = [
    "id",
    "layout",
    "aperture_mm",
    "focal_length_mm",
    "central_obstruction_mm",
    "focuser_barrel_mm",
    "focuser_travel_mm",
    "balance_limit_g",
    "tracking",
    "solar_filter_verified",
];

/// The fields of an eyepiece.
pub const EYEPIECE_FIELDS: [&str; 9] = [
    "id",
    "focal_length_mm",
    "apparent_field_deg",
    "field_stop_mm",
    "eye_relief_mm",
    "usable_eye_relief_mm",
    "barrel_mm",
    "optical_class",
    "mass_g",
];

/// The fields of a Barlow.
pub const BARLOW_FIELDS: [&str; 5] = ["id", "factor", "barrel_mm", "kind", "mass_g"];

impl Element for TelescopeIn {
    fn read<'de, D: Deserializer<'de>>(
        sink: &mut Sink,
        deserializer: D,
    ) -> Result<Option<Self>, D::Error> {
        let record = Record::read("a telescope", &TELESCOPE_FIELDS, sink, deserializer)?;
        Ok(record.and_then(|record| telescope(&record, sink)))
    }
}

fn telescope(record: &Record, sink: &mut Sink) -> Option<TelescopeIn> {
    let id = id(record, sink);
    let layouts = Layout::ALL.map(Layout::as_str);
    let layout = record.word("layout", &layouts, sink, Layout::parse).unwrap_or(Layout::Unknown);
    let aperture = record.required("aperture_mm", sink, Aperture::new);
    let focal_length = record.required("focal_length_mm", sink, TelescopeFocalLength::new);
    let obstruction = record.optional("central_obstruction_mm", sink, Obstruction::new);
    let focuser = record.optional("focuser_barrel_mm", sink, Barrel::try_from);
    let focuser_travel = record.optional("focuser_travel_mm", sink, Travel::new);
    let balance_limit = record.optional("balance_limit_g", sink, Mass::new);
    let tracking = record.flag("tracking", sink);
    let filter = record.flag("solar_filter_verified", sink);
    let spec = TelescopeSpec {
        layout,
        aperture: aperture?,
        focal_length: focal_length?,
        obstruction,
        focuser,
        focuser_travel,
        balance_limit,
        tracking: tracking
            .map(|tracks| if tracks { Tracking::Tracks } else { Tracking::StandsStill }),
    };
    let spec = Telescope::new(spec)
        .map_err(|error| {
            let field = match error {
                TelescopeError::FocalRatio(_) => "focal_length_mm",
                TelescopeError::ObstructionTooWide { .. }
                | TelescopeError::RefractorObstructed(_) => "central_obstruction_mm",
            };
            sink.fault_at(field, error.to_string());
        })
        .ok()?;
    let sun_filter = match filter {
        Some(true) => SunFilter::Verified,
        Some(false) | None => SunFilter::Missing,
    };
    Some(Piece { id, spec: ShelfTelescope::plain(spec, sun_filter) })
}

impl Element for EyepieceIn {
    fn read<'de, D: Deserializer<'de>>(
        sink: &mut Sink,
        deserializer: D,
    ) -> Result<Option<Self>, D::Error> {
        let record = Record::read("an eyepiece", &EYEPIECE_FIELDS, sink, deserializer)?;
        Ok(record.and_then(|record| eyepiece(&record, sink)))
    }
}

fn eyepiece(record: &Record, sink: &mut Sink) -> Option<EyepieceIn> {
    let id = id(record, sink);
    let focal_length = record.required("focal_length_mm", sink, EyepieceFocalLength::new);
    let apparent_field = record.optional("apparent_field_deg", sink, ApparentField::new);
    let field_stop = record.optional("field_stop_mm", sink, FieldStop::new);
    let eye_relief = record.optional("eye_relief_mm", sink, EyeRelief::new);
    let usable_relief = record.optional("usable_eye_relief_mm", sink, EyeRelief::new);
    let barrel = record.optional("barrel_mm", sink, Barrel::try_from);
    let classes = OpticalClass::ALL.map(OpticalClass::as_str);
    let class = record.word("optical_class", &classes, sink, OpticalClass::parse);
    let mass = record.optional("mass_g", sink, Mass::new);
    let spec = EyepieceSpec {
        focal_length: focal_length?,
        apparent_field,
        field_stop,
        eye_relief,
        usable_relief,
        barrel,
        class,
        mass,
    };
    let spec = Eyepiece::new(spec)
        .map_err(|error| sink.fault_at("field_stop_mm", error.to_string()))
        .ok()?;
    Some(Piece { id, spec })
}

impl Element for BarlowIn {
    fn read<'de, D: Deserializer<'de>>(
        sink: &mut Sink,
        deserializer: D,
    ) -> Result<Option<Self>, D::Error> {
        let record = Record::read("a Barlow", &BARLOW_FIELDS, sink, deserializer)?;
        Ok(record.and_then(|record| barlow(&record, sink)))
    }
}

fn barlow(record: &Record, sink: &mut Sink) -> Option<BarlowIn> {
    let id = id(record, sink);
    let factor = record.required("factor", sink, BarlowFactor::new);
    let barrel = record.optional("barrel_mm", sink, Barrel::try_from);
    let kinds = BarlowKind::ALL.map(BarlowKind::as_str);
    let kind = record.word("kind", &kinds, sink, BarlowKind::parse);
    let mass = record.optional("mass_g", sink, Mass::new);
    Some(Piece { id, spec: Barlow { factor: factor?, barrel, kind, mass } })
}
