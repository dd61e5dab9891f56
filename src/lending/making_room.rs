//! What gives way to a public night, where the club's rules say so: wishes that nobody has approved.

use super::keeping::{Act, take_step};
use super::letters::{News, tell};
use super::machine::{Event, EventKind, Hat};
use super::model::{LendingError, NotReserved, ReservationId};
use super::night::Nights;
use super::story::Doer;
use crate::shelf::{ItemId, id_list};
use crate::store::WriteTx;
use crate::web::clock::Clock;

/// Declines every request that keeps one of these pieces on one of these nights and that no
/// quartermaster has approved yet, and writes to whoever asked. What is promised stays promised.
///
/// # Errors
/// The database refused; then drop the transaction.
pub async fn make_room(
    tx: &mut WriteTx,
    clock: &Clock,
    items: &[ItemId],
    nights: Nights,
    act: &Act,
) -> Result<Vec<ReservationId>, NotReserved> {
    let (ids, first, last) =
        (id_list(items), nights.first().to_string(), nights.last().to_string());
    let in_the_way = sqlx::query_scalar!(
        "SELECT DISTINCT kept.reservation_id AS \"id!\"
         FROM item_night AS kept JOIN reservation ON reservation.id = kept.reservation_id
         WHERE kept.item_id IN (SELECT value FROM json_each(?1))
           AND kept.night BETWEEN ?2 AND ?3 AND reservation.state = 'requested'
         ORDER BY kept.reservation_id",
        ids,
        first,
        last
    )
    .fetch_all(&mut **tx)
    .await
    .map_err(LendingError::from)?;
    // The club's rule decides, so the step is the desk's, whoever asks.
    let act = Act {
        doer: Doer { account: act.doer.account, hat: Hat::Quartermaster },
        reason: "A public night needs it, and the club lets those come first.".to_owned(),
        ..act.clone()
    };
    let mut declined = Vec::new();
    for id in in_the_way.into_iter().map(ReservationId) {
        take_step(tx, id, &Event::whole(EventKind::Decline), &act).await?;
        tell(tx, clock, id, News::Declined).await?;
        declined.push(id);
    }
    Ok(declined)
}
