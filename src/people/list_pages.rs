//! `/people/import`: the club's list of members, looked at first and then taken in, all or nothing.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use serde::Deserialize;

use super::access::SignedIn;
use super::list_page::ListPage;
use super::list_preview::preview;
use super::member_table::{MEMBER_COLUMNS, MemberRow, read_members, take_members_in};
use super::members;
use crate::audit::{Subject, note};
use crate::sheet::{Lined, NotTaken, Refused};
use crate::store::Store;
use crate::web::body::Form;
use crate::web::frame::Place;
use crate::web::problem::Problem;
use crate::web::secret::{hash, hex};

/// The largest form: a table of two thousand members, percent-encoded.
pub const LIMIT: usize = 1024 * 1024;

/// The form of `POST /people/import`.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct ListForm {
    table: String,
    /// The mark of the preview that was seen; empty to see one.
    seen: String,
}

fn page(who: &SignedIn) -> ListPage {
    ListPage {
        frame: who.visit.frame("The club’s list").at(Place::People).returning_to("/people/import"),
        table: String::new(),
        faults: Vec::new(),
        refused: None,
        preview: None,
        seen: String::new(),
        notice: None,
        taken: false,
        columns: MEMBER_COLUMNS.needed.join(","),
    }
}

/// `GET /people/import`
pub async fn form(who: SignedIn) -> ListPage {
    page(&who)
}

fn refuse(page: ListPage, refused: &Refused) -> Response {
    let page = ListPage { faults: refused.told(), refused: Some(refused.to_string()), ..page };
    (StatusCode::UNPROCESSABLE_ENTITY, page).into_response()
}

fn read(text: &str) -> Result<Vec<Lined<MemberRow>>, Refused> {
    let rows = read_members(text.as_bytes())?;
    if rows.iter().any(|row| row.value.eye.is_some()) {
        return Err(Refused::whole(
            "The table speaks of birth years and eyes. Members tell those themselves: take the \
             columns after the e-mail address out.",
        ));
    }
    Ok(rows)
}

/// `POST /people/import`: shows what the table would do; with the mark of that preview, does it.
///
/// # Errors
/// The database could not answer. What is wrong with the table is said on the page.
pub async fn take(
    State(store): State<Store>,
    who: SignedIn,
    Form(form): Form<ListForm>,
) -> Result<Response, Problem> {
    // Browsers send line ends as CR LF, whatever the file had.
    let mut page = ListPage { table: form.table.clone(), ..page(&who) };
    let rows = match read(&form.table) {
        Ok(rows) => rows,
        Err(refused) => return Ok(refuse(page, &refused)),
    };
    let mut tx = store.write().await?;
    let there = members(&mut tx).await?;
    let preview = preview(&rows, &there);
    let mark = hex(&hash(&preview.fingerprint("members")));
    // Taken in for the preview too and then undone, so that it meets every obstacle.
    let taken = match take_members_in(&mut tx, &rows).await {
        Ok(taken) => taken,
        Err(NotTaken::Refused(refused)) => return Ok(refuse(page, &refused)),
        Err(NotTaken::Failed(error)) => return Err(error.into()),
    };
    if form.seen != mark || preview.does_nothing() {
        drop(tx);
        if !form.seen.is_empty() && form.seen != mark {
            page.notice = Some(
                "The list has changed since you looked. This is what the table would do now."
                    .into(),
            );
        }
        page.seen = mark;
        page.preview = Some(preview);
        return Ok(page.into_response());
    }
    let detail = taken.to_string();
    note(&mut tx, who.actor(), "members imported", Subject::all("member"), &detail).await?;
    tx.commit().await?;
    page.table = String::new();
    page.taken = true;
    page.notice = Some(format!(
        "The list is taken in: {detail}. No mail was sent. Who is new can be invited by mail, \
         or one by one, from the list of people."
    ));
    Ok(page.into_response())
}
