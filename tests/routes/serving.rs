//! The accept loop, over real connections.

use std::net::SocketAddr;
use std::time::Duration;

use axum::Router;
use axum::routing::{get, post};
use borrowed_light::web::leftovers::read_to_end;
use borrowed_light::web::paced::Pace;
use borrowed_light::web::server::{Ending, Limits, serve};
use tokio::io::{AsyncReadExt as _, AsyncWriteExt as _};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{mpsc, oneshot};
use tokio::task::JoinHandle;

/// Long enough to be a failure, short enough to wait for.
const GIVE_UP: Duration = Duration::from_secs(20);

struct Served {
    address: SocketAddr,
    stop: oneshot::Sender<()>,
    ending: JoinHandle<Ending>,
}

async fn served(app: Router, limits: Limits) -> Served {
    let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
    let address = listener.local_addr().unwrap();
    let (stop, stopped) = oneshot::channel();
    let ending = tokio::spawn(async move {
        serve(listener, app, limits, async { stopped.await.unwrap_or(()) }).await
    });
    Served { address, stop, ending }
}

fn hello() -> Router {
    Router::new().route("/", get(async || "hello"))
}

async fn say(address: SocketAddr, text: &str) -> TcpStream {
    let mut stream = TcpStream::connect(address).await.unwrap();
    stream.write_all(text.as_bytes()).await.unwrap();
    stream
}

/// Everything until the server closes.
async fn to_the_end(stream: &mut TcpStream) -> String {
    let mut bytes = Vec::new();
    let reading = stream.read_to_end(&mut bytes);
    tokio::time::timeout(GIVE_UP, reading).await.expect("the server did not close").unwrap();
    String::from_utf8(bytes).unwrap()
}

const WHOLE: &str = "GET / HTTP/1.1\r\nhost: a\r\nconnection: close\r\n\r\n";

#[tokio::test]
async fn a_half_sent_head_is_given_up() {
    let limits = Limits { head: Duration::from_millis(50), ..Limits::default() };
    let server = served(hello(), limits).await;
    let mut slow = say(server.address, "GET / HTTP/1.1\r\nhost: a\r\nx-slow: ").await;
    let mut silent = say(server.address, "").await;
    assert!(!to_the_end(&mut slow).await.contains("hello"));
    assert_eq!(to_the_end(&mut silent).await, "");
    let mut whole = say(server.address, WHOLE).await;
    assert!(to_the_end(&mut whole).await.ends_with("hello"));
}

#[tokio::test]
async fn an_idle_connection_is_not_kept_for_ever() {
    let limits = Limits { head: Duration::from_millis(50), ..Limits::default() };
    let server = served(hello(), limits).await;
    let mut idle = say(server.address, "GET / HTTP/1.1\r\nhost: a\r\n\r\n").await;
    assert!(to_the_end(&mut idle).await.ends_with("hello"));
}

#[tokio::test]
async fn connections_over_the_cap_wait_for_their_turn() {
    let server = served(hello(), Limits { connections: 1, ..Limits::default() }).await;
    let mut first = say(server.address, "GET / HTTP/1.1\r\nhost: a\r\n\r\n").await;
    let mut taken = [0; 4];
    first.read_exact(&mut taken).await.unwrap();
    let mut second = say(server.address, WHOLE).await;
    let early = tokio::time::timeout(Duration::from_millis(100), second.readable()).await;
    assert!(early.is_err(), "the second connection was answered beside the first");
    drop(first);
    assert!(to_the_end(&mut second).await.ends_with("hello"));
}

/// An app whose one answer waits until it is let go.
fn held() -> (Router, mpsc::Receiver<oneshot::Sender<()>>) {
    let (arrived, arrivals) = mpsc::channel(1);
    let app = Router::new().route(
        "/",
        get(async move || {
            let (go, gone) = oneshot::channel::<()>();
            arrived.send(go).await.unwrap();
            gone.await.unwrap();
            "finished"
        }),
    );
    (app, arrivals)
}

#[tokio::test]
async fn a_stop_lets_requests_under_way_finish_and_takes_no_new_ones() {
    let (app, mut arrivals) = held();
    let server = served(app, Limits::default()).await;
    let mut under_way = say(server.address, WHOLE).await;
    let go = arrivals.recv().await.unwrap();
    server.stop.send(()).unwrap();
    // The listener is gone as soon as connecting fails.
    while TcpStream::connect(server.address).await.is_ok() {
        tokio::task::yield_now().await;
    }
    go.send(()).unwrap();
    assert!(to_the_end(&mut under_way).await.ends_with("finished"));
    assert_eq!(server.ending.await.unwrap(), Ending::Drained);
}

