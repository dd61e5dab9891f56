//! One's own telescopes and eyepieces: put in, changed, taken out, and out of others' reach.

use borrowed_light::people::rights::Role;

use crate::browser::Browser;
use crate::client::{House, PASSWORD};

async fn member<'a>(house: &'a House, name: &str, email: &str) -> Browser<'a> {
    house.member(name, email, &[Role::Member]).await;
    let mut browser = Browser::new(house);
    browser.sign_in(email, PASSWORD).await;
    browser
}

const EYEPIECE: [(&str, &str); 4] = [
    ("name", "My <first> 25 mm"),
    ("focal_length_mm", "25"),
    ("barrel_mm", "31.75"),
    ("eye_relief_mm", "17,3"),
];

const TELESCOPE: [(&str, &str); 4] = [
    ("name", "Table-top"),
    ("layout", "newtonian"),
    ("aperture_mm", "130"),
    ("focal_length_mm", "650"),
];

fn with<'a>(fields: &[(&'a str, &'a str)], version: &'a str) -> Vec<(&'a str, &'a str)> {
    fields.iter().copied().chain([("version", version)]).collect()
}

#[tokio::test]
async fn what_a_member_owns_is_put_in_shown_changed_and_taken_out() {
    let house = House::new().await;
    let mut ines = member(&house, "Ines Aldous", "ines@example.org").await;
    for (kind, form) in [("eyepieces", EYEPIECE), ("telescopes", TELESCOPE)] {
        assert_eq!(ines.get(&format!("/account/gear/{kind}/new")).await.status, 200);
        let saved = ines.post(&format!("/account/gear/{kind}"), &form).await;
        assert_eq!(saved.header("location"), "/account/gear?saved=yes", "{}", saved.text());
    }
    let list = ines.get("/account/gear?saved=yes").await;
    assert!(list.text().contains("My &#60;first&#62; 25 mm"));
    assert!(list.text().contains("25\u{a0}mm, 17.3\u{a0}mm of eye relief"));
    assert!(list.text().contains("130\u{a0}mm at f/5"));

    let shown = ines.get("/account/gear/eyepieces/1").await;
    assert!(shown.text().contains("value=\"17.3\"") && shown.text().contains("value=\"1\""));
    let heavier = [&EYEPIECE[..], &[("mass_g", "120")]].concat();
    let changed = ines.post("/account/gear/eyepieces/1", &with(&heavier, "1")).await;
    assert_eq!(changed.status, 303);
    let late = ines.post("/account/gear/eyepieces/1", &with(&EYEPIECE, "1")).await;
    assert_eq!(late.status, 409);
    assert!(late.text().contains("now 120, you typed nothing"));

    let gone = ines.post("/account/gear/eyepieces/1/remove", &[]).await;
    assert_eq!(gone.header("location"), "/account/gear?removed=yes");
    assert_eq!(ines.get("/account/gear/eyepieces/1").await.status, 404);
    assert!(ines.get("/account/gear").await.text().contains("Table-top"));
}

#[tokio::test]
async fn nobody_reaches_into_anothers_case() {
    let house = House::new().await;
    let mut ines = member(&house, "Ines Aldous", "ines@example.org").await;
    ines.post("/account/gear/eyepieces", &EYEPIECE).await;
    ines.post("/account/gear/telescopes", &TELESCOPE).await;
    let mut other = member(&house, "Noor El Bakri", "noor@example.org").await;
    for kind in ["eyepieces", "telescopes"] {
        let form = if kind == "eyepieces" { EYEPIECE } else { TELESCOPE };
        let address = format!("/account/gear/{kind}/1");
        assert_eq!(other.get(&address).await.status, 404);
        assert_eq!(other.post(&address, &with(&form, "1")).await.status, 404);
        assert_eq!(other.post(&format!("{address}/remove"), &[]).await.status, 404);
        assert_eq!(ines.get(&address).await.status, 200, "it is still there");
    }
    assert!(other.get("/account/gear").await.text().contains("None yet"));
}

#[tokio::test]
async fn nonsense_comes_back_as_typed_and_other_kinds_are_not_there() {
    let house = House::new().await;
    let mut ines = member(&house, "Ines Aldous", "ines@example.org").await;
    let typed = [("name", "<script>alert(1)</script>"), ("focal_length_mm", "25 inches")];
    let refused = ines.post("/account/gear/eyepieces", &typed).await;
    assert_eq!(refused.status, 422);
    assert!(refused.text().contains("value=\"25 inches\""));
    assert!(!refused.text().contains("<script>alert"));
    assert_eq!(ines.post("/account/gear/eyepieces", &[]).await.status, 422);
    assert_eq!(ines.get("/account/gear/barlows/new").await.status, 404);
    assert_eq!(ines.post("/account/gear/barlows", &EYEPIECE).await.status, 404);
    assert_eq!(ines.get("/account/gear/eyepieces/one").await.status, 404);
}

#[tokio::test]
async fn a_case_holds_fifty_of_a_kind() {
    let house = House::new().await;
    let mut ines = member(&house, "Ines Aldous", "ines@example.org").await;
    for _ in 0..50 {
        assert_eq!(ines.post("/account/gear/eyepieces", &EYEPIECE).await.status, 303);
    }
    let full = ines.post("/account/gear/eyepieces", &EYEPIECE).await;
    assert_eq!(full.status, 422);
    assert!(full.text().contains("which is the most"));
    assert_eq!(ines.post("/account/gear/telescopes", &TELESCOPE).await.status, 303);
}
