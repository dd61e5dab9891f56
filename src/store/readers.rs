//! The connections that only read.
//!
//! The library has its own way of sharing connections, but asks one for a sign of life each time it is
//! given back, which takes as long as a query. A file does not hang up; so that is asked now and then,
//! and a connection that can begin no more is replaced by another.
//!
//! Another connection is opened only where waiting for one takes longer than that: each knows the whole
//! schema and keeps pages of its own, a megabyte or so, and a query is over in a fraction of the time.
//!
//! Whoever gives up leaves a query that still runs to its end. Who comes next gets another connection,
//! as long as there is one, if the query belonged to a moment: how far a single query is, nobody knows.

use std::ops::{Deref, DerefMut};
use std::pin::pin;
use std::sync::atomic::{AtomicU32, Ordering};
use std::sync::{Arc, PoisonError};
use std::time::Duration;

use sqlx::sqlite::{SqliteConnectOptions, SqliteConnection};
use sqlx::{Connection as _, Database, SqlSafeStr as _, Sqlite};
use sqlx_core::transaction::TransactionManager as _;
use tokio::sync::{
    Mutex, OwnedMappedMutexGuard, OwnedMutexGuard, OwnedSemaphorePermit, Semaphore, TryAcquireError,
};
use tokio::time::{Instant, timeout};

use super::fault::may_be_stuck;

type Transactions = <Sqlite as Database>::TransactionManager;

/// Who waits longer for a turn is told that the service is busy.
const PATIENCE: Duration = Duration::from_secs(10);

/// Who waits longer than this opens another connection, which itself takes some milliseconds; and so
/// does who has to wait when nobody has had a turn at once for as long.
const OPENS_AFTER: Duration = Duration::from_millis(20);

/// So long a connection is taken to live after it was last asked.
const TRUSTED_FOR: Duration = Duration::from_secs(5);

/// Room for one connection, opened when it is first needed.
type Slot = Arc<Mutex<Option<Open>>>;

/// A connection that is open.
#[derive(Debug)]
struct Open {
    conn: SqliteConnection,
    /// When it last gave a sign of life.
    seen: Option<Instant>,
}

impl Open {
    /// Whether its thread still answers, as far as that was asked lately.
    async fn lives(&mut self) -> bool {
        if self.seen.is_some_and(|seen| seen.elapsed() < TRUSTED_FOR) {
            return true;
        }
        let lives = self.conn.ping().await.is_ok();
        self.seen = lives.then(Instant::now);
        lives
    }
}

/// Connections that only read, lent one by one.
#[derive(Debug, Clone)]
pub struct Readers {
    options: Arc<SqliteConnectOptions>,
    /// One for each connection that nobody has, among those that are lent.
    turns: Arc<Semaphore>,
    /// How many are lent.
    lent: Arc<AtomicU32>,
    /// When somebody last had a turn without waiting.
    quiet: Arc<std::sync::Mutex<Instant>>,
    slots: Arc<[Slot]>,
    /// Whoever looks for a free slot.
    look: Arc<std::sync::Mutex<()>>,
}

impl Readers {
    /// So many may read at once; more would only wait for the processor.
    pub const MOST: u32 = 4;

    /// Opens the first connection; the others follow when they are needed.
    ///
    /// # Errors
    /// The file can't be opened.
    pub(super) async fn open(options: SqliteConnectOptions) -> sqlx::Result<Self> {
        let slots = (0..Self::MOST).map(|_| Slot::default()).collect();
        let readers = Self {
            options: Arc::new(options),
            turns: Arc::new(Semaphore::new(1)),
            lent: Arc::new(AtomicU32::new(1)),
            quiet: Arc::new(std::sync::Mutex::new(Instant::now())),
            slots,
            look: Arc::default(),
        };
        drop(readers.acquire().await?);
        Ok(readers)
    }

    /// A connection for queries that need not see the same moment.
    ///
    /// # Errors
    /// All were in use for too long, or the file can't be opened.
    pub async fn acquire(&self) -> sqlx::Result<Reading> {
        let turn = self.turn().await?;
        // Whoever has a turn finds a slot: one is given back before its turn is.
        let mut slot = self.free().ok_or(sqlx::Error::PoolTimedOut)?;
        let lives = match slot.as_mut() {
            Some(open) => open.lives().await,
            None => false,
        };
        if !lives {
            let conn = SqliteConnection::connect_with(&self.options).await?;
            *slot = Some(Open { conn, seen: Some(Instant::now()) });
        }
        let conn = OwnedMutexGuard::try_map(slot, |slot| Some(&mut slot.as_mut()?.conn));
        let conn = conn.map_err(|_| sqlx::Error::PoolClosed)?;
        Ok(Reading { conn, begun: false, _turn: turn })
    }

