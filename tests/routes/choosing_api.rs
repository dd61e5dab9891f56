//! `/api/v1/views/evaluate` and `/api/v1/kits/solve` as a program meets them.

use axum::body::Body;
use axum::http::{Method, header};
use borrowed_light::kit::{Proof, Settings, Solver, Wanted};
use borrowed_light::people::access::Scope;
use borrowed_light::people::token;
use borrowed_light::web::secret::Secret;
use serde_json::{Value, json};

use crate::bodies;
use crate::client::{Answer, House, request};
use crate::shelves::{OwnShelf, Rolls, question};

const EVALUATE: &str = "/api/v1/views/evaluate";
const SOLVE: &str = "/api/v1/kits/solve";

/// A house and a member's program that asks it.
struct Program {
    house: House,
    token: Secret,
}

impl Program {
    async fn new() -> Self {
        let house = House::new().await;
        let token = Secret::random().unwrap();
        let mut tx = house.state.store.write().await.unwrap();
        let account: i64 = sqlx::query_scalar(
            "INSERT INTO account (name, email, created_at) VALUES ('A', 'a@club.example', 0)
             RETURNING id",
        )
        .fetch_one(&mut *tx)
        .await
        .unwrap();
        sqlx::query("INSERT INTO account_role (account_id, role) VALUES (?1, 'member')")
            .bind(account)
            .execute(&mut *tx)
            .await
            .unwrap();
        token::add(&mut tx, &house.state.clock, account, "script", &token, Scope::Read)
            .await
            .unwrap();
        tx.commit().await.unwrap();
        Self { house, token }
    }

    async fn post(&self, path: &str, kind: &str, body: Body) -> Answer {
        let asked = request(Method::POST, path)
            .header(header::AUTHORIZATION, format!("Bearer {}", self.token.reveal()))
            .header(header::CONTENT_TYPE, kind)
            .body(body)
            .unwrap();
        self.house.send(asked).await
    }

    async fn ask(&self, path: &str, body: &Value) -> Answer {
        self.post(path, "application/json", body.to_string().into()).await
    }
}

fn case() -> Value {
    json!({
        "telescope": {"aperture_mm": 203.2, "focal_length_mm": 1219},
        "eyepiece": {"focal_length_mm": 25, "apparent_field_deg": 52},
        "barlow": null
    })
}

fn pieces() -> Value {
    json!({
        "observer": {"age_years": 40, "glasses": "none"},
        "telescopes": [{"id": "t", "aperture_mm": 203.2, "focal_length_mm": 1219}],
        "eyepieces": [
            {"id": 1, "focal_length_mm": 25, "apparent_field_deg": 52, "eye_relief_mm": 18},
            {"id": 2, "focal_length_mm": 10, "apparent_field_deg": 52, "eye_relief_mm": 14}
        ],
        "barlows": []
    })
}

fn pointers(answer: &Answer) -> Vec<String> {
    assert_eq!(answer.header("content-type"), "application/problem+json");
    let document = answer.json();
    assert_eq!(document["status"], json!(answer.status.as_u16()));
    for fault in document["errors"].as_array().unwrap() {
        assert!(fault["detail"].as_str().is_some_and(|detail| !detail.is_empty()));
    }
    let errors = document["errors"].as_array().unwrap().iter();
    errors.map(|fault| fault["pointer"].as_str().unwrap().to_owned()).collect()
}

