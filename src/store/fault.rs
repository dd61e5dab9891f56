//! What a database error means.
//!
//! SQLite's errors carry no constraint name of their own; the kind of error and the words of its
//! message do. They are read here and nowhere else.

use sqlx::error::{DatabaseError, ErrorKind};
use sqlx::sqlite::SqliteError;

/// A refusal that the caller may be able to explain.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fault {
    /// A value that may stand only once stands already. Holds the columns, such as
    /// `item.asset_tag` or `item_night.item_id, item_night.night`.
    Taken(String),
    /// A named CHECK constraint refused a value. Holds its name.
    Check(String),
    /// A row points at one that is not there, or is pointed at and cannot go.
    Reference,
    /// A value is missing. Holds the column.
    Missing(String),
    /// A value of the wrong kind, such as a word where a number belongs.
    WrongType,
    /// Another program keeps the file locked.
    Busy,
    /// There is no room left on the disk.
    Full,
    /// The file, its folder or its disk can't be written.
    ReadOnly,
    /// The disk, or the system in front of it, refused to read or write.
    Disk,
    /// The file is not, or no longer, a sound database.
    Corrupt,
}

/// SQLite's primary result codes (sqlite.org/rescode.html).
const PERM: i64 = 3;
const BUSY: i64 = 5;
const LOCKED: i64 = 6;
const READONLY: i64 = 8;
const IOERR: i64 = 10;
const CORRUPT: i64 = 11;
const FULL: i64 = 13;
const CANTOPEN: i64 = 14;
const NOT_A_DATABASE: i64 = 26;
/// The one extended code that the kinds below leave out.
const WRONG_TYPE: i64 = 3091;

/// Whether a transaction was not begun for a reason that lies in the connection, so that another one
/// may do.
pub(super) fn may_be_stuck(error: &sqlx::Error) -> bool {
    Fault::of(error) != Some(Fault::Busy)
}

impl Fault {
    /// Reads an error; `None` when it is none of these.
    pub fn of(error: &sqlx::Error) -> Option<Self> {
        Self::of_database(error.as_database_error()?)
    }

