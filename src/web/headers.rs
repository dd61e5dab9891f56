//! Headers that protect the reader, on every answer whatever its status.

use std::convert::Infallible;

use axum::extract::{Request, State};
use axum::http::{HeaderName, HeaderValue, header};
use axum::middleware::Next;
use axum::response::{IntoResponseParts, Response, ResponseParts};

use super::site::Site;

const ALWAYS: [(HeaderName, &str); 7] = [
    (
        header::CONTENT_SECURITY_POLICY,
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; \
         font-src 'self'; form-action 'self'; base-uri 'none'; object-src 'none'; \
         frame-ancestors 'none'",
    ),
    (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
    // Not `no-referrer`: with that, browsers send `Origin: null` with our own forms.
    (header::REFERRER_POLICY, "same-origin"),
    (header::X_FRAME_OPTIONS, "DENY"),
    (
        HeaderName::from_static("permissions-policy"),
        "camera=(), display-capture=(), geolocation=(), microphone=(), payment=(), usb=()",
    ),
    (HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
    (HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
];

/// The script that keeps kit cards on a device. It runs by itself and fetches from here, which pages
/// may only where they say so.
const WORKER: &str = "/static/card-worker.js";

/// The same policy, and leave to fetch from here.
const ASKING_POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; \
     img-src 'self'; font-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; \
     object-src 'none'; frame-ancestors 'none'";

/// Part of an answer: the page's script may ask this service, and nobody else, while the page is open.
#[derive(Clone, Copy, Debug)]
pub struct MayAsk;

impl IntoResponseParts for MayAsk {
    type Error = Infallible;

    fn into_response_parts(self, mut parts: ResponseParts) -> Result<ResponseParts, Infallible> {
        parts.extensions_mut().insert(self);
        Ok(parts)
    }
}

/// Middleware: adds the protecting headers. What says nothing about caching is kept by nobody.
pub async fn protect(State(site): State<Site>, request: Request, next: Next) -> Response {
    let worker = request.uri().path() == WORKER;
    let mut response = next.run(request).await;
    let may_ask = worker || response.extensions().get::<MayAsk>().is_some();
    let headers = response.headers_mut();
    for (name, value) in ALWAYS {
        headers.insert(name, HeaderValue::from_static(value));
    }
    if may_ask {
        headers.insert(header::CONTENT_SECURITY_POLICY, HeaderValue::from_static(ASKING_POLICY));
    }
    if worker {
        headers.insert("service-worker-allowed", HeaderValue::from_static("/"));
    }
    headers.entry(header::CACHE_CONTROL).or_insert(HeaderValue::from_static("no-store"));
    if site.is_secure() {
        let two_years = HeaderValue::from_static("max-age=63072000");
        headers.insert(header::STRICT_TRANSPORT_SECURITY, two_years);
    }
    response
}
