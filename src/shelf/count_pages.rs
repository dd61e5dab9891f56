//! `/stock/count`: walking through the store with a phone, several at once, and the signed record.

use std::collections::{BTreeMap, HashMap};

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use jiff::Timestamp;
use serde::Deserialize;
use sqlx::SqliteConnection;

use super::care::note_inspection;
use super::count::{self, Count, Outcome};
use super::count_page::{CountPage, CountRow, Going, Past, RecordPage};
use super::history::Hand;
use super::item::{ItemId, ItemState};
use super::kinds::for_kind;
use super::papers::these_papers;
use super::piece_pages::named;
use super::store::ItemName;
use super::write::put_condition;
use crate::audit::{self, Subject};
use crate::people::access::SignedIn;
use crate::people::names;
use crate::store::{Store, WriteTx};
use crate::web::body::{Form, Path, Query};
use crate::web::clock::Clock;
use crate::web::field::Field;
use crate::web::format;
use crate::web::frame::Place;
use crate::web::problem::Problem;

type Sent = BTreeMap<String, String>;

/// Pieces that wait, on one page; scanning goes on without them.
const MOST_ROWS: usize = 60;

fn text(sent: &Sent, name: &str) -> String {
    sent.get(name).map(|text| text.trim().to_owned()).unwrap_or_default()
}

fn day(at: i64, clock: &Clock) -> String {
    Timestamp::from_second(at).map_or_else(
        |_| String::new(),
        |at| at.to_zoned_datetime(clock.zone().clone()).strftime("%-d %B %Y").to_string(),
    )
}

/// The pieces as rows, each with where it lives.
async fn rows(conn: &mut SqliteConnection, items: &[&ItemName]) -> Result<Vec<CountRow>, Problem> {
    let ids: Vec<ItemId> = items.iter().map(|item| item.id).collect();
    let places: HashMap<ItemId, String> = these_papers(conn, &ids)
        .await?
        .into_iter()
        .map(|(item, papers)| (item, papers.place))
        .collect();
    let row = |item: &&ItemName| CountRow {
        address: item.tag.page(),
        tag: item.tag.to_string(),
        name: item.name.clone(),
        says: places.get(&item.id).cloned().unwrap_or_default(),
    };
    Ok(items.iter().map(row).collect())
}

/// What stands after the question mark.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Told {
    seen: String,
}

async fn page_of(
    store: &Store,
    clock: &Clock,
    who: &SignedIn,
    told: &Told,
) -> Result<CountPage, Problem> {
    let mut tx = store.reader().begin().await?;
    let going = match count::under_way(&mut tx).await? {
        Some(one) => Some(going(&mut tx, clock, &one, told).await?),
        None => None,
    };
    let past = count::over(&mut tx).await?;
    Ok(CountPage {
        frame: who.visit.frame("Taking stock").at(Place::Shelf).returning_to("/stock/count"),
        going,
        past: past
            .into_iter()
            .map(|one| Past {
                address: format!("/stock/count/{}", one.id),
                day: day(one.started_at, clock),
                signed: one.signed_name.unwrap_or_default(),
            })
            .collect(),
    })
}

async fn going(
    conn: &mut SqliteConnection,
    clock: &Clock,
    one: &Count,
    told: &Told,
) -> Result<Going, Problem> {
    let all = count::standing(conn, one.id).await?;
    let by = names::of_accounts(conn, one.started_by).await?.into_values().next();
    let by = by.map_or_else(String::new, |name| format!(" by {name}"));
    let waiting: Vec<&ItemName> = all
        .iter()
        .filter(|(_, outcome)| *outcome == Outcome::NotFound)
        .map(|(item, _)| item)
        .collect();
    let done = all.len() - waiting.len();
    let shown: Vec<&ItemName> = waiting.iter().take(MOST_ROWS).copied().collect();
    let just = all.iter().find(|(item, _)| item.tag.as_str() == told.seen);
    Ok(Going {
        begun: format!("Begun on {}{by}.", day(one.started_at, clock)),
        tally: format!(
            "{done} of {} are accounted for: seen, out on loan or being mended.",
            format::count(all.len(), "piece", "pieces")
        ),
        tag: Field::default(),
        just: just.map(|(item, _)| format!("{} {}", item.tag, item.name)),
        more: waiting.len() - shown.len(),
        waiting: rows(conn, &shown).await?,
        signed_name: Field::default(),
    })
}

/// `GET /stock/count`
///
/// # Errors
/// The database could not be read.
pub async fn look(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Query(told): Query<Told>,
) -> Result<CountPage, Problem> {
    page_of(&store, &clock, &who, &told).await
}

/// `POST /stock/count`: begins one, or joins the one that is under way.
///
/// # Errors
/// The database refused.
pub async fn start(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
) -> Result<Redirect, Problem> {
    let mut tx = store.write().await?;
    if count::start(&mut tx, Hand::of(who.account.id, clock.seconds())).await? {
        audit::note(&mut tx, who.actor(), "count begun", Subject::all("item"), "").await?;
        tx.commit().await?;
    }
    Ok(Redirect::to("/stock/count"))
}

fn none_under_way() -> Problem {
    Problem::conflict("No count is under way: somebody has ended it.")
        .next("Look at its record, or begin another one.")
        .way("Taking stock", "/stock/count")
}

