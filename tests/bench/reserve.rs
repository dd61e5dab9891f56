//! What a reservation costs, with few and with a million others in the calendar, as a ratio to a bare
//! insert with the same durability in the same run and on the same disk.
//!
//! `POST /api/v1/reservations` goes through the whole service but the network. The bare insert writes
//! the same rows into the same tables (reservation, piece, night, story, letter) without asking
//! anything, begun and committed as the store does it. Goal: the whole within three bare inserts and
//! a millisecond. `--most N` ends the sizes at N.
#![allow(missing_docs, clippy::unwrap_used, clippy::expect_used)]

use std::time::{Duration, Instant};

use axum::Router;
use axum::body::Body;
use axum::http::{Request, header};
use borrowed_light::app::{AppState, app};
use borrowed_light::people::access::Scope;
use borrowed_light::people::account::{self, NewAccount};
use borrowed_light::people::rights::{Role, Roles};
use borrowed_light::people::{
    Email, MemberFacts, MemberId, MemberNumber, MemberState, add_member, token,
};
use borrowed_light::sheet::{Name, Notes};
use borrowed_light::shelf::{self, AssetTag, Draft, Facts, ItemState};
use borrowed_light::store::Store;
use borrowed_light::web::clock::Clock;
use borrowed_light::web::secret::Secret;
use borrowed_light::web::server::Peer;
use borrowed_light::web::site::Site;
use jiff::tz::TimeZone;
use tower::ServiceExt as _;

/// Pieces on the shelf.
const ITEMS: i64 = 2_000;
/// Reservations and inserts that are timed.
const TRIES: usize = 300;

struct Club {
    _folder: tempfile::TempDir,
    state: AppState,
    router: Router,
    token: Secret,
}

impl Club {
    async fn with(reservations: i64) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(&folder.path().join("club.sqlite")).await.unwrap();
        let clock = Clock::standing_at("2026-06-05T12:00:00Z".parse().unwrap(), TimeZone::UTC);
        let state = AppState::new(store, clock, Site::new("Club"));
        let mut tx = state.store.write().await.unwrap();
        for n in 1..=ITEMS {
            let facts = Facts {
                tag: AssetTag::new(&format!("B-{n}")).unwrap(),
                name: Name::new("2× Barlow").unwrap(),
                state: ItemState::InService,
                acquired: None,
                notes: Notes::default(),
            };
            let factor = borrowed_light::optics::BarlowFactor::new(2.0).unwrap();
            let figures = borrowed_light::optics::Barlow::new(factor);
            shelf::add(&mut tx, shelf::Hand::of_nobody(0), &Draft { facts, figures })
                .await
                .unwrap();
        }
        let mut members = Vec::new();
        for n in 0..200 {
            let facts = MemberFacts {
                number: MemberNumber::new(&format!("M-{n}")).unwrap(),
                name: Name::new("Ines Aldous").unwrap(),
                email: None,
                joined: None,
                state: MemberState::Active,
            };
            members.push(add_member(&mut tx, &facts).await.unwrap());
        }
        let token = caller(&mut tx, &state, members[0]).await;
        tx.commit().await.unwrap();
        fill(&state, reservations).await;
        Self { router: app(state.clone()), _folder: folder, state, token }
    }

    /// Sends one wish and gives the time until its answer.
    async fn reserve(&self, item: usize, night: &str) -> Duration {
        let body = format!(
            "{{\"items\":[{item}],\"first_night\":\"{night}\",\"last_night\":\"{night}\"}}"
        );
        let mut request = Request::builder()
            .method("POST")
            .uri("/api/v1/reservations")
            .header(header::HOST, "club.local")
            .header(header::AUTHORIZATION, format!("Bearer {}", self.token.reveal()))
            .header(header::CONTENT_TYPE, "application/json")
            .body(Body::from(body))
            .unwrap();
        request.extensions_mut().insert(Peer("192.0.2.1".parse().unwrap()));
        let started = Instant::now();
        let answer = self.router.clone().oneshot(request).await.unwrap();
        let taken = started.elapsed();
        assert_eq!(answer.status(), 201, "item {item}, night {night}");
        taken
    }

    /// The rows of a reservation and nothing else, through the same writer.
    async fn bare(&self, n: usize) -> Duration {
        let n = i64::try_from(n).unwrap();
        // Below zero, where the service numbers nothing.
        let (id, item) = (-1_000 - n, 1 + n % ITEMS);
        let night = format!("2028-{:02}-{:02}", 1 + n % 12, 1 + n % 28);
        let started = Instant::now();
        let mut tx = self.state.store.write().await.unwrap();
        sqlx::query(
            "INSERT INTO reservation (id, member_id, first_night, last_night, state, created_at)
             VALUES (?1, 1, ?2, ?2, 'confirmed', 0)",
        )
        .bind(id)
        .bind(&night)
        .execute(&mut *tx)
        .await
        .unwrap();
        sqlx::query(
            "INSERT INTO reservation_item (reservation_id, item_id, state) VALUES (?, ?, 'planned')",
        )
        .bind(id)
        .bind(item)
        .execute(&mut *tx)
        .await
        .unwrap();
        sqlx::query("INSERT INTO item_night (item_id, night, reservation_id) VALUES (?, ?, ?)")
            .bind(item)
            .bind(&night)
            .bind(id)
            .execute(&mut *tx)
            .await
            .unwrap();
        sqlx::query(
            "INSERT INTO lending_event (reservation_id, at, kind, items, first_night, last_night,
                                        to_state)
             VALUES (?1, 0, 'book', '[1]', ?2, ?2, 'confirmed')",
        )
        .bind(id)
        .bind(&night)
        .execute(&mut *tx)
        .await
        .unwrap();
        sqlx::query(
            "INSERT INTO letter (letter_key, kind, essential, member_id, subject, body, created_at,
                                 not_before, not_after, next_at)
             VALUES (?1, 'reservation-made', 1, 1, 'Your reservation is confirmed', ?2, 0, 0, 1, 0)",
        )
        .bind(format!("bare {id}"))
        .bind("[]")
        .execute(&mut *tx)
        .await
        .unwrap();
        tx.commit().await.unwrap();
        started.elapsed()
    }
}

