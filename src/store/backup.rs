//! Copies of the database that can be trusted, and the way back from them.
//!
//! `VACUUM INTO` writes a consistent copy while the server goes on, without what was deleted; but it
//! may be torn by a crash and is not synced. So a copy is written under a name of its own, synced,
//! opened and checked, and only then gets the name that was asked for.

use std::ffi::OsString;
use std::fs::{File, OpenOptions, Permissions};
use std::io;
use std::os::unix::fs::{MetadataExt as _, OpenOptionsExt as _, PermissionsExt as _};
use std::path::{Path, PathBuf};
use std::time::Duration;

use sqlx::sqlite::{SqliteConnectOptions, SqliteConnection};
use sqlx::{ConnectOptions as _, Connection as _};

use super::fault::Fault;
use super::open::newest_known_schema;
use super::{StoreError, check};

/// Why a copy was not made or not put back. Nothing was lost: what stood before still stands.
#[derive(Debug, thiserror::Error)]
pub enum BackupError {
    /// A file of that name is there.
    #[error("{} is there already; name a file that isn't", .0.display())]
    Taken(PathBuf),
    /// A file or folder could not be read or written.
    #[error("{} can't be used: {error}", path.display())]
    File {
        /// Which.
        path: PathBuf,
        /// What the system said.
        error: io::Error,
    },
    /// The copy is not one of a club, or is damaged.
    #[error("{} is no sound copy of a club: {reason}", path.display())]
    Unsound {
        /// Which.
        path: PathBuf,
        /// What is wrong with it.
        reason: String,
    },
    /// The copy would leave too little room for the club itself.
    #[error(
        "there is no room for a copy beside {}: {wanted_mb} MB are wanted and {there_mb} MB are \
         left; make room, or name a folder on another disk", path.display()
    )]
    NoRoom {
        /// Where it was to be.
        path: PathBuf,
        /// As much as the copy and the club's own growth need.
        wanted_mb: u64,
        /// As much as is left.
        there_mb: u64,
    },
    /// A server has the database open.
    #[error("a server is using this club; stop it first, then restore")]
    InUse,
    /// The database could not answer.
    #[error(transparent)]
    Store(#[from] StoreError),
}

/// What is in a copy.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Copied {
    /// Size of the file.
    pub bytes: u64,
    /// Newest migration in it.
    pub schema: i64,
    /// Tables, and rows in all of them.
    pub tables: usize,
    /// Rows in all of them.
    pub rows: i64,
}

fn at(path: &Path) -> impl FnOnce(io::Error) -> BackupError + '_ {
    move |error| BackupError::File { path: path.to_owned(), error }
}

fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.file_name().map(OsString::from).unwrap_or_default();
    name.push(ending);
    path.with_file_name(name)
}

fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// Until this returns, a new name may not survive a power cut.
fn sync_folder(path: &Path) -> Result<(), BackupError> {
    let folder = folder_of(path);
    File::open(folder).and_then(|folder| folder.sync_all()).map_err(at(folder))
}

/// Removes a half-written file when the work on it ends early.
struct Part(PathBuf);

impl Drop for Part {
    fn drop(&mut self) {
        // Renamed away, where all went well.
        let _ = std::fs::remove_file(&self.0);
    }
}

impl Part {
    /// An empty file that nobody else may read.
    fn new(path: PathBuf) -> Result<Self, BackupError> {
        let part = Self(path);
        let made =
            OpenOptions::new().write(true).create(true).truncate(true).mode(0o600).open(&part.0);
        made.map_err(at(&part.0))?;
        Ok(part)
    }

    fn sync(&self) -> Result<u64, BackupError> {
        let file = OpenOptions::new().read(true).write(true).open(&self.0).map_err(at(&self.0))?;
        file.sync_all().map_err(at(&self.0))?;
        Ok(file.metadata().map_err(at(&self.0))?.len())
    }
}

/// What a copy must leave free on the disk, in bytes: a club writes less in a year
/// (common practice, no source).
const LEFT_FREE: u64 = 8 * 1024 * 1024;

