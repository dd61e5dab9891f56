//! Clients that send a few bytes at a time, against the running binary.

use std::io::{ErrorKind, Read as _, Write as _};
use std::net::TcpStream;
use std::time::{Duration, Instant};

use super::process::Server;

/// How a trickle of bytes ended.
struct Ended {
    sent: usize,
    answer: String,
    /// How often somebody else was served meanwhile.
    others: usize,
}

/// Sends a byte, waits a moment for an answer, asks whether others are served, and so on until the
/// connection is closed.
fn trickle(server: &Server, mut stream: TcpStream) -> Ended {
    stream.set_read_timeout(Some(Duration::from_millis(100))).unwrap();
    let (mut answer, mut piece, mut sent, mut others) = (Vec::new(), [0; 4096], 0, 0);
    let begun = Instant::now();
    loop {
        assert!(begun.elapsed() < Duration::from_mins(2), "it is never cut off");
        sent += usize::from(stream.write_all(b"a").is_ok());
        match stream.read(&mut piece) {
            Ok(0) => break,
            Ok(read) => answer.extend_from_slice(&piece[..read]),
            Err(error) if matches!(error.kind(), ErrorKind::WouldBlock | ErrorKind::TimedOut) => {
                assert!(server.get("/healthz").starts_with("HTTP/1.1 200"));
                others += 1;
            }
            // What was sent after the end is answered by a reset.
            Err(error) if error.kind() == ErrorKind::ConnectionReset => break,
            Err(error) => panic!("{error}"),
        }
    }
    Ended { sent, answer: String::from_utf8(answer).unwrap(), others }
}

#[test]
fn who_sends_a_body_or_a_head_too_slowly_is_cut_off_while_others_are_served() {
    const LENGTH: usize = 10_000;
    let folder = tempfile::tempdir().unwrap();
    let data = folder.path().to_str().unwrap();
    let options = ["serve", "--data", data, "--time-zone", "UTC", "--request-seconds", "3"];
    let server = Server::start(&options);
    let (body, head) = std::thread::scope(|scope| {
        let body = server.connect(&format!(
            "POST /sign-in HTTP/1.1\r\nhost: {}\r\nsec-fetch-site: same-origin\r\n\
             content-type: application/x-www-form-urlencoded\r\ncontent-length: {LENGTH}\r\n\r\n\
             email=",
            server.address
        ));
        let head = server.connect("GET /healthz HTTP/1.1\r\nhost: a\r\nx-slow: ");
        let body = scope.spawn(|| trickle(&server, body));
        let head = scope.spawn(|| trickle(&server, head));
        (body.join().unwrap(), head.join().unwrap())
    });
    // Who wrote a whole head hears why; a head that never ended gets no answer.
    assert!(body.answer.starts_with("HTTP/1.1 408"), "{}", body.answer);
    assert!(body.answer.contains("connection: close"), "{}", body.answer);
    assert!(body.answer.contains("took too long"), "{}", body.answer);
    assert!(!head.answer.contains("HTTP/1.1 200"), "{}", head.answer);
    for ended in [body, head] {
        assert!(ended.sent < LENGTH / 10, "{} bytes were taken", ended.sent);
        assert!(ended.others > 5, "only {} others were served", ended.others);
    }
    server.signal("-TERM");
    assert_eq!(server.end(), Some(0));
}
