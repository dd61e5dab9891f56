//! The club's observing sites: looking, adding, changing, removing.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

use super::site::{KeptSite, SiteId, Usually};
use super::site_form::{SiteForm, Typed};
use super::site_page::{SitePage, SiteRow, SitesPage};
use super::sites::{self, SiteError};
use super::skyline::Skyline;
use crate::audit::{self, Subject};
use crate::people::access::SignedIn;
use crate::public_night;
use crate::store::{Store, WriteTx};
use crate::web::body::{Form, Path, Query};
use crate::web::clock::Clock;
use crate::web::frame::Place;
use crate::web::problem::Problem;

impl From<SiteError> for Problem {
    fn from(error: SiteError) -> Self {
        match error {
            SiteError::NotThere => Self::not_found("There is no such observing site.")
                .next("Look at the places where the club observes.")
                .way("Where we observe", "/sites"),
            SiteError::Stale | SiteError::NameTaken | SiteError::Full | SiteError::IsUsual => {
                Self::conflict(error.to_string())
            }
            SiteError::Database(_) | SiteError::Unreadable(_) => Self::internal(&error),
        }
    }
}

/// What stands after the question mark of `/sites`.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct Told {
    done: String,
}

/// `GET /sites`
///
/// # Errors
/// The database could not be read.
pub async fn list(
    State(store): State<Store>,
    who: SignedIn,
    Query(told): Query<Told>,
) -> Result<SitesPage, Problem> {
    let mut conn = store.reader().acquire().await?;
    let all = sites::sites(&mut conn).await?;
    Ok(SitesPage {
        frame: who.visit.frame("Where we observe").at(Place::Sites).returning_to("/sites"),
        sites: all.iter().map(SiteRow::of).collect(),
        notice: match told.done.as_str() {
            "saved" => Some("Saved. The next kits are chosen for this sky."),
            "removed" => Some("Removed."),
            _ => None,
        },
    })
}

fn page(who: &SignedIn, form: SiteForm, kept: Option<&KeptSite>) -> SitePage {
    let (title, action) = match kept {
        None => ("A new site".to_owned(), "/sites".to_owned()),
        Some(kept) => (kept.site.name.to_string(), format!("/sites/{}", kept.id)),
    };
    let back = if kept.is_some() { action.clone() } else { "/sites/new".into() };
    SitePage {
        frame: who.visit.frame(title).at(Place::Sites).returning_to(back),
        form,
        action,
        version: kept.map(|kept| kept.version),
        is_usual: kept.is_some_and(|kept| kept.usually == Usually::Here),
        skyline: kept.map(|kept| Skyline::of(&kept.site.horizon)),
        refused: None,
    }
}

/// `GET /sites/new`
pub async fn new(State(clock): State<Clock>, who: SignedIn) -> SitePage {
    page(&who, SiteForm::fresh(clock.zone().iana_name().unwrap_or_default()), None)
}

/// `GET /sites/{id}`
///
/// # Errors
/// 404 where there is none.
pub async fn one(
    State(store): State<Store>,
    who: SignedIn,
    Path(id): Path<i64>,
) -> Result<SitePage, Problem> {
    let mut conn = store.reader().acquire().await?;
    let kept = sites::site(&mut conn, SiteId(id)).await?;
    Ok(page(&who, SiteForm::of(&kept.site, kept.usually), Some(&kept)))
}

/// `POST /sites`
///
/// # Errors
/// The database could not answer.
pub async fn add(
    State(store): State<Store>,
    who: SignedIn,
    Form(typed): Form<Typed>,
) -> Result<Response, Problem> {
    let mut form = SiteForm::typed(&typed);
    let Some(site) = form.check() else { return Ok(unusable(page(&who, form, None))) };
    let mut tx = store.write().await?;
    match sites::add_site(&mut tx, &site, form.usually()).await {
        Ok(id) => {
            let subject = Subject::of("site", id.0);
            audit::note(&mut tx, who.actor(), "observing site added", subject, "").await?;
            tx.commit().await?;
            Ok(Redirect::to("/sites?done=saved").into_response())
        }
        Err(why) => refused(&who, form, None, why),
    }
}

