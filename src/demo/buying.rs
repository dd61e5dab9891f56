//! What the demo club thinks of buying and selling, and a first report on it.

use super::DemoError;
use crate::buying::candidate::read_table;
use crate::buying::candidate_store::{BuyingError, put_sale, take_in};
use crate::buying::job_store;
use crate::shelf::{AssetTag, Worth, tagged};
use crate::store::WriteTx;
use crate::web::clock::Clock;

const CANDIDATES: &str = include_str!("../../demo-data/candidates.csv");

/// Pieces that could be sold, with what they would bring.
const SALES: [(&str, i64); 3] = [("E-019", 2_500), ("E-052", 3_000), ("B-02", 2_000)];

/// What the club may spend, in hundredths.
const BUDGET_CENTS: i64 = 40_000;

impl From<BuyingError> for DemoError {
    fn from(error: BuyingError) -> Self {
        Self::Desk(error.to_string())
    }
}

/// Writes the list and asks for a report, which is then made in the background.
pub(super) async fn stock_up(tx: &mut WriteTx, clock: &Clock) -> Result<(), DemoError> {
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
    job_store::ask(tx, BUDGET_CENTS, clock.seconds()).await?;
    Ok(())
}
