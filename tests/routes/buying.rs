//! What to buy next, through the front door.

use axum::body::Body;
use axum::http::{Method, header};
use borrowed_light::buying::worker;
use borrowed_light::people::access::Scope;
use borrowed_light::people::rights::Role;
use borrowed_light::web::secret::Secret;
use serde_json::{Value, json};

use crate::browser::Browser;
use crate::client::{House, PASSWORD, request};

const HEADER: &str = "name,piece,price,condition,most,focal_length_mm,apparent_field_deg,field_stop_mm,eye_relief_mm,barrel_mm,optical_class,mass_g,factor,kind";

/// A club with one telescope, one short eyepiece, three members and a quartermaster.
struct Shop {
    house: House,
    keeper: Secret,
}

impl Shop {
    async fn new() -> Self {
        let house = House::new().await;
        let keeper = house.account("keeper@example.org", &[Role::Quartermaster]).await;
        let keeper = house.token(keeper, Scope::Write).await;
        for name in ["ines", "noor", "per"] {
            house.member(name, &format!("{name}@example.org"), &[Role::Member]).await;
        }
        let shop = Self { house, keeper };
        let scope = json!({"asset_tag": "T-1", "name": "Orchard", "layout": "newtonian",
            "aperture_mm": 203, "focal_length_mm": 1200, "central_obstruction_mm": 52,
            "focuser_barrel_mm": 50.8});
        shop.post("/api/v1/telescopes", scope, 201).await;
        let short = json!({"asset_tag": "E-1", "name": "10 mm", "focal_length_mm": 10,
            "apparent_field_deg": 50, "eye_relief_mm": 7, "barrel_mm": 31.75});
        shop.post("/api/v1/eyepieces", short.clone(), 201).await;
        shop
    }

    async fn post(&self, path: &str, body: Value, status: u16) -> Value {
        let asked = request(Method::POST, path)
            .header(header::AUTHORIZATION, format!("Bearer {}", self.keeper.reveal()))
            .header(header::CONTENT_TYPE, "application/json");
        let answer = self.house.send(asked.body(Body::from(body.to_string())).unwrap()).await;
        assert_eq!(answer.status, status, "{path}: {}", answer.text());
        answer.json()
    }

    async fn get(&self, path: &str) -> Value {
        let asked = request(Method::GET, path)
            .header(header::AUTHORIZATION, format!("Bearer {}", self.keeper.reveal()));
        let answer = self.house.send(asked.body(Body::empty()).unwrap()).await;
        assert_eq!(answer.status, 200, "{path}: {}", answer.text());
        answer.json()
    }

    async fn browser(&self) -> Browser<'_> {
        let mut browser = Browser::new(&self.house);
        browser.sign_in("keeper@example.org", PASSWORD).await;
        browser
    }

    async fn work(&self) {
        worker::all_waiting(&self.house.state.store, &self.house.state.clock).await;
    }
}

fn long(name: &str, price_cents: i64, focal_length_mm: f64) -> Value {
    json!({"name": name, "piece": "eyepiece", "price_cents": price_cents,
        "focal_length_mm": focal_length_mm, "apparent_field_deg": 65, "eye_relief_mm": 20,
        "barrel_mm": 31.75, "optical_class": "wide_field"})
}

