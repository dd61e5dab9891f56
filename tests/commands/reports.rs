//! A long report on purchases: its process is killed or told to stop in the middle, or somebody
//! stops the report; what was found is kept, and the answer is the undisturbed one.

use std::io::Read as _;
use std::path::Path;
use std::time::{Duration, Instant};

use serde_json::{Value, json};
use sqlx::{Connection as _, SqliteConnection};
use tempfile::TempDir;

use super::process::Server;

/// Nothing here takes as long on any machine.
const LONGEST: Duration = Duration::from_mins(4);

/// A mark on what was kept, which no search makes.
const PLANTED: i64 = 987_654;

/// The demo club with a few of its things, so that a report takes seconds and not minutes.
struct Club {
    folder: TempDir,
    token: String,
}

impl Club {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let data = folder.path().to_str().unwrap();
        let mut demo = Server::start(&["demo", "--data", data]);
        demo.line_with("Stop it with");
        demo.signal("-TERM");
        assert_eq!(demo.end(), Some(0));
        let access = std::fs::read(folder.path().join("demo-access.json")).unwrap();
        let access: Value = serde_json::from_slice(&access).unwrap();
        let mut accounts = access["accounts"].as_array().unwrap().iter();
        let keeper = accounts.find(|one| one["role"] == "quartermaster").unwrap();
        let token = keeper["token"].as_str().unwrap().to_owned();
        let club = Self { folder, token };
        club.tell(
            "UPDATE item SET state = 'retired' WHERE asset_tag NOT IN ('T-001', 'T-007', 'E-003',
                 'E-006', 'E-012', 'E-017', 'E-019', 'E-025', 'B-01', 'A-06')",
        );
        club.tell("UPDATE member SET state = 'left' WHERE id % 6 <> 0");
        club.tell("DELETE FROM purchase_candidate WHERE id % 2 = 0");
        club
    }

    fn file(&self) -> std::path::PathBuf {
        self.folder.path().join("club.sqlite")
    }

    fn with<T>(&self, work: impl AsyncFnOnce(&mut SqliteConnection) -> T) -> T {
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
        runtime.block_on(async {
            let address = format!("sqlite:{}", self.file().display());
            let mut conn = SqliteConnection::connect(&address).await.unwrap();
            let answer = work(&mut conn).await;
            conn.close().await.unwrap();
            answer
        })
    }

    fn tell(&self, sql: &'static str) {
        self.with(async |conn| sqlx::query(sql).execute(conn).await.unwrap());
    }

    /// How many answers are kept for a report.
    fn kept(&self) -> i64 {
        let count = "SELECT count(*) FROM purchase_point";
        self.with(async |conn| sqlx::query_scalar(count).fetch_one(conn).await.unwrap())
    }

    fn serve(&self) -> Service<'_> {
        let data = self.folder.path().to_str().unwrap();
        Service { server: Server::start(&["serve", "--data", data]), club: self }
    }
}

struct Service<'a> {
    server: Server,
    club: &'a Club,
}

impl Service<'_> {
    fn send(&self, method: &str, path: &str, body: &Value) -> Value {
        let body = if body.is_null() { String::new() } else { body.to_string() };
        let mut stream = self.server.connect(&format!(
            "{method} {path} HTTP/1.1\r\nhost: x\r\nconnection: close\r\nauthorization: Bearer {}\r\n\
             content-type: application/json\r\ncontent-length: {}\r\n\r\n{body}",
            self.club.token,
            body.len()
        ));
        let mut answer = String::new();
        stream.read_to_string(&mut answer).unwrap();
        assert!(answer.starts_with("HTTP/1.1 20"), "{path}: {answer}");
        serde_json::from_str(answer.split_once("\r\n\r\n").unwrap().1).unwrap()
    }

    fn ask(&self) -> i64 {
        let asked = self.send("POST", "/api/v1/purchases", &json!({"budget_cents": 40_000}));
        asked["id"].as_i64().unwrap()
    }

    fn stands(&self, id: i64) -> Value {
        self.send("GET", &format!("/api/v1/purchases/{id}"), &Value::Null)
    }

    /// Looks again and again, at another page too, until it is so.
    fn until(&self, id: i64, so: impl Fn(&Value) -> bool) -> Value {
        let begun = Instant::now();
        loop {
            let page = self.server.get("/sign-in");
            assert!(page.starts_with("HTTP/1.1 200"), "other pages answer meanwhile: {page}");
            let stands = self.stands(id);
            if so(&stands) {
                return stands;
            }
            assert!(begun.elapsed() < LONGEST, "it never came to it: {stands}");
            std::thread::sleep(Duration::from_millis(20));
        }
    }

    /// Until the report is in its middle: some answers are found, some are not.
    fn until_half(&self, id: i64) {
        self.until(id, |stands| {
            assert_eq!(
                stands["report"],
                Value::Null,
                "it was too quick to be caught in the middle"
            );
            self.club.kept() >= 2
        });
    }

    fn done(&self, id: i64) -> Value {
        let made = self.until(id, |stands| !["waiting", "running"].contains(&state(stands)));
        assert_eq!(state(&made), "done", "{made}");
        made["report"].clone()
    }
}

