//! The shelf's lists on paper, and the tables of what is written besides figures.

use axum::extract::State;
use axum::http::header;
use axum::response::{IntoResponse, Response};

use super::papers::Worth;
use super::stock_pages::{note_taken, seen, valued};
use super::stock_pdf::{Column, List, print};
use super::uses::all_used;
use super::{NotWritten, write_inspections, write_papers, write_upkeep};
use crate::people::access::SignedIn;
use crate::store::Store;
use crate::web::clock::Clock;
use crate::web::problem::Problem;
use crate::web::site::Site;

const VALUE_COLUMNS: &[Column] = &[
    Column::words("Tag", 15.0, 22.0),
    Column::words("Piece", 38.0, 62.0),
    Column::numbers("Value", 101.0, 16.0),
    Column::words("Belongs to", 124.0, 34.0),
    Column::words("Serial", 160.0, 35.0),
];

const USE_COLUMNS: &[Column] = &[
    Column::words("Tag", 15.0, 22.0),
    Column::words("Piece", 38.0, 78.0),
    Column::numbers("Loans", 118.0, 9.3),
    Column::numbers("Nights out", 134.0, 15.8),
    Column::words("Last seen", 158.0, 37.0),
];

/// One of the tables of what is written besides figures; none for another name.
pub(super) async fn paper_table(store: &Store, word: &str) -> Result<Option<Vec<u8>>, Problem> {
    let mut tx = store.reader().begin().await?;
    let mut out = Vec::new();
    let written = match word {
        "papers" => write_papers(&mut tx, &mut out).await,
        "upkeep" => write_upkeep(&mut tx, &mut out).await,
        "inspections" => write_inspections(&mut tx, &mut out).await,
        _ => return Ok(None),
    };
    match written {
        Ok(()) => Ok(Some(out)),
        Err(NotWritten::Shelf(error)) => Err(error.into()),
        Err(other) => Err(Problem::internal(&other)),
    }
}

async fn paper(name: &str, list: List) -> Result<Response, Problem> {
    // A large shelf takes a while: not on a thread that serves others.
    let bytes = tokio::task::spawn_blocking(move || print(&list))
        .await
        .map_err(|why| Problem::internal(&why))?;
    let headers = [
        (header::CONTENT_TYPE, "application/pdf".to_owned()),
        (header::CONTENT_DISPOSITION, format!("inline; filename=\"{name}\"")),
        (header::CACHE_CONTROL, "no-store".to_owned()),
    ];
    Ok((headers, bytes).into_response())
}

fn amount(cents: i64) -> String {
    format!("{}.{:02}", cents / 100, cents % 100)
}

/// `GET /stock/values.pdf`
///
/// # Errors
/// The database could not be read.
pub async fn values(
    State(store): State<Store>,
    State(clock): State<Clock>,
    State(site): State<Site>,
    who: SignedIn,
) -> Result<Response, Problem> {
    let mut tx = store.reader().begin().await?;
    let all = valued(&mut tx).await?;
    drop(tx);
    let total: i64 = all.iter().filter_map(|one| one.value).map(Worth::cents).sum();
    let without = all.iter().filter(|one| one.value.is_none()).count();
    let rows = all.iter().map(|one| {
        vec![
            one.item.tag.to_string(),
            one.item.name.clone(),
            one.value.map_or_else(|| "–".to_owned(), |worth| amount(worth.cents())),
            one.owner.clone(),
            one.serial.clone(),
        ]
    });
    let list = List {
        title: format!("{}: what the shelf is worth", site.club),
        says: vec![
            format!("On {}.", clock.today().strftime("%-d %B %Y")),
            format!(
                "{} pieces; all together {} in the club's money; {without} without a value.",
                all.len(),
                amount(total)
            ),
        ],
        columns: VALUE_COLUMNS,
        rows: rows.collect(),
    };
    note_taken(&store, &who, "values").await?;
    paper("values.pdf", list).await
}

/// `GET /stock/use.pdf`
///
/// # Errors
/// The database could not be read.
pub async fn uses(
    State(store): State<Store>,
    State(clock): State<Clock>,
    State(site): State<Site>,
) -> Result<Response, Problem> {
    let mut tx = store.reader().begin().await?;
    let pieces = all_used(&mut tx, clock.seconds()).await?;
    drop(tx);
    let never = pieces.iter().filter(|piece| piece.used.times == 0).count();
    let rows = pieces.iter().map(|piece| {
        let last = piece.used.last_seen.and_then(|at| seen(at, &clock));
        vec![
            piece.item.tag.to_string(),
            piece.item.name.clone(),
            piece.used.times.to_string(),
            piece.used.nights.to_string(),
            last.map_or_else(
                || "never out".to_owned(),
                |day| day.strftime("%-d %B %Y").to_string(),
            ),
        ]
    });
    let list = List {
        title: format!("{}: how much the shelf is used", site.club),
        says: vec![
            format!("On {}.", clock.today().strftime("%-d %B %Y")),
            format!("{} pieces, of which {never} never left it.", pieces.len()),
        ],
        columns: USE_COLUMNS,
        rows: rows.collect(),
    };
    paper("use.pdf", list).await
}