#[tokio::test]
async fn a_report_chooses_proves_and_can_be_read_in_every_form() {
    let shop = Shop::new().await;
    shop.post("/api/v1/candidates", long("24 mm, long relief", 10_000, 24.0), 201).await;
    shop.post("/api/v1/candidates", long("8 mm, long relief", 9_000, 8.0), 201).await;
    let asked = shop.post("/api/v1/purchases", json!({"budget_cents": 20_000}), 202).await;
    assert_eq!(asked["state"], "waiting");
    let twice = shop.post("/api/v1/purchases", json!({"budget_cents": 20_000}), 202).await;
    assert_eq!(twice["id"], asked["id"], "what is open already is not asked twice");
    let path = format!("/api/v1/purchases/{}", asked["id"]);
    let mut browser = shop.browser().await;
    let page = browser.get(&format!("/buying/reports/{}", asked["id"])).await;
    assert!(page.text().contains("<progress") && page.text().contains("Look again"));

    shop.work().await;
    let made = shop.get(&path).await;
    assert_eq!(made["state"], "done", "{made}");
    let report = &made["report"];
    assert_eq!(report["gaining_classes"], json!([]), "classes of eyes are told to nobody");
    let points = report["points"].as_array().unwrap();
    let best = points.last().unwrap();
    assert_eq!(best["buy"].as_array().unwrap().len(), 2, "{best}");
    assert_eq!(best["spent_cents"], 19_000);
    assert_eq!(best["proven_optimal"], true);
    assert!(points.windows(2).all(|pair| pair[0]["value"].as_f64() <= pair[1]["value"].as_f64()));
    assert!(best["value"].as_f64() > report["today"].as_f64());
    let minutes = made["minutes"].as_str().unwrap();
    assert!(minutes.contains("No other choice among the 2 candidates"), "{minutes}");

    let page = browser.get(&format!("/buying/reports/{}", asked["id"])).await;
    assert_eq!(page.status, 200);
    assert!(page.text().contains("24 mm, long relief"), "{}", page.text());
    let file = browser.get(&format!("/buying/reports/{}/table.csv", asked["id"])).await;
    assert!(file.text().starts_with("budget,spent,value"), "{}", file.text());
    let paper = browser.get(&format!("/buying/reports/{}/paper.pdf", asked["id"])).await;
    assert_eq!(paper.header("content-type"), "application/pdf");
    assert!(browser.get("/buying").await.text().contains("Read the report"));
}

#[tokio::test]
async fn what_is_stopped_stays_stopped_and_what_is_not_ready_is_not_there() {
    let shop = Shop::new().await;
    let asked = shop.post("/api/v1/purchases", json!({"budget_cents": 1_000}), 202).await;
    let mut browser = shop.browser().await;
    let path = format!("/buying/reports/{}", asked["id"]);
    assert_eq!(browser.get(&format!("{path}/paper.pdf")).await.status, 404);
    assert_eq!(browser.post(&format!("{path}/cancel"), &[]).await.status, 303);
    shop.work().await;
    assert!(browser.get(&path).await.text().contains("Somebody stopped it."));
    let stands = shop.get(&format!("/api/v1/purchases/{}", asked["id"])).await;
    assert_eq!(stands["state"], "cancelled");
    assert_eq!(browser.get("/buying/reports/99").await.status, 404);
    let much = browser.post("/buying/reports", &[("budget", "much")]).await;
    assert_eq!(much.status, 422);
    assert!(much.text().contains("value=\"much\""), "what was typed stays");
}

