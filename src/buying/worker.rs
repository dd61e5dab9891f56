//! Computes reports in the background: one at a time, on one thread that rests a part of the time,
//! so that nobody's page waits for it.

use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use tokio::sync::{Notify, Semaphore, SemaphorePermit};

use super::candidate_store::BuyingError;
use super::facts::{FactsError, facts};
use super::job_store::{self, Job, State};
use super::report::{Point, Report};
use super::work::{Watch, compute};
use crate::store::Store;
use crate::web::clock::Clock;

/// How often what was reached is written down and whether to stop is asked.
const PULSE: Duration = Duration::from_millis(500);

/// The longest rest at once.
const LONGEST_REST: Duration = Duration::from_millis(40);

/// Woken when somebody asks for a report. Several services in one process share it; each looks in
/// its own database.
static ASKED: Notify = Notify::const_new();

/// One report at a time, whichever club's it is.
static TURN: Semaphore = Semaphore::const_new(1);

/// Wakes the worker.
pub fn wake() {
    ASKED.notify_waiters();
    ASKED.notify_one();
}

/// Why a report could not be made.
#[derive(Debug, thiserror::Error)]
enum WorkError {
    #[error(transparent)]
    Facts(#[from] FactsError),
    #[error(transparent)]
    Buying(#[from] BuyingError),
    #[error("the database could not be written: {0}")]
    Store(#[from] crate::store::StoreError),
    #[error("the computation broke off: {0}")]
    Broke(#[from] tokio::task::JoinError),
}

/// What the computing thread and its keeper share.
#[derive(Default)]
struct Shared {
    stop: AtomicBool,
    thousandths: AtomicUsize,
    stage: Mutex<String>,
    found: Mutex<Vec<Point>>,
}

/// The computing thread's side.
struct Hand {
    shared: Arc<Shared>,
    last: Instant,
}

impl Watch for Hand {
    fn at(&mut self, thousandths: usize, stage: &str) -> bool {
        // Rest a fifth of the time: others' pages come first.
        std::thread::sleep((self.last.elapsed() / 4).min(LONGEST_REST));
        self.last = Instant::now();
        self.shared.thousandths.fetch_max(thousandths, Ordering::Relaxed);
        let mut known = self.shared.stage.lock().unwrap_or_else(PoisonError::into_inner);
        if *known != stage {
            stage.clone_into(&mut known);
        }
        !self.shared.stop.load(Ordering::Relaxed)
    }

    fn found(&mut self, point: &Point) {
        let mut found = self.shared.found.lock().unwrap_or_else(PoisonError::into_inner);
        found.push(point.clone());
    }
}

/// Makes reports until told to stop. What is under way then goes on at the next start.
pub async fn run(store: Store, clock: Clock, stop: impl Future<Output = ()>) {
    tokio::pin!(stop);
    let stopping = Arc::new(AtomicBool::new(false));
    loop {
        let round = async {
            loop {
                match one(&store, &clock, &stopping).await {
                    Ok(true) => {}
                    Ok(false) => return,
                    Err(error) => {
                        tracing::error!(%error, "a report on purchases was not made");
                        return;
                    }
                }
            }
        };
        tokio::pin!(round);
        tokio::select! {
            () = &mut round => {}
            () = &mut stop => {
                stopping.store(true, Ordering::Relaxed);
                round.await;
                return;
            }
        }
        tokio::select! {
            () = ASKED.notified() => {}
            () = tokio::time::sleep(Duration::from_mins(1)) => {}
            () = &mut stop => return,
        }
    }
}

/// Makes every report that waits, for tests and tools.
pub async fn all_waiting(store: &Store, clock: &Clock) {
    let never = AtomicBool::new(false);
    while matches!(one(store, clock, &never).await, Ok(true)) {}
}

/// Makes the next report, if one is wanted; false where none is, or it is time to stop.
async fn one(store: &Store, clock: &Clock, stopping: &AtomicBool) -> Result<bool, WorkError> {
    if stopping.load(Ordering::Relaxed) {
        return Ok(false);
    }
    let mut conn = store.reader().acquire().await.map_err(BuyingError::from)?;
    let any = job_store::jobs(&mut conn).await?.iter().any(|job| job.state.is_open());
    drop(conn);
    if !any {
        return Ok(false);
    }
    let Some(_turn) = turn(stopping).await else { return Ok(false) };
    let mut tx = store.write().await?;
    let job = job_store::take(&mut tx).await?;
    tx.commit().await?;
    let Some(job) = job else { return Ok(false) };
    match made(store, clock, &job, stopping).await {
        Ok(Some(report)) => {
            let mut tx = store.write().await?;
            job_store::finish(&mut tx, job.id, &report, clock.seconds()).await?;
            tx.commit().await?;
        }
        // Stopped: by somebody, and then it is written down, or by the end of the service.
        Ok(None) => {}
        Err(error) => {
            let mut tx = store.write().await?;
            job_store::end(&mut tx, job.id, State::Failed, clock.seconds()).await?;
            tx.commit().await?;
            return Err(error);
        }
    }
    Ok(!stopping.load(Ordering::Relaxed))
}

/// Waits until no other club's report is being made; nothing where it is time to stop.
async fn turn(stopping: &AtomicBool) -> Option<SemaphorePermit<'static>> {
    loop {
        if stopping.load(Ordering::Relaxed) {
            return None;
        }
        if let Ok(turn) = tokio::time::timeout(PULSE, TURN.acquire()).await {
            return turn.ok();
        }
    }
}

async fn made(
    store: &Store,
    clock: &Clock,
    job: &Job,
    stopping: &AtomicBool,
) -> Result<Option<Report>, WorkError> {
    let facts = facts(store, clock, job.budget_cents.unsigned_abs()).await?;
    let mark = facts.mark();
    let mut tx = store.write().await?;
    let known = job_store::known(&mut tx, job.id, &mark).await?;
    tx.commit().await?;
    let shared = Arc::new(Shared::default());
    let hand_shared = Arc::clone(&shared);
    let mut computing = tokio::task::spawn_blocking(move || {
        let mut hand = Hand { shared: hand_shared, last: Instant::now() };
        compute(&facts, &known, &mut hand)
    });
    let mut noted = 0;
    loop {
        tokio::select! {
            done = &mut computing => return Ok(done?),
            () = tokio::time::sleep(PULSE) => {}
        }
        if stopping.load(Ordering::Relaxed) {
            shared.stop.store(true, Ordering::Relaxed);
        }
        let found: Vec<Point> =
            std::mem::take(&mut *shared.found.lock().unwrap_or_else(PoisonError::into_inner));
        let stage = shared.stage.lock().unwrap_or_else(PoisonError::into_inner).clone();
        let thousandths = shared.thousandths.load(Ordering::Relaxed);
        if found.is_empty() && thousandths == noted && !cancelled(store, job.id).await? {
            continue;
        }
        noted = thousandths;
        let mut tx = store.write().await?;
        let thousandths = i64::try_from(thousandths).unwrap_or(1000).min(1000);
        if !job_store::note(&mut tx, job.id, &stage, thousandths, &found).await? {
            shared.stop.store(true, Ordering::Relaxed);
        }
        tx.commit().await?;
    }
}

async fn cancelled(store: &Store, id: i64) -> Result<bool, WorkError> {
    let mut conn = store.reader().acquire().await.map_err(BuyingError::from)?;
    let job = job_store::job(&mut conn, id).await?;
    Ok(job.is_none_or(|job| job.state != State::Running))
}
