//! Items as the OpenAPI document describes them.
//!
//! Reading and writing go by the columns of the tables; these types only describe. A test holds
//! them against the columns and their limits.

use serde::Serialize;
use utoipa::ToSchema;

/// A telescope of the club's. What is not known is left out or `null`.
#[derive(Debug, Clone, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = ClubTelescope, example = json!({"asset_tag": "T-021", "name": "The Orchard", "layout": "newtonian", "aperture_mm": 203.2, "focal_length_mm": 1219, "central_obstruction_mm": 50, "focuser_barrel_mm": 50.8, "mount": "dobsonian", "tracking": false, "heaviest_part_mass_g": 10900, "state": "in_service"}))]
pub struct TelescopeItem {
    /// Its number; given by the service.
    #[schema(read_only)]
    pub id: Option<i64>,
    /// Counts its changes; the same as its `ETag`.
    #[schema(read_only)]
    pub version: Option<i64>,
    /// The code on its label; where left out, the next free one of the kind.
    #[schema(min_length = 1, max_length = 24, pattern = "^[A-Za-z0-9][A-Za-z0-9._/-]*$")]
    pub asset_tag: Option<String>,
    /// What the club calls it.
    #[schema(min_length = 1, max_length = 120)]
    pub name: String,
    /// `refractor`, `newtonian`, `schmidt_cassegrain`, `maksutov_cassegrain`, `other` or `unknown` (where left out).
    #[schema(
        pattern = "^(refractor|newtonian|schmidt_cassegrain|maksutov_cassegrain|other|unknown)$"
    )]
    pub layout: Option<String>,
    /// Clear diameter.
    #[schema(minimum = 30, maximum = 3000)]
    pub aperture_mm: f64,
    /// Focal length without a Barlow; the focal ratio must be within f/1 and f/100.
    #[schema(minimum = 100, maximum = 30_000)]
    pub focal_length_mm: f64,
    /// Diameter of what stands in the middle of the beam; nothing is stored for a refractor.
    #[schema(minimum = 0, maximum = 2000)]
    pub central_obstruction_mm: Option<f64>,
    /// Outer diameter of the tube where a solar filter goes over it.
    #[schema(minimum = 20, maximum = 4000)]
    pub tube_outer_diameter_mm: Option<f64>,
    /// Widest barrel the focuser takes.
    #[schema(schema_with = super::barrels::focuser)]
    pub focuser_barrel_mm: Option<f64>,
    /// How far the focuser moves.
    #[schema(minimum = 0, maximum = 500)]
    pub focuser_travel_mm: Option<f64>,
    /// The mass that balance or focuser takes.
    #[schema(minimum = 1, maximum = 200_000)]
    pub balance_limit_g: Option<f64>,
    /// `dobsonian`, `tabletop`, `altazimuth` or `equatorial`.
    #[schema(pattern = "^(dobsonian|tabletop|altazimuth|equatorial)$")]
    pub mount: Option<String>,
    /// Whether the mount follows the sky.
    pub tracking: Option<bool>,
    /// Mass of everything that goes to the field.
    #[schema(minimum = 1, maximum = 200_000)]
    pub total_mass_g: Option<f64>,
    /// Mass of the heaviest part that is lifted in one piece.
    #[schema(minimum = 1, maximum = 200_000)]
    pub heaviest_part_mass_g: Option<f64>,
    /// How low the eyepiece comes above the ground.
    #[schema(minimum = 0, maximum = 10_000)]
    pub eyepiece_height_min_mm: Option<f64>,
    /// How high the eyepiece comes above the ground.
    #[schema(minimum = 0, maximum = 10_000)]
    pub eyepiece_height_max_mm: Option<f64>,
    /// People needed besides the borrower.
    #[schema(minimum = 0, maximum = 20)]
    pub helpers: Option<u8>,
    /// When the club got it.
    #[schema(minimum = 1600, maximum = 2200)]
    pub acquired_year: Option<i16>,
    /// `in_service` (where left out), `needs_inspection`, `in_repair`, `missing` or `retired`. Only what is in service can be lent.
    #[schema(pattern = "^(in_service|needs_inspection|in_repair|missing|retired)$")]
    pub state: Option<String>,
    /// Anything else, for everybody to read.
    #[schema(max_length = 2000)]
    pub notes: Option<String>,
}

/// Some telescopes of the club's, by tag.
#[derive(Debug, Clone, Serialize, ToSchema)]
#[schema(as = ClubTelescopeList)]
pub struct TelescopePage {
    /// The items.
    pub items: Vec<TelescopeItem>,
    /// The tag to send as `after` for the next ones; `null` when these were the last.
    pub next: Option<String>,
}

