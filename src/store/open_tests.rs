//! What stands open: durable, read-only where it says so, refused where it is newer.

use super::*;

#[test]
fn versions_compare_by_number_not_by_text() {
    assert!(parse_version("3.51.3") >= Some(OLDEST_SAFE_SQLITE));
    assert!(parse_version("3.60.0") > Some(OLDEST_SAFE_SQLITE));
    assert!(parse_version("3.9.12") < Some(OLDEST_SAFE_SQLITE));
    assert_eq!(parse_version("three"), None);
}

#[tokio::test]
async fn a_write_is_kept_only_when_committed() {
    let folder = tempfile::tempdir().unwrap();
    let store = Store::open(&folder.path().join("club.sqlite")).await.unwrap();
    let mut tx = store.write().await.unwrap();
    sqlx::query("CREATE TABLE kept (n INTEGER) STRICT").execute(&mut *tx).await.unwrap();
    tx.commit().await.unwrap();
    let mut tx = store.write().await.unwrap();
    sqlx::query("INSERT INTO kept VALUES (1)").execute(&mut *tx).await.unwrap();
    drop(tx);
    let kept: i64 = sqlx::query_scalar("SELECT count(*) FROM kept")
        .fetch_one(&mut *store.reader().acquire().await.unwrap())
        .await
        .unwrap();
    assert_eq!(kept, 0);
}

#[tokio::test]
async fn sqlite_is_built_in_as_the_house_wants_it() {
    let folder = tempfile::tempdir().unwrap();
    let store = Store::open(&folder.path().join("club.sqlite")).await.unwrap();
    let mut conn = store.reader().acquire().await.unwrap();
    let options: Vec<String> =
        sqlx::query_scalar("PRAGMA compile_options").fetch_all(&mut *conn).await.unwrap();
    let has = |wanted: &str| options.iter().any(|option| option == wanted);
    // See `.cargo/config.toml`.
    assert!(has("ENABLE_QPSG") && !has("ENABLE_MEMORY_MANAGEMENT"), "{options:?}");
    assert!(!options.iter().any(|option| option == "DEFAULT_MEMSTATUS=1"), "{options:?}");
}

#[tokio::test]
async fn the_readers_refuse_to_write() {
    let folder = tempfile::tempdir().unwrap();
    let store = Store::open(&folder.path().join("club.sqlite")).await.unwrap();
    let refused = sqlx::query("CREATE TABLE sly (n INTEGER) STRICT")
        .execute(&mut *store.reader().acquire().await.unwrap())
        .await;
    assert!(refused.is_err());
}

#[tokio::test]
async fn commits_are_fully_durable_and_foreign_keys_hold() {
    let folder = tempfile::tempdir().unwrap();
    let store = Store::open(&folder.path().join("club.sqlite")).await.unwrap();
    let mut tx = store.write().await.unwrap();
    let synchronous: i64 =
        sqlx::query_scalar("PRAGMA synchronous").fetch_one(&mut *tx).await.unwrap();
    let foreign_keys: i64 =
        sqlx::query_scalar("PRAGMA foreign_keys").fetch_one(&mut *tx).await.unwrap();
    assert_eq!((synchronous, foreign_keys), (2, 1));
}

#[tokio::test]
async fn a_newer_schema_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("club.sqlite");
    let store = Store::open(&path).await.unwrap();
    let mut tx = store.write().await.unwrap();
    sqlx::query(
        "INSERT INTO _sqlx_migrations (version, description, success, checksum, execution_time)
         VALUES (99999999, 'from the future', 1, x'00', 0)",
    )
    .execute(&mut *tx)
    .await
    .unwrap();
    tx.commit().await.unwrap();
    store.close().await;
    let refused = Store::open(&path).await;
    assert!(matches!(refused, Err(StoreError::NewerSchema { .. })));
}
