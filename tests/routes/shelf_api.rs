//! `/api/v1/telescopes`, `/eyepieces`, `/barlows` and `/filters` as programs meet them.

use axum::body::Body;
use axum::http::{Method, header};
use borrowed_light::people::access::Scope;
use borrowed_light::people::rights::Role;
use borrowed_light::web::secret::Secret;
use serde_json::{Value, json};

use crate::client::{Answer, House, request};

struct Programs {
    house: House,
    keeper: Secret,
    member: Secret,
    reader: Secret,
}

impl Programs {
    async fn new() -> Self {
        let house = House::new().await;
        let keeper = house.account("quartermaster@example.org", &[Role::Quartermaster]).await;
        let member = house.account("member@example.org", &[Role::Member]).await;
        Self {
            keeper: house.token(keeper, Scope::Write).await,
            reader: house.token(keeper, Scope::Read).await,
            member: house.token(member, Scope::Write).await,
            house,
        }
    }

    async fn send(
        &self,
        token: &Secret,
        method: Method,
        path: &str,
        if_match: Option<&str>,
        body: Option<&Value>,
    ) -> Answer {
        let mut asked = request(method, path)
            .header(header::AUTHORIZATION, format!("Bearer {}", token.reveal()));
        if let Some(tag) = if_match {
            asked = asked.header(header::IF_MATCH, tag);
        }
        let body = match body {
            None => Body::empty(),
            Some(body) => {
                asked = asked.header(header::CONTENT_TYPE, "application/json");
                body.to_string().into()
            }
        };
        self.house.send(asked.body(body).unwrap()).await
    }

    async fn get(&self, path: &str) -> Answer {
        self.send(&self.member, Method::GET, path, None, None).await
    }

    async fn post(&self, path: &str, body: &Value) -> Answer {
        self.send(&self.keeper, Method::POST, path, None, Some(body)).await
    }

    async fn put(&self, path: &str, tag: &str, body: &Value) -> Answer {
        self.send(&self.keeper, Method::PUT, path, Some(tag), Some(body)).await
    }

    async fn added(&self, path: &str, body: &Value) -> Value {
        let answer = self.post(path, body).await;
        assert_eq!(answer.status, 201, "{}", answer.text());
        answer.json()
    }

    async fn tags(&self, path: &str) -> Vec<String> {
        let answer = self.get(path).await;
        assert_eq!(answer.status, 200, "{path}: {}", answer.text());
        let list = answer.json();
        let items = list["items"].as_array().unwrap();
        items.iter().map(|item| item["asset_tag"].as_str().unwrap().to_owned()).collect()
    }
}

fn orchard() -> Value {
    json!({
        "asset_tag": "T-1", "name": "The Orchard", "layout": "newtonian", "aperture_mm": 203.2,
        "focal_length_mm": 1219, "focuser_barrel_mm": 31.75, "tracking": false, "helpers": 1
    })
}

fn eyepiece(tag: &str, barrel_mm: f64) -> Value {
    json!({"asset_tag": tag, "name": "wide field", "focal_length_mm": 25, "barrel_mm": barrel_mm})
}

fn pointers(answer: &Answer) -> Vec<String> {
    let errors = answer.json()["errors"].clone();
    let errors = errors.as_array().unwrap();
    errors.iter().map(|fault| fault["pointer"].as_str().unwrap().to_owned()).collect()
}

#[tokio::test]
async fn what_is_added_is_found_where_the_answer_says_and_reads_back_the_same() {
    let programs = Programs::new().await;
    let answer = programs.post("/api/v1/telescopes", &orchard()).await;
    assert_eq!(answer.status, 201, "{}", answer.text());
    assert_eq!(answer.header("etag"), "\"1\"");
    let place = answer.header("location").to_owned();
    let read = programs.get(&place).await;
    assert_eq!((read.status.as_u16(), read.header("etag")), (200, "\"1\""));
    assert_eq!(read.json(), answer.json());
    for (field, value) in orchard().as_object().unwrap() {
        assert_eq!(answer.json()[field].as_f64(), value.as_f64(), "{field}");
        assert!(value.is_number() || answer.json()[field] == *value, "{field}");
    }
    assert_eq!(answer.json()["mount"], Value::Null);
    assert_eq!(answer.json()["state"], "in_service");
}

