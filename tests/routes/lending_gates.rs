//! What nobody gets round: the Sun through every door, minors, training and approval.

use axum::body::Body;
use axum::http::{Method, header};
use borrowed_light::lending::cautions;
use serde_json::{Value, json};

use crate::browser::Browser;
use crate::client::{Answer, PASSWORD, request};
use crate::lending_api::{Caller, Club};

const RESERVATIONS: &str = "/api/v1/reservations";

async fn signed_in<'a>(club: &'a Club, name: &str) -> Browser<'a> {
    let mut browser = Browser::new(&club.house);
    browser.sign_in(&format!("{name}@example.org"), PASSWORD).await;
    browser
}

/// A telescope and the filter that was made for it.
async fn solar(club: &Club) -> (i64, i64) {
    let scope = json!({
        "asset_tag": "T-1", "name": "The Heron", "layout": "refractor", "aperture_mm": 80,
        "focal_length_mm": 480, "tube_outer_diameter_mm": 98,
    });
    let filter = json!({
        "asset_tag": "F-1", "name": "Front filter", "kind": "solar_full_aperture",
        "fits_telescope": "T-1", "fits_outer_diameter_min_mm": 96,
        "fits_outer_diameter_max_mm": 102, "last_light_test": "2026-04-18",
    });
    let add = async |path: &str, body: Value| {
        let made = club.post(&club.desk, path, Some(body)).await;
        assert_eq!(made.status, 201, "{}", made.text());
        made.json()["id"].as_i64().unwrap()
    };
    (add("/api/v1/telescopes", scope).await, add("/api/v1/filters", filter).await)
}

async fn wish(club: &Club, who: &Caller, items: &[i64], nights: (&str, &str)) -> Answer {
    let body = json!({
        "items": items, "first_night": nights.0, "last_night": nights.1, "daylight": true,
    });
    club.post(who, RESERVATIONS, Some(body)).await
}

fn refuses(answer: &Answer, door: &str) {
    assert_eq!(answer.status, 409, "{door}: {}", answer.text());
    let says = answer.text();
    let gate = says.contains("needs the full-aperture filter") || says.contains("its filter");
    assert!(gate, "{door}: {says}");
}

