//! When it would work: nights on which pieces are free and the club lends.

use std::collections::BTreeSet;

use sqlx::SqliteConnection;

use super::booking::NONE;
use super::limits::{kept_for_outreach, telescopes};
use super::model::LendingError;
use super::night::{Night, Nights};
use super::rules::Rules;
use super::rules_store::{item_rules, rules};
use super::store::taken_by_item;
use crate::shelf::ItemId;

/// The nearest stretches, as long as `nights`, on which all these items are free and the club
/// lends; at most three.
///
/// # Errors
/// The database could not answer.
pub async fn openings(
    conn: &mut SqliteConnection,
    items: &[ItemId],
    nights: Nights,
    tonight: Night,
) -> Result<Vec<Nights>, LendingError> {
    let rules: Rules = rules(conn, tonight).await?;
    // Nights to look after the pieces come on top, and 366 are the most of one look.
    let until = tonight.later(rules.ahead_nights.min(Nights::LONGEST - 4)).unwrap_or(tonight);
    let Ok(looked_at) = Nights::new(tonight, until) else { return Ok(Vec::new()) };
    let mut taken = spoken_for(conn, items, looked_at).await?;
    let scopes = telescopes(conn, items).await?;
    taken.extend(kept_for_outreach(conn, &rules, scopes, looked_at, NONE).await?);
    let mut found = rules.openings(nights, tonight, &taken, 3);
    found.retain(|stretch| stretch.last() <= until);
    Ok(found)
}

/// The nights in the range on which these items can't all be had: taken, or so shortly before
/// somebody else's that there would be no time to look after them.
///
/// # Errors
/// The database could not answer.
pub(super) async fn spoken_for(
    conn: &mut SqliteConnection,
    items: &[ItemId],
    nights: Nights,
) -> Result<BTreeSet<Night>, LendingError> {
    let each = spoken_for_each(conn, items, nights).await?;
    Ok(each.into_iter().map(|(_, night)| night).collect())
}

/// The same, item by item.
///
/// # Errors
/// The database could not answer.
pub async fn spoken_for_each(
    conn: &mut SqliteConnection,
    items: &[ItemId],
    nights: Nights,
) -> Result<Vec<(ItemId, Night)>, LendingError> {
    let care = item_rules(conn, items).await?;
    let longest = care.values().map(|rule| rule.turnaround_nights).max().unwrap_or(0);
    let until = nights.last().later(longest).unwrap_or(nights.last());
    let Ok(looked_at) = Nights::new(nights.first(), until) else { return Ok(Vec::new()) };
    let mut taken = Vec::new();
    for (item, night) in taken_by_item(conn, items, looked_at).await? {
        let before = care.get(&item).map_or(0, |rule| rule.turnaround_nights);
        taken.extend((0..=before).filter_map(|nights| Some((item, night.later(-nights)?))));
    }
    Ok(taken)
}

/// The nights among these on which the club lends nothing, each with its reason.
///
/// # Errors
/// The database could not answer.
pub async fn closed_on(
    conn: &mut SqliteConnection,
    nights: Nights,
) -> Result<Vec<(Night, String)>, LendingError> {
    let rules = rules(conn, nights.first()).await?;
    let closed = rules.closed.range(nights.first()..=nights.last());
    Ok(closed.map(|(night, reason)| (*night, reason.clone())).collect())
}
