//! The one connection that writes, and whose turn it is.

use std::ops::{Deref, DerefMut};
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Duration;

use sqlx::sqlite::{SqliteConnectOptions, SqliteConnection};
use sqlx::{ConnectOptions as _, Connection as _, Database, SqlSafeStr as _, Sqlite};
// What the library's own transactions are made of. Those can't be held beside their connection.
use sqlx_core::transaction::TransactionManager as _;
use tokio::sync::{Mutex, OwnedMappedMutexGuard, OwnedMutexGuard};

use super::together::{self, Group};

/// How long a write waits for those before it.
const PATIENCE: Duration = Duration::from_secs(10);

pub(super) type Transactions = <Sqlite as Database>::TransactionManager;

/// The writing connection. Whoever wants it waits in a line: first come, first served.
///
/// A pool of one would do, but it looks a connection over before it hands it on: with every write
/// another way to the database's thread and back, while everybody waits.
#[derive(Clone, Debug)]
pub(super) struct Writer {
    /// Empty once it is closed.
    place: Arc<Mutex<Option<Seat>>>,
    options: Arc<SqliteConnectOptions>,
    /// How many stand in line for a short turn.
    short: Arc<AtomicUsize>,
}

/// The connection, and the writes on it that wait to be committed with others.
#[derive(Debug)]
struct Seat {
    connection: SqliteConnection,
    group: Option<Group>,
}

type Held = OwnedMappedMutexGuard<Option<Seat>, Seat>;

/// A turn at the writing connection. What it began and did not commit is undone when it ends.
#[derive(Debug)]
pub(super) struct Turn {
    seat: Held,
    /// The line that it was taken from, if those in it may share its commit.
    shares: Option<Writer>,
    open: Open,
}

/// What there may be to undo.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Open {
    Nothing,
    /// A transaction.
    Whole,
    /// A part of one that is a group's.
    Part,
}

impl Writer {
    /// Turns at this connection; should it get stuck, others are opened with these options.
    pub(super) fn on(connection: SqliteConnection, options: SqliteConnectOptions) -> Self {
        Self {
            place: Arc::new(Mutex::new(Some(Seat { connection, group: None }))),
            options: Arc::new(options),
            short: Arc::default(),
        }
    }

    /// Waits for a turn of one's own.
    ///
    /// # Errors
    /// Those before it took too long, or the connection is closed.
    pub(super) async fn turn(&self) -> sqlx::Result<Turn> {
        let mut seat = self.seat().await?;
        if seat.group.is_some() {
            // In a task of its own, since a commit that is given up half-way is neither.
            let settled = tokio::spawn(async move {
                seat.settle().await;
                seat
            });
            seat = settled.await.map_err(|_| sqlx::Error::WorkerCrashed)?;
        }
        Ok(Turn { seat, shares: None, open: Open::Nothing })
    }

    /// Waits for a short turn, whose commit may be that of others too: see [`Turn::commit`].
    ///
    /// # Errors
    /// As [`Writer::turn`].
    pub(super) async fn short_turn(&self) -> sqlx::Result<Turn> {
        let _waits = Waits::among(&self.short);
        let seat = self.seat().await?;
        Ok(Turn { seat, shares: Some(self.clone()), open: Open::Nothing })
    }

    async fn seat(&self) -> sqlx::Result<Held> {
        let waiting = tokio::time::timeout(PATIENCE, Arc::clone(&self.place).lock_owned());
        let place = waiting.await.map_err(|_| sqlx::Error::PoolTimedOut)?;
        OwnedMutexGuard::try_map(place, Option::as_mut).map_err(|_| sqlx::Error::PoolClosed)
    }

    /// Puts a new connection in the place of the one that is held, for this turn and all later ones.
    ///
    /// # Errors
    /// The file can't be opened; then the old connection stays.
    pub(super) async fn renew(&self, turn: &mut Turn) -> sqlx::Result<()> {
        let new = self.options.connect().await?;
        let old = std::mem::replace(&mut turn.seat.connection, new);
        turn.open = Open::Nothing;
        if let Some(group) = turn.seat.group.take() {
            group.is_lost();
        }
        // Whatever it says in the end, the next one is another.
        drop(old.close().await);
        Ok(())
    }

