//! The doors: signing in and out, and choosing a password behind a one-time link.

use std::convert::Infallible;

use axum::Extension;
use axum::extract::{FromRef, FromRequestParts, State};
use axum::http::request::Parts;
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

use super::access::SignedIn;
use super::account::{self, Credentials};
use super::password::{Hasher, is_outdated, proven};
use super::rights::Roles;
use super::session;
use super::sign_in_page::SignInPage;
use super::throttle::Attempt;
use crate::audit::{Actor, Means, Subject, note};
use crate::store::{Store, WriteTx};
use crate::web::body::{Form, Query};
use crate::web::clock::Clock;
use crate::web::problem::Problem;
use crate::web::secret::Secret;
use crate::web::server::Peer;
use crate::web::site::{Site, cookie, local_path};
use crate::web::visit::Visit;

/// What a door needs to let somebody in.
#[derive(Clone, Debug)]
pub struct Porter {
    pub(super) store: Store,
    pub(super) clock: Clock,
    pub(super) site: Site,
    pub(super) hasher: Hasher,
}

impl<S> FromRequestParts<S> for Porter
where
    S: Send + Sync,
    Store: FromRef<S>,
    Clock: FromRef<S>,
    Site: FromRef<S>,
    Hasher: FromRef<S>,
{
    type Rejection = Infallible;

    async fn from_request_parts(_: &mut Parts, state: &S) -> Result<Self, Infallible> {
        Ok(Self {
            store: Store::from_ref(state),
            clock: Clock::from_ref(state),
            site: Site::from_ref(state),
            hasher: Hasher::from_ref(state),
        })
    }
}

/// What stands after the question mark of `/sign-in`.
#[derive(Debug, Default, Deserialize)]
pub struct SignInQuery {
    next: Option<String>,
    signed_out: Option<String>,
}

fn page(visit: &Visit, next: &str) -> SignInPage {
    SignInPage {
        frame: visit.frame("Sign in"),
        email: String::new(),
        next: if next == "/" { String::new() } else { next.to_owned() },
        refused: None,
        notice: None,
    }
}

/// `GET /sign-in`: the form, or on to where one wanted to go for those who are signed in.
///
/// # Errors
/// The database could not answer.
pub async fn sign_in_form(
    Porter { store, clock, site, .. }: Porter,
    visit: Visit,
    headers: HeaderMap,
    Query(query): Query<SignInQuery>,
) -> Result<Response, Problem> {
    let next = local_path(query.next.as_deref().unwrap_or("/"));
    if let Some(id) = cookie(&headers, site.session_cookie())
        && session::find(&store, &clock, id).await?.is_some()
    {
        return Ok(Redirect::to(next).into_response());
    }
    let notice = query.signed_out.is_some().then(|| "You have signed out.".to_owned());
    Ok(SignInPage { notice, ..page(&visit, next) }.into_response())
}

/// The form of `POST /sign-in`.
#[derive(Deserialize)]
#[serde(default)]
#[derive(Default)]
pub struct SignInForm {
    email: String,
    password: String,
    next: String,
}

