//! Disks that are full, refuse or can't be written, and a file that somebody else keeps locked:
//! each is really caused.

use std::process::Command;
use std::sync::atomic::{AtomicBool, AtomicI64, Ordering};

use super::process::{binary, run, stderr, stdout};
use super::trouble::{Demo, Disk, Worn, asked, status};

const CLOSED: &str = "SELECT count(*) FROM closed_night";

/// What everybody must be told while nothing can be stored, and what must hold before and after.
fn is_told_and_goes_on(demo: &Demo, sentence: &str, break_it: impl FnOnce(), mend: impl FnOnce()) {
    let desk = demo.session("quartermaster");
    let admin = demo.session("admin");
    assert_eq!(status(&demo.close_night(&desk, "2027-01-01", "before")), 303);
    let stored = asked(&demo.database(), CLOSED);
    break_it();
    let refused = demo.close_night(&desk, "2027-01-02", "Typed+with+care");
    assert_eq!(status(&refused), 507, "{refused}");
    assert!(refused.contains(sentence), "{refused}");
    assert!(refused.contains("<dd>Typed with care</dd>"), "what was typed is gone: {refused}");
    assert!(refused.contains("Send it again"), "{refused}");
    assert!(refused.contains("retry-after: 60"), "{refused}");
    // Reading goes on, and whoever looks after it is told.
    assert_eq!(status(&demo.server.page("/telescopes", &desk)), 200);
    let told = demo.server.page("/status", &admin);
    assert!(told.contains("The last change was not stored"), "{told}");
    assert!(demo.heard().contains("a request was not stored"), "{}", demo.heard());
    assert_eq!(asked(&demo.database(), CLOSED), stored, "half of it was stored");
    mend();
    assert_eq!(status(&demo.close_night(&desk, "2027-01-03", "after")), 303);
    assert!(!demo.server.page("/status", &admin).contains("was not stored"));
    assert_eq!(asked(&demo.database(), CLOSED), stored + 1);
    demo.server.signal("-KILL");
    let check = run(&["check"], &demo.data);
    assert_eq!(stdout(&check), "All is well.\n", "{}", stderr(&check));
    assert_eq!(asked(&demo.database(), CLOSED), stored + 1, "something acknowledged was lost");
}

#[test]
fn a_full_disk_is_told_and_the_service_goes_on_once_there_is_room() {
    let folder = tempfile::tempdir().unwrap();
    let place = folder.path().join("disk");
    let Some(disk) = Disk::of_megabytes(48, &place) else { return };
    let demo = Demo::logging_to(&folder.path().join("heard.txt"), binary(), &place);
    let ballast = std::cell::RefCell::new(None);
    is_told_and_goes_on(
        &demo,
        "no room left where the club’s records are kept",
        || *ballast.borrow_mut() = Some(disk.fill()),
        || std::fs::remove_file(ballast.borrow_mut().take().unwrap()).unwrap(),
    );
}

#[test]
fn a_disk_that_refuses_to_write_is_told_and_the_service_goes_on_once_it_takes_again() {
    let folder = tempfile::tempdir().unwrap();
    let demo = Demo::by(bearing_limits(), folder.path());
    is_told_and_goes_on(
        &demo,
        "The disk that keeps the club’s records takes nothing at the moment",
        || limit(&demo, "--fsize=4096:unlimited"),
        || limit(&demo, "--fsize=unlimited:unlimited"),
    );
}

/// The program, for which a write past a limit is an error of the disk like any other.
fn bearing_limits() -> Command {
    let mut shell = Command::new("bash");
    shell.args(["-c", "trap '' XFSZ; exec \"$0\" \"$@\""]).arg(binary().get_program());
    shell
}

fn limit(demo: &Demo, limit: &str) {
    let pid = demo.server.id().to_string();
    let set = Command::new("prlimit").args(["--pid", &pid, limit]).status();
    assert!(set.unwrap().success());
}

