//! Whether the file itself is sound. What its rows mean is checked by the features.

use sqlx::{Row, SqliteConnection};

/// What SQLite finds wrong with the file: one line for each fault, none when all is well.
///
/// # Errors
/// The database could not answer at all.
pub async fn faults(conn: &mut SqliteConnection) -> Result<Vec<String>, sqlx::Error> {
    let mut faults = Vec::new();
    let lines: Vec<String> =
        sqlx::query_scalar("PRAGMA integrity_check").fetch_all(&mut *conn).await?;
    faults.extend(lines.into_iter().filter(|line| line != "ok").map(|line| {
        format!("The database file fails its own check: {}.", line.replace('\n', " "))
    }));
    for row in sqlx::query("PRAGMA foreign_key_check").fetch_all(&mut *conn).await? {
        let table: String = row.try_get(0)?;
        let number: Option<i64> = row.try_get(1)?;
        let parent: String = row.try_get(2)?;
        let number = number.map_or_else(String::new, |number| format!(" {number}"));
        faults.push(format!("Row{number} of table {table} points at a missing row of {parent}."));
    }
    Ok(faults)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::Store;

    #[tokio::test]
    async fn a_fresh_database_is_sound_and_a_row_that_points_nowhere_is_found() {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(&folder.path().join("club.sqlite")).await.unwrap();
        let mut tx = store.write().await.unwrap();
        assert_eq!(faults(&mut tx).await.unwrap(), Vec::<String>::new());
        drop(tx);
        store.close().await;
        let mut loose = loose_connection(&folder.path().join("club.sqlite")).await;
        sqlx::query("INSERT INTO reservation_item (reservation_id, item_id) VALUES (7, 8)")
            .execute(&mut loose)
            .await
            .unwrap();
        let found = faults(&mut loose).await.unwrap();
        assert_eq!(found.len(), 2, "{found:?}");
        assert!(found.iter().all(|f| f.starts_with("Row of table reservation_item points")));
    }

    #[tokio::test]
    async fn a_torn_page_is_found() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("club.sqlite");
        let store = Store::open(&path).await.unwrap();
        let mut tx = store.write().await.unwrap();
        let root: i64 =
            sqlx::query_scalar("SELECT rootpage FROM sqlite_schema WHERE name = 'filter'")
                .fetch_one(&mut *tx)
                .await
                .unwrap();
        drop(tx);
        store.close().await;
        let mut bytes = std::fs::read(&path).unwrap();
        let page = usize::from(u16::from_be_bytes([bytes[16], bytes[17]]));
        let start = (usize::try_from(root).unwrap() - 1) * page;
        bytes[start..start + page].fill(0xa5);
        std::fs::write(&path, bytes).unwrap();
        let mut loose = loose_connection(&path).await;
        // SQLite either lists the damage or refuses to read: both tell.
        match faults(&mut loose).await {
            Ok(found) => assert!(!found.is_empty()),
            Err(error) => {
                assert_eq!(crate::store::Fault::of(&error), Some(crate::store::Fault::Corrupt));
            }
        }
    }

    /// A connection without the rules that the store sets, as a careless hand might open it.
    async fn loose_connection(path: &std::path::Path) -> SqliteConnection {
        use sqlx::ConnectOptions;
        sqlx::sqlite::SqliteConnectOptions::new()
            .filename(path)
            .foreign_keys(false)
            .connect()
            .await
            .unwrap()
    }
}