/// `POST /sign-in`.
///
/// A wrong name and a wrong password get the same words after the same time.
///
/// # Errors
/// The database could not answer, or too many sign in at once.
pub async fn sign_in(
    Porter { store, clock, site, hasher }: Porter,
    Extension(Peer(peer)): Extension<Peer>,
    visit: Visit,
    headers: HeaderMap,
    Form(form): Form<SignInForm>,
) -> Result<Response, Problem> {
    let next = local_path(&form.next);
    let address = site.client(peer, &headers);
    let attempt = Attempt::of(&form.email, address);
    // The turn is held until the outcome is written down, so that no burst of guesses passes
    // between the look at the brake and the count.
    let turn = hasher.turn().await?;
    let wait = attempt.wait(&store, clock.seconds()).await?;
    if wait > 0 {
        tracing::warn!("a sign-in was put off after repeated failures");
        return Ok(put_off(&visit, &form, next, wait));
    }
    let found = account::credentials(&store, form.email.trim()).await?;
    let hash = found.as_ref().and_then(|account| account.password_hash.clone());
    let known = found.as_ref().map(|account| account.id);
    let holds = turn.verify(form.password.clone(), hash).await?;
    let mut tx = store.write().await?;
    let Some(account) = found.filter(|_| holds) else {
        attempt.failed(&mut tx, clock.seconds()).await?;
        // What was typed as a name stays unsaid: it may be a password in the wrong field.
        let subject = known.map_or(Subject::NONE, |id| Subject::of("account", id));
        let stranger = Actor::visitor(&clock, Means::Page, Some(address));
        note(&mut tx, &stranger, "sign-in failed", subject, "").await?;
        tx.commit().await?;
        tracing::warn!("a sign-in failed");
        let refused =
            "That e-mail address and password don't belong together. Check both and try again.";
        let page =
            SignInPage { email: form.email, refused: Some(refused.into()), ..page(&visit, next) };
        return Ok((StatusCode::UNAUTHORIZED, page).into_response());
    };
    attempt.succeeded(&mut tx).await?;
    if account.password_hash.as_deref().is_some_and(is_outdated) {
        let fresh = turn.hash(proven(&form.password)).await?;
        account::keep_hash(&mut tx, account.id, &fresh).await?;
    }
    let Credentials { id, roles, .. } = account;
    let line = open_session(&mut tx, &clock, &site, &headers, id, &roles).await?;
    let person = Actor::account(&clock, id, Means::Page, Some(address));
    note(&mut tx, &person, "signed in", Subject::of("account", id), "").await?;
    tx.commit().await?;
    tracing::info!(account = id, "signed in");
    Ok(with_cookie(Redirect::to(next).into_response(), &line))
}

fn put_off(visit: &Visit, form: &SignInForm, next: &str, seconds: u64) -> Response {
    let words = if seconds >= 120 {
        format!("{} minutes", seconds.div_ceil(60))
    } else if seconds == 1 {
        "a second".to_owned()
    } else {
        format!("{seconds} seconds")
    };
    let refused = format!("That was tried too often. Wait {words}, then try again.");
    let page =
        SignInPage { email: form.email.clone(), refused: Some(refused), ..page(visit, next) };
    let mut response = (StatusCode::TOO_MANY_REQUESTS, page).into_response();
    response.headers_mut().insert(header::RETRY_AFTER, HeaderValue::from(seconds));
    response
}

/// Begins a session in place of the browser's former one and gives the cookie's line.
pub(super) async fn open_session(
    tx: &mut WriteTx,
    clock: &Clock,
    site: &Site,
    headers: &HeaderMap,
    account: i64,
    roles: &Roles,
) -> Result<String, Problem> {
    let id = Secret::random()?;
    let former = cookie(headers, site.session_cookie());
    session::begin(tx, clock, account, roles, &id, former).await?;
    let seconds = session::lasts(roles).as_secs();
    Ok(site.set_cookie(site.session_cookie(), id.reveal(), Some(seconds)))
}

pub(super) fn with_cookie(mut response: Response, line: &str) -> Response {
    // A cookie's line is made of our own names and hexadecimal digits.
    if let Ok(value) = HeaderValue::from_str(line) {
        response.headers_mut().append(header::SET_COOKIE, value);
    }
    response
}

/// `POST /sign-out`: ends the session here and in the browser.
///
/// # Errors
/// The database could not answer.
pub async fn sign_out(
    State(store): State<Store>,
    State(site): State<Site>,
    who: SignedIn,
    headers: HeaderMap,
) -> Result<Response, Problem> {
    if let Some(id) = cookie(&headers, site.session_cookie()) {
        let mut tx = store.write().await?;
        session::end(&mut tx, id).await?;
        let own = Subject::of("account", who.account.id);
        note(&mut tx, who.actor(), "signed out", own, "").await?;
        tx.commit().await?;
    }
    let line = site.set_cookie(site.session_cookie(), "", Some(0));
    Ok(with_cookie(Redirect::to("/sign-in?signed_out=yes").into_response(), &line))
}
