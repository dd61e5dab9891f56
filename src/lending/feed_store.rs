//! The secret addresses of calendars in the database, and what stands in a calendar.

use sqlx::SqliteConnection;

use super::blocks::blocks;
use super::feed::{Entry, Sure, When};
use super::model::{LendingError, ReservationState};
use super::night::{Night, Nights};
use super::reading::{Wanted, Whole, wholes};
use super::rules_store::rules;
use crate::people::MemberId;
use crate::store::{Store, WriteTx};
use crate::web::secret::{self, Secret};
use crate::web::site::Site;

/// Whose calendar.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FeedKind {
    /// A member's own loans.
    Mine,
    /// Everything the club lends, without names.
    Club,
}

impl FeedKind {
    /// The name in the database and in forms.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Mine => "mine",
            Self::Club => "club",
        }
    }

    /// Reads such a name.
    pub fn parse(name: &str) -> Option<Self> {
        [Self::Mine, Self::Club].into_iter().find(|kind| kind.as_str() == name)
    }
}

/// An address that is in use.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Address {
    /// Whose calendar.
    pub kind: FeedKind,
    /// When it was made, seconds since 1970.
    pub created_at: i64,
    /// The day of its last use.
    pub last_used_on: Option<String>,
}

/// Makes an account's address for a calendar, in place of the one before.
///
/// # Errors
/// The database refused.
pub async fn make(
    tx: &mut WriteTx,
    account: i64,
    kind: FeedKind,
    secret: &Secret,
    now: i64,
) -> Result<(), LendingError> {
    let (kind, hash) = (kind.as_str(), secret.hash());
    sqlx::query!(
        "INSERT INTO calendar_feed (account_id, kind, secret_hash, created_at)
         VALUES (?1, ?2, ?3, ?4)
         ON CONFLICT (account_id, kind) DO UPDATE
         SET secret_hash = ?3, created_at = ?4, last_used_on = NULL",
        account,
        kind,
        hash,
        now
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// Takes an address back: it leads nowhere from now on.
///
/// # Errors
/// The database refused.
pub async fn revoke(tx: &mut WriteTx, account: i64, kind: FeedKind) -> Result<(), LendingError> {
    let kind = kind.as_str();
    sqlx::query!("DELETE FROM calendar_feed WHERE account_id = ? AND kind = ?", account, kind)
        .execute(&mut **tx)
        .await?;
    Ok(())
}

/// Takes back every address of an account that is erased.
///
/// # Errors
/// The database refused.
pub async fn forget_account(tx: &mut WriteTx, account: i64) -> Result<(), LendingError> {
    sqlx::query!("DELETE FROM calendar_feed WHERE account_id = ?", account)
        .execute(&mut **tx)
        .await?;
    Ok(())
}

/// An account's addresses.
///
/// # Errors
/// The database could not answer.
pub async fn addresses(
    conn: &mut SqliteConnection,
    account: i64,
) -> Result<Vec<Address>, LendingError> {
    let rows = sqlx::query!(
        "SELECT kind, created_at, last_used_on FROM calendar_feed WHERE account_id = ? ORDER BY id",
        account
    )
    .fetch_all(conn)
    .await?;
    let address = |kind: String, created_at, last_used_on| {
        let kind = FeedKind::parse(&kind)
            .ok_or_else(|| LendingError::unreadable("A calendar's address", "its kind"))?;
        Ok(Address { kind, created_at, last_used_on })
    };
    rows.into_iter().map(|row| address(row.kind, row.created_at, row.last_used_on)).collect()
}

/// The account and the calendar behind a secret; notes the day of use.
///
/// # Errors
/// The database could not answer.
pub async fn find(
    store: &Store,
    text: &str,
    today: Night,
) -> Result<Option<(i64, FeedKind)>, LendingError> {
    let hash = secret::hash(text);
    let row = sqlx::query!(
        "SELECT id AS \"id!\", account_id, kind, last_used_on FROM calendar_feed
         WHERE secret_hash = ?",
        hash
    )
    .fetch_optional(&mut *store.reader().acquire().await?)
    .await?;
    let Some(row) = row else { return Ok(None) };
    let today = today.to_string();
    if row.last_used_on.as_deref() != Some(&*today) {
        let mut tx = store.write().await?;
        sqlx::query!("UPDATE calendar_feed SET last_used_on = ? WHERE id = ?", today, row.id)
            .execute(&mut *tx)
            .await?;
        tx.commit().await?;
    }
    Ok(FeedKind::parse(&row.kind).map(|kind| (row.account_id, kind)))
}

/// The states that stand in a calendar.
const STATES: [ReservationState; 5] = [
    ReservationState::Requested,
    ReservationState::Confirmed,
    ReservationState::Ready,
    ReservationState::Out,
    ReservationState::Closed,
];

/// What stands in a member's calendar: what is to come, what is out and what was of late, and the
/// day on which a loan is to be brought back.
///
/// # Errors
/// The database could not answer.
pub async fn of_member(
    conn: &mut SqliteConnection,
    member: MemberId,
    site: &Site,
) -> Result<Vec<Entry>, LendingError> {
    let wanted =
        Wanted { member: Some(member), states: STATES.to_vec(), most: 200, ..Wanted::default() };
    let mut entries = Vec::new();
    for whole in wholes(conn, &wanted).await? {
        let names: Vec<&str> = whole.lines.iter().map(|line| line.item.name.as_str()).collect();
        let what = match names.as_slice() {
            [] => continue,
            [one] => (*one).to_owned(),
            [first, rest @ ..] => format!("{first} and {} more", rest.len()),
        };
        let link = Some(site.link(&format!("/mine/{}", whole.id)));
        let mut entry = entry(&whole, what.clone(), pieces(&whole), link.clone());
        if whole.state == ReservationState::Requested {
            entry.summary.push_str(" (waiting for approval)");
        }
        entries.push(entry);
        if let (ReservationState::Out, Some(day)) = (whole.state, whole.nights.last().next()) {
            entries.push(Entry {
                key: format!("return {}", whole.id),
                when: When::Nights(
                    Nights::new(day, day)
                        .map_err(|why| LendingError::unreadable("A night", why))?,
                ),
                place: String::new(),
                sequence: whole.version,
                summary: format!("Bring back: {what}"),
                description: pieces(&whole),
                link,
                sure: Sure::Confirmed,
            });
        }
    }
    Ok(entries)
}

fn pieces(whole: &Whole) -> String {
    let lines: Vec<String> =
        whole.lines.iter().map(|line| format!("{} {}", line.item.tag, line.item.name)).collect();
    lines.join("\n")
}

fn entry(whole: &Whole, summary: String, description: String, link: Option<String>) -> Entry {
    Entry {
        key: format!("reservation {}", whole.id),
        when: When::Nights(whole.nights),
        place: String::new(),
        sequence: whole.version,
        summary,
        description,
        link,
        sure: if whole.state == ReservationState::Requested {
            Sure::Tentative
        } else {
            Sure::Confirmed
        },
    }
}

/// What stands in the club's calendar: every loan by its tags, the nights without lending and what
/// is kept back. No names, because calendars are read elsewhere too.
///
/// # Errors
/// The database could not answer.
pub async fn of_club(
    conn: &mut SqliteConnection,
    site: &Site,
    tonight: Night,
) -> Result<Vec<Entry>, LendingError> {
    let wanted = Wanted { states: STATES.to_vec(), most: 1000, ..Wanted::default() };
    let mut entries = Vec::new();
    for whole in wholes(conn, &wanted).await? {
        let tags: Vec<&str> = whole.lines.iter().map(|line| line.item.tag.as_str()).collect();
        if tags.is_empty() {
            continue;
        }
        let summary = format!("{}: {}", tags.join(" "), whole.state.words());
        let link = Some(site.link(&format!("/desk/{}", whole.id)));
        entries.push(entry(&whole, summary, pieces(&whole), link));
    }
    let plain = |key: String, nights: Nights, summary: String| Entry {
        key,
        when: When::Nights(nights),
        place: String::new(),
        sequence: 0,
        summary,
        description: String::new(),
        link: None,
        sure: Sure::Confirmed,
    };
    for (night, reason) in rules(conn, tonight).await?.closed {
        let nights =
            Nights::new(night, night).map_err(|why| LendingError::unreadable("A night", why))?;
        entries.push(plain(format!("closed {night}"), nights, format!("No lending: {reason}")));
    }
    for block in blocks(conn, tonight).await? {
        let tags: Vec<&str> = block.tags.iter().map(crate::shelf::AssetTag::as_str).collect();
        let summary = format!("{} kept back: {}", tags.join(" "), block.reason);
        entries.push(plain(format!("block {}", block.id.0), block.nights, summary));
    }
    Ok(entries)
}
