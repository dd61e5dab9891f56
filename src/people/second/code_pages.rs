//! `/sign-in/code`: the second half of signing in.

use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

use super::code_page::CodePage;
use super::half::{self, Waiting};
use super::store::{Seen, see};
use crate::audit::{Means, Subject, note};
use crate::people::account;
use crate::people::pages::in_words;
use crate::people::porter::Porter;
use crate::people::throttle::Attempt;
use crate::people::warnings;
use crate::web::body::Form;
use crate::web::problem::Problem;
use crate::web::site::local_path;
use crate::web::visit::Visit;

/// The form of `POST /sign-in/code`.
#[derive(Default, Deserialize)]
#[serde(default)]
pub struct CodeForm {
    code: String,
}

async fn waiting(porter: &Porter) -> Result<Option<Waiting>, Problem> {
    match &porter.caller.half {
        Some(token) => Ok(half::find(&porter.store, &porter.clock, token).await?),
        None => Ok(None),
    }
}

fn page(visit: &Visit, refused: Option<String>) -> CodePage {
    CodePage { frame: visit.frame("Your code").returning_to("/sign-in/code"), refused }
}

/// `GET /sign-in/code`, for who has proven the first factor; others begin at the beginning.
///
/// # Errors
/// The database could not answer.
pub async fn form(porter: Porter, visit: Visit) -> Result<Response, Problem> {
    Ok(match waiting(&porter).await? {
        Some(_) => page(&visit, None).into_response(),
        None => Redirect::to("/sign-in").into_response(),
    })
}

/// `POST /sign-in/code`: takes a code of the app or one on paper.
///
/// # Errors
/// The database could not answer.
pub async fn check(
    porter: Porter,
    visit: Visit,
    Form(form): Form<CodeForm>,
) -> Result<Response, Problem> {
    let Some(Waiting { account, next }) = waiting(&porter).await? else {
        return Ok(Redirect::to("/sign-in").into_response());
    };
    let now = porter.clock.seconds();
    let attempt = Attempt::at_code(account, porter.caller.address);
    // One transaction from the look at the brake to the count: the writer is the only one, so no
    // burst of guesses slips between.
    let mut tx = porter.store.write().await?;
    let wait = attempt.wait(&mut tx, now).await?;
    if wait > 0 {
        let refused = format!("That was tried too often. Wait {}, then try again.", in_words(wait));
        let page = page(&visit, Some(refused));
        let mut response = (StatusCode::TOO_MANY_REQUESTS, page).into_response();
        response.headers_mut().insert(header::RETRY_AFTER, HeaderValue::from(wait));
        return Ok(response);
    }
    let found = account::credentials_by_id(&mut tx, account).await?;
    let Some(found) = found else { return Ok(Redirect::to("/sign-in").into_response()) };
    let seen = if found.are_barred() {
        Seen::Wrong
    } else {
        see(&mut tx, &porter.clock, account, &form.code).await?
    };
    match seen {
        Seen::Wrong => {
            attempt.failed(&mut tx, now).await?;
            warnings::note_failure(&mut tx, &porter.clock, account).await?;
            let subject = Subject::of("account", account);
            note(&mut tx, &porter.stranger(), "code refused", subject, "").await?;
            tx.commit().await?;
            tracing::warn!(account, "a code was not right");
            let refused =
                "That code is not right, or was used before. Wait for the next one and type that.";
            Ok((StatusCode::UNAUTHORIZED, page(&visit, Some(refused.into()))).into_response())
        }
        Seen::App | Seen::Paper => {
            attempt.succeeded(&mut tx).await?;
            if seen == Seen::Paper {
                let what = "A code on paper was used to sign in to your account.";
                let subject = "A code on paper was used";
                warnings::tell(&mut tx, &porter.clock, account, "paper-code", subject, what)
                    .await?;
                let who = porter.actor(account, Means::Page);
                let own = Subject::of("account", account);
                note(&mut tx, &who, "recovery code used", own, "").await?;
            }
            porter.let_in(tx, account, &found.roles, Means::Page, local_path(&next)).await
        }
    }
}