#[tokio::test]
async fn a_stop_waits_for_nobody_longer_than_its_limit() {
    let (app, mut arrivals) = held();
    let limits = Limits { drain: Duration::from_millis(50), ..Limits::default() };
    let server = served(app, limits).await;
    let _hanging = say(server.address, WHOLE).await;
    let _go = arrivals.recv().await.unwrap();
    server.stop.send(()).unwrap();
    let ending = tokio::time::timeout(GIVE_UP, server.ending).await.unwrap().unwrap();
    assert_eq!(ending, Ending::CutOff(1));
}

#[tokio::test]
async fn a_refusal_arrives_although_the_client_still_sends() {
    let app = Router::new()
        .route("/", post(async || (axum::http::StatusCode::PAYLOAD_TOO_LARGE, "too large")))
        .layer(axum::middleware::from_fn(read_to_end));
    let server = served(app, Limits::default()).await;
    let size = 50 * 1024 * 1024;
    let head = format!(
        "POST / HTTP/1.1\r\nhost: a\r\nconnection: close\r\ncontent-length: {size}\r\n\r\n"
    );
    let mut stream = say(server.address, &head).await;
    let chunk = vec![b'['; 64 * 1024];
    for _ in 0..size / chunk.len() {
        stream.write_all(&chunk).await.expect("the server cut the client off");
    }
    let answer = to_the_end(&mut stream).await;
    assert!(answer.starts_with("HTTP/1.1 413") && answer.ends_with("too large"), "{answer}");
}

/// More than any system keeps for a reader that does not read.
const HUGE: usize = 64 * 1024 * 1024;

#[tokio::test]
async fn whoever_takes_nothing_of_an_answer_gives_the_place_free() {
    let app = hello().route("/huge", get(async || vec![b'a'; HUGE]));
    let pace = Pace { patience: Duration::from_millis(100), ..Pace::default() };
    let server = served(app, Limits { connections: 1, pace, ..Limits::default() }).await;
    let mut stalled = say(server.address, "GET /huge HTTP/1.1\r\nhost: a\r\n\r\n").await;
    let mut next = say(server.address, WHOLE).await;
    assert!(to_the_end(&mut next).await.ends_with("hello"), "the place is still taken");
    let mut rest = Vec::new();
    // Cut off: by its end or as a broken connection.
    let _ = tokio::time::timeout(GIVE_UP, stalled.read_to_end(&mut rest)).await.unwrap();
    assert!(rest.len() < HUGE, "all of it was sent");
}

#[tokio::test]
async fn whoever_takes_an_answer_slowly_gets_all_of_it() {
    const SIZE: usize = 8 * 1024 * 1024;
    let app = Router::new().route("/", get(async || vec![b'a'; SIZE]));
    // Far more than a busy machine stands still for; the pace itself is tested beside its code.
    let pace = Pace { patience: Duration::from_secs(10), ..Pace::default() };
    let server = served(app, Limits { pace, ..Limits::default() }).await;
    let mut slow = say(server.address, WHOLE).await;
    let (mut taken, mut piece) = (0, vec![0; 512 * 1024]);
    loop {
        let read = slow.read(&mut piece).await.unwrap();
        if read == 0 {
            break;
        }
        taken += read;
        tokio::time::sleep(Duration::from_millis(10)).await;
    }
    assert!(taken > SIZE, "only {taken} bytes arrived");
}

#[tokio::test]
async fn a_head_that_is_too_long_or_has_too_many_lines_is_refused() {
    let server = served(hello(), Limits::default()).await;
    let long = format!("GET / HTTP/1.1\r\nhost: a\r\nx-long: {}\r\n\r\n", "a".repeat(64 * 1024));
    let many = "x-many: a\r\n".repeat(150);
    let many = format!("GET / HTTP/1.1\r\nhost: a\r\n{many}\r\n");
    for head in [long, many] {
        let mut stream = TcpStream::connect(server.address).await.unwrap();
        // The server may close while the rest is still on its way.
        let _ = stream.write_all(head.as_bytes()).await;
        let mut first = [0; 12];
        stream.read_exact(&mut first).await.unwrap();
        assert_eq!(&first, b"HTTP/1.1 431", "{}", head.len());
    }
    let fine = format!(
        "GET / HTTP/1.1\r\nhost: a\r\nconnection: close\r\nx: {}\r\n\r\n",
        "a".repeat(9_000)
    );
    let mut stream = say(server.address, &fine).await;
    assert!(to_the_end(&mut stream).await.ends_with("hello"));
}
