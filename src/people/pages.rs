//! The doors: signing in and out, and choosing a password behind a one-time link.

use axum::extract::State;
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

use super::access::SignedIn;
use super::account;
use super::joining;
use super::password::{is_outdated, proven};
use super::porter::{Porter, with_cookie};
use super::session;
use super::sign_in_page::SignInPage;
use super::throttle::Attempt;
use super::warnings;
use crate::audit::{Means, Subject, note};
use crate::store::{Store, StoreError};
use crate::web::body::{Form, Query};
use crate::web::problem::Problem;
use crate::web::site::{Site, cookie, local_path};
use crate::web::visit::Visit;

/// What stands after the question mark of `/sign-in`.
#[derive(Debug, Default, Deserialize)]
pub struct SignInQuery {
    next: Option<String>,
    signed_out: Option<String>,
    changed: Option<String>,
}

async fn page(porter: &Porter, visit: &Visit, next: &str) -> Result<SignInPage, StoreError> {
    Ok(SignInPage {
        joining: joining::is_open(&porter.store).await?,
        mail: porter.post.is_open(),
        frame: visit.frame("Sign in"),
        email: String::new(),
        next: if next == "/" { String::new() } else { next.to_owned() },
        refused: None,
        notice: None,
    })
}

/// `GET /sign-in`: the form, or on to where one wanted to go for those who are signed in.
///
/// # Errors
/// The database could not answer.
pub async fn sign_in_form(
    porter: Porter,
    visit: Visit,
    Query(query): Query<SignInQuery>,
) -> Result<Response, Problem> {
    let next = local_path(query.next.as_deref().unwrap_or("/"));
    if let Some(id) = &porter.caller.session
        && session::find(&porter.store, &porter.clock, id).await?.is_some()
    {
        return Ok(Redirect::to(next).into_response());
    }
    let notice = if query.changed.is_some() {
        Some("Your new address is set. Sign in with it from now on.".to_owned())
    } else {
        query.signed_out.is_some().then(|| "You have signed out.".to_owned())
    };
    Ok(SignInPage { notice, ..page(&porter, &visit, next).await? }.into_response())
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
    porter: Porter,
    visit: Visit,
    Form(form): Form<SignInForm>,
) -> Result<Response, Problem> {
    let Porter { store, clock, hasher, .. } = &porter;
    let next = local_path(&form.next);
    let attempt = Attempt::of(&form.email, porter.caller.address);
    // The turn is held until the outcome is written down, so that no burst of guesses passes
    // between the look at the brake and the count.
    let turn = hasher.turn().await?;
    let mut conn = store.reader().acquire().await.map_err(StoreError::from)?;
    let wait = attempt.wait(&mut conn, clock.seconds()).await?;
    drop(conn);
    if wait > 0 {
        tracing::warn!("a sign-in was put off after repeated failures");
        return Ok(put_off(page(&porter, &visit, next).await?, &form, wait));
    }
    let found = account::credentials(store, form.email.trim()).await?;
    let hash = found.as_ref().and_then(|account| account.password_hash.clone());
    let holds = turn.verify(form.password.clone(), hash.clone()).await?;
    let fresh = match hash {
        Some(hash) if holds && is_outdated(&hash) => Some(turn.hash(proven(&form.password)).await?),
        _ => None,
    };
    let mut tx = store.write().await?;
    let known = found.as_ref().map(|account| account.id);
    let Some(account) = found.filter(|account| holds && !account.are_barred()) else {
        attempt.failed(&mut tx, clock.seconds()).await?;
        // What was typed as a name stays unsaid: it may be a password in the wrong field.
        let subject = known.map_or(Subject::NONE, |id| Subject::of("account", id));
        note(&mut tx, &porter.stranger(), "sign-in failed", subject, "").await?;
        if let Some(id) = known {
            warnings::note_failure(&mut tx, clock, id).await?;
        }
        tx.commit().await?;
        tracing::warn!("a sign-in failed");
        let or = if porter.post.is_open() {
            "or have a link sent to you"
        } else {
            "or ask the quartermaster for a new link"
        };
        let refused = format!(
            "That e-mail address and password don't belong together. Check both and try again, {or}."
        );
        let page = SignInPage {
            email: form.email,
            refused: Some(refused),
            ..page(&porter, &visit, next).await?
        };
        return Ok((StatusCode::UNAUTHORIZED, page).into_response());
    };
    attempt.succeeded(&mut tx).await?;
    if let Some(fresh) = fresh {
        account::keep_hash(&mut tx, account.id, &fresh).await?;
    }
    porter.welcome(tx, account.id, &account.roles, Means::Page, next).await
}

fn put_off(page: SignInPage, form: &SignInForm, seconds: u64) -> Response {
    let refused = format!("That was tried too often. Wait {}, then try again.", in_words(seconds));
    let page = SignInPage { email: form.email.clone(), refused: Some(refused), ..page };
    let mut response = (StatusCode::TOO_MANY_REQUESTS, page).into_response();
    response.headers_mut().insert(header::RETRY_AFTER, HeaderValue::from(seconds));
    response
}

/// A wait in words: `a second`, `40 seconds`, `3 minutes`.
pub(super) fn in_words(seconds: u64) -> String {
    match seconds {
        120.. => format!("{} minutes", seconds.div_ceil(60)),
        1 => "a second".to_owned(),
        _ => format!("{seconds} seconds"),
    }
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
    // Kit cards that this browser keeps for places without a network go as well.
    let away = [("clear-site-data", "\"storage\"")];
    let leave = (away, Redirect::to("/sign-in?signed_out=yes")).into_response();
    Ok(with_cookie(leave, &line))
}