/// An eyepiece of the club's. What is not known is left out or `null`.
#[derive(Debug, Clone, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = ClubEyepiece, example = json!({"asset_tag": "E-031", "name": "25 mm four-element", "focal_length_mm": 25, "apparent_field_deg": 52, "eye_relief_mm": 18, "barrel_mm": 31.75, "optical_class": "four_element", "state": "in_service"}))]
pub struct EyepieceItem {
    /// Its number; given by the service.
    #[schema(read_only)]
    pub id: Option<i64>,
    /// Counts its changes; the same as its `ETag`.
    #[schema(read_only)]
    pub version: Option<i64>,
    /// The code on its label; where left out, the next free one of the kind.
    #[schema(min_length = 1, max_length = 24, pattern = "^[A-Za-z0-9][A-Za-z0-9._/-]*$")]
    pub asset_tag: Option<String>,
    /// What the club calls it.
    #[schema(min_length = 1, max_length = 120)]
    pub name: String,
    /// Focal length.
    #[schema(minimum = 1.5, maximum = 100)]
    pub focal_length_mm: f64,
    /// Angle across the field as the eye sees it.
    #[schema(minimum = 15, maximum = 130)]
    pub apparent_field_deg: Option<f64>,
    /// Diameter of the field stop; wins over the apparent field, and must fit the barrel.
    #[schema(minimum = 1, maximum = 60)]
    pub field_stop_mm: Option<f64>,
    /// Eye relief as stated.
    #[schema(minimum = 0, maximum = 60)]
    pub eye_relief_mm: Option<f64>,
    /// Eye relief as somebody measured it; wins over the stated one.
    #[schema(minimum = 0, maximum = 60)]
    pub usable_eye_relief_mm: Option<f64>,
    /// Barrel: 24.5, 31.75 or 50.8.
    #[schema(schema_with = super::barrels::barrel)]
    pub barrel_mm: Option<f64>,
    /// `two_lens`, `three_element`, `four_element` or `wide_field`.
    #[schema(pattern = "^(two_lens|three_element|four_element|wide_field)$")]
    pub optical_class: Option<String>,
    /// Mass.
    #[schema(minimum = 1, maximum = 200_000)]
    pub mass_g: Option<f64>,
    /// When the club got it.
    #[schema(minimum = 1600, maximum = 2200)]
    pub acquired_year: Option<i16>,
    /// `in_service` (where left out), `needs_inspection`, `in_repair`, `missing` or `retired`. Only what is in service can be lent.
    #[schema(pattern = "^(in_service|needs_inspection|in_repair|missing|retired)$")]
    pub state: Option<String>,
    /// Anything else, for everybody to read.
    #[schema(max_length = 2000)]
    pub notes: Option<String>,
}

/// Some eyepieces of the club's, by tag.
#[derive(Debug, Clone, Serialize, ToSchema)]
#[schema(as = ClubEyepieceList)]
pub struct EyepiecePage {
    /// The items.
    pub items: Vec<EyepieceItem>,
    /// The tag to send as `after` for the next ones; `null` when these were the last.
    pub next: Option<String>,
}

/// A Barlow of the club's. What is not known is left out or `null`.
#[derive(Debug, Clone, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = ClubBarlow, example = json!({"asset_tag": "B-02", "name": "2× Barlow", "factor": 2, "barrel_mm": 31.75, "state": "in_service"}))]
pub struct BarlowItem {
    /// Its number; given by the service.
    #[schema(read_only)]
    pub id: Option<i64>,
    /// Counts its changes; the same as its `ETag`.
    #[schema(read_only)]
    pub version: Option<i64>,
    /// The code on its label; where left out, the next free one of the kind.
    #[schema(min_length = 1, max_length = 24, pattern = "^[A-Za-z0-9][A-Za-z0-9._/-]*$")]
    pub asset_tag: Option<String>,
    /// What the club calls it.
    #[schema(min_length = 1, max_length = 120)]
    pub name: String,
    /// How many times it lengthens the focal length.
    #[schema(minimum = 1.01, maximum = 6)]
    pub factor: f64,
    /// Barrel: 24.5, 31.75 or 50.8.
    #[schema(schema_with = super::barrels::barrel)]
    pub barrel_mm: Option<f64>,
    /// `plain` or `telecentric`.
    #[schema(pattern = "^(plain|telecentric)$")]
    pub kind: Option<String>,
    /// Mass.
    #[schema(minimum = 1, maximum = 200_000)]
    pub mass_g: Option<f64>,
    /// When the club got it.
    #[schema(minimum = 1600, maximum = 2200)]
    pub acquired_year: Option<i16>,
    /// `in_service` (where left out), `needs_inspection`, `in_repair`, `missing` or `retired`. Only what is in service can be lent.
    #[schema(pattern = "^(in_service|needs_inspection|in_repair|missing|retired)$")]
    pub state: Option<String>,
    /// Anything else, for everybody to read.
    #[schema(max_length = 2000)]
    pub notes: Option<String>,
}

