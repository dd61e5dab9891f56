//! The Sun gets into no plan without filters, whichever door somebody tries. Each attempt is
//! printed with what it got (`--nocapture` shows it).

use axum::http::Method;
use serde_json::{Value, json};

use crate::public_nights_club::Club;

const GET: Method = Method::GET;
const PUT: Method = Method::PUT;
const POST: Method = Method::POST;

fn told(door: &str, status: impl std::fmt::Display, says: &str) {
    println!("{door:<58} {status}  {says}");
}

async fn plan_of(club: &Club, path: &str) -> Value {
    club.lead(GET, path, &Value::Null).await.json()
}

#[tokio::test]
async fn a_station_with_its_own_sound_filter_a_capped_finder_and_an_attendant_shows_the_sun() {
    let club = Club::new().await;
    let (id, path) = club.night(&Club::fair()).await;
    let plan = Club::plan(&[club.sunny()]);
    let kept = club.lead(PUT, &format!("{path}/plan"), &plan).await;
    assert_eq!(kept.status, 200, "{}", kept.text());
    let kept = kept.json();
    assert_eq!(kept["in_the_sun"], true);
    assert_eq!(kept["shut"], json!([]));
    assert_eq!(kept["plan"]["stations"][0]["targets"][0], "sun");
    let page = club.browser("lead@example.org").await.get(&format!("/public-nights/{id}")).await;
    assert!(page.text().contains("The Sun"), "the page shows the plan");
    let reserved = club.lead(POST, &format!("{path}/reserve"), &Value::Null).await;
    assert_eq!(reserved.status, 200, "{}", reserved.text());
    let reservation = reserved.json()["reservation"].as_i64().unwrap();
    let kept = club.desk(GET, &format!("/api/v1/reservations/{reservation}"), &Value::Null).await;
    assert_eq!(kept.json()["daylight"], true, "the loan goes through the gate at the desk too");
    // By day it touches two nights: the one that ends on that morning and the one to come.
    assert_eq!(kept.json()["first_night"], "2026-06-19");
    assert_eq!(kept.json()["last_night"], "2026-06-20");
}

#[tokio::test]
async fn a_program_gets_no_telescope_into_the_sun_without_all_that_it_asks_for() {
    let club = Club::new().await;
    let (_, day) = club.night(&Club::fair()).await;
    let (_, evening) = club.night(&Club::evening()).await;
    let sunny = || club.sunny();
    let with = |field: &str, value: Value| Club::with(sunny(), field, value);
    let second = |field: &str, value: Value| {
        let mut other = json!({
            "number": 2, "telescope": club.id("T-2"), "eyepiece": club.id("E-2"),
            "filter": club.id("F-2"), "helper": 2, "finder": "removed", "targets": [],
        });
        other[field] = value;
        other
    };
    let attempts: Vec<(&str, &str, Vec<Value>, &str)> = vec![
        ("the Sun in an evening", &evening, vec![sunny()], "not an event for the Sun"),
        (
            "the Sun in an evening, no filter",
            &evening,
            vec![with("filter", Value::Null)],
            "not an event for the Sun",
        ),
        (
            "by day without a filter",
            &day,
            vec![with("filter", Value::Null)],
            "no front filter of its own",
        ),
        (
            "by day without filter and without the Sun",
            &day,
            vec![Club::with(with("filter", Value::Null), "targets", json!(["moon"]))],
            "no front filter of its own",
        ),
        (
            "another telescope's filter",
            &day,
            vec![with("filter", json!(club.id("F-2")))],
            "recorded as fitting it",
        ),
        (
            "one filter for two telescopes",
            &day,
            vec![sunny(), second("filter", json!(club.id("F-1")))],
            "can't be in two places",
        ),
        (
            "one attendant for two telescopes",
            &day,
            vec![sunny(), second("helper", json!(1))],
            "Nobody can attend two stations",
        ),
        (
            "a second telescope without filter, shows nothing",
            &day,
            vec![sunny(), second("filter", Value::Null)],
            "no front filter of its own",
        ),
        ("an open finder", &day, vec![with("finder", json!("open"))], "neither capped nor removed"),
        ("no attendant", &day, vec![with("helper", Value::Null)], "Nobody is named who attends"),
        (
            "an attendant who is on no list",
            &day,
            vec![with("helper", json!(9))],
            "not on this night's list",
        ),
        (
            "an eyepiece as the filter",
            &day,
            vec![with("filter", json!(club.id("E-3")))],
            "no filter on the shelf",
        ),
        (
            "a telescope that has no filter at all",
            &day,
            vec![with("telescope", json!(club.id("T-3")))],
            "recorded as fitting it",
        ),
    ];
    for (door, path, stations, says) in attempts {
        let answer = club.lead(PUT, &format!("{path}/plan"), &Club::plan(&stations)).await;
        told(&format!("program, {door}"), answer.status, answer.json()["detail"].as_str().unwrap());
        assert_eq!(answer.status, 409, "{door}: {}", answer.text());
        assert!(answer.text().contains(says), "{door}: {}", answer.text());
        let kept = plan_of(&club, path).await;
        assert_eq!(kept["plan"]["stations"], json!([]), "{door}: nothing was stored");
    }
    for word in ["Sun", "SUN", "the Sun", " sun "] {
        let plan = Club::plan(&[Club::with(club.sunny(), "targets", json!([word]))]);
        let answer = club.lead(PUT, &format!("{evening}/plan"), &plan).await;
        told(&format!("program, spelt “{word}” in an evening"), answer.status, "");
        assert_eq!(answer.status, 409, "{word}");
    }
    // At night the same telescope needs none of it.
    let plan = Club::plan(&[
        json!({"number": 1, "telescope": club.id("T-3"), "targets": ["moon", "M 42"]}),
    ]);
    assert_eq!(club.lead(PUT, &format!("{evening}/plan"), &plan).await.status, 200);
}

