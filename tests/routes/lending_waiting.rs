//! The waiting list: what becomes free is held for whoever came first, for a day.

use borrowed_light::app::chores;
use jiff::SignedDuration;

use crate::browser::Browser;
use crate::client::PASSWORD;
use crate::lending_api::{Caller, Club};

async fn signed_in<'a>(club: &'a Club, name: &str) -> Browser<'a> {
    let mut browser = Browser::new(&club.house);
    browser.sign_in(&format!("{name}@example.org"), PASSWORD).await;
    browser
}

async fn reserved(club: &Club, who: &Caller, first: &str, last: &str) -> i64 {
    let made = club.post(who, "/api/v1/reservations", Some(club.wish(&[0], first, last))).await;
    assert_eq!(made.status, 201, "{}", made.text());
    made.json()["id"].as_i64().unwrap()
}

/// The number of the first place that a page shows a button for.
fn place(page: &str, deed: &str) -> Option<String> {
    let before = page.split(&format!("/{deed}\"")).next().filter(|rest| rest.len() < page.len())?;
    Some(before.rsplit('/').next()?.to_owned())
}

async fn wait(browser: &mut Browser<'_>, item: i64, from: &str, to: &str) -> u16 {
    let item = item.to_string();
    let fields = [("items", item.as_str()), ("from", from), ("to", to)];
    browser.post("/mine/waiting", &fields).await.status.as_u16()
}

#[tokio::test]
async fn what_is_cancelled_is_held_for_whoever_came_first_and_taken_with_one_tap() {
    let club = Club::new().await;
    let desks = reserved(&club, &club.desk, "2026-06-12", "2026-06-14").await;
    let mut ines = signed_in(&club, "ines").await;
    let item = club.items[0].to_string();
    let fields = [("items", item.as_str()), ("from", "2026-06-12"), ("to", "2026-06-13")];
    let refused = ines.post("/reserve", &fields).await;
    assert!(refused.text().contains("Wait for these pieces"), "{}", refused.text());
    assert_eq!(wait(&mut ines, club.items[0], "2026-06-12", "2026-06-13").await, 303);
    assert_eq!(wait(&mut ines, club.items[0], "2026-06-12", "2026-06-13").await, 303, "twice");
    club.house.state.clock.advance(SignedDuration::from_secs(60));
    let mut noor = signed_in(&club, "noor").await;
    assert_eq!(wait(&mut noor, club.items[0], "2026-06-13", "2026-06-13").await, 303);
    assert!(ines.get("/mine").await.text().contains("You are next when it becomes free."));
    assert!(noor.get("/mine").await.text().contains("One person before you."));

    let path = format!("/api/v1/reservations/{desks}/cancel");
    assert_eq!(club.post(&club.desk, &path, None).await.status, 200);
    assert_eq!(club.faults().await, Vec::<String>::new());
    let page = ines.get("/mine").await;
    assert!(page.text().contains("Held for you until Saturday 6 June 2026"), "{}", page.text());
    assert!(noor.get("/mine").await.text().contains("One person before you."));
    let letters = ines.get("/account/letters").await;
    assert!(letters.text().contains("What you waited for is held for you"), "{}", letters.text());
    // Nobody else gets it meanwhile, and only its owner takes it.
    let other = club.wish(&[0], "2026-06-13", "2026-06-13");
    assert_eq!(club.post(&club.noor, "/api/v1/reservations", Some(other)).await.status, 409);
    let id = place(page.text(), "accept").unwrap();
    assert_eq!(noor.post(&format!("/mine/waiting/{id}/accept"), &[]).await.status, 404);
    let taken = ines.post(&format!("/mine/waiting/{id}/accept"), &[]).await;
    assert_eq!(taken.status, 303, "{}", taken.text());
    assert!(taken.header("location").ends_with("done=reserved"));
    assert_eq!(ines.post(&format!("/mine/waiting/{id}/accept"), &[]).await.status, 404);
    assert_eq!(club.faults().await, Vec::<String>::new());
}

