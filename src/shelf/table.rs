//! The shelf as tables that people edit by hand: one for each kind.
//!
//! Every table begins with the tag and the name, ends with the year, the state and the notes, and
//! has the figures of its kind between them. Numbers are in the unit that ends the column's name.
//! An empty cell means that nobody has written it down.

use std::collections::HashMap;
use std::io::Write;

use sqlx::SqliteConnection;

use super::history::Hand;
use super::item::{AcquiredYear, AssetTag, Draft, Facts, ItemId, ItemState, Kind, Record};
use super::store::{ItemName, ShelfError, all_names};
use super::words::Wordy;
use super::write::{Figures, add, replace};
use crate::sheet::{
    Cell, Cells, Columns, Faults, Lined, Name, NotTaken, Notes, Refused, Sheet, SheetWriter, Taken,
};
use crate::store::WriteTx;

/// The figures of one kind as cells of a table.
pub trait Tabular: Figures + Wordy + Sized {
    /// All columns of the table, in the order in which they are written.
    const COLUMNS: &'static [&'static str];

    /// Reads the figures of one row; none when a needed cell is empty or bad.
    fn read(cells: &mut Cells<'_>) -> Option<Self>;

    /// The figures in the order of the columns, without what every kind has.
    fn cells(&self) -> Vec<Cell<'_>>;

    /// Writes down that a light test was passed on a day; only a solar filter has any.
    fn light_tested(&mut self, _day: jiff::civil::Date) {}

    /// The telescope that an item of this kind was made for, if it names one, with the column.
    fn made_for(&self) -> Option<(&'static str, &AssetTag)> {
        None
    }

    /// All items of this kind.
    fn all(
        conn: &mut SqliteConnection,
    ) -> impl Future<Output = Result<Vec<Record<Self>>, ShelfError>> + Send;

    /// The item of this number, where it is of this kind.
    fn this(
        conn: &mut SqliteConnection,
        item: ItemId,
    ) -> impl Future<Output = Result<Option<Record<Self>>, ShelfError>> + Send;

    /// Those of these items that are of this kind, by tag.
    fn these(
        conn: &mut SqliteConnection,
        items: &[ItemId],
    ) -> impl Future<Output = Result<Vec<Record<Self>>, ShelfError>> + Send;
}

/// One row's draft; bad cells are noted and give none.
pub(super) fn read_draft<T: Tabular>(cells: &mut Cells<'_>) -> Option<Draft<T>> {
    let facts = read_facts(cells);
    let figures = T::read(cells);
    Some(Draft { facts: facts?, figures: figures? })
}

/// Everything that is known of an item, column by column.
pub(super) fn cells_of<'a, T: Tabular>(
    facts: &'a Facts,
    figures: &'a T,
) -> Vec<(&'static str, Cell<'a>)> {
    let year = facts.acquired.map(|year| i64::from(year.year()));
    let before = [Cell::Text(facts.tag.as_str()), Cell::Text(facts.name.as_str())];
    let after =
        [Cell::from(year), Cell::Text(facts.state.as_str()), Cell::Text(facts.notes.as_str())];
    let cells = before.into_iter().chain(figures.cells()).chain(after);
    T::COLUMNS.iter().copied().zip(cells).collect()
}

fn read_facts(cells: &mut Cells<'_>) -> Option<Facts> {
    let states: Vec<&str> = ItemState::ALL.iter().map(|state| state.as_str()).collect();
    let tag = cells.needed("asset_tag", AssetTag::new);
    let name = cells.needed("name", Name::new);
    let acquired = cells.whole("acquired_year", AcquiredYear::new);
    let state = cells.word("state", &states, ItemState::parse).unwrap_or(ItemState::InService);
    let notes = cells.optional("notes", Notes::new).unwrap_or_default();
    Some(Facts { tag: tag?, name: name?, state, acquired, notes })
}