/// `POST /stock/count/seen`: a piece was seen, by its tag or by the address that its code holds.
///
/// # Errors
/// 409 where no count is under way, or the database refused. A tag that is not there is said on the
/// page.
pub async fn seen(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Form(sent): Form<Sent>,
) -> Result<Response, Problem> {
    let typed = text(&sent, "tag");
    let mut tx = store.write().await?;
    let one = count::under_way(&mut tx).await?.ok_or_else(none_under_way)?;
    let Ok(item) = named(&mut tx, &tag_in(&typed)).await else {
        drop(tx);
        let mut page = page_of(&store, &clock, &who, &Told::default()).await?;
        if let Some(going) = &mut page.going {
            let says = "Nothing on the shelf bears this tag: look at the label again.";
            going.tag = Field::refused(typed, says);
        }
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
    };
    if sent.contains_key("undo") {
        count::unsee(&mut tx, one.id, item.id).await?;
        tx.commit().await?;
        return Ok(Redirect::to("/stock/count").into_response());
    }
    count::see(&mut tx, Hand::of(who.account.id, clock.seconds()), one.id, item.id).await?;
    tx.commit().await?;
    let told = crate::web::query::pairs([("seen", item.tag.as_str())]);
    Ok(Redirect::to(&format!("/stock/count?{told}")).into_response())
}

/// The tag in what a scanner types: the tag itself, or the address of the piece's page.
fn tag_in(typed: &str) -> String {
    let tag = typed.rsplit_once("/shelf/").map_or(typed, |(_, tag)| tag);
    tag.replace("%2F", "/").replace("%2f", "/")
}

/// `POST /stock/count/end`
///
/// # Errors
/// 409 where no count is under way, or the database refused.
pub async fn end(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Form(sent): Form<Sent>,
) -> Result<Response, Problem> {
    let name = text(&sent, "signed_name");
    let mut tx = store.write().await?;
    let one = count::under_way(&mut tx).await?.ok_or_else(none_under_way)?;
    if name.is_empty() || name.chars().count() > 120 {
        drop(tx);
        let mut page = page_of(&store, &clock, &who, &Told::default()).await?;
        if let Some(going) = &mut page.going {
            let says = "Write your name: somebody has to answer for the record.";
            going.signed_name = Field::refused(name, says);
        }
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
    }
    let hand = Hand::of(who.account.id, clock.seconds());
    let lines = count::standing(&mut tx, one.id).await?;
    if !count::end(&mut tx, hand, one.id, &name, &lines).await? {
        return Err(none_under_way());
    }
    if sent.contains_key("mark") {
        mark(&mut tx, hand, &clock, &lines).await?;
    }
    let lost = lines.iter().filter(|(_, outcome)| *outcome == Outcome::NotFound).count();
    let detail = format!("{} pieces, {lost} not found", lines.len());
    audit::note(&mut tx, who.actor(), "count ended", Subject::all("item"), &detail).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/stock/count/{}", one.id)).into_response())
}

/// What was not found is missing from now on, and what turned up has to be looked over.
async fn mark(
    tx: &mut WriteTx,
    hand: Hand,
    clock: &Clock,
    lines: &[(ItemName, Outcome)],
) -> Result<(), Problem> {
    for (item, outcome) in lines {
        let (state, finding) = match outcome {
            Outcome::NotFound if item.state != ItemState::Missing => {
                (ItemState::Missing, "Not found when stock was taken.")
            }
            Outcome::TurnedUp => {
                (ItemState::NeedsInspection, "Turned up again when stock was taken.")
            }
            _ => continue,
        };
        for_kind!(item.kind, T => put_condition::<T>(tx, hand, item.id, state, None).await?);
        note_inspection(tx, hand, item.id, (clock.today(), finding, state)).await?;
    }
    Ok(())
}

/// `GET /stock/count/{id}`: the record of a count that is over.
///
/// # Errors
/// 404 where there is none of this number, or the database could not be read.
pub async fn record(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
) -> Result<RecordPage, Problem> {
    let mut tx = store.reader().begin().await?;
    let found = count::count(&mut tx, id).await?;
    let one = found.filter(|one| one.ended_at.is_some()).ok_or_else(|| {
        Problem::not_found("There is no record of such a count.")
            .way("Taking stock", "/stock/count")
    })?;
    let lines = count::record(&mut tx, id).await?;
    let mut groups = Vec::new();
    let order =
        [Outcome::NotFound, Outcome::TurnedUp, Outcome::Out, Outcome::InRepair, Outcome::There];
    for outcome in order {
        let of: Vec<&ItemName> =
            lines.iter().filter(|(_, one)| *one == outcome).map(|(item, _)| item).collect();
        if !of.is_empty() {
            groups.push((outcome, rows(&mut tx, &of).await?));
        }
    }
    let begun = day(one.started_at, &clock);
    Ok(RecordPage {
        frame: who.visit.frame(format!("Count of {begun}")).at(Place::Shelf),
        says: format!(
            "Begun on {begun}, ended on {}, signed by {}.",
            one.ended_at.map(|at| day(at, &clock)).unwrap_or_default(),
            one.signed_name.unwrap_or_default()
        ),
        groups,
    })
}

#[cfg(test)]
mod tests {
    use super::tag_in;

    #[test]
    fn a_scanner_may_type_the_tag_or_the_address() {
        assert_eq!(tag_in("E-031"), "E-031");
        assert_eq!(tag_in("https://lend.example.org/shelf/club%2FE.1"), "club/E.1");
    }
}