/// How many bytes are left on the disk of a file or folder for this user.
///
/// # Errors
/// The system can't tell.
pub fn room_at(path: &Path) -> io::Result<u64> {
    let disk = rustix::fs::statvfs(path)?;
    Ok(disk.f_bavail.saturating_mul(disk.f_frsize))
}

/// A copy that filled the disk would stop the club it is made for.
fn has_room(database: &Path, to: &Path) -> Result<(), BackupError> {
    let size = database.metadata().map_err(at(database))?.len();
    let wanted = size.saturating_add(LEFT_FREE);
    // Where the system can't tell, the copy itself finds out.
    let there = room_at(folder_of(to)).unwrap_or(u64::MAX);
    let mb = |bytes: u64| bytes.div_ceil(1_000_000);
    if there < wanted {
        let path = to.to_owned();
        return Err(BackupError::NoRoom {
            path,
            wanted_mb: mb(wanted),
            there_mb: there / 1_000_000,
        });
    }
    Ok(())
}

/// Copies the database to a new file while others go on reading and writing it.
///
/// # Errors
/// The file is there already or can't be written, or the copy fails its own check.
pub async fn back_up(database: &Path, to: &Path) -> Result<Copied, BackupError> {
    if to.exists() {
        return Err(BackupError::Taken(to.to_owned()));
    }
    has_room(database, to)?;
    let part = Part::new(beside(to, ".part"))?;
    let mut source = SqliteConnectOptions::new()
        .filename(database)
        .create_if_missing(false)
        .busy_timeout(Duration::from_secs(5))
        .connect()
        .await
        .map_err(StoreError::from)?;
    let copied = sqlx::query("VACUUM INTO ?1")
        .bind(part.0.to_string_lossy().into_owned())
        .execute(&mut source)
        .await;
    source.close().await.map_err(StoreError::from)?;
    copied.map_err(|error| told(error, &part.0))?;
    part.sync()?;
    let copied = look_at(&part.0).await?;
    // A hard link fails where a rename would overwrite what came meanwhile.
    std::fs::hard_link(&part.0, to).map_err(|error| match error.kind() {
        io::ErrorKind::AlreadyExists => BackupError::Taken(to.to_owned()),
        _ => BackupError::File { path: to.to_owned(), error },
    })?;
    drop(part);
    sync_folder(to)?;
    Ok(copied)
}

fn told(error: sqlx::Error, path: &Path) -> BackupError {
    match Fault::of(&error) {
        Some(Fault::Full) => BackupError::File {
            path: path.to_owned(),
            error: io::Error::new(io::ErrorKind::StorageFull, "there is no room left on the disk"),
        },
        _ => StoreError::from(error).into(),
    }
}

/// Puts a copy in the place of the database and keeps what stood there under another name, which it
/// answers with. `moment` becomes part of that name.
///
/// # Errors
/// The copy is not sound, a server has the database open, or a file can't be written.
pub async fn restore(
    backup: &Path,
    database: &Path,
    moment: &str,
) -> Result<(Copied, Option<PathBuf>), BackupError> {
    if beside(backup, "-wal").exists() {
        return Err(BackupError::Unsound {
            path: backup.to_owned(),
            reason: "a log lies beside it, so it is a database in use and not a backup".into(),
        });
    }
    let part = Part::new(beside(database, ".restoring"))?;
    std::fs::copy(backup, &part.0).map_err(at(backup))?;
    std::fs::set_permissions(&part.0, Permissions::from_mode(0o600)).map_err(at(&part.0))?;
    give_to_owner_of_folder(&part.0)?;
    part.sync()?;
    let copied = look_at(&part.0).await.map_err(|error| match error {
        // The reader knows the file by the name they gave.
        BackupError::Unsound { reason, .. } => {
            BackupError::Unsound { path: backup.to_owned(), reason }
        }
        other => other,
    })?;
    let mut kept = None;
    if database.exists() {
        take_over(database).await?;
        let aside = beside(database, &format!(".before-restore-{moment}"));
        for log in ["-wal", "-shm"] {
            let log_file = beside(database, log);
            if log_file.exists() {
                std::fs::rename(&log_file, beside(&aside, log)).map_err(at(&log_file))?;
            }
        }
        std::fs::rename(database, &aside).map_err(at(database))?;
        kept = Some(aside);
    }
    std::fs::rename(&part.0, database).map_err(at(database))?;
    sync_folder(database)?;
    Ok((copied, kept))
}

