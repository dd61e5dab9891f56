//! Bringing a database up to date: a copy first, whole steps only, never backwards.

use std::path::{Path, PathBuf};
use std::process::Stdio;
use std::time::Duration;

use sqlx::sqlite::{SqliteConnectOptions, SqliteConnection};
use sqlx::{ConnectOptions as _, Connection as _};

use super::process::{binary, run, stderr, stdout};
use super::trouble::asked;

/// The schema that the tests begin with: long before the newest.
const OLD: &str = "0017";
/// So many members that the steps take a while.
const MEMBERS: i64 = 60_000;

async fn connect(database: &Path) -> SqliteConnection {
    let options = SqliteConnectOptions::new().filename(database).create_if_missing(true);
    options.connect().await.unwrap()
}

/// A club as an older program left it.
async fn older_club(data: &Path) {
    std::fs::create_dir_all(data).unwrap();
    let steps = tempfile::tempdir().unwrap();
    for entry in std::fs::read_dir("migrations").unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_str().unwrap().to_owned();
        if name.as_str() <= &*format!("{OLD}~") {
            std::fs::copy(&path, steps.path().join(name)).unwrap();
        }
    }
    let mut club = connect(&data.join("club.sqlite")).await;
    sqlx::query("PRAGMA journal_mode = WAL").execute(&mut club).await.unwrap();
    sqlx::migrate::Migrator::new(steps.path()).await.unwrap().run(&mut club).await.unwrap();
    sqlx::query("INSERT INTO club (id, name, time_zone) VALUES (1, 'Old friends', 'Europe/Paris')")
        .execute(&mut club)
        .await
        .unwrap();
    sqlx::query(
        "WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < ?1)
         INSERT INTO member (member_number, name) SELECT 'M-' || i, 'Somebody' FROM n",
    )
    .bind(MEMBERS)
    .execute(&mut club)
    .await
    .unwrap();
    club.close().await.unwrap();
}

fn newest() -> i64 {
    let files = std::fs::read_dir("migrations").unwrap();
    let number = |path: PathBuf| path.file_name()?.to_str()?.split('_').next()?.parse().ok();
    files.filter_map(|entry| number(entry.unwrap().path())).max().unwrap()
}

#[tokio::test]
async fn an_older_database_is_copied_then_brought_up_to_date() {
    let folder = tempfile::tempdir().unwrap();
    older_club(folder.path()).await;
    let check = tokio::task::spawn_blocking({
        let data = folder.path().to_owned();
        move || (run(&["check"], &data), asked(&data.join("club.sqlite"), VERSION))
    });
    let (check, version) = check.await.unwrap();
    assert_eq!(stdout(&check), "All is well.\n", "{}", stderr(&check));
    assert_eq!(version, newest());
    let mut copy = connect(&copy_of(folder.path())).await;
    let before: i64 = sqlx::query_scalar(VERSION).fetch_one(&mut copy).await.unwrap();
    let members: i64 =
        sqlx::query_scalar("SELECT count(*) FROM member").fetch_one(&mut copy).await.unwrap();
    assert_eq!((format!("{before:04}").as_str(), members), (OLD, MEMBERS));
}

const VERSION: &str = "SELECT max(version) FROM _sqlx_migrations";

fn copy_of(data: &Path) -> PathBuf {
    data.join(format!("club.sqlite.before-schema-{OLD}"))
}

#[tokio::test]
async fn a_program_killed_at_any_moment_of_it_leaves_whole_steps_and_every_row() {
    let folder = tempfile::tempdir().unwrap();
    let old = folder.path().join("old");
    older_club(&old).await;
    let outcomes = tokio::task::spawn_blocking(move || {
        let mut outcomes = Vec::new();
        let mut wait = Duration::ZERO;
        // Later and later, until one is quick enough to finish.
        loop {
            let data = old.with_file_name(format!("killed-{}", wait.as_millis()));
            std::fs::create_dir(&data).unwrap();
            std::fs::copy(old.join("club.sqlite"), data.join("club.sqlite")).unwrap();
            let mut command = binary();
            command.arg("check").env("BORROWED_LIGHT_DATA", &data);
            let mut child = command.stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
            std::thread::sleep(wait);
            let finished = child.try_wait().unwrap().is_some();
            let _ = child.kill();
            child.wait().unwrap();
            outcomes.push(looked_at(&data));
            if finished || wait > Duration::from_secs(20) {
                return outcomes;
            }
            wait = wait * 5 / 4 + Duration::from_millis(5);
        }
    });
    let outcomes = outcomes.await.unwrap();
    println!("schemas after the kills: {outcomes:?}");
    let (first, last) = (outcomes.first().unwrap(), outcomes.last().unwrap());
    assert_eq!((format!("{first:04}").as_str(), *last), (OLD, newest()));
}

