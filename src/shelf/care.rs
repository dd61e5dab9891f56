//! Looking after pieces: inspections, and what has to be done again and again.

use jiff::Span;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use sqlx::SqliteConnection;

use super::history::Hand;
use super::item::{ItemId, ItemState};
use super::rows::Unreadable;
use super::store::ShelfError;
use crate::lending::of_piece::outings_since;
use crate::people::MemberId;
use crate::store::WriteTx;

/// What somebody saw when they looked a piece over.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Inspection {
    /// Its number.
    pub id: i64,
    /// The day.
    pub day: Date,
    /// What was seen.
    pub finding: String,
    /// How the piece was left.
    pub state: ItemState,
    /// When it was written down, seconds since 1970.
    pub noted_at: i64,
    /// Whose account wrote it.
    pub noted_by: Option<i64>,
    /// Who wrote it, where it came in as a table.
    pub noted_by_member: Option<MemberId>,
}

/// The longest finding, in characters.
pub const LONGEST_FINDING: usize = 1000;

/// Writes an inspection down and answers its number.
///
/// # Errors
/// The database refused.
pub async fn note_inspection(
    tx: &mut WriteTx,
    hand: Hand,
    item: ItemId,
    (day, finding, state): (Date, &str, ItemState),
) -> Result<i64, ShelfError> {
    let (day, state) = (day.to_string(), state.as_str());
    let id = sqlx::query_scalar!(
        "INSERT INTO inspection (item_id, day, finding, state, noted_at, noted_by)
         VALUES (?, ?, ?, ?, ?, ?) RETURNING id AS \"id!\"",
        item.0,
        day,
        finding,
        state,
        hand.at,
        hand.account
    )
    .fetch_one(&mut **tx)
    .await?;
    Ok(id)
}

/// Says which member noted an inspection that came in as a table.
///
/// # Errors
/// The database refused.
pub(super) async fn say_who_noted(
    tx: &mut WriteTx,
    inspection: i64,
    member: MemberId,
) -> Result<(), ShelfError> {
    sqlx::query!("UPDATE inspection SET noted_by_member = ? WHERE id = ?", member.0, inspection)
        .execute(&mut **tx)
        .await?;
    Ok(())
}

struct InspectionRow {
    id: i64,
    day: String,
    finding: String,
    state: String,
    noted_at: i64,
    noted_by: Option<i64>,
    noted_by_member: Option<i64>,
}

impl InspectionRow {
    fn read(self, item: ItemId) -> Result<Inspection, ShelfError> {
        Ok(Inspection {
            id: self.id,
            day: stored_day(item, &self.day)?,
            finding: self.finding,
            state: ItemState::parse(&self.state)
                .ok_or_else(|| unreadable(item, "the state it was left in is not known."))?,
            noted_at: self.noted_at,
            noted_by: self.noted_by,
            noted_by_member: self.noted_by_member.map(MemberId),
        })
    }
}

/// All inspections of a piece, the latest day first.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn inspections(
    conn: &mut SqliteConnection,
    item: ItemId,
) -> Result<Vec<Inspection>, ShelfError> {
    let rows = sqlx::query_as!(
        InspectionRow,
        "SELECT id AS \"id!\", day, finding, state, noted_at, noted_by, noted_by_member
         FROM inspection WHERE item_id = ? ORDER BY day DESC, id DESC",
        item.0
    )
    .fetch_all(conn)
    .await?;
    rows.into_iter().map(|row| row.read(item)).collect()
}

