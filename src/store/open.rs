//! Opening the database and the two ways into it.

use std::ops::{Deref, DerefMut};
use std::path::Path;
use std::sync::Arc;
use std::time::Duration;

use sqlx::sqlite::{
    SqliteConnectOptions, SqliteConnection, SqliteJournalMode, SqlitePool, SqlitePoolOptions,
    SqliteSynchronous,
};

use super::backup::{BackupError, back_up, room_at};
use super::error::StoreError;
use super::fault::may_be_stuck;
use super::owed;
use super::readers::Readers;
use super::trouble::Trouble;
use super::writer::{Turn, Writer};

/// SQLite before this version can lose committed pages in write-ahead-log mode when a checkpoint
/// races a write (sqlite.org/wal.html, section 11).
const OLDEST_SAFE_SQLITE: (u32, u32, u32) = (3, 51, 3);

/// The club's database: readers beside one writer.
#[derive(Debug, Clone)]
pub struct Store {
    reader: Readers,
    writer: Writer,
    trouble: Trouble,
    path: Arc<Path>,
}

static MIGRATIONS: sqlx::migrate::Migrator = sqlx::migrate!("./migrations");

impl Store {
    /// Opens the database at `path`, creating it when missing, and brings its schema up to date.
    ///
    /// # Errors
    /// An unsafe SQLite library, a schema newer than this program, a failed migration, or a file
    /// that cannot be opened.
    pub async fn open(path: &Path) -> Result<Self, StoreError> {
        Self::opened(path).await.map_err(|error| match error {
            StoreError::Database(error) => StoreError::NotOpened { path: path.to_owned(), error },
            other => other,
        })
    }

    async fn opened(path: &Path) -> Result<Self, StoreError> {
        let base = SqliteConnectOptions::new()
            .filename(path)
            .foreign_keys(true)
            .busy_timeout(Duration::from_secs(5))
            .pragma("trusted_schema", "OFF")
            // What is deleted is overwritten, not only forgotten.
            .pragma("secure_delete", "ON");
        let write = base
            .clone()
            .create_if_missing(true)
            .journal_mode(SqliteJournalMode::Wal)
            .synchronous(SqliteSynchronous::Full);
        let opening = SqlitePoolOptions::new()
            .max_connections(1)
            .test_before_acquire(false)
            .acquire_timeout(Duration::from_secs(10))
            .connect_with(write.clone())
            .await?;
        refuse_unsafe_sqlite(&opening).await?;
        let found = schema(&opening).await?;
        if let Some(found) = found {
            let known = newest_known_schema();
            if found > known {
                return Err(StoreError::NewerSchema { found, known });
            }
            if found < known {
                keep_before_migrating(path, found).await?;
                owed::write_down(&opening).await?;
            }
        }
        MIGRATIONS.run(&opening).await?;
        owed::settle(&opening).await?;
        let writer = Writer::on(opening.acquire().await?.detach(), write);
        let reader = Readers::open(base.pragma("query_only", "ON")).await?;
        Ok(Self { reader, writer, trouble: Trouble::default(), path: path.into() })
    }

    /// The connections for reading. They refuse to write.
    #[must_use]
    pub fn reader(&self) -> &Readers {
        &self.reader
    }

    /// Asks the database for a sign of life.
    ///
    /// # Errors
    /// It gives none.
    pub async fn answers(&self) -> Result<(), StoreError> {
        sqlx::query_scalar::<_, i64>("SELECT count(*) FROM sqlite_schema")
            .fetch_one(&mut *self.reader.acquire().await?)
            .await?;
        Ok(())
    }

    /// How large it is. Asks a reader: whoever watches over the service keeps no writer waiting.
    ///
    /// # Errors
    /// It could not answer.
    pub async fn size(&self) -> Result<Size, StoreError> {
        let (pages, free, page): (i64, i64, i64) = sqlx::query_as(
            "SELECT page_count, freelist_count, page_size
             FROM pragma_page_count, pragma_freelist_count, pragma_page_size",
        )
        .fetch_one(&mut *self.reader.acquire().await?)
        .await?;
        Ok(Size { bytes: pages * page, free_bytes: free * page })
    }

    /// How many bytes are left on its disk; nothing where the system can't tell.
    #[must_use]
    pub fn room(&self) -> Option<u64> {
        room_at(&self.path).ok()
    }

    /// How it is kept, as the writer that makes everything durable sees it.
    ///
    /// # Errors
    /// It could not answer.
    pub async fn keeping(&self) -> Result<Keeping, StoreError> {
        let mut writer = self.writer.turn().await?;
        let (sqlite, journal): (String, String) =
            sqlx::query_as("SELECT sqlite_version(), journal_mode FROM pragma_journal_mode")
                .fetch_one(&mut *writer)
                .await?;
        let synchronous: i64 =
            sqlx::query_scalar("PRAGMA synchronous").fetch_one(&mut *writer).await?;
        let synchronous = match synchronous {
            0 => "off",
            1 => "normal",
            2 => "full",
            _ => "extra",
        };
        Ok(Keeping { sqlite, journal, synchronous })
    }

    /// Begins a write: the lock is taken at once, and the writer is the only one.
    ///
    /// # Errors
    /// The writer stayed busy for too long, or the file could not be locked.
    pub async fn write(&self) -> Result<WriteTx, StoreError> {
        self.granted(self.begun(self.writer.turn().await).await)
    }

    /// The same for a short write that many may want at the same time: one commit may serve several
    /// of them, who all wait for it.
    ///
    /// What it reads may be the work of one who still waits. So whoever answers that something was
    /// done before, having read that here, waits too: see [`WriteTx::let_settle`]. A refusal needs not:
    /// at worst it names what the disk then did not keep.
    ///
    /// # Errors
    /// As [`Store::write`].
    pub async fn write_together(&self) -> Result<WriteTx, StoreError> {
        self.granted(self.begun(self.writer.short_turn().await).await)
    }

