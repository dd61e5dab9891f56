//! Where things stand over a place, at given instants.

use std::collections::BTreeMap;

use axum::response::IntoResponse;
use jiff::Timestamp;
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::place::{self, PlaceBody};
use crate::choosing::desk;
use crate::sky::catalogue::{self, Kind, Object};
use crate::sky::{Body, Direction, Frame, Instant, Site, sighting};
use crate::web::body::Json;
use crate::web::problem::{Fault, Problem, ProblemDocument};
use crate::web::refusals::NoToken;

/// Most instants in a request.
const MOST_INSTANTS: usize = 1_000;

/// Most bodies in a request.
const MOST_BODIES: usize = 100;

/// Most positions in an answer.
const MOST_POSITIONS: usize = 10_000;

/// Asks for positions.
#[derive(Debug, Clone, PartialEq, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"site": {"latitude_deg": 52.66, "longitude_deg": -8.63, "height_m": 60}, "instants": ["2026-10-10T21:00:00Z"], "bodies": ["moon", "saturn", "M 31"]}))]
pub struct PositionsBody {
    /// From where.
    pub site: PlaceBody,
    /// When: RFC 3339, from 1950 to 2150; at most 1,000.
    #[schema(min_items = 1, max_items = 1000)]
    pub instants: Vec<String>,
    /// What: `sun`, `moon`, `mercury` … `neptune`, or an object's name such as `M 31` or
    /// `NGC 7009`; at most 100, and at most 10,000 positions in all.
    #[schema(min_items = 1, max_items = 100)]
    pub bodies: Vec<String>,
}

/// Positions, instant by instant, in the order of the bodies.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct PositionsAnswer {
    /// One for each instant and body.
    pub positions: Vec<PositionAnswer>,
}

/// Where something stands.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct PositionAnswer {
    /// The name that was sent.
    pub body: String,
    /// The instant that was sent.
    pub instant: String,
    /// Right ascension, apparent, topocentric, of the true equator and equinox of date.
    pub ra_deg: f64,
    /// Declination, likewise.
    pub dec_deg: f64,
    /// Altitude as without air.
    pub altitude_deg: f64,
    /// Azimuth from north through east.
    pub azimuth_deg: f64,
    /// Across the equator of a body, along the longer axis of an object.
    pub diameter_arcsec: Option<f64>,
    /// The lit share of the disc.
    pub illuminated_fraction: Option<f64>,
    /// V magnitude outside the air; of an object with unknown V, B.
    pub magnitude: Option<f64>,
    /// Why a field is null, by its name.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    pub reasons: BTreeMap<&'static str, &'static str>,
}

/// Where the Sun, the Moon, planets and objects stand over a place.
///
/// Apparent topocentric places of date; altitudes are airless. Nothing is stored.
///
/// # Errors
/// 422 with a pointer for every field that can't be used.
#[utoipa::path(
    post,
    path = "/api/v1/sky/positions",
    tag = "sky",
    request_body(content = PositionsBody, content_type = "application/json", description = "A place, instants and bodies"),
    responses(
        (status = 200, description = "One position for each instant and body", body = PositionsAnswer, content_type = "application/json"),
        (status = 400, description = "Not JSON", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 413, description = "More than 64 kB", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 415, description = "Another content type than JSON", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 422, description = "Fields that can't be used, each with its pointer", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken,
    )
)]
pub async fn positions(Json(body): Json<PositionsBody>) -> Result<impl IntoResponse, Problem> {
    let (site, instants, wanted) = checked(&body)?;
    let answer = desk::off_thread(move || {
        let mut positions = Vec::with_capacity(instants.len() * wanted.len());
        for (instant, text) in instants {
            let frame = Frame::at(instant);
            for (wanted, name) in &wanted {
                positions.push(match wanted {
                    Wanted::Body(body) => of_body(&frame, site, *body, name, &text),
                    Wanted::Object(object) => of_object(&frame, site, instant, object, name, &text),
                });
            }
        }
        PositionsAnswer { positions }
    })
    .await?;
    Ok(Json(answer))
}

