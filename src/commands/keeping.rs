//! `backup` and `restore`, and the copies that `serve` makes by itself.

use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::time::Duration;

use clap::Args;
use jiff::Timestamp;

use super::running::{Failure, database_in, open_existing};
use super::tables::Data;
use crate::club::check::faults;
use crate::store::backup::{self, BackupError, Copied};
use crate::store::{Copies, copies_in, stamp};
use crate::web::clock::Clock;

/// Options of `backup` and `restore`.
#[derive(Debug, Args)]
pub struct Options {
    /// The copy: for `backup` a file that is not there yet, for `restore` one that `backup` made.
    file: PathBuf,
    #[command(flatten)]
    data: Data,
}

impl From<BackupError> for Failure {
    fn from(error: BackupError) -> Self {
        match error {
            BackupError::Store(error) => error.into(),
            BackupError::Taken(_) => Self::WrongUse(error.to_string()),
            other => Self::Failed(other.to_string()),
        }
    }
}

fn tell(copied: &Copied, file: &Path) {
    println!(
        "{}: {} rows in {} tables, {} bytes, sound",
        file.display(),
        copied.rows,
        copied.tables,
        copied.bytes
    );
}

fn existing(data: &Path) -> Result<PathBuf, Failure> {
    let database = database_in(data);
    if database.is_file() {
        return Ok(database);
    }
    Err(Failure::WrongUse(format!(
        "there is no club in {}: name its folder with --data",
        data.display()
    )))
}

/// Runs `backup`: a checked copy, also while the server runs.
///
/// # Errors
/// The copy can't be made.
pub async fn run_backup(options: Options) -> Result<ExitCode, Failure> {
    let database = existing(&options.data.data)?;
    let copied = backup::back_up(&database, &options.file).await?;
    tell(&copied, &options.file);
    Ok(ExitCode::SUCCESS)
}

