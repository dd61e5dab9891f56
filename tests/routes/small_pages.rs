//! `/scheme`, `/problems/{kind}`, `/healthz`, `/readyz`

use axum::body::Body;
use axum::http::Method;
use borrowed_light::web::kinds::Kind;
use borrowed_light::web::site::Site;

use crate::browser::Browser;
use crate::client::{House, request};

#[tokio::test]
async fn a_colour_scheme_is_remembered_and_leads_back() {
    let house = House::new().await;
    let mut browser = Browser::new(&house);
    let fields = [("scheme", "red"), ("return", "/sign-in?next=%2Fkits")];
    let answer = browser.post("/scheme", &fields).await;
    assert_eq!(answer.header("location"), "/sign-in?next=%2Fkits");
    assert!(browser.get("/sign-in").await.text().contains("data-scheme=\"red\""));
    assert!(browser.get("/nowhere").await.text().contains("data-scheme=\"red\""));

    let away = [("scheme", "dark"), ("return", "//elsewhere.example")];
    assert_eq!(browser.post("/scheme", &away).await.header("location"), "/");
    assert_eq!(browser.post("/scheme", &[("scheme", "white")]).await.status, 422);
}

#[tokio::test]
async fn every_kind_of_problem_has_a_page() {
    let house = House::new().await;
    for kind in Kind::ALL {
        let page = house.get(&kind.address()).await;
        assert_eq!(page.status, 200);
        assert!(page.text().contains("<h1>"));
    }
    assert_eq!(house.get("/problems/none").await.status, 404);
}

#[tokio::test]
async fn life_and_readiness_are_told_apart() {
    let house = House::new().await;
    assert_eq!(house.get("/healthz").await.status, 200);
    assert_eq!(house.get("/readyz").await.status, 200);
    house.state.store.close().await;
    assert_eq!(house.get("/healthz").await.status, 200);
    assert_eq!(house.get("/readyz").await.status, 503);
}

#[tokio::test]
async fn behind_tls_cookies_are_strict_and_browsers_are_told_to_stay() {
    let site = Site::new("Windmill Hill Astronomers").at("https://lend.example.org").unwrap();
    let house = House::at(site).await;
    let answer = house.get("/sign-in").await;
    assert_eq!(answer.header("strict-transport-security"), "max-age=63072000");
    let line = answer.header("set-cookie");
    assert!(line.starts_with("__Host-visitor=") && line.contains("; Secure"), "{line}");
}

#[tokio::test]
async fn pages_travel_compressed_within_the_first_flight() {
    let house = House::new().await;
    let asked = request(Method::GET, "/sign-in").header("accept-encoding", "gzip, br");
    let answer = house.send(asked.body(Body::empty()).unwrap()).await;
    assert_eq!(answer.header("content-encoding"), "gzip");
    // Ten segments of 1,460 bytes (RFC 6928).
    assert!(answer.body.len() < 14_600, "{} bytes", answer.body.len());
}