    async fn turn(&self) -> sqlx::Result<OwnedSemaphorePermit> {
        let closed = |_| sqlx::Error::PoolClosed;
        match Arc::clone(&self.turns).try_acquire_owned() {
            Ok(turn) => {
                *self.quiet.lock().unwrap_or_else(PoisonError::into_inner) = Instant::now();
                return Ok(turn);
            }
            Err(TryAcquireError::Closed) => return Err(sqlx::Error::PoolClosed),
            Err(TryAcquireError::NoPermits) => {}
        }
        let quiet = *self.quiet.lock().unwrap_or_else(PoisonError::into_inner);
        if quiet.elapsed() > OPENS_AFTER {
            self.lend_one_more();
        }
        let mut turn = pin!(Arc::clone(&self.turns).acquire_owned());
        if let Ok(turn) = timeout(OPENS_AFTER, &mut turn).await {
            return turn.map_err(closed);
        }
        self.lend_one_more();
        timeout(PATIENCE, turn).await.map_err(|_| sqlx::Error::PoolTimedOut)?.map_err(closed)
    }

    /// Lends another connection, if there may be one; says whether there was.
    fn lend_one_more(&self) -> bool {
        let one_more = |lent| (lent < Self::MOST).then_some(lent + 1);
        let more = self.lent.fetch_update(Ordering::Relaxed, Ordering::Relaxed, one_more).is_ok();
        if more {
            self.turns.add_permits(1);
        }
        more
    }

    /// A slot that nobody has: best with a connection that has nothing left to do.
    fn free(&self) -> Option<OwnedMutexGuard<Option<Open>>> {
        // One at a time: a slot that is only looked at is taken for everybody else.
        let _look = self.look.lock().unwrap_or_else(PoisonError::into_inner);
        let free = self.slots.iter().filter_map(|slot| Arc::clone(slot).try_lock_owned().ok());
        free.min_by_key(|slot| match &**slot {
            Some(open) if Transactions::get_transaction_depth(&open.conn) == 0 => 0,
            None => 1,
            // Its last moment has not ended: somebody gave it up in the middle of a query.
            Some(_) => 2,
        })
    }

    /// A connection whose queries all see the same moment, until it is dropped.
    ///
    /// # Errors
    /// As [`Readers::acquire`].
    pub async fn begin(&self) -> sqlx::Result<Reading> {
        let mut reading = self.acquire().await?;
        let mut begun = reading.begin().await;
        if begun.as_ref().is_err_and(may_be_stuck) {
            // After an error of the disk SQLite may have ended the moment by itself. The library
            // believes that it goes on, and never again begins one on this connection.
            self.renew(&mut reading).await?;
            begun = reading.begin().await;
        }
        begun.map(|()| reading)
    }

    /// Puts a new connection in the place of the one that is held, for this reader and all later ones.
    async fn renew(&self, reading: &mut Reading) -> sqlx::Result<()> {
        let new = SqliteConnection::connect_with(&self.options).await?;
        let old = std::mem::replace(&mut *reading.conn, new);
        reading.begun = false;
        // Whatever it says in the end, the next one is another.
        drop(old.close().await);
        Ok(())
    }

    /// Waits for whoever still reads, and closes every connection.
    pub(super) async fn close(&self) {
        while self.lend_one_more() {}
        // An error says that it was closed before.
        let all = self.turns.acquire_many(Self::MOST).await;
        self.turns.close();
        drop(all);
        for slot in self.slots.iter() {
            let open = slot.lock().await.take();
            if let Some(open) = open
                && let Err(error) = open.conn.close().await
            {
                tracing::warn!(%error, "a reading connection was not closed in order");
            }
        }
    }
}

/// A connection that only reads. It is given back with its value.
#[derive(Debug)]
pub struct Reading {
    // Dropped in this order.
    conn: OwnedMappedMutexGuard<Option<Open>, SqliteConnection>,
    begun: bool,
    _turn: OwnedSemaphorePermit,
}

impl Reading {
    /// Begins a moment. By name: the library puts another statement in the place of its own where it
    /// believes that one goes on already, and whatever that begins would never end.
    async fn begin(&mut self) -> sqlx::Result<()> {
        // Noted before: a request that is given up meanwhile must not leave the moment open.
        self.begun = true;
        Transactions::begin(&mut self.conn, Some("BEGIN".into_sql_str())).await
    }
}

impl Deref for Reading {
    type Target = SqliteConnection;
    fn deref(&self) -> &SqliteConnection {
        &self.conn
    }
}

impl DerefMut for Reading {
    fn deref_mut(&mut self) -> &mut SqliteConnection {
        &mut self.conn
    }
}

impl Drop for Reading {
    fn drop(&mut self) {
        if self.begun {
            // Not waited for: it is done before whatever the connection is asked next.
            Transactions::start_rollback(&mut self.conn);
        }
    }
}

#[cfg(test)]
#[path = "readers_tests.rs"]
mod tests;
