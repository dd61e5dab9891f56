//! The one connection that writes, and whose turn it is.

use std::ops::{Deref, DerefMut};
use std::sync::Arc;
use std::time::Duration;

use sqlx::sqlite::{SqliteConnectOptions, SqliteConnection};
use sqlx::{ConnectOptions as _, Connection as _, Database, SqlSafeStr as _, Sqlite};
// What the library's own transactions are made of. Those can't be held beside their connection.
use sqlx_core::transaction::TransactionManager as _;
use tokio::sync::{Mutex, OwnedMappedMutexGuard, OwnedMutexGuard};

/// How long a write waits for those before it.
const PATIENCE: Duration = Duration::from_secs(10);

type Transactions = <Sqlite as Database>::TransactionManager;

/// The writing connection. Whoever wants it waits in a line: first come, first served.
///
/// A pool of one would do, but it looks a connection over before it hands it on: with every write
/// another way to the database's thread and back, while everybody waits.
#[derive(Clone, Debug)]
pub(super) struct Writer {
    /// Empty once it is closed.
    place: Arc<Mutex<Option<SqliteConnection>>>,
    options: Arc<SqliteConnectOptions>,
}

/// A turn at the writing connection. What it began and did not commit is undone when it ends.
#[derive(Debug)]
pub(super) struct Turn {
    connection: OwnedMappedMutexGuard<Option<SqliteConnection>, SqliteConnection>,
    /// Whether there may be something to undo.
    open: bool,
}

impl Writer {
    /// Turns at this connection; should it get stuck, others are opened with these options.
    pub(super) fn on(connection: SqliteConnection, options: SqliteConnectOptions) -> Self {
        Self { place: Arc::new(Mutex::new(Some(connection))), options: Arc::new(options) }
    }

    /// Waits for a turn.
    ///
    /// # Errors
    /// Those before it took too long, or the connection is closed.
    pub(super) async fn turn(&self) -> sqlx::Result<Turn> {
        let waiting = tokio::time::timeout(PATIENCE, Arc::clone(&self.place).lock_owned());
        let place = waiting.await.map_err(|_| sqlx::Error::PoolTimedOut)?;
        let connection = OwnedMutexGuard::try_map(place, Option::as_mut);
        let connection = connection.map_err(|_| sqlx::Error::PoolClosed)?;
        Ok(Turn { connection, open: false })
    }

    /// Puts a new connection in the place of the one that is held, for this turn and all later ones.
    ///
    /// # Errors
    /// The file can't be opened; then the old connection stays.
    pub(super) async fn renew(&self, turn: &mut Turn) -> sqlx::Result<()> {
        let old = std::mem::replace(&mut *turn.connection, self.options.connect().await?);
        turn.open = false;
        // Whatever it says in the end, the next one is another.
        drop(old.close().await);
        Ok(())
    }

    /// Closes the connection, after whoever holds it.
    pub(super) async fn close(&self) {
        let connection = self.place.lock().await.take();
        if let Some(connection) = connection
            && let Err(error) = connection.close().await
        {
            tracing::warn!(%error, "the database was not closed in order; the next start mends it");
        }
    }
}

impl Turn {
    /// Begins a transaction that has the file's lock from the start.
    ///
    /// # Errors
    /// Another program has the lock, or the connection is of no use any more.
    pub(super) async fn begin(&mut self) -> sqlx::Result<()> {
        // Before it is true: whoever gives up waiting for it leaves something to undo.
        self.open = true;
        Transactions::begin(&mut self.connection, Some("BEGIN IMMEDIATE".into_sql_str())).await
    }

    /// Makes everything since the beginning durable.
    ///
    /// # Errors
    /// The disk refused; then nothing of it was kept.
    pub(super) async fn commit(mut self) -> sqlx::Result<()> {
        Transactions::commit(&mut self.connection).await?;
        self.open = false;
        Ok(())
    }
}

impl Deref for Turn {
    type Target = SqliteConnection;
    fn deref(&self) -> &SqliteConnection {
        &self.connection
    }
}

impl DerefMut for Turn {
    fn deref_mut(&mut self) -> &mut SqliteConnection {
        &mut self.connection
    }
}

impl Drop for Turn {
    fn drop(&mut self) {
        if self.open {
            // Stands in the connection's line before whatever the next turn asks.
            Transactions::start_rollback(&mut self.connection);
        }
    }
}

#[cfg(test)]
mod tests {
    use std::cell::Cell;
    use std::collections::BTreeSet;
    use std::future::Future;
    use std::task::Poll;

