//! The club's rules in the database.

use std::collections::{BTreeMap, BTreeSet};

use sqlx::SqliteConnection;

use super::model::{LendingError, ReservationId, stored_night};
use super::night::{Night, Nights};
use super::rules::{ItemRule, MOST_TURNAROUND, Rules};
use crate::people::MemberId;
use crate::shelf::{self, ItemId, ItemName, id_list};
use crate::store::WriteTx;

/// The club's rules as they stand, with the closed nights from `from` on.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn rules(conn: &mut SqliteConnection, from: Night) -> Result<Rules, LendingError> {
    Ok(rules_for(conn, &[], from).await?.0)
}

/// The club's rules, and what it asks for these pieces, of which those without a rule are left out.
/// One question for all, because each is a way to the database's thread and back.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub(super) async fn rules_for(
    conn: &mut SqliteConnection,
    items: &[ItemId],
    from: Night,
) -> Result<(Rules, BTreeMap<ItemId, ItemRule>), LendingError> {
    let (from, ids) = (from.to_string(), id_list(items));
    // Joined to a row of nothing, so that closed nights are told of a club without rules too.
    let row = sqlx::query!(
        "SELECT rule.longest_nights AS \"longest_nights?\", rule.ahead_nights AS \"ahead_nights?\",
                rule.open_reservations, rule.items_at_once,
                rule.light_test_months AS \"light_test_months?\", rule.telescopes_at_once,
                rule.worth_at_once, rule.nights_in_a_year, rule.kept_nights,
                rule.outreach_percent AS \"outreach_percent?\", rule.version AS \"version?\",
                (SELECT json_group_array(json_array(night, reason))
                 FROM (SELECT night, reason FROM closed_night WHERE night >= ?1
                       ORDER BY night LIMIT 1000)) AS \"closed!: String\",
                (SELECT json_group_array(json_array(item_id, needs_approval, needs_training,
                                                    asks_age, turnaround_nights))
                 FROM item_rule WHERE item_id IN (SELECT value FROM json_each(?2)))
                    AS \"pieces!: String\"
         FROM (SELECT 1 AS id) AS one LEFT JOIN lending_rule AS rule ON rule.id = one.id",
        from,
        ids
    )
    .fetch_one(conn)
    .await?;
    let unreadable =
        |why: &dyn std::fmt::Display| LendingError::unreadable("The club's rules", why);
    let closed: Vec<(String, String)> =
        serde_json::from_str(&row.closed).map_err(|why| unreadable(&why))?;
    let closed = closed
        .into_iter()
        .map(|(night, reason)| Ok((stored_night(&night)?, reason)))
        .collect::<Result<_, LendingError>>()?;
    let pieces: Vec<(i64, i64, i64, i64, i64)> =
        serde_json::from_str(&row.pieces).map_err(|why| unreadable(&why))?;
    let pieces = pieces
        .into_iter()
        .map(|(item, approval, training, age, turnaround)| {
            (ItemId(item), item_rule(approval, training, age, turnaround))
        })
        .collect();
    let small = |number: Option<i64>, usual: i32| {
        number.map_or(Ok(usual), i32::try_from).map_err(|why| unreadable(&why))
    };
    let usual = Rules::default();
    let rules = Rules {
        longest_nights: small(row.longest_nights, usual.longest_nights)?,
        ahead_nights: small(row.ahead_nights, usual.ahead_nights)?,
        open_reservations: row.open_reservations,
        items_at_once: row.items_at_once,
        telescopes_at_once: row.telescopes_at_once,
        worth_at_once: row.worth_at_once,
        nights_in_a_year: row.nights_in_a_year,
        kept_nights: row.kept_nights,
        outreach_percent: row.outreach_percent.unwrap_or(usual.outreach_percent),
        light_test_months: small(row.light_test_months, usual.light_test_months)?,
        closed,
        version: row.version.unwrap_or(usual.version),
    };
    Ok((rules, pieces))
}

