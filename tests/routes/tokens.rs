//! Access tokens, on the API's own description.

use axum::body::Body;
use axum::http::Method;
use borrowed_light::people::access::Scope;
use borrowed_light::people::rights::Role;
use borrowed_light::people::token;
use borrowed_light::web::secret::Secret;

use crate::browser::Browser;
use crate::client::{Answer, House, PASSWORD, request};

async fn ask(house: &House, authorization: &str) -> Answer {
    let asked = request(Method::GET, "/api/v1/openapi.json").header("authorization", authorization);
    house.send(asked.body(Body::empty()).unwrap()).await
}

async fn token_for(house: &House, account: i64) -> Secret {
    let token = Secret::random().unwrap();
    let mut tx = house.state.store.write().await.unwrap();
    let clock = &house.state.clock;
    token::add(&mut tx, clock, account, "my script", &token, Scope::Read).await.unwrap();
    tx.commit().await.unwrap();
    token
}

#[tokio::test]
async fn a_token_opens_the_api_and_a_cookie_does_not() {
    let house = House::new().await;
    let id = house.account("ines@example.org", &[Role::Member]).await;
    let token = token_for(&house, id).await;
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
    let token = token_for(&house, nobody).await;
    let answer = ask(&house, &format!("Bearer {}", token.reveal())).await;
    assert_eq!(answer.status, 403);
    assert_eq!(answer.json()["type"], "/problems/not-allowed");
}
