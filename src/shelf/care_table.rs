//! Upkeep and inspections as tables. Each row begins with a piece's tag; the piece must be on the
//! shelf already. Photos that came with an inspection travel in no table.

use std::collections::hash_map::Entry;
use std::collections::{BTreeMap, HashMap, HashSet};
use std::io::Write;

use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{Timestamp, ToSpan as _};
use sqlx::SqliteConnection;

use super::care::{
    LONGEST_FINDING, Round, Upkeep, add_upkeep, drop_upkeep, inspections, note_inspection,
    say_who_noted, upkeep,
};
use super::history::Hand;
use super::item::{AssetTag, ItemId, ItemState};
use super::paper_table::{NotWritten, by_tag, is_member, members_by_number, pieces, short};
use super::preview::{Preview, Would};
use super::store::{ItemName, ShelfError, all_names};
use crate::people::{self, MemberId, MemberNumber, names};
use crate::sheet::{Cell, Columns, Faults, Lined, NotTaken, Refused, Sheet, SheetWriter};
use crate::store::WriteTx;

/// The columns of the table of what has to be done again and again.
pub const UPKEEP_COLUMNS: &[&str] =
    &["asset_tag", "what", "every_months", "every_loans", "last_done"];

/// The columns of the table of inspections. Older tables lack the last one, and may.
pub const INSPECTION_COLUMNS: &[&str] =
    &["asset_tag", "day", "finding", "state", "noted_at", NOTED_BY];

/// Where the day begins first, it is so many hours ahead of UTC (IANA time zone database,
/// Pacific/Kiritimati).
const EARLIEST_ZONE_HOURS: i64 = 14;

const TO_COME: &str = "That is still to come: write when it was noted.";

const NOTED_BY: &str = "noted_by_member_number";

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
    noted_by: Option<MemberNumber>,
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

