//! The accept loop: a time limit for request heads, a pace for answers, a cap on connections, TLS
//! where it is wanted, a drain at the end.

use std::convert::Infallible;
use std::future::Future;
use std::net::{IpAddr, SocketAddr};
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::body::Body;
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::{GracefulShutdown, Watcher};
use tokio::io::{AsyncRead, AsyncWrite};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{OwnedSemaphorePermit, Semaphore};
use tower::ServiceExt as _;

use super::paced::{Pace, Paced};
use super::tls::Tls;

/// The address at the other end of the connection, put on every request.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Peer(pub IpAddr);

/// What the server puts up with.
#[derive(Clone, Copy, Debug)]
pub struct Limits {
    /// How long a request's head may take to arrive; also how long an idle connection is kept.
    pub head: Duration,
    /// How slowly an answer may be taken.
    pub pace: Pace,
    /// How many connections may be open at once; more wait in the system's queue.
    pub connections: usize,
    /// How long requests under way may go on once the server is told to stop.
    pub drain: Duration,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            head: Duration::from_secs(10),
            pace: Pace::default(),
            // Half of the files that systems usually let a process open: the database needs some.
            connections: 512,
            drain: Duration::from_secs(10),
        }
    }
}

/// The longest head of a request, in bytes; a longer one is answered with 431. Browsers send one or
/// two kilobytes.
const LONGEST_HEAD: usize = 32 * 1024;

/// Where connections come in, with TLS or without.
#[derive(Debug)]
pub struct Entrance {
    listener: TcpListener,
    tls: Option<Tls>,
}

impl From<TcpListener> for Entrance {
    fn from(listener: TcpListener) -> Self {
        Self { listener, tls: None }
    }
}

impl Entrance {
    /// Where every connection must begin with TLS.
    #[must_use]
    pub fn with_tls(listener: TcpListener, tls: Tls) -> Self {
        Self { listener, tls: Some(tls) }
    }
}

/// How the server came to its end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ending {
    /// Every request under way was finished.
    Drained,
    /// The time for draining ran out; this many connections were cut off.
    CutOff(usize),
}

/// Serves until `stop` resolves, then takes no more connections, lets requests under way finish
/// within the limit and says how it went.
pub async fn serve(
    entrance: impl Into<Entrance>,
    app: Router,
    limits: Limits,
    stop: impl Future<Output = ()>,
) -> Ending {
    let Entrance { listener, tls } = entrance.into();
    let slots = Arc::new(Semaphore::new(limits.connections));
    let graceful = GracefulShutdown::new();
    tokio::pin!(stop);
    loop {
        // The slot comes first: with none free, newcomers stay in the system's queue.
        let arrival = async {
            let slot = Arc::clone(&slots).acquire_owned().await;
            (slot, listener.accept().await)
        };
        let (slot, accepted) = tokio::select! {
            biased;
            () = &mut stop => break,
            arrival = arrival => arrival,
        };
        // The semaphore is never closed.
        let Ok(slot) = slot else { break };
        match accepted {
            Ok((stream, peer)) => {
                let connection = Connection { stream, peer, slot, watcher: graceful.watcher() };
                tokio::spawn(connection.attend(app.clone(), limits, tls.clone()));
            }
            Err(error) => pause_after(&error).await,
        }
    }
    drop(listener);
    drained(graceful, limits.drain).await
}

/// Waits for what is under way, for as long as it may take.
async fn drained(under_way: GracefulShutdown, longest: Duration) -> Ending {
    let open = under_way.count();
    match tokio::time::timeout(longest, under_way.shutdown()).await {
        Ok(()) => Ending::Drained,
        Err(_) => Ending::CutOff(open),
    }
}

/// A connection that was taken.
struct Connection {
    stream: TcpStream,
    peer: SocketAddr,
    /// Free again when the connection ends.
    slot: OwnedSemaphorePermit,
    watcher: Watcher,
}

impl Connection {
    async fn attend(self, app: Router, limits: Limits, tls: Option<Tls>) {
        let Self { stream, peer, slot, watcher } = self;
        // Small answers must not wait for company.
        if let Err(error) = stream.set_nodelay(true) {
            tracing::debug!(%error, "a connection was gone before it began");
        }
        let stream = Paced::new(stream, limits.pace);
        match tls {
            None => converse(stream, peer, app, limits, watcher).await,
            Some(tls) => {
                let greeted = tls.acceptor().accept(stream);
                match tokio::time::timeout(limits.head, greeted).await {
                    Ok(Ok(stream)) => converse(stream, peer, app, limits, watcher).await,
                    Ok(Err(error)) => tracing::debug!(%error, "a connection began without TLS"),
                    Err(_) => tracing::debug!("a connection took too long to begin"),
                }
            }
        }
        drop(slot);
    }
}

