//! Reading the log: newest first, page by page, searched by who, what, which record and when.

use super::actor::Means;
use crate::store::{Store, StoreError};

/// So many entries stand on a page.
pub const PER_PAGE: usize = 50;

/// What is looked for. What is left out matches everything.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sought {
    /// Accounts: entries of what they did or what was done to them.
    pub accounts: Option<Vec<i64>>,
    /// The deed's words.
    pub deed: Option<String>,
    /// The record: its kind, and its number where one is meant.
    pub record: Option<(String, Option<i64>)>,
    /// From this instant on, in seconds since 1970.
    pub from: Option<i64>,
    /// Before this instant, in seconds since 1970.
    pub until: Option<i64>,
    /// Older than this entry: its instant and its number.
    pub before: Option<(i64, i64)>,
}

/// An entry of the log.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// Its number.
    pub id: i64,
    /// When, in seconds since 1970.
    pub at: i64,
    /// Whose account.
    pub account: Option<i64>,
    /// How they came in.
    pub means: Means,
    /// What was done.
    pub deed: String,
    /// The record's kind.
    pub subject_kind: Option<String>,
    /// The record's number.
    pub subject_id: Option<i64>,
    /// More about it.
    pub detail: String,
    /// From where: whole, or its beginning and a star.
    pub address: Option<String>,
}

struct Row {
    id: i64,
    at: i64,
    account: Option<i64>,
    means: String,
    deed: String,
    subject_kind: Option<String>,
    subject_id: Option<i64>,
    detail: String,
    address: Option<String>,
}

/// The newest entries that match, at most [`PER_PAGE`], and whether there are older ones.
///
/// # Errors
/// The database could not answer.
pub async fn find(store: &Store, sought: &Sought) -> Result<(Vec<Entry>, bool), StoreError> {
    let accounts = sought.accounts.as_ref().map(|ids| {
        let ids: Vec<String> = ids.iter().map(ToString::to_string).collect();
        format!("[{}]", ids.join(","))
    });
    let (kind, number) = match &sought.record {
        Some((kind, number)) => (Some(kind.as_str()), *number),
        None => (None, None),
    };
    let from = sought.from.unwrap_or(i64::MIN);
    let until = sought.until.unwrap_or(i64::MAX);
    let (before_at, before_id) = sought.before.unwrap_or((i64::MAX, i64::MAX));
    let limit = i64::try_from(PER_PAGE + 1).unwrap_or(i64::MAX);
    macro_rules! entries {
        ($tail:literal) => {
            sqlx::query_as!(
                Row,
                r#"SELECT id AS "id!", at AS "at!", account, means AS "means!", deed AS "deed!",
                          subject_kind, subject_id, detail AS "detail!", address
                   FROM audit
                   WHERE at >= ?1 AND at < ?2 AND (at, id) < (?3, ?4) "#
                    + $tail
                    + " ORDER BY at DESC, id DESC LIMIT ?9",
                from,
                until,
                before_at,
                before_id,
                accounts,
                sought.deed,
                kind,
                number,
                limit
            )
            .fetch_all(&mut *store.reader().acquire().await?)
            .await?
        };
    }
    // One statement for each index, the narrowest first.
    let rows = if accounts.is_some() {
        entries!(
            "AND id IN (SELECT audit.id FROM audit JOIN json_each(?5) ON account = value
                        UNION
                        SELECT audit.id FROM audit JOIN json_each(?5) ON subject_id = value
                        WHERE subject_kind = 'account')
             AND (?6 IS NULL OR deed = ?6) AND (?7 IS NULL OR subject_kind = ?7)
             AND (?8 IS NULL OR subject_id = ?8)"
        )
    } else if number.is_some() {
        entries!("AND subject_kind = ?7 AND subject_id = ?8 AND (?6 IS NULL OR deed = ?6)")
    } else if sought.deed.is_some() {
        entries!("AND deed = ?6 AND (?7 IS NULL OR subject_kind = ?7)")
    } else {
        entries!("AND (?7 IS NULL OR subject_kind = ?7)")
    };
    let older = rows.len() > PER_PAGE;
    let entries = rows
        .into_iter()
        .take(PER_PAGE)
        .map(|row| Entry {
            id: row.id,
            at: row.at,
            account: row.account,
            means: Means::parse(&row.means).unwrap_or(Means::Service),
            deed: row.deed,
            subject_kind: row.subject_kind,
            subject_id: row.subject_id,
            detail: row.detail,
            address: row.address,
        })
        .collect();
    Ok((entries, older))
}

/// All entries of what this account did or what was done to it, newest first.
///
/// # Errors
/// The database could not answer.
pub async fn all_about(store: &Store, account: i64) -> Result<Vec<Entry>, StoreError> {
    let mut all: Vec<Entry> = Vec::new();
    loop {
        let before = all.last().map(|entry| (entry.at, entry.id));
        let sought = Sought { accounts: Some(vec![account]), before, ..Sought::default() };
        let (entries, older) = find(store, &sought).await?;
        all.extend(entries);
        if !older {
            return Ok(all);
        }
    }
}

/// Every deed that stands in the log, in the order of the alphabet.
///
/// # Errors
/// The database could not answer.
pub async fn deeds(store: &Store) -> Result<Vec<String>, StoreError> {
    // Leaps from one deed to the next along the index, so that a long log costs no more.
    let rows = sqlx::query_scalar!(
        r#"WITH RECURSIVE one (deed) AS (
               SELECT min(deed) FROM audit
               UNION ALL
               SELECT (SELECT min(audit.deed) FROM audit WHERE audit.deed > one.deed) FROM one
               WHERE one.deed IS NOT NULL
           )
           SELECT deed AS "deed!: String" FROM one WHERE deed IS NOT NULL"#
    )
    .fetch_all(&mut *store.reader().acquire().await?)
    .await?;
    Ok(rows)
}
