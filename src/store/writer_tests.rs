//! Turns at the writing connection: kept, undone, given up, shared and refused.

use std::cell::Cell;
use std::collections::BTreeSet;
use std::future::Future;
use std::task::Poll;

use super::*;
use crate::store::{Fault, Store, StoreError, WriteTx};

/// Awaits a future for so many looks at it, then gives it up, wherever it stands.
async fn given_up_after<F: Future>(looks: u32, future: F) -> Option<F::Output> {
    let mut future = std::pin::pin!(future);
    let mut left = looks;
    std::future::poll_fn(move |context| {
        if left == 0 {
            return Poll::Ready(None);
        }
        left -= 1;
        future.as_mut().poll(context).map(Some)
    })
    .await
}

/// What a writer knows of its row in the end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Known {
    Kept,
    Undone,
    /// Given up while it was committed.
    Unclear,
}

/// When somebody goes away.
#[derive(Clone, Copy, Debug)]
enum Leaves {
    /// After so many looks, wherever that is.
    After(u32),
    /// Right after the commit was asked for, whatever comes of it.
    AtTheCommit,
}

/// Whether others may share the commit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Turns {
    Alone,
    Together,
}

async fn put(tx: &mut WriteTx, row: i64) {
    sqlx::query("INSERT INTO kept VALUES (?)").bind(row).execute(&mut **tx).await.unwrap();
}

/// Writes a row and commits it or not, unless it is given up before.
async fn write(store: &Store, row: i64, turns: Turns, commits: bool, leaves: Leaves) -> Known {
    let looks = match leaves {
        Leaves::After(looks) => looks,
        Leaves::AtTheCommit => u32::MAX,
    };
    let committing = Cell::new(false);
    let work = async {
        let mut tx = match turns {
            Turns::Alone => store.write().await.unwrap(),
            Turns::Together => store.write_together().await.unwrap(),
        };
        put(&mut tx, row).await;
        if commits {
            committing.set(true);
            if matches!(leaves, Leaves::AtTheCommit) {
                drop(given_up_after(1, tx.commit()).await);
                return false;
            }
            tx.commit().await.unwrap();
        }
        true
    };
    match given_up_after(looks, work).await {
        Some(true) if commits => Known::Kept,
        Some(false) => Known::Unclear,
        None if committing.get() => Known::Unclear,
        _ => Known::Undone,
    }
}

async fn with_a_table() -> (tempfile::TempDir, Store) {
    let folder = tempfile::tempdir().unwrap();
    let store = Store::open(&folder.path().join("club.sqlite")).await.unwrap();
    let mut tx = store.write().await.unwrap();
    let tables = "CREATE TABLE kept (n INTEGER PRIMARY KEY) STRICT;
                  CREATE TABLE pair (of INTEGER REFERENCES kept (n)) STRICT";
    sqlx::raw_sql(tables).execute(&mut *tx).await.unwrap();
    tx.commit().await.unwrap();
    (folder, store)
}

/// The rows that anybody can see.
async fn seen(store: &Store) -> BTreeSet<i64> {
    let mut conn = store.reader().acquire().await.unwrap();
    let rows = sqlx::query_scalar("SELECT n FROM kept").fetch_all(&mut *conn).await.unwrap();
    rows.into_iter().collect()
}

type Waiting = tokio::task::JoinHandle<Result<WriteTx, StoreError>>;

/// Somebody who stands in line from now on.
async fn in_line(store: &Store, turns: Turns) -> Waiting {
    let store = store.clone();
    let waiting = tokio::spawn(async move {
        match turns {
            Turns::Alone => store.write().await,
            Turns::Together => store.write_together().await,
        }
    });
    tokio::task::yield_now().await;
    assert!(!waiting.is_finished(), "it did not have to wait");
    waiting
}

/// The turn, once it has come.
async fn turn(waiting: Waiting) -> WriteTx {
    waiting.await.unwrap().unwrap()
}

/// A first writer, whose row 1 waits for its commit, and a second in the middle of theirs, which is
/// row 2; with those who came before whoever commits what they did.
async fn group<const MORE: usize>(
    store: &Store,
    more: [Turns; MORE],
) -> (tokio::task::JoinHandle<Result<(), StoreError>>, WriteTx, [Waiting; MORE]) {
    let mut first = store.write_together().await.unwrap();
    let second = in_line(store, Turns::Together).await;
    let mut behind = Vec::new();
    for turns in more {
        behind.push(in_line(store, turns).await);
    }
    put(&mut first, 1).await;
    let first = tokio::spawn(first.commit());
    let mut second = turn(second).await;
    put(&mut second, 2).await;
    (first, second, behind.try_into().unwrap())
}

