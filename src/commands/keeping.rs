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
use crate::store::{Copies, Kept, copies_in, stamp, to_let_go};
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
#[derive(Clone, Debug, Args)]
#[command(next_help_heading = "Copies")]
pub struct BackupOptions {
    /// Folder for a checked copy a day; by default `backups` inside the data folder. Better: one on
    /// another disk.
    #[arg(long, env = "BORROWED_LIGHT_BACKUPS", value_name = "FOLDER")]
    backups: Option<PathBuf>,
    /// For how many days the day's copy is kept; 0 makes none.
    #[arg(long, env = "BORROWED_LIGHT_BACKUPS_KEPT", value_name = "DAYS", default_value_t = 14)]
    backups_kept: usize,
    /// For how many weeks the last copy of the week is kept besides.
    #[arg(
        long,
        env = "BORROWED_LIGHT_BACKUPS_KEPT_WEEKS",
        value_name = "WEEKS",
        default_value_t = 4
    )]
    backups_kept_weeks: usize,
    /// For how many months the last copy of the month is kept besides.
    #[arg(
        long,
        env = "BORROWED_LIGHT_BACKUPS_KEPT_MONTHS",
        value_name = "MONTHS",
        default_value_t = 6
    )]
    backups_kept_months: usize,
}

impl BackupOptions {
    /// The same for one of several clubs: a folder of its own inside the one that was named.
    #[must_use]
    pub(super) fn of_club(mut self, host: &str) -> Self {
        self.backups = self.backups.map(|folder| folder.join(host));
        self
    }
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
    kept: Kept,
    place: Copies,
}

impl Backups {
    /// None where none are wanted.
    #[must_use]
    pub fn of(options: BackupOptions, data: &Path) -> Option<Self> {
        let folder = options.backups.unwrap_or_else(|| data.join("backups"));
        (options.backups_kept > 0).then(|| Self {
            place: Copies::in_folder(&folder),
            folder,
            database: database_in(data),
            kept: Kept {
                days: options.backups_kept,
                weeks: options.backups_kept_weeks,
                months: options.backups_kept_months,
            },
        })
    }

    /// Goes on until it is ended from outside.
    pub async fn go_on(self, clock: Clock) {
        let mut look = tokio::time::interval(LOOK_EVERY);
        loop {
            look.tick().await;
            self.place.went(match self.look(clock.now()).await {
                Ok(made) => {
                    if let Some(file) = made {
                        tracing::info!(file = %file.display(), "the club was backed up");
                    }
                    None
                }
                Err(error) => {
                    tracing::error!(%error, "the club was not backed up");
                    Some(error.to_string())
                }
            });
        }
    }

    /// Makes a copy if none of the last day is there, and lets go of more than are kept. Copies
    /// from the future, after a clock was set back, neither count nor go.
    async fn look(&self, now: Timestamp) -> Result<Option<PathBuf>, BackupError> {
        // Moved away or not there yet: a folder made now would look like a new club's.
        if !self.database.is_file() {
            return Ok(None);
        }
        super::running::make_folder(&self.folder).map_err(|error| BackupError::File {
            path: self.folder.clone(),
            error: std::io::Error::other(error.to_string()),
        })?;
        let copies = self.copies()?;
        let fresh = copies
            .iter()
            .any(|(made, _)| (0..A_DAY_S).contains(&(now.as_second() - made.as_second())));
        if fresh {
            return Ok(None);
        }
        let file = self.folder.join(format!("club-{}.sqlite", stamp(now)));
        backup::back_up(&self.database, &file).await?;
        self.sweep()?;
        let copies: Vec<_> = self.copies()?.into_iter().filter(|(made, _)| *made <= now).collect();
        for old in to_let_go(&copies, self.kept) {
            std::fs::remove_file(&old)
                .map_err(|error| BackupError::File { path: old.clone(), error })?;
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
        self.place.clone()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::Store;

    fn kept_for(days: usize) -> BackupOptions {
        let (backups_kept_weeks, backups_kept_months) = (0, 0);
        BackupOptions { backups: None, backups_kept: days, backups_kept_weeks, backups_kept_months }
    }

    fn day(n: i64) -> Timestamp {
        Timestamp::from_second(1_780_000_000 + n * A_DAY_S).unwrap()
    }

    fn made(backups: &Backups) -> Vec<Timestamp> {
        backups.copies().unwrap().into_iter().map(|(at, _)| at).collect()
    }

    #[tokio::test]
    async fn a_copy_a_day_is_made_and_only_so_many_are_kept() {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(&database_in(folder.path())).await.unwrap();
        let backups = Backups::of(kept_for(2), folder.path()).unwrap();
        assert!(backups.look(day(0)).await.unwrap().is_some());
        assert!(backups.look(day(0)).await.unwrap().is_none(), "one a day is enough");
        std::fs::write(folder.path().join("backups/club-notes.txt"), "mine").unwrap();
        let torn = folder.path().join("backups/club-2026-05-28T000000Z.sqlite.part");
        std::fs::write(&torn, "half a copy").unwrap();
        for n in 1..4 {
            assert!(backups.look(day(n)).await.unwrap().is_some());
        }
        assert_eq!(made(&backups), [day(2), day(3)]);
        assert!(!torn.exists());
        assert!(folder.path().join("backups/club-notes.txt").exists());
        store.close().await;
    }

    #[tokio::test]
    async fn a_clock_set_back_or_forward_loses_no_copy_and_makes_no_heap_of_them() {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(&database_in(folder.path())).await.unwrap();
        let backups = Backups::of(kept_for(3), folder.path()).unwrap();
        for n in 0..3 {
            assert!(backups.look(day(n)).await.unwrap().is_some());
        }
        assert!(backups.look(day(300)).await.unwrap().is_some(), "forward");
        // Back again: the copy from the future stays aside, the days go on as they were.
        assert!(backups.look(day(2)).await.unwrap().is_none());
        assert!(backups.look(day(3)).await.unwrap().is_some());
        for minutes in 1..40 {
            let later = Timestamp::from_second(day(3).as_second() + minutes * 1_800).unwrap();
            assert!(backups.look(later).await.unwrap().is_none(), "{minutes}");
        }
        assert_eq!(made(&backups), [day(1), day(2), day(3), day(300)]);
        store.close().await;
    }

    #[tokio::test]
    async fn a_club_that_was_moved_away_does_not_come_back_as_an_empty_folder() {
        let folder = tempfile::tempdir().unwrap();
        let gone = folder.path().join("lend.example.org");
        let backups = Backups::of(kept_for(2), &gone).unwrap();
        assert!(backups.look(day(0)).await.unwrap().is_none());
        assert!(!gone.exists());
    }

    #[test]
    fn none_are_made_where_none_are_kept() {
        assert!(Backups::of(kept_for(0), Path::new("x")).is_none());
    }
}
