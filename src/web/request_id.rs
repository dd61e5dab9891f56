//! The number of a request: in the log, in the answer's header and on pages about our own faults.

use std::fmt;
use std::sync::Arc;
use std::time::Instant;

use axum::extract::{MatchedPath, Request};
use axum::http::HeaderValue;
use axum::middleware::Next;
use axum::response::Response;
use tracing::Instrument as _;

use super::measures;
use super::secret::{hex, random_bytes};

/// The number of a request. Never taken from the client.
#[derive(Clone, Debug)]
pub struct RequestId(Arc<str>);

impl fmt::Display for RequestId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// Middleware: numbers the request and writes one line about it when it is answered.
///
/// The line names the route, never the address as sent: that may hold what is nobody's business.
pub async fn number(mut request: Request, next: Next) -> Response {
    let digits = random_bytes::<8>().map(|bytes| hex(&bytes)).unwrap_or_default();
    let id = RequestId(digits.into());
    request.extensions_mut().insert(id.clone());
    let span = tracing::info_span!("request", id = %id);
    let method = request.method().clone();
    let started = Instant::now();
    let mut response = next.run(request).instrument(span.clone()).await;
    if let Ok(value) = HeaderValue::from_str(&id.0) {
        response.headers_mut().insert("x-request-id", value);
    }
    let took = started.elapsed();
    let route = response.extensions().get::<Route>().map_or("none", |route| route.0.as_str());
    measures::answered(&method, route, response.status().as_u16(), took);
    span.in_scope(|| {
        tracing::info!(
            %method,
            route,
            status = response.status().as_u16(),
            micros = u64::try_from(took.as_micros()).unwrap_or(u64::MAX),
            "answered"
        );
    });
    response
}

/// The route's pattern, carried back to [`number`].
#[derive(Clone, Debug)]
struct Route(MatchedPath);

/// Carries the route over to the answer that takes another's place.
pub(super) fn pass_route_on(from: &Response, to: &mut Response) {
    if let Some(route) = from.extensions().get::<Route>() {
        to.extensions_mut().insert(route.clone());
    }
}

/// Middleware of the routes themselves: lets [`number`] know which one was taken.
pub async fn name_route(request: Request, next: Next) -> Response {
    let route = request.extensions().get::<MatchedPath>().cloned();
    let mut response = next.run(request).await;
    if let Some(route) = route {
        response.extensions_mut().insert(Route(route));
    }
    response
}
