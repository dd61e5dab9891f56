//! `/sign-in`, `/sign-out`

use borrowed_light::people::rights::Role;
use jiff::SignedDuration;

use crate::browser::Browser;
use crate::client::{House, PASSWORD};

/// The token in a page's form.
fn form_token(page: &str) -> &str {
    page.split("name=\"form_token\" value=\"").nth(1).unwrap().split('"').next().unwrap()
}

#[tokio::test]
async fn a_member_signs_in_goes_on_and_signs_out() {
    let house = House::new().await;
    house.account("ines@example.org", &[Role::Member]).await;
    let mut browser = Browser::new(&house);
    let form = browser.get("/sign-in?next=/static/icon.svg").await;
    assert!(form.text().contains("name=\"next\" value=\"/static/icon.svg\""));

    let fields = [("email", "Ines@Example.org"), ("password", PASSWORD), ("next", "/elsewhere")];
    let answer = browser.post("/sign-in", &fields).await;
    assert_eq!((answer.status.as_u16(), answer.header("location")), (303, "/elsewhere"));
    let line = answer.header("set-cookie");
    assert!(
        line.contains("; HttpOnly; SameSite=Lax") && line.contains("Max-Age=2592000"),
        "{line}"
    );

    // Signed in, the door leads on.
    let again = browser.get("/sign-in?next=/kits").await;
    assert_eq!((again.status.as_u16(), again.header("location")), (303, "/kits"));
    // And a lost page knows who is lost.
    let session = browser.cookies["borrowed-light"].clone();
    let out = browser.post("/sign-out", &[]).await;
    assert_eq!(out.header("location"), "/sign-in?signed_out=yes");
    assert!(browser.get("/sign-in?signed_out=yes").await.text().contains("You have signed out."));

    // The id is dead at the server too.
    browser.cookies.insert("borrowed-light".into(), session);
    assert_eq!(browser.get("/sign-in").await.status, 200);
}

#[tokio::test]
async fn a_wrong_name_and_a_wrong_password_look_the_same() {
    let house = House::new().await;
    house.account("ines@example.org", &[Role::Member]).await;
    house.account_without_password("new@example.org").await;
    let mut browser = Browser::new(&house);
    let mut pages = Vec::new();
    for email in ["ines@example.org", "nobody@example.org", "new@example.org"] {
        let answer = browser.sign_in(email, "the wrong evening star").await;
        assert_eq!(answer.status, 401);
        assert!(!answer.text().contains("the wrong evening star"));
        let page = answer.text().replace(email, "SOMEBODY");
        let token = form_token(&page).to_owned();
        pages.push(page.replace(&token, "TOKEN"));
    }
    assert_eq!(pages[0], pages[1]);
    assert_eq!(pages[0], pages[2]);
}

#[tokio::test]
async fn guessing_is_slowed_down_by_name_and_by_address_and_never_for_good() {
    let house = House::new().await;
    house.account("ines@example.org", &[Role::Member]).await;
    house.account("cal@example.org", &[Role::Member]).await;
    let mut browser = Browser::new(&house);
    for _ in 0..5 {
        assert_eq!(browser.sign_in("ines@example.org", "a guess of mine 1").await.status, 401);
    }
    let refused = browser.sign_in("ines@example.org", PASSWORD).await;
    assert_eq!((refused.status.as_u16(), refused.header("retry-after")), (429, "1"));
    // The same address trying another name waits too.
    assert_eq!(browser.sign_in("cal@example.org", PASSWORD).await.status, 429);

    house.state.clock.advance(SignedDuration::from_secs(1));
    assert_eq!(browser.sign_in("ines@example.org", "a guess of mine 2").await.status, 401);
    let refused = browser.sign_in("ines@example.org", PASSWORD).await;
    assert_eq!(refused.header("retry-after"), "2");
    house.state.clock.advance(SignedDuration::from_secs(2));
    assert_eq!(browser.sign_in("ines@example.org", PASSWORD).await.status, 303);
}

#[tokio::test]
async fn a_session_gets_a_new_id_at_each_sign_in_and_the_old_one_is_dead() {
    let house = House::new().await;
    house.account("ines@example.org", &[Role::Member]).await;
    let mut browser = Browser::new(&house);
    browser.sign_in("ines@example.org", PASSWORD).await;
    let first = browser.cookies["borrowed-light"].clone();
    browser.sign_in("ines@example.org", PASSWORD).await;
    assert_ne!(browser.cookies["borrowed-light"], first);
    let mut thief = Browser::new(&house);
    thief.cookies.insert("borrowed-light".into(), first);
    assert_eq!(thief.get("/sign-in").await.status, 200);
}

#[tokio::test]
async fn members_stay_for_a_month_and_staff_for_a_day_or_an_idle_hour() {
    let house = House::new().await;
    house.account("ines@example.org", &[Role::Member]).await;
    house.account("quill@example.org", &[Role::Member, Role::Quartermaster]).await;
    let mut member = Browser::new(&house);
    let mut staff = Browser::new(&house);
    member.sign_in("ines@example.org", PASSWORD).await;
    staff.sign_in("quill@example.org", PASSWORD).await;
    // `/sign-in` leads on (303) whoever is signed in, and asks (200) whoever isn't.
    for _ in 0..23 {
        house.state.clock.advance(SignedDuration::from_mins(60));
        assert_eq!(staff.get("/sign-in").await.status, 303);
    }
    house.state.clock.advance(SignedDuration::from_mins(60));
    assert_eq!(staff.get("/sign-in").await.status, 200, "a day is over");
    staff.sign_in("quill@example.org", PASSWORD).await;
    house.state.clock.advance(SignedDuration::from_mins(61));
    assert_eq!(staff.get("/sign-in").await.status, 200, "an idle hour is over");

    house.state.clock.advance(SignedDuration::from_hours(28 * 24));
    assert_eq!(member.get("/sign-in").await.status, 303);
    house.state.clock.advance(SignedDuration::from_hours(24));
    assert_eq!(member.get("/sign-in").await.status, 200, "thirty days are over");
}

#[tokio::test]
async fn a_client_that_tells_no_origin_needs_the_pages_token() {
    let house = House::new().await;
    house.account("ines@example.org", &[Role::Member]).await;
    let mut old = Browser::new(&house);
    let page = old.get("/sign-in").await;
    let token = form_token(page.text()).to_owned();
    let fields =
        |token| [("email", "ines@example.org"), ("password", PASSWORD), ("form_token", token)];
    let none = old.post_with("/sign-in", &fields(""), "x-none", "1").await;
    assert_eq!(none.status, 403);
    let others = Browser::new(&house).get("/sign-in").await;
    let foreign = fields(form_token(others.text()));
    assert_eq!(old.post_with("/sign-in", &foreign, "x-none", "1").await.status, 403);
    let own = old.post_with("/sign-in", &fields(&token), "x-none", "1").await;
    assert_eq!(own.status, 303);
}

#[tokio::test]
async fn fifty_who_sign_in_at_once_all_get_in() {
    let house = House::new().await;
    house.account("ines@example.org", &[Role::Member]).await;
    let mut many = tokio::task::JoinSet::new();
    for _ in 0..50 {
        let house = house.clone();
        many.spawn(async move {
            Browser::new(&house).sign_in("ines@example.org", PASSWORD).await.status
        });
    }
    let statuses = many.join_all().await;
    assert!(statuses.iter().all(|status| *status == 303), "{statuses:?}");
}
