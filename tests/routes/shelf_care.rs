//! What a quartermaster notes of a piece in the store.

use std::fmt::Write as _;

use borrowed_light::people::rights::Role;
use borrowed_light::web::clock::Clock;
use jiff::SignedDuration;
use serde_json::json;

use crate::browser::Browser;
use crate::client::{Answer, PASSWORD};
use crate::lending_api::Club;

async fn signed_in<'a>(club: &'a Club, name: &str) -> Browser<'a> {
    let mut browser = Browser::new(&club.house);
    browser.sign_in(&format!("{name}@example.org"), PASSWORD).await;
    browser
}

async fn text(browser: &mut Browser<'_>, path: &str) -> String {
    let answer = browser.get(path).await;
    assert_eq!(answer.status, 200, "{path}: {}", answer.text());
    answer.text().to_owned()
}

fn done(answer: &Answer) {
    assert_eq!(answer.status, 303, "{}", answer.text());
}

fn clock(club: &Club) -> &Clock {
    &club.house.state.clock
}

#[tokio::test]
async fn a_piece_out_of_service_says_why_and_shows_what_it_breaks() {
    let club = Club::new().await;
    let wish = club.wish(&[0], "2026-06-12", "2026-06-14");
    let made = club.post(&club.noor, "/api/v1/reservations", Some(wish)).await.json();
    let (mut desk, mut ines) = (signed_in(&club, "desk").await, signed_in(&club, "ines").await);
    let page = text(&mut desk, "/shelf/B-1").await;
    assert!(page.contains("One reservation counts on it."), "{page}");

    let path = "/shelf/B-1/condition";
    let unsaid = desk.post(path, &[("state", "in_repair"), ("day", "2026-06-05")]).await;
    assert_eq!(unsaid.status, 422);
    assert!(unsaid.text().contains("Say what was seen"), "{}", unsaid.text());
    assert!(unsaid.text().contains("value=\"in_repair\" checked"), "what was ticked stays");
    let early = [("state", "in_repair"), ("finding", "fungus"), ("day", "2026-06-06")];
    let early = desk.post(path, &early).await;
    assert_eq!(early.status, 422);
    assert!(early.text().contains("value=\"fungus\""), "what was typed stays");
    assert!(text(&mut ines, "/shelf/B-1").await.contains("In store"), "nothing was stored");

    let noted = [("state", "in_repair"), ("finding", "fungus <b>"), ("day", "2026-06-04")];
    done(&desk.post(path, &noted).await);
    let page = text(&mut desk, "/shelf/B-1").await;
    assert!(page.contains("In repair") && page.contains("fungus &#60;b&#62;"), "{page}");
    assert!(page.contains(&format!("href=\"/desk/{}\"", made["id"])), "{page}");
    assert!(page.contains("is in service <span"), "the history has both conditions: {page}");
    let page = text(&mut ines, "/shelf/B-1").await;
    assert!(page.contains("Looked over") && !page.contains("fungus"), "{page}");
    assert!(!page.contains("Reserve it") && !page.contains("/condition"), "{page}");
    let again = club.wish(&[0], "2026-06-19", "2026-06-21");
    let refused = club.post(&club.noor, "/api/v1/reservations", Some(again)).await;
    assert_eq!(refused.status, 409, "{}", refused.text());
    assert!(
        text(&mut desk, "/stock").await.contains("Nothing waits"),
        "in repair waits for nobody"
    );

    done(&desk.post(path, &[("state", "in_service")]).await);
    assert!(text(&mut ines, "/shelf/B-1").await.contains("Reserve it"));
    let idle = desk.post(path, &[("state", "in_service")]).await;
    assert_eq!(idle.status, 422, "nothing seen and nothing changed");
}

/// What was seen, as a page tells it, in its order.
fn findings(page: &str) -> Vec<&str> {
    let told = page.split("Looked over: “").skip(1);
    told.map(|one| one.split('”').next().unwrap()).collect()
}

