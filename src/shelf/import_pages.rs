//! `/stock/import`: a table of one kind, looked at first and then taken in, all or nothing.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use serde::Deserialize;

use super::history::Hand;
use super::item::Kind;
use super::kinds::for_kind;
use super::preview::preview;
use super::stock_page::ImportPage;
use super::table::{Tabular, read_table, take_in};
use crate::audit::{Subject, note};
use crate::people::access::SignedIn;
use crate::sheet::{NotTaken, Refused};
use crate::store::Store;
use crate::web::body::Form;
use crate::web::clock::Clock;
use crate::web::frame::Place;
use crate::web::problem::Problem;
use crate::web::secret::{hash, hex};

/// The largest form: a table of some thousand pieces, percent-encoded.
pub const LIMIT: usize = 2 * 1024 * 1024;

/// The form of `POST /stock/import`.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct TableForm {
    kind: String,
    table: String,
    /// The mark of the preview that was seen; empty to see one.
    seen: String,
}

fn page(who: &SignedIn) -> ImportPage {
    ImportPage {
        frame: who.visit.frame("Take in a table").at(Place::Shelf).returning_to("/stock/import"),
        kind: String::new(),
        table: String::new(),
        faults: Vec::new(),
        refused: None,
        preview: None,
        seen: String::new(),
        notice: None,
    }
}

/// `GET /stock/import`
pub async fn form(who: SignedIn) -> ImportPage {
    page(&who)
}

/// `POST /stock/import`: shows what the table would do; with the mark of that preview, does it.
///
/// # Errors
/// The database could not answer. What is wrong with the table is said on the page.
pub async fn take(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Form(form): Form<TableForm>,
) -> Result<Response, Problem> {
    let page = ImportPage { table: form.table.clone(), kind: form.kind.clone(), ..page(&who) };
    let Some(kind) = Kind::parse(&form.kind) else {
        return Ok(refuse(page, &Refused::whole("Choose what the table is a list of.")));
    };
    let hand = Hand::of(who.account.id, clock.seconds());
    for_kind!(kind, T => take_kind::<T>(&store, hand, &who, page, &form).await)
}

fn refuse(page: ImportPage, refused: &Refused) -> Response {
    let mut faults: Vec<String> = refused.faults.iter().map(ToString::to_string).collect();
    if refused.more > 0 {
        faults.push(format!("and {} more", refused.more));
    }
    let page = ImportPage { faults, refused: Some(refused.to_string()), ..page };
    (StatusCode::UNPROCESSABLE_ENTITY, page).into_response()
}

async fn take_kind<T: Tabular>(
    store: &Store,
    hand: Hand,
    who: &SignedIn,
    mut page: ImportPage,
    form: &TableForm,
) -> Result<Response, Problem> {
    let rows = match read_table::<T>(form.table.as_bytes()) {
        Ok(rows) => rows,
        Err(refused) => return Ok(refuse(page, &refused)),
    };
    let mut tx = store.write().await?;
    let preview = preview(&mut tx, &rows).await?;
    let mark = hex(&hash(&preview.fingerprint(T::KIND)));
    // Taken in for the preview too and then undone, so that it meets every obstacle.
    let taken = match take_in(&mut tx, hand, &rows).await {
        Ok(taken) => taken,
        Err(NotTaken::Refused(refused)) => return Ok(refuse(page, &refused)),
        Err(NotTaken::Failed(error)) => return Err(error.into()),
    };
    if form.seen != mark || preview.does_nothing() {
        drop(tx);
        if !form.seen.is_empty() && form.seen != mark {
            let says =
                "The shelf has changed since you looked. This is what the table would do now.";
            page.notice = Some(says.into());
        }
        page.seen = mark;
        page.preview = Some(preview);
        return Ok(page.into_response());
    }
    let detail = format!("{}: {taken}", T::KIND.plural());
    note(&mut tx, who.actor(), "table imported", Subject::all("item"), &detail).await?;
    tx.commit().await?;
    page.table = String::new();
    page.notice = Some(format!("The table is taken in: {taken}."));
    Ok(page.into_response())
}
