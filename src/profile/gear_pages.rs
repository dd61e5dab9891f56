//! One's own case: looking in, putting in, changing, taking out.

use std::collections::BTreeMap;

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

use super::gear::{GearKind, OwnCase};
use super::gear_form::GearForm;
use super::gear_page::{GearPage, GearPiecePage, GearRow};
use super::gear_store::{self, GearError, own_case};
use super::observer_page::Changed;
use super::section::Section;
use super::whose::own_member;
use crate::optics::{Eyepiece, Telescope};
use crate::people::MemberId;
use crate::people::access::SignedIn;
use crate::store::Store;
use crate::web::body::{Form, Path, Query};
use crate::web::format;
use crate::web::frame::Place;
use crate::web::problem::Problem;

impl From<GearError> for Problem {
    fn from(error: GearError) -> Self {
        match error {
            GearError::NotThere => Self::not_found("There is no such thing in your case.")
                .next("Look at what is in it.")
                .way("Your own case", "/account/gear"),
            GearError::Full | GearError::Stale => Self::conflict(error.to_string()),
            other => Self::internal(&other),
        }
    }
}

/// What stands after the question mark of `/account/gear`.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct Told {
    saved: Option<String>,
    removed: Option<String>,
}

/// A telescope's figures in a few words: "130 mm at f/5".
#[must_use]
pub fn telescope_in_words(figures: &Telescope) -> String {
    let spec = figures.spec();
    let ratio = spec.focal_length.mm() / spec.aperture.mm();
    format!("{} at {}", format::millimetres(spec.aperture.mm()), format::focal_ratio(ratio))
}

/// An eyepiece's figures in a few words: "25 mm, 50° apparent field, 15 mm of eye relief".
#[must_use]
pub fn eyepiece_in_words(figures: &Eyepiece) -> String {
    let mut words = vec![format::millimetres(figures.focal_length().mm())];
    words.extend(
        figures.apparent_field().map(|field| format!("{:.0}° apparent field", field.deg())),
    );
    words.extend(
        figures
            .relief()
            .map(|relief| format!("{} of eye relief", format::millimetres(relief.mm()))),
    );
    words.join(", ")
}

/// `GET /account/gear`
///
/// # Errors
/// 404 for an account of nobody on the list, or the database could not be read.
pub async fn list(
    State(store): State<Store>,
    who: SignedIn,
    Query(told): Query<Told>,
) -> Result<GearPage, Problem> {
    let case = case_of(&store, own_member(&who.account)?).await?;
    let row = |kind: GearKind, id: i64, name: String, detail: String| GearRow {
        name,
        detail,
        address: format!("/account/gear/{}/{id}", kind.as_str()),
    };
    let notice = match (told.saved, told.removed) {
        (Some(_), _) => Some("Saved. The next kit counts with it.".into()),
        (None, Some(_)) => Some("Taken out of your case.".into()),
        (None, None) => None,
    };
    Ok(GearPage {
        frame: who.visit.frame("My own case").at(Place::Me),
        section: Section::Gear,
        telescopes: case
            .telescopes
            .iter()
            .map(|own| {
                let words = telescope_in_words(&own.figures);
                row(GearKind::Telescope, own.id, own.name.to_string(), words)
            })
            .collect(),
        eyepieces: case
            .eyepieces
            .iter()
            .map(|own| {
                let words = eyepiece_in_words(&own.figures);
                row(GearKind::Eyepiece, own.id, own.name.to_string(), words)
            })
            .collect(),
        notice,
    })
}

async fn case_of(store: &Store, member: MemberId) -> Result<OwnCase, Problem> {
    let mut conn = store.reader().acquire().await?;
    Ok(own_case(&mut conn, member).await?)
}

fn kind_of(word: &str) -> Result<GearKind, Problem> {
    GearKind::parse(word).ok_or_else(|| GearError::NotThere.into())
}

fn page(who: &SignedIn, form: GearForm, place: Option<(i64, i64)>) -> GearPiecePage {
    let kind = form.kind;
    let (title, action) = match place {
        None => (kind.of_my_own().to_owned(), format!("/account/gear/{}", kind.as_str())),
        Some((id, _)) => {
            (format!("My {}", kind.one()), format!("/account/gear/{}/{id}", kind.as_str()))
        }
    };
    GearPiecePage {
        frame: who.visit.frame(title).at(Place::Me).returning_to("/account/gear"),
        section: Section::Gear,
        form,
        action,
        version: place.map(|(_, version)| version),
        changed: Vec::new(),
        refused: None,
    }
}

