//! Letters in the database: written down, picked for sending, settled.

use sqlx::SqliteConnection;

use super::letter::{Letter, Message, NotALetter, Reader, Weight};
use crate::people::MemberId;
use crate::store::{StoreError, WriteTx};
use crate::web::clock::Clock;

/// A letter without another end stays sendable for a week, in seconds.
pub(super) const USEFUL: i64 = 7 * 86_400;

/// Why a letter was not written down.
#[derive(Debug, thiserror::Error)]
pub enum PostError {
    /// It is no letter.
    #[error(transparent)]
    NotALetter(#[from] NotALetter),
    /// The database could not answer.
    #[error(transparent)]
    Store(#[from] StoreError),
}

impl From<sqlx::Error> for PostError {
    fn from(error: sqlx::Error) -> Self {
        Self::Store(error.into())
    }
}

impl From<PostError> for crate::web::problem::Problem {
    fn from(error: PostError) -> Self {
        match error {
            PostError::NotALetter(fault) => Self::internal(&fault),
            PostError::Store(error) => error.into(),
        }
    }
}

/// What became of a letter that was queued.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Queued {
    /// It is written down.
    New,
    /// One with this key was there already, and nothing changed.
    AlreadyThere,
}

/// Writes a letter down in the caller's transaction, unless one with its key is there.
///
/// # Errors
/// It is no letter, its reader is not there, or the database could not answer.
pub async fn queue(
    tx: &mut WriteTx,
    clock: &Clock,
    message: &Message,
) -> Result<Queued, PostError> {
    message.check()?;
    let now = clock.seconds();
    let from = message.not_before.map_or(now, |at| at.as_second().max(now));
    let until = message.not_after.map_or(from + USEFUL, jiff::Timestamp::as_second);
    if until <= from {
        return Err(NotALetter::Window.into());
    }
    let (member, account) = match message.to {
        Reader::Member(id) | Reader::Guardian(id) => (Some(id.0), None),
        Reader::Account(id) => (None, Some(id)),
    };
    let to_guardian = matches!(message.to, Reader::Guardian(_));
    let essential = message.weight == Weight::Essential;
    let body = message.letter.body();
    let done = sqlx::query!(
        "INSERT INTO letter (letter_key, kind, essential, member_id, account_id, subject, body,
                             created_at, not_before, not_after, next_at, to_guardian)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?9, ?11)
         ON CONFLICT (letter_key) DO NOTHING",
        message.key,
        message.kind,
        essential,
        member,
        account,
        message.letter.subject,
        body,
        now,
        from,
        until,
        to_guardian
    )
    .execute(&mut **tx)
    .await?;
    Ok(if done.rows_affected() == 0 { Queued::AlreadyThere } else { Queued::New })
}

/// A letter that is next to be sent.
pub(super) struct Due {
    pub(super) id: i64,
    pub(super) key: String,
    pub(super) to: Reader,
    pub(super) weight: Weight,
    pub(super) letter: Letter,
    pub(super) not_after: i64,
    pub(super) attempts: i64,
}

/// Whom a row is for; the table holds exactly one of both.
pub(super) fn reader_of(member: Option<i64>, account: Option<i64>, to_guardian: bool) -> Reader {
    match (member, account) {
        (Some(id), _) if to_guardian => Reader::Guardian(MemberId(id)),
        (Some(id), _) => Reader::Member(MemberId(id)),
        (None, id) => Reader::Account(id.unwrap_or_default()),
    }
}

/// Whether a letter is due, asked without a lock on anything.
pub(super) async fn something_to_do(
    conn: &mut SqliteConnection,
    now: i64,
) -> Result<bool, StoreError> {
    let found = sqlx::query_scalar!(
        r#"SELECT EXISTS (SELECT 1 FROM letter WHERE state = 'waiting' AND next_at <= ?1)
               OR EXISTS (SELECT 1 FROM letter WHERE state = 'sending') AS "found: bool""#,
        now
    )
    .fetch_one(conn)
    .await?;
    Ok(found)
}

/// The letter that is due for longest.
pub(super) async fn next_due(tx: &mut WriteTx, now: i64) -> Result<Option<Due>, StoreError> {
    let row = sqlx::query!(
        r#"SELECT id AS "id!", letter_key, essential AS "essential: bool", member_id, account_id,
                  to_guardian AS "to_guardian: bool", subject, body, not_after, attempts
           FROM letter WHERE state = 'waiting' AND next_at <= ?1 ORDER BY next_at, id LIMIT 1"#,
        now
    )
    .fetch_optional(&mut **tx)
    .await?;
    Ok(row.map(|row| Due {
        id: row.id,
        key: row.letter_key,
        to: reader_of(row.member_id, row.account_id, row.to_guardian),
        weight: if row.essential { Weight::Essential } else { Weight::Useful },
        letter: Letter { subject: row.subject, parts: Letter::parts_of(&row.body) },
        not_after: row.not_after,
        attempts: row.attempts,
    }))
}

/// Writes down that a letter is being handed over.
pub(super) async fn begin_sending(tx: &mut WriteTx, id: i64) -> Result<(), StoreError> {
    sqlx::query!(
        "UPDATE letter SET state = 'sending', attempts = attempts + 1, reason = NULL WHERE id = ?1",
        id
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// Writes down where a letter has come to rest, and why.
pub(super) async fn settle(
    tx: &mut WriteTx,
    id: i64,
    state: &'static str,
    reason: Option<&str>,
    now: i64,
) -> Result<(), StoreError> {
    let reason = reason.map(shortened);
    sqlx::query!(
        "UPDATE letter SET state = ?2, reason = ?3, settled_at = ?4 WHERE id = ?1",
        id,
        state,
        reason,
        now
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// Puts a letter back for a later try. `counts` is nought where the letter itself was not tried.
pub(super) async fn put_back(
    tx: &mut WriteTx,
    id: i64,
    next_at: i64,
    counts: i64,
    reason: &str,
) -> Result<(), StoreError> {
    let reason = shortened(reason);
    sqlx::query!(
        "UPDATE letter SET state = 'waiting', next_at = ?2, attempts = attempts - 1 + ?3,
                           reason = ?4
         WHERE id = ?1",
        id,
        next_at,
        counts,
        reason
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// Makes due what was written, or put back for another try, under a clock that was ahead: written
/// later than now, or to be tried later than any wait lasts. What is not to go out before a day of
/// its own keeps that.
pub(super) async fn bring_forward(
    tx: &mut WriteTx,
    now: i64,
    latest: i64,
) -> Result<u64, StoreError> {
    let done = sqlx::query!(
        "UPDATE letter SET next_at = ?1
         WHERE state = 'waiting' AND next_at > ?2
           AND ((created_at > ?1 AND not_before <= created_at) OR next_at > not_before)",
        now,
        latest
    )
    .execute(&mut **tx)
    .await?;
    Ok(done.rows_affected())
}

/// Letters that a process has left while handing them over: nobody knows whether they arrived.
pub(super) async fn note_left_behind(tx: &mut WriteTx, now: i64) -> Result<u64, StoreError> {
    let reason = "The service ended while this letter was on its way to the mail server.";
    let done = sqlx::query!(
        "UPDATE letter SET state = 'unclear', reason = ?1, settled_at = ?2
         WHERE state = 'sending'",
        reason,
        now
    )
    .execute(&mut **tx)
    .await?;
    Ok(done.rows_affected())
}

/// Others' words, cut where they would fill the page.
fn shortened(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { ' ' } else { c }).take(300).collect()
}
