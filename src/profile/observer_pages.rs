//! What a member says of their eyes: shown, changed, erased.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

use super::needs::Needs;
use super::observer_form::{ObserverForm, Typed};
use super::observer_page::{Changed, ObserverPage};
use super::section::Section;
use super::whose::own_member;
use crate::people::access::SignedIn;
use crate::people::guardian::{self, Standing};
use crate::people::profile::{self, Profile};
use crate::people::{MemberId, PeopleError};
use crate::store::Store;
use crate::web::body::{Form, Query};
use crate::web::clock::Clock;
use crate::web::frame::Place;
use crate::web::problem::Problem;

/// What stands after the question mark of `/account/observer`.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct Told {
    saved: Option<String>,
    erased: Option<String>,
}

async fn page(
    store: &Store,
    clock: &Clock,
    who: &SignedIn,
    member: MemberId,
) -> Result<ObserverPage, Problem> {
    let mut conn = store.reader().acquire().await?;
    let (profile, version) = profile::profile(&mut conn, member).await?;
    let (guardian, guardian_email) =
        match guardian::standing(&mut conn, member, clock.today()).await? {
            Standing::Minor { guardian: Some(one), .. } => {
                (Some(one.name), one.email.map(|email| email.to_string()))
            }
            Standing::Minor { guardian: None, .. } => (Some(String::new()), None),
            Standing::Adult | Standing::AgeNotKnown => (None, None),
        };
    Ok(ObserverPage {
        frame: who
            .visit
            .frame("My eyes at the eyepiece")
            .at(Place::Me)
            .returning_to("/account/observer"),
        section: Section::Observer,
        form: ObserverForm::of(&profile, version),
        needs: Needs::of(&profile.eyes.observer(clock.today().year())),
        known: profile != Profile::default(),
        guardian,
        guardian_email,
        notice: None,
        changed: Vec::new(),
    })
}

/// `GET /account/observer`
///
/// # Errors
/// 404 for an account of nobody on the list, or the database could not be read.
pub async fn form(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Query(told): Query<Told>,
) -> Result<ObserverPage, Problem> {
    let member = own_member(&who.account)?;
    let notice = match (told.saved, told.erased) {
        (Some(_), _) => Some("Saved. The next kit is chosen with it.".into()),
        (None, Some(_)) => Some("Erased: nothing is kept about your eyes.".into()),
        (None, None) => None,
    };
    Ok(ObserverPage { notice, ..page(&store, &clock, &who, member).await? })
}

/// `POST /account/observer`
///
/// # Errors
/// 404 for an account of nobody on the list, or the database could not answer.
pub async fn save(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Form(typed): Form<Typed>,
) -> Result<Response, Problem> {
    let member = own_member(&who.account)?;
    let mut form = typed.form();
    let Some(wanted) = typed.check(&mut form, clock.today().year()) else {
        let page = ObserverPage { form, ..page(&store, &clock, &who, member).await? };
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
    };
    let mut tx = store.write().await?;
    match profile::replace_profile(&mut tx, member, form.version, &wanted).await {
        Ok(_) => {}
        Err(PeopleError::Stale) => {
            drop(tx);
            return too_late(&store, &clock, &who, member, form).await;
        }
        Err(error) => return Err(error.into()),
    }
    tx.commit().await?;
    Ok(Redirect::to("/account/observer?saved=yes").into_response())
}

/// The form again, with what was saved meanwhile beside what was typed; the next try counts.
async fn too_late(
    store: &Store,
    clock: &Clock,
    who: &SignedIn,
    member: MemberId,
    mut form: ObserverForm,
) -> Result<Response, Problem> {
    let mut page = page(store, clock, who, member).await?;
    page.changed = form
        .differences(&page.form)
        .into_iter()
        .map(|(label, kept, typed)| Changed { label, kept, typed })
        .collect();
    form.version = page.form.version;
    page.form = form;
    Ok((StatusCode::CONFLICT, page).into_response())
}

/// `POST /account/observer/erase`: nothing stays of what was said.
///
/// # Errors
/// 404 for an account of nobody on the list, or the database could not answer.
pub async fn erase(State(store): State<Store>, who: SignedIn) -> Result<Redirect, Problem> {
    let member = own_member(&who.account)?;
    let mut tx = store.write().await?;
    let (_, version) = profile::profile(&mut tx, member).await?;
    profile::replace_profile(&mut tx, member, version, &Profile::default()).await?;
    tx.commit().await?;
    store.fold().await;
    Ok(Redirect::to("/account/observer?erased=yes"))
}
