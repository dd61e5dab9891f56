//! The machine's clock jumps: forward by mistake, and back again. Nothing is told twice, nobody is
//! kept out, and what waits does not wait for the wrong time.

use std::collections::HashSet;

use axum::http::Method;
use borrowed_light::app::chores;
use borrowed_light::people::rights::Role;
use jiff::SignedDuration;

use crate::browser::Browser;
use crate::client::{House, PASSWORD};
use crate::lending_api::Club;
use crate::mail::{Taken, TestMailServer};

const THREE_YEARS: SignedDuration = SignedDuration::from_hours(3 * 365 * 24);
const A_DAY: SignedDuration = SignedDuration::from_hours(24);

/// Ines has a piece out until tonight; a worker that sends the club's letters.
async fn lent() -> (Club, TestMailServer, borrowed_light::post::Worker) {
    let club = Club::new().await;
    let server = TestMailServer::start().await;
    let (_, worker) = club.house.state.clone().with_mail(server.settings());
    let wish = club.wish(&[0], "2026-06-05", "2026-06-05");
    let made = club.post(&club.ines, "/api/v1/reservations", Some(wish)).await.json();
    let path = format!("/api/v1/reservations/{}/hand-over", made["id"]);
    assert_eq!(club.post(&club.desk, &path, None).await.status, 200);
    (club, server, worker)
}

fn numbers(letters: &[Taken]) -> HashSet<String> {
    letters.iter().map(|letter| letter.header("Message-ID").to_owned()).collect()
}

#[tokio::test]
async fn no_letter_is_written_twice_and_the_chores_go_on() {
    let (club, server, mut worker) = lent().await;
    let clock = &club.house.state.clock;
    // Ten days forward, back again, and then day by day as time really goes.
    for jump in [A_DAY * 10, A_DAY * -10].into_iter().chain([A_DAY; 12]) {
        clock.advance(jump);
        for _ in 0..2 {
            chores::once(&club.house.state).await.unwrap();
            worker.round().await.unwrap();
        }
        assert_eq!(club.faults().await, Vec::<String>::new());
    }
    let letters = server.taken();
    assert_eq!(numbers(&letters).len(), letters.len(), "a letter was sent twice");
    let told: Vec<_> = letters.iter().map(|l| (l.header("To"), l.header("Subject"))).collect();
    let times = |subject: &str| told.iter().filter(|(_, said)| *said == subject).count();
    assert_eq!(times("Your loan is overdue"), 1, "after one night: {told:?}");
    let long = "Your loan is long overdue";
    assert_eq!(times(long), 2, "after three nights and after seven: {told:?}");
    let others: Vec<_> = told.iter().filter(|(_, said)| *said != long).collect();
    assert_eq!(others.iter().collect::<HashSet<_>>().len(), others.len(), "twice: {told:?}");
}

#[tokio::test]
async fn a_letter_written_under_a_clock_that_was_ahead_is_sent_when_it_is_right_again() {
    let (club, server, mut worker) = lent().await;
    let clock = &club.house.state.clock;
    worker.round().await.unwrap();
    clock.advance(THREE_YEARS);
    worker.round().await.unwrap();
    let before = server.taken().len();
    chores::once(&club.house.state).await.unwrap();
    clock.advance(-THREE_YEARS);
    worker.round().await.unwrap();
    assert!(server.taken().len() > before, "it waits for three years");
    let after = server.taken().len();
    worker.round().await.unwrap();
    assert_eq!(server.taken().len(), after);
}

#[tokio::test]
async fn a_session_begun_under_a_clock_that_was_ahead_ends_and_an_older_one_goes_on() {
    let house = House::new().await;
    house.account("ines@example.org", &[Role::Member]).await;
    house.account("quill@example.org", &[Role::Member, Role::Quartermaster]).await;
    let clock = &house.state.clock;
    let mut member = Browser::new(&house);
    member.sign_in("ines@example.org", PASSWORD).await;
    clock.advance(SignedDuration::from_mins(40));
    assert_eq!(member.get("/sign-in").await.status, 303);
    clock.advance(SignedDuration::from_mins(-40));
    assert_eq!(member.get("/sign-in").await.status, 303, "an older session goes on");

    clock.advance(THREE_YEARS);
    let mut staff = Browser::new(&house);
    assert_eq!(staff.sign_in("quill@example.org", PASSWORD).await.status, 303);
    clock.advance(-THREE_YEARS);
    assert_eq!(staff.get("/sign-in").await.status, 200, "it would last for three years");
    assert_eq!(staff.sign_in("quill@example.org", PASSWORD).await.status, 303);
}

