//! Reservations as a table that people edit by hand.

use std::collections::{HashMap, HashSet};
use std::io::Write;

use jiff::Timestamp;
use sqlx::SqliteConnection;

use super::booking::reserve;
use super::model::{LendingError, NotReserved, Origin, Wish};
use super::night::{Nights, NotNights};
use super::store::reservations;
use super::story::Doer;
use crate::people::{self, MemberId, MemberNumber};
use crate::sheet::{
    Cell, Cells, Columns, Faults, Lined, NotTaken, Refused, Sheet, SheetWriter, Taken,
};
use crate::shelf::{self, AssetTag, ItemId};
use crate::store::WriteTx;

/// The columns of the reservations' table; the tags are separated by spaces.
pub const RESERVATION_COLUMNS: &[&str] =
    &["member_number", "first_night", "last_night", "asset_tags"];

/// One row of the reservations' table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReservationRow {
    /// For whom.
    pub member: MemberNumber,
    /// When.
    pub nights: Nights,
    /// What.
    pub tags: Vec<AssetTag>,
}

/// Reads the reservations' table.
///
/// # Errors
/// [`Refused`] with every bad cell of the file.
pub fn read_reservations(bytes: &[u8]) -> Result<Vec<Lined<ReservationRow>>, Refused> {
    Sheet::take_apart(bytes, Columns::all(RESERVATION_COLUMNS))?.rows(|cells| {
        let member = cells.needed("member_number", MemberNumber::new);
        let nights = read_nights(cells);
        let tags = cells.needed("asset_tags", |text| {
            let tags = text.split_ascii_whitespace().map(AssetTag::new).collect::<Result<_, _>>();
            tags.map_err(|error| format!("{error} Separate the tags by spaces."))
        });
        Some(ReservationRow { member: member?, nights: nights?, tags: tags? })
    })
}

fn read_nights(cells: &mut Cells<'_>) -> Option<Nights> {
    let first = cells.needed("first_night", str::parse);
    let last = cells.needed("last_night", str::parse);
    Nights::new(first?, last?)
        .map_err(|says| {
            let column = match says {
                NotNights::First(_) => "first_night",
                NotNights::Last(_) | NotNights::Backwards { .. } | NotNights::TooLong(_) => {
                    "last_night"
                }
            };
            cells.fault(Some(column), says);
        })
        .ok()
}

/// Takes rows of the reservations' table in. One that is there already, for the same member,
/// nights and items, stays as it is; the others are added as they were recorded.
///
/// # Errors
/// [`NotTaken::Refused`] when a row names what is not there or clashes with another promise, and
/// [`NotTaken::Failed`] when the database refused. In both cases drop the transaction.
pub async fn take_reservations_in(
    tx: &mut WriteTx,
    rows: &[Lined<ReservationRow>],
    now: Timestamp,
) -> Result<Taken, NotTaken<LendingError>> {
    let failed = NotTaken::Failed;
    let book = Book::open(tx).await.map_err(failed)?;
    let mut faults = Faults::default();
    let mut taken = Taken::default();
    for Lined { line, value: row } in rows {
        let Some((member, items)) = book.find(*line, row, &mut faults) else { continue };
        if book.known.contains(&(member, row.nights, items.clone())) {
            taken.unchanged += 1;
            continue;
        }
        let nights = row.nights;
        let wish = Wish {
            member,
            items,
            nights,
            origin: Origin::Recorded,
            asked_at: now,
            tonight: nights.first(),
            daylight: false,
            site: None,
            doer: Doer::RECORD,
        };
        match reserve(tx, &wish).await {
            Ok(_) => taken.added += 1,
            Err(NotReserved::Failed(error)) => return Err(failed(error)),
            Err(refused) => faults.add(Some(*line), Some("asset_tags"), refused.to_string()),
        }
    }
    faults.into_result()?;
    Ok(taken)
}

/// What the rows of a table may speak of.
struct Book {
    members: HashMap<MemberNumber, MemberId>,
    items: HashMap<AssetTag, ItemId>,
    known: HashSet<(MemberId, Nights, Vec<ItemId>)>,
}

impl Book {
    async fn open(conn: &mut SqliteConnection) -> Result<Self, LendingError> {
        let members = people::members(conn).await?;
        let names = shelf::all_names(conn).await?;
        let known = reservations(conn).await?;
        Ok(Self {
            members: members.into_iter().map(|m| (m.facts.number, m.id)).collect(),
            items: names.into_iter().map(|name| (name.tag, name.id)).collect(),
            known: known
                .into_iter()
                .filter(|one| one.state.keeps_nights())
                .map(|one| (one.member, one.nights, one.items))
                .collect(),
        })
    }

    /// The member and the items, by number, of one row.
    fn find(
        &self,
        line: u64,
        row: &ReservationRow,
        faults: &mut Faults,
    ) -> Option<(MemberId, Vec<ItemId>)> {
        let member = self.members.get(&row.member);
        if member.is_none() {
            let says = format!("There is no member with the number {}.", row.member);
            faults.add(Some(line), Some("member_number"), says);
        }
        let mut items = Vec::with_capacity(row.tags.len());
        for tag in &row.tags {
            if let Some(id) = self.items.get(tag) {
                items.push(*id);
            } else {
                let says = format!("There is no item with the tag {tag}.");
                faults.add(Some(line), Some("asset_tags"), says);
            }
        }
        let all_there = items.len() == row.tags.len();
        items.sort_unstable();
        items.dedup();
        member.filter(|_| all_there).map(|member| (*member, items))
    }
}

/// Writes the reservations' table: what is promised, not what was cancelled.
///
/// # Errors
/// The database could not answer, a row makes no sense, or the output refused.
pub async fn write_reservations(
    conn: &mut SqliteConnection,
    output: &mut (impl Write + Send),
) -> Result<(), LendingError> {
    let members: HashMap<MemberId, MemberNumber> =
        people::members(conn).await?.into_iter().map(|m| (m.id, m.facts.number)).collect();
    let tags: HashMap<ItemId, AssetTag> =
        shelf::all_names(conn).await?.into_iter().map(|name| (name.id, name.tag)).collect();
    let mut sheet = SheetWriter::new(output, RESERVATION_COLUMNS.iter().copied())?;
    for one in reservations(conn).await? {
        if !one.state.keeps_nights() {
            continue;
        }
        let unreadable = |why| LendingError::unreadable(format!("Reservation {}", one.id), why);
        let member =
            members.get(&one.member).ok_or_else(|| unreadable("its member is not there."))?;
        let tags: Option<Vec<&str>> =
            one.items.iter().map(|id| tags.get(id).map(AssetTag::as_str)).collect();
        let tags = tags.ok_or_else(|| unreadable("one of its items is not there."))?.join(" ");
        sheet.row([
            Cell::Text(member.as_str()),
            Cell::Date(one.nights.first().evening()),
            Cell::Date(one.nights.last().evening()),
            Cell::Text(&tags),
        ])?;
    }
    Ok(sheet.finish()?)
}
