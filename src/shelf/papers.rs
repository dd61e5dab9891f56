//! Whose a piece is, what it is worth, where it lives, and what always leaves with it.

use std::collections::HashMap;
use std::fmt;

use jiff::civil::Date;
use sqlx::SqliteConnection;

use super::history::{self, Hand};
use super::item::{ItemId, Kind};
use super::rows::Unreadable;
use super::store::{ItemName, ShelfError, id_list, names};
use super::words::spelled;
use crate::people::MemberId;
use crate::store::WriteTx;

/// What a piece is worth, in hundredths of whatever the club counts in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Worth(i64);

/// Why a text is no worth.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NotAWorth {
    /// No amount.
    #[error("Write the value as a number, like 340 or 340.50, without its currency.")]
    Form,
    /// Too much.
    #[error("The value must be between 0 and 1000000.")]
    TooMuch,
}

impl Worth {
    /// The most accepted, in hundredths.
    pub const HIGH: i64 = 100_000_000;

    /// From hundredths.
    ///
    /// # Errors
    /// [`NotAWorth::TooMuch`] below nothing or above a million.
    pub fn of_cents(cents: i64) -> Result<Self, NotAWorth> {
        if (0..=Self::HIGH).contains(&cents) { Ok(Self(cents)) } else { Err(NotAWorth::TooMuch) }
    }

    /// Reads an amount with at most two decimals, after a point or a comma.
    ///
    /// # Errors
    /// [`NotAWorth`] for anything else.
    pub fn parse(text: &str) -> Result<Self, NotAWorth> {
        let text = text.trim().replace(',', ".");
        let (whole, part) = text.split_once('.').unwrap_or((&text, ""));
        let digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
        if whole.is_empty() || whole.len() > 9 || part.len() > 2 || !digits(whole) || !digits(part)
        {
            return Err(NotAWorth::Form);
        }
        let cents = format!("{whole}{part:0<2}").parse().map_err(|_| NotAWorth::Form)?;
        Self::of_cents(cents)
    }

    /// Hundredths.
    pub const fn cents(self) -> i64 {
        self.0
    }
}

impl fmt::Display for Worth {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 % 100 {
            0 => write!(f, "{}", self.0 / 100),
            part => write!(f, "{}.{part:02}", self.0 / 100),
        }
    }
}

/// The most parts of a set.
pub(super) const MOST_PARTS: usize = 40;

/// What is written of a piece besides what it does.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Papers {
    /// The member who lends it to the club; none where it is the club's own.
    pub owner: Option<MemberId>,
    /// Who gave it to the club.
    pub donor: String,
    /// The number its maker gave it.
    pub serial: String,
    /// When it was bought.
    pub bought_on: Option<Date>,
    /// What it is worth.
    pub value: Option<Worth>,
    /// Where it lives in the store.
    pub place: String,
    /// Who keeps it at home.
    pub custodian: Option<MemberId>,
}

