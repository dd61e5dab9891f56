//! Why a database can't be used, in sentences for whoever runs the service.

use std::path::PathBuf;

use sqlx::migrate::MigrateError;

use super::fault::told;

/// Why the database could not be used.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// The SQLite library is older than the first one without the write-ahead-log fault.
    #[error("SQLite {found} can lose committed writes; build with 3.51.3 or later")]
    UnsafeSqlite {
        /// The version the library reports.
        found: String,
    },
    /// The file was written by a newer release.
    #[error(
        "this database was written by a newer Borrowed Light (schema {found}, this one knows {known}); install that release"
    )]
    NewerSchema {
        /// Newest migration in the file.
        found: i64,
        /// Newest migration in this program.
        known: i64,
    },
    /// The copy that stands between a migration and a mishap could not be made.
    #[error(
        "the database was not brought up to date, because no copy of it could be made first: {0}"
    )]
    NoBackup(String),
    /// A migration failed; the file is as it was before that migration.
    #[error("the database could not be brought up to date: {}", told_of_migration(.0))]
    Migrate(#[from] sqlx::migrate::MigrateError),
    /// Bringing it up to date left rows that point nowhere.
    #[error(
        "bringing the database up to date left rows of {table} that point at nothing; put the copy \
         beside it, whose name ends in `before-schema` and a number, back with `borrowed-light \
         restore`, and go on with the release that you had"
    )]
    LooseRows {
        /// Where the first one is.
        table: String,
    },
    /// The file could not be opened at all.
    #[error("{}: {}", path.display(), told(error))]
    NotOpened {
        /// Which.
        path: PathBuf,
        /// What the database said.
        error: sqlx::Error,
    },
    /// The database answered with an error.
    #[error("{}", told(.0))]
    Database(#[from] sqlx::Error),
}

fn told_of_migration(error: &MigrateError) -> String {
    match error {
        MigrateError::Execute(error) | MigrateError::ExecuteMigration(error, _) => told(error),
        MigrateError::VersionMissing(version) | MigrateError::VersionMismatch(version) => format!(
            "it went through another step {version:04} than this program knows; run the release \
             that wrote it"
        ),
        other => other.to_string(),
    }
}
