//! Loans of the young: their guardian is told what is due, and nobody is shown where.

use borrowed_light::app::chores;
use borrowed_light::people::rights::Role;
use borrowed_light::post::Worker;
use jiff::SignedDuration;
use serde_json::json;

use crate::browser::Browser;
use crate::client::{House, PASSWORD};
use crate::lending_api::{Caller, Club};
use crate::mail::{Taken, TestMailServer};

const MARIA: &str = "maria.planted@example.org";

async fn signed_in<'a>(house: &'a House, name: &str) -> Browser<'a> {
    let mut browser = Browser::new(house);
    browser.sign_in(&format!("{name}@example.org"), PASSWORD).await;
    browser
}

/// A club with a mail server, in which Ines is under age.
async fn club() -> (Club, TestMailServer, Worker) {
    let (house, server, worker) = House::with_mail().await;
    let club = Club::in_house(house).await;
    let mut ines = signed_in(&club.house, "ines").await;
    let born = [("birth_year", "2012"), ("version", "0")];
    assert_eq!(ines.post("/account/observer", &born).await.status, 303);
    (club, server, worker)
}

async fn consent(club: &Club, member: i64, email: &str) {
    let mut desk = signed_in(&club.house, "desk").await;
    let typed = [("guardian", "Maria Planted"), ("email", email), ("consented_on", "2026-06-01")];
    let path = format!("/people/{member}/observer/guardian");
    let written = desk.post(&path, &typed).await;
    assert_eq!(written.status, 303, "{}", written.text());
}

/// Hands a piece over from tonight to Sunday.
async fn lend(club: &Club, to: &Caller, at: usize) -> i64 {
    let mut wish = club.wish(&[at], "2026-06-05", "2026-06-07");
    wish["member"] = json!(to.member);
    let made = club.post(&club.desk, "/api/v1/reservations", Some(wish)).await.json();
    let path = format!("/api/v1/reservations/{}", made["id"]);
    let signed = json!({ "guardian": "Maria Planted" });
    let out = club.post(&club.desk, &format!("{path}/hand-over"), Some(signed)).await;
    assert_eq!(out.status, 200, "{}", out.text());
    made["id"].as_i64().unwrap()
}

/// What went where after so many days.
async fn after(
    club: &Club,
    (server, worker): (&TestMailServer, &mut Worker),
    days: i64,
) -> Vec<Taken> {
    let before = server.taken().len();
    club.house.state.clock.advance(SignedDuration::from_hours(24 * days));
    for _ in 0..2 {
        chores::once(&club.house.state).await.unwrap();
        worker.round().await.unwrap();
    }
    server.taken().split_off(before)
}

fn to<'a>(taken: &'a [Taken], reader: &str) -> Vec<&'a str> {
    taken.iter().filter(|one| one.to == reader).map(|one| one.header("Subject")).collect()
}

#[tokio::test]
async fn due_and_overdue_loans_of_the_young_are_told_to_their_guardian_too_and_nothing_else_is() {
    let (club, server, mut worker) = club().await;
    consent(&club, club.ines.member, MARIA).await;
    lend(&club, &club.ines, 0).await;
    lend(&club, &club.noor, 1).await;
    let soon = after(&club, (&server, &mut worker), 1).await;
    assert_eq!(to(&soon, MARIA), Vec::<&str>::new(), "what is only soon due is the borrower's");
    assert_eq!(to(&soon, "ines@example.org").last(), Some(&"Your loan is due soon"));

    let due = after(&club, (&server, &mut worker), 1).await;
    assert_eq!(to(&due, "ines@example.org"), ["Your loan is due tomorrow"]);
    // RFC 2047 words, because of the apostrophe.
    assert_eq!(to(&due, MARIA).len(), 1, "once, and for her own child only");
    assert_eq!(to(&due, "noor@example.org"), ["Your loan is due tomorrow"]);
    let letter = due.iter().find(|one| one.to == MARIA).unwrap().plain();
    for says in [
        "Dear Maria Planted",
        "ines borrowed these",
        "Monday 8 June 2026",
        "B-1 2× Barlow",
        "because you consented",
    ] {
        assert!(letter.contains(says), "{says}\n{letter}");
    }
    assert!(!letter.contains("/mine"), "she has no page: {letter}");

    let late = after(&club, (&server, &mut worker), 1).await;
    assert_eq!((to(&late, MARIA).len(), to(&late, "ines@example.org").len()), (1, 1));
    let long = after(&club, (&server, &mut worker), 6).await;
    assert_eq!(to(&long, MARIA).len(), 1);
    let plain = long.iter().find(|one| one.to == MARIA).unwrap().plain();
    assert!(plain.contains("call the quartermaster"), "{plain}");

    // On the member's page what she was told is not told twice.
    let mut ines = signed_in(&club.house, "ines").await;
    let page = ines.get("/account/letters").await.text().to_owned();
    assert!(
        page.contains("Your loan is due tomorrow") && !page.contains("ines borrowed"),
        "{page}"
    );
}