fn item_rule(approval: i64, training: i64, age: i64, turnaround: i64) -> ItemRule {
    ItemRule {
        needs_approval: approval != 0,
        needs_training: training != 0,
        asks_age: age != 0,
        turnaround_nights: i32::try_from(turnaround).unwrap_or(0).clamp(0, MOST_TURNAROUND),
    }
}

/// Writes the club's rules, where they still are as they were read; answers whether they were.
/// The closed nights have their own ways.
///
/// # Errors
/// The database refused.
pub async fn put_rules(tx: &mut WriteTx, rules: &Rules) -> Result<bool, LendingError> {
    let changed = sqlx::query!(
        "UPDATE lending_rule SET longest_nights = ?, ahead_nights = ?, open_reservations = ?,
                items_at_once = ?, light_test_months = ?, telescopes_at_once = ?,
                worth_at_once = ?, nights_in_a_year = ?, kept_nights = ?, outreach_percent = ?,
                version = version + 1
         WHERE id = 1 AND version = ?",
        rules.longest_nights,
        rules.ahead_nights,
        rules.open_reservations,
        rules.items_at_once,
        rules.light_test_months,
        rules.telescopes_at_once,
        rules.worth_at_once,
        rules.nights_in_a_year,
        rules.kept_nights,
        rules.outreach_percent,
        rules.version
    )
    .execute(&mut **tx)
    .await?;
    Ok(changed.rows_affected() == 1)
}