enum Wanted {
    Body(Body),
    Object(&'static Object),
}

type Checked = (Site, Vec<(Instant, String)>, Vec<(Wanted, String)>);

fn checked(body: &PositionsBody) -> Result<Checked, Problem> {
    let mut faults = Vec::new();
    let site = place::site(&body.site, &mut faults);
    for (field, length, most) in [
        ("/instants", body.instants.len(), MOST_INSTANTS),
        ("/bodies", body.bodies.len(), MOST_BODIES),
    ] {
        if length == 0 || length > most {
            faults.push(Fault::at(field, format!("Give 1 to {most} of them.")));
        }
    }
    if !faults.is_empty() {
        return Err(Problem::out_of_range(faults));
    }
    if body.instants.len() * body.bodies.len() > MOST_POSITIONS {
        let detail = format!("That would be more than {MOST_POSITIONS} positions: ask in parts.");
        return Err(Problem::out_of_range(vec![Fault::at("/bodies", detail)]));
    }
    let mut instants = Vec::with_capacity(body.instants.len());
    for (at, text) in body.instants.iter().enumerate() {
        let read = text
            .parse::<Timestamp>()
            .map_err(|_| "An instant is written as in \"2026-10-10T21:00:00Z\".".to_owned())
            .and_then(place::instant);
        match read {
            Ok(instant) => instants.push((instant, text.clone())),
            Err(why) => faults.push(Fault::at(format!("/instants/{at}"), why)),
        }
    }
    let mut wanted = Vec::with_capacity(body.bodies.len());
    for (at, name) in body.bodies.iter().enumerate() {
        let found = name.parse().map(Wanted::Body).ok();
        match found.or_else(|| catalogue::find(name).map(Wanted::Object)) {
            Some(found) => wanted.push((found, name.clone())),
            None => faults.push(Fault::at(
                format!("/bodies/{at}"),
                "Nothing here has this name: try \"saturn\", \"M 31\" or \"NGC 7009\".",
            )),
        }
    }
    match site {
        Some(site) if faults.is_empty() => Ok((site, instants, wanted)),
        _ => Err(Problem::out_of_range(faults)),
    }
}

fn of_body(frame: &Frame, site: Site, body: Body, name: &str, instant: &str) -> PositionAnswer {
    let seen = sighting(frame, site, body);
    let mut reasons = BTreeMap::new();
    if seen.illuminated_fraction.is_none() {
        reasons.insert("illuminated_fraction", "The Sun shines by itself.");
    }
    if seen.magnitude.is_none() {
        reasons.insert("magnitude", "No published formula reaches this phase or date.");
    }
    PositionAnswer {
        diameter_arcsec: Some(seen.diameter_arcsec),
        illuminated_fraction: seen.illuminated_fraction,
        magnitude: seen.magnitude,
        reasons,
        ..standing(seen.direction, name, instant)
    }
}

fn of_object(
    frame: &Frame,
    site: Site,
    instant: Instant,
    object: &Object,
    name: &str,
    text: &str,
) -> PositionAnswer {
    let star = frame.star(object.ra_deg, object.dec_deg);
    let direction = Direction::of_star(frame, site, instant, star);
    let mut reasons = BTreeMap::from([("illuminated_fraction", "It shines by itself.")]);
    let diameter_arcsec = object.major_arcmin.map(|minutes| minutes * 60.0);
    if diameter_arcsec.is_none() {
        let why = if object.kind == Kind::Double {
            "Stars are points."
        } else {
            "The catalogue does not say how large it is."
        };
        reasons.insert("diameter_arcsec", why);
    }
    if object.magnitude.is_none() {
        reasons.insert("magnitude", "The catalogue does not say how bright it is.");
    }
    PositionAnswer {
        diameter_arcsec,
        magnitude: object.magnitude,
        reasons,
        ..standing(direction, name, text)
    }
}

fn standing(direction: Direction, body: &str, instant: &str) -> PositionAnswer {
    PositionAnswer {
        body: body.to_owned(),
        instant: instant.to_owned(),
        ra_deg: direction.ra_deg,
        dec_deg: direction.dec_deg,
        altitude_deg: direction.altitude_deg,
        azimuth_deg: direction.azimuth_deg,
        diameter_arcsec: None,
        illuminated_fraction: None,
        magnitude: None,
        reasons: BTreeMap::new(),
    }
}