    fn granted(&self, begun: sqlx::Result<Turn>) -> Result<WriteTx, StoreError> {
        match begun {
            Ok(turn) => Ok(WriteTx { turn, trouble: self.trouble.clone() }),
            Err(error) => {
                self.trouble.note(&error);
                Err(error.into())
            }
        }
    }

    async fn begun(&self, turn: sqlx::Result<Turn>) -> sqlx::Result<Turn> {
        let mut turn = turn?;
        let mut begun = turn.begin().await;
        if begun.as_ref().is_err_and(may_be_stuck) {
            // After a commit that the disk refused, the library and the file disagree on whether
            // there is a transaction, and only a new connection helps.
            self.writer.renew(&mut turn).await?;
            begun = turn.begin().await;
        }
        begun.map(|()| turn)
    }

    /// How many stand in line for a short write.
    #[must_use]
    pub fn writers_waiting(&self) -> usize {
        self.writer.waiting()
    }

    /// Why the last write was not stored, in a sentence; nothing as soon as one is stored again.
    #[must_use]
    pub fn trouble(&self) -> Option<String> {
        self.trouble.now()
    }

    /// Folds the write-ahead log into the file and closes every connection.
    pub async fn close(&self) {
        self.reader.close().await;
        self.fold().await;
        self.writer.close().await;
    }

    /// Folds the write-ahead log into the file and empties it, as after somebody's data were erased:
    /// until then, the log remembers what the file has forgotten. Readers may put it off.
    pub async fn fold(&self) {
        let folded = async {
            let mut writer = self.writer.turn().await?;
            sqlx::query("PRAGMA wal_checkpoint(TRUNCATE)").execute(&mut *writer).await
        };
        if let Err(error) = folded.await {
            tracing::warn!(%error, "the write-ahead log was not folded in; the next start does it");
        }
    }
}

/// How large a database is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Size {
    /// The file, in bytes.
    pub bytes: i64,
    /// Of that, not in use.
    pub free_bytes: i64,
}

/// How a database is kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Keeping {
    /// The library's version.
    pub sqlite: String,
    /// How changes are journalled; `wal` is right.
    pub journal: String,
    /// How much is forced to the disk before a commit is acknowledged; `full` is right.
    pub synchronous: &'static str,
}

/// The only thing a writing function accepts. Dropped without [`WriteTx::commit`], it undoes all.
#[derive(Debug)]
pub struct WriteTx {
    turn: Turn,
    trouble: Trouble,
}

impl WriteTx {
    /// Makes everything written durable.
    ///
    /// # Errors
    /// The disk refused; then nothing of it was kept.
    pub async fn commit(self) -> Result<(), StoreError> {
        match self.turn.commit().await {
            Ok(()) => {
                self.trouble.over();
                Ok(())
            }
            Err(error) => {
                self.trouble.note(&error);
                Err(error.into())
            }
        }
    }

    /// Keeps nothing of one's own, but waits until what was read is durable.
    ///
    /// # Errors
    /// The disk refused it.
    pub async fn let_settle(self) -> Result<(), StoreError> {
        Ok(self.turn.let_settle().await?)
    }
}

impl Deref for WriteTx {
    type Target = SqliteConnection;
    fn deref(&self) -> &SqliteConnection {
        &self.turn
    }
}

impl DerefMut for WriteTx {
    fn deref_mut(&mut self) -> &mut SqliteConnection {
        &mut self.turn
    }
}

async fn refuse_unsafe_sqlite(pool: &SqlitePool) -> Result<(), StoreError> {
    let found: String = sqlx::query_scalar("SELECT sqlite_version()").fetch_one(pool).await?;
    if parse_version(&found).is_some_and(|version| version >= OLDEST_SAFE_SQLITE) {
        Ok(())
    } else {
        Err(StoreError::UnsafeSqlite { found })
    }
}

fn parse_version(text: &str) -> Option<(u32, u32, u32)> {
    let mut parts = text.split('.').map(str::parse::<u32>);
    Some((parts.next()?.ok()?, parts.next()?.ok()?, parts.next()?.ok()?))
}

/// The newest migration that this program knows.
pub(super) fn newest_known_schema() -> i64 {
    MIGRATIONS.iter().map(|migration| migration.version).max().unwrap_or(0)
}

/// The newest migration in the file; none where it is new.
async fn schema(pool: &SqlitePool) -> Result<Option<i64>, StoreError> {
    let tracked: Option<String> = sqlx::query_scalar(
        "SELECT name FROM sqlite_schema WHERE type = 'table' AND name = '_sqlx_migrations'",
    )
    .fetch_optional(pool)
    .await?;
    if tracked.is_none() {
        return Ok(None);
    }
    Ok(sqlx::query_scalar("SELECT max(version) FROM _sqlx_migrations").fetch_one(pool).await?)
}

/// Copies the database as the older release left it. A copy that an earlier, failed start made is
/// the one to keep.
async fn keep_before_migrating(path: &Path, found: i64) -> Result<(), StoreError> {
    let mut name = path.as_os_str().to_owned();
    name.push(format!(".before-schema-{found:04}"));
    match back_up(path, Path::new(&name)).await {
        Ok(_) | Err(BackupError::Taken(_)) => Ok(()),
        Err(BackupError::Store(error)) => Err(error),
        Err(error) => Err(StoreError::NoBackup(error.to_string())),
    }
}

#[cfg(test)]
#[path = "open_tests.rs"]
mod tests;
