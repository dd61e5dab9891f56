//! Upkeep and inspections as tables. Each row begins with a piece's tag; the piece must be on the
//! shelf already.

use std::collections::BTreeMap;
use std::io::Write;

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;
use sqlx::SqliteConnection;

use super::care::{
    LONGEST_FINDING, Round, add_upkeep, drop_upkeep, inspections, note_inspection, upkeep,
};
use super::history::Hand;
use super::item::{AssetTag, ItemId, ItemState};
use super::paper_table::{NotWritten, by_tag, count, pieces, short};
use super::store::{ShelfError, all_names};
use crate::sheet::{Cell, Columns, Faults, Lined, NotTaken, Refused, Sheet, SheetWriter, Taken};
use crate::store::WriteTx;

/// The columns of the table of what has to be done again and again.
pub const UPKEEP_COLUMNS: &[&str] =
    &["asset_tag", "what", "every_months", "every_loans", "last_done"];

/// The columns of the table of inspections.
pub const INSPECTION_COLUMNS: &[&str] = &["asset_tag", "day", "finding", "state", "noted_at"];

/// A row of the table of upkeep.
#[derive(Debug, Clone, PartialEq)]
pub struct DutyRow {
    tag: AssetTag,
    what: String,
    round: Round,
    last_done: Date,
}

/// A row of the table of inspections.
#[derive(Debug, Clone, PartialEq)]
pub struct InspectionRow {
    tag: AssetTag,
    day: Date,
    finding: String,
    state: ItemState,
    noted_at: Timestamp,
}

/// Reads the table of upkeep.
///
/// # Errors
/// [`Refused`] with every bad cell of the file.
pub fn read_upkeep(bytes: &[u8]) -> Result<Vec<Lined<DutyRow>>, Refused> {
    Sheet::take_apart(bytes, Columns::all(UPKEEP_COLUMNS))?.rows(|cells| {
        let tag = cells.needed("asset_tag", AssetTag::new);
        let what = cells.needed("what", short(120));
        let months = cells.whole("every_months", Ok::<i64, String>);
        let loans = cells.whole("every_loans", Ok::<i64, String>);
        let last_done = cells.needed("last_done", |_| Ok::<(), String>(()));
        let last_done = last_done.and_then(|()| cells.date("last_done"));
        let round =
            Round::new(months, loans).map_err(|says| cells.fault(Some("every_months"), says)).ok();
        Some(DutyRow { tag: tag?, what: what?, round: round?, last_done: last_done? })
    })
}

/// Reads the table of inspections.
///
/// # Errors
/// [`Refused`] with every bad cell of the file.
pub fn read_inspections(bytes: &[u8]) -> Result<Vec<Lined<InspectionRow>>, Refused> {
    let states: Vec<&str> = ItemState::ALL.iter().map(|state| state.as_str()).collect();
    Sheet::take_apart(bytes, Columns::all(INSPECTION_COLUMNS))?.rows(|cells| {
        let tag = cells.needed("asset_tag", AssetTag::new);
        let day = cells.needed("day", |_| Ok::<(), String>(())).and_then(|()| cells.date("day"));
        let finding = cells.needed("finding", short(LONGEST_FINDING));
        let state = cells.needed_word("state", &states, ItemState::parse);
        let noted_at = cells.needed("noted_at", |text| {
            text.parse::<Timestamp>()
                .ok()
                .filter(|at| at.as_second() >= 0)
                .ok_or("Write the moment like 2026-06-05T12:00:00Z.")
        });
        let (tag, day, finding) = (tag?, day?, finding?);
        Some(InspectionRow { tag, day, finding, state: state?, noted_at: noted_at? })
    })
}