/// Geometry as in any handbook: 1219 / 25 and 52 / 48.76; the drift by the sidereal day of
/// 86,164.0905 s.
#[tokio::test]
async fn a_view_is_judged() {
    let program = Program::new().await;
    let body = json!({"observer": {"birth_year": 1961, "glasses": "none"}, "cases": [case()]});
    let answer = program.ask(EVALUATE, &body).await;
    assert_eq!(answer.status, 200, "{}", answer.text());
    assert_eq!(answer.header("content-type"), "application/json");
    let view = &answer.json()["views"][0];
    let close = |field: &str, expected: f64, error: f64| {
        assert!((view[field].as_f64().unwrap() - expected).abs() < error, "{field}: {view}");
    };
    close("magnification", 48.76, 1e-9);
    close("exit_pupil_mm", 4.16735, 5e-6);
    close("true_field_deg", 1.06645, 5e-6);
    close("drift_time_s", 255.2487, 5e-5);
    // Born in 1961, and it is 2026: 65 years, by Watson & Yellott 2012, equation 21.
    let typical = view["eye_pupil_mm"]["typical"].as_f64().unwrap();
    assert!((typical - 5.75845).abs() < 5e-6, "the club's own calendar says how old one is");
    assert_eq!(view["reasons"].as_array().unwrap().len(), 9);
}

#[tokio::test]
async fn kits_are_those_of_the_core_with_its_proof() {
    let program = Program::new().await;
    for seed in 0..6 {
        let shelf = OwnShelf::club(60, seed);
        let asking = question(&mut Rolls::new(seed + 1));
        let wanted = Wanted { max_eyepieces: 4, barlow: true, limit: 3 };
        let body = bodies::body(shelf.view(), &asking, wanted);
        let answer = program.ask(SOLVE, &body).await;
        assert_eq!(answer.status, 200, "{}", answer.text());
        let answer = answer.json();
        assert_eq!(answer["proven_optimal"], json!(true));
        let settings = Settings::default();
        let core = Solver::new(shelf.view(), &asking, &settings).solve(wanted, 1, &|| false);
        assert_eq!(core.proof, Proof::Optimal);
        let values: Vec<f64> = core.kits.iter().map(|kit| kit.value).collect();
        let told = answer["kits"].as_array().unwrap().iter();
        let told: Vec<f64> = told.map(|kit| kit["value"].as_f64().unwrap()).collect();
        assert_eq!(told, values, "seed {seed}");
    }
}

#[tokio::test]
async fn a_matrix_comes_along_when_it_is_asked_for() {
    let program = Program::new().await;
    let mut body = pieces();
    body["explain"] = json!("matrix");
    let answer = program.ask(SOLVE, &body).await.json();
    let matrix = &answer["matrix"];
    let purposes = matrix["purposes"].as_array().unwrap().len();
    assert!(purposes > 4);
    assert!(matrix["costs"]["t"].is_number() && matrix["costs"]["1"].is_number());
    for view in matrix["telescopes"][0]["views"].as_array().unwrap() {
        assert_eq!(view["worth"].as_array().unwrap().len(), purposes);
    }
    assert!(program.ask(SOLVE, &pieces()).await.json().get("matrix").is_none());
}

#[tokio::test]
async fn every_fault_is_answered_with_its_place() {
    let program = Program::new().await;
    let mut body = pieces();
    body["telescopes"][0]["aperture_mm"] = json!(8);
    body["eyepieces"][1]["focal_length_mm"] = json!("NaN");
    body["eyepieces"][0]["colour"] = json!("blue");
    body["observer"]["age_years"] = json!(-1);
    let answer = program.ask(SOLVE, &body).await;
    assert_eq!(answer.status, 422);
    let mut places = pointers(&answer);
    places.sort();
    assert_eq!(
        places,
        [
            "/eyepieces/0/colour",
            "/eyepieces/1/focal_length_mm",
            "/observer/age_years",
            "/telescopes/0/aperture_mm"
        ]
    );
    assert!(answer.text().contains("8 inches is 203.2 mm: is that what you meant?"));

    let mut case = case();
    case["eyepiece"]["focal_length_mm"] = json!(3000);
    case["telescope"].as_object_mut().unwrap().remove("focal_length_mm");
    let answer = program.ask(EVALUATE, &json!({"observer": {}, "cases": [case]})).await;
    assert_eq!(answer.status, 422);
    let mut places = pointers(&answer);
    places.sort();
    assert_eq!(places, ["/cases/0/eyepiece/focal_length_mm", "/cases/0/telescope/focal_length_mm"]);
}

