//! A database of each released schema, kept as text in `tests/schemas/`, opens in this program with
//! everything in it.

use std::path::{Path, PathBuf};

use sqlx::sqlite::{SqliteConnectOptions, SqliteConnection};
use sqlx::{ConnectOptions as _, Connection as _};

use super::process::{run, stderr, stdout};

/// Tables of which every row must still be there.
const KEPT: [&str; 7] =
    ["item", "member", "account", "reservation", "loan", "lending_event", "public_night"];

async fn connect(database: &Path) -> SqliteConnection {
    let options = SqliteConnectOptions::new().filename(database).create_if_missing(true);
    options.connect().await.unwrap()
}

async fn number(club: &mut SqliteConnection, sql: String) -> i64 {
    sqlx::query_scalar(sqlx::AssertSqlSafe(sql)).fetch_one(club).await.unwrap()
}

async fn rows(club: &mut SqliteConnection) -> Vec<(&'static str, i64)> {
    let mut rows = Vec::new();
    for table in KEPT {
        rows.push((table, number(club, format!("SELECT count(*) FROM {table}")).await));
    }
    rows
}

async fn schema(club: &mut SqliteConnection) -> i64 {
    number(club, "SELECT max(version) FROM _sqlx_migrations".into()).await
}

/// Every kept schema with its number.
fn kept() -> Vec<(i64, PathBuf)> {
    let files = std::fs::read_dir("tests/schemas").unwrap().map(|entry| entry.unwrap().path());
    let mut kept: Vec<_> = files
        .map(|path| (path.file_stem().unwrap().to_str().unwrap().parse().unwrap(), path))
        .collect();
    kept.sort();
    kept
}

#[tokio::test]
async fn a_club_of_each_released_schema_opens_with_all_its_pieces_loans_and_members() {
    assert!(!kept().is_empty(), "no schema is kept");
    for (version, path) in kept() {
        let folder = tempfile::tempdir().unwrap();
        let database = folder.path().join("club.sqlite");
        let mut old = connect(&database).await;
        let text = std::fs::read_to_string(&path).unwrap();
        sqlx::raw_sql(sqlx::AssertSqlSafe(text)).execute(&mut old).await.unwrap();
        old.close().await.unwrap();
        let mut old = connect(&database).await;
        assert_eq!(schema(&mut old).await, version, "{}", path.display());
        let before = rows(&mut old).await;
        assert!(before.iter().all(|(_, rows)| *rows > 0), "{before:?}");
        old.close().await.unwrap();

        let data = folder.path().to_owned();
        let check = tokio::task::spawn_blocking(move || run(&["check"], &data)).await.unwrap();
        assert_eq!(stdout(&check), "All is well.\n", "{version}: {}", stderr(&check));
        let mut new = connect(&database).await;
        assert_eq!(rows(&mut new).await, before, "{version}");
        let now = schema(&mut new).await;
        let copy = folder.path().join(format!("club.sqlite.before-schema-{version:04}"));
        assert_eq!(copy.exists(), now > version, "{version}: a copy before each step up");
    }
}
