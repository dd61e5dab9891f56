//! What the demo club thinks of buying and selling.

use super::DemoError;
use crate::buying::candidate::read_table;
use crate::buying::candidate_store::{BuyingError, put_sale, take_in};
use crate::shelf::{AssetTag, Worth, tagged};
use crate::store::WriteTx;

const CANDIDATES: &str = include_str!("../../demo-data/candidates.csv");

/// Pieces that could be sold, with what they would bring.
const SALES: [(&str, i64); 3] = [("E-019", 2_500), ("E-052", 3_000), ("B-02", 2_000)];

impl From<BuyingError> for DemoError {
    fn from(error: BuyingError) -> Self {
        Self::Desk(error.to_string())
    }
}

/// Writes the list. Whoever asks for a report gets it within minutes; the demo does not ask, because
/// every demo would work for those.
pub(super) async fn stock_up(tx: &mut WriteTx) -> Result<(), DemoError> {
    let refused =
        |why: &dyn std::fmt::Display| DemoError::File { table: "candidates", why: why.to_string() };
    let rows = read_table(CANDIDATES.as_bytes()).map_err(|list| match list.faults.first() {
        Some(fault) => refused(fault),
        None => refused(&list),
    })?;
    take_in(tx, &rows).await?;
    for (tag, cents) in SALES {
        let tag = AssetTag::new(tag).map_err(|why| refused(&why))?;
        let item = tagged(tx, &tag).await.map_err(|why| DemoError::Desk(why.to_string()))?;
        let Some(item) = item else { return Err(refused(&format!("{tag} is not on the shelf"))) };
        let worth = Worth::of_cents(cents).map_err(|why| refused(&why))?;
        put_sale(tx, item.id, Some(worth)).await?;
    }
    Ok(())
}
