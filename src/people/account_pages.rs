//! `/account`: one's own name, address, password and sessions.

use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use jiff::Timestamp;
use serde::Deserialize;

use super::access::SignedIn;
use super::account::{self, AccountError};
use super::account_page::{AccountPage, SessionRow};
use super::links::{self, Purpose};
use super::member::Email;
use super::password::Password;
use super::porter::{Porter, with_cookie};
use super::proof::Proof;
use super::session::{self, ListedSession};
use super::warnings;
use crate::audit::{Subject, note};
use crate::post::{Carried, Letter};
use crate::profile::section::Section;
use crate::sheet::Name;
use crate::web::body::{Form, Path, Query};
use crate::web::clock::Clock;
use crate::web::field::Field;
use crate::web::format;
use crate::web::frame::Place;
use crate::web::problem::Problem;
use crate::web::secret::Secret;

/// What stands after the question mark of `/account`.
#[derive(Debug, Default, Deserialize)]
pub struct Told {
    done: Option<String>,
}

/// The form of every `POST` here.
#[derive(Default, Deserialize)]
#[serde(default)]
pub struct AccountForm {
    name: String,
    email: String,
    email_password: String,
    password: String,
    new_password: String,
}

async fn page(porter: &Porter, who: &SignedIn) -> Result<AccountPage, Problem> {
    let (email, hash) = account::address_and_hash(&porter.store, who.account.id)
        .await?
        .ok_or_else(|| Problem::not_found("This account is not there any more."))?;
    let (id, roles) = (who.account.id, &who.account.roles);
    let mut sessions: Vec<SessionRow> =
        session::of_account(&porter.store, &porter.clock, id, roles)
            .await?
            .into_iter()
            .map(|one| row(&porter.clock, one, &who.session.handle))
            .collect();
    sessions.sort_by_key(|one| !one.own);
    Ok(AccountPage {
        frame: who.visit.frame("Your account").at(Place::Me).returning_to("/account"),
        section: Section::Doors,
        notice: None,
        name: Field::of(&who.account.name),
        email: Field::of(email),
        email_password: Field::default(),
        password: Field::default(),
        new_password: Field::default(),
        has_password: hash.is_some(),
        has_second_factor: who.session.has_second_factor,
        sessions,
    })
}

fn row(clock: &Clock, one: ListedSession, own: &str) -> SessionRow {
    let at = |seconds| {
        let instant = Timestamp::from_second(seconds).unwrap_or_default();
        let there = instant.to_zoned_datetime(clock.zone().clone());
        format!("{}, {:02}:{:02}", format::night(there.date()), there.hour(), there.minute())
    };
    let place = one.place.map(|place| format!(" from {place}")).unwrap_or_default();
    SessionRow {
        browser: one.browser.unwrap_or_else(|| "A browser".into()),
        told: format!("Since {}{place}. Last used {}.", at(one.begun_at), at(one.seen_at)),
        own: one.handle == own,
        handle: one.handle,
    }
}

fn refused(page: AccountPage) -> Response {
    (StatusCode::UNPROCESSABLE_ENTITY, page).into_response()
}

fn done(word: &str) -> Response {
    Redirect::to(&format!("/account?done={word}")).into_response()
}

/// `GET /account`
///
/// # Errors
/// The database could not answer.
pub async fn look(
    porter: Porter,
    who: SignedIn,
    Query(told): Query<Told>,
) -> Result<AccountPage, Problem> {
    let notice = match told.done.as_deref() {
        Some("name") => Some("Your name is saved."),
        Some("password") => {
            Some("Your password is changed, and you are signed out everywhere else.")
        }
        Some("email") => Some("Your address is changed: sign in with it from now on."),
        Some("letter") => Some(
            "A letter is on its way to the new address. The change counts once its link is used.",
        ),
        Some("ended") => Some("That browser is signed out."),
        Some("others") => Some("You are signed out everywhere else."),
        _ => None,
    };
    Ok(AccountPage { notice: notice.map(Into::into), ..page(&porter, &who).await? })
}

/// `POST /account/name`
///
/// # Errors
/// The database could not answer.
pub async fn set_name(
    porter: Porter,
    who: SignedIn,
    Form(form): Form<AccountForm>,
) -> Result<Response, Problem> {
    let name = match Name::new(form.name.trim()) {
        Ok(name) => name,
        Err(error) => {
            let name = Field::refused(form.name, error.to_string());
            return Ok(refused(AccountPage { name, ..page(&porter, &who).await? }));
        }
    };
    let mut tx = porter.store.write().await?;
    account::set_name(&mut tx, who.account.id, name.as_str()).await?;
    tx.commit().await?;
    Ok(done("name"))
}