impl Papers {
    /// Every field by its name, as the history keeps it: members by number, so that a name that is
    /// erased is gone from there too.
    pub fn fields(&self) -> [(&'static str, String); 7] {
        let member = |one: Option<MemberId>| one.map(|id| id.to_string()).unwrap_or_default();
        [
            ("owner", member(self.owner)),
            ("donor", self.donor.clone()),
            ("serial", self.serial.clone()),
            ("bought_on", self.bought_on.map(|day| day.to_string()).unwrap_or_default()),
            ("value", self.value.map(|worth| worth.to_string()).unwrap_or_default()),
            ("place", self.place.clone()),
            ("custodian", member(self.custodian)),
        ]
    }
}

fn unreadable(item: i64, why: impl fmt::Display) -> ShelfError {
    ShelfError::Unreadable(Unreadable { tag: format!("number {item}"), why: why.to_string() })
}

/// The papers of these pieces, with their numbers; pieces of which nothing is written are left out.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn these_papers(
    conn: &mut SqliteConnection,
    items: &[ItemId],
) -> Result<Vec<(ItemId, Papers)>, ShelfError> {
    let ids = id_list(items);
    let rows = sqlx::query!(
        "SELECT item_id AS \"item_id!\", owner_id, donor, serial, bought_on, value_cents, place,
                custodian_id
         FROM item_paper WHERE item_id IN (SELECT value FROM json_each(?))",
        ids
    )
    .fetch_all(conn)
    .await?;
    rows.into_iter()
        .map(|row| {
            let id = row.item_id;
            let bought_on = row.bought_on.map(|day| day.parse()).transpose();
            let value = row.value_cents.map(Worth::of_cents).transpose();
            let papers = Papers {
                owner: row.owner_id.map(MemberId),
                donor: row.donor,
                serial: row.serial,
                bought_on: bought_on.map_err(|why| unreadable(id, why))?,
                value: value.map_err(|why| unreadable(id, why))?,
                place: row.place,
                custodian: row.custodian_id.map(MemberId),
            };
            Ok((ItemId(id), papers))
        })
        .collect()
}

/// The papers of one piece; empty ones where nothing is written.
///
/// # Errors
/// The database could not answer, or the row makes no sense.
pub async fn papers(conn: &mut SqliteConnection, item: ItemId) -> Result<Papers, ShelfError> {
    let found = these_papers(conn, &[item]).await?.pop();
    Ok(found.map(|(_, papers)| papers).unwrap_or_default())
}

/// The pieces that a member owns or keeps at home, with their papers, by number.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn pieces_of_member(
    conn: &mut SqliteConnection,
    member: MemberId,
) -> Result<Vec<(ItemName, Papers)>, ShelfError> {
    let ids = sqlx::query_scalar!(
        "SELECT item_id AS \"item_id!\" FROM item_paper WHERE owner_id = ?1 OR custodian_id = ?1
         ORDER BY item_id",
        member.0
    )
    .fetch_all(&mut *conn)
    .await?;
    let ids: Vec<ItemId> = ids.into_iter().map(ItemId).collect();
    let mut papers: HashMap<ItemId, Papers> = these_papers(conn, &ids).await?.into_iter().collect();
    let named = names(conn, &ids).await?.into_iter();
    Ok(named
        .filter_map(|item| Some((papers.remove(&item.id)?, item)))
        .map(|(p, i)| (i, p))
        .collect())
}

/// What always leaves with these telescopes, in the order of the check-list.
///
/// # Errors
/// The database could not answer.
pub async fn set_parts(
    conn: &mut SqliteConnection,
    telescopes: &[ItemId],
) -> Result<Vec<(ItemId, String)>, ShelfError> {
    let ids = id_list(telescopes);
    let rows = sqlx::query!(
        "SELECT telescope_id AS \"telescope_id!\", what FROM set_part
         WHERE telescope_id IN (SELECT value FROM json_each(?)) ORDER BY telescope_id, position",
        ids
    )
    .fetch_all(conn)
    .await?;
    Ok(rows.into_iter().map(|row| (ItemId(row.telescope_id), row.what)).collect())
}

/// The set of one telescope as text, one part a line.
///
/// # Errors
/// The database could not answer.
pub async fn set_text(conn: &mut SqliteConnection, item: ItemId) -> Result<String, ShelfError> {
    let parts = set_parts(conn, &[item]).await?;
    let lines: Vec<String> = parts.into_iter().map(|(_, what)| what).collect();
    Ok(lines.join("\n"))
}