#[test]
fn of_many_who_reserve_at_once_on_a_disk_that_comes_and_goes_each_is_told_what_became_of_theirs() {
    let folder = tempfile::tempdir().unwrap();
    let demo = Demo::by(bearing_limits(), folder.path());
    let token = demo.access("quartermaster")["token"].as_str().unwrap();
    let (piece, from) = (asked(&demo.database(), UNTOUCHED), asked(&demo.database(), ALL_OPEN));
    let today = jiff::Timestamp::now().to_zoned_datetime(jiff::tz::TimeZone::UTC).date();
    let reserve = |n: i64| {
        let night = today.checked_add(jiff::Span::new().days(from + n)).unwrap();
        let body = format!(
            r#"{{"items":[{piece}],"first_night":"{night}","last_night":"{night}","member":1}}"#
        );
        let words = format!(
            "POST /api/v1/reservations HTTP/1.1\r\nhost: a\r\nconnection: close\r\nauthorization: \
             Bearer {token}\r\ncontent-type: application/json\r\ncontent-length: {}\r\n\r\n{body}",
            body.len()
        );
        let mut answer = String::new();
        std::io::Read::read_to_string(&mut demo.server.connect(&words), &mut answer).unwrap();
        status(&answer)
    };
    let before = asked(&demo.database(), RESERVED);
    let (next, done) = (AtomicI64::new(0), AtomicBool::new(false));
    let (kept, refused) = (AtomicI64::new(0), AtomicI64::new(0));
    std::thread::scope(|scope| {
        for _ in 0..24 {
            scope.spawn(|| {
                while !done.load(Ordering::Relaxed) {
                    let n = next.fetch_add(1, Ordering::Relaxed);
                    if n >= MOST_NIGHTS {
                        break;
                    }
                    // What was refused was not kept: wished for again, its night is still free.
                    while !done.load(Ordering::Relaxed) {
                        match reserve(n) {
                            201 => {
                                kept.fetch_add(1, Ordering::Relaxed);
                                break;
                            }
                            507 => refused.fetch_add(1, Ordering::Relaxed),
                            other => panic!("answered {other}"),
                        };
                    }
                }
            });
        }
        let enough = || kept.load(Ordering::Relaxed) > 60 && refused.load(Ordering::Relaxed) > 60;
        for _ in 0..200 {
            if enough() {
                break;
            }
            limit(&demo, "--fsize=4096:unlimited");
            std::thread::sleep(std::time::Duration::from_millis(30));
            limit(&demo, "--fsize=unlimited:unlimited");
            std::thread::sleep(std::time::Duration::from_millis(30));
        }
        done.store(true, Ordering::Relaxed);
    });
    let (kept, refused) = (kept.into_inner(), refused.into_inner());
    assert!(kept > 60 && refused > 60, "{kept} kept, {refused} refused");
    demo.server.signal("-KILL");
    assert_eq!(stdout(&run(&["check"], &demo.data)), "All is well.\n");
    let stored = asked(&demo.database(), RESERVED) - before;
    assert_eq!(stored, kept, "told of others than were stored");
}

/// So many nights ahead can be asked for.
const MOST_NIGHTS: i64 = 290;
/// A piece that nobody ever wanted, so that every wish for it can be granted.
const UNTOUCHED: &str = "SELECT min(id) FROM item WHERE state = 'in_service'
    AND id NOT IN (SELECT item_id FROM item_night) AND id NOT IN (SELECT item_id FROM item_rule)";
/// In so many days the last night without lending is over.
const ALL_OPEN: &str =
    "SELECT CAST(julianday(max(night)) - julianday('now') AS INTEGER) + 3 FROM closed_night";
const RESERVED: &str = "SELECT count(*) FROM reservation";

#[test]
fn a_disk_that_fails_under_the_service_loses_nothing_that_was_acknowledged() {
    let folder = tempfile::tempdir().unwrap();
    let Some(disk) = Worn::at(folder.path()) else { return };
    let demo = Demo::in_folder(disk.place());
    let desk = demo.session("quartermaster");
    assert_eq!(status(&demo.close_night(&desk, "2027-04-01", "acknowledged")), 303);
    disk.fail();
    let refused = demo.close_night(&desk, "2027-04-02", "Typed+with+care");
    assert_eq!(status(&refused), 507, "{refused}");
    assert!(refused.contains("takes nothing at the moment"), "{refused}");
    assert!(refused.contains("<dd>Typed with care</dd>"), "{refused}");
    assert_eq!(status(&demo.server.page("/telescopes", &desk)), 200, "reading goes on");
    demo.server.signal("-KILL");
    let data = demo.data.clone();
    demo.server.end();
    disk.repair();
    assert_eq!(stdout(&run(&["check"], &data)), "All is well.\n");
    let acknowledged = "SELECT count(*) FROM closed_night WHERE reason = 'acknowledged'";
    assert_eq!(asked(&data.join("club.sqlite"), acknowledged), 1);
    assert_eq!(asked(&data.join("club.sqlite"), REFUSED), 0);
}

const REFUSED: &str = "SELECT count(*) FROM closed_night WHERE reason = 'Typed with care'";

#[test]
fn programs_get_the_same_sentence_as_a_document_even_where_the_log_is_on_the_full_disk() {
    let folder = tempfile::tempdir().unwrap();
    let place = folder.path().join("disk");
    let Some(disk) = Disk::of_megabytes(48, &place) else { return };
    let demo = Demo::in_folder(&place);
    disk.fill();
    let token = demo.access("quartermaster")["token"].as_str().unwrap();
    let body = r#"{"asset_tag": "F-900", "name": "A filter", "kind": "moon", "barrel_mm": 31.7}"#;
    let words = format!(
        "POST /api/v1/filters HTTP/1.1\r\nhost: a\r\nconnection: close\r\nauthorization: Bearer \
         {token}\r\ncontent-type: application/json\r\ncontent-length: {}\r\n\r\n{body}",
        body.len()
    );
    let mut answer = String::new();
    std::io::Read::read_to_string(&mut demo.server.connect(&words), &mut answer).unwrap();
    assert_eq!(status(&answer), 507, "{answer}");
    assert!(answer.contains("content-type: application/problem+json"), "{answer}");
    assert!(answer.contains("/problems/not-stored"), "{answer}");
}

