//! A whole application on a temporary database, and a client that remembers its cookies.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::sync::Arc;

use axum::Router;
use axum::body::Body;
use axum::http::{HeaderMap, Method, Request, StatusCode, header};
use borrowed_light::app::{AppState, app};
use borrowed_light::people::access::Scope;
use borrowed_light::people::account::{self, NewAccount};
use borrowed_light::people::password::{Hasher, Password};
use borrowed_light::people::rights::{Role, Roles};
use borrowed_light::people::{Email, MemberFacts, MemberId, MemberNumber, MemberState, token};
use borrowed_light::post::Worker;
use borrowed_light::sheet::Name;
use borrowed_light::shelf::{self, Tabular as _, TelescopeFigures};
use borrowed_light::store::Store;
use borrowed_light::web::clock::Clock;
use borrowed_light::web::secret::Secret;
use borrowed_light::web::server::Peer;
use borrowed_light::web::site::Site;
use http_body_util::BodyExt as _;
use jiff::tz::TimeZone;
use tokio::sync::OnceCell;
use tower::ServiceExt as _;

use crate::mail::TestMailServer;

/// The password of every account made here.
pub const PASSWORD: &str = "the first evening star";

/// An application on a database of its own, which ends with its last clone.
#[derive(Clone)]
pub struct House {
    pub state: AppState,
    pub router: Router,
    folder: Arc<tempfile::TempDir>,
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
        let state = AppState::new(store, clock, site);
        Self { router: app(state.clone()), state, folder: Arc::new(folder) }
    }

    /// A fresh one with a mail server, and the worker that sends letters when it is told to.
    pub async fn with_mail() -> (Self, TestMailServer, Worker) {
        let site = Site::new("Windmill Hill Astronomers").at("https://lend.example.org").unwrap();
        let mut house = Self::at(site).await;
        let server = TestMailServer::start().await;
        let (state, worker) = house.state.clone().with_mail(server.settings());
        house.router = app(state.clone());
        house.state = state;
        (house, server, worker)
    }

    /// A fresh one that asks whoever looks after the club for a second factor, as `serve` does.
    pub async fn asking_for_codes() -> Self {
        Self::at(Site::new("Windmill Hill Astronomers").asking_staff_for_codes()).await
    }

    /// Makes an account with [`PASSWORD`] and gives its number.
    pub async fn account(&self, email: &str, roles: &[Role]) -> i64 {
        self.account_of(None, email, roles).await
    }

    /// Puts somebody on the list of members, with an account with [`PASSWORD`], and gives both
    /// numbers: the member's and the account's.
    pub async fn member(&self, name: &str, email: &str, roles: &[Role]) -> (MemberId, i64) {
        let mut tx = self.state.store.write().await.unwrap();
        let number =
            format!("M-{}", borrowed_light::people::members(&mut tx).await.unwrap().len() + 1);
        let facts = MemberFacts {
            number: MemberNumber::new(&number).unwrap(),
            name: Name::new(name).unwrap(),
            email: Email::new(email).ok(),
            joined: "2019-03-01".parse().ok(),
            state: MemberState::Active,
        };
        let member = borrowed_light::people::add_member(&mut tx, &facts).await.unwrap();
        tx.commit().await.unwrap();
        (member, self.account_of(Some(member), email, roles).await)
    }

    async fn account_of(&self, member: Option<MemberId>, email: &str, roles: &[Role]) -> i64 {
        static HASH: OnceCell<String> = OnceCell::const_new();
        let hash = HASH
            .get_or_init(async || {
                let password = Password::choose(PASSWORD, &[]).unwrap();
                Hasher::default().turn().await.unwrap().hash(password).await.unwrap()
            })
            .await;
        let id = self.new_account(member, email, roles).await;
        let mut tx = self.state.store.write().await.unwrap();
        account::set_password(&mut tx, id, hash).await.unwrap();
        tx.commit().await.unwrap();
        id
    }

    /// Puts telescopes T-0001 to so many on the shelf, the first two of the same name.
    pub async fn put_telescopes(&self, count: usize) {
        let mut table = TelescopeFigures::COLUMNS.join(",") + "\n";
        for n in 1..=count {
            let name = if n <= 2 { "Twin".to_owned() } else { format!("Lyra {n}") };
            writeln!(table, "T-{n:04},{name},newtonian,200,1200,,,,,,,,,,,,,,,").unwrap();
        }
        let mut tx = self.state.store.write().await.unwrap();
        let rows = shelf::read_table::<TelescopeFigures>(table.as_bytes()).unwrap();
        shelf::take_in(&mut tx, shelf::Hand::of_nobody(0), &rows).await.unwrap();
        tx.commit().await.unwrap();
    }

    /// Makes an account that has not chosen its password yet.
    pub async fn account_without_password(&self, email: &str) -> i64 {
        self.new_account(None, email, &[Role::Member]).await
    }

    /// Makes an access token for an account.
    pub async fn token(&self, account: i64, scope: Scope) -> Secret {
        let token = Secret::random().unwrap();
        let mut tx = self.state.store.write().await.unwrap();
        let clock = &self.state.clock;
        token::add(&mut tx, clock, account, "my script", &token, scope).await.unwrap();
        tx.commit().await.unwrap();
        token
    }

    async fn new_account(&self, member: Option<MemberId>, email: &str, roles: &[Role]) -> i64 {
        let email = Email::new(email).unwrap();
        let roles = Roles::of(roles.iter().copied());
        let new = NewAccount { member, name: "Ines Aldous", email: &email, roles: &roles };
        let mut tx = self.state.store.write().await.unwrap();
        let id = account::add(&mut tx, &self.state.clock, &new).await.unwrap();
        tx.commit().await.unwrap();
        id
    }

    /// Where its database lies.
    pub fn folder(&self) -> &std::path::Path {
        self.folder.path()
    }

    /// Sends one request from 192.0.2.1.
    pub async fn send(&self, mut request: Request<Body>) -> Answer {
        request.extensions_mut().insert(Peer("192.0.2.1".parse().unwrap()));
        let response = self.router.clone().oneshot(request).await.unwrap();
        let (parts, body) = response.into_parts();
        let body = body.collect().await.unwrap().to_bytes().to_vec();
        Answer { status: parts.status, headers: parts.headers, body }
    }

    /// The database's file.
    pub fn database(&self) -> std::path::PathBuf {
        self.folder.path().join("club.sqlite")
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
