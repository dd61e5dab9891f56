//! Odd figures are spoken of while they are typed.

use axum::http::header;
use borrowed_light::people::rights::Role;

use crate::browser::Browser;
use crate::client::{House, PASSWORD};

const AT: &str = "/stock/new/eyepiece/doubts";

async fn kept(roles: &[Role]) -> House {
    let house = House::new().await;
    house.member("Desk", "desk@example.org", roles).await;
    house
}

async fn desk(house: &House) -> Browser<'_> {
    let mut browser = Browser::new(house);
    browser.sign_in("desk@example.org", PASSWORD).await;
    browser
}

#[tokio::test]
async fn a_form_is_judged_while_it_is_typed_and_nothing_is_stored() {
    let house = kept(&[Role::Member, Role::Quartermaster]).await;
    let mut desk = desk(&house).await;
    // By hand: 30 mm · 82° · π/180 = 42.9 mm, more than the 27.5 mm of a 31.75 mm barrel.
    let mut form = vec![
        ("asset_tag", "E-1"),
        ("name", "Wide"),
        ("focal_length_mm", "30"),
        ("apparent_field_deg", "82"),
        ("barrel_mm", "31.75"),
    ];
    let odd = desk.post(AT, &form).await;
    assert_eq!(odd.status, 200);
    let text = odd.text();
    assert!(text.contains("about 42.9") && text.contains("has room for 27.5"), "{text}");
    assert!(text.contains("href=\"#apparent_field_deg\"") && !text.contains("<html"), "{text}");

    form.push(("field_stop_mm", "40"));
    let refused = desk.post(AT, &form).await;
    assert_eq!(refused.status, 200, "a word, not a refusal");
    let text = refused.text();
    assert!(text.contains("href=\"#field_stop_mm\"") && text.contains("saved yet"), "{text}");
    let saved = desk.post("/stock/new/eyepiece", &form).await;
    let sentence = text.split("</a>: ").nth(1).unwrap().split("</li>").next().unwrap();
    assert!(saved.text().contains(sentence), "the form says the same: {sentence}");

    let fits = [("focal_length_mm", "25"), ("apparent_field_deg", "50"), ("barrel_mm", "31.75")];
    let fine = desk.post(AT, &fits).await;
    assert_eq!((fine.status.as_u16(), fine.text()), (200, ""));
    assert!(!desk.get("/shelf").await.text().contains("E-1"), "nothing is stored");
}

#[tokio::test]
async fn only_pages_with_such_a_form_may_ask_this_service() {
    let house = kept(&[Role::Member, Role::Quartermaster]).await;
    let mut desk = desk(&house).await;
    let policy = header::CONTENT_SECURITY_POLICY.as_str();
    let page = desk.get("/stock/new/eyepiece").await;
    assert!(page.text().contains(&format!("data-doubts=\"{AT}\"")), "{}", page.text());
    assert!(page.header(policy).contains("connect-src 'self';"));
    let refused = desk.post("/stock/new/eyepiece", &[]).await;
    assert_eq!(refused.status, 422);
    assert!(refused.header(policy).contains("connect-src 'self';"));
    for other in ["/shelf", "/stock", "/stock/new/camel", "/account"] {
        assert!(!desk.get(other).await.header(policy).contains("connect-src"), "{other}");
    }
    assert_eq!(desk.post("/stock/new/camel/doubts", &[]).await.status, 404);
}

#[tokio::test]
async fn only_who_looks_after_the_shelf_is_answered() {
    let house = kept(&[Role::Member]).await;
    let mut member = desk(&house).await;
    assert_eq!(member.post(AT, &[("focal_length_mm", "30")]).await.status, 403);
}
