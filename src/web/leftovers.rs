//! Reads to the end what a handler left unread, so that its answer arrives.
//!
//! A connection that is closed while the client still sends loses the answer on its way: the
//! client sees a broken pipe instead of "that was too large". So the rest is read and thrown away,
//! within limits of size and time.

use std::pin::Pin;
use std::sync::{Arc, Mutex, PoisonError};
use std::task::{Context, Poll};
use std::time::Duration;

use axum::body::{Body, Bytes};
use axum::extract::Request;
use axum::http::{HeaderValue, header};
use axum::middleware::Next;
use axum::response::Response;
use http_body_util::BodyExt as _;
use hyper::body::{Body as HttpBody, Frame, SizeHint};

/// More than this is not worth reading for the sake of an answer.
const MOST: u64 = 64 * 1024 * 1024;
/// A client that takes longer than this to send its rest is cut off.
const LONGEST: Duration = Duration::from_secs(5);

/// A body that the handler and this middleware both hold.
#[derive(Clone)]
struct Shared(Arc<Mutex<Body>>);

impl Shared {
    fn with<T>(&self, act: impl FnOnce(Pin<&mut Body>) -> T) -> T {
        // A panic while polling leaves nothing half-written that matters here.
        let mut body = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        act(Pin::new(&mut body))
    }
}

impl HttpBody for Shared {
    type Data = Bytes;
    type Error = axum::Error;

    fn poll_frame(
        self: Pin<&mut Self>,
        context: &mut Context<'_>,
    ) -> Poll<Option<Result<Frame<Bytes>, axum::Error>>> {
        self.with(|body| body.poll_frame(context))
    }

    fn is_end_stream(&self) -> bool {
        self.with(|body| body.is_end_stream())
    }

    fn size_hint(&self) -> SizeHint {
        self.with(|body| body.size_hint())
    }
}

/// Middleware: throws the rest of the body away before the answer leaves.
pub async fn read_to_end(request: Request, next: Next) -> Response {
    if request.body().is_end_stream() {
        return next.run(request).await;
    }
    let waits = request.headers().contains_key(header::EXPECT);
    let (parts, body) = request.into_parts();
    let shared = Shared(Arc::new(Mutex::new(body)));
    let handed = Request::from_parts(parts, Body::new(shared.clone()));
    let mut response = next.run(handed).await;
    if shared.is_end_stream() {
        return response;
    }
    // A client that asked first has sent nothing yet and sees the refusal at once.
    let hopeless = waits || shared.size_hint().lower() > MOST;
    if hopeless || !thrown_away(shared).await {
        response.headers_mut().insert(header::CONNECTION, HeaderValue::from_static("close"));
    }
    response
}

async fn thrown_away(mut body: Shared) -> bool {
    let reading = async {
        let mut read = 0;
        while read <= MOST {
            match body.frame().await {
                None => return true,
                Some(Err(_)) => return false,
                Some(Ok(frame)) => read += frame.data_ref().map_or(0, |data| data.len() as u64),
            }
        }
        false
    };
    tokio::time::timeout(LONGEST, reading).await.unwrap_or(false)
}

#[cfg(test)]
mod tests {
    use axum::Router;
    use axum::http::StatusCode;
    use axum::middleware::from_fn;
    use axum::routing::post;
    use tokio::time::{Instant, sleep};
    use tower::ServiceExt as _;

    use super::*;

    /// A body that sends a kilobyte every second for so many seconds.
    struct Slow {
        left: u32,
        next: Pin<Box<tokio::time::Sleep>>,
    }

    impl HttpBody for Slow {
        type Data = Bytes;
        type Error = axum::Error;

        fn poll_frame(
            mut self: Pin<&mut Self>,
            context: &mut Context<'_>,
        ) -> Poll<Option<Result<Frame<Bytes>, axum::Error>>> {
            if self.left == 0 {
                return Poll::Ready(None);
            }
            std::task::ready!(self.next.as_mut().poll(context));
            self.left -= 1;
            self.next = Box::pin(sleep(Duration::from_secs(1)));
            Poll::Ready(Some(Ok(Frame::data(Bytes::from_static(&[b'a'; 1000])))))
        }
    }

    /// Whether the connection is closed after an answer that nobody's body was read for, and after
    /// how many seconds that answer left.
    async fn refused_with(seconds: u32) -> (bool, u64) {
        let app = Router::new()
            .route("/", post(async || StatusCode::PAYLOAD_TOO_LARGE))
            .layer(from_fn(read_to_end));
        let body = Slow { left: seconds, next: Box::pin(sleep(Duration::from_secs(1))) };
        let begun = Instant::now();
        let answer = app.oneshot(Request::post("/").body(Body::new(body)).unwrap()).await.unwrap();
        assert_eq!(answer.status(), StatusCode::PAYLOAD_TOO_LARGE);
        (answer.headers().contains_key(header::CONNECTION), begun.elapsed().as_secs())
    }

    #[tokio::test(start_paused = true)]
    async fn the_rest_of_a_body_has_five_seconds_and_then_the_connection_is_closed() {
        assert_eq!(refused_with(4).await, (false, 4));
        assert_eq!(refused_with(60).await, (true, 5));
    }
}