#[tokio::test]
async fn no_door_and_no_role_leads_round_the_gate_before_the_sun() {
    let club = Club::new().await;
    let (scope, filter) = solar(&club).await;
    let june = ("2026-06-05", "2026-06-07");
    // A light test counts for two months here: until 18 June.
    let mut desk = signed_in(&club, "desk").await;
    let rules = [("longest", "31"), ("ahead", "300"), ("light", "2"), ("version", "1")];
    assert_eq!(desk.post("/desk/rules", &rules).await.status, 303);

    for (who, name) in [(&club.ines, "a member"), (&club.desk, "the quartermaster")] {
        refuses(&wish(&club, who, &[scope], june).await, name);
    }
    let mut for_ines = json!({
        "items": [scope], "first_night": june.0, "last_night": june.1, "daylight": true,
    });
    for_ines["member"] = json!(club.ines.member);
    refuses(&club.post(&club.desk, RESERVATIONS, Some(for_ines)).await, "for somebody else");
    let mut ines = signed_in(&club, "ines").await;
    let scope_text = scope.to_string();
    let fields =
        [("items", scope_text.as_str()), ("from", june.0), ("to", june.1), ("daylight", "yes")];
    refuses(&ines.post("/reserve", &fields).await, "the page");

    let made = wish(&club, &club.ines, &[scope, filter], june).await;
    assert_eq!(made.status, 201, "{}", made.text());
    let id = made.json()["id"].as_i64().unwrap();
    let path = format!("{RESERVATIONS}/{id}");
    let put = async |who: &Caller, items: &[i64], nights: (&str, &str)| {
        let tag = club.get(&club.ines, &path).await.header("etag").to_owned();
        let body = json!({ "items": items, "first_night": nights.0, "last_night": nights.1 });
        club.ask(who, Method::PUT, &path, &[("if-match", &tag)], Some(body)).await
    };
    for who in [&club.ines, &club.desk] {
        refuses(&put(who, &[scope], june).await, "a change that leaves the filter out");
        let late = put(who, &[scope, filter], ("2026-06-17", "2026-06-19")).await;
        refuses(&late, "a change of nights past the light test");
    }
    let nights = [("from", "2026-06-17"), ("to", "2026-06-19")];
    refuses(&ines.post(&format!("/mine/{id}/change"), &nights).await, "the page of changes");
    let (filter_text, other) = (filter.to_string(), club.items[0].to_string());
    let swap = [("item", filter_text.as_str()), ("instead", other.as_str())];
    refuses(&desk.post(&format!("/desk/{id}/swap"), &swap).await, "a swap at the desk");
    refuses(&ines.post(&format!("/mine/{id}/swap"), &swap).await, "a swap of one's own");

    let hand_over = format!("{path}/hand-over");
    let version = cautions::VERSION;
    let without = json!({ "items": [scope], "cautions_version": version });
    let refused = club.post(&club.desk, &hand_over, Some(without)).await;
    refuses(&refused, "a hand-over that leaves the filter behind");
    let unread = club.post(&club.desk, &hand_over, Some(json!({}))).await;
    assert_eq!(unread.status, 409, "the cautions must be acknowledged: {}", unread.text());
    let out = json!({ "cautions_version": version });
    let loan = club.post(&club.desk, &hand_over, Some(out)).await;
    assert_eq!(loan.status, 200, "{}", loan.text());
    let extend = format!("/api/v1/loans/{}/extend", loan.json()["id"]);
    for who in [&club.ines, &club.desk] {
        let longer = json!({ "last_night": "2026-06-20" });
        refuses(&club.post(who, &extend, Some(longer)).await, "an extension past the light test");
    }

    // What is waited for goes through the same gate.
    let wait = [
        ("items", scope_text.as_str()),
        ("from", "2026-06-10"),
        ("to", "2026-06-11"),
        ("daylight", "yes"),
    ];
    let mut noor = signed_in(&club, "noor").await;
    assert_eq!(noor.post("/mine/waiting", &wait).await.status, 303);
    refuses(&noor.post("/mine/waiting/1/accept", &[]).await, "an offer from the waiting list");
    assert_eq!(club.faults().await, Vec::<String>::new());
}

#[tokio::test]
async fn a_filter_that_is_damaged_meanwhile_shuts_the_gate_at_the_hand_over() {
    let club = Club::new().await;
    let (scope, filter) = solar(&club).await;
    let made = wish(&club, &club.ines, &[scope, filter], ("2026-06-05", "2026-06-05")).await;
    let path = format!("/api/v1/filters/{filter}");
    let read = club.get(&club.desk, &path).await;
    let mut body = json!({
        "asset_tag": "F-1", "name": "Front filter", "kind": "solar_full_aperture",
        "fits_telescope": "T-1", "fits_outer_diameter_min_mm": 96,
        "fits_outer_diameter_max_mm": 102, "last_light_test": "2026-04-18",
    });
    body["damaged"] = json!(true);
    let tag = [("if-match", read.header("etag"))];
    let put = club.ask(&club.desk, Method::PUT, &path, &tag, Some(body)).await;
    assert_eq!(put.status, 200, "{}", put.text());
    let hand_over = format!("{RESERVATIONS}/{}/hand-over", made.json()["id"]);
    let out = json!({ "cautions_version": cautions::VERSION });
    refuses(&club.post(&club.desk, &hand_over, Some(out)).await, "a hand-over");
}

