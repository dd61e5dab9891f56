//! Looking after the shelf as a whole: what waits, what is used, what it is worth, and the tables.

use std::collections::HashMap;

use axum::extract::State;
use axum::http::header;
use axum::response::{IntoResponse, Response};
use jiff::Timestamp;
use jiff::civil::Date;
use serde::Deserialize;
use sqlx::SqliteConnection;

use super::care::upkeep;
use super::item::{AssetTag, ItemId, ItemState, Kind};
use super::kinds::for_kind;
use super::papers::{Worth, these_papers};
use super::stock_page::{Counted, CountedPage, StockPage, Waiting};
use super::stock_paper_pages::paper_table;
use super::store::{self, ItemName, all_names, names, to_inspect};
use super::table::{Tabular, write_table};
use super::uses::{After, Used, all_used, count_used, most_used};
use crate::audit::{self, Subject};
use crate::lending::door::tonight;
use crate::lending::rules_store::rules;
use crate::lending::{SunDays, filter_flaw, filter_made_for};
use crate::people::access::SignedIn;
use crate::people::{self, MemberId};
use crate::sheet::{Cell, SheetWriter};
use crate::shelf::FilterKind;
use crate::store::Store;
use crate::web::body::{Path, Query};
use crate::web::clock::Clock;
use crate::web::format;
use crate::web::frame::Place;
use crate::web::problem::Problem;
use crate::web::query::pairs;

/// Pieces in a table on a page; the file has all.
const MOST_ROWS: usize = 60;

/// `GET /stock`
///
/// # Errors
/// The database could not be read.
pub async fn stock(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
) -> Result<StockPage, Problem> {
    let mut tx = store.reader().begin().await?;
    let today = clock.today();
    let mut due = light_tests(&mut tx, &clock).await?;
    for one in upkeep(&mut tx, None, clock.zone()).await? {
        if one.is_due(today) {
            due.push((one.item, format!("{}: {}", one.what, one.says(today))));
        }
    }
    let ids: Vec<ItemId> = due.iter().map(|(item, _)| *item).collect();
    let named = names(&mut tx, &ids).await?;
    let by_id: HashMap<ItemId, &ItemName> = named.iter().map(|item| (item.id, item)).collect();
    let row = |item: &ItemName, says: String| Waiting {
        address: item.tag.page(),
        tag: item.tag.to_string(),
        name: item.name.clone(),
        says,
    };
    let mut waiting = Vec::new();
    for (item, says) in due {
        waiting.extend(by_id.get(&item).map(|item| row(item, says)));
    }
    for item in to_inspect(&mut tx).await? {
        waiting.push(row(&item, "Needs an inspection before it can be lent".into()));
    }
    Ok(StockPage { frame: who.visit.frame("Looking after the shelf").at(Place::Shelf), waiting })
}

/// Solar filters that open no way to the Sun any more, or won't in a month.
async fn light_tests(
    conn: &mut SqliteConnection,
    clock: &Clock,
) -> Result<Vec<(ItemId, String)>, Problem> {
    let months = rules(conn, tonight(clock)?).await?.light_test_months;
    let telescopes = store::telescopes(conn).await?;
    let today = clock.today();
    let soon = today.checked_add(jiff::Span::new().months(1)).unwrap_or(today);
    let mut found = Vec::new();
    for filter in store::filters_in_service(conn).await? {
        if filter.figures.kind != FilterKind::SolarFullAperture {
            continue;
        }
        let flaw = |telescope, last: Date| {
            filter_flaw(&filter, telescope, SunDays { today, last, light_test_months: months })
        };
        let telescope = telescopes.iter().find(|one| filter_made_for(&filter, one));
        let tested = filter.figures.last_light_test.map_or_else(
            || "no light test is written down".to_owned(),
            |day| format!("last light test {}", day.strftime("%-d %B %Y")),
        );
        let says = match telescope {
            None => format!("For no telescope of ours; {tested}"),
            Some(telescope) if flaw(telescope, today).is_some() => {
                format!("Opens no way to the Sun: {tested}")
            }
            Some(telescope) if flaw(telescope, soon).is_some() => {
                format!("Light test due within a month: {tested}")
            }
            Some(_) => continue,
        };
        found.push((filter.id, says));
    }
    Ok(found)
}

pub(super) fn file(name: &str, bytes: Vec<u8>) -> Response {
    let headers = [
        (header::CONTENT_TYPE, "text/csv; charset=utf-8".to_owned()),
        (header::CONTENT_DISPOSITION, format!("attachment; filename=\"{name}\"")),
        (header::CACHE_CONTROL, "no-store".to_owned()),
    ];
    (headers, bytes).into_response()
}

