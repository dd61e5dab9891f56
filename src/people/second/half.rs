//! Half a sign-in: the first factor is proven, the code is still to come.

use jiff::SignedDuration;

use crate::store::{Store, StoreError, WriteTx};
use crate::web::clock::Clock;
use crate::web::secret::{self, Secret};
use crate::web::site::Site;

/// How long the second half may take.
pub(crate) const LASTS: SignedDuration = SignedDuration::from_mins(10);

/// The cookie that carries it.
pub(in crate::people) fn cookie_name(site: &Site) -> &'static str {
    if site.is_secure() { "__Host-borrowed-light-half" } else { "borrowed-light-half" }
}

/// Who stands in the door, and where they want to go.
#[derive(Clone, Debug)]
pub(in crate::people) struct Waiting {
    pub(in crate::people) account: i64,
    pub(in crate::people) next: String,
}

/// Begins one and gives its cookie's line.
pub(in crate::people) async fn begin(
    tx: &mut WriteTx,
    clock: &Clock,
    site: &Site,
    account: i64,
    next: &str,
    token: &Secret,
) -> Result<String, StoreError> {
    let (hash, now) = (token.hash(), clock.seconds());
    let expires = now + LASTS.as_secs();
    sqlx::query!("DELETE FROM half_sign_in WHERE expires_at <= ?1", now).execute(&mut **tx).await?;
    sqlx::query!(
        "INSERT INTO half_sign_in (token_hash, account_id, next, created_at, expires_at)
         VALUES (?1, ?2, ?3, ?4, ?5)",
        hash,
        account,
        next,
        now,
        expires
    )
    .execute(&mut **tx)
    .await?;
    Ok(site.set_cookie(cookie_name(site), token.reveal(), Some(LASTS.as_secs())))
}

/// Who stands in the door with this cookie.
pub(in crate::people) async fn find(
    store: &Store,
    clock: &Clock,
    token: &str,
) -> Result<Option<Waiting>, StoreError> {
    let (hash, now) = (secret::hash(token), clock.seconds());
    let row = sqlx::query!(
        r#"SELECT half_sign_in.account_id, half_sign_in.next
           FROM half_sign_in JOIN account ON account.id = half_sign_in.account_id
           WHERE token_hash = ?1 AND expires_at > ?2 AND account.disabled_at IS NULL"#,
        hash,
        now
    )
    .fetch_optional(&mut *store.reader().acquire().await?)
    .await?;
    Ok(row.map(|row| Waiting { account: row.account_id, next: row.next }))
}

/// Ends every one of an account, as when it is completed or a password changes.
pub(in crate::people) async fn end_all(tx: &mut WriteTx, account: i64) -> Result<(), StoreError> {
    sqlx::query!("DELETE FROM half_sign_in WHERE account_id = ?1", account)
        .execute(&mut **tx)
        .await?;
    Ok(())
}