    use crate::store::{Store, StoreError};

    /// Awaits a future for so many looks at it, then gives it up, wherever it stands.
    async fn given_up_after<F: Future>(looks: u32, future: F) -> Option<F::Output> {
        let mut future = std::pin::pin!(future);
        let mut left = looks;
        std::future::poll_fn(move |context| {
            if left == 0 {
                return Poll::Ready(None);
            }
            left -= 1;
            future.as_mut().poll(context).map(Some)
        })
        .await
    }

    /// What a writer knows of its row in the end.
    #[derive(Clone, Copy, Debug, PartialEq, Eq)]
    enum Known {
        Kept,
        Undone,
        /// Given up while it was committed.
        Unclear,
    }

    /// When somebody goes away.
    #[derive(Clone, Copy, Debug)]
    enum Leaves {
        /// After so many looks, wherever that is.
        After(u32),
        /// Right after the commit was asked for, whatever comes of it.
        AtTheCommit,
    }

    /// Writes a row and commits it or not, unless it is given up before.
    async fn write(store: &Store, row: i64, commits: bool, leaves: Leaves) -> Known {
        let looks = match leaves {
            Leaves::After(looks) => looks,
            Leaves::AtTheCommit => u32::MAX,
        };
        let committing = Cell::new(false);
        let work = async {
            let mut tx = store.write().await.unwrap();
            sqlx::query("INSERT INTO kept VALUES (?)").bind(row).execute(&mut *tx).await.unwrap();
            if commits {
                committing.set(true);
                if matches!(leaves, Leaves::AtTheCommit) {
                    drop(given_up_after(1, tx.commit()).await);
                    return false;
                }
                tx.commit().await.unwrap();
            }
            true
        };
        match given_up_after(looks, work).await {
            Some(true) if commits => Known::Kept,
            Some(false) => Known::Unclear,
            None if committing.get() => Known::Unclear,
            _ => Known::Undone,
        }
    }

    async fn with_a_table() -> (tempfile::TempDir, Store) {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(&folder.path().join("club.sqlite")).await.unwrap();
        let mut tx = store.write().await.unwrap();
        sqlx::query("CREATE TABLE kept (n INTEGER PRIMARY KEY) STRICT")
            .execute(&mut *tx)
            .await
            .unwrap();
        tx.commit().await.unwrap();
        (folder, store)
    }

    #[tokio::test]
    async fn what_was_acknowledged_is_there_and_what_was_given_up_is_not_in_any_order() {
        let (_folder, store) = with_a_table().await;
        let mut dice = 7_u64;
        let mut throw = move |below: u64| {
            dice = dice.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            (dice >> 33) % below
        };
        let (mut known, mut row) = (Vec::new(), 0);
        for _ in 0..60 {
            let mut waiting = tokio::task::JoinSet::new();
            let local = tokio::task::LocalSet::new();
            for _ in 0..10 {
                row += 1;
                let (store, commits) = (store.clone(), throw(4) > 0);
                let leaves = match throw(4) {
                    0 => Leaves::AtTheCommit,
                    1 | 2 => Leaves::After(throw(12) as u32),
                    _ => Leaves::After(u32::MAX),
                };
                waiting.spawn_local_on(
                    async move { (row, write(&store, row, commits, leaves).await) },
                    &local,
                );
            }
            let all = async {
                while let Some(one) = waiting.join_next().await {
                    known.push(one.unwrap());
                }
            };
            local.run_until(all).await;
        }
        let there: BTreeSet<i64> = sqlx::query_scalar("SELECT n FROM kept")
            .fetch_all(&mut *store.write().await.unwrap())
            .await
            .unwrap()
            .into_iter()
            .collect();
        for (row, fate) in &known {
            match fate {
                Known::Kept => assert!(there.contains(row), "{row} was lost"),
                Known::Undone => assert!(!there.contains(row), "{row} was kept"),
                Known::Unclear => {}
            }
        }
        let many = |fate| known.iter().filter(|one| one.1 == fate).count();
        assert!(many(Known::Kept) > 50 && many(Known::Undone) > 50 && many(Known::Unclear) > 5);
    }

    #[tokio::test]
    async fn whoever_comes_after_the_end_is_told_and_does_not_wait() {
        let (_folder, store) = with_a_table().await;
        store.close().await;
        let refused = store.write().await;
        assert!(matches!(refused, Err(StoreError::Database(sqlx::Error::PoolClosed))));
    }
}
