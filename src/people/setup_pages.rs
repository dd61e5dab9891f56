//! `/setup/{token}`: a password is chosen behind a one-time link.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use serde::Deserialize;

use super::account::{self, AccountError, NewAccount};
use super::member::Email;
use super::password::Password;
use super::porter::Porter;
use super::rights::{Role, Roles};
use super::setup::{self, Purpose};
use super::sign_in_page::SetPasswordPage;
use crate::audit::{Means, Subject, note};
use crate::sheet::Name;
use crate::store::Store;
use crate::web::body::{Form, Path};
use crate::web::clock::Clock;
use crate::web::field::Field;
use crate::web::problem::Problem;
use crate::web::visit::Visit;

/// The form of `POST /setup/{token}`.
#[derive(Deserialize)]
#[serde(default)]
#[derive(Default)]
pub struct SetupForm {
    name: String,
    email: String,
    password: String,
}

fn no_such_link() -> Problem {
    Problem::not_found("This link has been used, is too old or was never made.")
        .next("Ask whoever sent it for a new one.")
        .way("Sign in", "/sign-in")
}

fn page(visit: &Visit, token: &str, purpose: &Purpose) -> SetPasswordPage {
    let (welcome, asks, known_email) = match purpose {
        Purpose::FirstAdministrator => (
            "You are about to look after this service as its first administrator.".to_owned(),
            true,
            None,
        ),
        Purpose::Account { name, email, .. } => {
            (format!("Welcome, {name}. Choose the password for your account."), false, Some(email))
        }
    };
    SetPasswordPage {
        frame: visit.frame("Choose your password").returning_to(format!("/setup/{token}")),
        action: format!("/setup/{token}"),
        welcome,
        name: asks.then(Field::default),
        email: asks.then(Field::default),
        known_email: known_email.cloned(),
        password_error: None,
    }
}

/// `GET /setup/{token}`: shows the form and uses nothing up.
///
/// # Errors
/// 404 for a link that doesn't hold.
pub async fn form(
    State(store): State<Store>,
    State(clock): State<Clock>,
    Path(token): Path<String>,
    visit: Visit,
) -> Result<SetPasswordPage, Problem> {
    let purpose = setup::look(&store, &clock, &token).await?.ok_or_else(no_such_link)?;
    Ok(page(&visit, &token, &purpose))
}

/// `POST /setup/{token}`: sets the password, uses the link up and signs in.
///
/// # Errors
/// 404 for a link that doesn't hold, or the database could not answer.
pub async fn choose(
    porter: Porter,
    Path(token): Path<String>,
    visit: Visit,
    Form(form): Form<SetupForm>,
) -> Result<Response, Problem> {
    let Porter { store, clock, site, hasher, .. } = &porter;
    let purpose = setup::look(store, clock, &token).await?.ok_or_else(no_such_link)?;
    let mut page = page(&visit, &token, &purpose);
    let newcomer = check_newcomer(&form, &mut page);
    let mut known = vec![&*site.club, form.name.as_str(), form.email.as_str()];
    if let Purpose::Account { name, email, .. } = &purpose {
        known.extend([name.as_str(), email.as_str()]);
    }
    let password = Password::choose(&form.password, &known)
        .map_err(|weak| page.password_error = Some(weak.to_string()));
    let refused =
        |page: SetPasswordPage| Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
    let Ok(password) = password else { return refused(page) };

    let hash = hasher.turn().await?.hash(password).await?;
    let mut tx = store.write().await?;
    if !setup::use_up(&mut tx, clock, &token).await? {
        return Err(no_such_link());
    }
    let (id, roles) = match (&purpose, newcomer) {
        (Purpose::Account { id, email, .. }, _) => {
            let roles = account::credentials(store, email).await?.map(|found| found.roles);
            (*id, roles.unwrap_or_default())
        }
        (Purpose::FirstAdministrator, None) => return refused(page),
        (Purpose::FirstAdministrator, Some((name, email))) => {
            let roles = Roles::of([Role::Admin]);
            let new =
                NewAccount { member: None, name: name.as_str(), email: &email, roles: &roles };
            match account::add(&mut tx, clock, &new).await {
                Ok(id) => (id, roles),
                Err(AccountError::EmailTaken) => {
                    let taken = AccountError::EmailTaken.to_string();
                    page.email = Some(Field::refused(form.email, taken));
                    return refused(page);
                }
                Err(AccountError::Store(error)) => return Err(error.into()),
            }
        }
    };
    account::set_password(&mut tx, id, &hash).await?;
    let who = porter.actor(id, Means::Link);
    note(&mut tx, &who, "password set", Subject::of("account", id), "").await?;
    tracing::info!(account = id, "a password was set with a one-time link");
    porter.welcome(tx, id, &roles, Means::Link, "/").await
}

/// Reads name and address where the page asks for them, and marks what won't do.
fn check_newcomer(form: &SetupForm, page: &mut SetPasswordPage) -> Option<(Name, Email)> {
    page.name.as_ref()?;
    let mut name = Field::of(&form.name);
    let mut email = Field::of(&form.email);
    let read_name =
        Name::new(form.name.trim()).map_err(|error| name.refuse(error.to_string())).ok();
    let read_email =
        Email::new(form.email.trim()).map_err(|error| email.refuse(error.to_string())).ok();
    page.name = Some(name);
    page.email = Some(email);
    Some((read_name?, read_email?))
}