/// `GET /stock/tables/{file}`: one kind as the table that can be taken in again.
///
/// # Errors
/// 404 for another file, or the database could not be read.
pub async fn table(
    State(store): State<Store>,
    who: SignedIn,
    Path(name): Path<String>,
) -> Result<Response, Problem> {
    let gone =
        || Problem::not_found("There is no such table.").way("Looking after the shelf", "/stock");
    let word = name.strip_suffix(".csv").ok_or_else(gone)?;
    let bytes = match Kind::parse(word) {
        Some(kind) => for_kind!(kind, T => written::<T>(&store).await?),
        None => paper_table(&store, word).await?.ok_or_else(gone)?,
    };
    note_taken(&store, &who, word).await?;
    Ok(file(&name, bytes))
}

async fn written<T: Tabular>(store: &Store) -> Result<Vec<u8>, Problem> {
    let mut conn = store.reader().acquire().await?;
    let mut bytes = Vec::new();
    write_table(&mut bytes, &T::all(&mut conn).await?).map_err(|why| Problem::internal(&why))?;
    Ok(bytes)
}

pub(super) async fn note_taken(store: &Store, who: &SignedIn, what: &str) -> Result<(), Problem> {
    let mut tx = store.write().await?;
    audit::note(&mut tx, who.actor(), "table exported", Subject::all("item"), what).await?;
    tx.commit().await?;
    Ok(())
}

pub(super) fn seen(at: i64, clock: &Clock) -> Option<Date> {
    let instant = Timestamp::from_second(at).ok()?;
    Some(instant.to_zoned_datetime(clock.zone().clone()).date())
}

/// What stands after the question mark of `/stock/use`: the last piece of the page before.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Before {
    nights: String,
    after: String,
}

impl Before {
    /// Where the page begins; whatever is no place in the list is its beginning.
    fn place(&self) -> Option<After> {
        Some(After { nights: self.nights.parse().ok()?, tag: AssetTag::new(&self.after).ok()? })
    }
}

/// `GET /stock/use`
///
/// # Errors
/// The database could not be read.
pub async fn use_page(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Query(before): Query<Before>,
) -> Result<CountedPage, Problem> {
    let mut tx = store.reader().begin().await?;
    let after = before.place();
    let mut pieces = most_used(&mut tx, clock.seconds(), after.as_ref(), MOST_ROWS + 1).await?;
    // The whole shelf is told of at the beginning of the list, and counted for that page alone.
    let all = if after.is_none() { Some(count_used(&mut tx).await?) } else { None };
    let goes_on = pieces.len() > MOST_ROWS;
    pieces.truncate(MOST_ROWS);
    let next = pieces.last().filter(|_| goes_on).map(|last| {
        let nights = last.used.nights.to_string();
        let tag = last.item.tag.as_str();
        format!("/stock/use?{}", pairs([("nights", &*nights), ("after", tag)]))
    });
    let counted = pieces.iter().map(|Used { item, used }| Counted {
        address: item.tag.page(),
        tag: item.tag.to_string(),
        name: item.name.clone(),
        figures: match used.last_seen {
            None => vec!["never".into(), "0".into(), "–".into()],
            Some(last_seen) => vec![
                used.times.to_string(),
                used.nights.to_string(),
                seen(last_seen, &clock)
                    .map_or_else(String::new, |day| day.strftime("%-d %B %Y").to_string()),
            ],
        },
    });
    Ok(CountedPage {
        frame: who.visit.frame("How much things are used").at(Place::Shelf),
        says: all.map_or_else(
            || "The list goes on, from more nights out to fewer.".to_owned(),
            |all| {
                format!(
                    "{} on the shelf; {} never left it, as far as this service knows.",
                    format::sentence_case(&format::count(all.pieces, "piece", "pieces")),
                    format::count(all.never, "of them", "of them")
                )
            },
        ),
        columns: vec!["Loans", "Nights out", "Last seen"],
        pieces: counted.collect(),
        more: all.map_or(0, |all| all.pieces.saturating_sub(MOST_ROWS)),
        next,
        file: "/stock/use.csv",
    })
}

/// `GET /stock/use.csv`
///
/// # Errors
/// The database could not be read.
pub async fn use_file(
    State(store): State<Store>,
    State(clock): State<Clock>,
) -> Result<Response, Problem> {
    let mut tx = store.reader().begin().await?;
    let pieces = all_used(&mut tx, clock.seconds()).await?;
    drop(tx);
    let written = || -> std::io::Result<Vec<u8>> {
        let mut bytes = Vec::new();
        let columns = ["asset_tag", "name", "kind", "loans", "nights_out", "last_seen"];
        let mut sheet = SheetWriter::new(&mut bytes, columns)?;
        for Used { item, used } in &pieces {
            sheet.row([
                Cell::Text(item.tag.as_str()),
                Cell::Text(&item.name),
                Cell::Text(item.kind.as_str()),
                Cell::Whole(used.times),
                Cell::Whole(used.nights),
                Cell::date(used.last_seen.and_then(|at| seen(at, &clock))),
            ])?;
        }
        sheet.finish()?;
        Ok(bytes)
    };
    Ok(file("use.csv", written().map_err(|why| Problem::internal(&why))?))
}

