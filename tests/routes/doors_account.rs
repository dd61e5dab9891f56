//! `/account`

use borrowed_light::people::rights::Role;
use jiff::SignedDuration;

use crate::browser::Browser;
use crate::client::{House, PASSWORD};

/// The names of the sessions that a page offers to end.
fn handles(page: &str) -> Vec<String> {
    page.split("/account/sessions/")
        .skip(1)
        .filter_map(|rest| rest.split('"').next()?.strip_suffix("/end").map(ToOwned::to_owned))
        .collect()
}

#[tokio::test]
async fn sessions_are_listed_with_this_one_marked_and_can_be_ended() {
    let house = House::new().await;
    house.account("ines@example.org", &[Role::Member]).await;
    let mut phone = Browser::new(&house);
    let mut desk = Browser::new(&house);
    let mut library = Browser::new(&house);
    for browser in [&mut phone, &mut desk, &mut library] {
        browser.sign_in("ines@example.org", PASSWORD).await;
        house.state.clock.advance(SignedDuration::from_mins(2));
    }
    let page = phone.get("/account").await;
    assert!(page.text().contains("192.0.2.*") && !page.text().contains("192.0.2.1"));
    assert_eq!(page.text().matches(">this one<").count(), 1);
    let others = handles(page.text());
    assert_eq!(others.len(), 2);
    let ended = phone.post(&format!("/account/sessions/{}/end", others[0]), &[]).await;
    assert_eq!(ended.status, 303);
    let gone = phone.post(&format!("/account/sessions/{}/end", others[0]), &[]).await;
    assert_eq!(gone.status, 404);
    let left = [desk.get("/account").await.status, library.get("/account").await.status];
    assert_eq!(left.iter().filter(|status| **status == 200).count(), 1, "{left:?}");

    phone.post("/account/sessions/end-others", &[]).await;
    assert_eq!(desk.get("/account").await.status, 303);
    assert_eq!(library.get("/account").await.status, 303);
    assert_eq!(phone.get("/account").await.status, 200);
}

#[tokio::test]
async fn nobody_ends_anothers_session() {
    let house = House::new().await;
    house.account("ines@example.org", &[Role::Member]).await;
    house.account("cal@example.org", &[Role::Member, Role::Admin]).await;
    let mut ines = [Browser::new(&house), Browser::new(&house)];
    for browser in &mut ines {
        browser.sign_in("ines@example.org", PASSWORD).await;
    }
    let theirs = handles(ines[0].get("/account").await.text());
    let mut cal = Browser::new(&house);
    cal.sign_in("cal@example.org", PASSWORD).await;
    for handle in [&*theirs[0], "%25", "' OR 1=1 --"] {
        let path = format!("/account/sessions/{}/end", handle.replace(' ', "%20"));
        assert_eq!(cal.post(&path, &[]).await.status, 404, "{handle}");
    }
    assert_eq!(ines[1].get("/account").await.status, 200);
}

#[tokio::test]
async fn a_password_is_changed_by_who_knows_it_and_ends_other_sessions() {
    let house = House::new().await;
    house.account("ines@example.org", &[Role::Member]).await;
    let mut other = Browser::new(&house);
    other.sign_in("ines@example.org", PASSWORD).await;
    let mut browser = Browser::new(&house);
    browser.sign_in("ines@example.org", PASSWORD).await;
    let new = "a lantern under the harbour wall";
    let wrong = [("password", "the wrong evening star"), ("new_password", new)];
    let refused = browser.post("/account/password", &wrong).await;
    assert_eq!(refused.status, 422);
    assert!(!refused.text().contains(new) && !refused.text().contains("wrong evening"));
    let weak = [("password", PASSWORD), ("new_password", "ines@example.org")];
    assert_eq!(browser.post("/account/password", &weak).await.status, 422);

    let before = browser.cookies["borrowed-light"].clone();
    let right = [("password", PASSWORD), ("new_password", new)];
    assert_eq!(browser.post("/account/password", &right).await.status, 303);
    assert_ne!(browser.cookies["borrowed-light"], before);
    assert_eq!(browser.get("/account?done=password").await.status, 200);
    assert_eq!(other.get("/account").await.status, 303);
    assert_eq!(other.sign_in("ines@example.org", PASSWORD).await.status, 401);
    assert_eq!(other.sign_in("ines@example.org", new).await.status, 303);
    let told = browser.get("/account/letters").await;
    assert!(told.text().contains("Your password was changed"));
}

