//! The club's observing sites, for programs.

use axum::extract::State;
use axum::response::IntoResponse;
use serde::Serialize;
use utoipa::ToSchema;

use super::site::{KeptSite, Usually};
use super::sites;
use crate::optics::Seeing;
use crate::store::Store;
use crate::web::body::Json;
use crate::web::problem::Problem;
use crate::web::refusals::NoToken;

/// Every site, the usual one first.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct SitesAnswer {
    /// The sites.
    pub sites: Vec<SiteAnswer>,
}

/// A place where the club observes.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct SiteAnswer {
    /// Its number, as `kits/search` takes it.
    pub id: i64,
    /// What it is called.
    pub name: String,
    /// Whether the club usually observes there.
    pub usual: bool,
    /// Degrees north of the equator.
    pub latitude_deg: f64,
    /// Degrees east of Greenwich.
    pub longitude_deg: f64,
    /// Metres above sea level.
    pub height_m: f64,
    /// The zone by its name in the tz database.
    pub time_zone: String,
    /// Brightness of the moonless zenith, V magnitudes per square arcsecond.
    pub sky_brightness: f64,
    /// How wide the air usually smears a star, where somebody knows.
    pub seeing_arcsec: Option<f64>,
    /// How high the skyline reaches in the eight directions from north through east, degrees.
    pub skyline_deg: [f64; 8],
}

impl From<KeptSite> for SiteAnswer {
    fn from(kept: KeptSite) -> Self {
        let site = kept.site;
        Self {
            id: kept.id.0,
            name: site.name.to_string(),
            usual: kept.usually == Usually::Here,
            latitude_deg: site.place.latitude.deg(),
            longitude_deg: site.place.longitude.deg(),
            height_m: site.place.height.m(),
            time_zone: site.zone.name().to_owned(),
            sky_brightness: site.sky.mag(),
            seeing_arcsec: site.seeing.map(Seeing::arcsec),
            skyline_deg: site.horizon.around_deg(),
        }
    }
}

/// The club's observing sites, the usual one first.
///
/// # Errors
/// The database could not be read.
#[utoipa::path(
    get,
    path = "/api/v1/sites",
    tag = "sky",
    responses(
        (status = 200, description = "The sites", body = SitesAnswer, content_type = "application/json"),
        NoToken,
    )
)]
pub async fn sites(State(store): State<Store>) -> Result<impl IntoResponse, Problem> {
    let mut conn = store.reader().acquire().await?;
    let sites = sites::sites(&mut conn).await?.into_iter().map(SiteAnswer::from).collect();
    Ok(Json(SitesAnswer { sites }))
}