#[tokio::test]
async fn an_offer_that_is_left_or_runs_out_goes_to_the_next() {
    let club = Club::new().await;
    let desks = reserved(&club, &club.desk, "2026-06-12", "2026-06-12").await;
    let mut ines = signed_in(&club, "ines").await;
    let mut noor = signed_in(&club, "noor").await;
    let mut desk = signed_in(&club, "desk").await;
    for browser in [&mut ines, &mut noor, &mut desk] {
        assert_eq!(wait(browser, club.items[0], "2026-06-12", "2026-06-12").await, 303);
        club.house.state.clock.advance(SignedDuration::from_secs(1));
    }
    club.post(&club.desk, &format!("/api/v1/reservations/{desks}/cancel"), None).await;
    let page = ines.get("/mine").await;
    let id = place(page.text(), "accept").unwrap();
    assert_eq!(ines.post(&format!("/mine/waiting/{id}/leave"), &[]).await.status, 303);
    assert!(!ines.get("/mine").await.text().contains("Waiting for"));
    let page = noor.get("/mine").await;
    assert!(page.text().contains("Held for you until"), "{}", page.text());
    assert_eq!(club.faults().await, Vec::<String>::new());

    club.house.state.clock.advance(SignedDuration::from_hours(24));
    chores::once(&club.house.state).await.unwrap();
    assert!(!noor.get("/mine").await.text().contains("Held for you"));
    let mut desk = signed_in(&club, "desk").await;
    assert!(desk.get("/mine").await.text().contains("Held for you"));
    assert_eq!(club.faults().await, Vec::<String>::new());
    // A restart in between changes nothing: what is held stands in the database.
    club.house.state.clock.advance(SignedDuration::from_hours(24));
    chores::once(&club.house.state).await.unwrap();
    let free = club.wish(&[0], "2026-06-12", "2026-06-12");
    assert_eq!(club.post(&club.ines, "/api/v1/reservations", Some(free)).await.status, 201);
    assert_eq!(club.faults().await, Vec::<String>::new());
}

#[tokio::test]
async fn who_waits_for_any_piece_of_a_kind_gets_the_first_that_is_free() {
    let club = Club::new().await;
    let every = club.wish(&[0, 1, 2, 3], "2026-06-12", "2026-06-12");
    let made = club.post(&club.desk, "/api/v1/reservations", Some(every)).await.json();
    let mut ines = signed_in(&club, "ines").await;
    let item = club.items[0].to_string();
    let fields = [("items", item.as_str()), ("from", "2026-06-12"), ("to", "2026-06-12")];
    let refused = ines.post("/reserve", &fields).await;
    assert!(refused.text().contains("Wait for any Barlow like B-1"), "{}", refused.text());
    let any = [("like", item.as_str()), ("from", "2026-06-12"), ("to", "2026-06-12")];
    assert_eq!(ines.post("/mine/waiting", &any).await.status, 303);
    assert!(ines.get("/mine").await.text().contains("Any Barlow like B-1"));
    let path = format!("/api/v1/reservations/{}/cancel", made["id"]);
    club.post(&club.desk, &path, None).await;
    let page = ines.get("/mine").await.text().to_owned();
    assert!(page.contains("Held for you until") && page.contains("B-1"), "{page}");
    // The others stay free.
    let rest = club.wish(&[1, 2, 3], "2026-06-12", "2026-06-12");
    assert_eq!(club.post(&club.noor, "/api/v1/reservations", Some(rest)).await.status, 201);
}

