//! Late and broken: what is at risk is seen before, told once, and mended with one tap.

use axum::http::Method;
use borrowed_light::app::{chores, table};
use borrowed_light::people::access::Access;
use borrowed_light::store::Readers;
use jiff::SignedDuration;
use serde_json::json;

use crate::browser::Browser;
use crate::client::PASSWORD;
use crate::lending_api::Club;

async fn signed_in<'a>(club: &'a Club, name: &str) -> Browser<'a> {
    let mut browser = Browser::new(&club.house);
    browser.sign_in(&format!("{name}@example.org"), PASSWORD).await;
    browser
}

/// Ines has B-1 out until tonight, Noor has reserved it from tomorrow night on.
async fn meeting() -> (Club, i64) {
    let club = Club::new().await;
    let wish = club.wish(&[0], "2026-06-05", "2026-06-05");
    let ines = club.post(&club.ines, "/api/v1/reservations", Some(wish)).await.json();
    let path = format!("/api/v1/reservations/{}/hand-over", ines["id"]);
    assert_eq!(club.post(&club.desk, &path, None).await.status, 200);
    let wish = club.wish(&[0], "2026-06-08", "2026-06-10");
    let noor = club.post(&club.noor, "/api/v1/reservations", Some(wish)).await.json();
    (club, noor["id"].as_i64().unwrap())
}

#[tokio::test]
async fn a_late_piece_is_seen_before_it_meets_the_next_reservation_and_swapped_with_one_tap() {
    let (club, id) = meeting().await;
    let mut desk = signed_in(&club, "desk").await;
    assert!(!desk.get("/desk").await.text().contains("At risk"));
    club.house.state.clock.advance(SignedDuration::from_hours(24));
    for _ in 0..2 {
        chores::once(&club.house.state).await.unwrap();
    }
    let mut desk = signed_in(&club, "desk").await;
    let page = desk.get("/desk").await.text().to_owned();
    assert!(page.contains("At risk"), "{page}");
    assert!(page.contains("B-1 2× Barlow should have been back on Saturday 6 June 2026"), "{page}");
    let mut noor = signed_in(&club, "noor").await;
    let letters = noor.get("/account/letters").await.text().to_owned();
    assert_eq!(letters.matches("A piece that you reserved may not be there").count(), 1);
    assert!(!letters.contains(" ines"), "never who is late: {letters}");
    let letters = desk.get("/account/letters").await.text().to_owned();
    assert_eq!(letters.matches("A reservation is at risk").count(), 1, "{letters}");
    // While B-1 is out, it can't go out again.
    let early = format!("/api/v1/reservations/{id}/hand-over");
    assert_eq!(club.post(&club.desk, &early, None).await.status, 409);

    let page = noor.get(&format!("/mine/{id}")).await.text().to_owned();
    assert!(page.contains("Take B-2 instead"), "{page}");
    let (item, instead) = (club.items[0].to_string(), club.items[1].to_string());
    let fields = [("item", item.as_str()), ("instead", instead.as_str())];
    let mut ines = signed_in(&club, "ines").await;
    assert_eq!(ines.post(&format!("/mine/{id}/swap"), &fields).await.status, 404);
    let swapped = desk.post(&format!("/desk/{id}/swap"), &fields).await;
    assert_eq!(swapped.status, 303, "{}", swapped.text());
    let told = club.get(&club.noor, &format!("/api/v1/reservations/{id}")).await.json();
    assert_eq!(told["items"], json!([club.items[1]]));
    assert!(!desk.get("/desk").await.text().contains("At risk"));
    assert_eq!(desk.post(&format!("/desk/{id}/swap"), &fields).await.status, 409, "done already");
    assert_eq!(club.faults().await, Vec::<String>::new());
}

#[tokio::test]
async fn no_page_asks_for_a_second_reader_while_it_holds_one() {
    let (club, id) = meeting().await;
    club.house.state.clock.advance(SignedDuration::from_hours(24));
    let mut desk = signed_in(&club, "desk").await;
    // One is left: whoever asked for two would wait for itself.
    let mut held = Vec::new();
    for _ in 1..Readers::MOST {
        held.push(club.house.state.store.reader().acquire().await.unwrap());
    }
    let item = club.items[0].to_string();
    let page = desk.get(&format!("/desk/{id}?swap={item}")).await;
    assert_eq!(page.status, 200, "{}", page.text());
    assert!(page.text().contains("B-1 2× Barlow should have been back"), "{}", page.text());
    let pages = table().into_iter().filter(|route| {
        route.method == Method::GET && matches!(route.access, Access::Page(_) | Access::Open)
    });
    for route in pages {
        let path = route.path.replace("{id}", &id.to_string()).replace("{tag}", "B-1");
        let path = path.replace("{kind}", "barlow");
        let page = desk.get(&path).await;
        assert_ne!(page.status, 503, "{path}: {}", page.text());
    }
}

#[tokio::test]
async fn what_comes_back_damaged_puts_its_reservations_at_risk_and_never_cancels_them() {
    let (club, id) = meeting().await;
    let all = club.get(&club.desk, "/api/v1/loans").await.json();
    let back = format!("/api/v1/loans/{}/return", all["loans"][0]["id"]);
    let damaged = json!({ "items": [{ "item": club.items[0], "condition": "damaged" }] });
    assert_eq!(club.post(&club.desk, &back, Some(damaged)).await.status, 200);
    let mut noor = signed_in(&club, "noor").await;
    let page = noor.get(&format!("/mine/{id}")).await.text().to_owned();
    assert!(page.contains("B-1 2× Barlow is in repair."), "{page}");
    assert!(page.contains("Confirmed"), "{page}");
    let letters = noor.get("/account/letters").await.text().to_owned();
    assert!(letters.contains("A piece that you reserved may not be there"), "{letters}");
    // Whoever holds the broken piece sees what would do, and gives it with one tap.
    let mut desk = signed_in(&club, "desk").await;
    let page = desk.get("/shelf/B-1").await.text().to_owned();
    assert!(page.contains("Best instead: <span class=\"tag\">B-2</span>"), "{page}");
    assert!(page.contains(&format!("action=\"/desk/{id}/swap\"")), "{page}");
    let page = noor.get("/shelf/B-1").await.text().to_owned();
    assert!(!page.contains("Best instead"), "that is the desk's business: {page}");
    // Where nothing is free, it says so.
    let rest = club.wish(&[1, 2, 3], "2026-06-08", "2026-06-08");
    club.post(&club.ines, "/api/v1/reservations", Some(rest)).await;
    let page = noor.get(&format!("/mine/{id}")).await.text().to_owned();
    assert!(page.contains("Nothing that is free on these nights would do instead."), "{page}");
    let page = desk.get("/shelf/B-1").await.text().to_owned();
    assert!(page.contains("Nothing that is free on those nights would do instead."), "{page}");
}

#[tokio::test]
async fn a_loan_that_is_a_week_late_reaches_the_desk() {
    let (club, _) = meeting().await;
    for _ in 0..8 {
        club.house.state.clock.advance(SignedDuration::from_hours(24));
        chores::once(&club.house.state).await.unwrap();
    }
    let mut desk = signed_in(&club, "desk").await;
    let letters = desk.get("/account/letters").await.text().to_owned();
    assert_eq!(letters.matches("A loan is a week late").count(), 1, "{letters}");
}