#[tokio::test]
async fn what_is_noted_late_is_told_where_it_was_noted_and_what_comes_in_one_second_is_told_once() {
    let club = Club::new().await;
    let mut desk = signed_in(&club, "desk").await;
    let path = "/shelf/B-1/condition";
    for n in 1..=13 {
        done(&desk.post(path, &[("state", "in_service"), ("finding", &format!("seen {n}"))]).await);
        clock(&club).advance(SignedDuration::from_secs(1));
    }
    let late = [("state", "in_service"), ("finding", "long ago"), ("day", "2020-01-02")];
    done(&desk.post(path, &late).await);
    let page = text(&mut desk, "/shelf/B-1").await;
    let told = findings(&page);
    assert_eq!((told[0], told[1], told.len()), ("long ago", "seen 13", 12), "{page}");
    assert!(page.contains("2 January 2020"), "{page}");

    let mut table = "asset_tag,day,finding,state,noted_at,noted_by_member_number\r\n".to_owned();
    for n in 1..=130 {
        write!(table, "B-1,2026-05-01,old {n},in_service,2026-05-01T18:00:00Z,\r\n").unwrap();
    }
    let send = [("kind", "inspections"), ("table", table.as_str()), ("seen", "")];
    let looked = desk.post("/stock/import", &send).await;
    let seen = looked.text().split("name=\"seen\" value=\"").nth(1).unwrap();
    let send = [send[0], send[1], ("seen", seen.split('"').next().unwrap())];
    let taken = desk.post("/stock/import", &send).await;
    assert!(taken.text().contains("The table is taken in"), "{}", taken.text());
    let (mut all, mut way) = (Vec::new(), Some("/shelf/B-1/life".to_owned()));
    while let Some(path) = way {
        let page = text(&mut desk, &path).await;
        all.extend(findings(&page).into_iter().map(str::to_owned));
        let next = page.split("href=\"/shelf/B-1/life?before=").nth(1);
        way =
            next.map(|next| format!("/shelf/B-1/life?before={}", next.split('"').next().unwrap()));
    }
    assert_eq!((all.len(), all[0].as_str()), (144, "long ago"));
    all.sort();
    all.dedup();
    assert_eq!(all.len(), 144, "none twice, none left out");
}

#[tokio::test]
async fn a_light_test_opens_the_way_to_the_sun_again() {
    let club = Club::new().await;
    let scope =
        json!({"asset_tag": "T-1", "name": "Heron", "aperture_mm": 80, "focal_length_mm": 480});
    let filter = json!({
        "asset_tag": "F-1", "name": "Front filter", "kind": "solar_full_aperture",
        "fits_telescope": "T-1", "last_light_test": "2025-05-01",
    });
    let scope = club.post(&club.desk, "/api/v1/telescopes", Some(scope)).await.json();
    let filter = club.post(&club.desk, "/api/v1/filters", Some(filter)).await.json();
    let wish = json!({
        "items": [scope["id"], filter["id"]], "first_night": "2026-06-05",
        "last_night": "2026-06-05", "daylight": true,
    });
    let shut = club.post(&club.noor, "/api/v1/reservations", Some(wish.clone())).await;
    assert_eq!(shut.status, 409, "{}", shut.text());
    let mut desk = signed_in(&club, "desk").await;
    let page = text(&mut desk, "/stock").await;
    assert!(page.contains("Opens no way to the Sun: last light test 1 May 2025"), "{page}");
    let path = "/shelf/F-1/condition";
    done(&desk.post(path, &[("state", "in_service"), ("light_test", "yes")]).await);
    let open = club.post(&club.noor, "/api/v1/reservations", Some(wish)).await;
    assert_eq!(open.status, 201, "{}", open.text());
    let page = text(&mut desk, "/shelf/F-1").await;
    assert!(
        page.contains("Last light test: 2025-05-01") && page.contains("no pinhole seen"),
        "{page}"
    );
    assert!(!text(&mut desk, "/stock").await.contains("F-1"), "it waits no more");
    // A Barlow has no light test, whatever the form says.
    done(&desk.post("/shelf/B-1/condition", &[("light_test", "yes")]).await);
    assert!(!text(&mut desk, "/shelf/B-1").await.contains("light_test"));
}

