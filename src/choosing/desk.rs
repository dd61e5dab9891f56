//! Where searches are made: few at a time, away from the threads that serve connections, each with
//! a budget of time, and none for a caller who has gone.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use tokio::sync::{Semaphore, SemaphorePermit};

use super::solution::Budget;
use crate::web::measures;
use crate::web::problem::Problem;

/// How long a search may take before it answers without the proof.
const SEARCH_TIME: Duration = Duration::from_secs(2);

/// How long telling what was found may take beyond that.
const TELLING_TIME: Duration = Duration::from_secs(1);

/// How long a request waits for its turn before it is sent away.
const PATIENCE: Duration = Duration::from_secs(10);

/// Searches that run side by side; others wait for their turn.
static DESKS: Semaphore = Semaphore::const_new(2);

/// Why a search was not finished.
#[derive(Debug, thiserror::Error)]
pub enum Unfinished {
    /// Too many others ask at once.
    #[error("too many people are searching at once")]
    Busy,
    /// The search itself broke.
    #[error("a search broke off: {0}")]
    Broke(#[from] tokio::task::JoinError),
}

impl From<Unfinished> for Problem {
    fn from(error: Unfinished) -> Self {
        match error {
            Unfinished::Busy => Self::busy(),
            Unfinished::Broke(_) => Self::internal(&error),
        }
    }
}

/// Makes one search: `work` gets its budget of time and the number of threads to use.
///
/// When the future is dropped, as it is when the connection closes, the search ends at its next
/// look at the budget.
///
/// # Errors
/// No desk became free in time, or the search broke.
pub async fn search<T: Send + 'static>(
    work: impl FnOnce(Budget<'_>, usize) -> T + Send + 'static,
) -> Result<T, Unfinished> {
    search_within(SEARCH_TIME, work).await
}

/// The same with another budget of time.
///
/// # Errors
/// No desk became free in time, or the search broke.
pub async fn search_within<T: Send + 'static>(
    time: Duration,
    work: impl FnOnce(Budget<'_>, usize) -> T + Send + 'static,
) -> Result<T, Unfinished> {
    let desk = desk(&DESKS, PATIENCE).await?;
    let caller = Caller::default();
    let gone = Arc::clone(&caller.gone);
    off_thread(move || {
        let _desk = desk;
        let started = Instant::now();
        let spent = |time: Duration| gone.load(Ordering::Relaxed) || started.elapsed() >= time;
        let budget = Budget { search: &|| spent(time), telling: &|| spent(time + TELLING_TIME) };
        let found = work(budget, threads());
        measures::searched(started.elapsed());
        found
    })
    .await
}

/// Runs heavy work away from the threads that serve connections.
///
/// # Errors
/// The work broke.
pub async fn off_thread<T: Send + 'static>(
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, Unfinished> {
    Ok(tokio::task::spawn_blocking(work).await?)
}

/// Whoever waits for an answer. When the connection closes, the request is dropped and this with
/// it.
#[derive(Default)]
struct Caller {
    gone: Arc<AtomicBool>,
}

impl Drop for Caller {
    fn drop(&mut self) {
        self.gone.store(true, Ordering::Relaxed);
    }
}

/// Waits for a free desk, but not for ever.
async fn desk(desks: &Semaphore, patience: Duration) -> Result<SemaphorePermit<'_>, Unfinished> {
    match tokio::time::timeout(patience, desks.acquire()).await {
        Ok(Ok(desk)) => Ok(desk),
        Ok(Err(_)) | Err(_) => Err(Unfinished::Busy),
    }
}

/// Threads for one search: all the machine has, but few enough that two searches share it well.
fn threads() -> usize {
    std::thread::available_parallelism().map_or(1, |cores| cores.get().min(4))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[tokio::test]
    async fn who_finds_no_free_desk_is_asked_to_come_back() {
        let desks = Semaphore::new(1);
        let taken = desk(&desks, Duration::ZERO).await.unwrap();
        let refused = Problem::from(desk(&desks, Duration::ZERO).await.unwrap_err());
        assert_eq!(refused.status(), 503);
        drop(taken);
        assert!(desk(&desks, Duration::ZERO).await.is_ok());
    }

    #[test]
    fn a_caller_who_goes_away_ends_the_search() {
        let caller = Caller::default();
        let gone = Arc::clone(&caller.gone);
        assert!(!gone.load(Ordering::Relaxed));
        drop(caller);
        assert!(gone.load(Ordering::Relaxed));
    }

    #[tokio::test]
    async fn a_search_that_breaks_is_our_fault_and_frees_its_desk() {
        for _ in 0..4 {
            let broken = search(|_, _| -> () { panic!("on purpose") }).await.unwrap_err();
            assert!(matches!(broken, Unfinished::Broke(_)));
        }
        assert_eq!(search(|_, _| 7).await.unwrap(), 7);
    }
}
