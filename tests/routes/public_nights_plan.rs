//! A public night's plan: chosen, printed, and looked back on.

use axum::http::Method;
use serde_json::{Value, json};

use crate::public_nights_club::Club;

const GET: Method = Method::GET;
const PUT: Method = Method::PUT;
const POST: Method = Method::POST;

#[tokio::test]
async fn a_plan_is_chosen_from_what_is_free_and_helpers_can_run_and_is_told_with_its_reasons() {
    let club = Club::new().await;
    let (id, path) = club.night(&Club::evening()).await;
    let planned = club.lead(POST, &format!("{path}/plan"), &json!({})).await;
    assert_eq!(planned.status, 409);
    assert!(planned.text().contains("Add helpers first"), "{}", planned.text());
    let helpers = |one: &[&str], two: &[&str]| {
        let ids = |tags: &[&str]| tags.iter().map(|tag| club.id(tag)).collect::<Vec<_>>();
        json!({"helpers": [
            {"number": 1, "first_name": "Wren", "may_run": ids(one)},
            {"number": 2, "first_name": "Tove", "may_run": ids(two)},
        ], "stations": []})
    };
    let put = async |body: Value| {
        let answer = club.lead(PUT, &format!("{path}/plan"), &body).await;
        assert_eq!(answer.status, 200, "{}", answer.text());
    };
    put(helpers(&["T-1", "T-3"], &["T-3"])).await;
    // Somebody else has one eyepiece on that night.
    let wish = json!({"items": [club.id("E-1")], "first_night": "2026-12-18", "last_night": "2026-12-18", "member": 2});
    assert_eq!(club.desk(POST, "/api/v1/reservations", &wish).await.status, 201);
    let planned = club.lead(POST, &format!("{path}/plan"), &json!({})).await;
    assert_eq!(planned.status, 200, "{}", planned.text());
    let planned = planned.json();
    let stations = planned["plan"]["stations"].as_array().unwrap();
    assert_eq!(stations.len(), 2, "{planned}");
    for station in stations {
        let (scope, helper) =
            (station["telescope"].as_i64().unwrap(), station["helper"].as_i64().unwrap());
        // T-3 is the only one that the second helper can run, so the first one gets T-1.
        assert_eq!(
            (scope, helper),
            if helper == 1 { (club.id("T-1"), 1) } else { (club.id("T-3"), 2) }
        );
        assert_ne!(station["eyepiece"], club.id("E-1"), "somebody else has it");
        assert!(station["targets"].as_array().unwrap().iter().any(|target| !target.is_null()));
        assert!(!station["targets"].to_string().contains("sun"));
        assert!(station["why"].to_string().contains("can run it"), "{station}");
    }
    assert!(planned["told"].to_string().contains("proven"), "{planned}");
    assert!(
        planned["told"]
            .to_string()
            .contains("At home, because nobody on the list can run it: T-2."),
        "{planned}"
    );
    let mut lead = club.browser("lead@example.org").await;
    let page = lead.get(&format!("/public-nights/{id}")).await.text().to_owned();
    assert!(page.contains("One more station would") && page.contains("look once each"), "{page}");
    let old = [("version", "1")];
    assert_eq!(lead.post(&format!("/public-nights/{id}/plan"), &old).await.status, 409);
    let now = page
        .split("name=\"version\" value=\"")
        .nth(1)
        .unwrap()
        .split('"')
        .next()
        .unwrap()
        .to_owned();
    let again = lead.post(&format!("/public-nights/{id}/plan"), &[("version", &*now)]).await;
    assert_eq!(again.status, 303, "{}", again.text());
}

#[tokio::test]
async fn the_sun_is_planned_only_for_telescopes_with_their_filters_and_finders_capped() {
    let club = Club::new().await;
    let (_, path) = club.night(&Club::fair()).await;
    let all = ["T-1", "T-2", "T-3"].map(|tag| club.id(tag));
    let helpers = json!({"helpers": [
        {"number": 1, "first_name": "Wren", "may_run": all},
        {"number": 2, "first_name": "Tove", "may_run": all},
    ], "stations": []});
    assert_eq!(club.lead(PUT, &format!("{path}/plan"), &helpers).await.status, 200);
    let open = club.lead(POST, &format!("{path}/plan"), &json!({})).await;
    assert_eq!(open.status, 409);
    assert!(open.text().contains("neither capped nor removed"), "{}", open.text());
    let planned = club.lead(POST, &format!("{path}/plan"), &json!({"finders_capped": true})).await;
    assert_eq!(planned.status, 200, "{}", planned.text());
    let planned = planned.json();
    let stations = planned["plan"]["stations"].as_array().unwrap();
    assert_eq!(stations.len(), 2, "{planned}");
    for station in stations {
        let own = [("T-1", "F-1"), ("T-2", "F-2")].iter().any(|(scope, filter)| {
            station["telescope"] == club.id(scope) && station["filter"] == club.id(filter)
        });
        assert!(own, "{station}");
        assert_eq!(station["targets"], json!(vec!["sun"; 8]), "the Sun is up all the while");
    }
    // With one filter damaged its telescope stays at home; with both there is nothing to plan.
    for (tag, scope, left) in [("F-1", "T-1", 1), ("F-2", "T-2", 0)] {
        let damaged = Club::with(Club::filter(tag, scope), "damaged", true);
        let filter = format!("/api/v1/filters/{}", club.id(tag));
        assert_eq!(club.desk(PUT, &filter, &damaged).await.status, 200);
        let planned =
            club.lead(POST, &format!("{path}/plan"), &json!({"finders_capped": true})).await;
        if left == 0 {
            assert_eq!(planned.status, 409);
            assert!(planned.text().contains("No telescope is free"), "{}", planned.text());
        } else {
            let stations = planned.json()["plan"]["stations"].as_array().unwrap().len();
            assert_eq!(stations, left, "{}", planned.text());
        }
    }
}

