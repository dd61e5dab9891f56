//! Reserving over the network, against a bare durable commit in the same run on the same disk.

use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use crate::client::{Answer, Client, Who, quantile};
use crate::club::Club;
use crate::service::Service;

/// A row in a table of its own, begun and committed as the store does it, in a file beside.
async fn bare_commits(club: &Club, many: usize) -> f64 {
    let folder = tempfile::tempdir_in(club.folder.path()).unwrap();
    let store =
        borrowed_light::store::Store::open(&folder.path().join("bare.sqlite")).await.unwrap();
    let mut tx = store.write().await.unwrap();
    sqlx::query("CREATE TABLE bare (n INTEGER PRIMARY KEY, text TEXT NOT NULL) STRICT")
        .execute(&mut *tx)
        .await
        .unwrap();
    tx.commit().await.unwrap();
    let mut times = Vec::new();
    for _ in 0..many {
        let started = Instant::now();
        let mut tx = store.write().await.unwrap();
        sqlx::query("INSERT INTO bare (text) VALUES ('a reservation, more or less')")
            .execute(&mut *tx)
            .await
            .unwrap();
        tx.commit().await.unwrap();
        times.push(started.elapsed());
    }
    store.close().await;
    quantile(&times, 0.5)
}

/// The n-th wish: one piece for one night, never the same twice, and never for the quartermaster who
/// sends it, whose own wishes have limits.
fn wish(club: &Club, n: i64) -> String {
    let (first, many) = club.added;
    let night = crate::club::today().checked_add(jiff::Span::new().days(30 + n / many)).unwrap();
    format!(
        "{{\"items\":[{}],\"first_night\":\"{night}\",\"last_night\":\"{night}\",\"member\":{}}}",
        first + n % many,
        2 + n % 29
    )
}

/// One program that reserves, again and again.
pub async fn one_client(service: &Service, club: &Club) {
    let bare = bare_commits(club, 200).await;
    let who = Who::program(&club.person("quartermaster").token);
    let mut client = Client::to(&service.address);
    let mut times = Vec::new();
    for n in 0..220 {
        let answer = client.post("/api/v1/reservations", &who, "application/json", &wish(club, n));
        assert_eq!(answer.status, 201, "wish {n}");
        if n >= 20 {
            times.push(answer.took);
        }
    }
    let (p50, p95) = (quantile(&times, 0.5), quantile(&times, 0.95));
    println!(
        "reserving, one client: bare durable commit {bare:.2} ms; {p50:.2} ms, 95 in 100 within \
         {p95:.2} ms (goal {:.2})",
        3.0 * bare + 1.0
    );
}

/// Twenty reservations by each of fifty programs at once, never the same wish twice.
fn fifty_times_twenty(service: &Service, club: &Club, from: i64) -> Vec<Answer> {
    let who = Who::program(&club.person("quartermaster").token);
    std::thread::scope(|scope| {
        let writers: Vec<_> = (0..50_i64)
            .map(|writer| {
                let who = who.clone();
                scope.spawn(move || {
                    let mut client = Client::to(&service.address);
                    (0..20_i64)
                        .map(|n| {
                            let body = wish(club, from + 50 * n + writer);
                            client.post("/api/v1/reservations", &who, "application/json", &body)
                        })
                        .collect::<Vec<_>>()
                })
            })
            .collect();
        writers.into_iter().flat_map(|one| one.join().unwrap()).collect()
    })
}

/// Fifty programs that reserve at once, with nobody beside them.
pub async fn fifty_clients(service: &Service, club: &Club) {
    let bare = bare_commits(club, 200).await;
    let written = fifty_times_twenty(service, club, 1_000);
    let faults = written.iter().filter(|answer| answer.status >= 500).count();
    let kept = written.iter().filter(|answer| answer.status == 201).count();
    let times: Vec<Duration> = written.iter().map(|answer| answer.took).collect();
    let p99 = quantile(&times, 0.99);
    println!(
        "reserving, fifty at once: {kept} of {} kept, {faults} answers of 500 and above (goal 0); \
         99 in 100 within {p99:.1} ms, {:.0} bare commits of {bare:.2} ms (goal 60)",
        written.len(),
        p99 / bare
    );
}

/// One that reads, alone and while fifty reserve.
pub fn reading_meanwhile(service: &Service, club: &Club) {
    let who = Who::program(&club.person("quartermaster").token);
    let path = format!("/api/v1/eyepieces/{}", club.eyepiece.1);
    let read = |many: usize, done: Option<&AtomicBool>| {
        let mut client = Client::to(&service.address);
        let mut times: Vec<Duration> = Vec::new();
        while times.len() < many && !done.is_some_and(|done| done.load(Ordering::Relaxed)) {
            let answer = client.get(&path, &who);
            assert_eq!(answer.status, 200);
            times.push(answer.took);
        }
        times
    };
    let idle = read(2_000, None);
    let done = AtomicBool::new(false);
    let reads = std::thread::scope(|scope| {
        let reader = scope.spawn(|| read(1_000_000, Some(&done)));
        let written = fifty_times_twenty(service, club, 2_000);
        assert!(written.iter().all(|answer| answer.status == 201), "they did not write");
        done.store(true, Ordering::Relaxed);
        reader.join().unwrap()
    });
    let (still, busy) = (quantile(&idle, 0.95), quantile(&reads, 0.95));
    println!(
        "reading meanwhile: 95 in 100 within {busy:.2} ms, alone {still:.2} ms: {:.1} times (goal \
         2)\n",
        busy / still
    );
}