fn state(stands: &Value) -> &str {
    stands["state"].as_str().unwrap()
}

/// A report without what differs from run to run: how long it took and in how many steps.
fn answer(report: &Value) -> Value {
    let mut report = report.clone();
    report["seconds"] = Value::Null;
    for point in report["points"].as_array_mut().unwrap() {
        point["steps"] = Value::Null;
    }
    report
}

fn check(folder: &Path) {
    let checked = super::process::run(&["check"], folder);
    assert_eq!(super::process::stdout(&checked), "All is well.\n");
}

#[test]
fn a_report_broken_off_goes_on_where_it_was_and_ends_as_if_nothing_had_been() {
    let club = Club::new();
    let service = club.serve();
    let undisturbed = service.done(service.ask());
    let points = undisturbed["points"].as_array().unwrap().len();
    assert!(points >= 8, "{points} budgets");
    assert_eq!(club.kept(), 0, "nothing is left of what was kept for a restart");
    drop(service);
    for signal in ["-KILL", "-TERM"] {
        let service = club.serve();
        let id = service.ask();
        service.until_half(id);
        service.server.signal(signal);
        let status = service.server.end();
        assert_eq!(status, if signal == "-TERM" { Some(0) } else { None });
        let kept = club.kept();
        assert!(kept >= 2 && kept < i64::try_from(points).unwrap(), "{kept} of {points}");
        check(club.folder.path());
        // What is kept bears a mark now: the report shows whether it was taken or found again.
        club.tell("UPDATE purchase_point SET found = json_set(found, '$.steps', 987654)");

        let service = club.serve();
        let report = service.done(id);
        assert_eq!(answer(&report), answer(&undisturbed), "{signal}");
        let marked = report["points"].as_array().unwrap().iter();
        let marked = marked.filter(|point| point["steps"] == PLANTED).count();
        assert_eq!(i64::try_from(marked).unwrap(), kept, "{signal}: what was kept is used again");
        assert_eq!(club.kept(), 0);
    }
}

#[test]
fn what_was_kept_is_forgotten_where_the_facts_have_changed() {
    let club = Club::new();
    let service = club.serve();
    let id = service.ask();
    service.until_half(id);
    service.server.signal("-KILL");
    service.server.end();
    club.tell("UPDATE purchase_point SET found = json_set(found, '$.steps', 987654)");
    club.tell("UPDATE purchase_candidate SET price_cents = price_cents + 100");
    let report = club.serve().done(id);
    let points = report["points"].as_array().unwrap();
    assert!(points.iter().all(|point| point["steps"] != PLANTED));
    assert!(points.iter().all(|point| point["proven_optimal"] == true));
}

#[test]
fn a_report_stopped_in_the_middle_lets_the_next_one_begin_and_can_be_asked_again() {
    let club = Club::new();
    let service = club.serve();
    let id = service.ask();
    service.until_half(id);
    let stopped = service.send("POST", &format!("/api/v1/purchases/{id}/cancel"), &Value::Null);
    assert_eq!(state(&stopped), "cancelled");
    let again = service.ask();
    assert_ne!(again, id, "what was stopped is not taken up");
    // There is one worker: this one begins only when the other has let go.
    service.until(again, |stands| state(stands) == "running");
    assert_eq!(state(&service.stands(id)), "cancelled");
    let report = service.done(again);
    assert!(report["points"].as_array().unwrap().iter().all(|one| one["steps"] != PLANTED));
    assert_eq!(state(&service.stands(id)), "cancelled", "and it stays so");
    assert_eq!(club.kept(), 0, "nothing is left of the stopped one");
}
