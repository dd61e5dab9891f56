//! Access tokens: making, listing and revoking one's own.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use jiff::Timestamp;
use serde::Deserialize;

use super::section::Section;
use super::token_page::{FreshToken, LIFETIMES, TokenPage, TokenRow};
use crate::audit::{Subject, note};
use crate::people::access::{Scope, SignedIn};
use crate::people::token::{self, MOST_TOKENS, NewToken, TokenFacts};
use crate::store::Store;
use crate::web::body::{Form, Path, Query};
use crate::web::clock::Clock;
use crate::web::field::Field;
use crate::web::format;
use crate::web::frame::Place;
use crate::web::problem::Problem;
use crate::web::secret::Secret;

/// The longest name of a token.
const LONGEST_NAME: usize = 80;

/// What stands after the question mark of `/account/tokens`.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct Told {
    revoked: Option<String>,
}

async fn page(store: &Store, clock: &Clock, who: &SignedIn) -> Result<TokenPage, Problem> {
    let tokens = token::of_account(store, clock, who.account.id).await?;
    Ok(TokenPage {
        frame: who.visit.frame("Access tokens").at(Place::Me).returning_to("/account/tokens"),
        section: Section::Tokens,
        tokens: tokens.into_iter().map(|facts| row(clock, facts)).collect(),
        fresh: None,
        notice: None,
        name: Field::default(),
        scope: Scope::Read.as_str().into(),
        days: "90".into(),
    })
}

fn row(clock: &Clock, facts: TokenFacts) -> TokenRow {
    let day = |seconds: i64| {
        let instant = Timestamp::from_second(seconds).ok()?;
        Some(format::night(instant.to_zoned_datetime(clock.zone().clone()).date()))
    };
    TokenRow {
        id: facts.id,
        name: facts.name,
        may: match facts.scope {
            Scope::Read => "may read",
            Scope::Write => "may read and change",
        },
        ends: facts.expires_at.and_then(day).unwrap_or_else(|| "no particular day".into()),
        last_used: facts.last_used_on.map_or_else(|| "not yet".into(), format::night),
    }
}

/// `GET /account/tokens`
///
/// # Errors
/// The database could not be read.
pub async fn list(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Query(told): Query<Told>,
) -> Result<TokenPage, Problem> {
    let notice =
        told.revoked.is_some().then(|| "The token was revoked: it opens nothing any more.".into());
    Ok(TokenPage { notice, ..page(&store, &clock, &who).await? })
}

/// The form of `POST /account/tokens`.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct TokenForm {
    name: String,
    scope: String,
    days: String,
}

/// `POST /account/tokens`: makes a token and shows it once.
///
/// # Errors
/// The database could not answer.
pub async fn make(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Form(form): Form<TokenForm>,
) -> Result<Response, Problem> {
    let name = form.name.trim();
    let refused = async |why: String| {
        let page = TokenPage {
            name: Field::refused(&form.name, why),
            scope: form.scope.clone(),
            days: form.days.clone(),
            ..page(&store, &clock, &who).await?
        };
        Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response())
    };
    if name.is_empty() {
        return refused("Give it a name, so that you recognise it later.".into()).await;
    }
    if name.chars().count() > LONGEST_NAME || name.chars().any(char::is_control) {
        return refused(format!("Give it a plain name of at most {LONGEST_NAME} characters."))
            .await;
    }
    let scope = if form.scope == Scope::Write.as_str() { Scope::Write } else { Scope::Read };
    // Something else than a choice of ours counts as the shortest.
    let days = LIFETIMES
        .into_iter()
        .map(|(days, _)| days)
        .find(|days| days.to_string() == form.days)
        .unwrap_or(LIFETIMES[0].0);
    let secret = Secret::random()?;
    let mut tx = store.write().await?;
    let new = NewToken { name, scope, days: Some(days) };
    if !token::make(&mut tx, &clock, who.account.id, &new, &secret).await? {
        drop(tx);
        return refused(format!(
            "You have {MOST_TOKENS} tokens, which is the most: revoke one that you no longer need."
        ))
        .await;
    }
    let detail = format!("{}, {days} days", scope.as_str());
    note(
        &mut tx,
        who.actor(),
        "access token made",
        Subject::of("account", who.account.id),
        &detail,
    )
    .await?;
    tx.commit().await?;
    let fresh = Some(FreshToken { name: name.into(), text: secret.reveal().into() });
    Ok(TokenPage { fresh, ..page(&store, &clock, &who).await? }.into_response())
}

/// `POST /account/tokens/{id}/revoke`
///
/// # Errors
/// 404 for a token that is not there or not theirs.
pub async fn revoke(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
) -> Result<Redirect, Problem> {
    let mut tx = store.write().await?;
    if !token::revoke(&mut tx, &clock, who.account.id, id).await? {
        return Err(Problem::not_found(
            "You have no such token; it may have been revoked already.",
        )
        .next("Look at the list of your tokens.")
        .way("Your tokens", "/account/tokens"));
    }
    note(&mut tx, who.actor(), "access token revoked", Subject::of("access token", id), "").await?;
    tx.commit().await?;
    Ok(Redirect::to("/account/tokens?revoked=yes"))
}
