//! `/join` for those who would like to, `/people/joining` for those who answer.

use axum::Extension;
use axum::extract::State;
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use jiff::Timestamp;
use serde::Deserialize;

use super::access::SignedIn;
use super::invite;
use super::joining::{self, LONGEST_MESSAGE};
use super::joining_page::{JoinPage, JoiningPage, Waiting};
use super::link_pages::By;
use super::member::Email;
use super::porter::Porter;
use super::rights::{Role, Roles};
use super::throttle::Attempt;
use crate::audit::{Actor, Means, Subject, note};
use crate::sheet::Name;
use crate::store::Store;
use crate::web::body::{Form, Path, Query};
use crate::web::clock::Clock;
use crate::web::field::Field;
use crate::web::format;
use crate::web::frame::Place;
use crate::web::problem::Problem;
use crate::web::server::Peer;
use crate::web::site::Site;
use crate::web::visit::Visit;

fn shut() -> Problem {
    Problem::not_found("This club invites its members itself.")
        .next("Ask the club for an invitation link.")
        .way("Sign in", "/sign-in")
}

fn join_page(visit: &Visit) -> JoinPage {
    JoinPage {
        frame: visit.frame("Ask to join").returning_to("/join"),
        name: Field::default(),
        email: Field::default(),
        says: Field::default(),
        sent: false,
    }
}

/// `GET /join`
///
/// # Errors
/// 404 where the club has not opened this door.
pub async fn form(State(store): State<Store>, visit: Visit) -> Result<JoinPage, Problem> {
    if !joining::is_open(&store).await? {
        return Err(shut());
    }
    Ok(join_page(&visit))
}

/// The form of `POST /join`.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct JoinForm {
    name: String,
    email: String,
    says: String,
}

/// `POST /join`: the same answer whether or not the address is known here.
///
/// # Errors
/// 404 where the club has not opened this door, 429 from an address that asks too often.
pub async fn ask(
    State(store): State<Store>,
    State(clock): State<Clock>,
    State(site): State<Site>,
    Extension(Peer(peer)): Extension<Peer>,
    visit: Visit,
    headers: HeaderMap,
    Form(form): Form<JoinForm>,
) -> Result<Response, Problem> {
    if !joining::is_open(&store).await? {
        return Err(shut());
    }
    let mut page = join_page(&visit);
    page.name = Field::of(&form.name);
    page.email = Field::of(&form.email);
    page.says = Field::of(&form.says);
    let name = Name::new(&form.name).map_err(|why| page.name.refuse(why.to_string()));
    let email = Email::new(form.email.trim()).map_err(|why| page.email.refuse(why.to_string()));
    let says = form.says.trim();
    if says.chars().count() > LONGEST_MESSAGE
        || says.chars().any(|c| c.is_control() && !matches!(c, '\n' | '\r' | '\t'))
    {
        page.says
            .refuse(format!("Please write plain text of at most {LONGEST_MESSAGE} characters."));
    }
    let (Ok(name), Ok(email), None) = (name, email, &page.says.error) else {
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
    };
    let address = site.client(peer, &headers);
    // Counted apart from sign-ins, so that asking here locks nobody out.
    let attempt = Attempt::at_join(address);
    let now = clock.seconds();
    let mut tx = store.write().await?;
    let wait = attempt.wait(&mut tx, now).await?;
    if wait > 0 {
        return Err(Problem::too_many("Too many requests to join came from here.", wait));
    }
    attempt.failed(&mut tx, now).await?;
    let room = joining::ask(&mut tx, &clock, &name, &email, says).await?;
    let who = Actor::visitor(&clock, Means::Page, Some(address));
    note(&mut tx, &who, "asked to join", Subject::NONE, "").await?;
    tx.commit().await?;
    if !room {
        return Err(Problem::too_many("Too many people wait for an answer already.", 86_400));
    }
    Ok(JoinPage { sent: true, ..join_page(&visit) }.into_response())
}

/// What a deed leads back with.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Told {
    done: String,
}

/// `GET /people/joining`
///
/// # Errors
/// The database could not be read.
pub async fn list(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Query(told): Query<Told>,
) -> Result<JoiningPage, Problem> {
    let waiting = joining::waiting(&store).await?;
    Ok(JoiningPage {
        frame: who.visit.frame("Who may ask to join").at(Place::People),
        open: joining::is_open(&store).await?,
        waiting: waiting
            .into_iter()
            .map(|request| {
                let asked = Timestamp::from_second(request.asked_at).unwrap_or_default();
                let day = asked.to_zoned_datetime(clock.zone().clone()).date();
                Waiting { day: format::night(day), request }
            })
            .collect(),
        notice: match told.done.as_str() {
            "kept" => Some("The setting is kept."),
            "declined" => Some("The request was declined."),
            _ => None,
        },
    })
}

/// The form of `POST /people/joining`.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct OpenForm {
    open: String,
}

/// `POST /people/joining`: opens or shuts the door.
///
/// # Errors
/// The database could not answer.
pub async fn set(
    State(store): State<Store>,
    who: SignedIn,
    Form(form): Form<OpenForm>,
) -> Result<Redirect, Problem> {
    let open = form.open == "yes";
    if joining::is_open(&store).await? != open {
        let mut tx = store.write().await?;
        joining::set_open(&mut tx, who.actor(), open).await?;
        tx.commit().await?;
    }
    Ok(Redirect::to("/people/joining?done=kept"))
}

fn no_such_request() -> Problem {
    Problem::not_found("This request has been answered already.")
        .next("Look at those who still wait.")
        .way("Who may ask to join", "/people/joining")
}

/// `POST /people/joining/{id}/approve`: an account for borrowing, and the link for it: by mail, as
/// whoever asked was told, or to be handed over where the club has no mail server.
///
/// # Errors
/// 404 for a request that is not there, 409 where its address has an account by now.
pub async fn approve(
    porter: Porter,
    who: SignedIn,
    Path(id): Path<i64>,
) -> Result<Response, Problem> {
    let clock = &porter.clock;
    let mut tx = porter.store.write().await?;
    let request = joining::take(&mut tx, id).await?.ok_or_else(no_such_request)?;
    let unreadable = |why: String| Problem::conflict(why).next("Decline the request instead.");
    let email = Email::new(&request.email).map_err(|why| unreadable(why.to_string()))?;
    let roles = Roles::of([Role::Member]);
    let name = Some(request.name.as_str());
    let made = invite::invite_newcomer(&mut tx, clock, who.actor(), &email, name, &roles)
        .await?
        .map_err(unreadable)?;
    let approved = Subject::of("account", made.account);
    note(&mut tx, who.actor(), "request to join approved", approved, "").await?;
    tx.commit().await?;
    Ok(By::word("mail").hand_over(&porter, &who, &made))
}

/// `POST /people/joining/{id}/decline`
///
/// # Errors
/// 404 for a request that is not there.
pub async fn decline(
    State(store): State<Store>,
    who: SignedIn,
    Path(id): Path<i64>,
) -> Result<Redirect, Problem> {
    let mut tx = store.write().await?;
    joining::take(&mut tx, id).await?.ok_or_else(no_such_request)?;
    note(&mut tx, who.actor(), "request to join declined", Subject::NONE, "").await?;
    tx.commit().await?;
    Ok(Redirect::to("/people/joining?done=declined"))
}
