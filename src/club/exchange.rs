//! The club's tables coming in and going out as CSV files.
//!
//! Files are RFC 4180, UTF-8, with a header row. A file is taken whole or not at all. What goes
//! out comes in again unchanged. The columns are part of what other programs rely on: see
//! [`Tabular::COLUMNS`], [`MEMBER_COLUMNS`](crate::people::MEMBER_COLUMNS) and
//! [`RESERVATION_COLUMNS`](crate::lending::RESERVATION_COLUMNS).

use jiff::Timestamp;
use sqlx::SqliteConnection;

use crate::audit::{Actor, Subject, note};
use crate::lending::{self, LendingError};
use crate::optics::{Barlow, Eyepiece};
use crate::people::{self, PeopleError};
use crate::sheet::{NotTaken, Taken};
use crate::shelf::{
    self, AccessoryFigures, FilterFigures, Hand, ShelfError, Tabular, TelescopeFigures, named,
};
use crate::store::{Store, StoreError, WriteTx};

named! {
    /// The tables that come in and go out.
    Table {
        /// The telescopes.
        Telescopes = "telescopes",
        /// The eyepieces.
        Eyepieces = "eyepieces",
        /// The Barlows.
        Barlows = "barlows",
        /// The filters.
        Filters = "filters",
        /// The accessories.
        Accessories = "accessories",
        /// Whose the pieces are, what they are worth, where they live, and the telescopes' sets.
        Papers = "papers",
        /// What has to be done to pieces again and again.
        Upkeep = "upkeep",
        /// What was seen when pieces were looked over.
        Inspections = "inspections",
        /// The members.
        Members = "members",
        /// The reservations that hold.
        Reservations = "reservations",
    }
}

/// Whether an import is to last.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mode {
    /// Store it.
    Keep,
    /// Only say what would happen.
    DryRun,
}

/// Whether an export of the members tells of birth years, glasses and prescriptions.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Eyes {
    /// Those columns are left out. Such a file can be imported again: what is known stays known.
    LeaveOut,
    /// Somebody who may has asked for them.
    Include,
}