#[tokio::test]
async fn a_new_item_without_a_tag_gets_the_next_free_one() {
    let programs = Programs::new().await;
    let barlow = json!({"name": "2× Barlow", "factor": 2});
    programs
        .added("/api/v1/barlows", &json!({"asset_tag": "B-08", "name": "x", "factor": 3}))
        .await;
    assert_eq!(programs.added("/api/v1/barlows", &barlow).await["asset_tag"], "B-09");
    assert_eq!(programs.added("/api/v1/barlows", &barlow).await["asset_tag"], "B-10");
    let answer =
        programs.added("/api/v1/eyepieces", &json!({"name": "x", "focal_length_mm": 9})).await;
    assert_eq!(answer["asset_tag"], "E-001");
}

#[tokio::test]
async fn a_change_needs_the_version_it_is_based_on_and_loses_no_other_change() {
    let programs = Programs::new().await;
    let item = programs.added("/api/v1/telescopes", &orchard()).await;
    let path = format!("/api/v1/telescopes/{}", item["id"]);

    let mut changed = item.clone();
    changed["name"] = "The Old Orchard".into();
    let bare = programs.send(&programs.keeper, Method::PUT, &path, None, Some(&changed)).await;
    assert_eq!(bare.status, 428);
    for tag in ["\"7\"", "W/\"1\"", "1", ""] {
        assert_eq!(programs.put(&path, tag, &changed).await.status, 412, "{tag}");
    }
    let answer = programs.put(&path, "\"1\"", &changed).await;
    assert_eq!((answer.status.as_u16(), answer.header("etag")), (200, "\"2\""));
    assert_eq!(answer.json()["name"], "The Old Orchard");
    assert_eq!(programs.put(&path, "\"1\"", &orchard()).await.status, 412);
    assert_eq!(programs.put(&path, "\"2\"", &changed).await.status, 422, "an old version inside");
    assert_eq!(programs.put(&path, "\"9\", \"2\"", &orchard()).await.status, 200);
    assert_eq!(programs.put(&path, "*", &orchard()).await.status, 200);
    assert_eq!(programs.put("/api/v1/telescopes/99", "*", &orchard()).await.status, 404);
    assert_eq!(
        programs.put(&path.replace("telescopes", "eyepieces"), "*", &orchard()).await.status,
        404
    );
}

#[tokio::test]
async fn every_bad_field_is_named_at_once_with_its_pointer() {
    let programs = Programs::new().await;
    let bad = json!({
        "asset_tag": "no blanks", "aperture_mm": "203", "focal_length_mm": -5, "tracking": "yes",
        "helpers": 1.5, "layout": "Newtonian", "colour/paint": "red"
    });
    let answer = programs.post("/api/v1/telescopes", &bad).await;
    assert_eq!(answer.status, 422);
    let mut found = pointers(&answer);
    found.sort_unstable();
    let expected = [
        "/aperture_mm",
        "/asset_tag",
        "/colour~1paint",
        "/focal_length_mm",
        "/helpers",
        "/layout",
        "/name",
        "/tracking",
    ];
    assert_eq!(found, expected);
    let solar = json!({"name": "x", "kind": "solar_full_aperture", "barrel_mm": 31.75});
    assert_eq!(pointers(&programs.post("/api/v1/filters", &solar).await), ["/barrel_mm"]);
    let lost = json!({"name": "x", "kind": "moon", "fits_telescope": "T-404"});
    assert_eq!(pointers(&programs.post("/api/v1/filters", &lost).await), ["/fits_telescope"]);
    assert_eq!(programs.tags("/api/v1/filters").await, Vec::<String>::new());
}

#[tokio::test]
async fn two_items_never_bear_one_tag() {
    let programs = Programs::new().await;
    programs.added("/api/v1/telescopes", &orchard()).await;
    let twin = programs.post("/api/v1/eyepieces", &eyepiece("t-1", 31.75)).await;
    assert_eq!(twin.status, 409, "{}", twin.text());
}

#[tokio::test]
async fn only_the_quartermasters_writing_token_changes_the_shelf() {
    let programs = Programs::new().await;
    for token in [&programs.member, &programs.reader] {
        let answer =
            programs.send(token, Method::POST, "/api/v1/telescopes", None, Some(&orchard())).await;
        assert_eq!(answer.status, 403);
    }
    assert_eq!(programs.tags("/api/v1/telescopes").await, Vec::<String>::new());
}

