//! `/account/second-factor`: setting it up and looking after it.

use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

use super::enrol_page::{Need, SecondFactorPage, Stage};
use super::qr::Picture;
use super::renew_recovery_codes;
use super::store::{Seen, Standing, begin, confirm, drop_it, see, standing};
use super::totp::Secret;
use crate::audit::{Subject, note};
use crate::people::access::SignedIn;
use crate::people::account;
use crate::people::porter::{Porter, with_cookie};
use crate::people::proof::{FRESH, Proof};
use crate::people::session;
use crate::people::throttle::Attempt;
use crate::people::warnings;
use crate::profile::section::Section;
use crate::store::{StoreError, WriteTx};
use crate::web::body::Form;
use crate::web::field::Field;
use crate::web::frame::Place;
use crate::web::problem::Problem;

const HERE: &str = "/account/second-factor";

/// The form of every `POST` here.
#[derive(Default, Deserialize)]
#[serde(default)]
pub struct FactorForm {
    password: String,
    code: String,
    want: String,
}

fn page(porter: &Porter, who: &SignedIn, stage: Stage) -> SecondFactorPage {
    let must = porter.site.asks_staff_for_codes() && who.account.roles.need_codes();
    SecondFactorPage {
        frame: who.visit.frame("Second factor").at(Place::Me).returning_to(HERE),
        section: Section::Doors,
        stage,
        need: if must { Need::Must } else { Need::Choice },
        asks_password: !is_fresh(porter, who),
        password: Field::default(),
        code: Field::default(),
    }
}

/// Who has just signed in has just proven who they are.
fn is_fresh(porter: &Porter, who: &SignedIn) -> bool {
    porter.clock.seconds() - who.session.begun_at <= FRESH.as_secs()
}

fn refused(page: SecondFactorPage) -> Response {
    (StatusCode::UNPROCESSABLE_ENTITY, page).into_response()
}

/// `GET /account/second-factor`
///
/// # Errors
/// The database could not answer.
pub async fn look(porter: Porter, who: SignedIn) -> Result<SecondFactorPage, Problem> {
    let mut conn = porter.store.reader().acquire().await.map_err(StoreError::from)?;
    let stage = match standing(&mut conn, who.account.id).await? {
        Standing::Without => Stage::Without,
        Standing::With { paper_codes } => Stage::With { paper_codes },
    };
    Ok(page(&porter, &who, stage))
}

/// `POST /account/second-factor`: shows the secret.
///
/// # Errors
/// The database could not answer.
pub async fn start(
    porter: Porter,
    who: SignedIn,
    Form(form): Form<FactorForm>,
) -> Result<Response, Problem> {
    if !is_fresh(&porter, &who)
        && let Proof::Wrong(why) = porter.prove(&who, &form.password).await?
    {
        let password = Field::refused("", why);
        return Ok(refused(SecondFactorPage { password, ..page(&porter, &who, Stage::Without) }));
    }
    let mut tx = porter.store.write().await?;
    let secret = begin(&mut tx, &porter.clock, who.account.id, Secret::random()?).await?;
    tx.commit().await?;
    let Some(secret) = secret else { return Ok(Redirect::to(HERE).into_response()) };
    let stage = shown(&porter, &who, &secret).await?;
    Ok(page(&porter, &who, stage).into_response())
}

async fn shown(porter: &Porter, who: &SignedIn, secret: &Secret) -> Result<Stage, Problem> {
    let email = account::address_and_hash(&porter.store, who.account.id).await?;
    let email = email.map(|(email, _)| email).unwrap_or_default();
    let picture = Picture::of(&secret.address(&porter.site.club, &email));
    Ok(Stage::Fresh { picture, typed: secret.typed() })
}