/// Some Barlows of the club's, by tag.
#[derive(Debug, Clone, Serialize, ToSchema)]
#[schema(as = ClubBarlowList)]
pub struct BarlowPage {
    /// The items.
    pub items: Vec<BarlowItem>,
    /// The tag to send as `after` for the next ones; `null` when these were the last.
    pub next: Option<String>,
}

/// An accessory of the club's. What is not known is left out or `null`.
#[derive(Debug, Clone, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = ClubAccessory, example = json!({"asset_tag": "A-02", "name": "Prism diagonal", "kind": "diagonal", "barrel_mm": 31.75, "light_path_mm": 68, "state": "in_service"}))]
pub struct AccessoryItem {
    /// Its number; given by the service.
    #[schema(read_only)]
    pub id: Option<i64>,
    /// Counts its changes; the same as its `ETag`.
    #[schema(read_only)]
    pub version: Option<i64>,
    /// The code on its label; where left out, the next free one of the kind.
    #[schema(min_length = 1, max_length = 24, pattern = "^[A-Za-z0-9][A-Za-z0-9._/-]*$")]
    pub asset_tag: Option<String>,
    /// What the club calls it.
    #[schema(min_length = 1, max_length = 120)]
    pub name: String,
    /// `diagonal`, `coma_corrector`, `power_pack`, `case`, `finder` or `other`.
    #[schema(pattern = "^(diagonal|coma_corrector|power_pack|case|finder|other)$")]
    pub kind: String,
    /// Barrel that goes into the focuser: 24.5, 31.75 or 50.8.
    #[schema(schema_with = super::barrels::barrel)]
    pub barrel_mm: Option<f64>,
    /// How far the light travels in it.
    #[schema(minimum = 1, maximum = 500)]
    pub light_path_mm: Option<f64>,
    /// Of a coma corrector: how many times it lengthens the focal length.
    #[schema(minimum = 0.5, maximum = 2)]
    pub factor: Option<f64>,
    /// Of a power pack: what it holds.
    #[schema(minimum = 1, maximum = 5000)]
    pub capacity_wh: Option<f64>,
    /// Mass.
    #[schema(minimum = 1, maximum = 200_000)]
    pub mass_g: Option<f64>,
    /// When the club got it.
    #[schema(minimum = 1600, maximum = 2200)]
    pub acquired_year: Option<i16>,
    /// `in_service` (where left out), `needs_inspection`, `in_repair`, `missing` or `retired`. Only what is in service can be lent.
    #[schema(pattern = "^(in_service|needs_inspection|in_repair|missing|retired)$")]
    pub state: Option<String>,
    /// Anything else, for everybody to read.
    #[schema(max_length = 2000)]
    pub notes: Option<String>,
}

/// Some accessories of the club's, by tag.
#[derive(Debug, Clone, Serialize, ToSchema)]
#[schema(as = ClubAccessoryList)]
pub struct AccessoryPage {
    /// The items.
    pub items: Vec<AccessoryItem>,
    /// The tag to send as `after` for the next ones; `null` when these were the last.
    pub next: Option<String>,
}