/// A piece's inspections that were noted before an instant, seconds since 1970: the last noted
/// first, so many and whatever was noted in the same second as the last of them. Their days may stand
/// in another order, since an inspection may be noted long after its day.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub(super) async fn noted_before(
    conn: &mut SqliteConnection,
    item: ItemId,
    before: i64,
    most: i64,
) -> Result<Vec<Inspection>, ShelfError> {
    let rows = sqlx::query_as!(
        InspectionRow,
        "SELECT id AS \"id!\", day AS \"day!\", finding AS \"finding!\", state AS \"state!\",
                noted_at AS \"noted_at!\", noted_by, noted_by_member
         FROM inspection INDEXED BY inspection_by_moment
         WHERE item_id = ?1 AND noted_at < ?2
           AND noted_at >= coalesce((SELECT noted_at FROM inspection INDEXED BY inspection_by_moment
                                     WHERE item_id = ?1 AND noted_at < ?2
                                     ORDER BY noted_at DESC LIMIT 1 OFFSET ?3 - 1), 0)
         ORDER BY noted_at DESC, id DESC",
        item.0,
        before,
        most
    )
    .fetch_all(conn)
    .await?;
    rows.into_iter().map(|row| row.read(item)).collect()
}

fn unreadable(item: ItemId, why: &str) -> ShelfError {
    ShelfError::Unreadable(Unreadable { tag: format!("number {item}"), why: why.to_owned() })
}

fn stored_day(item: ItemId, text: &str) -> Result<Date, ShelfError> {
    text.parse().map_err(|_| unreadable(item, "a day in it is no date."))
}

/// How often something has to be done: after so many months, after so many loans, or whichever
/// comes first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Round {
    months: Option<i32>,
    loans: Option<i64>,
}

/// Why something never comes round, or not like this.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NotARound {
    /// Neither months nor loans.
    #[error("Say after how many months, or after how many loans, it has to be done again.")]
    Never,
    /// Months outside 1–120.
    #[error("The months must be between 1 and 120.")]
    Months,
    /// Loans outside 1–1,000.
    #[error("The loans must be between 1 and 1000.")]
    Loans,
}

impl Round {
    /// Checks a round.
    ///
    /// # Errors
    /// [`NotARound`] outside 1–120 months or 1–1,000 loans, or with neither.
    pub fn new(months: Option<i64>, loans: Option<i64>) -> Result<Self, NotARound> {
        let months = months
            .map(|months| i32::try_from(months).ok().filter(|m| (1..=120).contains(m)))
            .map(|months| months.ok_or(NotARound::Months))
            .transpose()?;
        if loans.is_some_and(|loans| !(1..=1000).contains(&loans)) {
            return Err(NotARound::Loans);
        }
        if months.is_none() && loans.is_none() {
            return Err(NotARound::Never);
        }
        Ok(Self { months, loans })
    }

    /// After how many months.
    pub fn months(self) -> Option<i64> {
        self.months.map(i64::from)
    }

    /// After how many loans.
    pub const fn loans(self) -> Option<i64> {
        self.loans
    }

    /// How often, in words.
    pub fn told(self) -> String {
        let months = self.months.map(|months| match months {
            1 => "every month".to_owned(),
            months => format!("every {months} months"),
        });
        let loans = self.loans.map(|loans| match loans {
            1 => "after every loan".to_owned(),
            loans => format!("after every {loans} loans"),
        });
        let said: Vec<String> = [months, loans].into_iter().flatten().collect();
        said.join(" or ")
    }

    /// The day on which it is due by the calendar.
    pub fn next(self, last_done: Date) -> Option<Date> {
        last_done.checked_add(Span::new().months(self.months?)).ok()
    }

    /// Whether it is due today, after so many loans.
    pub fn is_due(self, last_done: Date, today: Date, loans: i64) -> bool {
        self.next(last_done).is_some_and(|next| next <= today)
            || self.loans.is_some_and(|most| loans >= most)
    }
}

/// Something that has to be done to a piece again and again.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Upkeep {
    /// Its number.
    pub id: i64,
    /// The piece.
    pub item: ItemId,
    /// What is to be done.
    pub what: String,
    /// How often.
    pub round: Round,
    /// When it was last done.
    pub last_done: Date,
    /// How often the piece went out since.
    pub loans: i64,
}

impl Upkeep {
    /// Whether it is due today.
    pub fn is_due(&self, today: Date) -> bool {
        self.round.is_due(self.last_done, today, self.loans)
    }

