//! A club's own shelf, as it was before, through the migrations that change stored tables.

use std::path::Path;

use sqlx::sqlite::SqliteConnectOptions;
use sqlx::{AssertSqlSafe, ConnectOptions as _, SqliteConnection};

/// The migrations in their order: name and text.
fn migrations() -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("migrations");
    let mut all: Vec<(String, String)> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .map(|path| {
            let name = path.file_name().unwrap().to_str().unwrap().to_owned();
            (name, std::fs::read_to_string(path).unwrap())
        })
        .collect();
    all.sort();
    all
}

async fn run(conn: &mut SqliteConnection, sql: &str) -> sqlx::Result<()> {
    sqlx::raw_sql(AssertSqlSafe(sql.to_owned())).execute(conn).await.map(|_| ())
}

async fn texts(conn: &mut SqliteConnection, sql: &str) -> Vec<String> {
    sqlx::query_scalar(AssertSqlSafe(sql.to_owned())).fetch_all(conn).await.unwrap()
}

#[tokio::test]
async fn a_filled_shelf_takes_the_fifth_kind_and_keeps_every_row() {
    let folder = tempfile::tempdir().unwrap();
    let options = SqliteConnectOptions::new()
        .filename(folder.path().join("club.sqlite"))
        .create_if_missing(true)
        .foreign_keys(true)
        .pragma("trusted_schema", "OFF");
    let mut conn = options.connect().await.unwrap();
    let all = migrations();
    let fifth = all.iter().position(|(name, _)| name == "0032_accessories.sql").unwrap();
    for (_, sql) in &all[..fifth] {
        run(&mut conn, sql).await.unwrap();
    }
    run(
        &mut conn,
        "INSERT INTO item (id, kind, asset_tag, name) VALUES
             (1, 'telescope', 'T-1', 'x'), (2, 'filter', 'F-1', 'x');
         INSERT INTO telescope (item_id, layout, aperture_mm, focal_length_mm)
         VALUES (1, 'other', 100, 1000);
         INSERT INTO filter (item_id, kind, fits_telescope_id) VALUES (2, 'moon', 1);
         INSERT INTO item_change (item_id, version, field, after, changed_at)
         VALUES (1, 1, 'asset_tag', 'T-1', 0);
         INSERT INTO member (id, member_number, name, state) VALUES (1, 'M-1', 'x', 'active');
         INSERT INTO reservation (id, member_id, first_night, last_night, state, created_at)
         VALUES (1, 1, '2026-06-05', '2026-06-05', 'confirmed', 0);
         INSERT INTO reservation_item (reservation_id, item_id) VALUES (1, 1);
         INSERT INTO item_night (item_id, night, reservation_id) VALUES (1, '2026-06-05', 1)",
    )
    .await
    .unwrap();
    let new = "INSERT INTO item (kind, asset_tag, name) VALUES ('accessory', 'A-1', 'x')";
    assert!(run(&mut conn, new).await.is_err(), "not before");

    run(&mut conn, &format!("BEGIN; {}; COMMIT", all[fifth].1)).await.unwrap();
    for (_, sql) in &all[fifth + 1..] {
        run(&mut conn, sql).await.unwrap();
    }
    run(&mut conn, new).await.unwrap();
    assert_eq!(
        texts(&mut conn, "SELECT asset_tag FROM item ORDER BY id").await,
        ["T-1", "F-1", "A-1"]
    );
    assert_eq!(texts(&mut conn, "SELECT night FROM item_night").await, ["2026-06-05"]);
    assert_eq!(texts(&mut conn, "SELECT field FROM item_change").await, ["asset_tag"]);
    assert_eq!(texts(&mut conn, "PRAGMA integrity_check").await, ["ok"]);
    assert!(sqlx::query("PRAGMA foreign_key_check").fetch_all(&mut conn).await.unwrap().is_empty());
    let camel = "INSERT INTO item (kind, asset_tag, name) VALUES ('camel', 'C-1', 'x')";
    assert!(run(&mut conn, camel).await.is_err(), "the other kinds are still refused");
    let figures = "INSERT INTO accessory (item_id, kind) SELECT id, 'case' FROM item WHERE kind = ";
    assert!(
        run(&mut conn, &format!("{figures}'filter'")).await.is_err(),
        "figures of another kind"
    );
    run(&mut conn, &format!("{figures}'accessory'")).await.unwrap();
    // Another connection reads the changed table too.
    let mut again = options.connect().await.unwrap();
    run(&mut again, "DELETE FROM item WHERE kind = 'accessory'").await.unwrap();
    assert!(texts(&mut again, "SELECT kind FROM accessory").await.is_empty(), "gone with its item");
}