#[tokio::test]
async fn what_was_acknowledged_is_there_and_what_was_given_up_is_not_in_any_order() {
    let (_folder, store) = with_a_table().await;
    let mut dice = 7_u64;
    let mut throw = move |below: u64| {
        dice = dice.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
        (dice >> 33) % below
    };
    let (mut known, mut row) = (Vec::new(), 0);
    for round in 0..120 {
        let mut waiting = tokio::task::JoinSet::new();
        let local = tokio::task::LocalSet::new();
        for _ in 0..10 {
            row += 1;
            let (store, commits) = (store.clone(), throw(4) > 0);
            let together = round % 3 > 0 && (round % 3 == 1 || throw(5) > 0);
            let turns = if together { Turns::Together } else { Turns::Alone };
            let leaves = match throw(4) {
                0 => Leaves::AtTheCommit,
                1 | 2 => Leaves::After(throw(12) as u32),
                _ => Leaves::After(u32::MAX),
            };
            waiting.spawn_local_on(
                async move { (row, write(&store, row, turns, commits, leaves).await) },
                &local,
            );
        }
        let all = async {
            while let Some(one) = waiting.join_next().await {
                known.push(one.unwrap());
            }
        };
        local.run_until(all).await;
    }
    // A turn of one's own comes after whatever others still wait for.
    drop(store.write().await.unwrap());
    let there = seen(&store).await;
    for (row, fate) in &known {
        match fate {
            Known::Kept => assert!(there.contains(row), "{row} was lost"),
            Known::Undone => assert!(!there.contains(row), "{row} was kept"),
            Known::Unclear => {}
        }
    }
    let many = |fate| known.iter().filter(|one| one.1 == fate).count();
    assert!(many(Known::Kept) > 50 && many(Known::Undone) > 50 && many(Known::Unclear) > 5);
}

#[tokio::test]
async fn whoever_comes_after_the_end_is_told_and_does_not_wait() {
    let (_folder, store) = with_a_table().await;
    store.close().await;
    let refused = store.write().await;
    assert!(matches!(refused, Err(StoreError::Database(sqlx::Error::PoolClosed))));
}

#[tokio::test]
async fn one_commit_serves_all_who_stand_in_line_and_nobody_is_told_before() {
    let (_folder, store) = with_a_table().await;
    let (first, second, [third]) = group(&store, [Turns::Together]).await;
    let second = tokio::spawn(second.commit());
    let mut third = turn(third).await;
    put(&mut third, 3).await;
    assert!(!first.is_finished() && !second.is_finished() && seen(&store).await.is_empty());
    third.commit().await.unwrap();
    first.await.unwrap().unwrap();
    second.await.unwrap().unwrap();
    assert_eq!(seen(&store).await, BTreeSet::from([1, 2, 3]));
}

#[tokio::test]
async fn who_stands_in_line_for_a_turn_of_their_own_shares_nothing() {
    let (_folder, store) = with_a_table().await;
    let (first, second, [own]) = group(&store, [Turns::Alone]).await;
    let second = tokio::spawn(second.commit());
    let mut own = turn(own).await;
    assert_eq!(seen(&store).await, BTreeSet::from([1, 2]), "they waited for somebody's long turn");
    first.await.unwrap().unwrap();
    second.await.unwrap().unwrap();
    put(&mut own, 3).await;
    drop(own);
    drop(store.write().await.unwrap());
    assert_eq!(seen(&store).await, BTreeSet::from([1, 2]));
}

#[tokio::test]
async fn a_part_that_is_refused_or_left_takes_nothing_else_along() {
    let (_folder, store) = with_a_table().await;
    let (first, mut refused, [left, last]) = group(&store, [Turns::Together; 2]).await;
    let again = sqlx::query("INSERT INTO kept VALUES (1)").execute(&mut *refused).await;
    assert!(Fault::is_taken(&again.unwrap_err(), "kept.n"));
    drop(refused);
    // Given up while something is still asked.
    let mut left = turn(left).await;
    put(&mut left, 3).await;
    given_up_after(1, put(&mut left, 4)).await;
    drop(left);
    let mut last = turn(last).await;
    put(&mut last, 5).await;
    last.commit().await.unwrap();
    first.await.unwrap().unwrap();
    assert_eq!(seen(&store).await, BTreeSet::from([1, 5]));
}

