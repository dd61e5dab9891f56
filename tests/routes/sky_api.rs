//! `/api/v1/sky/positions` and `/api/v1/sky/night` as a program meets them.

use axum::body::Body;
use axum::http::{Method, header};
use borrowed_light::demo;
use borrowed_light::people::access::Scope;
use borrowed_light::people::rights::Role;
use borrowed_light::web::secret::Secret;
use serde_json::{Value, json};

use crate::client::{Answer, House, request};

const POSITIONS: &str = "/api/v1/sky/positions";
const NIGHT: &str = "/api/v1/sky/night";

struct Program {
    house: House,
    token: Secret,
}

impl Program {
    async fn new() -> Self {
        let house = House::new().await;
        let account = house.account("script@club.example", &[Role::Member]).await;
        let token = house.token(account, Scope::Read).await;
        Self { house, token }
    }

    async fn ask(&self, path: &str, body: &Value) -> Answer {
        let asked = request(Method::POST, path)
            .header(header::AUTHORIZATION, format!("Bearer {}", self.token.reveal()))
            .header(header::CONTENT_TYPE, "application/json")
            .body(Body::from(body.to_string()))
            .unwrap();
        self.house.send(asked).await
    }
}

fn limerick() -> Value {
    json!({"latitude_deg": 52.66, "longitude_deg": -8.63, "height_m": 60, "time_zone": "Europe/Dublin"})
}

fn pointers(answer: &Answer) -> Vec<String> {
    let errors = answer.json()["errors"].as_array().unwrap().clone();
    errors.iter().map(|one| one["pointer"].as_str().unwrap().to_owned()).collect()
}

#[tokio::test]
async fn positions_come_instant_by_instant_in_the_order_of_the_bodies() {
    let program = Program::new().await;
    let asked = json!({
        "site": limerick(),
        "instants": ["2026-10-10T21:00:00Z", "2026-10-11T00:00:00+01:00"],
        "bodies": ["sun", "Saturn", "m31", "Albireo"]
    });
    let answer = program.ask(POSITIONS, &asked).await;
    assert_eq!(answer.status, 200, "{}", answer.text());
    let positions = answer.json()["positions"].as_array().unwrap().clone();
    let names: Vec<&str> = positions.iter().map(|one| one["body"].as_str().unwrap()).collect();
    assert_eq!(names, ["sun", "Saturn", "m31", "Albireo"].repeat(2));
    assert_eq!(positions[4]["instant"], "2026-10-11T00:00:00+01:00");
    assert!(positions[0]["altitude_deg"].as_f64().unwrap() < -18.0);
    assert_eq!(positions[0]["illuminated_fraction"], Value::Null);
    assert!(positions[0]["reasons"]["illuminated_fraction"].is_string());
    assert!(positions[1]["magnitude"].as_f64().unwrap() < 1.5);
    // M 31 at J2000 stands at 10.685°, +41.269°; precession since then moves it by 0.37° and 0.15°.
    assert!((positions[2]["ra_deg"].as_f64().unwrap() - 11.05).abs() < 0.03);
    assert!((positions[2]["dec_deg"].as_f64().unwrap() - 41.416).abs() < 0.03);
    assert!(positions[3]["reasons"]["diameter_arcsec"].is_string());
}

#[tokio::test]
async fn every_field_of_a_position_that_cannot_be_used_has_its_pointer() {
    let program = Program::new().await;
    let asked = json!({
        "site": {"latitude_deg": 91, "longitude_deg": 200, "height_m": 0},
        "instants": ["2026-10-10T21:00:00Z"],
        "bodies": []
    });
    let answer = program.ask(POSITIONS, &asked).await;
    assert_eq!(answer.status, 422);
    assert_eq!(pointers(&answer), ["/site/latitude_deg", "/site/longitude_deg", "/bodies"]);
    let asked = json!({
        "site": {"latitude_deg": 0, "longitude_deg": 0},
        "instants": ["yesterday", "1780-01-01T00:00:00Z"],
        "bodies": ["vulcan"]
    });
    let answer = program.ask(POSITIONS, &asked).await;
    assert_eq!(pointers(&answer), ["/instants/0", "/instants/1", "/bodies/0"]);
    let crowd = json!({
        "site": {"latitude_deg": 0, "longitude_deg": 0},
        "instants": vec!["2026-10-10T21:00:00Z"; 200],
        "bodies": vec!["moon"; 51]
    });
    assert_eq!(program.ask(POSITIONS, &crowd).await.status, 422);
}

#[tokio::test]
async fn a_night_has_its_twilights_in_order_and_the_best_things_first() {
    let program = Program::new().await;
    let answer = program.ask(NIGHT, &json!({"site": limerick(), "night": "2026-10-10"})).await;
    assert_eq!(answer.status, 200, "{}", answer.text());
    let night = answer.json();
    let sun = &night["sun"];
    let order = [
        "set",
        "civil_dusk",
        "nautical_dusk",
        "astronomical_dusk",
        "astronomical_dawn",
        "nautical_dawn",
        "civil_dawn",
        "rise",
    ];
    let times: Vec<&str> = order.iter().map(|name| sun[*name].as_str().unwrap()).collect();
    assert!(times.is_sorted(), "{times:?}");
    // By hand: solar noon 13:21.6 Irish summer time (8.63° west, equation of time +12.9 min), and
    // cos H = (sin −0.833° − sin 52.66° sin −6.9°)/(cos 52.66° cos −6.9°) gives 5 h 29.1 min.
    assert!(times[0].starts_with("2026-10-10T18:5"), "{}", times[0]);
    assert_eq!(night["dark_windows"].as_array().unwrap().len(), 1);
    let objects = night["objects"].as_array().unwrap();
    assert_eq!(objects.len(), 100);
    assert!(objects[0]["rank"].as_u64().unwrap() == 3, "{}", objects[0]);
    assert!(objects.iter().all(|one| one["name"] != "the Sun"));
}