#[tokio::test]
async fn nobody_waits_for_what_the_rules_never_allow_and_rules_bind_when_an_offer_is_taken() {
    let club = Club::new().await;
    let mut ines = signed_in(&club, "ines").await;
    assert_eq!(wait(&mut ines, club.items[0], "2026-06-01", "2026-06-02").await, 409, "over");
    assert_eq!(wait(&mut ines, club.items[0], "2026-06-10", "2026-08-20").await, 409, "too long");
    assert_eq!(wait(&mut ines, club.items[0], "x", "2026-06-12").await, 400);
    for day in 10..20 {
        let night = format!("2026-07-{day}");
        assert_eq!(wait(&mut ines, club.items[1], &night, &night).await, 303);
    }
    assert_eq!(wait(&mut ines, club.items[1], "2026-07-20", "2026-07-20").await, 409, "an 11th");
    // What is free is held at once; then a rule changes.
    let page = ines.get("/mine").await;
    let id = place(page.text(), "accept").unwrap();
    let mut desk = signed_in(&club, "desk").await;
    let rule = [("training", "yes"), ("care", "0")];
    desk.post(&format!("/desk/rules/pieces/{}", club.items[1]), &rule).await;
    let refused = ines.post(&format!("/mine/waiting/{id}/accept"), &[]).await;
    assert_eq!(refused.status, 409);
    assert!(refused.text().contains("shown how to use it"), "{}", refused.text());
    assert_eq!(club.faults().await, Vec::<String>::new(), "the offer still stands whole");
}

#[tokio::test]
async fn programs_wait_and_take_and_the_desk_sees_the_whole_list() {
    let club = Club::new().await;
    let desks = reserved(&club, &club.desk, "2026-06-12", "2026-06-14").await;
    let wish = |extra: serde_json::Value| {
        let mut body = serde_json::json!({
            "first_night": "2026-06-12", "last_night": "2026-06-13",
        });
        body.as_object_mut().unwrap().extend(extra.as_object().unwrap().clone());
        Some(body)
    };
    let pieces = wish(serde_json::json!({ "items": [club.items[0]] }));
    let made = club.post(&club.ines, "/api/v1/waiting", pieces.clone()).await;
    assert_eq!(made.status, 201, "{}", made.text());
    assert_eq!(made.json()["state"], "waiting");
    assert_eq!(club.post(&club.ines, "/api/v1/waiting", pieces).await.status, 409, "twice");
    let both = wish(serde_json::json!({ "items": [club.items[0]], "any_like": club.items[0] }));
    assert_eq!(club.post(&club.noor, "/api/v1/waiting", both).await.status, 422);
    let gone = wish(serde_json::json!({ "any_like": 999 }));
    assert_eq!(club.post(&club.noor, "/api/v1/waiting", gone).await.status, 404);
    // Another Barlow like it is free, so it is held at once.
    let like = wish(serde_json::json!({ "any_like": club.items[0] }));
    let noors = club.post(&club.noor, "/api/v1/waiting", like).await.json();
    assert_eq!((noors["state"].as_str(), noors["any"].as_str()), (Some("offered"), Some("barlow")));
    let own = club.get(&club.noor, "/api/v1/waiting").await.json();
    assert_eq!(own["places"].as_array().unwrap().len(), 1, "{own}");
    let all = club.get(&club.desk, "/api/v1/waiting").await.json();
    assert_eq!(all["places"].as_array().unwrap().len(), 2, "{all}");
    let mut desk = signed_in(&club, "desk").await;
    let page = desk.get("/desk/waiting").await;
    assert!(
        page.text().contains("For noor") && page.text().contains("Held until"),
        "{}",
        page.text()
    );

    let path = format!("/api/v1/waiting/{}", noors["id"]);
    let others = club.post(&club.ines, &format!("{path}/accept"), None).await;
    assert_eq!(others.status, 404, "not hers");
    let taken = club.post(&club.noor, &format!("{path}/accept"), None).await;
    assert_eq!(taken.status, 201, "{}", taken.text());
    assert_eq!(club.post(&club.noor, &format!("{path}/leave"), None).await.status, 404, "over");
    // The desk takes Ines off the list: what becomes free then is held for nobody.
    let place = made.json()["id"].to_string();
    assert_eq!(desk.post(&format!("/desk/waiting/{place}/end"), &[]).await.status, 303);
    club.post(&club.desk, &format!("/api/v1/reservations/{desks}/cancel"), None).await;
    let all = club.get(&club.desk, "/api/v1/waiting").await.json();
    assert_eq!(all["places"].as_array().unwrap().len(), 0, "{all}");
    assert_eq!(club.faults().await, Vec::<String>::new());
}