#[tokio::test]
async fn a_filter_that_is_no_longer_sound_takes_the_plan_with_it() {
    let club = Club::new().await;
    let (id, path) = club.night(&Club::fair()).await;
    let plan = Club::plan(&[club.sunny()]);
    assert_eq!(club.lead(PUT, &format!("{path}/plan"), &plan).await.status, 200);
    let filter = format!("/api/v1/filters/{}", club.id("F-1"));
    let with = |field: &str, value: Value| Club::with(Club::filter("F-1", "T-1"), field, value);
    for (what, body) in [
        ("damaged", with("damaged", json!(true))),
        ("tested too long ago", with("last_light_test", json!("2025-06-01"))),
        ("never tested", with("last_light_test", Value::Null)),
        ("in repair", with("state", json!("in_repair"))),
        ("made for another telescope", with("fits_telescope", json!("T-2"))),
        ("too wide for the tube", with("fits_outer_diameter_min_mm", json!(99))),
    ] {
        let put = club.desk(PUT, &filter, &body).await;
        assert_eq!(put.status, 200, "{what}: {}", put.text());
        let kept = plan_of(&club, &path).await;
        told(&format!("filter {what}, plan read again"), 200, kept["shut"][0].as_str().unwrap());
        assert_eq!(kept["shut"].as_array().unwrap().len(), 1, "{what}: {kept}");
        assert_eq!(kept["plan"]["stations"][0]["targets"], json!([]), "{what}: no target is told");
        let mut lead = club.browser("lead@example.org").await;
        let page = lead.get(&format!("/public-nights/{id}")).await;
        assert!(page.text().contains("This plan must not be used"), "{what}");
        let list = lead.get("/public-nights").await;
        assert!(list.text().contains("Not safe before the Sun as it stands"), "{what}");
        assert!(
            !page.text().contains("<strong>The Sun</strong>"),
            "{what}: the page shows no target"
        );
        for (step, body) in [("state", json!({"state": "announced"})), ("reserve", Value::Null)] {
            let answer = club.lead(POST, &format!("{path}/{step}"), &body).await;
            told(&format!("filter {what}, {step}"), answer.status, "");
            assert_eq!(answer.status, 409, "{what}, {step}: {}", answer.text());
        }
        let sound = Club::filter("F-1", "T-1");
        assert_eq!(club.desk(PUT, &filter, &sound).await.status, 200);
        assert_eq!(plan_of(&club, &path).await["shut"], json!([]), "{what}: sound again");
        let list = lead.get("/public-nights").await;
        assert!(list.text().contains("one station"), "{}", list.text());
        assert!(!list.text().contains("Not safe before the Sun"), "{what}: sound again");
    }
}

