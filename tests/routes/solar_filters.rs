//! What a telescope's page says of its solar filter is what the gate at the desk would say.

use axum::body::Body;
use axum::http::{Method, header};
use borrowed_light::people::access::Scope;
use borrowed_light::people::rights::Role;
use borrowed_light::web::secret::Secret;
use serde_json::{Value, json};

use crate::browser::Browser;
use crate::client::{Answer, House, PASSWORD, request};

const VERIFIED: &str = "A verified solar filter exists for it";

async fn send(house: &House, token: &Secret, method: Method, path: &str, body: &Value) -> Answer {
    let asked = request(method, path)
        .header(header::AUTHORIZATION, format!("Bearer {}", token.reveal()))
        .header(header::IF_MATCH, "*")
        .header(header::CONTENT_TYPE, "application/json");
    house.send(asked.body(Body::from(body.to_string())).unwrap()).await
}

fn sound() -> Value {
    json!({
        "asset_tag": "F-1", "name": "Front filter", "kind": "solar_full_aperture",
        "fits_telescope": "T-1", "fits_outer_diameter_min_mm": 96,
        "fits_outer_diameter_max_mm": 102, "last_light_test": "2026-04-18",
    })
}

fn with(field: &str, value: impl Into<Value>) -> Value {
    let mut filter = sound();
    filter[field] = value.into();
    filter
}

/// One made for no telescope by name, for tubes from here to there.
fn untagged(low: i64, high: Value) -> Value {
    let mut filter = with("fits_telescope", Value::Null);
    filter["fits_outer_diameter_min_mm"] = json!(low);
    filter["fits_outer_diameter_max_mm"] = high;
    filter
}

#[tokio::test]
async fn a_filter_counts_as_verified_on_the_page_only_while_the_gate_would_take_it() {
    let house = House::new().await;
    let (member, account) =
        house.member("Desk", "desk@example.org", &[Role::Member, Role::Quartermaster]).await;
    let token = house.token(account, Scope::Write).await;
    let scope = json!({
        "asset_tag": "T-1", "name": "The Heron", "layout": "refractor", "aperture_mm": 80,
        "focal_length_mm": 480, "tube_outer_diameter_mm": 98,
    });
    let made = send(&house, &token, Method::POST, "/api/v1/telescopes", &scope).await.json();
    let filter = send(&house, &token, Method::POST, "/api/v1/filters", &sound()).await.json();
    let (scope_id, filter_id) = (made["id"].as_i64().unwrap(), filter["id"].as_i64().unwrap());
    let mut browser = Browser::new(&house);
    browser.sign_in("desk@example.org", PASSWORD).await;

    let cases = [
        (sound(), true, "a sound one"),
        (with("last_light_test", "2025-06-07"), true, "tested twelve months ago"),
        (with("last_light_test", "2025-06-04"), false, "tested before that"),
        (with("last_light_test", Value::Null), false, "never tested"),
        (with("last_light_test", "2026-06-06"), false, "to be tested tomorrow"),
        (with("damaged", true), false, "damaged"),
        (with("state", "needs_inspection"), false, "waiting for an inspection"),
        (with("state", "in_repair"), false, "in repair"),
        (with("state", "missing"), false, "missing"),
        (with("state", "retired"), false, "retired"),
        (with("fits_telescope", Value::Null), true, "for tubes of a range that takes this one"),
        (untagged(96, Value::Null), false, "a range of which one end is not known"),
        (untagged(99, json!(110)), false, "a range that the tube lies outside"),
        (with("fits_outer_diameter_min_mm", 99), false, "too wide for the tube"),
        (with("fits_outer_diameter_max_mm", 97), false, "too narrow for the tube"),
    ];
    for (filter, verified, what) in cases {
        let path = format!("/api/v1/filters/{filter_id}");
        let put = send(&house, &token, Method::PUT, &path, &filter).await;
        assert_eq!(put.status, 200, "{what}: {}", put.text());
        let page = browser.get(&format!("/telescopes/{scope_id}")).await;
        assert_eq!(page.status, 200, "{}", page.text());
        assert_eq!(page.text().contains(VERIFIED), verified, "{what}");
        let wish = json!({
            "items": [scope_id, filter_id], "first_night": "2026-06-05",
            "last_night": "2026-06-05", "member": member.0, "daylight": true,
        });
        let answer = send(&house, &token, Method::POST, "/api/v1/reservations", &wish).await;
        let expected = if verified { 201 } else { 409 };
        assert_eq!(answer.status, expected, "{what}: {}", answer.text());
        if let Some(id) = answer.json()["id"].as_i64().filter(|_| verified) {
            let path = format!("/api/v1/reservations/{id}/cancel");
            let undone = send(&house, &token, Method::POST, &path, &json!({})).await;
            assert_eq!(undone.status, 200, "{}", undone.text());
        }
    }
}

#[tokio::test]
async fn one_filter_for_a_range_of_tubes_serves_one_telescope_and_no_tube_that_nobody_measured() {
    let house = House::new().await;
    let (member, account) =
        house.member("Desk", "desk@example.org", &[Role::Member, Role::Quartermaster]).await;
    let token = house.token(account, Scope::Write).await;
    let make = async |path: &str, body: Value| {
        let made = send(&house, &token, Method::POST, path, &body).await;
        assert_eq!(made.status, 201, "{}", made.text());
        made.json()["id"].as_i64().unwrap()
    };
    let scope = |tag: &str, tube: Value| {
        json!({
            "asset_tag": tag, "name": tag, "aperture_mm": 80, "focal_length_mm": 480,
            "tube_outer_diameter_mm": tube,
        })
    };
    let wide = |tag: &str, high: i64| {
        let mut filter = untagged(96, json!(high));
        filter["asset_tag"] = tag.into();
        filter
    };
    let one = make("/api/v1/telescopes", scope("T-1", json!(98))).await;
    let two = make("/api/v1/telescopes", scope("T-2", json!(104))).await;
    let unmeasured = make("/api/v1/telescopes", scope("T-3", Value::Null)).await;
    let wider = make("/api/v1/filters", wide("F-1", 110)).await;
    let narrower = make("/api/v1/filters", wide("F-2", 100)).await;
    let mut night = 5;
    let mut asked = async |items: &[i64]| {
        night += 1;
        let day = format!("2026-06-{night:02}");
        let wish = json!({
            "items": items, "first_night": day, "last_night": day, "member": member.0,
            "daylight": true,
        });
        send(&house, &token, Method::POST, "/api/v1/reservations", &wish).await.status.as_u16()
    };
    assert_eq!(asked(&[one, wider]).await, 201);
    assert_eq!(asked(&[two, wider]).await, 201);
    assert_eq!(asked(&[two, narrower]).await, 409, "its tube is wider than that");
    assert_eq!(asked(&[one, two, wider]).await, 409, "one filter, two telescopes");
    // The first telescope gives up the only filter that the second one can have.
    assert_eq!(asked(&[one, two, wider, narrower]).await, 201);
    assert_eq!(asked(&[unmeasured, wider]).await, 409, "nobody measured its tube");
    assert_eq!(asked(&[one, two, unmeasured, wider, narrower]).await, 409);
}
