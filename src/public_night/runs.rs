//! Which telescopes a helper can run: those they were shown, those that need no showing, and those
//! that the lead ticks.

use std::collections::BTreeMap;

use sqlx::SqliteConnection;

use super::keeping::NotKept;
use super::model::Helper;
use crate::lending::rules_store::{item_rules, trained};
use crate::shelf::ItemId;

/// Which of these telescopes each helper can run, by the helper's number.
///
/// A member runs what the club asks no showing for and what they were shown; a guest runs what is
/// ticked.
///
/// # Errors
/// The database could not answer.
pub async fn of_helpers(
    conn: &mut SqliteConnection,
    helpers: &[Helper],
    scopes: &[ItemId],
) -> Result<BTreeMap<i64, Vec<ItemId>>, NotKept> {
    let rules = item_rules(conn, scopes).await?;
    let mut all = BTreeMap::new();
    for helper in helpers {
        let shown = match helper.member {
            Some(member) => trained(conn, member, scopes).await?,
            None => std::collections::BTreeSet::new(),
        };
        let free = |item: &ItemId| {
            helper.member.is_some() && !rules.get(item).is_some_and(|rule| rule.needs_training)
        };
        let runs = scopes
            .iter()
            .filter(|item| shown.contains(item) || helper.ticked.contains(item) || free(item));
        all.insert(helper.number, runs.copied().collect());
    }
    Ok(all)
}