/// A piece with what it is worth and whose it is.
pub(super) struct Valued {
    pub(super) item: ItemName,
    pub(super) value: Option<Worth>,
    pub(super) owner: String,
    pub(super) place: String,
    pub(super) serial: String,
    pub(super) bought_on: Option<Date>,
}

pub(super) async fn valued(conn: &mut SqliteConnection) -> Result<Vec<Valued>, Problem> {
    let all = all_names(conn).await?;
    let ids: Vec<ItemId> = all.iter().map(|item| item.id).collect();
    let mut papers: HashMap<ItemId, _> = these_papers(conn, &ids).await?.into_iter().collect();
    let owners: Vec<MemberId> = papers.values().filter_map(|one| one.owner).collect();
    let owners = people::names::of_members(conn, owners).await?;
    let kept = all.into_iter().filter(|item| item.state != ItemState::Retired);
    let mut all: Vec<Valued> = kept
        .map(|item| {
            let papers = papers.remove(&item.id).unwrap_or_default();
            let owner = papers.owner.map(|id| owners.get(&id).cloned().unwrap_or_default());
            Valued {
                value: papers.value,
                owner: owner.unwrap_or_else(|| "The club".to_owned()),
                place: papers.place,
                serial: papers.serial,
                bought_on: papers.bought_on,
                item,
            }
        })
        .collect();
    all.sort_by(|one, two| two.value.cmp(&one.value).then_with(|| one.item.tag.cmp(&two.item.tag)));
    Ok(all)
}

/// `GET /stock/values`
///
/// # Errors
/// The database could not be read.
pub async fn values_page(
    State(store): State<Store>,
    who: SignedIn,
) -> Result<CountedPage, Problem> {
    let mut tx = store.reader().begin().await?;
    let all = valued(&mut tx).await?;
    let total: i64 = all.iter().filter_map(|one| one.value).map(Worth::cents).sum();
    let without = all.iter().filter(|one| one.value.is_none()).count();
    let pieces = all.iter().take(MOST_ROWS).map(|one| Counted {
        address: one.item.tag.page(),
        tag: one.item.tag.to_string(),
        name: one.item.name.clone(),
        figures: vec![
            one.value.map_or_else(|| "not written".to_owned(), |worth| worth.to_string()),
            one.owner.clone(),
            if one.place.is_empty() { "not written".to_owned() } else { one.place.clone() },
        ],
    });
    Ok(CountedPage {
        frame: who.visit.frame("What it is worth").at(Place::Shelf),
        says: format!(
            "All together {}.{:02} in the club's money; of {} no value is written.",
            total / 100,
            total % 100,
            format::count(without, "piece", "pieces")
        ),
        columns: vec!["Value", "Belongs to", "Lives in"],
        pieces: pieces.collect(),
        more: all.len().saturating_sub(MOST_ROWS),
        next: None,
        file: "/stock/values.csv",
    })
}

/// `GET /stock/values.csv`
///
/// # Errors
/// The database could not be read.
pub async fn values_file(State(store): State<Store>, who: SignedIn) -> Result<Response, Problem> {
    let mut tx = store.reader().begin().await?;
    let all = valued(&mut tx).await?;
    drop(tx);
    let written = || -> std::io::Result<Vec<u8>> {
        let mut bytes = Vec::new();
        let columns = [
            "asset_tag",
            "name",
            "kind",
            "state",
            "value",
            "owner",
            "place",
            "serial",
            "bought_on",
        ];
        let mut sheet = SheetWriter::new(&mut bytes, columns)?;
        for one in &all {
            let value = one.value.map(|worth| worth.to_string()).unwrap_or_default();
            sheet.row([
                Cell::Text(one.item.tag.as_str()),
                Cell::Text(&one.item.name),
                Cell::Text(one.item.kind.as_str()),
                Cell::Text(one.item.state.as_str()),
                Cell::Text(&value),
                Cell::Text(&one.owner),
                Cell::Text(&one.place),
                Cell::Text(&one.serial),
                Cell::date(one.bought_on),
            ])?;
        }
        sheet.finish()?;
        Ok(bytes)
    };
    let bytes = written().map_err(|why| Problem::internal(&why))?;
    note_taken(&store, &who, "values").await?;
    Ok(file("values.csv", bytes))
}