/// Closes the club for a night, or writes another reason.
///
/// # Errors
/// The database refused.
pub async fn close_night(tx: &mut WriteTx, night: Night, reason: &str) -> Result<(), LendingError> {
    let (night, reason) = (night.to_string(), reason.trim());
    sqlx::query!(
        "INSERT INTO closed_night (night, reason) VALUES (?, ?)
         ON CONFLICT (night) DO UPDATE SET reason = excluded.reason",
        night,
        reason
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// Opens the club again for a night.
///
/// # Errors
/// The database refused.
pub async fn open_night(tx: &mut WriteTx, night: Night) -> Result<(), LendingError> {
    let night = night.to_string();
    sqlx::query!("DELETE FROM closed_night WHERE night = ?", night).execute(&mut **tx).await?;
    Ok(())
}

/// What the club asks for these pieces; pieces without a rule are left out.
///
/// # Errors
/// The database could not answer.
pub async fn item_rules(
    conn: &mut SqliteConnection,
    items: &[ItemId],
) -> Result<BTreeMap<ItemId, ItemRule>, LendingError> {
    let ids = id_list(items);
    let rows = sqlx::query!(
        "SELECT item_id, needs_approval, needs_training, asks_age, turnaround_nights FROM item_rule
         WHERE item_id IN (SELECT value FROM json_each(?))",
        ids
    )
    .fetch_all(conn)
    .await?;
    Ok(rows
        .into_iter()
        .map(|row| {
            let (approval, training) = (row.needs_approval, row.needs_training);
            let rule = item_rule(approval, training, row.asks_age, row.turnaround_nights);
            (ItemId(row.item_id), rule)
        })
        .collect())
}

/// Says what the club asks for a piece. Nights that are kept already stay as they are.
///
/// # Errors
/// The database refused.
pub async fn put_item_rule(
    tx: &mut WriteTx,
    item: ItemId,
    rule: ItemRule,
) -> Result<(), LendingError> {
    let nights = rule.turnaround_nights.clamp(0, MOST_TURNAROUND);
    sqlx::query!(
        "INSERT INTO item_rule (item_id, needs_approval, needs_training, asks_age,
                                turnaround_nights)
         VALUES (?, ?, ?, ?, ?)
         ON CONFLICT (item_id) DO UPDATE SET needs_approval = excluded.needs_approval,
            needs_training = excluded.needs_training, asks_age = excluded.asks_age,
            turnaround_nights = excluded.turnaround_nights",
        item.0,
        rule.needs_approval,
        rule.needs_training,
        rule.asks_age,
        nights
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// Every piece for which the club asks for something, by number.
///
/// # Errors
/// The database could not answer.
pub async fn ruled_items(
    conn: &mut SqliteConnection,
) -> Result<Vec<(ItemName, ItemRule)>, LendingError> {
    let ids = sqlx::query_scalar!(
        "SELECT item_id AS \"item_id!\" FROM item_rule
         WHERE needs_approval OR needs_training OR asks_age OR turnaround_nights > 0"
    )
    .fetch_all(&mut *conn)
    .await?;
    let ids: Vec<ItemId> = ids.into_iter().map(ItemId).collect();
    let rules = item_rules(conn, &ids).await?;
    let names = shelf::names(conn, &ids).await?;
    Ok(names
        .into_iter()
        .filter_map(|name| rules.get(&name.id).copied().map(|rule| (name, rule)))
        .collect())
}

/// Who was shown how to use a piece, and when.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn shown_to(
    conn: &mut SqliteConnection,
    item: ItemId,
) -> Result<Vec<(MemberId, Night)>, LendingError> {
    let rows = sqlx::query!(
        "SELECT member_id, shown_on FROM item_training WHERE item_id = ? ORDER BY shown_on, member_id",
        item.0
    )
    .fetch_all(conn)
    .await?;
    rows.into_iter()
        .map(|row| Ok((MemberId(row.member_id), stored_night(&row.shown_on)?)))
        .collect()
}

/// What a member was shown how to use, and when.
///
/// # Errors
/// The database could not answer.
pub async fn shown_of(
    conn: &mut SqliteConnection,
    member: MemberId,
) -> Result<Vec<(ItemId, String)>, LendingError> {
    let rows = sqlx::query!(
        "SELECT item_id AS \"item_id!\", shown_on FROM item_training WHERE member_id = ? ORDER BY shown_on, item_id",
        member.0
    )
    .fetch_all(conn)
    .await?;
    Ok(rows.into_iter().map(|row| (ItemId(row.item_id), row.shown_on)).collect())
}

/// Takes back that a member was shown how to use a piece.
///
/// # Errors
/// The database refused.
pub async fn forget_training(
    tx: &mut WriteTx,
    item: ItemId,
    member: MemberId,
) -> Result<(), LendingError> {
    sqlx::query!("DELETE FROM item_training WHERE item_id = ? AND member_id = ?", item.0, member.0)
        .execute(&mut **tx)
        .await?;
    Ok(())
}

/// The reservations that are not over and have one of these nights.
///
/// # Errors
/// The database could not answer.
pub async fn touching(
    conn: &mut SqliteConnection,
    nights: Nights,
) -> Result<Vec<ReservationId>, LendingError> {
    let (first, last) = (nights.first().to_string(), nights.last().to_string());
    let ids = sqlx::query_scalar!(
        "SELECT id AS \"id!\" FROM reservation
         WHERE state IN ('requested', 'confirmed', 'ready', 'out')
           AND first_night <= ? AND last_night >= ? ORDER BY first_night, id LIMIT 50",
        last,
        first
    )
    .fetch_all(conn)
    .await?;
    Ok(ids.into_iter().map(ReservationId).collect())
}

/// Notes that a member was shown how to use a piece.
///
/// # Errors
/// The database refused.
pub async fn note_training(
    tx: &mut WriteTx,
    item: ItemId,
    member: MemberId,
    day: Night,
) -> Result<(), LendingError> {
    let day = day.to_string();
    sqlx::query!(
        "INSERT INTO item_training (item_id, member_id, shown_on) VALUES (?, ?, ?)
         ON CONFLICT (item_id, member_id) DO UPDATE SET shown_on = excluded.shown_on",
        item.0,
        member.0,
        day
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// Which of these pieces a member was shown.
///
/// # Errors
/// The database could not answer.
pub async fn trained(
    conn: &mut SqliteConnection,
    member: MemberId,
    items: &[ItemId],
) -> Result<BTreeSet<ItemId>, LendingError> {
    let ids = id_list(items);
    let rows = sqlx::query_scalar!(
        "SELECT item_id AS \"item_id!\" FROM item_training
         WHERE member_id = ? AND item_id IN (SELECT value FROM json_each(?))",
        member.0,
        ids
    )
    .fetch_all(conn)
    .await?;
    Ok(rows.into_iter().map(ItemId).collect())
}
