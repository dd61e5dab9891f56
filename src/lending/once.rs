//! Done once, however often it is sent: the answer is kept under the sender's key, in the same
//! transaction as what the request did.

use sha2::{Digest, Sha256};
use sqlx::SqliteConnection;

use super::model::LendingError;
use crate::store::WriteTx;

/// For how long an answer is kept, in seconds.
pub const KEPT_SECONDS: i64 = 48 * 3600;

/// A request's own name: who sends it, under what key, and a print of what it asks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Key {
    account: i64,
    words: String,
    print: Vec<u8>,
}

/// An answer that was given before.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    /// The status.
    pub status: u16,
    /// The body, or where the page led.
    pub answer: String,
}

/// What is known under a key.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Known {
    /// Nothing: do it.
    Nothing,
    /// The same request was answered.
    Same(Kept),
    /// Another request came under this key.
    Another,
}

impl Key {
    /// The longest key.
    pub const LONGEST: usize = 200;

    /// A key of this account for what is sent to one address; `None` where it is empty, too long
    /// or not printable.
    #[must_use]
    pub fn new(account: i64, key: &str, address: &str, body: &[u8]) -> Option<Self> {
        let printable = key.bytes().all(|byte| (0x20..0x7f).contains(&byte));
        if key.is_empty() || key.len() > Self::LONGEST || !printable {
            return None;
        }
        let mut print = Sha256::new();
        print.update(address.as_bytes());
        print.update([0]);
        print.update(body);
        Some(Self { account, words: key.to_owned(), print: print.finalize().to_vec() })
    }
}

/// What is known under a key, forgetting what is older than two days.
///
/// # Errors
/// The database could not answer.
pub async fn known(
    conn: &mut SqliteConnection,
    key: &Key,
    now: i64,
) -> Result<Known, LendingError> {
    let oldest = now.saturating_sub(KEPT_SECONDS);
    let row = sqlx::query!(
        "SELECT request_hash, status, answer FROM kept_answer
         WHERE account_id = ? AND key = ? AND created_at > ?",
        key.account,
        key.words,
        oldest
    )
    .fetch_optional(conn)
    .await?;
    Ok(match row {
        None => Known::Nothing,
        Some(row) if row.request_hash == key.print => Known::Same(Kept {
            status: u16::try_from(row.status).unwrap_or(200),
            answer: row.answer,
        }),
        Some(_) => Known::Another,
    })
}

/// Keeps the answer to a request, to be committed with what the request did.
///
/// # Errors
/// The database refused.
pub async fn keep(tx: &mut WriteTx, key: &Key, kept: &Kept, now: i64) -> Result<(), LendingError> {
    let oldest = now.saturating_sub(KEPT_SECONDS);
    sqlx::query!(
        "DELETE FROM kept_answer WHERE created_at <= ?;
         INSERT INTO kept_answer (account_id, key, request_hash, status, answer, created_at)
         VALUES (?, ?, ?, ?, ?, ?)",
        oldest,
        key.account,
        key.words,
        key.print,
        kept.status,
        kept.answer,
        now
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}
