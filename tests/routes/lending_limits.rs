//! What the club limits, who is not relied on any more, and what is kept for outreach.

use borrowed_light::people::access::Scope;
use borrowed_light::people::rights::Role;
use jiff::SignedDuration;
use serde_json::{Value, json};

use crate::browser::Browser;
use crate::client::PASSWORD;
use crate::lending_api::{Caller, Club};

const RESERVATIONS: &str = "/api/v1/reservations";

async fn signed_in<'a>(club: &'a Club, name: &str) -> Browser<'a> {
    let mut browser = Browser::new(&club.house);
    browser.sign_in(&format!("{name}@example.org"), PASSWORD).await;
    browser
}

/// Keeps the club's rules, with one of them set.
async fn rule(club: &Club, name: &str, value: &str, version: &str) {
    let mut desk = signed_in(club, "desk").await;
    let fields = [("longest", "31"), ("ahead", "300"), ("light", "12"), ("version", version)];
    let mut fields = fields.to_vec();
    fields.push((name, value));
    let kept = desk.post("/desk/rules", &fields).await;
    assert_eq!(kept.status, 303, "{}", kept.text());
}

async fn scopes(club: &Club, count: usize) -> Vec<i64> {
    let mut ids = Vec::new();
    for n in 1..=count {
        let scope = json!({
            "asset_tag": format!("T-{n}"), "name": "The Heron", "layout": "refractor",
            "aperture_mm": 80, "focal_length_mm": 480,
        });
        let made = club.post(&club.desk, "/api/v1/telescopes", Some(scope)).await;
        assert_eq!(made.status, 201, "{}", made.text());
        ids.push(made.json()["id"].as_i64().unwrap());
    }
    ids
}

async fn wish(club: &Club, who: &Caller, items: &[i64], first: &str, last: &str) -> (u16, Value) {
    let body = json!({ "items": items, "first_night": first, "last_night": last });
    let answer = club.post(who, RESERVATIONS, Some(body)).await;
    (answer.status.as_u16(), answer.json())
}

fn broken(answer: &Value) -> &str {
    answer["rules"][0].as_str().unwrap_or_default()
}

#[tokio::test]
async fn telescopes_worth_and_nights_are_limited_for_members_and_not_for_the_desk() {
    let club = Club::new().await;
    let scopes = scopes(&club, 3).await;
    rule(&club, "telescopes", "1", "1").await;
    let (one, two) = (scopes[0], scopes[1]);
    assert_eq!(wish(&club, &club.ines, &[one], "2026-06-12", "2026-06-14").await.0, 201);
    let (status, refused) = wish(&club, &club.ines, &[two], "2026-06-19", "2026-06-20").await;
    assert_eq!((status, broken(&refused)), (409, "telescopes_at_once"), "{refused}");
    let glass = club.items[0];
    assert_eq!(wish(&club, &club.ines, &[glass], "2026-06-19", "2026-06-20").await.0, 201);
    assert_eq!(wish(&club, &club.desk, &[two, scopes[2]], "2026-07-03", "2026-07-04").await.0, 409);
    let body = json!({
        "items": [two], "first_night": "2026-06-19", "last_night": "2026-06-20",
        "member": club.ines.member,
    });
    assert_eq!(club.post(&club.desk, RESERVATIONS, Some(body)).await.status, 201, "by the desk");

    rule(&club, "year", "7", "2").await;
    let (status, refused) = wish(&club, &club.noor, &[scopes[2]], "2026-06-12", "2026-06-19").await;
    assert_eq!((status, broken(&refused)), (409, "nights_in_a_year"), "{refused}");
    assert_eq!(wish(&club, &club.noor, &[scopes[2]], "2026-06-12", "2026-06-16").await.0, 201);
    let (status, refused) = wish(&club, &club.noor, &[glass], "2026-07-10", "2026-07-12").await;
    assert_eq!((status, broken(&refused)), (409, "nights_in_a_year"), "{refused}");
    assert_eq!(wish(&club, &club.noor, &[glass], "2026-07-10", "2026-07-11").await.0, 201);

    rule(&club, "worth", "300", "3").await;
    let mut desk = signed_in(&club, "desk").await;
    for tag in ["B-2", "B-3"] {
        let page = desk.get(&format!("/shelf/{tag}/papers")).await;
        let version = page
            .text()
            .split("name=\"version\" value=\"")
            .nth(1)
            .map(|rest| rest.split('"').next().unwrap_or_default().to_owned());
        let version = version.unwrap_or_default();
        let fields = [("value", "200"), ("version", version.as_str())];
        let saved = desk.post(&format!("/shelf/{tag}/papers"), &fields).await;
        assert_eq!(saved.status, 303, "{}", saved.text());
    }
    let both = &club.items[1..3];
    let (status, refused) = wish(&club, &club.noor, both, "2026-07-20", "2026-07-20").await;
    assert_eq!((status, broken(&refused)), (409, "worth_at_once"), "{refused}");
    assert_eq!(wish(&club, &club.noor, &both[..1], "2026-07-20", "2026-07-20").await.0, 201);
    assert_eq!(club.faults().await, Vec::<String>::new());
}

