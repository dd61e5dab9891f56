//! Writes a step down: header, lines, nights and story, all or nothing.

use std::collections::BTreeMap;

use super::machine::{Event, EventKind, Hat, LineState, Standing, step};
use super::model::{LendingError, NotReserved, ReservationId, ReservationState};
use super::night::{Night, Nights};
use super::rules::ItemRule;
use super::rules_store::item_rules;
use super::store::clashes_of;
use super::story::{Doer, Told, standing, tell};
use crate::shelf::{self, Hand, ItemId, id_list};
use crate::store::WriteTx;

/// When and by whom a step is taken, and why.
#[derive(Debug, Clone)]
pub struct Act {
    /// Who.
    pub doer: Doer,
    /// Seconds since 1970.
    pub at: i64,
    /// The night that the club's date names.
    pub tonight: Night,
    /// Why; may be empty.
    pub reason: String,
}

impl Act {
    /// The same hand on the shelf.
    pub fn hand(&self) -> Hand {
        Hand { account: self.doer.account, at: self.at }
    }
}

/// Takes one step of a reservation that is there. Answers how it stood before and how it stands
/// now. On an error, drop the transaction.
///
/// # Errors
/// [`NotReserved`].
pub async fn take_step(
    tx: &mut WriteTx,
    id: ReservationId,
    event: &Event,
    act: &Act,
) -> Result<(Standing, Standing), NotReserved> {
    let before =
        standing(tx, id).await?.ok_or(NotReserved::Failed(LendingError::NoSuchReservation))?;
    let after = step(Some(&before), event, act.doer.hat)?;
    write_header(tx, id, &after).await?;
    let own = matches!(act.doer.hat, Hat::Owner | Hat::Lead);
    if event.kind == EventKind::Cancel && own && act.tonight >= before.nights.first() {
        note_late_cancel(tx, id).await?;
    }
    write_lines(tx, id, Some(&before), &after).await?;
    write_nights(tx, id, Some(&before), &after, act.tonight).await?;
    write_story(tx, id, Some(before.state), after.state, event, act).await?;
    Ok((before, after))
}

/// Notes that somebody cancelled when their first night had come, too late for most others.
async fn note_late_cancel(tx: &mut WriteTx, id: ReservationId) -> Result<(), LendingError> {
    sqlx::query!("UPDATE reservation SET cancelled_late = 1 WHERE id = ?", id.0)
        .execute(&mut **tx)
        .await?;
    Ok(())
}

pub(super) async fn write_story(
    tx: &mut WriteTx,
    id: ReservationId,
    from: Option<ReservationState>,
    to: ReservationState,
    event: &Event,
    act: &Act,
) -> Result<(), LendingError> {
    let told = Told {
        at: act.at,
        actor: act.doer.account,
        event: event.clone(),
        reason: act.reason.chars().take(1000).collect(),
    };
    Ok(tell(tx, id, &told, from, to).await?)
}