#[tokio::test]
async fn what_is_not_json_is_refused() {
    let program = Program::new().await;
    for path in [EVALUATE, SOLVE] {
        for body in ["", "{", "{\"observer\": NaN}", "\u{feff}{}", "[1,]"] {
            let answer = program.post(path, "application/json", body.into()).await;
            assert_eq!(answer.status, 400, "{body:?}");
            assert_eq!(answer.header("content-type"), "application/problem+json");
        }
        let too_large = r#"{"observer": {"age_years": 1e999}}"#;
        let answer = program.post(path, "application/json", too_large.into()).await;
        assert_eq!(answer.status, 422);
        assert_eq!(pointers(&answer), ["/observer/age_years"]);
        let form = program.post(path, "application/x-www-form-urlencoded", "{}".into()).await;
        assert_eq!(form.status, 415);
    }
}

#[tokio::test]
async fn fifty_megabytes_are_refused() {
    let program = Program::new().await;
    for path in [EVALUATE, SOLVE] {
        let whole = vec![b' '; 50 << 20];
        let answer = program.post(path, "application/json", whole.into()).await;
        assert_eq!(answer.status, 413);
        assert_eq!(answer.header("content-type"), "application/problem+json");
    }
}

#[tokio::test]
async fn ten_thousand_pieces_are_answered_or_refused_in_words() {
    let program = Program::new().await;
    let eyepieces = |focal_length: f64| -> Value {
        (0..10_000)
            .map(|id| json!({"id": id, "focal_length_mm": focal_length, "eye_relief_mm": 18}))
            .collect()
    };
    let mut body = pieces();
    body["eyepieces"] = eyepieces(20.0);
    let answer = program.ask(SOLVE, &body).await;
    assert_eq!(answer.status, 200, "{}", answer.text());
    assert_eq!(answer.json()["kits"].as_array().unwrap().len(), 1);
    body["eyepieces"] = eyepieces(0.0);
    let answer = program.ask(SOLVE, &body).await;
    assert_eq!(answer.status, 422);
    assert_eq!(pointers(&answer).len(), 100);
    assert!(answer.json()["detail"].as_str().unwrap().starts_with("10000 values"));
}

#[tokio::test]
async fn the_description_holds_together() {
    let program = Program::new().await;
    let asked = request(Method::GET, "/api/v1/openapi.json")
        .header(header::AUTHORIZATION, format!("Bearer {}", program.token.reveal()))
        .body(Body::empty())
        .unwrap();
    let document = program.house.send(asked).await.json();
    assert!(document["openapi"].as_str().unwrap().starts_with("3.1"));
    for (path, asks, answers) in
        [(EVALUATE, "EvaluateRequest", "ViewsAnswer"), (SOLVE, "SolveRequest", "KitsAnswer")]
    {
        let post = &document["paths"][path]["post"];
        let schema = |content: &Value| content["application/json"]["schema"]["$ref"].clone();
        let named = |name: &str| json!(format!("#/components/schemas/{name}"));
        assert_eq!(schema(&post["requestBody"]["content"]), named(asks));
        assert_eq!(schema(&post["responses"]["200"]["content"]), named(answers));
    }
    let mut references = Vec::new();
    collect_references(&document, &mut references);
    assert!(references.len() > 10);
    for reference in references {
        let pointer = reference.strip_prefix('#').unwrap();
        assert!(document.pointer(pointer).is_some(), "{reference} leads nowhere");
    }
}

fn collect_references(value: &Value, into: &mut Vec<String>) {
    match value {
        Value::Object(fields) => {
            for (name, value) in fields {
                match value.as_str() {
                    Some(text) if name == "$ref" => into.push(text.to_owned()),
                    _ => collect_references(value, into),
                }
            }
        }
        Value::Array(items) => items.iter().for_each(|item| collect_references(item, into)),
        _ => {}
    }
}