/// Takes upkeep in: the list of a piece that the table names becomes what the table says.
///
/// # Errors
/// [`NotTaken::Refused`] where a row names a piece that is not there; [`NotTaken::Failed`] when the
/// database refused.
pub async fn take_upkeep_in(
    tx: &mut WriteTx,
    rows: &[Lined<DutyRow>],
) -> Result<Taken, NotTaken<ShelfError>> {
    let mut faults = Faults::default();
    let there = pieces(tx, rows, |row| &row.tag, &mut faults).await?;
    faults.into_result()?;
    let mut wanted: BTreeMap<ItemId, Vec<&DutyRow>> = BTreeMap::new();
    for Lined { value: row, .. } in rows {
        if let Some(item) = there.get(&row.tag) {
            wanted.entry(item.id).or_default().push(row);
        }
    }
    let mut taken = Taken::default();
    for (item, wanted) in wanted {
        let put = async {
            let before = upkeep(tx, Some(item), &TimeZone::UTC).await?;
            let same = before.len() == wanted.len()
                && before.iter().zip(&wanted).all(|(old, new)| {
                    (&old.what, old.round, old.last_done) == (&new.what, new.round, new.last_done)
                });
            if same {
                return Ok((before.len(), true));
            }
            for old in &before {
                drop_upkeep(tx, item, old.id).await?;
            }
            for new in &wanted {
                add_upkeep(tx, item, &new.what, new.round, new.last_done).await?;
            }
            Ok((before.len(), false))
        };
        let (before, same) = put.await.map_err(NotTaken::Failed)?;
        if same {
            taken.unchanged += wanted.len();
        } else {
            taken.changed += wanted.len().min(before);
            taken.added += wanted.len().saturating_sub(before);
        }
    }
    Ok(taken)
}

/// Takes inspections in: those that are not written down yet are added, none is ever changed.
///
/// # Errors
/// [`NotTaken::Refused`] where a row names a piece that is not there; [`NotTaken::Failed`] when the
/// database refused.
pub async fn take_inspections_in(
    tx: &mut WriteTx,
    rows: &[Lined<InspectionRow>],
) -> Result<Taken, NotTaken<ShelfError>> {
    let mut faults = Faults::default();
    let there = pieces(tx, rows, |row| &row.tag, &mut faults).await?;
    faults.into_result()?;
    let mut taken = Taken::default();
    for Lined { value: row, .. } in rows {
        let Some(item) = there.get(&row.tag) else { continue };
        let put = async {
            let at = row.noted_at.as_second();
            let known = inspections(tx, item.id, i64::MAX).await?.into_iter().any(|one| {
                (one.day, &one.finding, one.state, one.noted_at)
                    == (row.day, &row.finding, row.state, at)
            });
            if !known {
                let seen = (row.day, row.finding.as_str(), row.state);
                note_inspection(tx, Hand::of_nobody(at), item.id, seen).await?;
            }
            Ok(!known)
        };
        let new = put.await.map_err(NotTaken::Failed)?;
        count(&mut taken, false, new);
    }
    Ok(taken)
}

/// Writes the table of upkeep.
///
/// # Errors
/// [`NotWritten`].
pub async fn write_upkeep(conn: &mut SqliteConnection, out: impl Write) -> Result<(), NotWritten> {
    let mut sheet = SheetWriter::new(out, UPKEEP_COLUMNS.iter().copied())?;
    for item in by_tag(all_names(conn).await?) {
        for one in upkeep(conn, Some(item.id), &TimeZone::UTC).await? {
            sheet.row([
                Cell::Text(item.tag.as_str()),
                Cell::Text(&one.what),
                Cell::from(one.round.months()),
                Cell::from(one.round.loans()),
                Cell::date(Some(one.last_done)),
            ])?;
        }
    }
    Ok(sheet.finish()?)
}

/// Writes the table of inspections, the oldest first.
///
/// # Errors
/// [`NotWritten`].
pub async fn write_inspections(
    conn: &mut SqliteConnection,
    out: impl Write,
) -> Result<(), NotWritten> {
    let mut sheet = SheetWriter::new(out, INSPECTION_COLUMNS.iter().copied())?;
    for item in by_tag(all_names(conn).await?) {
        let mut seen = inspections(conn, item.id, i64::MAX).await?;
        seen.sort_by(|one, two| {
            (one.day, one.noted_at, &one.finding).cmp(&(two.day, two.noted_at, &two.finding))
        });
        for one in seen {
            let at = Timestamp::from_second(one.noted_at).unwrap_or_default().to_string();
            sheet.row([
                Cell::Text(item.tag.as_str()),
                Cell::date(Some(one.day)),
                Cell::Text(&one.finding),
                Cell::Text(one.state.as_str()),
                Cell::Text(&at),
            ])?;
        }
    }
    Ok(sheet.finish()?)
}
