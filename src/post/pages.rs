//! `/account/letters` and `/post`.

use axum::extract::State as From;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use jiff::Timestamp;
use serde::Deserialize;

use super::carrier::Post;
use super::desk::{
    self, Letters, ShownLetter, Troubled, Wanted, in_trouble, is_quiet, letters_of, tally,
};
use super::letter::Reader;
use super::page::{LetterRow, LettersPage, PostPage, TroubleRow};
use super::server::{Outcome, Tls};
use crate::audit::{Subject, note};
use crate::people::access::SignedIn;
use crate::people::rights::Deed;
use crate::people::{addressee_of_account, addressee_of_guardian, addressee_of_member};
use crate::profile::section::Section;
use crate::store::{Store, StoreError};
use crate::web::body::{Form, Path, Query};
use crate::web::clock::Clock;
use crate::web::format;
use crate::web::frame::Place;
use crate::web::problem::Problem;
use crate::web::site::Site;

/// So many letters are shown to their reader.
const SHOWN: u32 = 50;
/// So many letters in trouble are shown.
const TROUBLED: u32 = 100;

/// What stands after the question mark.
#[derive(Debug, Default, Deserialize)]
pub struct Told {
    done: Option<String>,
}

fn when(clock: &Clock, at: Timestamp) -> String {
    let there = at.to_zoned_datetime(clock.zone().clone());
    format!("{}, {:02}:{:02}", format::night(there.date()), there.hour(), there.minute())
}

/// `GET /account/letters`
///
/// # Errors
/// The database could not answer.
pub async fn letters(
    From(store): From<Store>,
    From(clock): From<Clock>,
    From(post): From<Post>,
    who: SignedIn,
    Query(told): Query<Told>,
) -> Result<LettersPage, Problem> {
    let mut conn = store.reader().acquire().await.map_err(StoreError::from)?;
    let account = &who.account;
    // What their guardian was told, they were told themselves.
    let all =
        letters_of(&mut conn, &clock, Some(account.id), account.member, (Letters::ToThem, SHOWN))
            .await?;
    let row = |one: ShownLetter| LetterRow {
        subject: one.subject,
        parts: one.parts,
        written: when(&clock, one.written),
        state: one.state,
    };
    let quiet = is_quiet(&mut conn, account.id).await?;
    Ok(LettersPage {
        frame: who.visit.frame("Letters").at(Place::Me).returning_to("/account/letters"),
        section: Section::Letters,
        notice: told.done.map(|_| {
            if quiet {
                "Saved: only the letters that others wait on are mailed."
            } else {
                "Saved: every letter is mailed."
            }
        }),
        letters: all.into_iter().map(row).collect(),
        mail: post.is_open(),
        quiet,
        keeps_post: account.roles.may(Deed::KeepPost),
    })
}

/// The form of `POST /account/letters`.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct WantForm {
    want: String,
}

/// `POST /account/letters`: which letters go to the mailbox.
///
/// # Errors
/// The database could not answer.
pub async fn want(
    From(store): From<Store>,
    From(clock): From<Clock>,
    who: SignedIn,
    Form(form): Form<WantForm>,
) -> Result<Redirect, Problem> {
    let wanted = if form.want == "essential" { Wanted::EssentialOnly } else { Wanted::All };
    let mut tx = store.write().await?;
    desk::want(&mut tx, &clock, who.account.id, wanted).await?;
    tx.commit().await?;
    Ok(Redirect::to("/account/letters?done=yes"))
}

