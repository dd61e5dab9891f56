//! Candidates and pieces for sale in the database.

use sqlx::SqliteConnection;

use super::candidate::{Candidate, read_cells};
use crate::sheet::{Lined, Taken};
use crate::shelf::{ItemId, Worth};
use crate::store::{StoreError, WriteTx};

/// Why the list could not answer.
#[derive(Debug, thiserror::Error)]
pub enum BuyingError {
    /// The database answered with an error.
    #[error("the database could not answer: {0}")]
    Database(#[from] sqlx::Error),
    /// The store could not begin or finish.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// A stored row makes no sense.
    #[error("{0} can't be read from the database: {1}")]
    Unreadable(String, String),
}

/// A candidate with its number.
#[derive(Debug, Clone, PartialEq)]
pub struct Kept {
    /// Its number.
    pub id: i64,
    /// What it is.
    pub candidate: Candidate,
}

/// All candidates by number.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn candidates(conn: &mut SqliteConnection) -> Result<Vec<Kept>, BuyingError> {
    let rows = sqlx::query!(
        "SELECT id, name, piece, price_cents, condition, most, focal_length_mm, apparent_field_deg,
                field_stop_mm, eye_relief_mm, barrel_mm, optical_class, mass_g, factor, kind
         FROM purchase_candidate ORDER BY id"
    )
    .fetch_all(conn)
    .await?;
    let number = |value: Option<f64>| value.map_or_else(String::new, |value| value.to_string());
    rows.into_iter()
        .map(|row| {
            let what = format!("Candidate {}", row.id);
            let price = Worth::of_cents(row.price_cents)
                .map_err(|why| BuyingError::Unreadable(what.clone(), why.to_string()))?;
            let texts = vec![
                row.name,
                row.piece,
                price.to_string(),
                row.condition.unwrap_or_default(),
                row.most.to_string(),
                number(row.focal_length_mm),
                number(row.apparent_field_deg),
                number(row.field_stop_mm),
                number(row.eye_relief_mm),
                number(row.barrel_mm),
                row.optical_class.unwrap_or_default(),
                number(row.mass_g),
                number(row.factor),
                row.kind.unwrap_or_default(),
            ];
            let candidate =
                read_cells(texts).map_err(|why| BuyingError::Unreadable(what, why.to_string()))?;
            Ok(Kept { id: row.id, candidate })
        })
        .collect()
}

/// Adds a candidate; one of the same name is changed.
///
/// # Errors
/// The database refused.
pub async fn put_candidate(tx: &mut WriteTx, candidate: &Candidate) -> Result<i64, BuyingError> {
    let texts = candidate.texts();
    let text = |at: usize| Some(texts[at].as_str()).filter(|text| !text.is_empty());
    let number = |at: usize| text(at).and_then(|text| text.parse::<f64>().ok());
    let (name, piece) = (texts[0].as_str(), texts[1].as_str());
    let price = candidate.price.cents();
    let most = i64::from(candidate.most);
    let (condition, class, kind) = (text(3), text(10), text(13));
    let (focal_length, field, stop, relief) = (number(5), number(6), number(7), number(8));
    let (barrel, mass, factor) = (number(9), number(11), number(12));
    let id = sqlx::query_scalar!(
        "INSERT INTO purchase_candidate (name, piece, price_cents, condition, most, focal_length_mm,
             apparent_field_deg, field_stop_mm, eye_relief_mm, barrel_mm, optical_class, mass_g,
             factor, kind)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14)
         ON CONFLICT (name) DO UPDATE SET name = ?1, piece = ?2, price_cents = ?3, condition = ?4,
             most = ?5, focal_length_mm = ?6, apparent_field_deg = ?7, field_stop_mm = ?8,
             eye_relief_mm = ?9, barrel_mm = ?10, optical_class = ?11, mass_g = ?12, factor = ?13,
             kind = ?14
         RETURNING id AS \"id!\"",
        name,
        piece,
        price,
        condition,
        most,
        focal_length,
        field,
        stop,
        relief,
        barrel,
        class,
        mass,
        factor,
        kind
    )
    .fetch_one(&mut **tx)
    .await?;
    Ok(id)
}

/// Takes rows of a table in: same names are changed, others are added.
///
/// # Errors
/// The database refused.
pub async fn take_in(tx: &mut WriteTx, rows: &[Lined<Candidate>]) -> Result<Taken, BuyingError> {
    let there = candidates(tx).await?;
    let mut taken = Taken::default();
    for Lined { value, .. } in rows {
        let known = there.iter().find(|kept| same_name(&kept.candidate, value));
        match known {
            Some(kept) if kept.candidate == *value => taken.unchanged += 1,
            Some(_) => taken.changed += 1,
            None => taken.added += 1,
        }
        put_candidate(tx, value).await?;
    }
    Ok(taken)
}

/// Whether two candidates are one to the list.
#[must_use]
pub fn same_name(one: &Candidate, other: &Candidate) -> bool {
    one.name.as_str().eq_ignore_ascii_case(other.name.as_str())
}

/// Takes a candidate from the list; false where it was not there.
///
/// # Errors
/// The database refused.
pub async fn remove_candidate(tx: &mut WriteTx, id: i64) -> Result<bool, BuyingError> {
    let done =
        sqlx::query!("DELETE FROM purchase_candidate WHERE id = ?", id).execute(&mut **tx).await?;
    Ok(done.rows_affected() > 0)
}

/// What could be sold, with what it would bring, by item.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn sales(conn: &mut SqliteConnection) -> Result<Vec<(ItemId, Worth)>, BuyingError> {
    let rows = sqlx::query!("SELECT item_id, price_cents FROM purchase_sale ORDER BY item_id")
        .fetch_all(conn)
        .await?;
    rows.into_iter()
        .map(|row| {
            let price = Worth::of_cents(row.price_cents).map_err(|why| {
                BuyingError::Unreadable(format!("The sale of {}", row.item_id), why.to_string())
            })?;
            Ok((ItemId(row.item_id), price))
        })
        .collect()
}

/// Says what a piece would bring; none for not for sale.
///
/// # Errors
/// The database refused.
pub async fn put_sale(
    tx: &mut WriteTx,
    item: ItemId,
    price: Option<Worth>,
) -> Result<(), BuyingError> {
    match price.map(Worth::cents) {
        Some(cents) => {
            sqlx::query!(
                "INSERT INTO purchase_sale (item_id, price_cents) VALUES (?1, ?2)
                 ON CONFLICT (item_id) DO UPDATE SET price_cents = ?2",
                item.0,
                cents
            )
            .execute(&mut **tx)
            .await?;
        }
        None => {
            sqlx::query!("DELETE FROM purchase_sale WHERE item_id = ?", item.0)
                .execute(&mut **tx)
                .await?;
        }
    }
    Ok(())
}
