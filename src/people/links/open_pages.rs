//! `/sign-in/link/{token}`: what a link opens.

use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

use super::page::LinkOpenedPage;
use super::{Link, Purpose, look, use_up};
use crate::audit::{Means, Subject, note};
use crate::people::account::{self, AccountError};
use crate::people::password::Password;
use crate::people::porter::Porter;
use crate::people::session;
use crate::people::sign_in_page::SetPasswordPage;
use crate::people::warnings;
use crate::web::body::{Form, Path};
use crate::web::problem::Problem;
use crate::web::visit::Visit;

fn no_such_link() -> Problem {
    Problem::not_found("This link has been used, is too old or was never made.")
        .next("Ask for a new one.")
        .way("Ask for a link", "/sign-in/help")
        .way("Sign in", "/sign-in")
}

fn action(token: &str) -> String {
    format!("/sign-in/link/{token}")
}

fn password_page(visit: &Visit, token: &str, link: &Link) -> SetPasswordPage {
    SetPasswordPage {
        frame: visit.frame("Choose a new password").returning_to(action(token)),
        action: action(token),
        welcome: "With it you sign in from now on; everywhere else you are signed out.".into(),
        name: None,
        email: None,
        known_email: Some(link.email.clone()),
        password_error: None,
    }
}

/// `GET /sign-in/link/{token}`: shows what it is for and uses nothing up, since programs that look
/// mail over open links too.
///
/// # Errors
/// 404 for a link that doesn't hold.
pub async fn form(
    porter: Porter,
    Path(token): Path<String>,
    visit: Visit,
) -> Result<Response, Problem> {
    let link = look(&porter.store, &porter.clock, &token).await?.ok_or_else(no_such_link)?;
    let opened = |title: &str, lead, button| LinkOpenedPage {
        frame: visit.frame(title).returning_to(action(&token)),
        action: action(&token),
        lead,
        button,
    };
    Ok(match &link.purpose {
        Purpose::SignIn => {
            let lead = format!("You are about to sign in as {}.", link.name);
            opened("Sign in", lead, "Sign in").into_response()
        }
        Purpose::Password => password_page(&visit, &token, &link).into_response(),
        Purpose::Email(new) => {
            let lead = format!("From now on you sign in with {new}, and letters go there.");
            opened("Your new address", lead, "Take this address").into_response()
        }
    })
}

/// The form of `POST /sign-in/link/{token}`.
#[derive(Default, Deserialize)]
#[serde(default)]
pub struct OpenForm {
    password: String,
}

/// `POST /sign-in/link/{token}`: does what the link is for, once. A second factor is asked for
/// after it as after a password.
///
/// # Errors
/// 404 for a link that doesn't hold, 409 for an address that somebody else has taken meanwhile.
pub async fn open(
    porter: Porter,
    Path(token): Path<String>,
    visit: Visit,
    Form(form): Form<OpenForm>,
) -> Result<Response, Problem> {
    let link = look(&porter.store, &porter.clock, &token).await?.ok_or_else(no_such_link)?;
    match &link.purpose {
        Purpose::SignIn => sign_in(&porter, &token, &link).await,
        Purpose::Password => set_password(&porter, &token, &link, &visit, &form.password).await,
        Purpose::Email(new) => {
            let mut tx = porter.store.write().await?;
            if !use_up(&mut tx, &porter.clock, &token).await? {
                return Err(no_such_link());
            }
            match account::set_email(&mut tx, link.account, new).await {
                Ok(()) => {}
                Err(AccountError::EmailTaken) => {
                    return Err(Problem::conflict("Another account has this address now.")
                        .next("Keep your present address, or take another one.")
                        .way("Your account", "/account"));
                }
                Err(AccountError::Store(error)) => return Err(error.into()),
            }
            // Whoever is signed in under the old address signs in afresh under the new one.
            session::end_all(&mut tx, link.account).await?;
            let who = porter.actor(link.account, Means::Link);
            let own = Subject::of("account", link.account);
            note(&mut tx, &who, "address changed", own, "").await?;
            tx.commit().await?;
            tracing::info!(account = link.account, "the address was changed");
            Ok(Redirect::to("/sign-in?changed=address").into_response())
        }
    }
}

async fn sign_in(porter: &Porter, token: &str, link: &Link) -> Result<Response, Problem> {
    let mut tx = porter.store.write().await?;
    if !use_up(&mut tx, &porter.clock, token).await? {
        return Err(no_such_link());
    }
    let found = account::credentials_by_id(&mut tx, link.account).await?;
    let found = found.ok_or_else(no_such_link)?;
    // A link proves as much as a password; what comes after it is the same.
    porter.welcome(tx, link.account, &found.roles, Means::Link, "/").await
}

async fn set_password(
    porter: &Porter,
    token: &str,
    link: &Link,
    visit: &Visit,
    text: &str,
) -> Result<Response, Problem> {
    let known = [&*porter.site.club, link.name.as_str(), link.email.as_str()];
    let password = match Password::choose(text, &known) {
        Ok(password) => password,
        Err(weak) => {
            let page = SetPasswordPage {
                password_error: Some(weak.to_string()),
                ..password_page(visit, token, link)
            };
            return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
        }
    };
    let hash = porter.hasher.turn().await?.hash(password).await?;
    let mut tx = porter.store.write().await?;
    if !use_up(&mut tx, &porter.clock, token).await? {
        return Err(no_such_link());
    }
    let found = account::credentials_by_id(&mut tx, link.account).await?;
    let found = found.ok_or_else(no_such_link)?;
    account::set_password(&mut tx, link.account, &hash).await?;
    warnings::tell_of_new_password(&mut tx, &porter.clock, link.account).await?;
    let who = porter.actor(link.account, Means::Link);
    note(&mut tx, &who, "password set", Subject::of("account", link.account), "").await?;
    tracing::info!(account = link.account, "a password was set with a link");
    porter.welcome(tx, link.account, &found.roles, Means::Link, "/").await
}
