//! Several clubs behind one entrance, told apart by the name of the host that is asked for.

use std::collections::BTreeMap;
use std::sync::{Arc, PoisonError, RwLock};

use axum::Router;
use axum::extract::{Request, State};
use axum::http::{HeaderMap, StatusCode, Uri, header};
use axum::middleware::{from_fn, from_fn_with_state};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use tower::ServiceExt as _;

use super::state::AppState;
use super::{app, health};
use crate::web;
use crate::web::kinds::Kind;
use crate::web::problem::Problem;
use crate::web::site::Site;

/// How a host stands.
#[derive(Clone)]
enum Door {
    /// Its club is served.
    Open(Box<AppState>, Router),
    /// Its club is known but can't be served now.
    Shut,
}

/// The clubs of one server, each with everything of its own. Clones share them.
#[derive(Clone, Default)]
pub struct Hosts(Arc<RwLock<BTreeMap<String, Door>>>);

impl Hosts {
    /// From now on this host's club is served.
    pub fn open(&self, host: &str, state: AppState) {
        let router = app(state.clone());
        self.set(host, Door::Open(Box::new(state), router));
    }

    /// From now on this host's club is told to be closed for the moment.
    pub fn shut(&self, host: &str) {
        self.set(host, Door::Shut);
    }

    /// From now on nobody lives under any other name than these.
    pub fn keep_only(&self, is_kept: impl Fn(&str) -> bool) {
        let mut doors = self.0.write().unwrap_or_else(PoisonError::into_inner);
        doors.retain(|host, _| is_kept(host));
    }

    fn set(&self, host: &str, door: Door) {
        let mut doors = self.0.write().unwrap_or_else(PoisonError::into_inner);
        doors.insert(host.to_owned(), door);
    }

    fn door(&self, host: &str) -> Option<Door> {
        self.0.read().unwrap_or_else(PoisonError::into_inner).get(host).cloned()
    }

    /// The clubs that are served, by host.
    #[must_use]
    pub fn served(&self) -> Vec<(String, AppState)> {
        let doors = self.0.read().unwrap_or_else(PoisonError::into_inner);
        let open = doors.iter().filter_map(|(host, door)| match door {
            Door::Open(state, _) => Some((host.clone(), (**state).clone())),
            Door::Shut => None,
        });
        open.collect()
    }

    /// The service of all of them.
    pub fn router(self) -> Router {
        Router::new().fallback(to_its_club).with_state((self.clone(), porch(self)))
    }
}

/// The host a request is for, without port, in small letters; nothing where it names none or two.
///
/// What stands in the request line counts first (RFC 9112, section 3.2.2).
fn host_of(uri: &Uri, headers: &HeaderMap) -> Option<String> {
    let mut named = headers.get_all(header::HOST).iter();
    let (first, second) = (named.next(), named.next());
    if second.is_some() {
        return None;
    }
    let host = match uri.host() {
        Some(host) => host,
        None => first?.to_str().ok()?,
    };
    let name = host.rsplit_once(':').map_or(host, |(name, _)| name);
    let name = name.trim_end_matches('.').to_ascii_lowercase();
    (!name.is_empty()).then_some(name)
}

async fn to_its_club(
    State((hosts, porch)): State<(Hosts, Router)>,
    mut request: Request,
) -> Response {
    let router = match host_of(request.uri(), request.headers()).map(|host| hosts.door(&host)) {
        Some(Some(Door::Open(_, router))) => router,
        Some(Some(Door::Shut)) => {
            request.extensions_mut().insert(Closed);
            porch
        }
        Some(None) | None => porch,
    };
    router.oneshot(request).await.unwrap_or_else(|never| match never {})
}

/// Marks a request for a club that is closed for the moment.
#[derive(Clone, Copy)]
struct Closed;

/// What stands before all doors: signs of life, the looks of pages, and words for who is lost.
fn porch(hosts: Hosts) -> Router {
    let site = Site::default();
    // Even who is lost may stand in the dark.
    let guarded = from_fn_with_state(site.clone(), web::guard::guard);
    let choosing = post(web::scheme::choose).layer(guarded);
    Router::new()
        .route("/healthz", get(health::alive))
        .route("/readyz", get(move || ready(hosts)))
        .route("/static/{*name}", get(web::files::get))
        .route("/scheme", choosing.fallback(lost))
        .fallback(lost)
        .layer(from_fn(web::leftovers::read_to_end))
        .layer(from_fn(web::finish::finish))
        .layer(from_fn_with_state(site.clone(), web::visit::begin))
        .layer(from_fn_with_state(site.clone(), web::headers::protect))
        .layer(from_fn(web::request_id::number))
        .with_state(site)
}

/// Ready while any club's database answers: one that is broken stops no other.
async fn ready(hosts: Hosts) -> Response {
    for (_, state) in hosts.served() {
        if state.store.answers().await.is_ok() {
            return "ready\n".into_response();
        }
    }
    StatusCode::SERVICE_UNAVAILABLE.into_response()
}

async fn lost(request: Request) -> Problem {
    if request.extensions().get::<Closed>().is_some() {
        return Problem::new(Kind::Busy, "This club’s records can’t be opened at the moment.")
            .next("Try again in a few minutes; whoever looks after the service knows of it.")
            .way("Try again", "/");
    }
    Problem::new(Kind::WrongHost, Kind::WrongHost.meaning())
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::http::HeaderValue;

    fn host(uri: &str, named: &[&'static str]) -> Option<String> {
        let headers = named.iter().map(|name| (header::HOST, HeaderValue::from_static(name)));
        let mut all = HeaderMap::new();
        for (name, value) in headers {
            all.append(name, value);
        }
        host_of(&uri.parse().unwrap(), &all)
    }

    #[test]
    fn a_host_is_known_without_its_port_its_case_and_its_last_dot() {
        assert_eq!(host("/", &["Lend.Example.org:8420"]).as_deref(), Some("lend.example.org"));
        assert_eq!(host("/", &["lend.example.org."]).as_deref(), Some("lend.example.org"));
        assert_eq!(host("http://a.example/", &["b.example"]).as_deref(), Some("a.example"));
    }

    #[test]
    fn two_hosts_or_none_are_nobodys() {
        assert_eq!(host("/", &["a.example", "b.example"]), None);
        assert_eq!(host("/", &[]), None);
        assert_eq!(host("/", &[":80"]), None);
    }
}