#[tokio::test]
async fn who_is_or_may_be_under_age_needs_approval_always_and_a_guardian_at_the_hand_over() {
    let club = Club::new().await;
    let mut ines = signed_in(&club, "ines").await;
    let born = [("birth_year", "2010"), ("glasses", ""), ("version", "0")];
    let saved = ines.post("/account/observer", &born).await;
    assert_eq!(saved.status, 303, "{}", saved.text());
    let wish = club.wish(&[0], "2026-06-05", "2026-06-06");
    let made = club.post(&club.ines, RESERVATIONS, Some(wish)).await.json();
    assert_eq!(made["state"], "requested");
    let path = format!("{RESERVATIONS}/{}", made["id"]);
    let hand_over = format!("{path}/hand-over");
    assert_eq!(club.post(&club.desk, &hand_over, None).await.status, 409, "not approved");
    assert_eq!(club.post(&club.ines, &format!("{path}/approve"), None).await.status, 403);
    assert_eq!(club.post(&club.desk, &format!("{path}/approve"), None).await.status, 200);
    let alone = club.post(&club.desk, &hand_over, None).await;
    assert_eq!(alone.status, 409);
    assert!(alone.text().contains("name the guardian"), "{}", alone.text());
    let blank = json!({ "guardian": "  " });
    assert_eq!(club.post(&club.desk, &hand_over, Some(blank)).await.status, 409);
    let with = json!({ "guardian": "Ada Aldous" });
    let out = club.post(&club.desk, &hand_over, Some(with)).await;
    assert_eq!(out.status, 200, "{}", out.text());
}

#[tokio::test]
async fn training_and_approval_bind_programs_as_they_bind_pages() {
    let club = Club::new().await;
    let mut desk = signed_in(&club, "desk").await;
    let place = format!("/desk/rules/pieces/{}", club.items[0]);
    let rule = [("approval", "yes"), ("training", "yes"), ("care", "0")];
    assert_eq!(desk.post(&place, &rule).await.status, 303);
    let wish = || club.wish(&[0, 1], "2026-06-12", "2026-06-12");
    let refused = club.post(&club.ines, RESERVATIONS, Some(wish())).await;
    assert_eq!(refused.status, 409);
    assert_eq!(refused.json()["rules"], json!(["training"]));
    // A change can't smuggle it in.
    let other = club.wish(&[1], "2026-06-12", "2026-06-12");
    let made = club.post(&club.ines, RESERVATIONS, Some(other)).await;
    let path = format!("{RESERVATIONS}/{}", made.json()["id"]);
    let put = async || {
        let tag = club.get(&club.ines, &path).await.header("etag").to_owned();
        club.ask(&club.ines, Method::PUT, &path, &[("if-match", &tag)], Some(wish())).await
    };
    assert_eq!(put().await.json()["rules"], json!(["training"]));
    let member = club.ines.member.to_string();
    desk.post(&format!("{place}/shown"), &[("member", &member)]).await;
    let smuggled = put().await;
    assert_eq!(smuggled.status, 409, "it needs approval: {}", smuggled.text());
    let asked = club.wish(&[0], "2026-06-13", "2026-06-13");
    let asked = club.post(&club.ines, RESERVATIONS, Some(asked)).await;
    assert_eq!(asked.json()["state"], "requested", "{}", asked.text());
}

#[tokio::test]
async fn a_token_that_may_only_read_opens_no_door_of_lending() {
    let club = Club::new().await;
    let account = club.house.account("reader@example.org", &[]).await;
    let scope = borrowed_light::people::access::Scope::Read;
    let token = club.house.token(account, scope).await;
    for path in [RESERVATIONS.to_owned(), format!("{RESERVATIONS}/1/cancel")] {
        let asked = request(Method::POST, &path)
            .header(header::AUTHORIZATION, format!("Bearer {}", token.reveal()))
            .header(header::CONTENT_TYPE, "application/json");
        let answer = club.house.send(asked.body(Body::from("{}")).unwrap()).await;
        assert_eq!(answer.status, 403, "{path}");
    }
}
