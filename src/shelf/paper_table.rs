//! Papers and sets as a table. Each row begins with a piece's tag; the piece must be on the shelf
//! already.

use std::collections::HashMap;
use std::io::Write;

use sqlx::SqliteConnection;

use super::asked::{label, shown};
use super::history::{Change, Hand, changes};
use super::item::{AssetTag, ItemId, Kind};
use super::papers::{MOST_PARTS, Papers, Worth, put_papers, set_text, these_papers};
use super::preview::{Preview, Would};
use super::store::{ItemName, ShelfError, all_names, version_of};
use crate::people::{self, MemberId, MemberNumber, PeopleError};
use crate::sheet::{Cell, Cells, Columns, Faults, Lined, NotTaken, Refused, Sheet, SheetWriter};
use crate::store::WriteTx;

/// The columns of the table of papers. Parts of a set stand on lines of their own in one cell.
pub const PAPER_COLUMNS: &[&str] = &[
    "asset_tag",
    "owner_member_number",
    "donor",
    "serial",
    "bought_on",
    "value",
    "place",
    "custodian_member_number",
    "set",
];

/// A row of the table of papers.
#[derive(Debug, Clone, PartialEq)]
pub struct PaperRow {
    tag: AssetTag,
    owner: Option<MemberNumber>,
    custodian: Option<MemberNumber>,
    /// Without owner and custodian, which stand above by their numbers.
    papers: Papers,
    set: Vec<String>,
}

pub(super) fn short(most: usize) -> impl Fn(&str) -> Result<String, String> {
    move |text| match text.chars().count() {
        count if count <= most => Ok(text.to_owned()),
        _ => Err(format!("That is longer than {most} characters: shorten it.")),
    }
}

/// Reads the table of papers.
///
/// # Errors
/// [`Refused`] with every bad cell of the file.
pub fn read_papers(bytes: &[u8]) -> Result<Vec<Lined<PaperRow>>, Refused> {
    Sheet::take_apart(bytes, Columns::all(PAPER_COLUMNS))?.rows(|cells| {
        let tag = cells.needed("asset_tag", AssetTag::new);
        let owner = cells.optional("owner_member_number", MemberNumber::new);
        let custodian = cells.optional("custodian_member_number", MemberNumber::new);
        let papers = Papers {
            owner: None,
            donor: cells.optional("donor", short(120)).unwrap_or_default(),
            serial: cells.optional("serial", short(60)).unwrap_or_default(),
            bought_on: cells.date("bought_on"),
            value: cells.optional("value", Worth::parse),
            place: cells.optional("place", short(120)).unwrap_or_default(),
            custodian: None,
        };
        let set = read_set(cells);
        Some(PaperRow { tag: tag?, owner, custodian, papers, set })
    })
}

fn read_set(cells: &mut Cells<'_>) -> Vec<String> {
    let lines = cells.text("set").lines().map(str::trim).filter(|line| !line.is_empty());
    let set: Vec<String> = lines.map(str::to_owned).collect();
    if set.len() > MOST_PARTS {
        cells.fault(Some("set"), "A set has at most 40 parts: put some of them on one line.");
    } else if set.iter().any(|what| what.chars().count() > 120) {
        cells.fault(Some("set"), "One of the lines is longer than 120 characters: shorten it.");
    }
    set
}

/// The pieces on the shelf by their tags, or a fault for each row that names none.
pub(super) async fn pieces<T>(
    conn: &mut SqliteConnection,
    rows: &[Lined<T>],
    tag_of: impl Fn(&T) -> &AssetTag,
    faults: &mut Faults,
) -> Result<HashMap<AssetTag, ItemName>, NotTaken<ShelfError>> {
    let names = all_names(conn).await.map_err(NotTaken::Failed)?;
    let there: HashMap<AssetTag, ItemName> =
        names.into_iter().map(|item| (item.tag.clone(), item)).collect();
    for Lined { line, value } in rows {
        let tag = tag_of(value);
        if !there.contains_key(tag) {
            let says = format!("Nothing on the shelf bears the tag {tag}.");
            faults.add(Some(*line), Some("asset_tag"), says);
        }
    }
    Ok(there)
}

