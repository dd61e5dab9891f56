//! Writes a step down: header, lines, nights and story, all or nothing.

use std::collections::BTreeMap;

use super::machine::{Event, EventKind, Hat, LineState, Standing, step};
use super::model::{LendingError, NotReserved, ReservationId, ReservationState, Wish};
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

async fn write_story(
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

async fn write_lines(
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
async fn keep_nights(
    tx: &mut WriteTx,
    id: ReservationId,
    items: &[ItemId],
    nights: Nights,
    rules: &BTreeMap<ItemId, ItemRule>,
) -> Result<(), LendingError> {
    let care = care_list(items, nights, rules);
    let (ids, nights) = (id_list(items), night_list(nights));
    sqlx::query!(
        "INSERT INTO item_night (item_id, night, kind, reservation_id)
         SELECT item.value, night.value, 'plan', ?1
         FROM json_each(?2) AS item, json_each(?3) AS night
         UNION ALL
         SELECT care.value ->> 0, care.value ->> 1, 'turnaround', ?1 FROM json_each(?4) AS care",
        id.0,
        ids,
        nights,
        care
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// Writes a new reservation down: header, lines, nights and the first step of its story. Gives its
/// number and version. All in one go, because each statement of its own is a way to the database's
/// thread and back while everybody else waits for the lock.
///
/// # Errors
/// The database refused: the primary key, should a night be somebody else's after all.
pub(super) async fn write_first(
    tx: &mut WriteTx,
    wish: &Wish,
    standing: &Standing,
    event: &Event,
    rules: &BTreeMap<ItemId, ItemRule>,
) -> Result<(ReservationId, i64), LendingError> {
    let items = standing.items(LineState::Planned);
    let (ids, nights) = (id_list(&items), night_list(standing.nights));
    let care = care_list(&items, standing.nights, rules);
    let (first, last) = (standing.nights.first().to_string(), standing.nights.last().to_string());
    let (state, kind) = (standing.state.as_str(), event.kind.as_str());
    let asked_at = wish.asked_at.as_second();
    let (outreach, site) = (wish.doer.hat == Hat::Lead, wish.site.map(|site| site.0));
    // The newest number is this one's, since nobody else writes meanwhile.
    let made = sqlx::query!(
        "INSERT INTO reservation
            (member_id, first_night, last_night, state, created_at, daylight, outreach, site_id)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?) RETURNING id AS \"id!\", version AS \"version!\";
         INSERT INTO reservation_item (reservation_id, item_id, state)
         SELECT (SELECT max(id) FROM reservation), value, 'planned' FROM json_each(?);
         INSERT INTO item_night (item_id, night, kind, reservation_id)
         SELECT item.value, night.value, 'plan', (SELECT max(id) FROM reservation)
         FROM json_each(?) AS item, json_each(?) AS night
         UNION ALL
         SELECT care.value ->> 0, care.value ->> 1, 'turnaround', (SELECT max(id) FROM reservation)
         FROM json_each(?) AS care;
         INSERT INTO lending_event
            (reservation_id, at, actor, kind, items, first_night, last_night, to_state)
         SELECT (SELECT max(id) FROM reservation), ?, ?, ?, ?, ?, ?, ?",
        wish.member.0,
        first,
        last,
        state,
        asked_at,
        wish.daylight,
        outreach,
        site,
        ids,
        ids,
        nights,
        care,
        asked_at,
        wish.doer.account,
        kind,
        ids,
        first,
        last,
        state
    )
    // All of it, since what is not fetched to its end is not carried out to its end.
    .fetch_all(&mut **tx)
    .await?;
    let made = made.first().ok_or(LendingError::NoSuchReservation)?;
    Ok((ReservationId(made.id), made.version))
}

/// Each item with each night in which it is looked after, the way one statement takes many.
fn care_list(items: &[ItemId], nights: Nights, rules: &BTreeMap<ItemId, ItemRule>) -> String {
    let each = items.iter().flat_map(|item| {
        let care = rules.get(item).and_then(|rule| turnaround(nights, *rule));
        care.into_iter().flat_map(Nights::iter).map(move |night| format!("[{item},\"{night}\"]"))
    });
    format!("[{}]", each.collect::<Vec<_>>().join(","))
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

/// Nights as a JSON list, the way one statement takes many.
pub(super) fn night_list(nights: Nights) -> String {
    let nights: Vec<String> = nights.iter().map(|night| format!("\"{night}\"")).collect();
    format!("[{}]", nights.join(","))
}
