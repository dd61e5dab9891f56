//! A whole application on a temporary database, and a client that remembers its cookies.

use std::collections::BTreeMap;

use axum::Router;
use axum::body::Body;
use axum::http::{HeaderMap, Method, Request, StatusCode, header};
use borrowed_light::app::{AppState, app};
use borrowed_light::store::Store;
use borrowed_light::web::clock::Clock;
use borrowed_light::web::server::Peer;
use borrowed_light::web::site::Site;
use http_body_util::BodyExt as _;
use jiff::tz::TimeZone;
use tower::ServiceExt as _;

/// An application on a database of its own, which ends with it.
pub struct House {
    pub state: AppState,
    pub router: Router,
    _folder: tempfile::TempDir,
}

/// An answer, read to its end.
#[derive(Debug)]
pub struct Answer {
    pub status: StatusCode,
    pub headers: HeaderMap,
    pub body: Vec<u8>,
}

impl House {
    /// A fresh one, on Friday 5 June 2026 at noon.
    pub async fn new() -> Self {
        Self::at(Site::new("Windmill Hill Astronomers")).await
    }

    /// A fresh one at this site.
    pub async fn at(site: Site) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(&folder.path().join("club.sqlite")).await.unwrap();
        let clock = Clock::standing_at("2026-06-05T12:00:00Z".parse().unwrap(), TimeZone::UTC);
        let state = AppState { store, clock, site };
        Self { router: app(state.clone()), state, _folder: folder }
    }

    /// Sends one request from 192.0.2.1.
    pub async fn send(&self, mut request: Request<Body>) -> Answer {
        request.extensions_mut().insert(Peer("192.0.2.1".parse().unwrap()));
        let response = self.router.clone().oneshot(request).await.unwrap();
        let (parts, body) = response.into_parts();
        let body = body.collect().await.unwrap().to_bytes().to_vec();
        Answer { status: parts.status, headers: parts.headers, body }
    }

    /// Asks as a stranger's browser.
    pub async fn get(&self, path: &str) -> Answer {
        self.send(request(Method::GET, path).body(Body::empty()).unwrap()).await
    }
}

/// The beginning of a request.
pub fn request(method: Method, path: &str) -> axum::http::request::Builder {
    Request::builder().method(method).uri(path).header(header::HOST, "club.local")
}

impl Answer {
    /// The body as text.
    pub fn text(&self) -> &str {
        std::str::from_utf8(&self.body).unwrap()
    }

    /// The body as JSON.
    pub fn json(&self) -> serde_json::Value {
        serde_json::from_slice(&self.body).unwrap()
    }

    /// A header, or nothing.
    pub fn header(&self, name: &str) -> &str {
        self.headers.get(name).map_or("", |value| value.to_str().unwrap())
    }

    /// The cookies that it sets.
    pub fn cookies(&self) -> BTreeMap<String, String> {
        self.headers
            .get_all(header::SET_COOKIE)
            .iter()
            .filter_map(|line| line.to_str().unwrap().split(';').next()?.split_once('='))
            .map(|(name, value)| (name.to_owned(), value.to_owned()))
            .collect()
    }
}
