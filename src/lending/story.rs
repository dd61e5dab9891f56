//! The story of each reservation: every step is kept, and the state is what they fold to.

use std::collections::BTreeMap;

use sqlx::SqliteConnection;

use super::machine::{Event, EventKind, Hat, LineState, Standing, step};
use super::model::{LendingError, ReservationId, ReservationState, stored_night};
use super::night::Nights;
use crate::shelf::{ItemId, id_list};
use crate::store::WriteTx;

/// Who acts, and in what part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Doer {
    /// The account; none where time or a table acts.
    pub account: Option<i64>,
    /// In what part.
    pub hat: Hat,
}

impl Doer {
    /// The passing of time.
    pub const TIMER: Self = Self { account: None, hat: Hat::Timer };
    /// A table of the club's records.
    pub const RECORD: Self = Self { account: None, hat: Hat::Record };
}

/// One step that was taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Told {
    /// When, seconds since 1970.
    pub at: i64,
    /// Whose account; none where time or a table acted.
    pub actor: Option<i64>,
    /// What.
    pub event: Event,
    /// Why, where somebody said.
    pub reason: String,
}

pub(super) async fn tell(
    tx: &mut WriteTx,
    id: ReservationId,
    told: &Told,
    from: Option<ReservationState>,
    to: ReservationState,
) -> sqlx::Result<()> {
    let kind = told.event.kind.as_str();
    let items = id_list(&told.event.items);
    let first = told.event.nights.map(|nights| nights.first().to_string());
    let last = told.event.nights.map(|nights| nights.last().to_string());
    let (from, to) = (from.map(ReservationState::as_str), to.as_str());
    sqlx::query!(
        "INSERT INTO lending_event
            (reservation_id, at, actor, kind, items, first_night, last_night, from_state, to_state,
             reason)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
        id.0,
        told.at,
        told.actor,
        kind,
        items,
        first,
        last,
        from,
        to,
        told.reason
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

struct EventRow {
    reservation_id: i64,
    at: i64,
    actor: Option<i64>,
    kind: String,
    items: String,
    first_night: Option<String>,
    last_night: Option<String>,
    reason: String,
}

impl TryFrom<EventRow> for Told {
    type Error = LendingError;

    fn try_from(row: EventRow) -> Result<Self, LendingError> {
        let unreadable = |why: &str| {
            LendingError::unreadable(
                format!("The story of reservation {}", row.reservation_id),
                why,
            )
        };
        let nights = match (&row.first_night, &row.last_night) {
            (Some(first), Some(last)) => Some(
                Nights::new(stored_night(first)?, stored_night(last)?)
                    .map_err(|why| unreadable(&why.to_string()))?,
            ),
            _ => None,
        };
        let items: Vec<i64> = serde_json::from_str(&row.items)
            .map_err(|_| unreadable("its items are not a list of numbers."))?;
        Ok(Self {
            at: row.at,
            actor: row.actor,
            event: Event {
                kind: EventKind::parse(&row.kind)
                    .ok_or_else(|| unreadable("one of its steps is not known."))?,
                items: items.into_iter().map(ItemId).collect(),
                nights,
            },
            reason: row.reason,
        })
    }
}

/// The story of one reservation, from its beginning.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn story(
    conn: &mut SqliteConnection,
    id: ReservationId,
) -> Result<Vec<Told>, LendingError> {
    let rows = sqlx::query_as!(
        EventRow,
        "SELECT reservation_id, at, actor, kind, items, first_night, last_night, reason
         FROM lending_event WHERE reservation_id = ? ORDER BY id",
        id.0
    )
    .fetch_all(conn)
    .await?;
    rows.into_iter().map(Told::try_from).collect()
}

/// Where each reservation must stand after its story; an error's sentence where the story itself
/// takes a step that may not be taken.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub(super) async fn folds(
    conn: &mut SqliteConnection,
) -> Result<BTreeMap<i64, Result<Standing, String>>, LendingError> {
    let rows = sqlx::query_as!(
        EventRow,
        "SELECT reservation_id, at, actor, kind, items, first_night, last_night, reason
         FROM lending_event ORDER BY reservation_id, id"
    )
    .fetch_all(conn)
    .await?;
    let mut folds: BTreeMap<i64, Result<Standing, String>> = BTreeMap::new();
    for row in rows {
        let id = row.reservation_id;
        let told = Told::try_from(row)?;
        let next = match folds.remove(&id) {
            Some(Err(why)) => Err(why),
            Some(Ok(before)) => follow(Some(&before), &told.event),
            None => follow(None, &told.event),
        };
        folds.insert(id, next);
    }
    Ok(folds)
}

/// Takes a step that was taken already: by whom was asked then.
fn follow(before: Option<&Standing>, event: &Event) -> Result<Standing, String> {
    let mut outcome = step(before, event, Hat::Quartermaster);
    if outcome.is_err() {
        outcome = step(before, event, Hat::Timer);
    }
    outcome.map_err(|why| why.to_string())
}

struct Header {
    id: i64,
    first_night: String,
    last_night: String,
    state: String,
}

struct Line {
    item_id: i64,
    state: String,
}

/// Where a reservation stands; `None` where there is none of this number.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn standing(
    conn: &mut SqliteConnection,
    id: ReservationId,
) -> Result<Option<Standing>, LendingError> {
    let header = sqlx::query_as!(
        Header,
        "SELECT id, first_night, last_night, state FROM reservation WHERE id = ?",
        id.0
    )
    .fetch_optional(&mut *conn)
    .await?;
    let Some(header) = header else { return Ok(None) };
    let lines = sqlx::query_as!(
        Line,
        "SELECT item_id, state FROM reservation_item WHERE reservation_id = ?",
        id.0
    )
    .fetch_all(conn)
    .await?;
    let unreadable =
        |why: String| LendingError::unreadable(format!("Reservation {}", header.id), why);
    let lines = lines
        .into_iter()
        .map(|line| {
            let state = LineState::parse(&line.state)
                .ok_or_else(|| unreadable(format!("the state {} is not known.", line.state)))?;
            Ok((ItemId(line.item_id), state))
        })
        .collect::<Result<BTreeMap<_, _>, LendingError>>()?;
    Ok(Some(Standing {
        state: ReservationState::parse(&header.state)
            .ok_or_else(|| unreadable(format!("its state {} is not known.", header.state)))?,
        nights: Nights::parse(&header.first_night, &header.last_night)
            .map_err(|why| unreadable(why.to_string()))?,
        lines,
    }))
}
