//! Writing entries, and shortening the addresses in old ones.

use std::net::IpAddr;

use jiff::SignedDuration;

use super::actor::{Actor, Subject};
use crate::store::{StoreError, WriteTx};
use crate::web::clock::Clock;

/// How long an address stays whole.
pub const ADDRESS_KEPT: SignedDuration = SignedDuration::from_hours(30 * 24);
/// The longest detail, in characters; what is longer is cut.
pub const LONGEST_DETAIL: usize = 200;

/// Notes a deed, in the transaction that does it.
///
/// `deed` is a few plain words in the past, such as `"role given"`: they are shown as they are, and
/// the log is searched by them. `detail` is short, and holds neither secrets nor names nor anything
/// about eyes.
///
/// # Errors
/// The database refused.
pub async fn note(
    tx: &mut WriteTx,
    who: &Actor,
    deed: &'static str,
    subject: Subject,
    detail: &str,
) -> Result<(), StoreError> {
    let (means, address) = (who.means.as_str(), who.address.map(written));
    let detail = one_line(detail);
    sqlx::query!(
        "INSERT INTO audit (at, account, means, deed, subject_kind, subject_id, detail, address)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
        who.at,
        who.account,
        means,
        deed,
        subject.kind,
        subject.id,
        detail,
        address
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// Shortens every address that is older than [`ADDRESS_KEPT`] and says how many those were.
///
/// # Errors
/// The database refused.
pub async fn shorten_old_addresses(tx: &mut WriteTx, clock: &Clock) -> Result<u64, StoreError> {
    let before = clock.seconds() - ADDRESS_KEPT.as_secs();
    let rows = sqlx::query!(
        r#"SELECT DISTINCT address AS "address!" FROM audit
           WHERE at < ?1 AND address IS NOT NULL AND substr(address, -1) <> '*'"#,
        before
    )
    .fetch_all(&mut **tx)
    .await?;
    let mut changed = 0;
    for row in rows {
        let short = shortened(&row.address);
        let done = sqlx::query!(
            "UPDATE audit SET address = ?3
             WHERE at < ?1 AND address = ?2
               AND address IS NOT NULL AND substr(address, -1) <> '*'",
            before,
            row.address,
            short
        )
        .execute(&mut **tx)
        .await?;
        changed += done.rows_affected();
    }
    Ok(changed)
}

/// An address with all its parts written out, so that its beginning is the beginning of its text.
fn written(address: IpAddr) -> String {
    match address.to_canonical() {
        IpAddr::V4(address) => address.to_string(),
        IpAddr::V6(address) => address.segments().map(|part| format!("{part:x}")).join(":"),
    }
}

/// What is left of a written address: a /24 of IPv4, a /48 of IPv6.
fn shortened(address: &str) -> String {
    let (mark, kept) = if address.contains(':') { (':', 3) } else { ('.', 3) };
    let end = address.match_indices(mark).nth(kept - 1).map_or(0, |(place, _)| place + 1);
    format!("{}*", address.get(..end).unwrap_or_default())
}

/// One line of at most [`LONGEST_DETAIL`] characters.
fn one_line(text: &str) -> String {
    text.trim().chars().map(|c| if c.is_control() { ' ' } else { c }).take(LONGEST_DETAIL).collect()
}

#[cfg(test)]
#[path = "store_tests.rs"]
mod tests;