#[tokio::test]
async fn a_transaction_that_ended_by_itself_is_told_to_all_of_the_group_and_the_next_goes_on() {
    for commits in [false, true] {
        let (_folder, store) = with_a_table().await;
        let (first, mut second, [third]) = group(&store, [Turns::Together]).await;
        // What SQLite does after some errors of the disk.
        sqlx::query("ROLLBACK").execute(&mut *second).await.unwrap();
        if commits {
            assert!(second.commit().await.is_err());
        } else {
            drop(second);
        }
        let mut third = turn(third).await;
        let told = first.await.unwrap().unwrap_err();
        assert_eq!(Fault::within(&told), Some(Fault::Disk), "{told}");
        put(&mut third, 3).await;
        third.commit().await.unwrap();
        assert_eq!(seen(&store).await, BTreeSet::from([3]));
        assert!(store.trouble().is_none());
    }
}

#[tokio::test]
async fn nobody_is_told_of_a_kept_write_that_is_gone_wherever_the_next_one_gives_up() {
    for looks in 0..14 {
        let (_folder, store) = with_a_table().await;
        let mut first = store.write_together().await.unwrap();
        let second = in_line(&store, Turns::Together).await;
        // Before whoever commits what the others did.
        let mut third = Box::pin(store.write_together());
        tokio::select! {
            biased;
            _ = &mut third => panic!("it did not have to wait"),
            () = std::future::ready(()) => {}
        }
        put(&mut first, 1).await;
        let first = tokio::spawn(first.commit());
        let mut second = turn(second).await;
        // As above.
        sqlx::query("ROLLBACK").execute(&mut *second).await.unwrap();
        let (third, ()) = tokio::join!(given_up_after(looks, third), async { drop(second) });
        if let Some(third) = third {
            let mut third = third.unwrap();
            put(&mut third, 3).await;
            third.commit().await.unwrap();
        }
        let mut fourth = store.write_together().await.unwrap();
        put(&mut fourth, 4).await;
        fourth.commit().await.unwrap();
        assert!(first.await.unwrap().is_err(), "given up after {looks} looks");
        let there = seen(&store).await;
        assert!(!there.contains(&1) && !there.contains(&2) && there.contains(&4), "{there:?}");
    }
}

#[tokio::test]
async fn a_group_whose_commit_is_refused_keeps_nothing_and_the_next_goes_on() {
    let (_folder, store) = with_a_table().await;
    let (first, mut second, []) = group(&store, []).await;
    // Checked at the commit alone, which thereby can't be made.
    let loose = "PRAGMA defer_foreign_keys = ON; INSERT INTO pair (of) VALUES (7)";
    sqlx::raw_sql(loose).execute(&mut *second).await.unwrap();
    assert!(second.commit().await.is_err());
    assert!(first.await.unwrap().is_err());
    let mut third = store.write_together().await.unwrap();
    put(&mut third, 3).await;
    third.commit().await.unwrap();
    assert_eq!(seen(&store).await, BTreeSet::from([3]));
}

#[tokio::test]
async fn what_waits_for_its_commit_is_kept_when_the_connection_is_closed() {
    let folder = tempfile::tempdir().unwrap();
    let options = SqliteConnectOptions::new().filename(folder.path().join("club.sqlite"));
    let options = options.create_if_missing(true);
    let writer = Writer::on(options.connect().await.unwrap(), options.clone());
    let mut first = writer.short_turn().await.unwrap();
    let closing = tokio::spawn({
        let writer = writer.clone();
        async move {
            // In the group's line before whoever would settle it.
            let second = writer.short_turn();
            let closed = async {
                tokio::task::yield_now().await;
                writer.close().await;
            };
            tokio::join!(async { drop(second.await.unwrap()) }, closed);
        }
    });
    while writer.waiting() < 1 {
        tokio::task::yield_now().await;
    }
    first.begin().await.unwrap();
    sqlx::raw_sql("CREATE TABLE kept (n INTEGER) STRICT").execute(&mut *first).await.unwrap();
    first.commit().await.unwrap();
    closing.await.unwrap();
    let mut found = options.connect().await.unwrap();
    sqlx::query("SELECT n FROM kept").fetch_all(&mut found).await.unwrap();
}
