//! Reading reservations and loans whole, with what people call the pieces.

use std::collections::BTreeMap;

use sqlx::SqliteConnection;

use super::handing::{Condition, LoanId};
use super::machine::LineState;
use super::model::{LendingError, ReservationId, ReservationState};
use super::night::{Night, Nights};
use crate::observing::sites::SiteId;
use crate::people::MemberId;
use crate::shelf::{self, ItemId, ItemName, id_list};

/// One piece of a reservation.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// The piece.
    pub item: ItemName,
    /// How far it has come.
    pub state: LineState,
    /// In what condition it came back.
    pub condition: Option<Condition>,
}

/// What was noted at the hand-over.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Loan {
    /// Its number.
    pub id: LoanId,
    /// When, seconds since 1970.
    pub handed_at: i64,
    /// Who signed.
    pub signed_name: String,
    /// Who answers for a minor.
    pub guardian: Option<String>,
    /// Who stood by.
    pub witness: Option<String>,
    /// The version of the cautions that was acknowledged.
    pub cautions_version: i64,
    /// Anything worth noting.
    pub note: String,
}

/// A reservation with all that belongs to it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Whole {
    /// Its number.
    pub id: ReservationId,
    /// Whose it is.
    pub member: MemberId,
    /// How far it has come.
    pub state: ReservationState,
    /// Its nights; the last one is the due night.
    pub nights: Nights,
    /// Whether anything is to be used while the Sun is up.
    pub daylight: bool,
    /// Where it is to be used; none for where the club usually observes.
    pub site: Option<SiteId>,
    /// Counts the changes.
    pub version: i64,
    /// When it was asked for, seconds since 1970.
    pub created_at: i64,
    /// Its pieces, by kind and number; those left out in a change are not among them.
    pub lines: Vec<Line>,
    /// The hand-over.
    pub loan: Option<Loan>,
}

impl Whole {
    /// Whether something is still out after the due night.
    pub fn is_overdue(&self, tonight: Night) -> bool {
        self.state == ReservationState::Out && self.nights.last() < tonight
    }

    /// The pieces in one state.
    pub fn items(&self, state: LineState) -> Vec<ItemId> {
        self.lines.iter().filter(|line| line.state == state).map(|line| line.item.id).collect()
    }

    /// Its strong entity tag.
    pub fn etag(&self) -> String {
        format!("\"{}.{}\"", self.id, self.version)
    }
}

/// Which reservations to read.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Wanted {
    /// Only this member's.
    pub member: Option<MemberId>,
    /// Only those that stand so; empty for all.
    pub states: Vec<ReservationState>,
    /// Only with numbers below this one: the pages go from new to old.
    pub below: Option<i64>,
    /// Only those with a hand-over.
    pub with_loan: bool,
    /// At most so many.
    pub most: i64,
}

struct Row {
    id: i64,
    member_id: i64,
    first_night: String,
    last_night: String,
    state: String,
    created_at: i64,
    daylight: i64,
    site_id: Option<i64>,
    version: i64,
    loan_id: Option<i64>,
    handed_at: Option<i64>,
    signed_name: Option<String>,
    guardian: Option<String>,
    witness: Option<String>,
    cautions_version: Option<i64>,
    note: Option<String>,
}

/// Gives the ways of finding reservations. The statements differ in their tails only.
macro_rules! whole_query {
    ($tail:literal $(, $arg:expr)*) => { whole_query!(by "" => $tail $(, $arg)*) };
    (by $index:literal => $tail:literal $(, $arg:expr)*) => {
        sqlx::query_as!(
            Row,
            "SELECT whole.id AS \"id!\", whole.member_id, whole.first_night, whole.last_night,
                    whole.state, whole.created_at, whole.daylight, whole.site_id, whole.version,
                    loan.id AS \"loan_id?\", loan.handed_at AS \"handed_at?\",
                    loan.signed_name AS \"signed_name?\", loan.guardian, loan.witness,
                    loan.cautions_version AS \"cautions_version?\", loan.note AS \"note?\"
             FROM reservation AS whole " + $index + "
             LEFT JOIN loan ON loan.reservation_id = whole.id " + $tail
            $(, $arg)*
        )
    };
}

/// One reservation; `None` where there is none of this number.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn whole(
    conn: &mut SqliteConnection,
    id: ReservationId,
) -> Result<Option<Whole>, LendingError> {
    let rows = whole_query!("WHERE whole.id = ?", id.0).fetch_all(&mut *conn).await?;
    Ok(furnish(conn, rows).await?.into_iter().next())
}

