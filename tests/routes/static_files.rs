//! `/static/…`

use axum::body::Body;
use axum::http::Method;
use borrowed_light::web::files::address;

use crate::client::{House, request};

#[tokio::test]
async fn a_page_can_keep_its_files_for_ever() {
    let house = House::new().await;
    let asked = request(Method::GET, &address("borrowed-light.css"))
        .header("accept-encoding", "gzip, br")
        .body(Body::empty())
        .unwrap();
    let answer = house.send(asked).await;
    assert_eq!(answer.status, 200);
    assert_eq!(answer.header("content-type"), "text/css; charset=utf-8");
    assert_eq!(answer.header("content-encoding"), "br");
    assert_eq!(answer.header("cache-control"), "public, max-age=31536000, immutable");
    assert!(answer.body.len() <= 10_000, "{} bytes", answer.body.len());
}

#[tokio::test]
async fn nothing_outside_the_folder_is_served() {
    let house = House::new().await;
    for path in ["/static/../Cargo.toml", "/static/%2e%2e/Cargo.toml", "/static/", "/static//etc"] {
        assert_eq!(house.get(path).await.status, 404, "{path}");
    }
}