#[tokio::test]
async fn without_mail_an_address_changes_at_once_and_taken_ones_are_refused() {
    let house = House::new().await;
    house.account("ines@example.org", &[Role::Member]).await;
    house.account("cal@example.org", &[Role::Member]).await;
    let mut browser = Browser::new(&house);
    browser.sign_in("ines@example.org", PASSWORD).await;
    for (email, password) in [
        ("new@example.org", "the wrong evening star"),
        ("CAL@example.org", PASSWORD),
        ("new", PASSWORD),
        ("a@b\r\nBcc: c@d", PASSWORD),
    ] {
        let fields = [("email", email), ("email_password", password)];
        assert_eq!(browser.post("/account/email", &fields).await.status, 422, "{email}");
    }
    let fields = [("email", "new@example.org"), ("email_password", PASSWORD)];
    assert_eq!(browser.post("/account/email", &fields).await.status, 303);
    let mut again = Browser::new(&house);
    assert_eq!(again.sign_in("ines@example.org", PASSWORD).await.status, 401);
    assert_eq!(again.sign_in("new@example.org", PASSWORD).await.status, 303);
}

#[tokio::test]
async fn a_name_is_shown_as_it_was_typed_and_never_as_markup() {
    let house = House::new().await;
    house.account("ines@example.org", &[Role::Member]).await;
    let mut browser = Browser::new(&house);
    browser.sign_in("ines@example.org", PASSWORD).await;
    for name in ["", "   ", &"x".repeat(121), "Ines\u{0}"] {
        assert_eq!(browser.post("/account/name", &[("name", name)]).await.status, 422, "{name:?}");
    }
    for name in ["<script>alert(1)</script>", "'; DROP TABLE account; --", "Inés O’Brien 李"] {
        assert_eq!(browser.post("/account/name", &[("name", name)]).await.status, 303);
        let page = browser.get("/account").await;
        assert!(!page.text().contains("<script>alert"));
    }
    assert!(browser.get("/account").await.text().contains("Inés O’Brien 李"));
}

#[tokio::test]
async fn guessing_the_password_on_these_pages_meets_the_same_brake() {
    let house = House::new().await;
    house.account("ines@example.org", &[Role::Member]).await;
    let mut browser = Browser::new(&house);
    browser.sign_in("ines@example.org", PASSWORD).await;
    let fields = [("password", "a guess of mine 1"), ("new_password", "a lantern under the wall")];
    for _ in 0..5 {
        assert_eq!(browser.post("/account/password", &fields).await.status, 422);
    }
    assert_eq!(browser.post("/account/password", &fields).await.status, 429);
    assert_eq!(Browser::new(&house).sign_in("ines@example.org", PASSWORD).await.status, 429);
}

#[tokio::test]
async fn a_hash_of_former_parameters_is_made_anew_at_the_next_sign_in() {
    use argon2::password_hash::PasswordHasher as _;
    let house = House::new().await;
    let ines = house.account("ines@example.org", &[Role::Member]).await;
    let params = argon2::Params::new(7168, 5, 1, None).unwrap();
    let former = argon2::Argon2::new(argon2::Algorithm::Argon2id, argon2::Version::V0x13, params)
        .hash_password(PASSWORD.as_bytes())
        .unwrap()
        .to_string();
    assert!(former.starts_with("$argon2id$v=19$m=7168,t=5,p=1$"), "{former}");
    let mut tx = house.state.store.write().await.unwrap();
    sqlx::query("UPDATE account SET password_hash = ?1")
        .bind(&former)
        .execute(&mut *tx)
        .await
        .unwrap();
    tx.commit().await.unwrap();
    let mut browser = Browser::new(&house);
    assert_eq!(browser.sign_in("ines@example.org", PASSWORD).await.status, 303);
    let now: String = sqlx::query_scalar("SELECT password_hash FROM account WHERE id = ?1")
        .bind(ines)
        .fetch_one(&mut *house.state.store.reader().acquire().await.unwrap())
        .await
        .unwrap();
    assert!(now.starts_with("$argon2id$v=19$m=19456,t=2,p=1$"), "{now}");
    assert_eq!(browser.sign_in("ines@example.org", PASSWORD).await.status, 303);
}

#[tokio::test]
async fn with_other_rights_one_signs_in_afresh() {
    use borrowed_light::people::account::give_role;
    let house = House::new().await;
    let ines = house.account("ines@example.org", &[Role::Member]).await;
    let mut browser = Browser::new(&house);
    browser.sign_in("ines@example.org", PASSWORD).await;
    for (role, status) in [(Role::Member, 200), (Role::Quartermaster, 303)] {
        let mut tx = house.state.store.write().await.unwrap();
        give_role(&mut tx, ines, role).await.unwrap();
        tx.commit().await.unwrap();
        assert_eq!(browser.get("/account").await.status, status, "{role:?}");
    }
}
