//! One night over a place.

use axum::response::IntoResponse;
use jiff::civil::Date;
use serde::Deserialize;
use utoipa::ToSchema;

use super::night_answer::{self, NightAnswer};
use super::place::{self, PlaceBody};
use crate::choosing::desk;
use crate::sky::Night;
use crate::sky::tonight::{self, by_promise};
use crate::web::body::Json;
use crate::web::problem::{Fault, Problem, ProblemDocument};
use crate::web::refusals::NoToken;

/// Objects in an answer where the caller does not say how many.
const USUAL_LIMIT: usize = 100;

/// Most objects in an answer.
const MOST_OBJECTS: usize = 3_000;

/// Asks for a night.
#[derive(Debug, Clone, PartialEq, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(example = json!({"site": {"latitude_deg": 52.66, "longitude_deg": -8.63, "height_m": 60, "time_zone": "Europe/Dublin"}, "night": "2026-10-10"}))]
pub struct NightBody {
    /// From where; `time_zone` is needed.
    pub site: PlaceBody,
    /// The local evening's date; the night ends on the next morning.
    #[schema(format = "date")]
    pub night: String,
    /// Most objects in the answer; 100 where it is not given.
    #[serde(default)]
    #[schema(minimum = 0, maximum = 3000)]
    pub limit: Option<i64>,
}

/// One night over a place: twilights, the Moon, dark windows and what is worth looking at.
///
/// A thing that does not happen that night is null, with the reason. Nothing is stored.
///
/// # Errors
/// 422 with a pointer for every field that can't be used.
#[utoipa::path(
    post,
    path = "/api/v1/sky/night",
    tag = "sky",
    request_body(content = NightBody, content_type = "application/json", description = "A place with its time zone, and a date"),
    responses(
        (status = 200, description = "The night", body = NightAnswer, content_type = "application/json"),
        (status = 400, description = "Not JSON", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 413, description = "More than 64 kB", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 415, description = "Another content type than JSON", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 422, description = "Fields that can't be used, each with its pointer", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken,
    )
)]
pub async fn night(Json(body): Json<NightBody>) -> Result<impl IntoResponse, Problem> {
    let mut faults = Vec::new();
    let site = place::site(&body.site, &mut faults);
    let zone = place::zone(&body.site, &mut faults);
    let date = body.night.parse::<Date>().ok();
    if date.is_none() {
        faults.push(Fault::at("/night", "A night is a date such as \"2026-10-10\"."));
    }
    let limit = match body.limit {
        None => Some(USUAL_LIMIT),
        Some(limit) => usize::try_from(limit).ok().filter(|limit| *limit <= MOST_OBJECTS),
    };
    if limit.is_none() {
        faults.push(Fault::at("/limit", format!("Give 0 to {MOST_OBJECTS}.")));
    }
    let noon = match (date, &zone) {
        (Some(date), Some(zone)) => {
            place::noon(date, zone).map_err(|why| faults.push(Fault::at("/night", why))).ok()
        }
        _ => None,
    };
    let (Some(site), Some(zone), Some(date), Some(noon), Some(limit), true) =
        (site, zone, date, noon, limit, faults.is_empty())
    else {
        return Err(Problem::out_of_range(faults));
    };
    let answer = desk::off_thread(move || {
        let night = Night::after(noon, site);
        let mut objects = tonight::showing(&night);
        objects.sort_by(by_promise);
        objects.truncate(limit);
        night_answer::answer(&date.to_string(), &night, &objects, &zone)
    })
    .await?;
    Ok(Json(answer))
}