async fn caller(
    tx: &mut borrowed_light::store::WriteTx,
    state: &AppState,
    member: MemberId,
) -> Secret {
    let email = Email::new("ines@example.org").unwrap();
    let roles = Roles::of([Role::Member]);
    let new = NewAccount { member: Some(member), name: "Ines", email: &email, roles: &roles };
    let id = account::add(tx, &state.clock, &new).await.unwrap();
    let token = Secret::random().unwrap();
    token::add(tx, &state.clock, id, "bench", &token, Scope::Write).await.unwrap();
    token
}

/// Writes loans of the last years: two nights each, spread over items and members.
async fn fill(state: &AppState, reservations: i64) {
    let mut tx = state.store.write().await.unwrap();
    sqlx::query(
        "CREATE TABLE wanted (n INTEGER PRIMARY KEY, item INTEGER, first TEXT, last TEXT) STRICT",
    )
    .execute(&mut *tx)
    .await
    .unwrap();
    sqlx::query(
        "WITH RECURSIVE counted (n) AS (
             SELECT 0 UNION ALL SELECT n + 1 FROM counted WHERE n + 1 < ?1)
         INSERT INTO wanted
         SELECT n, 1 + n % ?2, date('2026-06-03', '-' || (2 * (n / ?2)) || ' days'),
                date('2026-06-04', '-' || (2 * (n / ?2)) || ' days') FROM counted",
    )
    .bind(reservations)
    .bind(ITEMS)
    .execute(&mut *tx)
    .await
    .unwrap();
    for statement in [
        "INSERT INTO reservation (id, member_id, first_night, last_night, state, created_at)
         SELECT 1 + n, 1 + n % 200, first, last, 'closed', 0 FROM wanted",
        "INSERT INTO reservation_item (reservation_id, item_id, state)
         SELECT 1 + n, item, 'returned' FROM wanted",
        "INSERT INTO item_night (item_id, night, kind, reservation_id)
         SELECT item, first, 'plan', 1 + n FROM wanted
         UNION ALL SELECT item, last, 'plan', 1 + n FROM wanted",
        "DROP TABLE wanted",
        "ANALYZE",
    ] {
        sqlx::query(statement).execute(&mut *tx).await.unwrap();
    }
    tx.commit().await.unwrap();
}

fn quantile(times: &mut [Duration], share: f64) -> f64 {
    times.sort_unstable();
    let at = ((times.len() - 1) as f64 * share).round() as usize;
    times[at].as_secs_f64() * 1e3
}

fn main() {
    let args: Vec<String> = std::env::args().collect();
    let most: i64 = args
        .iter()
        .position(|arg| arg == "--most")
        .map_or(1_000_000, |at| args[at + 1].parse().expect("a number of reservations"));
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build().unwrap();
    println!(
        "{:>12} {:>12} {:>12} {:>12} {:>12} {:>10} {:>12}",
        "reservations",
        "bare p50 ms",
        "post p50 ms",
        "post p95 ms",
        "per second",
        "ratio",
        "goal held"
    );
    for size in [1_000, 1_000_000].into_iter().filter(|size| *size <= most) {
        runtime.block_on(measure(size));
    }
}

async fn measure(size: i64) {
    let club = Club::with(size).await;
    let (mut bare, mut post) = (Vec::new(), Vec::new());
    for n in 0..TRIES + 20 {
        // Taken in turn, so that both meet the same disk.
        let row = club.bare(n).await;
        let item = 1 + (n * 37) % usize::try_from(ITEMS).unwrap();
        let night = format!("2026-{:02}-{:02}", 7 + n % 3, 1 + n % 28);
        let whole = club.reserve(item, &night).await;
        // The first ones warm up.
        if n >= 20 {
            bare.push(row);
            post.push(whole);
        }
    }
    let (row, whole) = (quantile(&mut bare, 0.5), quantile(&mut post, 0.5));
    let goal = if whole <= 3.0 * row + 1.0 { "yes" } else { "no" };
    println!(
        "{size:>12} {row:>12.3} {whole:>12.3} {:>12.3} {:>12.0} {:>10.2} {goal:>12}",
        quantile(&mut post, 0.95),
        1e3 / whole,
        whole / row,
    );
    club.state.store.close().await;
}