/// The reservation that a loan belongs to; `None` where there is none of this number.
///
/// # Errors
/// The database could not answer.
pub async fn of_loan(
    conn: &mut SqliteConnection,
    loan: LoanId,
) -> Result<Option<ReservationId>, LendingError> {
    let id = sqlx::query_scalar!("SELECT reservation_id FROM loan WHERE id = ?", loan.0)
        .fetch_optional(conn)
        .await?;
    Ok(id.map(ReservationId))
}

/// Reservations, the newest first.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn wholes(
    conn: &mut SqliteConnection,
    wanted: &Wanted,
) -> Result<Vec<Whole>, LendingError> {
    let states: Vec<&str> = wanted.states.iter().map(|state| state.as_str()).collect();
    let states = serde_json::to_string(&states).unwrap_or_else(|_| "[]".into());
    let below = wanted.below.unwrap_or(i64::MAX);
    let rows = match wanted.member {
        Some(member) => {
            whole_query!(
                "WHERE whole.member_id = ?1 AND whole.id < ?2 AND (?3 = 0 OR loan.id IS NOT NULL)
                   AND (?4 = '[]' OR whole.state IN (SELECT value FROM json_each(?4)))
                 ORDER BY whole.id DESC LIMIT ?5",
                member.0,
                below,
                wanted.with_loan,
                states,
                wanted.most
            )
            .fetch_all(&mut *conn)
            .await?
        }
        None => {
            whole_query!(
                "WHERE whole.id < ?1 AND (?2 = 0 OR loan.id IS NOT NULL)
                   AND (?3 = '[]' OR whole.state IN (SELECT value FROM json_each(?3)))
                 ORDER BY whole.id DESC LIMIT ?4",
                below,
                wanted.with_loan,
                states,
                wanted.most
            )
            .fetch_all(&mut *conn)
            .await?
        }
    };
    furnish(conn, rows).await
}

/// What the desk is about: everything that is out, waits for an answer or is for the night `until`.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn going_on(
    conn: &mut SqliteConnection,
    until: Night,
) -> Result<Vec<Whole>, LendingError> {
    let until = until.to_string();
    let rows = whole_query!(
        "WHERE whole.state IN ('requested', 'confirmed', 'ready', 'out')
           AND ((whole.first_night <= ?1 AND whole.last_night >= ?1)
                OR whole.state IN ('requested', 'out'))
         ORDER BY whole.first_night, whole.id LIMIT 500",
        until
    )
    .fetch_all(&mut *conn)
    .await?;
    furnish(conn, rows).await
}

/// What a member has and shall have, the earliest first: what is out, and what is reserved for nights
/// that are not over.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn under_way(
    conn: &mut SqliteConnection,
    member: MemberId,
    tonight: Night,
) -> Result<Vec<Whole>, LendingError> {
    let tonight = tonight.to_string();
    let rows = whole_query!(
        by "INDEXED BY reservation_open_by_member" =>
        "WHERE whole.member_id = ?1 AND whole.state IN ('requested', 'confirmed', 'ready', 'out')
           AND (whole.state = 'out' OR whole.last_night >= ?2)",
        member.0,
        tonight
    )
    .fetch_all(&mut *conn)
    .await?;
    let mut all = furnish(conn, rows).await?;
    all.sort_by_key(|whole| (whole.nights, whole.id));
    Ok(all)
}

/// What of a member's is over, the latest first, at most so many: what ended, and what nobody fetched
/// before its nights were over. Given a first night and a number, only what comes after them in that
/// order.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn over(
    conn: &mut SqliteConnection,
    member: MemberId,
    tonight: Night,
    after: Option<(Night, ReservationId)>,
    most: usize,
) -> Result<Vec<Whole>, LendingError> {
    let (tonight, most) = (tonight.to_string(), i64::try_from(most).unwrap_or(i64::MAX));
    // No night is written later than this.
    let (first, id) = after.map_or_else(
        || ("9999-12-31".to_owned(), i64::MAX),
        |(first, id)| (first.to_string(), id.0),
    );
    let rows = whole_query!(
        by "INDEXED BY reservation_by_member" =>
        "WHERE whole.member_id = ?1 AND whole.first_night <= ?2
           AND (whole.first_night < ?2 OR whole.id < ?3)
           AND (whole.state NOT IN ('requested', 'confirmed', 'ready', 'out')
                OR (whole.state <> 'out' AND whole.last_night < ?4))
         ORDER BY whole.first_night DESC, whole.id DESC LIMIT ?5",
        member.0,
        first,
        id,
        tonight,
        most
    )
    .fetch_all(&mut *conn)
    .await?;
    furnish(conn, rows).await
}

