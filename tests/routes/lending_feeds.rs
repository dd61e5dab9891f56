//! Calendars under secret addresses.

use borrowed_light::people::rights::Role;

use crate::browser::Browser;
use crate::client::PASSWORD;
use crate::lending_api::Club;

async fn signed_in<'a>(club: &'a Club, name: &str) -> Browser<'a> {
    let mut browser = Browser::new(&club.house);
    browser.sign_in(&format!("{name}@example.org"), PASSWORD).await;
    browser
}

/// The path of the address that a page shows.
fn address(page: &str) -> String {
    let rest = page.split("/calendar/").nth(1).unwrap_or_default();
    let name = rest.split(".ics").next().unwrap_or_default();
    assert!(name.len() >= 43, "a secret of 256 bits: {page}");
    format!("/calendar/{name}.ics")
}

#[tokio::test]
async fn a_calendar_is_read_by_its_address_alone_and_shows_ones_own_loans() {
    let club = Club::new().await;
    for (who, item, last) in [(&club.ines, 0, "2026-06-30"), (&club.noor, 1, "2026-06-29")] {
        let wish = club.wish(&[item], "2026-06-29", last);
        assert_eq!(club.post(who, "/api/v1/reservations", Some(wish)).await.status, 201);
    }
    let mut ines = signed_in(&club, "ines").await;
    let made = ines.post("/mine/calendar", &[("kind", "mine")]).await;
    assert_eq!(made.header("cache-control"), "no-store");
    let path = address(made.text());
    let feed = club.house.get(&path).await;
    assert_eq!(feed.status, 200, "{}", feed.text());
    assert_eq!(feed.header("content-type"), "text/calendar; charset=utf-8");
    assert_eq!(feed.text().matches("BEGIN:VEVENT").count(), 1, "{}", feed.text());
    assert!(feed.text().contains("DTSTART;VALUE=DATE:20260629\r\nDTEND;VALUE=DATE:20260701\r\n"));
    // The secret itself is nowhere on disk, only its hash.
    let secret = path.trim_start_matches("/calendar/").trim_end_matches(".ics");
    let disk = std::fs::read(club.house.database()).unwrap();
    let log = std::fs::read(club.house.folder().join("club.sqlite-wal")).unwrap_or_default();
    for bytes in [disk, log] {
        assert!(!bytes.windows(secret.len()).any(|window| window == secret.as_bytes()));
    }
    assert!(ines.get("/mine/calendar").await.text().contains("last fetched on Friday 5 June"));
}

#[tokio::test]
async fn an_address_that_was_taken_back_replaced_or_is_anothers_leads_nowhere() {
    let club = Club::new().await;
    let mut ines = signed_in(&club, "ines").await;
    let first = address(ines.post("/mine/calendar", &[("kind", "mine")]).await.text());
    let second = address(ines.post("/mine/calendar", &[("kind", "mine")]).await.text());
    assert_eq!(club.house.get(&first).await.status, 404, "the new one took its place");
    assert_eq!(club.house.get(&second).await.status, 200);
    assert_eq!(club.house.get(second.trim_end_matches(".ics")).await.status, 404);
    assert_eq!(ines.post("/mine/calendar/revoke", &[("kind", "mine")]).await.status, 303);
    let gone = club.house.get(&second).await;
    assert_eq!(gone.status, 404);
    assert!(gone.text().contains("it was taken back, or never made"));
    assert_eq!(ines.post("/mine/calendar", &[("kind", "club")]).await.status, 403);
    assert_eq!(ines.post("/mine/calendar", &[("kind", "other")]).await.status, 400);
}

#[tokio::test]
async fn the_clubs_calendar_names_nobody_and_ends_with_the_right_to_it() {
    let club = Club::new().await;
    let wish = club.wish(&[0], "2026-06-12", "2026-06-12");
    club.post(&club.noor, "/api/v1/reservations", Some(wish)).await;
    let mut desk = signed_in(&club, "desk").await;
    let off = [("from", "2026-06-20"), ("reason", "meeting, all day")];
    desk.post("/desk/rules/off", &off).await;
    let path = address(desk.post("/mine/calendar", &[("kind", "club")]).await.text());
    let feed = club.house.get(&path).await.text().to_owned();
    assert!(feed.contains("SUMMARY:B-1: confirmed"), "{feed}");
    assert!(feed.contains("SUMMARY:No lending: meeting\\, all day"), "{feed}");
    assert!(!feed.to_lowercase().contains("noor"), "{feed}");

    let ada = club.house.account("ada@example.org", &[Role::Admin]).await;
    assert!(ada > 0);
    let mut admin = signed_in(&club, "ada").await;
    let mut tx = club.house.state.store.write().await.unwrap();
    let account = borrowed_light::people::account::with_role(&mut tx, Role::Quartermaster).await;
    drop(tx);
    let account = account.unwrap()[0];
    let off = admin.post(&format!("/people/{account}/disable"), &[]).await;
    assert_eq!(off.status, 303, "{}", off.text());
    assert_eq!(club.house.get(&path).await.status, 404, "its owner may see it no more");
}
