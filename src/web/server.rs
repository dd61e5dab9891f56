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
    let open = graceful.count();
    match tokio::time::timeout(limits.drain, graceful.shutdown()).await {
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