    /// Reads the first error of the database among the causes of another error. A pool that is used
    /// up or closed is busy.
    pub fn within(error: &(dyn std::error::Error + 'static)) -> Option<Self> {
        let mut cause = Some(error);
        while let Some(error) = cause {
            if let Some(error) = error.downcast_ref::<sqlx::Error>() {
                let pool = matches!(error, sqlx::Error::PoolTimedOut | sqlx::Error::PoolClosed);
                return if pool { Some(Self::Busy) } else { Self::of(error) };
            }
            // Where an error steps aside for its cause, the driver's own is what is left.
            if let Some(error) = error.downcast_ref::<SqliteError>() {
                return Self::of_database(error);
            }
            cause = error.source();
        }
        None
    }

    fn of_database(error: &dyn DatabaseError) -> Option<Self> {
        let token = || {
            let message = error.message();
            let token = message.split_once("constraint failed: ").map_or(message, |(_, t)| t);
            token.trim().to_owned()
        };
        match error.kind() {
            // Primary keys and UNIQUE columns both come here.
            ErrorKind::UniqueViolation => Some(Self::Taken(token())),
            ErrorKind::CheckViolation => Some(Self::Check(token())),
            ErrorKind::ForeignKeyViolation => Some(Self::Reference),
            ErrorKind::NotNullViolation => Some(Self::Missing(token())),
            _ => {
                let code = error.code()?.parse::<i64>().ok()?;
                if code == WRONG_TYPE {
                    return Some(Self::WrongType);
                }
                // The low byte of an extended code is the primary one.
                match code & 0xff {
                    BUSY | LOCKED => Some(Self::Busy),
                    FULL => Some(Self::Full),
                    READONLY | PERM => Some(Self::ReadOnly),
                    IOERR | CANTOPEN => Some(Self::Disk),
                    CORRUPT | NOT_A_DATABASE => Some(Self::Corrupt),
                    _ => None,
                }
            }
        }
    }

    /// Whether the error says that one of these columns holds the value already.
    pub fn is_taken(error: &sqlx::Error, column: &str) -> bool {
        match Self::of(error) {
            Some(Self::Taken(columns)) => columns.split(", ").any(|one| one == column),
            _ => false,
        }
    }
}

/// What happened and what to do, in one sentence for whoever runs the service.
#[must_use]
pub fn told(error: &sqlx::Error) -> String {
    match Fault::of(error) {
        Some(Fault::Busy) => {
            "another program keeps the database locked; end that program, or wait \
                              until it is done, and try again"
                .into()
        }
        Some(Fault::Full) => "there is no room left on the disk, so nothing new is stored; make \
                              room, and it goes on by itself"
            .into(),
        Some(Fault::ReadOnly) => "the database can't be written; let this user write the file, \
                                  its folder and the disk they are on"
            .into(),
        Some(Fault::Disk) => format!(
            "the disk does not read or write the database as it should ({}); look at the disk and \
             at the rights of the folder",
            error.as_database_error().map_or("no reason was given", |said| said.message())
        ),
        Some(Fault::Corrupt) => "the database is damaged, or no database at all; stop the service \
                                 and put the newest copy back with `borrowed-light restore`, which \
                                 keeps the damaged file"
            .into(),
        _ if matches!(error, sqlx::Error::PoolTimedOut) => {
            "the database was busy for too long; try again".into()
        }
        _ => format!("the database could not answer: {error}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::Store;

    async fn fault(sql: &'static str) -> Option<Fault> {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(&folder.path().join("club.sqlite")).await.unwrap();
        let mut tx = store.write().await.unwrap();
        let setup = "CREATE TABLE parent (id INTEGER PRIMARY KEY) STRICT;
             CREATE TABLE child (
                 tag TEXT NOT NULL UNIQUE,
                 size REAL CONSTRAINT child_size CHECK (size < 10),
                 parent_id INTEGER REFERENCES parent (id)
             ) STRICT;
             CREATE TABLE pair (a INTEGER, b INTEGER, PRIMARY KEY (a, b)) STRICT, WITHOUT ROWID;
             INSERT INTO child VALUES ('x', 1, NULL);
             INSERT INTO pair VALUES (1, 2);";
        sqlx::raw_sql(setup).execute(&mut *tx).await.unwrap();
        let error = sqlx::query(sql).execute(&mut *tx).await.unwrap_err();
        Fault::of(&error)
    }

    #[tokio::test]
    async fn each_refusal_is_told_from_the_others() {
        let cases = [
            ("INSERT INTO child VALUES ('x', 1, NULL)", Fault::Taken("child.tag".into())),
            ("INSERT INTO child VALUES ('y', 10, NULL)", Fault::Check("child_size".into())),
            ("INSERT INTO child VALUES ('y', 1, 7)", Fault::Reference),
            ("INSERT INTO child VALUES (NULL, 1, NULL)", Fault::Missing("child.tag".into())),
            ("INSERT INTO child VALUES ('y', 'big', NULL)", Fault::WrongType),
            ("INSERT INTO pair VALUES (1, 2)", Fault::Taken("pair.a, pair.b".into())),
        ];
        for (sql, expected) in cases {
            assert_eq!(fault(sql).await, Some(expected), "{sql}");
        }
        assert_eq!(fault("INSERT INTO nowhere VALUES (1)").await, None);
    }

    #[test]
    fn a_fault_is_found_through_the_errors_of_the_features() {
        use crate::store::StoreError;
        #[derive(Debug, thiserror::Error)]
        enum Outer {
            #[error(transparent)]
            Aside(#[from] StoreError),
            #[error("it was not read")]
            Named(#[source] sqlx::Error),
        }
        let pool = || sqlx::Error::PoolTimedOut;
        let found = |error: Outer| Fault::within(&error);
        assert_eq!(found(Outer::Aside(StoreError::Database(pool()))), Some(Fault::Busy));
        assert_eq!(found(Outer::Named(pool())), Some(Fault::Busy));
        assert_eq!(found(Outer::Named(sqlx::Error::RowNotFound)), None);
    }

    #[tokio::test]
    async fn a_taken_value_is_found_by_its_column() {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(&folder.path().join("club.sqlite")).await.unwrap();
        let mut tx = store.write().await.unwrap();
        let again = "INSERT INTO item (kind, asset_tag, name) VALUES ('barlow', 'B-1', 'one')";
        sqlx::query(again).execute(&mut *tx).await.unwrap();
        let error = sqlx::query(again).execute(&mut *tx).await.unwrap_err();
        assert!(Fault::is_taken(&error, "item.asset_tag"));
        assert!(!Fault::is_taken(&error, "item.asset"));
    }

    #[tokio::test]
    async fn a_file_that_is_no_database_is_called_corrupt() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("club.sqlite");
        std::fs::write(&path, "this is a shopping list and not a database, ".repeat(40)).unwrap();
        match Store::open(&path).await {
            Err(crate::store::StoreError::NotOpened { error, .. }) => {
                assert_eq!(Fault::of(&error), Some(Fault::Corrupt));
            }
            other => panic!("{other:?}"),
        }
    }

    #[tokio::test]
    async fn a_full_disk_is_told_apart() {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(&folder.path().join("club.sqlite")).await.unwrap();
        let mut tx = store.write().await.unwrap();
        let setup = "CREATE TABLE heap (block BLOB) STRICT";
        sqlx::query(setup).execute(&mut *tx).await.unwrap();
        // As many pages as there are now: the next one does not fit.
        sqlx::query("PRAGMA max_page_count = 1").execute(&mut *tx).await.unwrap();
        let error = sqlx::query("INSERT INTO heap VALUES (zeroblob(1000000))")
            .execute(&mut *tx)
            .await
            .unwrap_err();
        assert_eq!(Fault::of(&error), Some(Fault::Full));
    }
}
