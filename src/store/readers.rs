//! The connections that only read.
//!
//! A pool of our own: the library's asks a connection for a sign of life each time it is given back,
//! which takes as long as a query, and a file does not hang up.

use std::ops::{Deref, DerefMut};
use std::sync::Arc;
use std::time::Duration;

use sqlx::sqlite::{SqliteConnectOptions, SqliteConnection};
use sqlx::{Connection as _, Database, Sqlite};
use sqlx_core::transaction::TransactionManager as _;
use tokio::sync::{Mutex, OwnedMappedMutexGuard, OwnedMutexGuard, OwnedSemaphorePermit, Semaphore};
use tokio::time::timeout;

type Transactions = <Sqlite as Database>::TransactionManager;

/// So many may read at once; more would only wait for the processor.
const MOST: u32 = 4;

/// Who waits longer for a turn is told that the service is busy.
const PATIENCE: Duration = Duration::from_secs(10);

/// Room for one connection, opened when it is first needed.
type Slot = Arc<Mutex<Option<SqliteConnection>>>;

/// Connections that only read, lent one by one.
#[derive(Debug, Clone)]
pub struct Readers {
    options: Arc<SqliteConnectOptions>,
    /// One for each connection that nobody has.
    turns: Arc<Semaphore>,
    slots: Arc<[Slot]>,
}

impl Readers {
    /// Opens the first connection; the others follow when they are needed.
    ///
    /// # Errors
    /// The file can't be opened.
    pub(super) async fn open(options: SqliteConnectOptions) -> sqlx::Result<Self> {
        let slots = (0..MOST).map(|_| Slot::default()).collect();
        let turns = Arc::new(Semaphore::new(MOST as usize));
        let readers = Self { options: Arc::new(options), turns, slots };
        drop(readers.acquire().await?);
        Ok(readers)
    }

    /// A connection for queries that need not see the same moment.
    ///
    /// # Errors
    /// All were in use for too long, or the file can't be opened.
    pub async fn acquire(&self) -> sqlx::Result<Reading> {
        let turn = timeout(PATIENCE, Arc::clone(&self.turns).acquire_owned())
            .await
            .map_err(|_| sqlx::Error::PoolTimedOut)?
            .map_err(|_| sqlx::Error::PoolClosed)?;
        // Whoever has a turn finds a slot: one is given back before its turn is.
        let free = self.slots.iter().find_map(|slot| Arc::clone(slot).try_lock_owned().ok());
        let mut slot = free.ok_or(sqlx::Error::PoolTimedOut)?;
        if slot.is_none() {
            *slot = Some(SqliteConnection::connect_with(&self.options).await?);
        }
        let conn = OwnedMutexGuard::try_map(slot, Option::as_mut);
        let conn = conn.map_err(|_| sqlx::Error::PoolClosed)?;
        Ok(Reading { conn, begun: false, _turn: turn })
    }

    /// A connection whose queries all see the same moment, until it is dropped.
    ///
    /// # Errors
    /// As [`Readers::acquire`].
    pub async fn begin(&self) -> sqlx::Result<Reading> {
        let mut reading = self.acquire().await?;
        // Noted before: a request that is given up meanwhile must not leave the moment open.
        reading.begun = true;
        Transactions::begin(&mut reading, None).await?;
        Ok(reading)
    }

    /// Waits for whoever still reads, and closes every connection.
    pub(super) async fn close(&self) {
        // An error says that it was closed before.
        let all = self.turns.acquire_many(MOST).await;
        self.turns.close();
        drop(all);
        for slot in self.slots.iter() {
            let conn = slot.lock().await.take();
            if let Some(conn) = conn
                && let Err(error) = conn.close().await
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
    conn: OwnedMappedMutexGuard<Option<SqliteConnection>, SqliteConnection>,
    begun: bool,
    _turn: OwnedSemaphorePermit,
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
mod tests {
    use super::*;

    async fn readers(folder: &tempfile::TempDir) -> (Readers, SqliteConnection) {
        let options = SqliteConnectOptions::new()
            .filename(folder.path().join("club.sqlite"))
            .create_if_missing(true);
        let options = options.journal_mode(sqlx::sqlite::SqliteJournalMode::Wal);
        let mut writer = SqliteConnection::connect_with(&options).await.unwrap();
        sqlx::raw_sql("CREATE TABLE said (n INTEGER) STRICT").execute(&mut writer).await.unwrap();
        (Readers::open(options).await.unwrap(), writer)
    }

    async fn said(conn: &mut SqliteConnection) -> i64 {
        sqlx::query_scalar("SELECT count(*) FROM said").fetch_one(conn).await.unwrap()
    }

    async fn say(conn: &mut SqliteConnection) {
        sqlx::query("INSERT INTO said VALUES (1)").execute(conn).await.unwrap();
    }

    #[tokio::test]
    async fn a_moment_is_seen_as_it_was_until_it_is_given_back() {
        let folder = tempfile::tempdir().unwrap();
        let (readers, mut writer) = readers(&folder).await;
        let mut moment = readers.begin().await.unwrap();
        assert_eq!(said(&mut moment).await, 0);
        say(&mut writer).await;
        assert_eq!(said(&mut moment).await, 0);
        drop(moment);
        // The same connection: whoever gets it next sees the present.
        assert_eq!(said(&mut readers.acquire().await.unwrap()).await, 1);
        assert_eq!(said(&mut readers.begin().await.unwrap()).await, 1);
    }

    #[tokio::test]
    async fn a_moment_that_was_given_up_holds_no_log_open() {
        let folder = tempfile::tempdir().unwrap();
        let (readers, mut writer) = readers(&folder).await;
        for _ in 0..50 {
            let mut moment = readers.begin().await.unwrap();
            // Polled once and dropped, as when a visitor goes away.
            tokio::select! {
                biased;
                _ = said(&mut moment) => {}
                () = std::future::ready(()) => {}
            }
            let opened = readers.begin();
            tokio::select! {
                biased;
                _ = opened => {}
                () = std::future::ready(()) => {}
            }
        }
        say(&mut writer).await;
        drop(readers.acquire().await.unwrap());
        for slot in readers.slots.iter() {
            if let Some(conn) = slot.lock().await.as_mut() {
                assert_eq!(said(conn).await, 1);
            }
        }
        let (busy, _, _): (i64, i64, i64) =
            sqlx::query_as("PRAGMA wal_checkpoint(TRUNCATE)").fetch_one(&mut writer).await.unwrap();
        assert_eq!(busy, 0, "somebody still holds a moment");
    }

    #[tokio::test(start_paused = true)]
    async fn who_comes_fifth_waits_and_is_then_told() {
        let folder = tempfile::tempdir().unwrap();
        let (readers, _) = readers(&folder).await;
        let mut held = Vec::new();
        for _ in 0..MOST {
            held.push(readers.acquire().await.unwrap());
        }
        assert!(matches!(readers.acquire().await, Err(sqlx::Error::PoolTimedOut)));
        held.pop();
        assert!(readers.acquire().await.is_ok());
    }

    #[tokio::test]
    async fn closing_waits_for_who_still_reads() {
        let folder = tempfile::tempdir().unwrap();
        let (readers, _) = readers(&folder).await;
        let reading = readers.acquire().await.unwrap();
        let closing = readers.clone();
        let closed = tokio::spawn(async move { closing.close().await });
        tokio::task::yield_now().await;
        assert!(!closed.is_finished());
        drop(reading);
        closed.await.unwrap();
        assert!(matches!(readers.acquire().await, Err(sqlx::Error::PoolClosed)));
        readers.close().await;
    }
}
