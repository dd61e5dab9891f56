//! Copies made while others write, damaged copies, and the way back.

use super::*;
use crate::store::Store;

async fn club(folder: &Path) -> (Store, PathBuf) {
    let path = folder.join("club.sqlite");
    (Store::open(&path).await.unwrap(), path)
}

async fn join(store: &Store, number: &str) {
    let mut tx = store.write().await.unwrap();
    sqlx::query("INSERT INTO member (member_number, name) VALUES (?1, 'Ines Aldous')")
        .bind(number)
        .execute(&mut *tx)
        .await
        .unwrap();
    tx.commit().await.unwrap();
}

async fn members(store: &Store) -> i64 {
    sqlx::query_scalar("SELECT count(*) FROM member")
        .fetch_one(&mut *store.reader().acquire().await.unwrap())
        .await
        .unwrap()
}

#[tokio::test]
async fn a_copy_of_a_club_in_use_holds_what_was_committed_and_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    let (store, path) = club(folder.path()).await;
    join(&store, "1").await;
    let mut open = store.write().await.unwrap();
    sqlx::query("INSERT INTO member (member_number, name) VALUES ('2', 'Not yet')")
        .execute(&mut *open)
        .await
        .unwrap();
    let to = folder.path().join("copy.sqlite");
    let copied = back_up(&path, &to).await.unwrap();
    open.commit().await.unwrap();
    assert_eq!(copied.schema, newest_known_schema());
    assert_eq!(to.metadata().unwrap().permissions().mode() & 0o777, 0o600);
    assert!(!beside(&to, ".part").exists());

    join(&store, "3").await;
    assert_eq!(members(&store).await, 3);
    store.close().await;
    let (again, kept) = restore(&to, &path, "now").await.unwrap();
    assert_eq!((again.rows, again.tables), (copied.rows, copied.tables));
    let store = Store::open(&path).await.unwrap();
    assert_eq!(members(&store).await, 1);
    store.close().await;
    let before = Store::open(&kept.unwrap()).await.unwrap();
    assert_eq!(members(&before).await, 3, "what stood before the restore is kept");
}

#[tokio::test]
async fn nothing_is_overwritten_and_a_club_in_use_is_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let (store, path) = club(folder.path()).await;
    let to = folder.path().join("copy.sqlite");
    back_up(&path, &to).await.unwrap();
    assert!(matches!(back_up(&path, &to).await, Err(BackupError::Taken(_))));
    join(&store, "1").await;
    assert!(matches!(restore(&to, &path, "now").await, Err(BackupError::InUse)));
    assert_eq!(members(&store).await, 1);
    assert!(!beside(&path, ".restoring").exists(), "a half-written file was left");
}

#[tokio::test]
async fn what_is_no_sound_copy_is_refused_and_the_club_stays() {
    let folder = tempfile::tempdir().unwrap();
    let (store, path) = club(folder.path()).await;
    join(&store, "1").await;
    let good = folder.path().join("good.sqlite");
    back_up(&path, &good).await.unwrap();
    let root: i64 = sqlx::query_scalar("SELECT rootpage FROM sqlite_schema WHERE name = 'filter'")
        .fetch_one(&mut *store.reader().acquire().await.unwrap())
        .await
        .unwrap();
    store.close().await;
    let bytes = std::fs::read(&good).unwrap();
    let page = usize::from(u16::from_be_bytes([bytes[16], bytes[17]]));
    let mut torn = bytes.clone();
    let start = (usize::try_from(root).unwrap() - 1) * page;
    torn[start..start + page].fill(0xa5);
    let bad = folder.path().join("bad.sqlite");
    for content in [&torn[..], &bytes[..bytes.len() / 2], b"name,aperture_mm\n", b""] {
        std::fs::write(&bad, content).unwrap();
        let refused = restore(&bad, &path, "now").await;
        assert!(matches!(refused, Err(BackupError::Unsound { .. })), "{refused:?}");
    }
    let store = Store::open(&path).await.unwrap();
    assert_eq!(members(&store).await, 1);
}

#[tokio::test]
async fn a_club_too_damaged_to_open_is_replaced_and_kept_aside() {
    let folder = tempfile::tempdir().unwrap();
    let (store, path) = club(folder.path()).await;
    join(&store, "1").await;
    let good = folder.path().join("good.sqlite");
    back_up(&path, &good).await.unwrap();
    store.close().await;
    std::fs::write(&path, "no database any more").unwrap();
    let (_, kept) = restore(&good, &path, "now").await.unwrap();
    assert_eq!(std::fs::read(kept.unwrap()).unwrap(), b"no database any more");
    assert_eq!(members(&Store::open(&path).await.unwrap()).await, 1);
}

#[tokio::test]
async fn an_old_schema_is_copied_before_it_is_brought_up_to_date() {
    let folder = tempfile::tempdir().unwrap();
    let (store, path) = club(folder.path()).await;
    let mut tx = store.write().await.unwrap();
    // As if all migrations but the first were still to come.
    sqlx::query("DELETE FROM _sqlx_migrations WHERE version > 1").execute(&mut *tx).await.unwrap();
    tx.commit().await.unwrap();
    store.close().await;
    // The tables of the second migration are there already, so it fails: what stood is untouched.
    assert!(Store::open(&path).await.is_err());
    let copies: Vec<_> = std::fs::read_dir(folder.path())
        .unwrap()
        .filter_map(|entry| entry.unwrap().file_name().into_string().ok())
        .filter(|name| name.starts_with("club.sqlite.before-schema-"))
        .collect();
    assert_eq!(copies.len(), 1, "{copies:?}");
    look_at(&folder.path().join(&copies[0])).await.unwrap();
}