/// What a killed program left: looked at as it is, then brought up to date by the next start.
fn looked_at(data: &Path) -> i64 {
    let database = data.join("club.sqlite");
    let version = asked(&database, VERSION);
    assert_eq!(
        asked(
            &database,
            "SELECT count(*) FROM pragma_integrity_check WHERE integrity_check = 'ok'"
        ),
        1
    );
    assert_eq!(asked(&database, "SELECT count(*) FROM _sqlx_migrations WHERE NOT success"), 0);
    assert_eq!(asked(&database, "SELECT count(*) FROM member"), MEMBERS);
    if format!("{version:04}") != OLD {
        assert!(copy_of(data).exists(), "a step was taken without a copy");
    }
    let check = run(&["check"], data);
    assert_eq!(stdout(&check), "All is well.\n", "{}", stderr(&check));
    assert_eq!(asked(&database, VERSION), newest());
    assert_eq!(asked(&copy_of(data), "SELECT count(*) FROM member"), MEMBERS);
    version
}

#[tokio::test]
async fn a_step_that_leaves_rows_pointing_nowhere_is_refused_at_every_start() {
    let folder = tempfile::tempdir().unwrap();
    older_club(folder.path()).await;
    let database = folder.path().join("club.sqlite");
    // The copy is made already; what comes then stands for the doing of a step.
    std::fs::copy(&database, copy_of(folder.path())).unwrap();
    let options = SqliteConnectOptions::new().filename(&database).foreign_keys(false);
    let mut club = options.connect().await.unwrap();
    sqlx::query("INSERT INTO reservation_item (reservation_id, item_id) VALUES (7, 8)")
        .execute(&mut club)
        .await
        .unwrap();
    club.close().await.unwrap();
    for start in 1..=2 {
        let refused = run(&["check"], folder.path());
        assert_eq!(refused.status.code(), Some(1), "start {start}: {}", stdout(&refused));
        let told = stderr(&refused);
        assert!(told.contains("rows of reservation_item that point at nothing"), "{told}");
    }
    let mut club = connect(&database).await;
    let version: i64 = sqlx::query_scalar(VERSION).fetch_one(&mut club).await.unwrap();
    assert_eq!(version, newest());
    sqlx::query("DELETE FROM reservation_item").execute(&mut club).await.unwrap();
    club.close().await.unwrap();
    assert_eq!(stdout(&run(&["check"], folder.path())), "All is well.\n");
    let mut club = connect(&database).await;
    let owed: i64 = sqlx::query_scalar("PRAGMA user_version").fetch_one(&mut club).await.unwrap();
    assert_eq!(owed, 0, "the check is still owed");
}

#[tokio::test]
async fn a_database_of_a_newer_release_is_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    older_club(folder.path()).await;
    let mut club = connect(&folder.path().join("club.sqlite")).await;
    sqlx::query(
        "INSERT INTO _sqlx_migrations (version, description, success, checksum, execution_time)
         VALUES (99999999, 'from the future', 1, x'00', 0)",
    )
    .execute(&mut club)
    .await
    .unwrap();
    club.close().await.unwrap();
    let before = std::fs::read(folder.path().join("club.sqlite")).unwrap();
    for command in [&["check"][..], &["serve", "--listen", "127.0.0.1:0"]] {
        let refused = run(command, folder.path());
        assert_eq!(refused.status.code(), Some(1), "{}", stdout(&refused));
        let told = stderr(&refused);
        assert!(told.contains("written by a newer Borrowed Light (schema 99999999"), "{told}");
        assert!(told.contains("install that release"), "{told}");
    }
    assert!(std::fs::read(folder.path().join("club.sqlite")).unwrap() == before, "it was touched");
}
