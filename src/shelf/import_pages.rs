//! `/stock/import`: a table of the shelf, looked at first and then taken in, all or nothing.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use jiff::Timestamp;
use serde::Deserialize;

use super::accessory::AccessoryFigures;
use super::care_table::{
    DutyRow, InspectionRow, read_inspections, read_upkeep, take_inspections_in, take_upkeep_in,
};
use super::history::Hand;
use super::item::{Draft, Kind};
use super::model::{FilterFigures, TelescopeFigures};
use super::paper_table::{PaperRow, read_papers, take_papers_in};
use super::preview::{Preview, preview};
use super::stock_page::ImportPage;
use super::store::ShelfError;
use super::table::{Tabular, read_table, take_in};
use crate::audit::{Subject, note};
use crate::optics::{Barlow, Eyepiece};
use crate::people::access::SignedIn;
use crate::sheet::{Lined, NotTaken, Refused};
use crate::store::{Store, WriteTx};
use crate::web::body::Form;
use crate::web::clock::Clock;
use crate::web::frame::Place;
use crate::web::problem::Problem;
use crate::web::secret::{hash, hex};

/// The largest form: a table of some thousand pieces, percent-encoded.
pub const LIMIT: usize = 2 * 1024 * 1024;

/// What a table can be a list of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum List {
    Pieces(Kind),
    Papers,
    Upkeep,
    Inspections,
}

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
    let mut page = ImportPage { table: form.table.clone(), kind: form.kind.clone(), ..page(&who) };
    let Some(list) = List::parse(&form.kind) else {
        return Ok(refuse(page, &Refused::whole("Choose what the table is a list of.")));
    };
    // Read before anything is held: a large table would keep everybody else waiting.
    let rows = match list.read(form.table.as_bytes(), clock.now()) {
        Ok(rows) => rows,
        Err(refused) => return Ok(refuse(page, &refused)),
    };
    let hand = Hand::of(who.account.id, clock.seconds());
    let mut tx = store.write().await?;
    // Taken in for the preview too and then undone, so that it meets every obstacle.
    let preview = match rows.take_in(&mut tx, hand).await {
        Ok(preview) => preview,
        Err(NotTaken::Refused(refused)) => return Ok(refuse(page, &refused)),
        Err(NotTaken::Failed(error)) => return Err(error.into()),
    };
    let mark = hex(&hash(&preview.fingerprint(list.word())));
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
    let taken = preview.taken();
    let detail = format!("{}: {taken}", list.word());
    note(&mut tx, who.actor(), "table imported", Subject::all("item"), &detail).await?;
    tx.commit().await?;
    page.table = String::new();
    page.notice = Some(format!("The table is taken in: {taken}."));
    Ok(page.into_response())
}

fn refuse(page: ImportPage, refused: &Refused) -> Response {
    let page = ImportPage { faults: refused.told(), refused: Some(refused.to_string()), ..page };
    (StatusCode::UNPROCESSABLE_ENTITY, page).into_response()
}

/// What would happen to the shelf, in a transaction that is still open.
async fn look<T: Tabular>(
    tx: &mut WriteTx,
    hand: Hand,
    rows: &[Lined<Draft<T>>],
) -> Result<Preview, NotTaken<ShelfError>> {
    let preview = preview(tx, rows).await.map_err(NotTaken::Failed)?;
    take_in(tx, hand, rows).await?;
    Ok(preview)
}

impl List {
    fn parse(word: &str) -> Option<Self> {
        Some(match word {
            "papers" => Self::Papers,
            "upkeep" => Self::Upkeep,
            "inspections" => Self::Inspections,
            kind => Self::Pieces(Kind::parse(kind)?),
        })
    }

    fn word(self) -> &'static str {
        match self {
            Self::Pieces(kind) => kind.as_str(),
            Self::Papers => "papers",
            Self::Upkeep => "upkeep",
            Self::Inspections => "inspections",
        }
    }

    /// Reads a table of it.
    fn read(self, bytes: &[u8], now: Timestamp) -> Result<Rows, Refused> {
        Ok(match self {
            Self::Pieces(Kind::Telescope) => Rows::Telescopes(read_table(bytes)?),
            Self::Pieces(Kind::Eyepiece) => Rows::Eyepieces(read_table(bytes)?),
            Self::Pieces(Kind::Barlow) => Rows::Barlows(read_table(bytes)?),
            Self::Pieces(Kind::Filter) => Rows::Filters(read_table(bytes)?),
            Self::Pieces(Kind::Accessory) => Rows::Accessories(read_table(bytes)?),
            Self::Papers => Rows::Papers(read_papers(bytes)?),
            Self::Upkeep => Rows::Upkeep(read_upkeep(bytes)?),
            Self::Inspections => Rows::Inspections(read_inspections(bytes, now)?),
        })
    }
}

/// A table that makes sense by itself.
enum Rows {
    Telescopes(Vec<Lined<Draft<TelescopeFigures>>>),
    Eyepieces(Vec<Lined<Draft<Eyepiece>>>),
    Barlows(Vec<Lined<Draft<Barlow>>>),
    Filters(Vec<Lined<Draft<FilterFigures>>>),
    Accessories(Vec<Lined<Draft<AccessoryFigures>>>),
    Papers(Vec<Lined<PaperRow>>),
    Upkeep(Vec<Lined<DutyRow>>),
    Inspections(Vec<Lined<InspectionRow>>),
}

impl Rows {
    async fn take_in(&self, tx: &mut WriteTx, hand: Hand) -> Result<Preview, NotTaken<ShelfError>> {
        match self {
            Self::Telescopes(rows) => look(tx, hand, rows).await,
            Self::Eyepieces(rows) => look(tx, hand, rows).await,
            Self::Barlows(rows) => look(tx, hand, rows).await,
            Self::Filters(rows) => look(tx, hand, rows).await,
            Self::Accessories(rows) => look(tx, hand, rows).await,
            Self::Papers(rows) => take_papers_in(tx, hand, rows).await,
            Self::Upkeep(rows) => take_upkeep_in(tx, rows).await,
            Self::Inspections(rows) => take_inspections_in(tx, rows).await,
        }
    }
}