#[tokio::test]
async fn what_is_to_be_done_comes_round_by_the_calendar_and_by_the_loans() {
    let club = Club::new().await;
    let mut desk = signed_in(&club, "desk").await;
    let path = "/shelf/B-1/upkeep";
    let never = desk.post(path, &[("what", "Clean it")]).await;
    assert_eq!(never.status, 422);
    assert!(
        never.text().contains("value=\"Clean it\"") && never.text().contains("how many months")
    );
    let many = desk.post(path, &[("what", ""), ("months", "many"), ("loans", "0")]).await;
    assert_eq!(many.status, 422);
    assert_eq!(many.text().matches("class=\"slip\"").count(), 3, "{}", many.text());
    done(&desk.post(path, &[("what", "Clean it"), ("months", "3")]).await);
    done(&desk.post(path, &[("what", "Check the screws"), ("loans", "1")]).await);
    let page = text(&mut desk, "/shelf/B-1").await;
    assert!(page.contains("due on 5 September 2026") && !page.contains("Due now"), "{page}");

    clock(&club).advance(SignedDuration::from_hours(24 * 7));
    let wish = club.wish(&[0], "2026-06-12", "2026-06-12");
    let made = club.post(&club.noor, "/api/v1/reservations", Some(wish)).await.json();
    let path = format!("/api/v1/reservations/{}/hand-over", made["id"]);
    let out = club.post(&club.desk, &path, Some(json!({"signed_name": "Noor"}))).await;
    assert!(out.status.is_success(), "{}", out.text());
    // A week is longer than a session.
    let mut desk = signed_in(&club, "desk").await;
    let page = text(&mut desk, "/stock").await;
    assert!(
        page.contains("Check the screws: 1 of 1 loans") && !page.contains("Clean it"),
        "{page}"
    );

    let page = text(&mut desk, "/shelf/B-1").await;
    let screws = page.split("Check the screws").nth(1).unwrap();
    let id = screws.split("/upkeep/").nth(1).unwrap().split('"').next().unwrap().to_owned();
    done(&desk.post(&format!("/shelf/B-1/upkeep/{id}"), &[("do", "done")]).await);
    assert!(!text(&mut desk, "/stock").await.contains("Check the screws"));
    assert!(text(&mut desk, "/shelf/B-1").await.contains("Done: Check the screws."));
    let elsewhere = desk.post(&format!("/shelf/B-2/upkeep/{id}"), &[("do", "drop")]).await;
    assert_eq!(elsewhere.status, 404, "it is another piece's");
    done(&desk.post(&format!("/shelf/B-1/upkeep/{id}"), &[("do", "drop")]).await);
    clock(&club).advance(SignedDuration::from_hours(24 * 100));
    let mut desk = signed_in(&club, "desk").await;
    let page = text(&mut desk, "/stock").await;
    assert!(page.contains("Clean it: was due on 5 September 2026"), "{page}");
    assert!(!page.contains("Check the screws"));
}

#[tokio::test]
async fn whoever_only_borrows_notes_nothing() {
    let club = Club::new().await;
    club.house.account("ada@example.org", &[Role::Outreach, Role::Admin]).await;
    for name in ["ines", "ada"] {
        let mut browser = signed_in(&club, name).await;
        for path in ["/shelf/B-1/condition", "/shelf/B-1/upkeep", "/shelf/B-1/upkeep/1"] {
            assert_eq!(browser.post(path, &[]).await.status, 403, "{name} {path}");
        }
        assert_eq!(browser.get("/stock").await.status, 403, "{name}");
    }
}