#[tokio::test]
async fn without_an_address_the_borrower_alone_is_told_and_a_new_consent_takes_the_old_one_away() {
    let (club, server, mut worker) = club().await;
    consent(&club, club.ines.member, "").await;
    lend(&club, &club.ines, 0).await;
    let due = after(&club, (&server, &mut worker), 2).await;
    let readers: Vec<&str> = due.iter().map(|one| one.to.as_str()).collect();
    assert!(readers.iter().all(|one| *one == "ines@example.org"), "{readers:?}");

    consent(&club, club.ines.member, MARIA).await;
    let late = after(&club, (&server, &mut worker), 1).await;
    assert_eq!(to(&late, MARIA).len(), 1);
    consent(&club, club.ines.member, "").await;
    let long = after(&club, (&server, &mut worker), 6).await;
    assert_eq!(to(&long, MARIA).len(), 0);
    assert_eq!(to(&long, "ines@example.org").len(), 1);
}

#[tokio::test]
async fn the_address_is_shown_to_the_member_alone_and_goes_with_them() {
    let (club, server, mut worker) = club().await;
    consent(&club, club.ines.member, MARIA).await;
    let path = format!("/people/{}/observer", club.ines.member);
    let mut desk = signed_in(&club.house, "desk").await;
    let page = desk.get(&path).await;
    assert_eq!(page.header("cache-control"), "no-store");
    assert!(page.text().contains("told to them by e-mail too"), "{}", page.text());
    assert!(!page.text().contains("maria.planted"), "{}", page.text());
    let wrong = [("guardian", "Maria"), ("email", "maria at home"), ("consented_on", "2026-06-01")];
    let refused = desk.post(&format!("{path}/guardian"), &wrong).await;
    assert_eq!(refused.status, 422);
    assert!(refused.text().contains("value=\"maria at home\""), "what was typed stays");
    assert!(!desk.get("/people").await.text().contains("maria.planted"));
    club.house.member("chief", "chief@example.org", &[Role::Admin]).await;
    let mut chief = signed_in(&club.house, "chief").await;
    let log = chief.get("/audit").await;
    assert!(log.text().contains("guardian&#39;s consent recorded"), "{}", log.text());
    assert!(!log.text().contains("maria.planted") && !log.text().contains("Maria"));

    let mut ines = signed_in(&club.house, "ines").await;
    assert!(ines.get("/account/observer").await.text().contains(MARIA), "her own data");
    let id = lend(&club, &club.ines, 0).await;
    after(&club, (&server, &mut worker), 2).await;
    let kept = ines.get("/account/data/everything.json").await.json();
    assert_eq!(kept["guardian"][0]["email"], MARIA);
    let told = kept["letters"].as_array().unwrap().iter();
    assert_eq!(told.filter(|one| one["to_guardian"] == true).count(), 1);

    let loan = club.get(&club.ines, &format!("/api/v1/reservations/{id}")).await.json();
    let back = format!("/api/v1/loans/{}/return", loan["loan"]);
    assert_eq!(club.post(&club.desk, &back, None).await.status, 200);
    let holds = |text: &str| {
        std::fs::read_dir(club.house.folder()).unwrap().any(|file| {
            let bytes = std::fs::read(file.unwrap().path()).unwrap();
            bytes.windows(text.len()).any(|window| window == text.as_bytes())
        })
    };
    assert!(holds("maria.planted") && holds("Maria Planted"), "the check can fail");
    let erased = ines.post("/account/data/erase", &[("password", PASSWORD)]).await;
    assert_eq!(erased.status, 303, "{}", erased.text());
    // The guardian's name stood on the loan too.
    assert!(!holds("maria.planted") && !holds("Maria Planted"));
    // Two days later the desk signs in again.
    let mut desk = signed_in(&club.house, "desk").await;
    let sheet = desk.get(&format!("/desk/{id}/sheet")).await;
    assert!(sheet.text().contains("Signed by erased"), "{}", sheet.text());
    assert_eq!(club.faults().await, Vec::<String>::new());
}