/// Reads a table of one kind.
///
/// # Errors
/// [`Refused`] with every bad cell of the file.
pub fn read_table<T: Tabular>(bytes: &[u8]) -> Result<Vec<Lined<Draft<T>>>, Refused> {
    Sheet::take_apart(bytes, Columns::all(T::COLUMNS))?.rows(read_draft)
}

/// Writes a table of one kind.
///
/// # Errors
/// The output refused.
pub fn write_table<T: Tabular>(output: impl Write, items: &[Record<T>]) -> std::io::Result<()> {
    let mut sheet = SheetWriter::new(output, T::COLUMNS.iter().copied())?;
    for Record { facts, figures, .. } in items {
        sheet.row(cells_of(facts, figures).into_iter().map(|(_, cell)| cell))?;
    }
    sheet.finish()
}

/// Takes rows of a table in: an item whose tag is on the shelf already is changed, others are
/// added. Where something is wrong nothing is written.
///
/// # Errors
/// [`NotTaken::Refused`] when rows disagree with each other or with the shelf, and
/// [`NotTaken::Failed`] when the database refused; then drop the transaction.
pub async fn take_in<T: Tabular>(
    tx: &mut WriteTx,
    hand: Hand,
    rows: &[Lined<Draft<T>>],
) -> Result<Taken, NotTaken<ShelfError>> {
    let names = all_names(tx).await.map_err(NotTaken::Failed)?;
    agree(rows, &names)?;
    let there = T::all(tx).await.map_err(NotTaken::Failed)?;
    let there: HashMap<&AssetTag, &Record<T>> =
        there.iter().map(|record| (&record.facts.tag, record)).collect();
    let mut taken = Taken::default();
    for Lined { value: draft, .. } in rows {
        match there.get(&draft.facts.tag) {
            None => {
                add(tx, hand, draft).await.map_err(NotTaken::Failed)?;
                taken.added += 1;
            }
            Some(record) if is_the_same(record, draft) => taken.unchanged += 1,
            Some(record) => {
                replace(tx, hand, record.id, record.version, draft)
                    .await
                    .map_err(NotTaken::Failed)?;
                taken.changed += 1;
            }
        }
    }
    Ok(taken)
}

fn is_the_same<T: PartialEq>(record: &Record<T>, draft: &Draft<T>) -> bool {
    record.facts == draft.facts
        && record.figures == draft.figures
        // Tags are equal in either case, but somebody may want theirs written anew.
        && record.facts.tag.as_str() == draft.facts.tag.as_str()
}

/// Whether the rows agree with each other and with what is on the shelf.
fn agree<T: Tabular>(rows: &[Lined<Draft<T>>], names: &[ItemName]) -> Result<(), Refused> {
    let there: HashMap<&AssetTag, Kind> = names.iter().map(|name| (&name.tag, name.kind)).collect();
    let mut faults = Faults::default();
    let mut lines: HashMap<&AssetTag, u64> = HashMap::new();
    for Lined { line, value: Draft { facts, figures } } in rows {
        let tag = &facts.tag;
        if let Some(first) = lines.insert(tag, *line) {
            faults.add(
                Some(*line),
                Some("asset_tag"),
                format!("{tag} is on line {first} already: give each item a tag of its own."),
            );
        }
        if let Some(kind) = there.get(tag).filter(|kind| **kind != T::KIND) {
            let kind = kind.as_str();
            let article = if kind.starts_with('e') { "an" } else { "a" };
            faults.add(
                Some(*line),
                Some("asset_tag"),
                format!("{tag} is {article} {kind} on the shelf: choose a tag that is free."),
            );
        }
        if let Some((column, telescope)) = figures.made_for()
            && there.get(telescope) != Some(&Kind::Telescope)
        {
            let says = ShelfError::UnknownTelescope(telescope.clone()).to_string();
            faults.add(Some(*line), Some(column), says);
        }
    }
    faults.into_result()
}
