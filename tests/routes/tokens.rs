//! Access tokens, on the API's own description.

use axum::body::Body;
use axum::http::Method;
use borrowed_light::people::access::Scope;
use borrowed_light::people::rights::Role;
use jiff::SignedDuration;

use crate::browser::Browser;
use crate::client::{Answer, House, PASSWORD, request};

async fn ask(house: &House, authorization: &str) -> Answer {
    let asked = request(Method::GET, "/api/v1/openapi.json").header("authorization", authorization);
    house.send(asked.body(Body::empty()).unwrap()).await
}

#[tokio::test]
async fn a_token_opens_the_api_and_a_cookie_does_not() {
    let house = House::new().await;
    let id = house.account("ines@example.org", &[Role::Member]).await;
    let token = house.token(id, Scope::Read).await;
    let answer = ask(&house, &format!("Bearer {}", token.reveal())).await;
    assert_eq!(answer.status, 200);
    assert!(answer.json()["openapi"].as_str().unwrap().starts_with("3.1"));

    let mut browser = Browser::new(&house);
    browser.sign_in("ines@example.org", PASSWORD).await;
    assert_eq!(browser.get("/api/v1/openapi.json").await.status, 401);
    for wrong in ["Bearer x", "Bearer ", "Basic eDp5", ""] {
        assert_eq!(ask(&house, wrong).await.status, 401, "{wrong:?}");
    }
}

#[tokio::test]
async fn a_token_is_no_stronger_than_its_owner() {
    let house = House::new().await;
    let nobody = house.account("gone@example.org", &[]).await;
    let token = house.token(nobody, Scope::Read).await;
    let answer = ask(&house, &format!("Bearer {}", token.reveal())).await;
    assert_eq!(answer.status, 403);
    assert_eq!(answer.json()["type"], "/problems/not-allowed");
}

#[tokio::test]
async fn a_token_ends_with_its_date_its_revocation_or_its_owner() {
    let house = House::new().await;
    for ending in [
        "UPDATE access_token SET expires_at = created_at + 60",
        "UPDATE access_token SET revoked_at = created_at",
        "UPDATE account SET disabled_at = created_at",
    ] {
        let id = house.account(&format!("{}@example.org", ending.len()), &[Role::Member]).await;
        let authorization = format!("Bearer {}", house.token(id, Scope::Read).await.reveal());
        assert_eq!(ask(&house, &authorization).await.status, 200, "{ending}");
        let mut tx = house.state.store.write().await.unwrap();
        sqlx::query(ending).execute(&mut *tx).await.unwrap();
        tx.commit().await.unwrap();
        house.state.clock.advance(SignedDuration::from_mins(1));
        assert_eq!(ask(&house, &authorization).await.status, 401, "{ending}");
    }
}