/// `POST /sites/{id}`
///
/// # Errors
/// 404 where there is none, or the database could not answer.
pub async fn change(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
    Form(typed): Form<Typed>,
) -> Result<Response, Problem> {
    let mut form = SiteForm::typed(&typed);
    let mut tx = store.write().await?;
    let kept = sites::site(&mut tx, SiteId(id)).await?;
    let Some(site) = form.check() else { return Ok(unusable(page(&who, form, Some(&kept)))) };
    let place = (kept.id, typed.version);
    match sites::change_site(&mut tx, place, &site, form.usually()).await {
        Ok(()) => {
            if let Some(says) = in_the_sun(&mut tx, &clock, kept.id).await? {
                drop(tx);
                let page = SitePage { refused: Some(says), ..page(&who, form, Some(&kept)) };
                return Ok((StatusCode::CONFLICT, page).into_response());
            }
            let subject = Subject::of("site", id);
            audit::note(&mut tx, who.actor(), "observing site changed", subject, "").await?;
            tx.commit().await?;
            Ok(Redirect::to("/sites?done=saved").into_response())
        }
        Err(why) => refused(&who, form, Some(&kept), why),
    }
}

/// `POST /sites/{id}/remove`
///
/// # Errors
/// 404 where there is none, or the database could not answer.
pub async fn remove(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
) -> Result<Response, Problem> {
    let mut tx = store.write().await?;
    let kept = sites::site(&mut tx, SiteId(id)).await?;
    let planned = public_night::keeping::planned_at(&mut tx, kept.id, clock.today()).await?;
    if !planned.is_empty() {
        drop(tx);
        let says = format!(
            "{} is to take place here: choose another place for it first.",
            crate::web::format::list(&planned)
        );
        let form = SiteForm::of(&kept.site, kept.usually);
        let page = SitePage { refused: Some(says), ..page(&who, form, Some(&kept)) };
        return Ok((StatusCode::CONFLICT, page).into_response());
    }
    match sites::remove_site(&mut tx, kept.id).await {
        Ok(()) => {
            let subject = Subject::of("site", id);
            audit::note(&mut tx, who.actor(), "observing site removed", subject, "").await?;
            tx.commit().await?;
            Ok(Redirect::to("/sites?done=removed").into_response())
        }
        Err(why) => {
            let form = SiteForm::of(&kept.site, kept.usually);
            refused(&who, form, Some(&kept), why)
        }
    }
}

/// What stands against the site being so: telescopes of public nights would stand in the Sun.
async fn in_the_sun(
    tx: &mut WriteTx,
    clock: &Clock,
    site: SiteId,
) -> Result<Option<String>, Problem> {
    let found = public_night::keeping::moved_into_the_sun(tx, site, clock.today()).await?;
    Ok(found.first().map(|(name, shut)| {
        let why: Vec<String> = shut.iter().map(ToString::to_string).collect();
        format!(
            "With the place so, telescopes of “{name}” would stand in the Sun, so nothing was saved. {}",
            why.join(" ")
        )
    }))
}

fn unusable(page: SitePage) -> Response {
    (StatusCode::UNPROCESSABLE_ENTITY, page).into_response()
}

/// The page with what stands in the way, everything typed still there.
fn refused(
    who: &SignedIn,
    mut form: SiteForm,
    kept: Option<&KeptSite>,
    why: SiteError,
) -> Result<Response, Problem> {
    let says = match why {
        SiteError::NameTaken => {
            form.name.refuse(why.to_string());
            None
        }
        SiteError::Stale => Some(
            "This site was changed meanwhile, so nothing was saved yet. What you typed still stands below; save again and it counts."
                .to_owned(),
        ),
        SiteError::Full | SiteError::IsUsual => Some(why.to_string()),
        other => return Err(other.into()),
    };
    let page = SitePage { refused: says, ..page(who, form, kept) };
    Ok((StatusCode::CONFLICT, page).into_response())
}
