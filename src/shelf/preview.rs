//! What a table would do to the shelf, row by row, before it does it.

use std::collections::HashMap;

use sqlx::SqliteConnection;

use super::asked::{label, shown};
use super::item::{AssetTag, Draft, Record};
use super::store::ShelfError;
use super::table::{Tabular, cells_of};
use crate::sheet::Lined;
pub use crate::sheet::{Preview, Would};

/// Compares the rows with the shelf.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn preview<T: Tabular>(
    conn: &mut SqliteConnection,
    rows: &[Lined<Draft<T>>],
) -> Result<Preview, ShelfError> {
    let there = T::all(conn).await?;
    let known: HashMap<&AssetTag, &Record<T>> =
        there.iter().map(|record| (&record.facts.tag, record)).collect();
    let mut preview = Preview::default();
    let mut named = 0;
    for Lined { line, value: draft } in rows {
        let what = format!("{} {}", draft.facts.tag, draft.facts.name);
        let would = |changes| Would { line: *line, what, changes };
        let Some(before) = known.get(&draft.facts.tag) else {
            preview.added.push(would(Vec::new()));
            continue;
        };
        named += 1;
        let changes = differences(before, draft);
        if changes.is_empty() {
            preview.unchanged += 1;
        } else {
            preview.changed.push(would(changes));
        }
    }
    preview.unnamed = there.len().saturating_sub(named);
    Ok(preview)
}

fn differences<T: Tabular>(before: &Record<T>, after: &Draft<T>) -> Vec<String> {
    let said = |column: &str, value: String| match value.as_str() {
        "" => "nothing".to_owned(),
        value => shown(T::KIND, column, value),
    };
    let earlier = cells_of(&before.facts, &before.figures);
    let later = cells_of(&after.facts, &after.figures);
    let pairs = earlier.into_iter().zip(later);
    pairs
        .map(|((column, earlier), (_, later))| (column, earlier.plain(), later.plain()))
        .filter(|(_, earlier, later)| earlier != later)
        .map(|(column, earlier, later)| {
            let (earlier, later) = (said(column, earlier), said(column, later));
            format!("{}: {earlier} becomes {later}", label(T::KIND, column))
        })
        .collect()
}