async fn post_page(
    store: &Store,
    clock: &Clock,
    post: &Post,
    who: &SignedIn,
) -> Result<PostPage, Problem> {
    let mut conn = store.reader().acquire().await.map_err(StoreError::from)?;
    let count = tally(&mut conn).await?;
    let mut troubled = Vec::new();
    for one in in_trouble(&mut conn, TROUBLED).await? {
        let reader = match one.to {
            Reader::Member(id) => addressee_of_member(&mut conn, id).await?,
            Reader::Account(id) => addressee_of_account(&mut conn, id).await?,
            Reader::Guardian(id) => addressee_of_guardian(&mut conn, id).await?,
        };
        troubled.push(trouble_row(clock, one, reader.map(|reader| reader.name)));
    }
    let letters = |number: i64| {
        let number = usize::try_from(number).unwrap_or(0);
        format::count(number, "letter", "letters")
    };
    let server = post.server();
    Ok(PostPage {
        frame: who.visit.frame("Post").returning_to("/post"),
        notice: None,
        failed: None,
        place: server.map(super::MailServer::place),
        protection: match server.map(super::MailServer::tls) {
            Some(Tls::Implicit) => "protected from the first byte",
            Some(Tls::StartTls) => "protected after the greeting",
            Some(Tls::Plain) | None => "not protected",
        },
        from: server.map(super::MailServer::from).unwrap_or_default(),
        trouble: post.trouble(),
        waiting: letters(count.waiting),
        sent: letters(count.sent),
        troubled,
    })
}

fn trouble_row(clock: &Clock, one: Troubled, reader: Option<String>) -> TroubleRow {
    TroubleRow {
        id: one.id,
        subject: one.subject,
        reader: reader.unwrap_or_else(|| "somebody who has left".into()),
        written: when(clock, one.written),
        state: one.state,
        reason: one.reason,
    }
}

/// `GET /post`
///
/// # Errors
/// The database could not answer.
pub async fn look(
    From(store): From<Store>,
    From(clock): From<Clock>,
    From(post): From<Post>,
    who: SignedIn,
    Query(told): Query<Told>,
) -> Result<PostPage, Problem> {
    let notice = match told.done.as_deref() {
        Some("send") => Some("The letter is on its way again.".to_owned()),
        Some("leave") => Some("The letter stays on its reader's page.".to_owned()),
        _ => None,
    };
    Ok(PostPage { notice, ..post_page(&store, &clock, &post, &who).await? })
}

/// The form of `POST /post/{id}`.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct DeedForm {
    deed: String,
}

/// `POST /post/{id}`: sends a letter in trouble again, or leaves it.
///
/// # Errors
/// 404 when somebody has decided already.
pub async fn decide(
    From(store): From<Store>,
    From(clock): From<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
    Form(form): Form<DeedForm>,
) -> Result<Redirect, Problem> {
    let mut tx = store.write().await?;
    let (found, word) = if form.deed == "send" {
        (desk::send_again(&mut tx, &clock, id).await?, "send")
    } else {
        (desk::leave_it(&mut tx, &clock, id).await?, "leave")
    };
    if !found {
        return Err(Problem::not_found("No such letter waits for a decision.")
            .next("Look at the list afresh: somebody may have decided already.")
            .way("Post", "/post"));
    }
    let deed = if word == "send" { "letter sent again" } else { "letter left unsent" };
    note(&mut tx, who.actor(), deed, Subject::of("letter", id), "").await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/post?done={word}")))
}

/// `POST /post/trial`: sends whoever asks a letter, and says what the mail server said.
///
/// # Errors
/// The database could not answer.
pub async fn trial(
    From(store): From<Store>,
    From(clock): From<Clock>,
    From(post): From<Post>,
    From(site): From<Site>,
    who: SignedIn,
) -> Result<Response, Problem> {
    let mut conn = store.reader().acquire().await.map_err(StoreError::from)?;
    let reader = addressee_of_account(&mut conn, who.account.id).await?;
    drop(conn);
    let Some((name, email)) = reader.and_then(|reader| Some((reader.name, reader.email?))) else {
        return Err(Problem::not_found("Your account has no address that mail can be sent to."));
    };
    let outcome = post.try_out(&site, &clock, &email, &name).await;
    let page = post_page(&store, &clock, &post, &who).await?;
    Ok(match outcome {
        Outcome::Sent => {
            let notice = format!("The mail server took it. Look into the mailbox of {email}.");
            PostPage { notice: Some(notice), ..page }.into_response()
        }
        Outcome::NotNow(why)
        | Outcome::Refused(why)
        | Outcome::Unclear(why)
        | Outcome::Unreachable(why) => {
            (StatusCode::UNPROCESSABLE_ENTITY, PostPage { failed: Some(why), ..page })
                .into_response()
        }
    })
}