async fn write_header(
    tx: &mut WriteTx,
    id: ReservationId,
    after: &Standing,
) -> Result<(), LendingError> {
    let (first, last) = (after.nights.first().to_string(), after.nights.last().to_string());
    let state = after.state.as_str();
    sqlx::query!(
        "UPDATE reservation SET first_night = ?, last_night = ?, state = ?, version = version + 1
         WHERE id = ?",
        first,
        last,
        state,
        id.0
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

pub(super) async fn write_lines(
    tx: &mut WriteTx,
    id: ReservationId,
    before: Option<&Standing>,
    after: &Standing,
) -> Result<(), LendingError> {
    for state in LineState::ALL {
        let changed: Vec<ItemId> = after
            .items(state)
            .into_iter()
            .filter(|item| before.is_none_or(|before| before.lines.get(item) != Some(&state)))
            .collect();
        if changed.is_empty() {
            continue;
        }
        let (ids, state) = (id_list(&changed), state.as_str());
        sqlx::query!(
            "INSERT INTO reservation_item (reservation_id, item_id, state)
             SELECT ?, value, ? FROM json_each(?) WHERE true
             ON CONFLICT (reservation_id, item_id) DO UPDATE SET state = excluded.state",
            id.0,
            state,
            ids
        )
        .execute(&mut **tx)
        .await?;
    }
    Ok(())
}

/// Makes the kept nights agree with where the reservation stands.
///
/// # Errors
/// [`NotReserved::Clashes`] where a night that is wanted now is somebody else's.
pub(super) async fn write_nights(
    tx: &mut WriteTx,
    id: ReservationId,
    before: Option<&Standing>,
    after: &Standing,
    tonight: Night,
) -> Result<(), NotReserved> {
    let kept = after.kept();
    let same = before.is_some_and(|before| before.nights == after.nights && before.kept() == kept);
    if same {
        return Ok(());
    }
    free_nights(tx, id, after, &kept, tonight).await?;
    if kept.is_empty() {
        return Ok(());
    }
    let names = shelf::names(tx, &kept).await.map_err(LendingError::from)?;
    let rules = item_rules(tx, &kept).await?;
    let clashes = clashes_of(tx, &names, after.nights, &rules, id).await?;
    if !clashes.is_empty() {
        return Err(NotReserved::Clashes(clashes));
    }
    Ok(keep_nights(tx, id, &kept, after.nights, &rules).await?)
}

/// Keeps nights that are known to be free, and those in which each item is looked after.
///
/// # Errors
/// The database refused: the primary key, should a night be somebody else's after all.
pub(super) async fn keep_nights(
    tx: &mut WriteTx,
    id: ReservationId,
    items: &[ItemId],
    nights: Nights,
    rules: &BTreeMap<ItemId, ItemRule>,
) -> Result<(), LendingError> {
    insert_nights(tx, id, items, nights, "plan").await?;
    for item in items {
        if let Some(nights) = rules.get(item).and_then(|rule| turnaround(nights, *rule)) {
            insert_nights(tx, id, &[*item], nights, "turnaround").await?;
        }
    }
    Ok(())
}

/// The nights after `nights` in which an item is looked after.
pub(super) fn turnaround(nights: Nights, rule: ItemRule) -> Option<Nights> {
    let first = nights.last().next()?;
    if rule.turnaround_nights < 1 {
        return None;
    }
    Nights::new(first, first.later(rule.turnaround_nights - 1)?).ok()
}

/// Frees what is not kept any more: all nights of what was never out, and of what is back those
/// that are still to come.
async fn free_nights(
    tx: &mut WriteTx,
    id: ReservationId,
    after: &Standing,
    kept: &[ItemId],
    tonight: Night,
) -> Result<(), LendingError> {
    let was_out = |state: LineState| matches!(state, LineState::Returned | LineState::Missing);
    let back: Vec<ItemId> =
        after.lines.iter().filter(|(_, state)| was_out(**state)).map(|(item, _)| *item).collect();
    let whole: Vec<ItemId> = after
        .lines
        .iter()
        .filter(|(item, state)| kept.contains(item) || !was_out(**state))
        .map(|(item, _)| *item)
        .collect();
    let (back, whole, tonight) = (id_list(&back), id_list(&whole), tonight.to_string());
    sqlx::query!(
        "DELETE FROM item_night WHERE reservation_id = ?1
         AND (item_id IN (SELECT value FROM json_each(?2))
              OR (item_id IN (SELECT value FROM json_each(?3)) AND night >= ?4))",
        id.0,
        whole,
        back,
        tonight
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

async fn insert_nights(
    tx: &mut WriteTx,
    id: ReservationId,
    items: &[ItemId],
    nights: Nights,
    kind: &str,
) -> Result<(), LendingError> {
    let (ids, nights) = (id_list(items), night_list(nights));
    sqlx::query!(
        "INSERT INTO item_night (item_id, night, kind, reservation_id)
         SELECT item.value, night.value, ?, ? FROM json_each(?) AS item, json_each(?) AS night",
        kind,
        id.0,
        ids,
        nights
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// Nights as a JSON list, the way one statement takes many.
pub(super) fn night_list(nights: Nights) -> String {
    let nights: Vec<String> = nights.iter().map(|night| format!("\"{night}\"")).collect();
    format!("[{}]", nights.join(","))
}