/// Reads the table of inspections at the moment `now`. What is still to come was not seen: a moment
/// after it, and a day that has begun nowhere on Earth.
///
/// # Errors
/// [`Refused`] with every bad cell of the file.
pub fn read_inspections(
    bytes: &[u8],
    now: Timestamp,
) -> Result<Vec<Lined<InspectionRow>>, Refused> {
    let latest = now.saturating_add(EARLIEST_ZONE_HOURS.hours()).unwrap_or(now);
    let latest = latest.to_zoned_datetime(TimeZone::UTC).date();
    let states: Vec<&str> = ItemState::ALL.iter().map(|state| state.as_str()).collect();
    let columns = Columns {
        needed: &["asset_tag", "day", "finding", "state", "noted_at"],
        together: &[NOTED_BY],
    };
    Sheet::take_apart(bytes, columns)?.rows(|cells| {
        let tag = cells.needed("asset_tag", AssetTag::new);
        let day = cells.needed("day", |_| Ok::<(), String>(())).and_then(|()| cells.date("day"));
        if day.is_some_and(|day| day > latest) {
            cells.fault(Some("day"), TO_COME);
        }
        let finding = cells.needed("finding", short(LONGEST_FINDING));
        let state = cells.needed_word("state", &states, ItemState::parse);
        let noted_at = cells.needed("noted_at", |text| {
            let at = text.parse::<Timestamp>().ok().filter(|at| at.as_second() >= 0);
            let at = at.ok_or("Write the moment like 2026-06-05T12:00:00Z.")?;
            if at > now { Err(TO_COME) } else { Ok(at) }
        });
        let noted_by = cells.optional(NOTED_BY, MemberNumber::new);
        let (tag, day, finding) = (tag?, day?, finding?);
        Some(InspectionRow { tag, day, finding, state: state?, noted_at: noted_at?, noted_by })
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
) -> Result<Preview, NotTaken<ShelfError>> {
    let mut faults = Faults::default();
    let there = pieces(tx, rows, |row| &row.tag, &mut faults).await?;
    faults.into_result()?;
    let mut wanted: BTreeMap<ItemId, (&ItemName, Vec<&Lined<DutyRow>>)> = BTreeMap::new();
    for row in rows {
        if let Some(item) = there.get(&row.value.tag) {
            wanted.entry(item.id).or_insert((item, Vec::new())).1.push(row);
        }
    }
    let mut preview = Preview::default();
    for (item, wanted) in wanted.into_values() {
        put_list(tx, item, &wanted, &mut preview).await.map_err(NotTaken::Failed)?;
    }
    Ok(preview)
}

/// Makes a piece's list what the table says, unless it is that already.
async fn put_list(
    tx: &mut WriteTx,
    item: &ItemName,
    wanted: &[&Lined<DutyRow>],
    preview: &mut Preview,
) -> Result<(), ShelfError> {
    let before = upkeep(tx, Some(item.id), &TimeZone::UTC).await?;
    let mut left: Vec<&Upkeep> = before.iter().collect();
    let what = |what: &str| format!("{} {}: {what}", item.tag, item.name);
    let day = |done: Date| done.strftime("%-d %B %Y").to_string();
    let mut same = true;
    for Lined { line, value: new } in wanted {
        let is_new = |old: &&Upkeep| (old.round, old.last_done) == (new.round, new.last_done);
        let like: Vec<usize> = (0..left.len()).filter(|at| left[*at].what == new.what).collect();
        let exact = like.iter().find(|at| is_new(&left[**at]));
        let old = exact.or(like.first()).map(|at| left.remove(*at));
        if old.is_some_and(|old| is_new(&old)) {
            preview.unchanged += 1;
            continue;
        }
        same = false;
        let would = |changes| Would { line: *line, what: what(&new.what), changes };
        match old {
            None => {
                let now = format!("{}, last done on {}", new.round.told(), day(new.last_done));
                preview.added.push(would(vec![now]));
            }
            Some(old) => {
                let mut changes = Vec::new();
                if old.round != new.round {
                    changes.push(format!("{} becomes {}", old.round.told(), new.round.told()));
                }
                if old.last_done != new.last_done {
                    let (was, now) = (day(old.last_done), day(new.last_done));
                    changes.push(format!("last done on {was} becomes {now}"));
                }
                preview.changed.push(would(changes));
            }
        }
    }
    preview.dropped.extend(left.iter().map(|old| what(&old.what)));
    if same && left.is_empty() {
        return Ok(());
    }
    for old in &before {
        drop_upkeep(tx, item.id, old.id).await?;
    }
    for Lined { value: new, .. } in wanted {
        add_upkeep(tx, item.id, &new.what, new.round, new.last_done).await?;
    }
    Ok(())
}

/// Takes inspections in: those that are not written down yet are added, none is ever changed.
///
/// # Errors
/// [`NotTaken::Refused`] where a row names a piece that is not there; [`NotTaken::Failed`] when the
/// database refused.
pub async fn take_inspections_in(
    tx: &mut WriteTx,
    rows: &[Lined<InspectionRow>],
) -> Result<Preview, NotTaken<ShelfError>> {
    let mut faults = Faults::default();
    let there = pieces(tx, rows, |row| &row.tag, &mut faults).await?;
    let members = members_by_number(tx).await?;
    for Lined { line, value: row } in rows {
        is_member(&members, *line, NOTED_BY, row.noted_by.as_ref(), &mut faults);
    }
    faults.into_result()?;
    let mut preview = Preview::default();
    let mut known: HashMap<ItemId, HashSet<Seen>> = HashMap::new();
    for Lined { line, value: row } in rows {
        let Some(item) = there.get(&row.tag) else { continue };
        let seen = match known.entry(item.id) {
            Entry::Occupied(seen) => seen.into_mut(),
            Entry::Vacant(place) => {
                place.insert(all_seen(tx, item.id).await.map_err(NotTaken::Failed)?)
            }
        };
        if !seen.insert((
            row.day,
            row.finding.clone(),
            row.state.as_str(),
            row.noted_at.as_second(),
        )) {
            preview.unchanged += 1;
            continue;
        }
        let member = row.noted_by.as_ref().and_then(|number| members.get(number)).copied();
        put_inspection(tx, item.id, row, member).await.map_err(NotTaken::Failed)?;
        let day = row.day.strftime("%-d %B %Y");
        preview.added.push(Would {
            line: *line,
            what: format!("{} {}, {day}: “{}”", item.tag, item.name, row.finding),
            changes: Vec::new(),
        });
    }
    Ok(preview)
}

/// What tells inspections of a piece apart: day, finding, state and moment.
type Seen = (Date, String, &'static str, i64);

/// Everything that was seen of a piece.
async fn all_seen(tx: &mut WriteTx, item: ItemId) -> Result<HashSet<Seen>, ShelfError> {
    let all = inspections(tx, item).await?.into_iter();
    Ok(all.map(|one| (one.day, one.finding, one.state.as_str(), one.noted_at)).collect())
}

/// Writes an inspection down.
async fn put_inspection(
    tx: &mut WriteTx,
    item: ItemId,
    row: &InspectionRow,
    member: Option<MemberId>,
) -> Result<(), ShelfError> {
    let at = row.noted_at.as_second();
    let seen = (row.day, row.finding.as_str(), row.state);
    let id = note_inspection(tx, Hand::of_nobody(at), item, seen).await?;
    if let Some(member) = member {
        say_who_noted(tx, id, member).await?;
    }
    Ok(())
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
    let mut all = Vec::new();
    for item in by_tag(all_names(conn).await?) {
        let mut seen = inspections(conn, item.id).await?;
        seen.sort_by(|one, two| {
            (one.day, one.noted_at, &one.finding).cmp(&(two.day, two.noted_at, &two.finding))
        });
        all.extend(seen.into_iter().map(|one| (item.tag.clone(), one)));
    }
    let accounts = all.iter().filter_map(|(_, one)| one.noted_by);
    let accounts = names::members_of_accounts(conn, accounts).await.map_err(ShelfError::from)?;
    let members = people::members(conn).await?;
    let numbers: HashMap<MemberId, &str> =
        members.iter().map(|one| (one.id, one.facts.number.as_str())).collect();
    let mut sheet = SheetWriter::new(out, INSPECTION_COLUMNS.iter().copied())?;
    for (tag, one) in &all {
        let at = Timestamp::from_second(one.noted_at).unwrap_or_default().to_string();
        let by = one.noted_by.and_then(|account| accounts.get(&account).copied());
        let by = by.or(one.noted_by_member);
        sheet.row([
            Cell::Text(tag.as_str()),
            Cell::date(Some(one.day)),
            Cell::Text(&one.finding),
            Cell::Text(one.state.as_str()),
            Cell::Text(&at),
            by.and_then(|member| numbers.get(&member).copied()).into(),
        ])?;
    }
    Ok(sheet.finish()?)
}