#[tokio::test]
async fn a_share_of_the_telescopes_is_left_for_outreach() {
    let club = Club::new().await;
    let scopes = scopes(&club, 4).await;
    // Of four telescopes, a quarter is one.
    rule(&club, "outreach", "25", "1").await;
    let (member, account) =
        club.house.member("Lee", "lee@example.org", &[Role::Member, Role::Outreach]).await;
    let token = club.house.token(account, Scope::Write).await.reveal().to_owned();
    let lead = Caller::new(member.0, token);
    assert_eq!(wish(&club, &club.ines, &scopes[..2], "2026-06-12", "2026-06-14").await.0, 201);
    assert_eq!(wish(&club, &club.noor, &scopes[2..3], "2026-06-14", "2026-06-15").await.0, 201);
    let (status, refused) = wish(&club, &club.noor, &scopes[3..], "2026-06-13", "2026-06-15").await;
    assert_eq!((status, broken(&refused)), (409, "outreach_share"), "{refused}");
    assert!(refused["detail"].as_str().unwrap().contains("2026-06-14"), "{refused}");
    let next = &refused["next_nights"][0]["first_night"];
    assert_eq!(next, "2026-06-15", "the nearest nights that keep the share: {refused}");
    // A lead may, and what a lead has is part of the share.
    assert_eq!(wish(&club, &lead, &scopes[3..], "2026-06-13", "2026-06-15").await.0, 201);
    assert_eq!(wish(&club, &club.noor, &scopes[2..3], "2026-06-12", "2026-06-13").await.0, 201);
    assert_eq!(club.faults().await, Vec::<String>::new());
}

#[tokio::test]
async fn who_lets_the_club_down_three_times_is_asked_about() {
    let club = Club::new().await;
    let (item, other) = (club.items[0], club.items[1]);
    // Cancelled on the first night: late. A week ahead: not.
    for (nights, late) in [("2026-06-05", true), ("2026-06-26", false), ("2026-06-05", true)] {
        let made = wish(&club, &club.ines, &[item], nights, nights).await.1;
        assert_eq!(made["state"], "confirmed", "{late}");
        let path = format!("{RESERVATIONS}/{}/cancel", made["id"]);
        assert_eq!(club.post(&club.ines, &path, None).await.status, 200);
    }
    assert_eq!(
        wish(&club, &club.ines, &[other], "2026-07-01", "2026-07-02").await.1["state"],
        "confirmed"
    );
    // Kept for one night for whoever does not come.
    rule(&club, "kept", "1", "1").await;
    let made = wish(&club, &club.ines, &[item], "2026-06-05", "2026-06-09").await.1;
    club.house.state.clock.advance(SignedDuration::from_hours(24));
    borrowed_light::app::chores::once(&club.house.state).await.unwrap();
    let path = format!("{RESERVATIONS}/{}", made["id"]);
    assert_eq!(club.get(&club.ines, &path).await.json()["state"], "no_show");
    assert_eq!(wish(&club, &club.noor, &[item], "2026-06-06", "2026-06-07").await.0, 201, "free");
    let asked = wish(&club, &club.ines, &[club.items[2]], "2026-06-20", "2026-06-21").await.1;
    assert_eq!(asked["state"], "requested");
    let mut desk = signed_in(&club, "desk").await;
    let page = desk.get(&format!("/desk/{}", asked["id"])).await;
    assert!(page.text().contains("were not fetched, or cancelled on the day"), "{}", page.text());
    let mut ines = signed_in(&club, "ines").await;
    assert!(ines.get("/account/letters").await.text().contains("was not fetched"));
    assert_eq!(club.faults().await, Vec::<String>::new());
}

#[tokio::test]
async fn a_piece_that_asks_for_age_treats_who_gave_none_as_under_age() {
    let club = Club::new().await;
    let mut desk = signed_in(&club, "desk").await;
    let fields = [("age", "yes"), ("care", "0")];
    desk.post(&format!("/desk/rules/pieces/{}", club.items[0]), &fields).await;
    let asked = wish(&club, &club.ines, &[club.items[0]], "2026-06-05", "2026-06-06").await.1;
    assert_eq!(asked["state"], "requested");
    let other = wish(&club, &club.ines, &[club.items[1]], "2026-06-05", "2026-06-06").await.1;
    assert_eq!(other["state"], "confirmed", "other pieces don't ask");
    let path = format!("{RESERVATIONS}/{}", asked["id"]);
    assert_eq!(club.post(&club.desk, &format!("{path}/approve"), None).await.status, 200);
    let alone = club.post(&club.desk, &format!("{path}/hand-over"), None).await;
    assert!(alone.text().contains("name the guardian"), "{}", alone.text());
    // With a year of birth that settles it, nobody is asked.
    let mut noor = signed_in(&club, "noor").await;
    let born = [("birth_year", "1980"), ("glasses", ""), ("version", "0")];
    assert_eq!(noor.post("/account/observer", &born).await.status, 303);
    let grown = wish(&club, &club.noor, &[club.items[0]], "2026-06-19", "2026-06-20").await.1;
    assert_eq!(grown["state"], "confirmed");
}

