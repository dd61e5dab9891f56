//! What the service does by itself, whoever asks for what.

use std::time::Duration;

use tokio::time::MissedTickBehavior;

use super::AppState;
use crate::audit::shorten_old_addresses;
use crate::lending;
use crate::store::StoreError;

/// How often the chores are done. Each finds out from the database what is due, so that more often
/// does no harm, and a service that was off catches up.
const EVERY: Duration = Duration::from_hours(1);

/// Does the chores once, as of the state's clock.
///
/// # Errors
/// The database refused; what was done before stays done, the next round does the rest.
pub async fn once(state: &AppState) -> Result<(), StoreError> {
    let mut tx = state.store.write().await?;
    let shortened = shorten_old_addresses(&mut tx, &state.clock).await?;
    tx.commit().await?;
    lending_round(state).await;
    if shortened > 0 {
        tracing::info!(shortened, "old addresses in the audit log were shortened");
    }
    Ok(())
}

/// What time does to reservations; a fault in it keeps no other chore from being done.
async fn lending_round(state: &AppState) {
    let Ok(tonight) = lending::Night::new(state.clock.today()) else { return };
    let done = async {
        let mut tx = state.store.write().await.map_err(lending::LendingError::from)?;
        lending::rounds::round(&mut tx, &state.clock, tonight).await?;
        tx.commit().await.map_err(lending::LendingError::from)?;
        Ok::<(), lending::NotReserved>(())
    };
    if let Err(error) = done.await {
        tracing::error!(%error, "the round of the loans was not done; it is tried again in an hour");
    }
}

/// Does the chores now and every hour, until told to stop.
pub async fn run(state: AppState, stop: impl Future<Output = ()>) {
    hourly(stop, || round(state.clone())).await;
}

async fn round(state: AppState) {
    if let Err(error) = once(&state).await {
        tracing::error!(%error, "a daily chore was not done; it is tried again in an hour");
    }
}

/// Does something now and every hour until told to stop, and never breaks it off.
async fn hourly<W: Future<Output = ()>>(
    stop: impl Future<Output = ()>,
    mut work: impl FnMut() -> W,
) {
    let mut ticker = tokio::time::interval(EVERY);
    ticker.set_missed_tick_behavior(MissedTickBehavior::Delay);
    tokio::pin!(stop);
    loop {
        tokio::select! {
            biased;
            () = &mut stop => return,
            _ = ticker.tick() => {}
        }
        work().await;
    }
}

#[cfg(test)]
mod tests {
    use tokio::time::{Instant, sleep};

    use super::*;

    const MINUTE: u64 = 60;

    /// After how many minutes the work began, where each round takes so many, and when it all ended
    /// if it was told to stop after `stop` minutes.
    async fn rounds(each: u64, stop: u64) -> (Vec<u64>, u64) {
        let begun = Instant::now();
        let minutes = || begun.elapsed().as_secs() / MINUTE;
        let mut at = Vec::new();
        hourly(sleep(Duration::from_secs(stop * MINUTE)), || {
            at.push(minutes());
            sleep(Duration::from_secs(each * MINUTE))
        })
        .await;
        (at, minutes())
    }

    #[tokio::test(start_paused = true)]
    async fn the_chores_are_done_at_the_start_and_every_hour() {
        assert_eq!(rounds(0, 200).await, (vec![0, 60, 120, 180], 200));
    }

    #[tokio::test(start_paused = true)]
    async fn a_round_that_took_longer_than_an_hour_is_followed_by_one_and_not_by_all_it_missed() {
        assert_eq!(rounds(150, 500).await, (vec![0, 150, 300, 450], 600));
    }

    #[tokio::test(start_paused = true)]
    async fn a_round_under_way_is_finished_before_the_end() {
        assert_eq!(rounds(30, 70).await, (vec![0, 60], 90));
    }
}