struct LineRow {
    reservation_id: i64,
    item_id: i64,
    state: String,
    condition: Option<String>,
}

async fn furnish(conn: &mut SqliteConnection, rows: Vec<Row>) -> Result<Vec<Whole>, LendingError> {
    let ids: Vec<ItemId> = rows.iter().map(|row| ItemId(row.id)).collect();
    let ids = id_list(&ids);
    let lines = sqlx::query_as!(
        LineRow,
        "SELECT line.reservation_id AS \"reservation_id!\", line.item_id AS \"item_id!\",
                line.state AS \"state!\", custody.condition
         FROM json_each(?) AS wanted
         JOIN reservation_item AS line ON line.reservation_id = wanted.value
         LEFT JOIN loan ON loan.reservation_id = line.reservation_id
         LEFT JOIN custody ON custody.loan_id = loan.id AND custody.item_id = line.item_id
         WHERE line.state <> 'dropped'",
        ids
    )
    .fetch_all(&mut *conn)
    .await?;
    let items: Vec<ItemId> = lines.iter().map(|line| ItemId(line.item_id)).collect();
    let names: BTreeMap<ItemId, ItemName> =
        shelf::names(conn, &items).await?.into_iter().map(|item| (item.id, item)).collect();
    let mut of: BTreeMap<i64, Vec<Line>> = BTreeMap::new();
    for row in lines {
        let unreadable = |why: &str| {
            LendingError::unreadable(format!("Reservation {}", row.reservation_id), why)
        };
        let item = names
            .get(&ItemId(row.item_id))
            .ok_or_else(|| unreadable("one of its items is not there."))?;
        of.entry(row.reservation_id).or_default().push(Line {
            item: item.clone(),
            state: LineState::parse(&row.state)
                .ok_or_else(|| unreadable("the state of an item is not known."))?,
            condition: row.condition.as_deref().and_then(Condition::parse),
        });
    }
    for lines in of.values_mut() {
        lines.sort_by_key(|line| (line.item.kind, line.item.id));
    }
    rows.into_iter().map(|row| assemble(row, &mut of)).collect()
}

/// What was noted of each piece when it was taken back; none of pieces of which nothing was.
///
/// # Errors
/// The database could not answer.
pub async fn noted_back(
    conn: &mut SqliteConnection,
    id: ReservationId,
) -> Result<BTreeMap<ItemId, String>, LendingError> {
    let rows = sqlx::query!(
        "SELECT custody.item_id, custody.note FROM loan
         JOIN custody ON custody.loan_id = loan.id
         WHERE loan.reservation_id = ? AND custody.note <> '' ORDER BY custody.id",
        id.0
    );
    let rows = rows.fetch_all(conn).await?;
    Ok(rows.into_iter().map(|row| (ItemId(row.item_id), row.note)).collect())
}

fn assemble(row: Row, lines: &mut BTreeMap<i64, Vec<Line>>) -> Result<Whole, LendingError> {
    let unreadable = |why: String| LendingError::unreadable(format!("Reservation {}", row.id), why);
    Ok(Whole {
        id: ReservationId(row.id),
        member: MemberId(row.member_id),
        state: ReservationState::parse(&row.state)
            .ok_or_else(|| unreadable(format!("its state {} is not known.", row.state)))?,
        nights: Nights::parse(&row.first_night, &row.last_night)
            .map_err(|why| unreadable(why.to_string()))?,
        daylight: row.daylight != 0,
        site: row.site_id.map(SiteId),
        version: row.version,
        created_at: row.created_at,
        lines: lines.remove(&row.id).unwrap_or_default(),
        loan: row.loan_id.map(|id| Loan {
            id: LoanId(id),
            handed_at: row.handed_at.unwrap_or_default(),
            signed_name: row.signed_name.unwrap_or_default(),
            guardian: row.guardian,
            witness: row.witness,
            cautions_version: row.cautions_version.unwrap_or_default(),
            note: row.note.unwrap_or_default(),
        }),
    })
}
