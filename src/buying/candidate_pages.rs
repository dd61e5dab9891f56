//! `/buying/candidates`: what could be bought, typed or taken in as a table.

use std::collections::BTreeMap;

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

use super::candidate::{COLUMNS, Candidate, MOST_CANDIDATES, read_cells, read_table, write_table};
use super::candidate_page::{CandidatesPage, Shown};
use super::candidate_preview::preview;
use super::candidate_store::{
    Kept, candidates, put_candidate, remove_candidate, same_name, take_in,
};
use super::pages::csv;
use crate::audit::{Subject, note};
use crate::people::access::SignedIn;
use crate::sheet::{Lined, Refused};
use crate::store::Store;
use crate::web::body::{Form, Path};
use crate::web::field::{Field, Slip};
use crate::web::frame::Place;
use crate::web::problem::Problem;
use crate::web::secret::{hash, hex};

/// The largest form: a table of some hundred candidates, percent-encoded.
pub const LIMIT: usize = 256 * 1024;

/// The form of `POST /buying/candidates/table`.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct TableForm {
    table: String,
    /// The mark of the preview that was seen; empty to see one.
    seen: String,
}

async fn page(store: &Store, who: &SignedIn) -> Result<CandidatesPage, Problem> {
    let mut conn = store.reader().acquire().await?;
    let list = candidates(&mut conn).await?.iter().map(shown).collect();
    let frame = who.visit.frame("Candidates").at(Place::Buying).returning_to("/buying/candidates");
    let fields = COLUMNS.iter().map(|_| Field::default()).collect();
    Ok(CandidatesPage {
        frame,
        notice: None,
        list,
        fields,
        slips: Vec::new(),
        table: String::new(),
        faults: Vec::new(),
        refused: None,
        preview: None,
        seen: String::new(),
    })
}

fn shown(kept: &Kept) -> Shown {
    let candidate = &kept.candidate;
    let mut price = candidate.price.to_string();
    if let Some(condition) = candidate.condition {
        price = format!("{price}, {}", condition.as_str());
    }
    if candidate.most > 1 {
        price = format!("{price}, up to {}", candidate.most);
    }
    Shown { id: kept.id, name: candidate.name.to_string(), figures: candidate.in_words(), price }
}

/// `GET /buying/candidates`
///
/// # Errors
/// The database could not be read.
pub async fn list(State(store): State<Store>, who: SignedIn) -> Result<CandidatesPage, Problem> {
    page(&store, &who).await
}

/// `GET /buying/candidates.csv`
///
/// # Errors
/// The database could not be read.
pub async fn file(State(store): State<Store>, _: SignedIn) -> Result<Response, Problem> {
    let mut conn = store.reader().acquire().await?;
    let kept = candidates(&mut conn).await?;
    let mut bytes = Vec::new();
    write_table(&mut bytes, kept.iter().map(|kept| &kept.candidate))
        .map_err(|why| Problem::internal(&why))?;
    Ok(csv("candidates.csv", bytes))
}

/// `POST /buying/candidates`: adds one, or changes the one of that name.
///
/// # Errors
/// The database could not answer. What is wrong with the form is said on the page.
pub async fn add(
    State(store): State<Store>,
    who: SignedIn,
    Form(form): Form<BTreeMap<String, String>>,
) -> Result<Response, Problem> {
    let texts: Vec<String> = COLUMNS
        .iter()
        .map(|column| form.get(*column).map_or("", |text| text.trim()).to_owned())
        .collect();
    let candidate = match read_cells(texts.clone()) {
        Ok(candidate) => candidate,
        Err(refused) => return refuse(&store, &who, texts, &refused).await,
    };
    let mut tx = store.write().await?;
    let there = candidates(&mut tx).await?;
    let known = there.iter().any(|kept| same_name(&kept.candidate, &candidate));
    if !known && there.len() >= MOST_CANDIDATES {
        return Err(too_many());
    }
    let id = put_candidate(&mut tx, &candidate).await?;
    let deed = if known { "candidate changed" } else { "candidate added" };
    note(&mut tx, who.actor(), deed, Subject::of("candidate", id), "").await?;
    tx.commit().await?;
    Ok(Redirect::to("/buying/candidates").into_response())
}

pub(super) fn too_many() -> Problem {
    Problem::conflict(format!("The list has room for {MOST_CANDIDATES} candidates."))
        .next("Take some from the list first.")
        .way("The candidates", "/buying/candidates")
}

async fn refuse(
    store: &Store,
    who: &SignedIn,
    texts: Vec<String>,
    refused: &Refused,
) -> Result<Response, Problem> {
    let mut page = page(store, who).await?;
    page.fields = texts.into_iter().map(Field::of).collect();
    for fault in &refused.faults {
        let column = fault.column.unwrap_or("name");
        if let Some(at) = COLUMNS.iter().position(|one| *one == column) {
            page.fields[at].refuse(fault.says.clone());
            page.slips.push(Slip { field: column.to_owned(), text: fault.says.clone() });
        }
    }
    Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response())
}

/// `POST /buying/candidates/{id}/remove`
///
/// # Errors
/// The database could not answer.
pub async fn remove(
    State(store): State<Store>,
    who: SignedIn,
    Path(id): Path<i64>,
) -> Result<Redirect, Problem> {
    let mut tx = store.write().await?;
    if remove_candidate(&mut tx, id).await? {
        note(&mut tx, who.actor(), "candidate removed", Subject::of("candidate", id), "").await?;
    }
    tx.commit().await?;
    Ok(Redirect::to("/buying/candidates"))
}

/// `POST /buying/candidates/table`: shows what the table would do; with that preview's mark, does
/// it.
///
/// # Errors
/// The database could not answer. What is wrong with the table is said on the page.
pub async fn table(
    State(store): State<Store>,
    who: SignedIn,
    Form(form): Form<TableForm>,
) -> Result<Response, Problem> {
    let mut page = page(&store, &who).await?;
    page.table.clone_from(&form.table);
    let rows = match read_table(form.table.as_bytes()).and_then(unlike) {
        Ok(rows) => rows,
        Err(refused) => {
            page.faults = refused.told();
            page.refused = Some(refused.to_string());
            return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
        }
    };
    let mut tx = store.write().await?;
    let there = candidates(&mut tx).await?;
    let preview = preview(&there, &rows);
    if there.len() + preview.added.len() > MOST_CANDIDATES {
        return Err(too_many());
    }
    let mark = hex(&hash(&preview.fingerprint("candidates")));
    if form.seen != mark || preview.does_nothing() {
        drop(tx);
        if !form.seen.is_empty() && form.seen != mark {
            let says =
                "The list has changed since you looked. This is what the table would do now.";
            page.notice = Some(says.into());
        }
        page.seen = mark;
        page.preview = Some(preview);
        return Ok(page.into_response());
    }
    let taken = take_in(&mut tx, &rows).await?;
    let subject = Subject::all("candidate");
    note(&mut tx, who.actor(), "candidates imported", subject, &taken.to_string()).await?;
    tx.commit().await?;
    Ok(Redirect::to("/buying/candidates").into_response())
}

/// Refuses a table that names a candidate twice.
fn unlike(rows: Vec<Lined<Candidate>>) -> Result<Vec<Lined<Candidate>>, Refused> {
    let mut faults = crate::sheet::Faults::default();
    for (at, row) in rows.iter().enumerate() {
        if let Some(first) = rows[..at].iter().find(|one| same_name(&one.value, &row.value)) {
            let says = format!("This name is on line {} already: give each its own.", first.line);
            faults.add(Some(row.line), Some("name"), says);
        }
    }
    faults.into_result().map(|()| rows)
}