#[test]
fn a_copy_for_which_there_is_no_room_is_refused_and_fills_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let place = folder.path().join("disk");
    let Some(_disk) = Disk::of_megabytes(8, &place) else { return };
    let demo = Demo::in_folder(folder.path());
    let copy = place.join("copy.sqlite");
    let refused = run(&["backup", copy.to_str().unwrap()], &demo.data);
    assert_eq!(refused.status.code(), Some(1));
    assert!(stderr(&refused).contains("there is no room for a copy"), "{}", stderr(&refused));
    assert_eq!(std::fs::read_dir(&place).unwrap().count(), 0);
}

#[test]
fn a_disk_that_can_only_be_read_is_told_at_the_start() {
    let folder = tempfile::tempdir().unwrap();
    let place = folder.path().join("disk");
    let Some(disk) = Disk::of_megabytes(48, &place) else { return };
    let demo = Demo::in_folder(&place);
    let data = demo.data.clone();
    demo.server.signal("-TERM");
    assert_eq!(demo.server.end(), Some(0));
    disk.read_only();
    let refused = run(&["serve", "--listen", "127.0.0.1:0"], &data);
    assert_eq!(refused.status.code(), Some(1), "{}", stdout(&refused));
    let told = stderr(&refused);
    assert!(told.contains("club.sqlite: ") && told.contains("rights of the folder"), "{told}");
    // Whoever only wants to save what is there still can.
    let restored = run(&["restore", data.join("club.sqlite").to_str().unwrap()], folder.path());
    assert_eq!(restored.status.code(), Some(0), "{}", stderr(&restored));
}

#[test]
fn a_file_that_another_program_keeps_locked_is_busy_and_not_broken() {
    let folder = tempfile::tempdir().unwrap();
    let demo = Demo::in_folder(folder.path());
    let desk = demo.session("quartermaster");
    let lock = Lock::on(&demo.database(), "BEGIN IMMEDIATE");
    let refused = demo.close_night(&desk, "2027-02-01", "while+locked");
    assert_eq!(status(&refused), 503, "{refused}");
    assert!(refused.contains("retry-after: 2"), "{refused}");
    assert!(refused.contains("<dd>while locked</dd>"), "{refused}");
    assert_eq!(status(&demo.server.page("/telescopes", &desk)), 200, "reading waits for no lock");
    drop(lock);
    assert_eq!(status(&demo.close_night(&desk, "2027-02-01", "after")), 303);
    let data = demo.data.clone();
    demo.server.signal("-TERM");
    assert_eq!(demo.server.end(), Some(0));

    let database = data.join("club.sqlite");
    let lock = Lock::on(&database, "PRAGMA locking_mode = EXCLUSIVE; BEGIN EXCLUSIVE");
    let refused = run(&["serve", "--listen", "127.0.0.1:0"], &data);
    assert_eq!(refused.status.code(), Some(1), "{}", stdout(&refused));
    let told = stderr(&refused);
    assert!(told.contains("another program keeps the database locked"), "{told}");
    drop(lock);
    assert_eq!(stdout(&run(&["check"], &data)), "All is well.\n");
}

/// A lock held by this process, which is not the server's.
struct Lock {
    let_go: std::sync::mpsc::Sender<()>,
    holder: Option<std::thread::JoinHandle<()>>,
}

impl Lock {
    fn on(database: &std::path::Path, how: &'static str) -> Self {
        let database = database.to_owned();
        let (let_go, gone) = std::sync::mpsc::channel::<()>();
        let (say, held) = std::sync::mpsc::channel();
        let holder = std::thread::spawn(move || {
            let runtime =
                tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
            let connection = runtime.block_on(async {
                use sqlx::ConnectOptions as _;
                let options = sqlx::sqlite::SqliteConnectOptions::new().filename(database);
                let mut connection = options.connect().await.unwrap();
                sqlx::raw_sql(how).execute(&mut connection).await.unwrap();
                connection
            });
            say.send(()).unwrap();
            // Ends when the other side is dropped.
            let _ = gone.recv();
            runtime.block_on(async { sqlx::Connection::close(connection).await }).unwrap();
        });
        held.recv().unwrap();
        Self { let_go, holder: Some(holder) }
    }
}

impl Drop for Lock {
    fn drop(&mut self) {
        let (nobody, _) = std::sync::mpsc::channel();
        self.let_go = nobody;
        if let Some(holder) = self.holder.take() {
            holder.join().unwrap();
        }
    }
}