#[tokio::test]
async fn run_sheet_cards_packing_list_and_inspection_are_printed_from_the_plan() {
    let club = Club::new().await;
    let (id, path) = club.night(&Club::fair()).await;
    let plan = Club::plan(&[club.sunny()]);
    assert_eq!(club.lead(PUT, &format!("{path}/plan"), &plan).await.status, 200);
    let mut lead = club.browser("lead@example.org").await;
    let mut print = async |what: &str| {
        let page = lead.get(&format!("/public-nights/{id}/{what}")).await;
        assert_eq!(page.status, 200, "{what}");
        page.text().to_owned()
    };
    let run = print("run-sheet").await;
    assert!(run.contains("11:30") && run.contains("Wren") && run.contains("The Sun"));
    let cards = print("cards").await;
    assert!(
        cards.contains("dark spots")
            && cards.contains("million km")
            && cards.contains("magnified 19×"),
        "{cards}"
    );
    assert!(!cards.contains("Wren"), "visitors read the cards");
    let packing = print("packing?vehicles=1").await;
    assert!(
        packing.contains("T-1") && packing.contains("F-1") && packing.contains("inspection list")
    );
    let inspection = print("inspection").await;
    assert!(inspection.contains("F-1, light test of Saturday 18 April 2026"));
    assert!(inspection.contains("Wren") && inspection.contains("Never leave the telescope alone"));
    // While the gate is shut they say so, and nothing else.
    let damaged = Club::with(Club::filter("F-1", "T-1"), "damaged", true);
    let filter = format!("/api/v1/filters/{}", club.id("F-1"));
    assert_eq!(club.desk(PUT, &filter, &damaged).await.status, 200);
    for what in ["run-sheet", "cards", "packing", "inspection"] {
        let page = print(what).await;
        assert!(page.contains("This plan must not be used"), "{what}");
        assert!(
            !page.contains("dark spots") && !page.contains("<strong>The Sun</strong>"),
            "{what}"
        );
    }
    let mut member = club.browser("ines@example.org").await;
    assert_eq!(member.get(&format!("/public-nights/{id}/run-sheet")).await.status, 403);
}

#[tokio::test]
async fn where_nothing_shows_in_the_hours_the_way_leads_to_other_hours() {
    let club = Club::new().await;
    let morning = Club::with(Club::with(Club::evening(), "starts", "09:00"), "ends", "10:00");
    let (id, path) = club.night(&morning).await;
    let runs = json!({"helpers": [
        {"number": 1, "first_name": "Wren", "may_run": [club.id("T-1")]},
    ], "stations": []});
    assert_eq!(club.lead(PUT, &format!("{path}/plan"), &runs).await.status, 200);
    let mut lead = club.browser("lead@example.org").await;
    let refused = lead.post(&format!("/public-nights/{id}/plan"), &[("version", "2")]).await;
    assert_eq!(refused.status, 409);
    assert!(refused.text().contains("Nothing stands high enough in these hours"));
    let way = format!("href=\"/public-nights/{id}/edit\">Other hours");
    assert!(refused.text().contains(&way), "{}", refused.text());
}

#[tokio::test]
async fn what_broke_waits_for_an_inspection_and_the_counts_say_something_about_the_next() {
    let club = Club::new().await;
    let (id, path) = club.night(&Club::evening()).await;
    let station = |number: i64, scope: &str| json!({"number": number, "telescope": club.id(scope), "targets": ["moon"]});
    let plan = Club::plan(&[station(1, "T-1"), station(2, "T-2"), station(3, "T-3")]);
    assert_eq!(club.lead(PUT, &format!("{path}/plan"), &plan).await.status, 200);
    let mut lead = club.browser("lead@example.org").await;
    let address = format!("/public-nights/{id}/afterwards");
    let wrong = lead.post(&address, &[("wait", "long"), ("worked", "<b>the Moon</b>")]).await;
    assert_eq!(wrong.status, 422);
    assert!(
        wrong.text().contains("value=\"long\"") && wrong.text().contains("&#60;b&#62;the Moon")
    );
    let broke = format!("broke-{}", club.id("T-2"));
    let noted = [
        ("visitors", "150"),
        ("wait", "30"),
        ("looks-1", "150"),
        ("looks-2", "90"),
        ("looks-3", "20"),
        ("worked", "The Moon."),
        (&*broke, "The focuser slips."),
    ];
    assert_eq!(lead.post(&address, &noted).await.status, 303);
    let page = lead.get(&address).await.text().to_owned();
    assert!(page.contains("150 came where 90 were expected"), "{page}");
    assert!(
        page.contains("needs six stations")
            && page.contains("Station 3 was looked through 20 times")
    );
    let scope =
        club.desk(GET, &format!("/api/v1/telescopes/{}", club.id("T-2")), &Value::Null).await;
    assert_eq!(scope.json()["state"], "needs_inspection", "{}", scope.text());
    // Sent again, nothing is noted twice.
    assert_eq!(lead.post(&address, &noted).await.status, 303);
    let piece = club.browser("desk@example.org").await.get("/shelf/T-2").await.text().to_owned();
    assert_eq!(piece.matches("The focuser slips.").count(), 1, "{piece}");
}