/// `GET /account/gear/{kind}/new`
///
/// # Errors
/// 404 for another kind, or an account of nobody on the list.
pub async fn new(who: SignedIn, Path(kind): Path<String>) -> Result<GearPiecePage, Problem> {
    own_member(&who.account)?;
    Ok(page(&who, GearForm::empty(kind_of(&kind)?), None))
}

/// `GET /account/gear/{kind}/{id}`
///
/// # Errors
/// 404 for what is not in one's own case.
pub async fn one(
    State(store): State<Store>,
    who: SignedIn,
    Path((kind, id)): Path<(String, i64)>,
) -> Result<GearPiecePage, Problem> {
    let case = case_of(&store, own_member(&who.account)?).await?;
    let (form, version) = GearForm::of(kind_of(&kind)?, &case, id).ok_or(GearError::NotThere)?;
    Ok(page(&who, form, Some((id, version))))
}

/// `POST /account/gear/{kind}`: something new.
///
/// # Errors
/// 404 for another kind, or the database could not answer.
pub async fn add(
    State(store): State<Store>,
    who: SignedIn,
    Path(kind): Path<String>,
    Form(sent): Form<BTreeMap<String, String>>,
) -> Result<Response, Problem> {
    let form = GearForm::typed(kind_of(&kind)?, &sent);
    put(&store, &who, form, None).await
}

/// `POST /account/gear/{kind}/{id}`: a change.
///
/// # Errors
/// 404 for what is not in one's own case, or the database could not answer.
pub async fn change(
    State(store): State<Store>,
    who: SignedIn,
    Path((kind, id)): Path<(String, i64)>,
    Form(sent): Form<BTreeMap<String, String>>,
) -> Result<Response, Problem> {
    let kind = kind_of(&kind)?;
    let case = case_of(&store, own_member(&who.account)?).await?;
    let (kept, present) = GearForm::of(kind, &case, id).ok_or(GearError::NotThere)?;
    let seen = sent.get("version").and_then(|version| version.trim().parse().ok()).unwrap_or(0);
    let form = GearForm::typed(kind, &sent);
    if seen != present {
        return Ok(too_late(&who, form, &kept, (id, present)));
    }
    put(&store, &who, form, Some((id, seen))).await
}

fn too_late(who: &SignedIn, form: GearForm, kept: &GearForm, place: (i64, i64)) -> Response {
    let changed = form
        .differences(kept)
        .into_iter()
        .map(|(label, kept, typed)| Changed { label, kept, typed })
        .collect();
    let page = GearPiecePage { changed, ..page(who, form, Some(place)) };
    (StatusCode::CONFLICT, page).into_response()
}

async fn put(
    store: &Store,
    who: &SignedIn,
    mut form: GearForm,
    place: Option<(i64, i64)>,
) -> Result<Response, Problem> {
    let member = own_member(&who.account)?;
    let mut tx;
    let outcome = match form.kind {
        GearKind::Telescope => {
            let Some(draft) = form.telescope() else { return Ok(refused(page(who, form, place))) };
            tx = store.write().await?;
            gear_store::put_telescope(&mut tx, member, place, &draft).await
        }
        GearKind::Eyepiece => {
            let Some(draft) = form.eyepiece() else { return Ok(refused(page(who, form, place))) };
            tx = store.write().await?;
            gear_store::put_eyepiece(&mut tx, member, place, &draft).await
        }
    };
    match outcome {
        Ok(()) => {
            tx.commit().await?;
            Ok(Redirect::to("/account/gear?saved=yes").into_response())
        }
        Err(full @ GearError::Full) => {
            let page = GearPiecePage { refused: Some(full.to_string()), ..page(who, form, place) };
            Ok(refused(page))
        }
        Err(other) => Err(other.into()),
    }
}

fn refused(page: GearPiecePage) -> Response {
    (StatusCode::UNPROCESSABLE_ENTITY, page).into_response()
}

/// `POST /account/gear/{kind}/{id}/remove`
///
/// # Errors
/// 404 for what is not in one's own case, or the database could not answer.
pub async fn remove(
    State(store): State<Store>,
    who: SignedIn,
    Path((kind, id)): Path<(String, i64)>,
) -> Result<Redirect, Problem> {
    let member = own_member(&who.account)?;
    let mut tx = store.write().await?;
    gear_store::remove(&mut tx, member, kind_of(&kind)?, id).await?;
    tx.commit().await?;
    Ok(Redirect::to("/account/gear?removed=yes"))
}