    /// Commits the open group when all have had their turn who now stand in line.
    fn settle_behind_them(self) {
        tokio::spawn(async move {
            if let Some(seat) = self.place.lock().await.as_mut() {
                seat.settle().await;
            }
        });
    }

    /// How many stand in line for a short turn.
    pub(super) fn waiting(&self) -> usize {
        self.short.load(Ordering::Relaxed)
    }

    /// Closes the connection, after whoever holds it.
    pub(super) async fn close(&self) {
        let place = Arc::clone(&self.place);
        // In a task of its own, as above.
        let closing = tokio::spawn(async move {
            let Some(mut seat) = place.lock().await.take() else { return };
            seat.settle().await;
            if let Err(error) = seat.connection.close().await {
                tracing::warn!(%error, "the database was not closed in order; the next start mends it");
            }
        });
        drop(closing.await);
    }
}

/// Counts somebody who waits, as long as they do.
struct Waits<'a>(&'a AtomicUsize);

impl<'a> Waits<'a> {
    fn among(all: &'a AtomicUsize) -> Self {
        all.fetch_add(1, Ordering::Relaxed);
        Self(all)
    }
}

impl Drop for Waits<'_> {
    fn drop(&mut self) {
        self.0.fetch_sub(1, Ordering::Relaxed);
    }
}

impl Seat {
    /// Makes durable what a group has written, and tells each of it. Not to be given up half-way.
    async fn settle(&mut self) {
        if let Some(group) = self.group.take() {
            group.settle(&mut self.connection).await;
        }
    }
}

impl Turn {
    /// Begins a transaction that has the file's lock from the start, or a part of one.
    ///
    /// # Errors
    /// Another program has the lock, or the connection is of no use any more.
    pub(super) async fn begin(&mut self) -> sqlx::Result<()> {
        let Seat { connection, group } = &mut *self.seat;
        if let Some(open) = group {
            open.tidy(connection).await?;
            self.open = Open::Part;
            return Ok(());
        }
        let begin = if self.shares.is_some() { together::BEGIN } else { "BEGIN IMMEDIATE" };
        // Before it is true: whoever gives up waiting for it leaves something to undo.
        self.open = Open::Whole;
        Transactions::begin(connection, Some(begin.into_sql_str())).await
    }

    /// Makes everything since the beginning durable. While others stand in line for a short turn,
    /// those who have had one go on waiting, and one commit is made for all of them.
    ///
    /// # Errors
    /// The disk refused; then nothing of it was kept.
    pub(super) async fn commit(mut self) -> sqlx::Result<()> {
        let Seat { connection, group } = &mut *self.seat;
        let group = match (group, &self.shares) {
            (Some(group), _) => {
                together::next_part(connection).await?;
                group
            }
            (none, Some(writer)) if writer.short.load(Ordering::Relaxed) > 0 => {
                together::next_part(connection).await?;
                writer.clone().settle_behind_them();
                none.insert(Group::default())
            }
            _ => {
                Transactions::commit(connection).await?;
                self.open = Open::Nothing;
                return Ok(());
            }
        };
        let settled = group.settled();
        self.open = Open::Nothing;
        // The next one's turn.
        drop(self);
        settled.await
    }

    /// Waits until what others wrote before this turn is durable, and undoes what it wrote itself.
    ///
    /// # Errors
    /// The disk refused it.
    pub(super) async fn let_settle(mut self) -> sqlx::Result<()> {
        let Some(group) = &mut self.seat.group else { return Ok(()) };
        group.is_untidy();
        let settled = group.settled();
        self.open = Open::Nothing;
        drop(self);
        settled.await
    }
}

impl Deref for Turn {
    type Target = SqliteConnection;
    fn deref(&self) -> &SqliteConnection {
        &self.seat.connection
    }
}

impl DerefMut for Turn {
    fn deref_mut(&mut self) -> &mut SqliteConnection {
        &mut self.seat.connection
    }
}

impl Drop for Turn {
    fn drop(&mut self) {
        match self.open {
            Open::Nothing => {}
            // Stands in the connection's line before whatever the next turn asks.
            Open::Whole => Transactions::start_rollback(&mut self.seat.connection),
            Open::Part => {
                if let Some(group) = &mut self.seat.group {
                    group.is_untidy();
                }
            }
        }
    }
}

#[cfg(test)]
#[path = "writer_tests.rs"]
mod tests;
