//! What time does to reservations. Each round finds out from the database what is due, so that more
//! rounds do no harm, and a service that was off for a week writes one letter and not seven.

use super::keeping::{Act, take_step};
use super::letters::{News, tell};
use super::machine::{Event, EventKind};
use super::model::{LendingError, NotReserved, ReservationId, stored_night};
use super::night::Night;
use super::risk_letters::{escalate, settle};
use super::rules_store::rules;
use super::story::Doer;
use crate::store::WriteTx;
use crate::web::clock::Clock;

/// For how long a request waits for its answer, in seconds.
const WAITS: i64 = 7 * 86_400;

/// Does what is due tonight: keeps what is not back from being promised anew, lets requests expire
/// and notes what nobody fetched, and writes the reminders.
///
/// # Errors
/// The database refused; then drop the transaction.
pub async fn round(tx: &mut WriteTx, clock: &Clock, tonight: Night) -> Result<(), NotReserved> {
    claim_overdue(tx, tonight).await?;
    let act = Act { doer: Doer::TIMER, at: clock.seconds(), tonight, reason: String::new() };
    for id in unanswered(tx, clock, tonight).await? {
        take_step(tx, id, &Event::whole(EventKind::Expire), &act).await?;
        tell(tx, clock, id, News::Expired).await?;
    }
    for id in unfetched(tx, tonight).await? {
        take_step(tx, id, &Event::whole(EventKind::NoShow), &act).await?;
        tell(tx, clock, id, News::NotFetched).await?;
    }
    settle(tx, clock, tonight).await?;
    for (id, last) in out(tx).await? {
        if let Some(news) = reminder(last, tonight) {
            tell(tx, clock, id, news).await?;
            if news == News::Overdue(7) {
                escalate(tx, clock, id).await?;
            }
        }
    }
    Ok(())
}

/// What to remind of tonight, for a loan until the night `last`.
fn reminder(last: Night, tonight: Night) -> Option<News> {
    let late = |nights: i32| last.later(nights).is_some_and(|night| night <= tonight);
    if late(7) {
        Some(News::Overdue(7))
    } else if late(3) {
        Some(News::Overdue(3))
    } else if late(1) {
        Some(News::Overdue(1))
    } else if late(0) {
        Some(News::Due)
    } else if late(-1) {
        Some(News::DueSoon)
    } else {
        None
    }
}

/// Takes tonight for what is overdue, where it is free; where it is promised already, that promise
/// stands and is seen to be at risk.
async fn claim_overdue(tx: &mut WriteTx, tonight: Night) -> Result<(), LendingError> {
    let tonight = tonight.to_string();
    sqlx::query!(
        "INSERT INTO item_night (item_id, night, kind, reservation_id)
         SELECT line.item_id, ?1, 'overdue', line.reservation_id
         FROM reservation AS whole
         JOIN reservation_item AS line ON line.reservation_id = whole.id AND line.state = 'out'
         WHERE whole.state IN ('requested', 'confirmed', 'ready', 'out')
           AND whole.state = 'out' AND whole.last_night < ?1
         ON CONFLICT (item_id, night) DO NOTHING",
        tonight
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

async fn unanswered(
    tx: &mut WriteTx,
    clock: &Clock,
    tonight: Night,
) -> Result<Vec<ReservationId>, LendingError> {
    let (oldest, tonight) = (clock.seconds().saturating_sub(WAITS), tonight.to_string());
    let ids = sqlx::query_scalar!(
        "SELECT id FROM reservation
         WHERE state IN ('requested', 'confirmed', 'ready', 'out')
           AND state = 'requested' AND (created_at <= ? OR first_night < ?) ORDER BY id",
        oldest,
        tonight
    )
    .fetch_all(&mut **tx)
    .await?;
    Ok(ids.into_iter().map(ReservationId).collect())
}

/// Reservations whose nights are over without a hand-over, or for which nobody came as long as the
/// club keeps them. Those from the club's own tables are
/// left alone: nobody may have written their hand-over down.
async fn unfetched(tx: &mut WriteTx, tonight: Night) -> Result<Vec<ReservationId>, LendingError> {
    let kept = rules(tx, tonight).await?.kept_nights;
    let tonight = tonight.to_string();
    let ids = sqlx::query_scalar!(
        "SELECT id FROM reservation AS whole
         WHERE state IN ('requested', 'confirmed', 'ready', 'out')
           AND state IN ('confirmed', 'ready')
           AND (last_night < ?1
                OR (?2 IS NOT NULL AND date(first_night, '+' || ?2 || ' days') <= ?1))
           AND EXISTS (SELECT 1 FROM lending_event AS told
                       WHERE told.reservation_id = whole.id AND told.actor IS NOT NULL)
         ORDER BY id",
        tonight,
        kept
    )
    .fetch_all(&mut **tx)
    .await?;
    Ok(ids.into_iter().map(ReservationId).collect())
}

async fn out(tx: &mut WriteTx) -> Result<Vec<(ReservationId, Night)>, LendingError> {
    let rows =
        sqlx::query!(
            "SELECT id, last_night FROM reservation
             WHERE state IN ('requested', 'confirmed', 'ready', 'out') AND state = 'out' ORDER BY id"
        )
        .fetch_all(&mut **tx)
        .await?;
    rows.into_iter()
        .map(|row| Ok((ReservationId(row.id), stored_night(&row.last_night)?)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_service_that_was_off_for_a_week_reminds_once() {
        let last: Night = "2026-06-07".parse().unwrap();
        let told = |nights| reminder(last, last.later(nights).unwrap());
        assert_eq!([told(-2), told(-1), told(0)], [None, Some(News::DueSoon), Some(News::Due)]);
        assert_eq!([told(1), told(2)], [Some(News::Overdue(1)), Some(News::Overdue(1))]);
        assert_eq!([told(3), told(6)], [Some(News::Overdue(3)), Some(News::Overdue(3))]);
        assert_eq!([told(7), told(40)], [Some(News::Overdue(7)), Some(News::Overdue(7))]);
    }
}
