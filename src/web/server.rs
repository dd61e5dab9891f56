//! The accept loop: a time limit for request heads, a cap on connections, a drain at the end.

use std::convert::Infallible;
use std::future::Future;
use std::net::{IpAddr, SocketAddr};
use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::body::Body;
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::GracefulShutdown;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{OwnedSemaphorePermit, Semaphore};
use tower::ServiceExt as _;

/// The address at the other end of the connection, put on every request.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Peer(pub IpAddr);

/// What the server puts up with.
#[derive(Clone, Copy, Debug)]
pub struct Limits {
    /// How long a request's head may take to arrive; also how long an idle connection is kept.
    pub head: Duration,
    /// How many connections may be open at once; more wait in the system's queue.
    pub connections: usize,
    /// How long requests under way may go on once the server is told to stop.
    pub drain: Duration,
}

impl Default for Limits {
    fn default() -> Self {
        Self { head: Duration::from_secs(10), connections: 1_024, drain: Duration::from_secs(10) }
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
    listener: TcpListener,
    app: Router,
    limits: Limits,
    stop: impl Future<Output = ()>,
) -> Ending {
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
            Ok((stream, peer)) => attend(stream, peer, slot, &app, limits, &graceful),
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

/// Attends to one connection in a task of its own.
fn attend(
    stream: TcpStream,
    peer: SocketAddr,
    slot: OwnedSemaphorePermit,
    app: &Router,
    limits: Limits,
    graceful: &GracefulShutdown,
) {
    // Small answers must not wait for company.
    if let Err(error) = stream.set_nodelay(true) {
        tracing::debug!(%error, "a connection was gone before it began");
    }
    let app = app.clone();
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
        .serve_connection(TokioIo::new(stream), service);
    let connection = graceful.watch(connection);
    tokio::spawn(async move {
        if let Err(error) = connection.await {
            tracing::debug!(%error, "a connection broke off");
        }
        drop(slot);
    });
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