/// Runs `restore`: checks the copy, puts it in place, keeps what stood there, checks again.
///
/// # Errors
/// The copy is not sound, a server runs, or the restored club has faults.
pub async fn run_restore(options: Options) -> Result<ExitCode, Failure> {
    let folder = &options.data.data;
    super::running::make_folder(folder)?;
    let moment = stamp(Timestamp::now());
    let (copied, kept) = backup::restore(&options.file, &database_in(folder), &moment).await?;
    tell(&copied, &options.file);
    println!("Restored into {}.", folder.display());
    if let Some(kept) = kept {
        println!("What was there before is kept as {}.", kept.display());
    }
    let store = open_existing(folder).await?;
    let found = faults(&store).await;
    store.close().await;
    let found = found?;
    for fault in &found {
        println!("{fault}");
    }
    Ok(if found.is_empty() { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

/// Options for the copies that `serve` makes by itself.
#[derive(Debug, Args)]
pub struct BackupOptions {
    /// Folder for a checked copy a day; by default `backups` inside the data folder. Better: one on
    /// another disk.
    #[arg(long, env = "BORROWED_LIGHT_BACKUPS")]
    backups: Option<PathBuf>,
    /// How many of them are kept; 0 makes none.
    #[arg(long, env = "BORROWED_LIGHT_BACKUPS_KEPT", default_value_t = 14)]
    backups_kept: usize,
}

/// How often it is looked whether the newest copy is old.
const LOOK_EVERY: Duration = Duration::from_mins(30);

/// How old the newest copy may be, in seconds.
const A_DAY_S: i64 = 86_400;

/// Makes a copy a day and lets the oldest go.
#[derive(Debug, Clone)]
pub struct Backups {
    folder: PathBuf,
    database: PathBuf,
    kept: usize,
}

impl Backups {
    /// None where none are wanted.
    #[must_use]
    pub fn of(options: BackupOptions, data: &Path) -> Option<Self> {
        (options.backups_kept > 0).then(|| Self {
            folder: options.backups.unwrap_or_else(|| data.join("backups")),
            database: database_in(data),
            kept: options.backups_kept,
        })
    }

    /// Goes on for as long as the server runs.
    pub async fn go_on(self, clock: Clock) {
        let mut look = tokio::time::interval(LOOK_EVERY);
        loop {
            look.tick().await;
            match self.look(clock.now()).await {
                Ok(Some(file)) => tracing::info!(file = %file.display(), "the club was backed up"),
                Ok(None) => {}
                Err(error) => tracing::error!(%error, "the club was not backed up"),
            }
        }
    }

    /// Makes a copy if the newest is a day old, and lets go of more than are kept. A newest copy
    /// from the future (a clock that was set back) counts as old.
    async fn look(&self, now: Timestamp) -> Result<Option<PathBuf>, BackupError> {
        super::running::make_folder(&self.folder).map_err(|error| BackupError::File {
            path: self.folder.clone(),
            error: std::io::Error::other(error.to_string()),
        })?;
        let copies = self.copies()?;
        let fresh = copies
            .last()
            .is_some_and(|(made, _)| (0..A_DAY_S).contains(&(now.as_second() - made.as_second())));
        if fresh {
            return Ok(None);
        }
        let file = self.folder.join(format!("club-{}.sqlite", stamp(now)));
        backup::back_up(&self.database, &file).await?;
        self.sweep()?;
        let copies = self.copies()?;
        for (_, old) in copies.iter().take(copies.len().saturating_sub(self.kept)) {
            if *old != file {
                std::fs::remove_file(old)
                    .map_err(|error| BackupError::File { path: old.clone(), error })?;
            }
        }
        Ok(Some(file))
    }

    /// Throws away what a stop in the middle of a copy left behind.
    fn sweep(&self) -> Result<(), BackupError> {
        let fault = |error| BackupError::File { path: self.folder.clone(), error };
        for entry in std::fs::read_dir(&self.folder).map_err(fault)? {
            let path = entry.map_err(fault)?.path();
            let name = path.file_name().and_then(|name| name.to_str()).unwrap_or_default();
            if name.starts_with("club-") && name.ends_with(".sqlite.part") {
                std::fs::remove_file(&path).map_err(|error| BackupError::File { path, error })?;
            }
        }
        Ok(())
    }

    fn copies(&self) -> Result<Vec<(Timestamp, PathBuf)>, BackupError> {
        copies_in(&self.folder)
            .map_err(|error| BackupError::File { path: self.folder.clone(), error })
    }

    /// Where they are.
    #[must_use]
    pub fn place(&self) -> Copies {
        Copies::in_folder(&self.folder)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::Store;

    #[tokio::test]
    async fn a_copy_a_day_is_made_and_only_so_many_are_kept() {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(&database_in(folder.path())).await.unwrap();
        let options = BackupOptions { backups: None, backups_kept: 2 };
        let backups = Backups::of(options, folder.path()).unwrap();
        let day = |n: i64| Timestamp::from_second(1_780_000_000 + n * A_DAY_S).unwrap();
        assert!(backups.look(day(0)).await.unwrap().is_some());
        assert!(backups.look(day(0)).await.unwrap().is_none(), "one a day is enough");
        std::fs::write(folder.path().join("backups/club-notes.txt"), "mine").unwrap();
        let torn = folder.path().join("backups/club-2026-05-28T000000Z.sqlite.part");
        std::fs::write(&torn, "half a copy").unwrap();
        for n in 1..4 {
            assert!(backups.look(day(n)).await.unwrap().is_some());
        }
        let copies: Vec<_> = backups.copies().unwrap().into_iter().map(|(at, _)| at).collect();
        assert_eq!(copies, [day(2), day(3)]);
        assert!(!torn.exists());
        assert!(folder.path().join("backups/club-notes.txt").exists());
        assert!(backups.look(day(1)).await.unwrap().is_some(), "a clock set back stops nothing");
        store.close().await;
    }

    #[test]
    fn none_are_made_where_none_are_kept() {
        let options = BackupOptions { backups: None, backups_kept: 0 };
        assert!(Backups::of(options, Path::new("x")).is_none());
    }
}
