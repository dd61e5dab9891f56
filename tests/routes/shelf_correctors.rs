//! Coma correctors take part: a telescope with one is another telescope, and one of the two is chosen.

use serde_json::{Value, json};

use crate::browser::Browser;
use crate::client::PASSWORD;
use crate::lending_api::Club;

/// A fast reflector with two wide eyepieces, and whatever correctors are given.
async fn club_with(correctors: &[Value]) -> (Club, i64, Vec<i64>) {
    let club = Club::new().await;
    let make = async |kind: &str, body: Value| {
        let made = club.post(&club.desk, &format!("/api/v1/{kind}"), Some(body)).await;
        assert_eq!(made.status, 201, "{}", made.text());
        made.json()["id"].as_i64().unwrap()
    };
    let scope = json!({
        "asset_tag": "T-1", "name": "Big Russet", "layout": "newtonian", "aperture_mm": 254,
        "focal_length_mm": 1200, "central_obstruction_mm": 60, "focuser_barrel_mm": 50.8,
    });
    let scope = make("telescopes", scope).await;
    for (tag, focal, field) in [("E-1", 22.0, 82.0), ("E-2", 9.0, 82.0)] {
        let glass = json!({
            "asset_tag": tag, "name": format!("{focal} mm"), "focal_length_mm": focal,
            "apparent_field_deg": field, "eye_relief_mm": 18, "barrel_mm": 50.8,
            "optical_class": "wide_field", "mass_g": 500,
        });
        make("eyepieces", glass).await;
    }
    let mut made = Vec::new();
    for one in correctors {
        made.push(make("accessories", one.clone()).await);
    }
    (club, scope, made)
}

fn corrector(tag: &str, factor: f64, barrel: f64) -> Value {
    json!({
        "asset_tag": tag, "name": "Coma corrector", "kind": "coma_corrector", "factor": factor,
        "barrel_mm": barrel, "mass_g": 430,
    })
}

async fn search(club: &Club) -> Value {
    let body = json!({
        "observer": {"age_years": 40, "glasses": "none"}, "first_night": "2026-06-05",
        "last_night": "2026-06-07", "explain": "matrix",
    });
    let found = club.post(&club.noor, "/api/v1/kits/search", Some(body)).await;
    assert_eq!(found.status, 200, "{}", found.text());
    found.json()
}

#[tokio::test]
async fn a_corrector_that_clears_the_field_is_in_the_kit_and_changes_its_powers() {
    let (bare, ..) = club_with(&[]).await;
    let plain = search(&bare).await;
    let (club, scope, made) = club_with(&[corrector("A-1", 1.15, 50.8)]).await;
    let found = search(&club).await;
    assert_eq!(found["kits"].as_array().unwrap().len(), 1, "one kit for one telescope: {found}");
    let (before, kit) = (&plain["kits"][0], &found["kits"][0]);
    assert_eq!((&kit["telescope"], &kit["corrector"]), (&json!(scope), &json!(made[0])), "{kit}");
    assert!(before.get("corrector").is_none());
    assert!(kit["value"].as_f64() > before["value"].as_f64(), "it was worth taking along");
    // M = F·k / f with F 1200 mm, k 1.15.
    let powers: Vec<f64> = kit["views"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|view| view["barlow"].is_null())
        .map(|view| view["magnification"].as_f64().unwrap())
        .collect();
    for power in &powers {
        let fits = [22.0, 9.0].iter().any(|focal| (power - 1380.0 / focal).abs() < 1e-9);
        assert!(fits, "{powers:?}");
    }
    let without = kit["alternatives"].as_array().unwrap().iter();
    let without = without.clone().find(|one| one["difference"] == "no_corrector").unwrap();
    assert!(without.get("corrector").is_none());
    assert!(without["value"].as_f64() < kit["value"].as_f64());
    assert_eq!(without["value"], before["value"]);
    assert!(found["items"].to_string().contains("A-1"), "{}", found["items"]);
    // The written problem has the telescope twice, and the corrector's own price.
    let matrix = &found["matrix"];
    assert_eq!(matrix["telescopes"].as_array().unwrap().len(), 2);
    assert_eq!(matrix["telescopes"][1]["corrector"], json!(made[0]));
    assert!(matrix["costs"][made[0].to_string()].as_f64().unwrap() > 0.0, "{}", matrix["costs"]);

    let mut noor = Browser::new(&club.house);
    noor.sign_in("noor@example.org", PASSWORD).await;
    let page = noor.get("/kits?who=anyone&from=2026-06-05&to=2026-06-07").await;
    let page = page.text().replace('\u{a0}', " ");
    assert!(
        page.contains("Big Russet with a coma corrector, one eyepiece and a 2× Barlow"),
        "{page}"
    );
    assert!(page.contains("makes it 1380 mm, f/5.4, without coma"), "{page}");
    let items = format!("items={scope},{}", made[0]);
    assert!(page.contains(&items) || page.contains(&items.replace(',', "%2C")), "{page}");
    let page = noor.get(&format!("/telescopes/{scope}")).await.text().to_owned();
    assert!(page.contains("With A-1") && page.contains("without coma"), "{page}");
}