/// Takes papers and sets in: what a row says of a piece takes the place of what was written.
///
/// # Errors
/// [`NotTaken::Refused`] where a row names a piece or a member that is not there, a piece twice, or
/// a set for something else than a telescope; [`NotTaken::Failed`] when the database refused.
pub async fn take_papers_in(
    tx: &mut WriteTx,
    hand: Hand,
    rows: &[Lined<PaperRow>],
) -> Result<Preview, NotTaken<ShelfError>> {
    let mut faults = Faults::default();
    let there = pieces(tx, rows, |row| &row.tag, &mut faults).await?;
    let members = members_by_number(tx).await?;
    let mut lines: HashMap<&AssetTag, u64> = HashMap::new();
    for Lined { line, value: row } in rows {
        if let Some(first) = lines.insert(&row.tag, *line) {
            let says = format!("{} is on line {first} already: write it once.", row.tag);
            faults.add(Some(*line), Some("asset_tag"), says);
        }
        let named =
            [("owner_member_number", &row.owner), ("custodian_member_number", &row.custodian)];
        for (column, number) in named {
            is_member(&members, *line, column, number.as_ref(), &mut faults);
        }
        let telescope = there.get(&row.tag).is_none_or(|item| item.kind == Kind::Telescope);
        if !row.set.is_empty() && !telescope {
            faults.add(Some(*line), Some("set"), "Only a telescope has a set: leave it empty.");
        }
    }
    faults.into_result()?;
    let mut preview = Preview::default();
    for Lined { line, value: row } in rows {
        let Some(item) = there.get(&row.tag) else { continue };
        let member = |one: &Option<MemberNumber>| members.get(one.as_ref()?).copied();
        let papers = Papers {
            owner: member(&row.owner),
            custodian: member(&row.custodian),
            ..row.papers.clone()
        };
        let put = async {
            let before = !these_papers(tx, &[item.id]).await?.is_empty();
            let version = version_of(tx, item.id).await?;
            let place = (item.id, item.kind, version);
            let changed = put_papers(tx, hand, place, &papers, &row.set).await?;
            if !changed {
                return Ok((before, Vec::new()));
            }
            Ok((before, changes(tx, item.id, version, i64::MAX).await?))
        };
        let (before, told) = put.await.map_err(NotTaken::Failed)?;
        let changes = told.iter().map(|change| in_words(change, item.kind, &members)).collect();
        let would = Would { line: *line, what: format!("{} {}", item.tag, item.name), changes };
        match (before, told.is_empty()) {
            (_, true) => preview.unchanged += 1,
            (true, false) => preview.changed.push(would),
            (false, false) => preview.added.push(would),
        }
    }
    Ok(preview)
}

/// Members by the numbers that tables name them by.
pub(super) type Members = HashMap<MemberNumber, MemberId>;

pub(super) async fn members_by_number(
    conn: &mut SqliteConnection,
) -> Result<Members, NotTaken<ShelfError>> {
    let members = people::members(conn).await.map_err(|why| NotTaken::Failed(of_people(why)))?;
    Ok(members.into_iter().map(|one| (one.facts.number, one.id)).collect())
}

/// Adds a fault where a cell names a member who is not there.
pub(super) fn is_member(
    members: &Members,
    line: u64,
    column: &'static str,
    number: Option<&MemberNumber>,
    faults: &mut Faults,
) {
    if let Some(number) = number.filter(|one| !members.contains_key(one)) {
        faults.add(Some(line), Some(column), format!("There is no member {number}."));
    }
}

fn in_words(change: &Change, kind: Kind, members: &Members) -> String {
    let said = |value: &Option<String>| match (value, change.field.as_str()) {
        (None, _) => "nothing".to_owned(),
        (Some(id), "owner" | "custodian") => {
            let found = members.iter().find(|(_, member)| member.to_string() == *id);
            found.map_or_else(|| "a member".to_owned(), |(number, _)| format!("member {number}"))
        }
        (Some(value), field) => shown(kind, field, value),
    };
    let (before, after) = (said(&change.before), said(&change.after));
    format!("{}: {before} becomes {after}", label(kind, &change.field))
}

fn of_people(error: PeopleError) -> ShelfError {
    match error {
        PeopleError::Database(error) => ShelfError::Database(error),
        other => ShelfError::Members(other.to_string()),
    }
}

/// Why such a table could not go out.
#[derive(Debug, thiserror::Error)]
pub enum NotWritten {
    /// The shelf could not answer.
    #[error(transparent)]
    Shelf(#[from] ShelfError),
    /// The members' list could not answer.
    #[error(transparent)]
    People(#[from] PeopleError),
    /// The output refused.
    #[error("the table could not be written: {0}")]
    Output(#[from] std::io::Error),
}

/// Writes the table of papers: every piece of which something is written.
///
/// # Errors
/// [`NotWritten`].
pub async fn write_papers(conn: &mut SqliteConnection, out: impl Write) -> Result<(), NotWritten> {
    let names = all_names(conn).await?;
    let ids: Vec<ItemId> = names.iter().map(|item| item.id).collect();
    let papers: HashMap<ItemId, Papers> = these_papers(conn, &ids).await?.into_iter().collect();
    let members = people::members(conn).await?;
    let numbers: HashMap<MemberId, &MemberNumber> =
        members.iter().map(|one| (one.id, &one.facts.number)).collect();
    let mut sheet = SheetWriter::new(out, PAPER_COLUMNS.iter().copied())?;
    for item in by_tag(names) {
        let set = set_text(conn, item.id).await?;
        let papers = papers.get(&item.id).cloned().unwrap_or_default();
        if papers == Papers::default() && set.is_empty() {
            continue;
        }
        let number = |one: Option<MemberId>| numbers.get(&one?).map(|number| number.as_str());
        let value = papers.value.map(|worth| worth.to_string()).unwrap_or_default();
        sheet.row([
            Cell::Text(item.tag.as_str()),
            number(papers.owner).into(),
            Cell::Text(&papers.donor),
            Cell::Text(&papers.serial),
            Cell::date(papers.bought_on),
            Cell::Text(&value),
            Cell::Text(&papers.place),
            number(papers.custodian).into(),
            Cell::Text(&set),
        ])?;
    }
    Ok(sheet.finish()?)
}

pub(super) fn by_tag(mut names: Vec<ItemName>) -> Vec<ItemName> {
    names.sort_by(|one, two| one.tag.cmp(&two.tag));
    names
}