/// `POST /account/second-factor/confirm`: switches it on, ends every other session, begins this one
/// afresh and shows the codes on paper.
///
/// # Errors
/// The database could not answer.
pub async fn switch_on(
    porter: Porter,
    who: SignedIn,
    Form(form): Form<FactorForm>,
) -> Result<Response, Problem> {
    let (id, now) = (who.account.id, porter.clock.seconds());
    let attempt = Attempt::at_code(id, porter.caller.address);
    let mut tx = porter.store.write().await?;
    let wait = attempt.wait(&mut tx, now).await?;
    if wait > 0 {
        return Err(Problem::too_many("That was tried too often.", wait));
    }
    if confirm(&mut tx, &porter.clock, id, &form.code).await? {
        let what = "From now on each sign-in to your account asks for a code of your app.";
        return in_force(&porter, &who, tx, "second-factor-on", what).await;
    }
    // The secret that waits, if any; one that is in force is never shown again.
    let secret = begin(&mut tx, &porter.clock, id, Secret::random()?).await?;
    attempt.failed(&mut tx, now).await?;
    tx.commit().await?;
    let Some(secret) = secret else { return Ok(Redirect::to(HERE).into_response()) };
    let stage = shown(&porter, &who, &secret).await?;
    let why = "That code is not right. Type the one the app shows now; if it stays wrong, let the \
               phone set its clock by itself.";
    let code = Field::refused("", why);
    Ok(refused(SecondFactorPage { code, ..page(&porter, &who, stage) }))
}

/// Fresh codes on paper, a fresh session in place of all others, and a letter about it.
async fn in_force(
    porter: &Porter,
    who: &SignedIn,
    mut tx: WriteTx,
    kind: &'static str,
    what: &str,
) -> Result<Response, Problem> {
    let id = who.account.id;
    let codes = renew_recovery_codes(&mut tx, id).await?;
    session::end_all(&mut tx, id).await?;
    let line = porter.open_session(&mut tx, id, &who.account.roles).await?;
    let subject = "Your second factor has changed";
    warnings::tell(&mut tx, &porter.clock, id, kind, subject, what).await?;
    let deed = if kind == "paper-codes" { "recovery codes renewed" } else { "second factor on" };
    note(&mut tx, who.actor(), deed, Subject::of("account", id), "").await?;
    tx.commit().await?;
    tracing::info!(account = id, kind, "the second factor has changed");
    let codes = codes.iter().map(super::RecoveryCode::written).collect();
    let page = page(porter, who, Stage::Paper { codes });
    Ok(with_cookie(page.into_response(), &line))
}

/// `POST /account/second-factor/change`: new codes on paper, or off with it. Asks for both factors.
///
/// # Errors
/// The database could not answer.
pub async fn change(
    porter: Porter,
    who: SignedIn,
    Form(form): Form<FactorForm>,
) -> Result<Response, Problem> {
    let (id, now) = (who.account.id, porter.clock.seconds());
    let mut conn = porter.store.reader().acquire().await.map_err(StoreError::from)?;
    let Standing::With { paper_codes } = standing(&mut conn, id).await? else {
        return Ok(Redirect::to(HERE).into_response());
    };
    drop(conn);
    let stage = Stage::With { paper_codes };
    if let Proof::Wrong(why) = porter.prove(&who, &form.password).await? {
        let password = Field::refused("", why);
        return Ok(refused(SecondFactorPage { password, ..page(&porter, &who, stage) }));
    }
    let attempt = Attempt::at_code(id, porter.caller.address);
    let mut tx = porter.store.write().await?;
    let wait = attempt.wait(&mut tx, now).await?;
    if wait > 0 {
        return Err(Problem::too_many("That was tried too often.", wait));
    }
    if see(&mut tx, &porter.clock, id, &form.code).await? == Seen::Wrong {
        attempt.failed(&mut tx, now).await?;
        tx.commit().await?;
        let code = Field::refused("", "That code is not right, or was used before.");
        return Ok(refused(SecondFactorPage { code, ..page(&porter, &who, stage) }));
    }
    attempt.succeeded(&mut tx).await?;
    if form.want != "off" {
        let what =
            "Ten new codes on paper were made for your account; earlier ones no longer work.";
        return in_force(&porter, &who, tx, "paper-codes", what).await;
    }
    drop_it(&mut tx, id).await?;
    session::end_all(&mut tx, id).await?;
    let line = porter.open_session(&mut tx, id, &who.account.roles).await?;
    let what = "The second factor of your account was taken off.";
    let subject = "Your second factor has changed";
    warnings::tell(&mut tx, &porter.clock, id, "second-factor-off", subject, what).await?;
    note(&mut tx, who.actor(), "second factor off", Subject::of("account", id), "").await?;
    tx.commit().await?;
    tracing::info!(account = id, "the second factor was taken off");
    Ok(with_cookie(Redirect::to(HERE).into_response(), &line))
}
