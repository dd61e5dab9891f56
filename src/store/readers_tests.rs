//! Reading connections: lent, given back, given up, stuck and closed.

use super::*;

async fn readers(folder: &tempfile::TempDir) -> (Readers, SqliteConnection) {
    let options = SqliteConnectOptions::new()
        .filename(folder.path().join("club.sqlite"))
        .create_if_missing(true);
    let options = options.journal_mode(sqlx::sqlite::SqliteJournalMode::Wal);
    let mut writer = SqliteConnection::connect_with(&options).await.unwrap();
    sqlx::raw_sql("CREATE TABLE said (n INTEGER) STRICT").execute(&mut writer).await.unwrap();
    (Readers::open(options).await.unwrap(), writer)
}

async fn said(conn: &mut SqliteConnection) -> i64 {
    sqlx::query_scalar("SELECT count(*) FROM said").fetch_one(conn).await.unwrap()
}

async fn say(conn: &mut SqliteConnection) {
    sqlx::query("INSERT INTO said VALUES (1)").execute(conn).await.unwrap();
}

#[tokio::test]
async fn a_moment_is_seen_as_it_was_until_it_is_given_back() {
    let folder = tempfile::tempdir().unwrap();
    let (readers, mut writer) = readers(&folder).await;
    let mut moment = readers.begin().await.unwrap();
    assert_eq!(said(&mut moment).await, 0);
    say(&mut writer).await;
    assert_eq!(said(&mut moment).await, 0);
    drop(moment);
    // The same connection: whoever gets it next sees the present.
    assert_eq!(said(&mut readers.acquire().await.unwrap()).await, 1);
    assert_eq!(said(&mut readers.begin().await.unwrap()).await, 1);
}

#[tokio::test]
async fn a_moment_that_was_given_up_holds_no_log_open() {
    let folder = tempfile::tempdir().unwrap();
    let (readers, mut writer) = readers(&folder).await;
    for _ in 0..50 {
        let mut moment = readers.begin().await.unwrap();
        // Polled once and dropped, as when a visitor goes away.
        tokio::select! {
            biased;
            _ = said(&mut moment) => {}
            () = std::future::ready(()) => {}
        }
        let opened = readers.begin();
        tokio::select! {
            biased;
            _ = opened => {}
            () = std::future::ready(()) => {}
        }
    }
    say(&mut writer).await;
    drop(readers.acquire().await.unwrap());
    for slot in readers.slots.iter() {
        if let Some(open) = slot.lock().await.as_mut() {
            assert_eq!(said(&mut open.conn).await, 1);
        }
    }
    assert!(folds(&mut writer).await, "somebody still holds a moment");
}

async fn folds(writer: &mut SqliteConnection) -> bool {
    let (busy, _, _): (i64, i64, i64) =
        sqlx::query_as("PRAGMA wal_checkpoint(TRUNCATE)").fetch_one(writer).await.unwrap();
    busy == 0
}

#[tokio::test]
async fn a_connection_whose_moment_ended_by_itself_shows_the_present_to_who_comes_next() {
    let folder = tempfile::tempdir().unwrap();
    let (readers, mut writer) = readers(&folder).await;
    let mut moment = readers.begin().await.unwrap();
    // As SQLite does after an error of the disk, behind the library's back.
    sqlx::raw_sql("ROLLBACK").execute(&mut *moment).await.unwrap();
    drop(moment);
    let depth = async {
        let mut slot = readers.slots[0].lock().await;
        let conn = &mut slot.as_mut().unwrap().conn;
        conn.ping().await.unwrap();
        Transactions::get_transaction_depth(conn)
    };
    assert_eq!(depth.await, 1, "the library believes that the moment goes on");
    // The others are taken, so that everybody gets this one.
    let mut others = Vec::new();
    for _ in 1..Readers::MOST {
        others.push(readers.acquire().await.unwrap());
    }
    for present in 0..3 {
        assert_eq!(said(&mut readers.acquire().await.unwrap()).await, present);
        assert_eq!(said(&mut readers.begin().await.unwrap()).await, present);
        say(&mut writer).await;
    }
    drop(readers.acquire().await.unwrap());
    assert!(folds(&mut writer).await, "somebody still holds a moment");
}

/// Ends the thread of a connection that somebody asks from within a span, and tells when it has.
struct Deadly(std::sync::mpsc::Sender<()>);

struct Ended(std::sync::mpsc::Sender<()>);

impl Drop for Ended {
    fn drop(&mut self) {
        self.0.send(()).ok();
    }
}

thread_local! {
    static END: std::cell::RefCell<Option<Ended>> = const { std::cell::RefCell::new(None) };
}

impl<S: tracing::Subscriber> tracing_subscriber::Layer<S> for Deadly {
    fn on_enter(&self, _: &tracing::span::Id, _: tracing_subscriber::layer::Context<'_, S>) {
        let thread = std::thread::current();
        if thread.name().is_some_and(|name| name.starts_with("sqlx")) {
            END.set(Some(Ended(self.0.clone())));
            panic!("on purpose");
        }
    }
}

