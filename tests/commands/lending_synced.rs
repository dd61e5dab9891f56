//! The write-ahead log is on the disk before an answer leaves. Killing a process does not test that,
//! because what it wrote stays in the system's memory; the order of the system calls does.

use std::fs;
use std::io::Read as _;

use serde_json::{Value, json};

use super::process::Server;

/// What a line of the trace is about, as far as it matters here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Call {
    /// Something was written to the log.
    Wrote,
    /// The log is on the disk.
    Synced,
    /// The answer 201 begins to leave.
    Answered,
}

/// The calls of a trace in their order. A call that others interrupt counts when it is over, an
/// answer when it begins.
fn calls(trace: &str) -> Vec<Call> {
    let mut under_way = Vec::new();
    let mut found = Vec::new();
    for line in trace.lines() {
        let Some((thread, call)) = line.split_once(' ') else { continue };
        let call = call.trim_start();
        let syncs = call.starts_with("fdatasync(") || call.starts_with("fsync(");
        if call.contains("HTTP/1.1 201") {
            found.push(Call::Answered);
        } else if call.starts_with("pwrite64(") && call.contains("-wal>") {
            found.push(Call::Wrote);
        } else if syncs && call.contains("-wal>") {
            if call.contains("<unfinished") {
                under_way.push(thread);
            } else if call.ends_with("= 0") {
                found.push(Call::Synced);
            }
        } else if call.contains("sync resumed>") && call.ends_with("= 0") {
            let before = under_way.len();
            under_way.retain(|other| *other != thread);
            if under_way.len() < before {
                found.push(Call::Synced);
            }
        }
    }
    found
}

/// Why this trace does not show the log synced before each answer; nothing where it does.
fn fault(calls: &[Call]) -> Option<String> {
    let mut answers = 0;
    let (mut wrote, mut synced) = (false, false);
    for call in calls {
        match call {
            Call::Wrote => (wrote, synced) = (true, false),
            Call::Synced => synced = true,
            Call::Answered => {
                answers += 1;
                if !wrote {
                    return Some(format!("answer {answers} came without a write to the log"));
                }
                if !synced {
                    return Some(format!("answer {answers} left before the log was synced"));
                }
                (wrote, synced) = (false, false);
            }
        }
    }
    (answers == 0).then(|| "no answer was seen".into())
}

#[test]
fn a_trace_without_the_sync_or_with_it_too_late_is_found_out() {
    let wrote = "71 pwrite64(9</tmp/x/club.sqlite-wal>, \"\\0\"..., 4120, 32) = 4120";
    let synced = "71 fdatasync(9</tmp/x/club.sqlite-wal>) = 0";
    let begun = "71 fdatasync(9</tmp/x/club.sqlite-wal> <unfinished ...>";
    let ended = "71 <... fdatasync resumed>)     = 0";
    let other = "72 fdatasync(9</tmp/x/club.sqlite>) = 0";
    let answer = "70 sendto(12<socket:[1]>, \"HTTP/1.1 201 Created\\r\\n\"..., 300) = 300";
    let says = |lines: &[&str]| fault(&calls(&lines.join("\n")));
    assert_eq!(says(&[wrote, synced, answer]), None);
    assert_eq!(says(&[wrote, begun, other, ended, answer]), None);
    for bad in [
        &[wrote, answer][..],
        &[wrote, answer, synced],
        &[wrote, begun, answer, ended],
        &[synced, wrote, answer],
        &[wrote, other, answer],
        &[wrote, synced, answer, answer],
        &[wrote, synced],
    ] {
        assert!(says(bad).is_some(), "{bad:?}");
    }
}

#[test]
fn the_log_is_on_the_disk_before_a_reservation_is_acknowledged() {
    let folder = tempfile::tempdir().unwrap();
    let (data, trace) = (folder.path().join("club"), folder.path().join("trace"));
    let options = ["demo", "--data", data.to_str().unwrap(), "--today", "2026-06-01"];
    let watched = "trace=pwrite64,pwritev,fsync,fdatasync,write,writev,sendto,sendmsg";
    let server = Server::traced(&options, watched, &trace);
    let access: Value =
        serde_json::from_slice(&fs::read(data.join("demo-access.json")).unwrap()).unwrap();
    let token = access["accounts"][0]["token"].as_str().unwrap();
    for n in 0..5 {
        let night = format!("2026-08-{:02}", 10 + n);
        let body = json!({ "items": [2], "first_night": night, "last_night": night }).to_string();
        let mut stream = server.connect(&format!(
            "POST /api/v1/reservations HTTP/1.1\r\nhost: x\r\nconnection: close\r\n\
             authorization: Bearer {token}\r\ncontent-type: application/json\r\n\
             content-length: {}\r\n\r\n{body}",
            body.len()
        ));
        let mut answer = String::new();
        stream.read_to_string(&mut answer).unwrap();
        assert!(answer.starts_with("HTTP/1.1 201"), "{answer}");
    }
    drop(server);
    let trace = fs::read_to_string(&trace).unwrap();
    let calls = calls(&trace);
    assert_eq!(calls.iter().filter(|call| **call == Call::Answered).count(), 5, "{trace}");
    assert_eq!(fault(&calls), None);
}
