//! Links that travel by mail: to sign in without a password, to set a new one, to prove that an
//! address is one's own. Each works once and soon ends; only hashes are kept.

pub mod open_pages;
pub mod page;
pub mod pages;

use jiff::SignedDuration;

use super::member::Email;
use crate::store::{Store, StoreError, WriteTx};
use crate::web::clock::Clock;
use crate::web::secret::{self, Secret};

/// What a link is for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(in crate::people) enum Purpose {
    /// To sign in.
    SignIn,
    /// To set a new password.
    Password,
    /// To prove that this new address is its owner's.
    Email(Email),
}

impl Purpose {
    fn as_str(&self) -> &'static str {
        match self {
            Self::SignIn => "sign_in",
            Self::Password => "password",
            Self::Email(_) => "email",
        }
    }

    /// How long such a link holds: a quarter of an hour to sign in, half an hour for a password
    /// (OWASP ASVS 5.0, 6.4.1), a day for an address.
    pub(in crate::people) fn lasts(&self) -> SignedDuration {
        match self {
            Self::SignIn => SignedDuration::from_mins(15),
            Self::Password => SignedDuration::from_mins(30),
            Self::Email(_) => SignedDuration::from_hours(24),
        }
    }
}

/// A link that holds, and whose it is.
#[derive(Clone, Debug)]
pub(in crate::people) struct Link {
    pub(in crate::people) account: i64,
    pub(in crate::people) name: String,
    pub(in crate::people) email: String,
    pub(in crate::people) purpose: Purpose,
}

/// Makes a link in place of the account's earlier ones for the same purpose. Gives the second
/// until which it holds.
pub(in crate::people) async fn make(
    tx: &mut WriteTx,
    clock: &Clock,
    account: i64,
    purpose: &Purpose,
    link: &Secret,
) -> Result<i64, StoreError> {
    let (hash, now, word) = (link.hash(), clock.seconds(), purpose.as_str());
    let expires = now + purpose.lasts().as_secs();
    let email = match purpose {
        Purpose::Email(email) => Some(email.as_str()),
        Purpose::SignIn | Purpose::Password => None,
    };
    sqlx::query!(
        "DELETE FROM mail_link WHERE (account_id = ?1 AND purpose = ?2) OR expires_at <= ?3",
        account,
        word,
        now
    )
    .execute(&mut **tx)
    .await?;
    sqlx::query!(
        "INSERT INTO mail_link (token_hash, account_id, purpose, email, created_at, expires_at)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
        hash,
        account,
        word,
        email,
        now,
        expires
    )
    .execute(&mut **tx)
    .await?;
    Ok(expires)
}

/// What a link is for, while it holds.
pub(in crate::people) async fn look(
    store: &Store,
    clock: &Clock,
    text: &str,
) -> Result<Option<Link>, StoreError> {
    let (hash, now) = (secret::hash(text), clock.seconds());
    let row = sqlx::query!(
        r#"SELECT mail_link.account_id, mail_link.purpose, mail_link.email AS "new_email?",
                  account.name, account.email
           FROM mail_link JOIN account ON account.id = mail_link.account_id
           WHERE token_hash = ?1 AND expires_at > ?2 AND account.disabled_at IS NULL"#,
        hash,
        now
    )
    .fetch_optional(&mut *store.reader().acquire().await?)
    .await?;
    Ok(row.and_then(|row| {
        let purpose = match (row.purpose.as_str(), row.new_email) {
            ("sign_in", _) => Purpose::SignIn,
            ("password", _) => Purpose::Password,
            (_, Some(email)) => Purpose::Email(Email::new(&email).ok()?),
            (_, None) => return None,
        };
        Some(Link { account: row.account_id, name: row.name, email: row.email, purpose })
    }))
}

/// Uses a link up. Says whether it still held: of two who try at once, one is told no.
pub(in crate::people) async fn use_up(
    tx: &mut WriteTx,
    clock: &Clock,
    text: &str,
) -> Result<bool, StoreError> {
    let (hash, now) = (secret::hash(text), clock.seconds());
    let done =
        sqlx::query!("DELETE FROM mail_link WHERE token_hash = ?1 AND expires_at > ?2", hash, now)
            .execute(&mut **tx)
            .await?;
    Ok(done.rows_affected() == 1)
}

/// Ends every link of an account.
pub(in crate::people) async fn end_all(tx: &mut WriteTx, account: i64) -> Result<(), StoreError> {
    sqlx::query!("DELETE FROM mail_link WHERE account_id = ?1", account).execute(&mut **tx).await?;
    Ok(())
}
