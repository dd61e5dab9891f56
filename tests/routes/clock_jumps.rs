//! The machine's clock jumps: forward by mistake, and back again. Nothing is told twice, nobody is
//! kept out, and what waits does not wait for the wrong time.

use std::collections::HashSet;

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
