//! Reserving under races and crashes, against the running binary.
//!
//! An ordinary client sends its requests one after the other and so misses narrow windows. Here all
//! requests but their last byte are sent first, and then all last bytes at once.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::path::Path;
use std::time::Duration;

use jiff::tz::TimeZone;
use jiff::{Span, Timestamp};
use serde_json::{Value, json};

use super::process::{Server, run, stdout};

const DAY: &str = "2026-06-01";

struct Tokens(Vec<String>);

impl Tokens {
    fn of(data: &Path) -> Self {
        let file = fs::read(data.join("demo-access.json")).unwrap();
        let access: Value = serde_json::from_slice(&file).unwrap();
        let accounts = access["accounts"].as_array().unwrap();
        Self(accounts.iter().map(|one| one["token"].as_str().unwrap().to_owned()).collect())
    }

    fn at(&self, n: usize) -> &str {
        &self.0[n % self.0.len()]
    }
}

fn request(address: &str, token: &str, key: &str, body: &Value) -> String {
    let body = body.to_string();
    format!(
        "POST /api/v1/reservations HTTP/1.1\r\nhost: {address}\r\nconnection: close\r\n\
         authorization: Bearer {token}\r\nidempotency-key: {key}\r\n\
         content-type: application/json\r\ncontent-length: {}\r\n\r\n{body}",
        body.len()
    )
}

/// The status and the body; nothing where the connection broke.
fn answer(stream: &mut TcpStream) -> Option<(u16, Value)> {
    let mut text = Vec::new();
    stream.set_read_timeout(Some(Duration::from_secs(30))).unwrap();
    stream.read_to_end(&mut text).ok()?;
    let text = String::from_utf8(text).ok()?;
    let status = text.split(' ').nth(1)?.parse().ok()?;
    let body = text.split_once("\r\n\r\n")?.1;
    Some((status, serde_json::from_str(body).unwrap_or(Value::Null)))
}

fn checked(data: &Path) {
    let check = run(&["check"], data);
    assert_eq!((check.status.code(), stdout(&check)), (Some(0), "All is well.\n"));
}

/// A wish over a few items and nights of a month, such that many of them meet.
fn wish(n: usize, month: u32) -> Value {
    let items: Vec<usize> = (0..=n % 3).map(|more| 1 + (n * 7 + more * 5) % 12).collect();
    let first = 20 + n % 6;
    json!({
        "items": items,
        "first_night": format!("2026-{month:02}-{first:02}"),
        "last_night": format!("2026-{month:02}-{:02}", first + n % 3),
    })
}

/// Every (item, night) of a reservation that was answered with 201.
fn nights_of(made: &Value, month: u32) -> BTreeSet<(i64, String)> {
    let day = |field: &str| -> u32 {
        made[field].as_str().unwrap().rsplit('-').next().unwrap().parse().unwrap()
    };
    let mut nights = BTreeSet::new();
    for item in made["items"].as_array().unwrap() {
        for night in day("first_night")..=day("last_night") {
            nights.insert((item.as_i64().unwrap(), format!("2026-{month:02}-{night:02}")));
        }
    }
    nights
}

#[test]
fn of_two_hundred_who_ask_in_the_same_instant_no_two_get_the_same_night() {
    let folder = tempfile::tempdir().unwrap();
    let data = folder.path().join("club");
    let server = Server::start(&["demo", "--data", data.to_str().unwrap(), "--today", DAY]);
    let tokens = Tokens::of(&data);
    let mut taken: BTreeSet<(i64, String)> = BTreeSet::new();
    let (mut winners, mut losers) = (0, 0);
    for month in 7..10 {
        let mut waiting: Vec<(TcpStream, u8)> = (0..200)
            .map(|n| {
                let key = format!("race-{month}-{n}");
                let text = request(&server.address, tokens.at(n), &key, &wish(n, month));
                let (last, head) = text.as_bytes().split_last().unwrap();
                let mut stream = TcpStream::connect(&server.address).unwrap();
                stream.set_nodelay(true).unwrap();
                stream.write_all(head).unwrap();
                (stream, *last)
            })
            .collect();
        for (stream, last) in &mut waiting {
            stream.write_all(&[*last]).unwrap();
        }
        for (mut stream, _) in waiting {
            let (status, body) = answer(&mut stream).expect("an answer to every request");
            match status {
                201 => {
                    winners += 1;
                    for night in nights_of(&body, month) {
                        assert!(taken.insert(night.clone()), "{night:?} was given twice");
                    }
                }
                409 => losers += 1,
                other => panic!("{other}: {body}"),
            }
        }
    }
    println!("{winners} winners, {losers} losers");
    assert!(winners >= 5 && losers >= 100, "{winners} winners, {losers} losers: no race at all");
    server.signal("-TERM");
    assert_eq!(server.end(), Some(0));
    checked(&data);
}

#[test]
fn what_was_acknowledged_is_there_after_twenty_crashes_and_nothing_half_done() {
    let folder = tempfile::tempdir().unwrap();
    let data = folder.path().join("club");
    let demo = Server::start(&["demo", "--data", data.to_str().unwrap(), "--today", DAY]);
    let tokens = Tokens::of(&data);
    demo.signal("-TERM");
    assert_eq!(demo.end(), Some(0));

    let today = Timestamp::now().to_zoned_datetime(TimeZone::UTC).date();
    let mut acknowledged: BTreeMap<i64, Value> = BTreeMap::new();
    for crash in 0..20_usize {
        let server = Server::start(&["serve", "--data", data.to_str().unwrap()]);
        // Weeks ahead of the real date there is room for all; each crash has its own nights.
        let mut waiting = Vec::new();
        for n in 0..12_usize {
            let ahead = i64::try_from(40 + crash * 12 + n).unwrap();
            let night = today.checked_add(Span::new().days(ahead)).unwrap().to_string();
            let body = json!({
                "items": [1 + n, 30 + n], "first_night": night, "last_night": night,
            });
            let key = format!("crash-{crash}-{n}");
            let text = request(&server.address, tokens.at(n), &key, &body);
            let mut stream = TcpStream::connect(&server.address).unwrap();
            stream.write_all(text.as_bytes()).unwrap();
            waiting.push(stream);
        }
        // Some are answered before the end, some are caught in the middle.
        for (n, mut stream) in waiting.into_iter().enumerate() {
            if n == crash % 8 {
                server.signal("-KILL");
            }
            if let Some((status, body)) = answer(&mut stream) {
                assert_eq!(status, 201, "{body}");
                acknowledged.insert(body["id"].as_i64().unwrap(), body);
            }
        }
        drop(server);
    }
    checked(&data);
    println!("{} acknowledged, all there", acknowledged.len());
    assert!(acknowledged.len() >= 20, "only {} were acknowledged", acknowledged.len());
    let server = Server::start(&["serve", "--data", data.to_str().unwrap()]);
    let access: Value =
        serde_json::from_slice(&fs::read(data.join("demo-access.json")).unwrap()).unwrap();
    let desk = access["accounts"].as_array().unwrap().iter();
    let token =
        desk.clone().find(|one| one["role"] == "quartermaster").unwrap()["token"].as_str().unwrap();
    for (id, told) in acknowledged {
        let mut stream = server.connect(&format!(
            "GET /api/v1/reservations/{id} HTTP/1.1\r\nhost: x\r\nconnection: close\r\n\
             authorization: Bearer {token}\r\n\r\n"
        ));
        assert_eq!(answer(&mut stream), Some((200, told)));
    }
}
