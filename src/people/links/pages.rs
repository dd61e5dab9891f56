//! `/sign-in/help`: asking for a link.

use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::Deserialize;

use super::page::LinkWantedPage;
use super::{Purpose, make};
use crate::people::account;
use crate::people::member::Email;
use crate::people::porter::Porter;
use crate::people::throttle::Attempt;
use crate::post::{Carried, Letter};
use crate::web::body::Form;
use crate::web::field::Field;
use crate::web::problem::Problem;
use crate::web::secret::Secret;
use crate::web::visit::Visit;

/// The form of `POST /sign-in/help`.
#[derive(Default, Deserialize)]
#[serde(default)]
pub struct LinkForm {
    email: String,
    want: String,
}

fn page(porter: &Porter, visit: &Visit) -> LinkWantedPage {
    LinkWantedPage {
        frame: visit.frame("Help at the door"),
        mail: porter.post.is_open(),
        email: Field::default(),
        refused: None,
        on_its_way: false,
    }
}

/// `GET /sign-in/help`
pub async fn form(porter: Porter, visit: Visit) -> LinkWantedPage {
    page(&porter, &visit)
}

/// `POST /sign-in/help`: the answer and the time it takes are the same whether or not there is such
/// an account.
///
/// # Errors
/// The database could not answer.
pub async fn ask(
    porter: Porter,
    visit: Visit,
    Form(form): Form<LinkForm>,
) -> Result<Response, Problem> {
    let page = page(&porter, &visit);
    if !page.mail {
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
    }
    let email = match Email::new(form.email.trim()) {
        Ok(email) => email,
        Err(error) => {
            let email = Field::refused(form.email, error.to_string());
            let page = LinkWantedPage { email, ..page };
            return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
        }
    };
    let purpose = if form.want == "password" { Purpose::Password } else { Purpose::SignIn };
    let attempt = Attempt::at_letter(email.as_str(), porter.caller.address);
    let link = Secret::random()?;
    let mut tx = porter.store.write().await?;
    let waits = attempt.waits(&mut tx, porter.clock.seconds()).await?;
    if waits.address > 0 {
        let refused = format!(
            "Too many letters were asked for from your network. Wait {}, then try again.",
            crate::people::pages::in_words(waits.address)
        );
        let page = LinkWantedPage { email: Field::of(form.email), refused: Some(refused), ..page };
        let mut response = (StatusCode::TOO_MANY_REQUESTS, page).into_response();
        response.headers_mut().insert(header::RETRY_AFTER, HeaderValue::from(waits.address));
        return Ok(response);
    }
    attempt.failed(&mut tx, porter.clock.seconds()).await?;
    let found = account::reachable(&mut tx, email.as_str()).await?;
    let mut letter = None;
    // Too many letters to one address are left out without a word about it.
    if waits.name == 0
        && let Some((id, name, to)) = found
    {
        let not_after = make(&mut tx, &porter.clock, id, &purpose, &link).await?;
        letter = Some(Carried { to, name, letter: words(&purpose, &link), not_after });
    }
    tx.commit().await?;
    if let Some(letter) = letter {
        porter.post.carry(letter);
    }
    Ok(LinkWantedPage { on_its_way: true, ..page }.into_response())
}

/// The letter with the link.
fn words(purpose: &Purpose, link: &Secret) -> Letter {
    let minutes = purpose.lasts().as_mins();
    let unasked = "If you did not ask for it, somebody else has typed your address. Nothing happens \
                   as long as nobody uses the link; you need not do anything.";
    match purpose {
        Purpose::SignIn => Letter::about("Your link to sign in")
            .says(format!(
                "With this link you sign in without a password. It works once, within {minutes} \
                 minutes."
            ))
            .leads_to("Sign in", format!("/sign-in/link/{}", link.reveal()))
            .says(unasked),
        Purpose::Password | Purpose::Email(_) => {
            Letter::about("Your link to choose a new password")
                .says(format!(
                    "With this link you choose a new password. It works once, within {minutes} \
                 minutes; you are then signed out everywhere else."
                ))
                .leads_to("Choose a new password", format!("/sign-in/link/{}", link.reveal()))
                .says(unasked)
        }
    }
}
