//! Access tokens, made and revoked by their owner on a page.

use axum::body::Body;
use axum::http::Method;
use borrowed_light::people::rights::Role;
use jiff::SignedDuration;

use crate::browser::Browser;
use crate::client::{Answer, House, PASSWORD, request};

async fn ask(house: &House, token: &str) -> Answer {
    let asked = request(Method::GET, "/api/v1/openapi.json")
        .header("authorization", format!("Bearer {token}"));
    house.send(asked.body(Body::empty()).unwrap()).await
}

async fn member<'a>(house: &'a House, email: &str) -> Browser<'a> {
    house.account(email, &[Role::Member]).await;
    let mut browser = Browser::new(house);
    browser.sign_in(email, PASSWORD).await;
    browser
}

/// The token that a page shows.
fn shown(page: &str) -> Option<&str> {
    page.split_once("<code class=\"secret\">")?.1.split_once('<').map(|(token, _)| token)
}

const FORM: [(&str, &str); 3] = [("name", "harbour clock"), ("scope", "read"), ("days", "30")];

#[tokio::test]
async fn a_token_is_shown_once_works_and_ends_on_its_day() {
    let house = House::new().await;
    let mut ines = member(&house, "ines@example.org").await;
    let made = ines.post("/account/tokens", &FORM).await;
    assert_eq!((made.status.as_u16(), made.header("cache-control")), (200, "no-store"));
    let token = shown(made.text()).unwrap().to_owned();
    assert_eq!(token.len(), 64);

    let list = ines.get("/account/tokens").await;
    assert!(list.text().contains("harbour clock") && list.text().contains("Last used: not yet"));
    assert!(!list.text().contains(&token), "it is shown once");
    assert_eq!(ask(&house, &token).await.status, 200);
    let list = ines.get("/account/tokens").await;
    assert!(list.text().contains("Last used: Friday 5 June 2026"));
    assert!(list.text().contains("ends on Sunday 5 July 2026"), "{}", list.text());

    house.state.clock.advance(SignedDuration::from_hours(30 * 24));
    assert_eq!(ask(&house, &token).await.status, 401);
}

#[tokio::test]
async fn what_is_kept_of_a_token_does_not_open_anything() {
    let house = House::new().await;
    let mut ines = member(&house, "ines@example.org").await;
    let made = ines.post("/account/tokens", &FORM).await;
    let token = shown(made.text()).unwrap().to_owned();
    let mut conn = house.state.store.reader().acquire().await.unwrap();
    let kept: Vec<u8> = sqlx::query_scalar("SELECT token_hash FROM access_token")
        .fetch_one(&mut *conn)
        .await
        .unwrap();
    let kept = borrowed_light::web::secret::hex(&kept);
    assert_ne!(kept, token);
    assert_eq!(ask(&house, &kept).await.status, 401);
}

#[tokio::test]
async fn a_reading_token_changes_nothing_and_a_revoked_one_opens_nothing() {
    let house = House::new().await;
    let mut ines = member(&house, "ines@example.org").await;
    ines.post("/account/tokens", &FORM).await;
    let writing = [("name", "robot"), ("scope", "write"), ("days", "365")];
    let made = ines.post("/account/tokens", &writing).await;
    let token = shown(made.text()).unwrap().to_owned();
    let list = ines.get("/account/tokens").await;
    assert!(list.text().contains("It may read and change"), "the scope is told");

    assert_eq!(ask(&house, &token).await.status, 200);
    let revoked = ines.post("/account/tokens/2/revoke", &[]).await;
    assert_eq!(revoked.header("location"), "/account/tokens?revoked=yes");
    assert_eq!(ask(&house, &token).await.status, 401);
    assert!(!ines.get("/account/tokens").await.text().contains("robot"));
    assert_eq!(ines.post("/account/tokens/2/revoke", &[]).await.status, 404, "not twice");
}

#[tokio::test]
async fn nobody_revokes_anothers_token_or_learns_that_it_is_there() {
    let house = House::new().await;
    let mut ines = member(&house, "ines@example.org").await;
    let made = ines.post("/account/tokens", &FORM).await;
    let token = shown(made.text()).unwrap().to_owned();
    let mut other = member(&house, "other@example.org").await;
    let theirs = other.post("/account/tokens/1/revoke", &[]).await;
    let nothing = other.post("/account/tokens/77/revoke", &[]).await;
    assert_eq!((theirs.status.as_u16(), nothing.status.as_u16()), (404, 404));
    assert!(!other.get("/account/tokens").await.text().contains("harbour clock"));
    assert_eq!(ask(&house, &token).await.status, 200);
}

#[tokio::test]
async fn a_nameless_token_and_the_twenty_first_are_refused_and_what_was_typed_stays() {
    let house = House::new().await;
    let mut ines = member(&house, "ines@example.org").await;
    let nameless =
        ines.post("/account/tokens", &[("name", "  "), ("scope", "write"), ("days", "365")]).await;
    assert_eq!(nameless.status, 422);
    assert!(nameless.text().contains("Give it a name"));
    assert!(nameless.text().contains("value=\"write\" checked"));
    assert!(nameless.text().contains("value=\"365\" checked"));
    let typed = [("name", "<script>alert(1)</script>"), ("days", "4000")];
    let odd = ines.post("/account/tokens", &typed).await;
    assert!(odd.text().contains("&#60;script") && !odd.text().contains("<script>alert"));
    assert!(odd.text().contains("ends on Sunday 5 July 2026"), "the shortest life");
    for _ in 0..19 {
        assert_eq!(ines.post("/account/tokens", &FORM).await.status, 200);
    }
    let one_too_many = ines.post("/account/tokens", &FORM).await;
    assert_eq!(one_too_many.status, 422);
    assert!(shown(one_too_many.text()).is_none());
}