    /// When it is due, in a sentence without its end.
    pub fn says(&self, today: Date) -> String {
        let calendar = self.round.next(self.last_done).map(|next| {
            let day = next.strftime("%-d %B %Y");
            if next <= today { format!("was due on {day}") } else { format!("due on {day}") }
        });
        let loans = self.round.loans.map(|most| {
            let done = self.loans.min(most);
            format!("{done} of {most} loans since it was done")
        });
        let said: Vec<String> = [calendar, loans].into_iter().flatten().collect();
        said.join("; ")
    }
}

/// What has to be done to one piece, or to all, again and again; how often it went out is counted
/// from the day after it was done.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn upkeep(
    conn: &mut SqliteConnection,
    item: Option<ItemId>,
    zone: &TimeZone,
) -> Result<Vec<Upkeep>, ShelfError> {
    let only = item.map(|item| item.0);
    let rows = sqlx::query!(
        "SELECT upkeep.id, upkeep.item_id, upkeep.what, upkeep.every_months, upkeep.every_loans,
                upkeep.last_done
         FROM upkeep JOIN item ON item.id = upkeep.item_id
         WHERE (?1 IS NULL OR upkeep.item_id = ?1) AND (?1 IS NOT NULL OR item.state <> 'retired')
         ORDER BY upkeep.item_id, upkeep.id",
        only
    )
    .fetch_all(&mut *conn)
    .await?;
    let mut all = Vec::with_capacity(rows.len());
    for row in rows {
        let item = ItemId(row.item_id);
        let last_done = stored_day(item, &row.last_done)?;
        let round = Round::new(row.every_months, row.every_loans)
            .map_err(|why| unreadable(item, &why.to_string()))?;
        let (id, what) = (row.id, row.what);
        all.push(Upkeep { id, item, what, round, last_done, loans: 0 });
    }
    let since: Vec<(ItemId, i64)> =
        all.iter().map(|one| (one.item, day_after(one.last_done, zone))).collect();
    for (one, loans) in all.iter_mut().zip(outings_since(conn, &since).await?) {
        one.loans = loans;
    }
    Ok(all)
}

fn day_after(day: Date, zone: &TimeZone) -> i64 {
    let next = day.tomorrow().unwrap_or(day);
    zone.to_timestamp(next.at(0, 0, 0, 0)).map_or(i64::MAX, jiff::Timestamp::as_second)
}

/// Adds something to be done to a piece.
///
/// # Errors
/// The database refused.
pub async fn add_upkeep(
    tx: &mut WriteTx,
    item: ItemId,
    what: &str,
    round: Round,
    last_done: Date,
) -> Result<(), ShelfError> {
    let (months, day) = (round.months, last_done.to_string());
    sqlx::query!(
        "INSERT INTO upkeep (item_id, what, every_months, every_loans, last_done)
         VALUES (?, ?, ?, ?, ?)",
        item.0,
        what,
        months,
        round.loans,
        day
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// Notes that something was done on a day; answers what it was, or none where there is no such.
///
/// # Errors
/// The database refused.
pub async fn upkeep_done(
    tx: &mut WriteTx,
    item: ItemId,
    id: i64,
    day: Date,
) -> Result<Option<String>, ShelfError> {
    let day = day.to_string();
    let what = sqlx::query_scalar!(
        "UPDATE upkeep SET last_done = ? WHERE id = ? AND item_id = ? RETURNING what",
        day,
        id,
        item.0
    )
    .fetch_optional(&mut **tx)
    .await?;
    Ok(what)
}

/// Takes something off a piece's list; answers what it was, or none where there is no such.
///
/// # Errors
/// The database refused.
pub async fn drop_upkeep(
    tx: &mut WriteTx,
    item: ItemId,
    id: i64,
) -> Result<Option<String>, ShelfError> {
    let what = sqlx::query_scalar!(
        "DELETE FROM upkeep WHERE id = ? AND item_id = ? RETURNING what",
        id,
        item.0
    )
    .fetch_optional(&mut **tx)
    .await?;
    Ok(what)
}

#[cfg(test)]
#[path = "care_tests.rs"]
mod tests;