/// Whoever restores as root restores for the user that serves, to whom the folder belongs.
fn give_to_owner_of_folder(file: &Path) -> Result<(), BackupError> {
    let folder = folder_of(file);
    let owner = folder.metadata().map_err(at(folder))?;
    let made = file.metadata().map_err(at(file))?;
    if owner.uid() == made.uid() {
        return Ok(());
    }
    std::os::unix::fs::chown(file, Some(owner.uid()), Some(owner.gid())).map_err(|error| {
        let words = format!(
            "it can't be given to the user {} whose folder it is in ({error}); restore as that \
             user or as root",
            owner.uid()
        );
        BackupError::File { path: file.to_owned(), error: io::Error::new(error.kind(), words) }
    })
}

/// Folds the log into the file, which works only while nobody else has it open. A file too damaged
/// to be opened is nobody's.
async fn take_over(database: &Path) -> Result<(), BackupError> {
    let opened = SqliteConnectOptions::new()
        .filename(database)
        .create_if_missing(false)
        .busy_timeout(Duration::from_millis(200))
        .connect()
        .await;
    let outcome = match opened {
        Ok(mut connection) => {
            let left = sqlx::query("PRAGMA journal_mode = DELETE").execute(&mut connection).await;
            let closed = connection.close().await;
            left.map(|_| ()).and(closed)
        }
        Err(error) => Err(error),
    };
    match outcome.map_err(|error| Fault::of(&error)) {
        Err(Some(Fault::Busy)) => Err(BackupError::InUse),
        _ => Ok(()),
    }
}

/// Checks a copy and counts what is in it.
///
/// # Errors
/// It can't be read, is damaged, is not a club's, or was made by a newer release.
pub async fn look_at(path: &Path) -> Result<Copied, BackupError> {
    let unsound = |reason: String| BackupError::Unsound { path: path.to_owned(), reason };
    let bytes = path.metadata().map_err(at(path))?.len();
    let opened =
        SqliteConnectOptions::new().filename(path).read_only(true).immutable(true).connect().await;
    let mut copy = opened.map_err(|_| unsound("SQLite can't open it".into()))?;
    let looked = counted(&mut copy).await;
    // What was read is known; closing can add nothing.
    let _ = copy.close().await;
    let (faults, schema, tables, rows) = looked.map_err(|error| {
        let damaged = Fault::of(&error) == Some(Fault::Corrupt);
        unsound(if damaged { "it is damaged".into() } else { error.to_string() })
    })?;
    if let Some(fault) = faults.first() {
        return Err(unsound(fault.trim_end_matches('.').to_owned()));
    }
    let schema = schema.ok_or_else(|| unsound("there is no club in it".into()))?;
    let known = newest_known_schema();
    if schema > known {
        return Err(StoreError::NewerSchema { found: schema, known }.into());
    }
    Ok(Copied { bytes, schema, tables, rows })
}

type Counted = (Vec<String>, Option<i64>, usize, i64);

async fn counted(copy: &mut SqliteConnection) -> Result<Counted, sqlx::Error> {
    let faults = check::faults(copy).await?;
    let tables: Vec<String> = sqlx::query_scalar(
        "SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%'",
    )
    .fetch_all(&mut *copy)
    .await?;
    let ours = ["_sqlx_migrations", "club", "item", "member"];
    let schema = if ours.iter().all(|name| tables.iter().any(|table| table == name)) {
        sqlx::query_scalar("SELECT max(version) FROM _sqlx_migrations")
            .fetch_one(&mut *copy)
            .await?
    } else {
        None
    };
    let mut rows = 0;
    for table in &tables {
        // Names from the schema itself, quoted as SQL wants names.
        let count = format!("SELECT count(*) FROM \"{}\"", table.replace('"', "\"\""));
        rows +=
            sqlx::query_scalar::<_, i64>(sqlx::AssertSqlSafe(count)).fetch_one(&mut *copy).await?;
    }
    Ok((faults, schema, tables.len(), rows))
}

#[cfg(test)]
mod tests;