#[tokio::test]
async fn no_changed_date_time_site_or_purpose_carries_a_plan_into_the_sun() {
    let club = Club::new().await;
    let (id, path) = club.night(&Club::evening()).await;
    let plan = Club::plan(&[
        json!({"number": 1, "telescope": club.id("T-3"), "helper": 1, "targets": ["moon"]}),
    ]);
    assert_eq!(club.lead(PUT, &format!("{path}/plan"), &plan).await.status, 200);
    let with = |field: &str, value: Value| Club::with(Club::evening(), field, value);
    let moved = [
        ("earlier, the Sun still up", with("starts", json!("15:00"))),
        ("twilight creep: half an hour before sunset", with("starts", json!("15:30"))),
        ("minutes after sunset, within the margin", with("starts", json!("15:58"))),
        ("until after sunrise", Club::with(with("starts", json!("23:00")), "ends", json!("09:00"))),
        ("the same hours in June", with("date", json!("2026-06-18"))),
        (
            "the other side of the Earth",
            Club::with(with("site", json!(2)), "starts", json!("17:00")),
        ),
        ("now for the Sun", with("purpose", json!("solar"))),
        (
            "by day in a hall",
            Club::with(with("starts", json!("13:00")), "setting", json!("indoors")),
        ),
    ];
    for (door, body) in moved {
        let answer = club.lead(PUT, &path, &body).await;
        told(
            &format!("program, {door}"),
            answer.status,
            answer.json()["detail"].as_str().unwrap_or(""),
        );
        assert_eq!(answer.status, 409, "{door}: {}", answer.text());
        assert!(answer.text().contains("no front filter of its own"), "{door}");
        assert_eq!(plan_of(&club, &path).await["starts"], "18:00", "{door}: nothing was changed");
    }
    // The same by hand, on the form; what was typed stays.
    let mut lead = club.browser("lead@example.org").await;
    let version = lead.get(&format!("/public-nights/{id}/edit")).await.text().to_owned();
    let version = version.split("name=\"version\" value=\"").nth(1).unwrap();
    let version = version.split('"').next().unwrap().to_owned();
    let mut typed = vec![
        ("name", "Moon over the school"),
        ("date", "2026-12-18"),
        ("starts", "14:05"),
        ("ends", "20:15"),
        ("site", "1"),
        ("visitors", "90"),
        ("stations", "2"),
        ("version", &version),
    ];
    let refused = lead.post(&format!("/public-nights/{id}/edit"), &typed).await;
    told("form, earlier", refused.status, "");
    assert_eq!(refused.status, 409);
    assert!(
        refused.text().contains("value=\"14:05\"") && refused.text().contains("Put the plan away")
    );
    // With the plan put away the date may change.
    typed.push(("put_away", "yes"));
    assert_eq!(lead.post(&format!("/public-nights/{id}/edit"), &typed).await.status, 303);
    assert_eq!(plan_of(&club, &path).await["plan"]["stations"], json!([]));
}