/// Answers request after request until the other end, its slowness or our stop ends it.
async fn converse(
    stream: impl AsyncRead + AsyncWrite + Unpin + Send + 'static,
    peer: SocketAddr,
    app: Router,
    limits: Limits,
    watcher: Watcher,
) {
    let service =
        hyper::service::service_fn(move |request: hyper::Request<hyper::body::Incoming>| {
            let app = app.clone();
            async move {
                let mut request = request.map(Body::new);
                request.extensions_mut().insert(Peer(peer.ip().to_canonical()));
                app.oneshot(request).await.map_err(|never: Infallible| match never {})
            }
        });
    let connection = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(limits.head)
        .max_buf_size(LONGEST_HEAD)
        .serve_connection(TokioIo::new(stream), service);
    if let Err(error) = watcher.watch(connection).await {
        tracing::debug!(%error, "a connection broke off");
    }
}

/// A connection that was gone before it was taken is nobody's trouble; anything else, such as no
/// free file descriptors, gets better with a little time.
async fn pause_after(error: &std::io::Error) {
    use std::io::ErrorKind::{ConnectionAborted, ConnectionRefused, ConnectionReset};
    if !matches!(error.kind(), ConnectionAborted | ConnectionRefused | ConnectionReset) {
        tracing::warn!(%error, "no connection could be taken; trying again in a second");
        tokio::time::sleep(Duration::from_secs(1)).await;
    }
}

#[cfg(test)]
mod tests {
    use axum::routing::get;
    use tokio::io::{AsyncReadExt as _, AsyncWriteExt as _, DuplexStream};
    use tokio::time::{Instant, sleep};

    use super::*;

    /// The other end of a conversation with this app, under the limits that are served with. It ends
    /// with what is graceful.
    fn talking(app: Router, graceful: &GracefulShutdown) -> DuplexStream {
        let (near, far) = tokio::io::duplex(1024);
        let peer = SocketAddr::from(([192, 0, 2, 1], 4000));
        tokio::spawn(converse(near, peer, app, Limits::default(), graceful.watcher()));
        far
    }

    fn hello() -> Router {
        Router::new().route("/", get(async || "hello"))
    }

    #[tokio::test(start_paused = true)]
    async fn a_head_that_trickles_in_has_ten_seconds_and_no_more() {
        let graceful = GracefulShutdown::new();
        let mut far = talking(hello(), &graceful);
        far.write_all(b"GET / HTTP/1.1\r\nhost: a\r\nx-slow: ").await.unwrap();
        let begun = Instant::now();
        // The last byte that is taken comes in the tenth second.
        let mut sent = 0;
        while far.write_all(b"a").await.is_ok() {
            sent += 1;
            sleep(Duration::from_secs(1)).await;
        }
        assert!((10..=11).contains(&sent), "{sent}");
        let took = begun.elapsed();
        assert!((10..=11).contains(&took.as_secs()), "{took:?}");
    }

    #[tokio::test(start_paused = true)]
    async fn a_head_that_is_whole_within_its_time_is_answered_however_slowly_it_came() {
        let graceful = GracefulShutdown::new();
        let mut far = talking(hello(), &graceful);
        for part in ["GET / HT", "TP/1.1\r\nho", "st: a\r\nconnection: close\r\n\r\n"] {
            sleep(Duration::from_secs(3)).await;
            far.write_all(part.as_bytes()).await.unwrap();
        }
        let mut answer = String::new();
        far.read_to_string(&mut answer).await.unwrap();
        assert!(answer.ends_with("hello"), "{answer}");
    }

    #[tokio::test(start_paused = true)]
    async fn a_connection_that_says_nothing_more_is_kept_for_ten_seconds() {
        let graceful = GracefulShutdown::new();
        let mut far = talking(hello(), &graceful);
        far.write_all(b"GET / HTTP/1.1\r\nhost: a\r\n\r\n").await.unwrap();
        let begun = Instant::now();
        let mut answer = String::new();
        far.read_to_string(&mut answer).await.unwrap();
        assert!(answer.ends_with("hello"), "{answer}");
        let took = begun.elapsed();
        assert!((9..=11).contains(&took.as_secs()), "{took:?}");
    }

    /// An app whose answer takes this long.
    fn slow(answer: Duration) -> Router {
        Router::new().route(
            "/",
            get(async move || {
                sleep(answer).await;
                "done"
            }),
        )
    }

    #[tokio::test(start_paused = true)]
    async fn at_the_end_what_is_under_way_has_ten_seconds_and_no_more() {
        for (takes, expected) in [(9, Ending::Drained), (11, Ending::CutOff(1))] {
            let graceful = GracefulShutdown::new();
            let mut far = talking(slow(Duration::from_secs(takes)), &graceful);
            far.write_all(b"GET / HTTP/1.1\r\nhost: a\r\n\r\n").await.unwrap();
            // Taken up before the end begins.
            sleep(Duration::from_millis(1)).await;
            let begun = Instant::now();
            assert_eq!(drained(graceful, Limits::default().drain).await, expected);
            let took = begun.elapsed();
            assert!((takes - 1..=10).contains(&took.as_secs()), "{took:?}");
        }
    }
}