/// A filter of the club's. What is not known is left out or `null`.
#[derive(Debug, Clone, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = ClubFilter, example = json!({"asset_tag": "F-07", "name": "Nebula filter", "kind": "nebula", "barrel_mm": 31.75, "state": "in_service"}))]
pub struct FilterItem {
    /// Its number; given by the service.
    #[schema(read_only)]
    pub id: Option<i64>,
    /// Counts its changes; the same as its `ETag`.
    #[schema(read_only)]
    pub version: Option<i64>,
    /// The code on its label; where left out, the next free one of the kind.
    #[schema(min_length = 1, max_length = 24, pattern = "^[A-Za-z0-9][A-Za-z0-9._/-]*$")]
    pub asset_tag: Option<String>,
    /// What the club calls it.
    #[schema(min_length = 1, max_length = 120)]
    pub name: String,
    /// `solar_full_aperture`, `moon`, `nebula`, `colour` or `polarising`. A solar filter has no barrel: it goes over the front.
    #[schema(pattern = "^(solar_full_aperture|moon|nebula|colour|polarising)$")]
    pub kind: String,
    /// Barrel: 24.5, 31.75 or 50.8.
    #[schema(schema_with = super::barrels::barrel)]
    pub barrel_mm: Option<f64>,
    /// Tag of the telescope it was made for.
    #[schema(max_length = 24)]
    pub fits_telescope: Option<String>,
    /// Narrowest tube it goes over.
    #[schema(minimum = 20, maximum = 4000)]
    pub fits_outer_diameter_min_mm: Option<f64>,
    /// Widest tube it goes over.
    #[schema(minimum = 20, maximum = 4000)]
    pub fits_outer_diameter_max_mm: Option<f64>,
    /// Day of its last test for leaks of light.
    #[schema(format = "date")]
    pub last_light_test: Option<String>,
    /// Whether damage was noted; `false` where left out.
    pub damaged: Option<bool>,
    /// Mass.
    #[schema(minimum = 1, maximum = 200_000)]
    pub mass_g: Option<f64>,
    /// When the club got it.
    #[schema(minimum = 1600, maximum = 2200)]
    pub acquired_year: Option<i16>,
    /// `in_service` (where left out), `needs_inspection`, `in_repair`, `missing` or `retired`. Only what is in service can be lent.
    #[schema(pattern = "^(in_service|needs_inspection|in_repair|missing|retired)$")]
    pub state: Option<String>,
    /// Anything else, for everybody to read.
    #[schema(max_length = 2000)]
    pub notes: Option<String>,
}

/// Some filters of the club's, by tag.
#[derive(Debug, Clone, Serialize, ToSchema)]
#[schema(as = ClubFilterList)]
pub struct FilterPage {
    /// The items.
    pub items: Vec<FilterItem>,
    /// The tag to send as `after` for the next ones; `null` when these were the last.
    pub next: Option<String>,
}

#[cfg(test)]
mod tests {
    use serde_json::{Map, Value};
    use utoipa::PartialSchema;

    use super::*;
    use crate::optics::{Barlow, Eyepiece};
    use crate::shelf::fields::{Holds, holds, read};
    use crate::shelf::{AccessoryFigures, FilterFigures, Tabular, TelescopeFigures};

    fn check<S: PartialSchema, T: Tabular + std::fmt::Debug>() {
        let schema = serde_json::to_value(S::schema()).unwrap();
        let mut described: Vec<&str> =
            schema["properties"].as_object().unwrap().keys().map(String::as_str).collect();
        let mut columns = T::COLUMNS.to_vec();
        columns.extend(["id", "version"]);
        described.sort_unstable();
        columns.sort_unstable();
        assert_eq!(described, columns);
        assert_eq!(schema["additionalProperties"], false);
        let example = schema.get("example").or_else(|| schema["examples"].get(0)).unwrap();
        let example: Map<String, Value> = example.as_object().unwrap().clone();
        assert!(read::<T>(example.clone(), None).is_ok());

        for (field, described) in schema["properties"].as_object().unwrap() {
            let kind = |kind: &str| described["type"].to_string().contains(&format!("\"{kind}\""));
            let same = match holds(field) {
                _ if ["id", "version"].contains(&field.as_str()) => true,
                Holds::Number => kind("number"),
                Holds::Whole => kind("integer"),
                Holds::Flag => kind("boolean"),
                Holds::Word => kind("string") && described["pattern"].is_string(),
                Holds::Text | Holds::Date => kind("string"),
            };
            assert!(same, "{field}: {described}");
            // The limits that the description names are those at which the reader says no.
            for (end, beyond) in [("minimum", -0.001), ("maximum", 0.001)] {
                let Some(limit) = described[end].as_f64() else { continue };
                let mut item = example.clone();
                item.insert(field.clone(), (limit + beyond).into());
                let faults = read::<T>(item, None).unwrap_err();
                assert!(faults.iter().any(|f| f.pointer == format!("/{field}")), "{field} {end}");
            }
        }
    }

    #[test]
    fn the_described_fields_kinds_and_limits_are_those_that_are_read() {
        check::<TelescopeItem, TelescopeFigures>();
        check::<EyepieceItem, Eyepiece>();
        check::<BarlowItem, Barlow>();
        check::<FilterItem, FilterFigures>();
        check::<AccessoryItem, AccessoryFigures>();
    }
}