#[tokio::test]
async fn candidates_are_typed_taken_in_after_a_look_and_taken_off() {
    let shop = Shop::new().await;
    let mut browser = shop.browser().await;
    let wrong = [("name", "7 mm <b>"), ("piece", "eyepiece"), ("price", "cheap")];
    let refused = browser.post("/buying/candidates", &wrong).await;
    assert_eq!(refused.status, 422);
    assert!(refused.text().contains("value=\"cheap\"") && refused.text().contains("#price"));
    let right =
        [("name", "7 mm"), ("piece", "eyepiece"), ("price", "119,50"), ("focal_length_mm", "7")];
    assert_eq!(browser.post("/buying/candidates", &right).await.status, 303);
    assert!(browser.get("/buying/candidates").await.text().contains("119.50"));

    let table = format!(
        "{HEADER}\n7 mm,eyepiece,100,used,,7,,,20,,,,,\n2×,barlow,60,,,,,,,31.75,,,2,plain\n"
    );
    let path = "/buying/candidates/table";
    let look = browser.post(path, &[("table", &table)]).await;
    assert_eq!(look.status, 200);
    assert!(look.text().contains("Add 1, change 1"), "{}", look.text());
    for told in ["Condition: nothing becomes used", "Kind of Barlow: plain"] {
        assert!(look.text().contains(told), "{told} is not in {}", look.text());
    }
    assert_eq!(shop.get("/api/v1/candidates").await["candidates"].as_array().unwrap().len(), 1);
    let mark = look.text().split("name=\"seen\" value=\"").nth(1).unwrap();
    let mark = mark.split('"').next().unwrap().to_owned();
    // Another mass alone is another table than the one that was looked at.
    let other = table.replace("31.75,,,2,plain", "31.75,,150,2,plain");
    let unseen = browser.post(path, &[("table", &other), ("seen", &mark)]).await;
    assert_eq!(unseen.status, 200);
    assert!(unseen.text().contains("The list has changed since you looked."));
    let done = browser.post(path, &[("table", &table), ("seen", &mark)]).await;
    assert_eq!(done.status, 303);
    let kept = shop.get("/api/v1/candidates").await;
    assert_eq!(kept["candidates"][0]["price_cents"], 10_000);
    assert_eq!(kept["candidates"][1]["factor"], 2.0);
    let mut corrector =
        json!({"name": "Corrector", "piece": "corrector", "price_cents": 11_000, "factor": 1.1});
    let asked = request(Method::POST, "/api/v1/candidates")
        .header(header::AUTHORIZATION, format!("Bearer {}", shop.keeper.reveal()))
        .header(header::CONTENT_TYPE, "application/json");
    let asked = asked.body(Body::from(corrector.to_string())).unwrap();
    let refused = shop.house.send(asked).await;
    assert_eq!(refused.status, 422, "it fits nowhere without a width");
    assert_eq!(refused.json()["errors"][0]["pointer"], "/barrel_mm");
    corrector["barrel_mm"] = json!(50.8);
    let put = shop.post("/api/v1/candidates", corrector, 201).await;
    let list = browser.get("/buying/candidates").await;
    assert!(list.text().contains("1.1× coma corrector"), "{}", list.text());
    let off = format!("/buying/candidates/{}/remove", put["id"]);
    assert_eq!(browser.post(&off, &[]).await.status, 303);
    let bad = browser.post(path, &[("table", "name,piece\nx,y\n")]).await;
    assert_eq!(bad.status, 422);
    let id = &kept["candidates"][0]["id"];
    let off = browser.post(&format!("/buying/candidates/{id}/remove"), &[]).await;
    assert_eq!(off.status, 303);
    assert_eq!(shop.get("/api/v1/candidates").await["candidates"].as_array().unwrap().len(), 1);
}

#[tokio::test]
async fn a_corrector_is_bought_where_it_helps_most_and_one_of_the_clubs_counts() {
    let shop = Shop::new().await;
    let fast = json!({"asset_tag": "T-2", "name": "Wide one", "layout": "newtonian",
        "aperture_mm": 254, "focal_length_mm": 1016, "central_obstruction_mm": 70,
        "focuser_barrel_mm": 50.8});
    shop.post("/api/v1/telescopes", fast, 201).await;
    for (tag, mm) in [("E-2", 25), ("E-3", 14), ("E-4", 6)] {
        let wide = json!({"asset_tag": tag, "name": format!("{mm} mm, wide"),
            "focal_length_mm": mm, "apparent_field_deg": 70, "eye_relief_mm": 20,
            "barrel_mm": 31.75, "optical_class": "wide_field"});
        shop.post("/api/v1/eyepieces", wide, 201).await;
    }
    let offer = json!({"name": "Corrector", "piece": "corrector", "price_cents": 10_000,
        "factor": 1.1, "barrel_mm": 50.8, "mass_g": 380});
    shop.post("/api/v1/candidates", offer, 201).await;
    let asked = shop.post("/api/v1/purchases", json!({"budget_cents": 10_000}), 202).await;
    shop.work().await;
    let path = format!("/api/v1/purchases/{}", asked["id"]);
    let before = shop.get(&path).await["report"].clone();
    let best = before["points"].as_array().unwrap().last().unwrap().clone();
    assert_eq!(best["buy"][0]["name"], "Corrector", "{best}");
    assert_eq!(best["proven_optimal"], true);

    let owned = json!({"asset_tag": "A-1", "name": "Corrector", "kind": "coma_corrector",
        "factor": 1.1, "barrel_mm": 50.8, "mass_g": 380});
    shop.post("/api/v1/accessories", owned, 201).await;
    let asked = shop.post("/api/v1/purchases", json!({"budget_cents": 10_000}), 202).await;
    shop.work().await;
    let after = shop.get(&format!("/api/v1/purchases/{}", asked["id"])).await["report"].clone();
    let (had, has) = (before["today"].as_f64().unwrap(), after["today"].as_f64().unwrap());
    assert!(has > had, "a corrector in store serves today: {had} and {has}");
    assert!((has - best["value"].as_f64().unwrap()).abs() < 1e-12, "as much as one bought");
    let mut browser = shop.browser().await;
    let put = browser.post("/buying/sales", &[("tag", "A-1"), ("price", "40")]).await;
    assert_eq!(put.status, 303, "a corrector can be sold too");
}