#[tokio::test]
async fn nobody_keeps_for_longer_what_somebody_waits_for_and_the_first_night_ends_changes() {
    let club = Club::new().await;
    let made = wish(&club, &club.ines, &[club.items[0]], "2026-06-05", "2026-06-07").await.1;
    let path = format!("{RESERVATIONS}/{}", made["id"]);
    let out = club.post(&club.desk, &format!("{path}/hand-over"), None).await.json();
    let waits = json!({
        "items": [club.items[0]], "first_night": "2026-06-07", "last_night": "2026-06-09",
    });
    assert_eq!(club.post(&club.noor, "/api/v1/waiting", Some(waits)).await.status, 201);
    let extend = format!("/api/v1/loans/{}/extend", out["id"]);
    let longer = Some(json!({ "last_night": "2026-06-08" }));
    let refused = club.post(&club.ines, &extend, longer.clone()).await;
    assert_eq!(refused.status, 409);
    assert_eq!(broken(&refused.json()), "waiting_list", "{}", refused.text());
    assert_eq!(club.post(&club.desk, &extend, longer).await.status, 200, "the desk may");

    let made = wish(&club, &club.noor, &[club.items[1]], "2026-06-05", "2026-06-09").await.1;
    club.house.state.clock.advance(SignedDuration::from_hours(24));
    let path = format!("{RESERVATIONS}/{}", made["id"]);
    let read = club.get(&club.noor, &path).await;
    let tag = read.header("etag").to_owned();
    let later = json!({
        "items": [club.items[1]], "first_night": "2026-06-07", "last_night": "2026-06-09",
    });
    let matching = [("if-match", tag.as_str())];
    let put = |who| club.ask(who, axum::http::Method::PUT, &path, &matching, Some(later.clone()));
    let refused = put(&club.noor).await;
    assert_eq!(refused.status, 409, "{}", refused.text());
    assert!(refused.text().contains("The first night is over"), "{}", refused.text());
    assert_eq!(put(&club.desk).await.status, 200);
    assert_eq!(club.faults().await, Vec::<String>::new());
}

#[tokio::test]
async fn what_is_laid_out_can_still_be_swapped_at_the_desk_and_a_closed_night_offers_no_kit() {
    let club = Club::new().await;
    let made = wish(&club, &club.ines, &[club.items[0]], "2026-06-05", "2026-06-06").await.1;
    let id = made["id"].to_string();
    let mut desk = signed_in(&club, "desk").await;
    assert_eq!(desk.post(&format!("/desk/{id}/step"), &[("step", "prepare")]).await.status, 303);
    let item = club.items[0].to_string();
    let page = desk.get(&format!("/desk/{id}?swap={item}")).await;
    assert!(page.text().contains("swap-title"), "{}", page.text());
    let unknown = [("item", item.as_str()), ("tag", "B-99")];
    assert_eq!(desk.post(&format!("/desk/{id}/swap"), &unknown).await.status, 404);
    let swap = [("item", item.as_str()), ("tag", "b-3")];
    let swapped = desk.post(&format!("/desk/{id}/swap"), &swap).await;
    assert_eq!(swapped.status, 303, "{}", swapped.text());
    let path = format!("{RESERVATIONS}/{id}");
    let told = club.get(&club.ines, &path).await.json();
    assert_eq!((told["state"].as_str(), &told["items"][0]), (Some("ready"), &json!(club.items[2])));
    // Its owner can't any more.
    let mut ines = signed_in(&club, "ines").await;
    let back = [("item", club.items[2].to_string()), ("instead", item.clone())];
    let back: Vec<(&str, &str)> =
        back.iter().map(|(name, value)| (*name, value.as_str())).collect();
    assert_eq!(ines.post(&format!("/mine/{id}/swap"), &back).await.status, 409);

    let off = [("from", "2026-07-03"), ("to", "2026-07-05"), ("reason", "summer camp")];
    assert_eq!(desk.post("/desk/rules/off", &off).await.status, 303);
    let page = ines.get("/kits?who=anyone&from=2026-07-03&to=2026-07-05&eyepieces=3").await;
    assert!(page.text().contains("The club lends nothing on"), "{}", page.text());
    assert!(page.text().contains("summer camp") && !page.text().contains("Reserve this kit"));
    let asked = json!({
        "member": club.ines.member, "first_night": "2026-07-04", "last_night": "2026-07-06",
    });
    let found = club.post(&club.ines, "/api/v1/kits/search", Some(asked)).await;
    let way = &found.json()["in_the_way"];
    assert_eq!(way["what"], "closed", "{}", found.text());
    let closed = |night: &str| json!({ "night": night, "reason": "summer camp" });
    assert_eq!(way["closed"], json!([closed("2026-07-04"), closed("2026-07-05")]));
    assert_eq!(club.faults().await, Vec::<String>::new());
}