/// `POST /account/password`: changes it, ends every other session and begins this one afresh.
///
/// # Errors
/// The database could not answer, or the password was guessed at too often.
pub async fn set_password(
    porter: Porter,
    who: SignedIn,
    Form(form): Form<AccountForm>,
) -> Result<Response, Problem> {
    let mut page = page(&porter, &who).await?;
    let known = [&*porter.site.club, page.name.value.as_str(), page.email.value.as_str()];
    let chosen = Password::choose(&form.new_password, &known);
    let proof = porter.prove(&who, &form.password).await?;
    let password = match (chosen, proof) {
        (Ok(password), Proof::Given) => password,
        (chosen, proof) => {
            if let Err(weak) = chosen {
                page.new_password = Field::refused("", weak.to_string());
            }
            if let Proof::Wrong(why) = proof {
                page.password = Field::refused("", why);
            }
            return Ok(refused(page));
        }
    };
    let hash = porter.hasher.turn().await?.hash(password).await?;
    let id = who.account.id;
    let mut tx = porter.store.write().await?;
    account::set_password(&mut tx, id, &hash).await?;
    warnings::tell_of_new_password(&mut tx, &porter.clock, id).await?;
    note(&mut tx, who.actor(), "password set", Subject::of("account", id), "").await?;
    let line = porter.open_session(&mut tx, id, &who.account.roles).await?;
    tx.commit().await?;
    tracing::info!(account = id, "the password was changed");
    Ok(with_cookie(done("password"), &line))
}

/// `POST /account/email`: with mail, the new address must first prove itself; without, it counts at
/// once. The former address is told.
///
/// # Errors
/// The database could not answer, or the password was guessed at too often.
pub async fn set_email(
    porter: Porter,
    who: SignedIn,
    Form(form): Form<AccountForm>,
) -> Result<Response, Problem> {
    let mut page = page(&porter, &who).await?;
    let email = Email::new(form.email.trim());
    let former = Email::new(&page.email.value);
    let proof = porter.prove(&who, &form.email_password).await?;
    page.email = Field::of(&form.email);
    let email = match (email, proof) {
        (Ok(email), Proof::Given) => email,
        (email, proof) => {
            if let Err(error) = email {
                page.email.refuse(error.to_string());
            }
            if let Proof::Wrong(why) = proof {
                page.email_password = Field::refused("", why);
            }
            return Ok(refused(page));
        }
    };
    if porter.post.is_open() {
        return prove_address(&porter, &who, email, former.ok()).await;
    }
    let id = who.account.id;
    let mut tx = porter.store.write().await?;
    match account::set_email(&mut tx, id, &email).await {
        Ok(()) => {}
        Err(AccountError::EmailTaken) => {
            page.email.refuse(AccountError::EmailTaken.to_string());
            return Ok(refused(page));
        }
        Err(AccountError::Store(error)) => return Err(error.into()),
    }
    session::end_all(&mut tx, id).await?;
    note(&mut tx, who.actor(), "address changed", Subject::of("account", id), "").await?;
    let line = porter.open_session(&mut tx, id, &who.account.roles).await?;
    tx.commit().await?;
    tracing::info!(account = id, "the address was changed");
    Ok(with_cookie(done("email"), &line))
}

/// Sends the new address a link and the former one a word of warning. The answer is the same where
/// the new address has an account already: its owner is told instead.
async fn prove_address(
    porter: &Porter,
    who: &SignedIn,
    email: Email,
    former: Option<Email>,
) -> Result<Response, Problem> {
    let link = Secret::random()?;
    let purpose = Purpose::Email(email.clone());
    let mut tx = porter.store.write().await?;
    let taken = account::by_email(&mut tx, &email).await?.is_some();
    let not_after = links::make(&mut tx, &porter.clock, who.account.id, &purpose, &link).await?;
    tx.commit().await?;
    let name = who.account.name.clone();
    let letter = if taken {
        Letter::about("This address has an account already").says(
            "Somebody wanted to give another account this address. It has one already, so nothing \
             was changed.",
        )
    } else {
        Letter::about("Is this your new address?")
            .says("With this link you sign in under this address from now on. It works once, within a day.")
            .leads_to("Take this address", format!("/sign-in/link/{}", link.reveal()))
            .says("If you did not ask for it, do nothing.")
    };
    porter.post.carry(Carried { to: email.clone(), name: name.clone(), letter, not_after });
    if let Some(to) = former {
        let letter = Letter::about("Somebody wants to change your address")
            .says(format!(
                "A link was sent to {email}. Once it is used, your account is signed in to with \
                 that address."
            ))
            .says("If that was not you, choose a new password at once and tell the quartermaster.")
            .leads_to("Your account", "/account");
        porter.post.carry(Carried { to, name, letter, not_after });
    }
    Ok(done("letter"))
}

/// `POST /account/sessions/{handle}/end`
///
/// # Errors
/// 404 for a session that is not theirs or is over.
pub async fn end_session(
    porter: Porter,
    who: SignedIn,
    Path(handle): Path<String>,
) -> Result<Response, Problem> {
    let mut tx = porter.store.write().await?;
    if !session::end_one(&mut tx, who.account.id, &handle).await? {
        return Err(Problem::not_found("You are not signed in there any more.")
            .next("Look at the list afresh.")
            .way("Your account", "/account"));
    }
    let own = Subject::of("account", who.account.id);
    note(&mut tx, who.actor(), "session ended", own, "one").await?;
    tx.commit().await?;
    Ok(done("ended"))
}

/// `POST /account/sessions/end-others`
///
/// # Errors
/// The database could not answer.
pub async fn end_others(porter: Porter, who: SignedIn) -> Result<Response, Problem> {
    let mut tx = porter.store.write().await?;
    session::end_others(&mut tx, who.account.id, &who.session.handle).await?;
    let own = Subject::of("account", who.account.id);
    note(&mut tx, who.actor(), "session ended", own, "all others").await?;
    tx.commit().await?;
    Ok(done("others"))
}