#[tokio::test]
async fn a_piece_for_sale_is_sold_where_that_pays_for_something_better() {
    let shop = Shop::new().await;
    let mut browser = shop.browser().await;
    let wrong = browser.post("/buying/sales", &[("tag", "T-1"), ("price", "10")]).await;
    assert_eq!(wrong.status, 422, "a telescope is not sold here");
    let put = browser.post("/buying/sales", &[("tag", "E-1"), ("price", "40")]).await;
    assert_eq!(put.status, 303);
    shop.post("/api/v1/candidates", long("12 mm, long relief", 4_000, 12.0), 201).await;
    let asked = shop.post("/api/v1/purchases", json!({"budget_cents": 0}), 202).await;
    shop.work().await;
    let made = shop.get(&format!("/api/v1/purchases/{}", asked["id"])).await;
    let best = made["report"]["points"].as_array().unwrap().last().unwrap().clone();
    assert_eq!(best["sell"][0]["tag"], "E-1", "{best}");
    assert_eq!(best["buy"][0]["name"], "12 mm, long relief");
    assert_eq!(best["spent_cents"], 0);
}

#[tokio::test]
async fn the_stateless_choice_names_every_fault_and_buys_the_better_piece() {
    let shop = Shop::new().await;
    let eyepiece = |id: &str, mm: f64, relief: f64| {
        json!({"id": id, "focal_length_mm": mm, "apparent_field_deg": 60, "eye_relief_mm": relief,
            "barrel_mm": 31.75})
    };
    let mut body = json!({
        "observers": [{"age_years": 60, "glasses": "keeps_on"}],
        "telescopes": [{"id": "t", "aperture_mm": 203, "focal_length_mm": 1200}],
        "eyepieces": [eyepiece("a", 25.0, 20.0), eyepiece("b", 8.0, 20.0), eyepiece("c", 8.0, 6.0)],
        "offers": [{"id": "b", "price": 90}, {"id": "c", "price": 20}],
        "budget": 100
    });
    let chosen = shop.post("/api/v1/purchases/solve", body.clone(), 200).await;
    assert_eq!(chosen["buy"], json!(["b"]), "{chosen}");
    assert_eq!(chosen["proven_optimal"], true);
    assert!(chosen["value"].as_f64() > chosen["value_before"].as_f64());
    body["offers"] = json!([{"id": "x", "price": 1.5}, {"id": "b", "price": 1}]);
    body["budget"] = json!(-1);
    let refused = shop.post("/api/v1/purchases/solve", body, 422).await;
    let pointers: Vec<&str> = refused["errors"]
        .as_array()
        .unwrap()
        .iter()
        .filter_map(|e| e["pointer"].as_str())
        .collect();
    assert_eq!(pointers, ["/offers/0/price", "/budget"], "{refused}");
}

#[tokio::test]
async fn a_member_sees_their_own_page_and_nothing_of_the_clubs() {
    let shop = Shop::new().await;
    let mut browser = Browser::new(&shop.house);
    browser.sign_in("ines@example.org", PASSWORD).await;
    let page = browser.get("/buying/mine").await;
    assert_eq!(page.status, 200);
    assert!(page.text().contains("Add a telescope"), "{}", page.text());
    for path in ["/buying", "/buying/candidates", "/buying/reports/1"] {
        assert_eq!(browser.get(path).await.status, 403, "{path}");
    }
}