/// Writes a piece's papers and, of a telescope, its set, where the piece still is as it was read.
/// Answers whether anything was new.
///
/// # Errors
/// [`ShelfError::Stale`] when it changed meanwhile, or the database refused.
pub async fn put_papers(
    tx: &mut WriteTx,
    hand: Hand,
    (item, kind, version): (ItemId, Kind, i64),
    papers: &Papers,
    set: &[String],
) -> Result<bool, ShelfError> {
    let before = self::papers(tx, item).await?;
    let (old_set, new_set) = (set_text(tx, item).await?, set.join("\n"));
    let mut changes: Vec<(&str, String, String)> = Vec::new();
    for ((field, old), (_, new)) in before.fields().into_iter().zip(papers.fields()) {
        changes.push((field, old, new));
    }
    if kind == Kind::Telescope {
        changes.push(("set", old_set.replace('\n', "; "), new_set.replace('\n', "; ")));
    }
    changes.retain(|(_, old, new)| old != new);
    if changes.is_empty() {
        return Ok(false);
    }
    let version = next_version(tx, item, version).await?;
    store_papers(tx, item, papers).await?;
    if kind == Kind::Telescope {
        store_set(tx, item, set).await?;
    }
    for (field, old, new) in changes {
        let some = |text: String| (!text.is_empty()).then_some(text);
        let (old, new) = (some(old), some(new));
        history::note(tx, hand, item, version, field, old.as_deref(), new.as_deref()).await?;
    }
    Ok(true)
}

async fn next_version(tx: &mut WriteTx, item: ItemId, seen: i64) -> Result<i64, ShelfError> {
    let next = sqlx::query_scalar!(
        "UPDATE item SET version = version + 1 WHERE id = ? AND version = ? RETURNING version",
        item.0,
        seen
    )
    .fetch_optional(&mut **tx)
    .await?;
    next.ok_or(ShelfError::Stale)
}

async fn store_papers(tx: &mut WriteTx, item: ItemId, papers: &Papers) -> Result<(), ShelfError> {
    let owner = papers.owner.map(|id| id.0);
    let custodian = papers.custodian.map(|id| id.0);
    let day = papers.bought_on.map(|day| day.to_string());
    let value = papers.value.map(Worth::cents);
    sqlx::query!(
        "INSERT INTO item_paper
             (item_id, owner_id, donor, serial, bought_on, value_cents, place, custodian_id)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?)
         ON CONFLICT (item_id) DO UPDATE SET
             owner_id = excluded.owner_id, donor = excluded.donor, serial = excluded.serial,
             bought_on = excluded.bought_on, value_cents = excluded.value_cents,
             place = excluded.place, custodian_id = excluded.custodian_id",
        item.0,
        owner,
        papers.donor,
        papers.serial,
        day,
        value,
        papers.place,
        custodian
    )
    .execute(&mut **tx)
    .await?;
    let place = spelled(&papers.place);
    sqlx::query!("UPDATE item_text SET place = ? WHERE rowid = ?", place, item.0)
        .execute(&mut **tx)
        .await?;
    Ok(())
}

async fn store_set(tx: &mut WriteTx, item: ItemId, set: &[String]) -> Result<(), ShelfError> {
    sqlx::query!("DELETE FROM set_part WHERE telescope_id = ?", item.0).execute(&mut **tx).await?;
    for (position, what) in (1i64..).zip(set) {
        sqlx::query!(
            "INSERT INTO set_part (telescope_id, position, what) VALUES (?, ?, ?)",
            item.0,
            position,
            what
        )
        .execute(&mut **tx)
        .await?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_worth_reads_as_it_is_written() {
        for (text, cents, shown) in
            [("340", 34_000, "340"), ("340,5", 34_050, "340.50"), (" 0.07 ", 7, "0.07")]
        {
            let worth = Worth::parse(text).unwrap();
            assert_eq!((worth.cents(), worth.to_string().as_str()), (cents, shown));
            assert_eq!(Worth::parse(&worth.to_string()), Ok(worth));
        }
        for text in ["", "-1", "1.234", "a lot", "1e3", ".5", "9999999999"] {
            assert_eq!(Worth::parse(text), Err(NotAWorth::Form), "{text}");
        }
        assert_eq!(Worth::parse("1000001"), Err(NotAWorth::TooMuch));
    }
}