/// Why a table could not come in or go out.
#[derive(Debug, thiserror::Error)]
pub enum ExchangeError {
    /// The database could not be used.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The shelf could not answer.
    #[error(transparent)]
    Shelf(#[from] ShelfError),
    /// The members' list could not answer.
    #[error(transparent)]
    People(#[from] PeopleError),
    /// The calendar could not answer.
    #[error(transparent)]
    Lending(#[from] LendingError),
    /// The table could not be written out.
    #[error("the table could not be written: {0}")]
    Output(#[from] std::io::Error),
}

impl From<shelf::NotWritten> for ExchangeError {
    fn from(error: shelf::NotWritten) -> Self {
        match error {
            shelf::NotWritten::Shelf(error) => error.into(),
            shelf::NotWritten::People(error) => error.into(),
            shelf::NotWritten::Output(error) => error.into(),
        }
    }
}

impl From<sqlx::Error> for ExchangeError {
    fn from(error: sqlx::Error) -> Self {
        Self::Store(error.into())
    }
}

/// Takes a file in from the command line, in a transaction of its own: all of it or nothing. The
/// audit log says so.
///
/// # Errors
/// [`NotTaken::Refused`] names every bad cell; [`NotTaken::Failed`] says that the database could
/// not take it. Nothing was stored in either case.
pub async fn import(
    store: &Store,
    table: Table,
    bytes: &[u8],
    now: Timestamp,
    mode: Mode,
) -> Result<Taken, NotTaken<ExchangeError>> {
    let failed = |error: StoreError| NotTaken::Failed(error.into());
    let mut tx = store.write().await.map_err(failed)?;
    let taken = import_into(&mut tx, table, bytes, now).await?;
    match mode {
        Mode::Keep => {
            let detail = format!("{}: {taken}", table.as_str());
            let who = Actor::command_at(now);
            note(&mut tx, &who, "table imported", Subject::NONE, &detail).await.map_err(failed)?;
            tx.commit().await.map_err(failed)?;
        }
        // Undone, so that a rehearsal meets every obstacle that the real thing would.
        Mode::DryRun => drop(tx),
    }
    Ok(taken)
}

/// Takes a file in as part of a transaction. Where it is refused, the transaction is as it was
/// before.
///
/// # Errors
/// As [`import`].
pub async fn import_into(
    tx: &mut WriteTx,
    table: Table,
    bytes: &[u8],
    now: Timestamp,
) -> Result<Taken, NotTaken<ExchangeError>> {
    let failed = |error: sqlx::Error| NotTaken::Failed(error.into());
    sqlx::query("SAVEPOINT import").execute(&mut **tx).await.map_err(failed)?;
    let hand = Hand::of_nobody(now.as_second());
    let taken = match table {
        Table::Telescopes => take_items_in::<TelescopeFigures>(tx, hand, bytes).await,
        Table::Eyepieces => take_items_in::<Eyepiece>(tx, hand, bytes).await,
        Table::Barlows => take_items_in::<Barlow>(tx, hand, bytes).await,
        Table::Filters => take_items_in::<FilterFigures>(tx, hand, bytes).await,
        Table::Accessories => take_items_in::<AccessoryFigures>(tx, hand, bytes).await,
        Table::Papers => match shelf::read_papers(bytes) {
            Ok(rows) => counted(shelf::take_papers_in(tx, hand, &rows).await),
            Err(refused) => Err(refused.into()),
        },
        Table::Upkeep => match shelf::read_upkeep(bytes) {
            Ok(rows) => counted(shelf::take_upkeep_in(tx, &rows).await),
            Err(refused) => Err(refused.into()),
        },
        Table::Inspections => match shelf::read_inspections(bytes, now) {
            Ok(rows) => counted(shelf::take_inspections_in(tx, &rows).await),
            Err(refused) => Err(refused.into()),
        },
        Table::Members => take_members_in(tx, bytes).await,
        Table::Reservations => take_reservations_in(tx, bytes, now).await,
    };
    if taken.is_err() {
        sqlx::query("ROLLBACK TO import").execute(&mut **tx).await.map_err(failed)?;
    }
    sqlx::query("RELEASE import").execute(&mut **tx).await.map_err(failed)?;
    taken
}

fn widen<E: Into<ExchangeError>>(error: NotTaken<E>) -> NotTaken<ExchangeError> {
    match error {
        NotTaken::Refused(refused) => NotTaken::Refused(refused),
        NotTaken::Failed(error) => NotTaken::Failed(error.into()),
    }
}

fn counted(
    done: Result<shelf::Preview, NotTaken<ShelfError>>,
) -> Result<Taken, NotTaken<ExchangeError>> {
    done.map(|preview| preview.taken()).map_err(widen)
}

async fn take_items_in<T: Tabular>(
    tx: &mut WriteTx,
    hand: Hand,
    bytes: &[u8],
) -> Result<Taken, NotTaken<ExchangeError>> {
    let rows = shelf::read_table::<T>(bytes)?;
    shelf::take_in(tx, hand, &rows).await.map_err(widen)
}

async fn take_members_in(tx: &mut WriteTx, bytes: &[u8]) -> Result<Taken, NotTaken<ExchangeError>> {
    let rows = people::read_members(bytes)?;
    people::take_members_in(tx, &rows).await.map_err(widen)
}

async fn take_reservations_in(
    tx: &mut WriteTx,
    bytes: &[u8],
    now: Timestamp,
) -> Result<Taken, NotTaken<ExchangeError>> {
    let rows = lending::read_reservations(bytes)?;
    lending::take_reservations_in(tx, &rows, now).await.map_err(widen)
}

/// Writes a table out as it stands at one moment.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn export(store: &Store, table: Table, eyes: Eyes) -> Result<Vec<u8>, ExchangeError> {
    let mut tx = store.reader().begin().await?;
    let conn: &mut SqliteConnection = &mut tx;
    let mut out = Vec::new();
    match table {
        Table::Telescopes => shelf::write_table(&mut out, &shelf::telescopes(conn).await?)?,
        Table::Eyepieces => shelf::write_table(&mut out, &shelf::eyepieces(conn).await?)?,
        Table::Barlows => shelf::write_table(&mut out, &shelf::barlows(conn).await?)?,
        Table::Filters => shelf::write_table(&mut out, &shelf::filters(conn).await?)?,
        Table::Accessories => shelf::write_table(&mut out, &shelf::accessories(conn).await?)?,
        Table::Papers => shelf::write_papers(conn, &mut out).await?,
        Table::Upkeep => shelf::write_upkeep(conn, &mut out).await?,
        Table::Inspections => shelf::write_inspections(conn, &mut out).await?,
        Table::Members => write_members(conn, eyes, &mut out).await?,
        Table::Reservations => lending::write_reservations(conn, &mut out).await?,
    }
    Ok(out)
}

async fn write_members(
    conn: &mut SqliteConnection,
    eyes: Eyes,
    out: &mut Vec<u8>,
) -> Result<(), ExchangeError> {
    let mut members = people::members(conn).await?;
    members.sort_by(|one, two| one.facts.number.cmp(&two.facts.number));
    match eyes {
        Eyes::LeaveOut => people::write_members(out, &members, None)?,
        Eyes::Include => {
            let mut records = Vec::with_capacity(members.len());
            for member in &members {
                records.push(people::member_eye(conn, member.id).await?);
            }
            people::write_members(out, &members, Some(&records))?;
        }
    }
    Ok(())
}
