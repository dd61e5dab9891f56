//! `/setup/{token}`

use borrowed_light::people::setup;
use borrowed_light::web::secret::Secret;
use jiff::SignedDuration;

use crate::browser::Browser;
use crate::client::{House, PASSWORD};

async fn first_link(house: &House) -> Option<String> {
    let link = Secret::random().unwrap();
    let mut tx = house.state.store.write().await.unwrap();
    let made = setup::invite_first(&mut tx, &house.state.clock, &link).await.unwrap();
    tx.commit().await.unwrap();
    made.then(|| format!("/setup/{}", link.reveal()))
}

#[tokio::test]
async fn the_first_administrator_sets_a_password_once_and_is_signed_in() {
    let house = House::new().await;
    let path = first_link(&house).await.unwrap();
    let mut browser = Browser::new(&house);
    assert!(browser.get(&path).await.text().contains("first administrator"));
    let fields = [("name", "Ada Quill"), ("email", "ada@example.org"), ("password", PASSWORD)];
    let answer = browser.post(&path, &fields).await;
    assert_eq!((answer.status.as_u16(), answer.header("location")), (303, "/"));
    assert_eq!(browser.get("/sign-in").await.status, 303);

    // Used up, and no second first administrator.
    assert_eq!(browser.get(&path).await.status, 404);
    assert_eq!(Browser::new(&house).post(&path, &fields).await.status, 404);
    assert_eq!(first_link(&house).await, None);
    assert_eq!(Browser::new(&house).sign_in("ada@example.org", PASSWORD).await.status, 303);
}

#[tokio::test]
async fn what_wont_do_is_said_beside_its_field_and_the_rest_is_kept() {
    let house = House::new().await;
    let path = first_link(&house).await.unwrap();
    let mut browser = Browser::new(&house);
    let fields = [("name", "Ada Quill"), ("email", "ada"), ("password", "too short")];
    let page = browser.post(&path, &fields).await;
    assert_eq!(page.status, 422);
    assert!(page.text().contains("value=\"Ada Quill\""));
    assert!(page.text().contains("This is not an e-mail address"));
    assert!(page.text().contains("use at least 15 characters"));
    assert!(!page.text().contains("too short\""));
    // The link still holds, and one's own address is no password.
    let own = [("name", "Ada"), ("email", "ada@example.org"), ("password", "ADA@example.org")];
    let page = browser.post(&path, &own).await;
    assert!(page.text().contains("a name or address that everybody knows"));
}

#[tokio::test]
async fn a_newer_link_replaces_the_older_and_a_week_ends_both() {
    let house = House::new().await;
    let older = first_link(&house).await.unwrap();
    let newer = first_link(&house).await.unwrap();
    let mut browser = Browser::new(&house);
    assert_eq!(browser.get(&older).await.status, 404);
    assert_eq!(browser.get(&newer).await.status, 200);
    house.state.clock.advance(SignedDuration::from_hours(7 * 24));
    assert_eq!(browser.get(&newer).await.status, 404);
}

#[tokio::test]
async fn an_invited_person_chooses_a_password_and_older_sessions_end() {
    let house = House::new().await;
    let id = house.account("ines@example.org", &[]).await;
    let mut before = Browser::new(&house);
    before.sign_in("ines@example.org", PASSWORD).await;
    assert_eq!(before.get("/sign-in").await.status, 303);

    let link = Secret::random().unwrap();
    let mut tx = house.state.store.write().await.unwrap();
    setup::invite(&mut tx, &house.state.clock, id, &link).await.unwrap();
    tx.commit().await.unwrap();
    let path = format!("/setup/{}", link.reveal());
    let mut browser = Browser::new(&house);
    assert!(browser.get(&path).await.text().contains("value=\"ines@example.org\""));
    let fresh = [("password", "a whole new constellation")];
    assert_eq!(browser.post(&path, &fresh).await.status, 303);

    assert_eq!(before.get("/sign-in").await.status, 200, "the old session is dead");
    assert_eq!(before.sign_in("ines@example.org", PASSWORD).await.status, 401);
    assert_eq!(before.sign_in("ines@example.org", fresh[0].1).await.status, 303);
}
