//! What the club's limits are counted from, in the transaction that asks.

use std::collections::{BTreeMap, BTreeSet};

use sqlx::SqliteConnection;

use super::model::{LendingError, ReservationId, stored_night};
use super::night::{Night, Nights};
use super::rules::{Having, Rules};
use crate::people::MemberId;
use crate::shelf::{self, ItemId, Kind, id_list};

/// From so many reservations in a year that were not fetched, or cancelled on the day, a
/// quartermaster has to agree to the next.
pub(super) const UNRELIABLE: i64 = 3;

/// The nights of a year.
const YEAR: i32 = 365;

/// What a member has, not counting one reservation (−1 for none).
///
/// # Errors
/// The database could not answer.
pub(super) async fn having(
    conn: &mut SqliteConnection,
    member: MemberId,
    except: ReservationId,
    (nights, tonight): (Nights, Night),
    rules: &Rules,
) -> Result<Having, LendingError> {
    let now = tonight.to_string();
    let rows = sqlx::query!(
        "SELECT whole.id AS \"id!\", line.item_id AS \"item_id!\",
                (line.state = 'out' AND whole.last_night < ?3) AS \"overdue!: bool\"
         FROM reservation AS whole
         JOIN reservation_item AS line ON line.reservation_id = whole.id
         WHERE whole.member_id = ?1 AND whole.id <> ?2
           AND whole.state IN ('requested', 'confirmed', 'ready', 'out')
           AND ((line.state = 'planned' AND whole.last_night >= ?3) OR line.state = 'out')",
        member.0,
        except.0,
        now
    )
    .fetch_all(&mut *conn)
    .await?;
    let items: Vec<ItemId> = rows.iter().map(|row| ItemId(row.item_id)).collect();
    let reservations: BTreeSet<i64> = rows.iter().map(|row| row.id).collect();
    let mut having = Having {
        reservations: i64::try_from(reservations.len()).unwrap_or(i64::MAX),
        items: i64::try_from(items.len()).unwrap_or(i64::MAX),
        overdue: rows.iter().any(|row| row.overdue),
        ..Having::default()
    };
    if rules.telescopes_at_once.is_some() {
        having.telescopes = telescopes(conn, &items).await?;
    }
    if rules.worth_at_once.is_some() {
        having.cents = cents(conn, &items).await?;
    }
    if rules.nights_in_a_year.is_some() {
        having.nights = nights_used(conn, member, except, nights.last()).await?;
    }
    Ok(having)
}

/// How many of these are telescopes.
pub(super) async fn telescopes(
    conn: &mut SqliteConnection,
    items: &[ItemId],
) -> Result<i64, LendingError> {
    let names = shelf::names(conn, items).await?;
    let count = names.iter().filter(|item| item.kind == Kind::Telescope).count();
    Ok(i64::try_from(count).unwrap_or(i64::MAX))
}

/// What these are worth, in hundredths; what nobody valued counts for nothing.
pub(super) async fn cents(
    conn: &mut SqliteConnection,
    items: &[ItemId],
) -> Result<i64, LendingError> {
    let papers = shelf::these_papers(conn, items).await?;
    Ok(papers.into_iter().filter_map(|(_, papers)| papers.value).map(shelf::Worth::cents).sum())
}

/// The nights of a member's reservations that began in the year up to `last`.
async fn nights_used(
    conn: &mut SqliteConnection,
    member: MemberId,
    except: ReservationId,
    last: Night,
) -> Result<i64, LendingError> {
    let from = last.later(1 - YEAR).unwrap_or(last).to_string();
    let last = last.to_string();
    let used = sqlx::query_scalar!(
        "SELECT CAST(coalesce(sum(julianday(last_night) - julianday(first_night) + 1), 0) AS INTEGER)
                AS \"used!: i64\"
         FROM reservation
         WHERE member_id = ? AND id <> ? AND first_night BETWEEN ? AND ?
           AND state IN ('requested', 'confirmed', 'ready', 'out', 'closed')",
        member.0,
        except.0,
        from,
        last
    )
    .fetch_one(conn)
    .await?;
    Ok(used)
}

/// How often in the last year a member did not fetch what was kept for them, or cancelled when the
/// first night had come.
///
/// # Errors
/// The database could not answer.
pub(super) async fn let_down(
    conn: &mut SqliteConnection,
    member: MemberId,
    tonight: Night,
) -> Result<i64, LendingError> {
    let from = tonight.later(-YEAR).unwrap_or(tonight).to_string();
    let times = sqlx::query_scalar!(
        "SELECT count(*) FROM reservation
         WHERE member_id = ? AND first_night >= ? AND (state = 'no_show' OR cancelled_late = 1)",
        member.0,
        from
    )
    .fetch_one(conn)
    .await?;
    Ok(times)
}

/// The nights on which so many more telescopes would touch the share that is kept for outreach.
/// What outreach has reserved itself is part of its share.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub(super) async fn kept_for_outreach(
    conn: &mut SqliteConnection,
    rules: &Rules,
    wanted: i64,
    nights: Nights,
    except: ReservationId,
) -> Result<Vec<Night>, LendingError> {
    if rules.outreach_percent < 1 || wanted < 1 {
        return Ok(Vec::new());
    }
    let all = shelf::telescopes_in_service(conn).await?;
    let ids: Vec<ItemId> = all.iter().map(|item| item.id).collect();
    let total = i64::try_from(ids.len()).unwrap_or(i64::MAX);
    // Rounded up: of three telescopes, ten per cent are one.
    let kept = (total * rules.outreach_percent + 99) / 100;
    let ids = id_list(&ids);
    let (first, last) = (nights.first().to_string(), nights.last().to_string());
    let rows = sqlx::query!(
        "SELECT taken.night AS \"night!\", count(*) AS \"count!: i64\"
         FROM json_each(?1) AS wanted
         JOIN item_night AS taken ON taken.item_id = wanted.value AND taken.night BETWEEN ?2 AND ?3
         LEFT JOIN reservation AS whole ON whole.id = taken.reservation_id
         WHERE taken.reservation_id IS NOT ?4 AND coalesce(whole.outreach, 0) = 0
         GROUP BY taken.night",
        ids,
        first,
        last,
        except.0
    )
    .fetch_all(conn)
    .await?;
    let mut taken: BTreeMap<Night, i64> = BTreeMap::new();
    for row in rows {
        taken.insert(stored_night(&row.night)?, row.count);
    }
    let left = |night: &Night| total - kept - taken.get(night).copied().unwrap_or(0);
    Ok(nights.iter().filter(|night| left(night) < wanted).collect())
}
