//! What a database error means.
//!
//! SQLite's errors carry no constraint name of their own; the kind of error and the words of its
//! message do. They are read here and nowhere else.

use sqlx::error::ErrorKind;

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
    /// The file is not, or no longer, a sound database.
    Corrupt,
}

/// SQLite's primary result codes (sqlite.org/rescode.html).
const BUSY: i64 = 5;
const LOCKED: i64 = 6;
const CORRUPT: i64 = 11;
const FULL: i64 = 13;
const NOT_A_DATABASE: i64 = 26;
/// The one extended code that the kinds below leave out.
const WRONG_TYPE: i64 = 3091;

impl Fault {
    /// Reads an error; `None` when it is none of these.
    pub fn of(error: &sqlx::Error) -> Option<Self> {
        let error = error.as_database_error()?;
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
            Err(crate::store::StoreError::Database(error)) => {
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