#[tokio::test]
async fn a_piece_is_out_whatever_it_did_while_the_clock_was_ahead() {
    let club = Club::new().await;
    let clock = &club.house.state.clock;
    let mut ahead = SignedDuration::ZERO;
    let hand_over = async || {
        let today = clock.today().to_string();
        let made = club.wish(&[0], &today, &today);
        let made = club.post(&club.ines, "/api/v1/reservations", Some(made)).await.json();
        let path = format!("/api/v1/reservations/{}/hand-over", made["id"]);
        let out = club.post(&club.desk, &path, None).await;
        assert_eq!(out.status, 200, "{}", out.text());
        out.json()["id"].clone()
    };
    // More than a page tells of.
    for _ in 0..14 {
        clock.advance(A_DAY);
        ahead += A_DAY;
        let loan = hand_over().await;
        let back = club.post(&club.desk, &format!("/api/v1/loans/{loan}/return"), None).await;
        assert_eq!(back.status, 200, "{}", back.text());
    }
    clock.advance(-ahead);
    hand_over().await;
    let mut desk = Browser::new(&club.house);
    desk.sign_in("desk@example.org", PASSWORD).await;
    let page = desk.get("/shelf/B-1").await.text().to_owned();
    assert!(page.contains("Out until Saturday 6 June"), "{page}");
    assert!(page.contains("has it.") && page.contains("Take it back"), "{page}");
    // Everything is told once, on as many pages as it takes.
    let whole = desk.get("/shelf/B-1/life").await.text().to_owned();
    assert_eq!(whole.matches("Went out").count(), 15, "{whole}");
    assert_eq!(club.faults().await, Vec::<String>::new());
}

#[tokio::test]
async fn what_was_changed_while_the_clock_was_ahead_is_told_in_its_place_and_once() {
    let club = Club::new().await;
    let clock = &club.house.state.clock;
    let change = async |note: &str| {
        let path = format!("/api/v1/barlows/{}", club.items[0]);
        let kept = club.get(&club.desk, &path).await;
        let mut body = kept.json();
        body["notes"] = note.into();
        let tag = [("if-match", kept.header("etag"))];
        let put = club.ask(&club.desk, Method::PUT, &path, &tag, Some(body)).await;
        assert_eq!(put.status, 200, "{}", put.text());
    };
    clock.advance(A_DAY * 10);
    for n in 1..=3 {
        change(&format!("ahead {n};")).await;
        clock.advance(SignedDuration::from_secs(1));
    }
    clock.advance(A_DAY * -10);
    for n in 1..=120 {
        change(&format!("right {n};")).await;
        clock.advance(SignedDuration::from_secs(1));
    }
    let mut desk = Browser::new(&club.house);
    desk.sign_in("desk@example.org", PASSWORD).await;
    let page = desk.get("/shelf/B-1").await.text().to_owned();
    let told = |page: &str| -> Vec<String> {
        let life = page.split("<ol class=\"life\">").nth(1).unwrap().split("</ol>").next().unwrap();
        let notes = life.split("</span> ").skip(1);
        let notes = notes.filter_map(|one| Some(one.split_once(';')?.0.to_owned()));
        notes.filter(|one| one.len() < 10).collect()
    };
    let mut expected: Vec<String> = (1..=3).rev().map(|n| format!("ahead {n}")).collect();
    expected.extend((1..=120).rev().map(|n| format!("right {n}")));
    assert_eq!(told(&page), expected[..12]);
    let first = desk.get("/shelf/B-1/life").await.text().to_owned();
    let way = first.split("href=\"/shelf/B-1/life?before=").nth(1).unwrap();
    let way = format!("/shelf/B-1/life?before={}", way.split('"').next().unwrap());
    let second = desk.get(&way).await.text().to_owned();
    assert_eq!([told(&first), told(&second)].concat(), expected);
}

#[tokio::test]
async fn nobody_is_kept_out_by_failures_of_a_time_that_never_was() {
    let house = House::new().await;
    house.account("ines@example.org", &[Role::Member]).await;
    let clock = &house.state.clock;
    clock.advance(THREE_YEARS);
    let mut browser = Browser::new(&house);
    for _ in 0..8 {
        browser.sign_in("ines@example.org", "a guess of mine").await;
    }
    assert_eq!(browser.sign_in("ines@example.org", PASSWORD).await.status, 429);
    clock.advance(-THREE_YEARS);
    assert_eq!(browser.sign_in("ines@example.org", PASSWORD).await.status, 303);
}