#[tokio::test]
async fn lists_are_walked_page_by_page_without_gap_or_repeat() {
    let programs = Programs::new().await;
    let mut all = Vec::new();
    for number in 1..=7 {
        let tag = format!("E-{number:03}");
        programs.added("/api/v1/eyepieces", &eyepiece(&tag, 31.75)).await;
        all.push(tag);
    }
    let mut seen = Vec::new();
    let mut path = "/api/v1/eyepieces?limit=3".to_owned();
    loop {
        seen.extend(programs.tags(&path).await);
        let next = programs.get(&path).await.json()["next"].clone();
        let Some(next) = next.as_str() else { break };
        path = format!("/api/v1/eyepieces?limit=3&after={next}");
    }
    assert_eq!(seen, all);
}

#[tokio::test]
async fn lists_answer_words_telescopes_and_nights() {
    let programs = Programs::new().await;
    let scope = programs.added("/api/v1/telescopes", &orchard()).await;
    programs.added("/api/v1/eyepieces", &eyepiece("E-1", 31.75)).await;
    let wide = programs.added("/api/v1/eyepieces", &eyepiece("E-2", 50.8)).await;
    let mut odd = eyepiece("E-3", 24.5);
    odd["notes"] = "crème case, Zoë's \"gift\"".into();
    odd["state"] = "in_repair".into();
    programs.added("/api/v1/eyepieces", &odd).await;

    let list = "/api/v1/eyepieces";
    assert_eq!(programs.tags(&format!("{list}?q=wide")).await, ["E-1", "E-2", "E-3"]);
    assert_eq!(programs.tags(&format!("{list}?q=zoe%20CREM")).await, ["E-3"]);
    assert_eq!(programs.tags(&format!("{list}?q=2inch")).await, ["E-2"]);
    assert_eq!(programs.tags(&format!("{list}?q=reflector")).await, Vec::<String>::new());
    assert_eq!(programs.tags("/api/v1/telescopes?q=8%20inch%20reflector").await, ["T-1"]);
    for nasty in ["%22", "*", "a%22%20OR%20%22b", "%00", "NEAR(", "tag:E"] {
        programs.tags(&format!("{list}?q={nasty}")).await;
    }
    let fits = format!("{list}?fits={}", scope["id"]);
    assert_eq!(programs.tags(&fits).await, ["E-1", "E-3"]);

    // Where nights are asked for, only what can be lent then.
    let free = format!("{list}?free_from=2026-06-05&free_to=2026-06-07");
    assert_eq!(programs.tags(&free).await, ["E-1", "E-2"]);
    let mut tx = programs.house.state.store.write().await.unwrap();
    let id = wide["id"].as_i64().unwrap();
    for sql in [
        "INSERT INTO member (id, member_number, name) VALUES (1, 'M-1', 'Ines Aldous')",
        "INSERT INTO reservation (id, member_id, first_night, last_night, state, created_at)
         VALUES (1, 1, '2026-06-07', '2026-06-07', 'confirmed', 0)",
        "INSERT INTO reservation_item (reservation_id, item_id) VALUES (1, ?1)",
        "INSERT INTO item_night (item_id, night, reservation_id) VALUES (?1, '2026-06-07', 1)",
    ] {
        let statement = sqlx::query(sql);
        let statement = if sql.contains("?1") { statement.bind(id) } else { statement };
        statement.execute(&mut *tx).await.unwrap();
    }
    tx.commit().await.unwrap();
    assert_eq!(programs.tags(&free).await, ["E-1"]);
    assert_eq!(programs.tags(&format!("{list}?free_from=2026-06-06")).await, ["E-1", "E-2"]);
}

#[tokio::test]
async fn what_a_list_cannot_be_asked_is_refused() {
    let programs = Programs::new().await;
    let list = "/api/v1/barlows";
    for (query, status) in [
        ("limit=0", 422),
        ("limit=201", 422),
        ("limit=many", 422),
        ("fits=T-1", 422),
        ("free_from=2026-02-31", 422),
        ("free_from=2026-06-09&free_to=2026-06-05", 422),
        ("after=%20", 422),
        ("colour=red", 400),
    ] {
        let answer = programs.get(&format!("{list}?{query}")).await;
        assert_eq!(answer.status, status, "{query}: {}", answer.text());
    }
}