#[tokio::test]
async fn what_does_not_happen_in_a_night_is_null_with_its_reason() {
    let program = Program::new().await;
    let north = json!({"latitude_deg": 70, "longitude_deg": 19, "time_zone": "Europe/Oslo"});
    let answer = program.ask(NIGHT, &json!({"site": north, "night": "2026-06-20"})).await;
    let night = answer.json();
    assert_eq!(night["sun"]["set"], Value::Null);
    assert!(night["sun"]["reasons"]["set"].as_str().unwrap().contains("stays higher"));
    assert_eq!(night["dark_windows"], json!([]));
    assert!(night["no_dark_window"].as_str().unwrap().contains("18°"));
    assert_eq!(night["objects"], json!([]));
}

#[tokio::test]
async fn every_field_of_a_night_that_cannot_be_used_has_its_pointer() {
    let program = Program::new().await;
    let nowhere = json!({"latitude_deg": 0, "longitude_deg": 0, "time_zone": "Mars/Olympus"});
    let asked = json!({"site": nowhere, "night": "soon", "limit": -1});
    let answer = program.ask(NIGHT, &asked).await;
    assert_eq!(pointers(&answer), ["/site/time_zone", "/night", "/limit"]);
    let answer = program
        .ask(
            NIGHT,
            &json!({"site": {"latitude_deg": 0, "longitude_deg": 0}, "night": "2026-10-10"}),
        )
        .await;
    assert_eq!(pointers(&answer), ["/site/time_zone"]);
    let samoa =
        json!({"latitude_deg": -13.8, "longitude_deg": -171.8, "time_zone": "Pacific/Apia"});
    let answer = program.ask(NIGHT, &json!({"site": samoa, "night": "2011-12-30"})).await;
    assert!(answer.json()["detail"].as_str().unwrap().contains("left out of the calendar"));
}

#[tokio::test]
async fn the_clocks_going_back_neither_doubles_nor_loses_a_night() {
    let program = Program::new().await;
    // Summer time ends in Ireland on 2026-10-25 at 02:00.
    let answer =
        program.ask(NIGHT, &json!({"site": limerick(), "night": "2026-10-24", "limit": 0})).await;
    let night = answer.json();
    assert!(night["sun"]["set"].as_str().unwrap().ends_with("+01:00"));
    assert!(night["sun"]["rise"].as_str().unwrap().ends_with("+00:00"), "{night}");
    assert!(night["sun"]["rise"].as_str().unwrap().starts_with("2026-10-25T07:"));
}

#[tokio::test]
async fn kits_are_chosen_for_the_sky_over_the_clubs_site_and_say_what_that_changed() {
    let house = House::new().await;
    let people = demo::fill(&house.state.store, &house.state.clock).await.unwrap();
    let token = people[0].token.clone();
    let ask = async |first: &str, last: &str| {
        let body = json!({
            "observer": {"age_years": 40, "glasses": "none"},
            "first_night": first, "last_night": last, "limit": 1
        });
        let asked = request(Method::POST, "/api/v1/kits/search")
            .header(header::AUTHORIZATION, format!("Bearer {token}"))
            .header(header::CONTENT_TYPE, "application/json")
            .body(Body::from(body.to_string()))
            .unwrap();
        let answer = house.send(asked).await;
        assert_eq!(answer.status, 200, "{}", answer.text());
        answer.json()
    };
    // New Moon on 10 October 2026, full on the 26th.
    let (dark, moonlit) =
        (ask("2026-10-09", "2026-10-11").await, ask("2026-10-24", "2026-10-26").await);
    for answer in [&dark, &moonlit] {
        assert_eq!(answer["sky"]["site"], "Windmill Hill");
        let purposes = answer["sky"]["purposes"].as_array().unwrap();
        let sum: f64 = purposes.iter().map(|one| one["weight"].as_f64().unwrap()).sum();
        assert!((sum - 1.0).abs() < 1e-9, "{sum}");
        assert!(answer["sky"]["changed"].as_array().unwrap().len() >= 2);
    }
    let moon = |answer: &Value| {
        let purposes = answer["sky"]["purposes"].as_array().unwrap().clone();
        purposes.iter().any(|one| one["id"] == "moon-craters")
    };
    assert!(moon(&moonlit) && !moon(&dark));
    assert!(dark["sky"]["nights"][0]["dark_hours"].as_f64().unwrap() > 8.0);
    assert!(moonlit["sky"]["nights"][2]["dark_hours"].as_f64().unwrap() < 1.0);
}
