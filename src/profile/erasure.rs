//! Erasing a person: what stands in the way, and doing it, whole or not at all.

use sqlx::SqliteConnection;

use super::gear_store;
use crate::audit::{Actor, Subject, note};
use crate::lending::{self, LendingError, Reservation, ReservationState};
use crate::people::access::Account;
use crate::people::{MemberId, forget};
use crate::post;
use crate::store::Store;
use crate::web::clock::Clock;
use crate::web::problem::Problem;

/// What erasing somebody would do now.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Outlook {
    /// Reasons why it can't be done yet, one sentence each.
    pub obstacles: Vec<String>,
    /// Reservations that would be cancelled.
    pub to_cancel: usize,
}

fn unreadable(error: &LendingError) -> Problem {
    Problem::internal(error)
}

async fn own_reservations(
    conn: &mut SqliteConnection,
    member: MemberId,
) -> Result<Vec<Reservation>, Problem> {
    let mut own = lending::reservations(conn).await.map_err(|error| unreadable(&error))?;
    // What is out is in somebody's custody, and stands in the way by itself.
    own.retain(|one| {
        one.member == member
            && matches!(
                one.state,
                ReservationState::Requested | ReservationState::Confirmed | ReservationState::Ready
            )
    });
    Ok(own)
}

/// Looks at what stands in the way and what would go.
///
/// # Errors
/// The database could not answer.
pub async fn outlook(conn: &mut SqliteConnection, account: &Account) -> Result<Outlook, Problem> {
    let mut outlook = Outlook::default();
    if forget::is_last_administrator(conn, account.id).await? {
        outlook
            .obstacles
            .push("You are the only administrator: give somebody else that role first.".into());
    }
    let Some(member) = account.member else { return Ok(outlook) };
    if lending::member_has_custody(conn, member).await.map_err(|error| unreadable(&error))? {
        outlook.obstacles.push("You still have things of the club: bring them back first.".into());
    }
    outlook.to_cancel = own_reservations(conn, member).await?.len();
    Ok(outlook)
}

/// Erases a person. Everything happens or nothing.
///
/// # Errors
/// 409 where something stands in the way, or the database could not answer.
pub async fn erase(
    store: &Store,
    clock: &Clock,
    account: &Account,
    who: &Actor,
) -> Result<(), Problem> {
    let mut tx = store.write().await?;
    let outlook = outlook(&mut tx, account).await?;
    if let Some(obstacle) = outlook.obstacles.into_iter().next() {
        return Err(Problem::conflict(obstacle).way("Your data", "/account/data"));
    }
    if let Some(member) = account.member {
        let act = lending::door::act(account, member, clock)?;
        lending::cancel_future(&mut tx, member, &act)
            .await
            .map_err(|error| Problem::internal(&error))?;
        lending::signature::forget_member(&mut tx, member)
            .await
            .map_err(|error| unreadable(&error))?;
        gear_store::remove_all(&mut tx, member).await?;
        post::forget_member(&mut tx, member).await?;
        forget::forget_member(&mut tx, member, clock.today()).await?;
    }
    post::forget_account(&mut tx, account.id).await?;
    lending::forget_account(&mut tx, account.id).await.map_err(|error| unreadable(&error))?;
    forget::forget_account(&mut tx, account.id, clock.seconds()).await?;
    note(&mut tx, who, "account erased", Subject::of("account", account.id), "").await?;
    tx.commit().await?;
    store.fold().await;
    Ok(())
}