#[tokio::test]
async fn a_corrector_that_is_promised_or_does_not_fit_is_in_no_kit() {
    let (club, _, made) = club_with(&[corrector("A-1", 1.15, 50.8)]).await;
    let wish = json!({"items": [made[0]], "first_night": "2026-06-06", "last_night": "2026-06-06"});
    let taken = club.post(&club.ines, "/api/v1/reservations", Some(wish)).await;
    assert_eq!(taken.status, 201, "{}", taken.text());
    assert!(search(&club).await["kits"][0].get("corrector").is_none());

    let lacking = json!({
        "asset_tag": "A-2", "name": "No factor", "kind": "coma_corrector", "barrel_mm": 50.8,
    });
    let (club, ..) = club_with(&[lacking]).await;
    assert!(search(&club).await["kits"][0].get("corrector").is_none(), "nobody knows its factor");
}

#[tokio::test]
async fn whoever_sends_a_shelf_of_their_own_may_send_correctors_with_it() {
    let club = Club::new().await;
    let body = |correctors: Value, explain: &str| {
        let eyepiece = |focal: f64| {
            json!({
                "id": focal.to_string(), "focal_length_mm": focal, "apparent_field_deg": 82,
                "eye_relief_mm": 18, "barrel_mm": 50.8, "optical_class": "wide_field", "mass_g": 500,
            })
        };
        let eyepieces = [22.0, 9.0].map(eyepiece);
        json!({
            "observer": {"age_years": 40, "glasses": "none"},
            "telescopes": [{
                "id": "T", "layout": "newtonian", "aperture_mm": 254, "focal_length_mm": 1200,
                "central_obstruction_mm": 60, "focuser_barrel_mm": 50.8,
            }],
            "eyepieces": eyepieces,
            "correctors": correctors, "max_eyepieces": 2, "explain": explain,
        })
    };
    let solve = async |body: Value| {
        let found = club.post(&club.noor, "/api/v1/kits/solve", Some(body)).await;
        assert_eq!(found.status, 200, "{}", found.text());
        found.json()
    };
    let plain = solve(body(json!([]), "matrix")).await;
    let one = json!([{"id": "C", "factor": 1.15, "barrel_mm": 50.8, "mass_g": 430}]);
    let found = solve(body(one, "matrix")).await;
    let (before, kit) = (&plain["kits"][0], &found["kits"][0]);
    assert!(before.get("corrector").is_none() && kit["corrector"] == "C", "{kit}");
    assert!(kit["value"].as_f64() > before["value"].as_f64());
    // Every kit of the written problem, one by one: none is worth more, and the best one is the answer.
    let matrix = &found["matrix"];
    let cost = |id: &Value| matrix["costs"][id.as_str().unwrap()].as_f64().unwrap();
    let mut best = f64::MIN;
    for telescope in matrix["telescopes"].as_array().unwrap() {
        for taken in [vec!["22"], vec!["9"], vec!["22", "9"]] {
            let mut value = -cost(&telescope["id"]);
            value -= telescope.get("corrector").filter(|id| !id.is_null()).map_or(0.0, cost);
            value -= taken.iter().map(|id| cost(&json!(id))).sum::<f64>();
            for (at, purpose) in matrix["purposes"].as_array().unwrap().iter().enumerate() {
                let views = telescope["views"].as_array().unwrap().iter();
                let mine = views.filter(|view| taken.contains(&view["eyepiece"].as_str().unwrap()));
                let worth =
                    mine.map(|view| view["worth"][at].as_f64().unwrap()).fold(0.0, f64::max);
                value += purpose["weight"].as_f64().unwrap() * worth;
            }
            best = best.max(value);
        }
    }
    assert!((best - kit["value"].as_f64().unwrap()).abs() < 1e-9, "{best} {}", kit["value"]);
    let refused = body(json!([{"id": "C", "factor": 9}]), "reasons");
    assert_eq!(club.post(&club.noor, "/api/v1/kits/solve", Some(refused)).await.status, 422);
}
