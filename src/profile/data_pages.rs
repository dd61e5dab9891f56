//! All that is kept of oneself: taking it along, having it erased.

use axum::extract::State;
use axum::http::{HeaderName, HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

use super::data_page::{DataPage, ErasePage, TableRow};
use super::section::Section;
use super::{erasure, export};
use crate::audit::{Actor, Subject, note};
use crate::people::access::{ApiCaller, SignedIn};
use crate::people::{Porter, Proof};
use crate::store::Store;
use crate::web::body::{Form, Json, Path};
use crate::web::clock::Clock;
use crate::web::format;
use crate::web::frame::Place;
use crate::web::problem::Problem;
use crate::web::refusals::NoToken;
use crate::web::site::Site;

/// The name of the document with everything.
const EVERYTHING: &str = "everything.json";

/// `GET /account/data`
///
/// # Errors
/// The database could not be read.
pub async fn page(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
) -> Result<DataPage, Problem> {
    let tables = export::everything(&store, &clock, &who.account).await?;
    let rows = tables
        .iter()
        .map(|table| TableRow {
            name: table.name,
            label: format::sentence_case(&table.name.replace('_', " ")),
            about: table.about,
            count: format::count(table.rows.len(), "row", "rows"),
        })
        .collect();
    Ok(DataPage {
        frame: who.visit.frame("My data").at(Place::Me),
        section: Section::Data,
        tables: rows,
    })
}

/// `GET /account/data/{file}`: everything as JSON, or one table as CSV.
///
/// # Errors
/// 404 for another file, or the database could not be read.
pub async fn file(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(file): Path<String>,
) -> Result<Response, Problem> {
    let tables = export::everything(&store, &clock, &who.account).await?;
    taken_along(&store, who.actor(), who.account.id).await?;
    if file == EVERYTHING {
        let document = Json(export::as_json(&tables, &clock));
        return Ok((attached("my-data.json"), document).into_response());
    }
    let table = file
        .strip_suffix(".csv")
        .and_then(|name| tables.iter().find(|table| table.name == name))
        .ok_or_else(|| {
            Problem::not_found("There is no such file among your data.")
                .way("Your data", "/account/data")
        })?;
    let csv = table.as_csv().map_err(|error| Problem::internal(&error))?;
    let kind = [(header::CONTENT_TYPE, "text/csv; charset=utf-8")];
    Ok((attached(&format!("{}.csv", table.name)), kind, csv).into_response())
}

async fn taken_along(store: &Store, who: &Actor, account: i64) -> Result<(), Problem> {
    let mut tx = store.write().await?;
    note(&mut tx, who, "own data exported", Subject::of("account", account), "").await?;
    Ok(tx.commit().await?)
}

/// Names here are our own: letters, dots, lines.
fn attached(name: &str) -> [(HeaderName, HeaderValue); 2] {
    let line = format!("attachment; filename=\"{name}\"");
    let line = HeaderValue::from_str(&line).unwrap_or(HeaderValue::from_static("attachment"));
    [
        (header::CONTENT_DISPOSITION, line),
        (header::CACHE_CONTROL, HeaderValue::from_static("no-store")),
    ]
}

/// Everything that is kept of the token's owner, as tables.
///
/// # Errors
/// The database could not be read.
#[utoipa::path(
    get,
    path = "/api/v1/me/export",
    tag = "about oneself",
    responses(
        (status = 200, description = "`taken_at`, and for each kind of thing that is kept a list of rows", body = serde_json::Value, content_type = "application/json"),
        NoToken,
    )
)]
pub async fn export(
    State(store): State<Store>,
    State(clock): State<Clock>,
    caller: ApiCaller,
) -> Result<impl IntoResponse, Problem> {
    let tables = export::everything(&store, &clock, &caller.account).await?;
    taken_along(&store, caller.actor(), caller.account.id).await?;
    Ok(([(header::CACHE_CONTROL, "no-store")], Json(export::as_json(&tables, &clock))))
}

async fn review(store: &Store, who: &SignedIn) -> Result<ErasePage, Problem> {
    let mut conn = store.reader().acquire().await?;
    let outlook = erasure::outlook(&mut conn, &who.account).await?;
    Ok(ErasePage {
        frame: who
            .visit
            .frame("Erase my account")
            .at(Place::Me)
            .returning_to("/account/data/erase"),
        section: Section::Data,
        obstacles: outlook.obstacles,
        to_cancel: match outlook.to_cancel {
            0 => String::new(),
            many => format::count(many, "reservation", "reservations"),
        },
        password_error: None,
    })
}

/// `GET /account/data/erase`: what would go, what would stay, what stands in the way.
///
/// # Errors
/// The database could not be read.
pub async fn erase_form(State(store): State<Store>, who: SignedIn) -> Result<ErasePage, Problem> {
    review(&store, &who).await
}

/// The form of `POST /account/data/erase`.
#[derive(Default, Deserialize)]
#[serde(default)]
pub struct EraseForm {
    password: String,
}

/// `POST /account/data/erase`
///
/// # Errors
/// 409 where something stands in the way, 429 after too many wrong passwords, or the database could
/// not answer.
pub async fn erase(
    State(store): State<Store>,
    State(clock): State<Clock>,
    State(site): State<Site>,
    porter: Porter,
    who: SignedIn,
    Form(form): Form<EraseForm>,
) -> Result<Response, Problem> {
    let mut page = review(&store, &who).await?;
    if !page.obstacles.is_empty() {
        return Ok((StatusCode::CONFLICT, page).into_response());
    }
    if let Proof::Wrong(why) = porter.prove(&who, &form.password).await? {
        page.password_error = Some(format!("{why} Nothing was erased."));
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
    }
    erasure::erase(&store, &clock, &who.account, who.actor()).await?;
    let mut response = Redirect::to("/sign-in?signed_out=yes").into_response();
    let line = site.set_cookie(site.session_cookie(), "", Some(0));
    if let Ok(value) = HeaderValue::from_str(&line) {
        response.headers_mut().append(header::SET_COOKIE, value);
    }
    Ok(response)
}