/// Readers with one connection, whose thread has died.
async fn with_a_dead_one(folder: &tempfile::TempDir) -> Readers {
    use tracing::Instrument as _;
    use tracing_subscriber::layer::SubscriberExt as _;
    let (readers, _) = readers(folder).await;
    let (end, ended) = std::sync::mpsc::channel();
    let deadly = tracing_subscriber::registry().with(Deadly(end));
    let deadly = tracing::subscriber::set_default(deadly);
    let mut reading = readers.acquire().await.unwrap();
    let last = reading.ping().instrument(tracing::error_span!("the last"));
    assert!(matches!(last.await, Err(sqlx::Error::WorkerCrashed)));
    ended.recv().unwrap();
    drop((reading, deadly));
    readers
}

#[tokio::test]
async fn a_connection_that_died_is_replaced_for_who_begins() {
    let folder = tempfile::tempdir().unwrap();
    let readers = with_a_dead_one(&folder).await;
    assert_eq!(said(&mut readers.begin().await.unwrap()).await, 0);
}

#[tokio::test]
async fn a_connection_that_died_is_replaced_for_everybody_when_it_was_not_seen_for_a_while() {
    let folder = tempfile::tempdir().unwrap();
    let readers = with_a_dead_one(&folder).await;
    readers.slots[0].lock().await.as_mut().unwrap().seen = None;
    assert_eq!(said(&mut readers.acquire().await.unwrap()).await, 0);
}

#[tokio::test]
async fn nobody_waits_behind_a_query_that_was_given_up_while_others_are_free() {
    let folder = tempfile::tempdir().unwrap();
    let (readers, _writer) = readers(&folder).await;
    let mut moment = readers.begin().await.unwrap();
    let (open_gate, gate) = std::sync::mpsc::channel::<()>();
    // Stands until the gate is opened for good.
    moment.lock_handle().await.unwrap().set_progress_handler(1, move || {
        while gate.recv().is_ok() {}
        true
    });
    tokio::select! {
        biased;
        _ = said(&mut moment) => {}
        () = std::future::ready(()) => {}
    }
    drop(moment);
    let next = readers.begin().await.unwrap();
    assert!(readers.slots[0].try_lock().is_ok(), "it got the one that is busy");
    drop((next, open_gate));
    readers.close().await;
}

fn open(readers: &Readers) -> usize {
    // Whoever holds one has opened it.
    let open = |slot: &&Slot| slot.try_lock().map_or(true, |slot| slot.is_some());
    readers.slots.iter().filter(open).count()
}

#[tokio::test(start_paused = true)]
async fn another_connection_is_opened_only_where_one_is_long_in_coming() {
    let folder = tempfile::tempdir().unwrap();
    let (readers, _) = readers(&folder).await;
    for _ in 0..50 {
        said(&mut readers.acquire().await.unwrap()).await;
    }
    let one = readers.acquire().await.unwrap();
    let mut soon = Box::pin(readers.acquire());
    tokio::select! {
        biased;
        _ = &mut soon => panic!("nothing was given back"),
        () = std::future::ready(()) => {}
    }
    drop(one);
    drop(soon.await.unwrap());
    assert_eq!(open(&readers), 1);
    let one = readers.acquire().await.unwrap();
    let another = readers.acquire().await.unwrap();
    assert_eq!(open(&readers), 2);
    // Nobody has had a turn at once for so long: who comes now waits no more.
    tokio::time::sleep(2 * OPENS_AFTER).await;
    let before = Instant::now();
    let third = readers.acquire().await.unwrap();
    assert!(before.elapsed() < OPENS_AFTER);
    drop((one, another, third));
    assert_eq!(open(&readers), 3);
}

#[tokio::test(start_paused = true)]
async fn who_comes_fifth_waits_and_is_then_told() {
    let folder = tempfile::tempdir().unwrap();
    let (readers, _) = readers(&folder).await;
    let mut held = Vec::new();
    for _ in 0..Readers::MOST {
        held.push(readers.acquire().await.unwrap());
    }
    assert!(matches!(readers.acquire().await, Err(sqlx::Error::PoolTimedOut)));
    held.pop();
    assert!(readers.acquire().await.is_ok());
}

#[tokio::test]
async fn closing_waits_for_who_still_reads() {
    let folder = tempfile::tempdir().unwrap();
    let (readers, _) = readers(&folder).await;
    let reading = readers.acquire().await.unwrap();
    let closing = readers.clone();
    let closed = tokio::spawn(async move { closing.close().await });
    tokio::task::yield_now().await;
    assert!(!closed.is_finished());
    drop(reading);
    closed.await.unwrap();
    assert!(matches!(readers.acquire().await, Err(sqlx::Error::PoolClosed)));
    readers.close().await;
}