#[tokio::test]
async fn no_hand_on_stations_helpers_or_sites_gets_round_the_gate() {
    let club = Club::new().await;
    let (fair, day) = club.night(&Club::fair()).await;
    assert_eq!(
        club.lead(PUT, &format!("{day}/plan"), &Club::plan(&[club.sunny()])).await.status,
        200
    );
    let (dusk, evening) = club.night(&Club::evening()).await;
    let plan =
        Club::plan(&[json!({"number": 1, "telescope": club.id("T-3"), "targets": ["moon"]})]);
    assert_eq!(club.lead(PUT, &format!("{evening}/plan"), &plan).await.status, 200);
    let version = async |path: &str| {
        let kept = club.lead(GET, path, &Value::Null).await;
        let etag = kept.header("etag").trim_matches('"').to_owned();
        etag.split('.').nth(1).unwrap().to_owned()
    };
    let mut lead = club.browser("lead@example.org").await;
    let (scope, bare) = (club.id("T-1").to_string(), club.id("T-3").to_string());
    let (now, later) = (version(&day).await, version(&evening).await);
    let by_hand = [
        (
            "by hand, the filter taken off",
            fair,
            "1",
            vec![
                ("telescope", &*scope),
                ("helper", "1"),
                ("finder", "capped"),
                ("slot-0", "sun"),
                ("version", &now),
            ],
        ),
        (
            "by hand, one more telescope without filter",
            fair,
            "new",
            vec![("telescope", &*bare), ("helper", "2"), ("finder", "capped"), ("version", &now)],
        ),
        (
            "by hand, the Sun in an evening",
            dusk,
            "1",
            vec![("telescope", &*bare), ("slot-0", "sun"), ("version", &later)],
        ),
    ];
    for (door, id, station, fields) in by_hand {
        let answer = lead.post(&format!("/public-nights/{id}/stations/{station}"), &fields).await;
        told(door, answer.status, "");
        assert_eq!(answer.status, 409, "{door}");
        assert!(answer.text().contains("Nothing was saved"), "{door}");
    }
    let off = [("remove", "yes"), ("version", &*now)];
    let answer = lead.post(&format!("/public-nights/{fair}/helpers/1"), &off).await;
    told("the attendant taken off the list", answer.status, "");
    assert_eq!(answer.status, 409);
    assert!(answer.text().contains("Nobody is named who attends"));
    // The place itself is moved to where the Sun is up, or taken away.
    let mut keeper = club.browser("desk@example.org").await;
    let far = [
        ("name", "Long Meadow"),
        ("latitude", "-37.0"),
        ("longitude", "175.0"),
        ("time_zone", "Pacific/Auckland"),
        ("sky_brightness", "21.6"),
        ("version", "1"),
    ];
    let answer = keeper.post("/sites/1", &far).await;
    told("the site moved", answer.status, "");
    assert_eq!(answer.status, 409);
    assert!(answer.text().contains("would stand in the Sun"), "{}", answer.text());
    let answer = keeper.post("/sites/1/remove", &[]).await;
    told("the site removed", answer.status, "");
    assert_eq!(answer.status, 409);
    // A member prepares nothing.
    let mut member = club.browser("ines@example.org").await;
    let answer =
        member.post(&format!("/public-nights/{dusk}/stations/1"), &[("slot-0", "sun")]).await;
    assert_eq!(answer.status, 403);
    let answer = club.member(PUT, &format!("{evening}/plan"), &plan).await;
    assert_eq!(answer.status, 403);
}

#[tokio::test]
async fn the_database_itself_refuses_the_sun_without_a_filter() {
    let club = Club::new().await;
    let (fair, day) = club.night(&Club::fair()).await;
    let (dusk, evening) = club.night(&Club::evening()).await;
    let plan = Club::plan(&[club.sunny()]);
    assert_eq!(club.lead(PUT, &format!("{day}/plan"), &plan).await.status, 200);
    let bare =
        Club::plan(&[json!({"number": 1, "telescope": club.id("T-1"), "filter": club.id("F-1")})]);
    assert_eq!(club.lead(PUT, &format!("{evening}/plan"), &bare).await.status, 200);
    let mut tx = club.house.state.store.write().await.unwrap();
    let statements = [
        format!("INSERT INTO public_night_aim VALUES ({dusk}, 1, 0, 'sun')"),
        format!("INSERT INTO public_night_aim VALUES ({dusk}, 1, 0, 'Sun')"),
        format!("UPDATE public_night_aim SET target = 'sun' WHERE night_id = {fair}"),
        format!("DELETE FROM public_night_piece WHERE night_id = {fair} AND part = 'filter'"),
        format!("UPDATE public_night SET kind = 'evening' WHERE id = {fair}"),
    ];
    for statement in statements {
        let done = sqlx::query(sqlx::AssertSqlSafe(statement.clone())).execute(&mut *tx).await;
        told(&statement, if done.is_ok() { "done" } else { "refused" }, "");
        assert!(done.is_err(), "{statement}");
    }
    // The same statement for the Moon is taken, so it is the Sun that is refused.
    let moon = format!("INSERT INTO public_night_aim VALUES ({dusk}, 1, 0, 'moon')");
    sqlx::query(sqlx::AssertSqlSafe(moon)).execute(&mut *tx).await.unwrap();
}
