//! Signing: at the desk with a drawn line, or before by letter; and pieces that are not to be found.

use borrowed_light::lending::cautions;
use serde_json::json;

use crate::browser::Browser;
use crate::client::PASSWORD;
use crate::lending_api::Club;

async fn signed_in<'a>(club: &'a Club, name: &str) -> Browser<'a> {
    let mut browser = Browser::new(&club.house);
    browser.sign_in(&format!("{name}@example.org"), PASSWORD).await;
    browser
}

async fn reserved(club: &Club, items: &[usize]) -> i64 {
    let wish = club.wish(items, "2026-06-05", "2026-06-07");
    let made = club.post(&club.ines, "/api/v1/reservations", Some(wish)).await;
    made.json()["id"].as_i64().unwrap()
}

const DRAWN: &str = "M10 20L11 21L40 90";

#[tokio::test]
async fn a_line_drawn_at_the_desk_stands_on_the_sheet_and_only_a_line_does() {
    let club = Club::new().await;
    let id = reserved(&club, &[0]).await;
    let mut desk = signed_in(&club, "desk").await;
    let (take, version) = (format!("take_{}", club.items[0]), cautions::VERSION.to_string());
    let fields = [
        (take.as_str(), "yes"),
        ("signed_name", "Ines"),
        ("acknowledged", "yes"),
        ("cautions_version", version.as_str()),
        ("strokes", DRAWN),
    ];
    let out = desk.post(&format!("/desk/{id}/hand-over"), &fields).await;
    assert_eq!(out.status, 303, "{}", out.text());
    let sheet = desk.get(&format!("/desk/{id}/sheet")).await;
    assert!(sheet.text().contains(&format!("d=\"{DRAWN}\"")), "{}", sheet.text());

    let other = reserved(&club, &[1]).await;
    let take = format!("take_{}", club.items[1]);
    let mut spoilt = fields;
    spoilt[0].0 = &take;
    spoilt[4].1 = "M10 20\"/><script>";
    assert_eq!(desk.post(&format!("/desk/{other}/hand-over"), &spoilt).await.status, 303);
    let sheet = desk.get(&format!("/desk/{other}/sheet")).await;
    assert!(!sheet.text().contains("signature-drawn"), "what is no line is no signature");
    assert!(sheet.text().contains("Signed by Ines"));
}

#[tokio::test]
async fn who_signs_by_letter_has_signed_for_these_pieces_and_no_others() {
    let club = Club::new().await;
    let id = reserved(&club, &[0, 1]).await;
    let mut desk = signed_in(&club, "desk").await;
    assert_eq!(desk.post(&format!("/desk/{id}/ask-to-sign"), &[]).await.status, 303);
    let mut ines = signed_in(&club, "ines").await;
    assert!(ines.get("/account/letters").await.text().contains("Please sign for your loan"));
    let path = format!("/mine/{id}/sign");
    let mut noor = signed_in(&club, "noor").await;
    assert_eq!(noor.get(&path).await.status, 404, "it isn't hers");
    let page = ines.get(&path).await;
    assert!(page.text().contains("B-1") && page.text().contains("B-2"), "{}", page.text());
    let version = cautions::VERSION.to_string();
    let unread = [("signed_name", "Ines A."), ("strokes", DRAWN), ("cautions_version", &*version)];
    let refused = ines.post(&path, &unread).await;
    assert_eq!(refused.status, 422);
    assert!(refused.text().contains(DRAWN), "what was drawn stays: {}", refused.text());
    let mut read = unread.to_vec();
    read.push(("acknowledged", "yes"));
    assert_eq!(ines.post(&path, &read).await.status, 303);
    assert!(ines.get(&path).await.text().contains("You have signed for these pieces."));

    // At the desk nothing needs to be ticked again, for these pieces.
    let page = desk.get(&format!("/desk/{id}")).await;
    assert!(page.text().contains("Ines A. read the cautions and signed"), "{}", page.text());
    let swap = [("item", club.items[1].to_string()), ("tag", "B-3".to_owned())];
    let swap: Vec<(&str, &str)> =
        swap.iter().map(|(name, value)| (*name, value.as_str())).collect();
    assert_eq!(desk.post(&format!("/desk/{id}/swap"), &swap).await.status, 303);
    let page = desk.get(&format!("/desk/{id}")).await;
    assert!(!page.text().contains("read the cautions and signed"), "other pieces: {}", page.text());
    let takes = [format!("take_{}", club.items[0]), format!("take_{}", club.items[2])];
    let both = [(takes[0].as_str(), "yes"), (takes[1].as_str(), "yes")];
    assert_eq!(desk.post(&format!("/desk/{id}/hand-over"), &both).await.status, 409, "not signed");
    let out = desk.post(&format!("/desk/{id}/hand-over"), &both[..1]).await;
    assert_eq!(out.status, 303, "what was signed for goes out: {}", out.text());
    assert!(desk.get(&format!("/desk/{id}")).await.text().contains("Signed by Ines A."));
    assert_eq!(ines.get(&path).await.status, 409, "it is out");
    let taken = ines.get("/account/data/everything.json").await.json();
    assert_eq!(taken["signatures"][0]["path"], json!(DRAWN));
    assert_eq!(club.faults().await, Vec::<String>::new());
}

#[tokio::test]
async fn a_borrower_reports_what_is_missing_and_the_desk_finds_it_again() {
    let club = Club::new().await;
    let id = reserved(&club, &[0, 1]).await;
    let path = format!("/api/v1/reservations/{id}");
    assert_eq!(club.post(&club.desk, &format!("{path}/hand-over"), None).await.status, 200);
    let mut ines = signed_in(&club, "ines").await;
    let mut noor = signed_in(&club, "noor").await;
    let lost = format!("missing_{}", club.items[1]);
    let said = [(lost.as_str(), "yes"), ("what", "It fell into the long grass.")];
    assert_eq!(noor.post(&format!("/mine/{id}/missing"), &said).await.status, 404);
    assert_eq!(ines.post(&format!("/mine/{id}/missing"), &[]).await.status, 409, "nothing ticked");
    assert_eq!(ines.post(&format!("/mine/{id}/missing"), &said).await.status, 303);
    let told = club.get(&club.ines, &path).await.json();
    assert_eq!(
        (told["state"].as_str(), told["lines"][1]["state"].as_str()),
        (Some("out"), Some("missing"))
    );
    let mut desk = signed_in(&club, "desk").await;
    assert!(desk.get("/account/letters").await.text().contains("long grass"));
    let item = club.items[1].to_string();
    let found = [("item", item.as_str())];
    assert_eq!(desk.post(&format!("/desk/{id}/found"), &found).await.status, 303);
    assert_eq!(desk.post(&format!("/desk/{id}/found"), &found).await.status, 409, "once");
    assert_eq!(club.faults().await, Vec::<String>::new());
}
