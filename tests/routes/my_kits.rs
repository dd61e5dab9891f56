//! Kits for a member: with what they own, and without telling others of their eyes.

use axum::body::Body;
use axum::http::{Method, header};
use borrowed_light::app::table;
use borrowed_light::demo::{self, Access};
use borrowed_light::people::access::Access as Gate;
use serde_json::{Value, json};

use crate::browser::Browser;
use crate::client::{Answer, House, request};

/// The demo club and its ready sign-ins.
async fn club() -> (House, Vec<Access>) {
    let house = House::new().await;
    let people = demo::fill(&house.state.store, &house.state.clock).await.unwrap();
    (house, people)
}

fn of_role<'a>(people: &'a [Access], role: &str) -> &'a Access {
    people.iter().find(|one| one.role == role).unwrap()
}

async fn signed_in<'a>(house: &'a House, one: &Access) -> Browser<'a> {
    let mut browser = Browser::new(house);
    browser.sign_in(&one.email, &one.password).await;
    browser
}

async fn search(house: &House, caller: &Access, member: i64, more: &[(&str, Value)]) -> Answer {
    let mut body = json!({
        "member": member, "first_night": "2026-06-05", "last_night": "2026-06-07", "limit": 30
    });
    for (name, value) in more {
        body[*name] = value.clone();
    }
    let asked = request(Method::POST, "/api/v1/kits/search")
        .header("authorization", format!("Bearer {}", caller.token))
        .header(header::CONTENT_TYPE, "application/json");
    house.send(asked.body(Body::from(body.to_string())).unwrap()).await
}

fn page_for(member: i64) -> String {
    format!("/kits?who=member&member={member}&from=2026-06-05&to=2026-06-07")
}

const EYES: [(&str, &str); 8] = [
    ("birth_year", "1947"),
    ("glasses", "keeps_on"),
    ("looking", "left"),
    ("left_sphere", "-6.83"),
    ("left_cylinder", "-2.91"),
    ("right_sphere", "-7.31"),
    ("measured_pupil", "5.77"),
    ("version", "1"),
];

#[tokio::test]
async fn what_a_member_owns_is_counted_with_for_them_and_for_nobody_else() {
    let (house, people) = club().await;
    let (ines, other) = (&people[0], &people[1]);
    let mut browser = signed_in(&house, ines).await;
    for (name, mm) in [("My planted 24 mm", "24"), ("My planted 8 mm", "8")] {
        let glass = [
            ("name", name),
            ("focal_length_mm", mm),
            ("apparent_field_deg", "82"),
            ("eye_relief_mm", "22"),
            ("barrel_mm", "31.75"),
            ("optical_class", "wide_field"),
            ("mass_g", "200"),
        ];
        assert_eq!(browser.post("/account/gear/eyepieces", &glass).await.status, 303);
    }
    let scope = [
        ("name", "My planted tube"),
        ("layout", "newtonian"),
        ("aperture_mm", "130"),
        ("focal_length_mm", "650"),
        ("focuser_barrel_mm", "31.75"),
        ("central_obstruction_mm", "38"),
        ("tracking", "no"),
    ];
    assert_eq!(browser.post("/account/gear/telescopes", &scope).await.status, 303);

    let own = search(&house, ines, ines.member, &[]).await.json();
    assert_eq!(own["proven_optimal"], true);
    let items = own["items"].as_array().unwrap();
    let mine: Vec<&str> = items
        .iter()
        .filter(|item| item["own"] == true)
        .map(|item| item["id"].as_str().unwrap())
        .collect();
    assert!(mine.contains(&"own-1"), "{mine:?}");
    let tube = own["kits"].as_array().unwrap().iter().find(|kit| kit["telescope"] == "own-1");
    assert!(tube.is_some(), "their own telescope is an alternative to a loan");

    let page = browser.get(&page_for(ines.member)).await;
    assert!(page.text().contains("from your own case"), "{}", page.text());
    assert!(page.text().contains("My planted tube"), "it is compared with the loans");
    assert!(!page.text().contains("/telescopes/-"), "it has no page on the shelf");

    let keeper = of_role(&people, "quartermaster");
    let mut desk = signed_in(&house, keeper).await;
    let page = desk.get(&page_for(ines.member)).await;
    assert!(page.text().contains(&format!("from the own case of {}", ines.name)));
    let theirs = search(&house, other, other.member, &[]).await;
    assert!(!theirs.text().contains("planted") && !theirs.text().contains("own-"));
    let page = signed_in(&house, other).await.get(&page_for(other.member)).await;
    assert!(!page.text().contains("planted"));
}

#[tokio::test]
async fn a_quartermaster_gets_the_kit_without_reading_the_eyes_back() {
    let (house, people) = club().await;
    let ines = &people[0];
    let keeper = of_role(&people, "quartermaster");
    let mine = search(&house, ines, ines.member, &[("explain", json!("reasons"))]).await;
    assert!(mine.text().contains("your astigmatism"), "told to themselves");
    let theirs = search(&house, keeper, ines.member, &[("explain", json!("reasons"))]).await;
    assert_eq!(theirs.status, 200);
    let (mine, theirs_text) = (mine.json(), theirs.text().to_owned());
    let theirs = theirs.json();
    for word in ["astigmatism", "the focus moves", "opens to"] {
        assert!(!theirs_text.contains(word), "{word}");
    }
    let pieces = |answer: &Value| {
        let kits = answer["kits"].as_array().unwrap();
        kits.iter()
            .map(|kit| (kit["telescope"].clone(), kit["eyepieces"].clone()))
            .collect::<Vec<_>>()
    };
    assert_eq!(pieces(&mine), pieces(&theirs), "the same kits");
    let view = |answer: &Value| answer["kits"][0]["views"][0].clone();
    let pupil = |view: &Value| view["eye_pupil_mm"]["typical"].as_f64().unwrap();
    assert!(pupil(&view(&mine)).fract() > 1e-6);
    assert!(pupil(&view(&theirs)).fract().abs() < 1e-12, "whole millimetres");
    let exact = mine["kits"][0]["value"].as_f64().unwrap();
    let told = theirs["kits"][0]["value"].as_f64().unwrap();
    assert!((exact - told).abs() > 1e-9 && (exact - told).abs() < 0.006);

    let matrix = search(&house, keeper, ines.member, &[("explain", json!("matrix"))]).await;
    assert_eq!(matrix.status, 403);
    let own = search(&house, ines, ines.member, &[("explain", json!("matrix"))]).await;
    assert_eq!(own.status, 200);

    let page = signed_in(&house, keeper).await.get(&page_for(ines.member)).await;
    assert_eq!(page.status, 200);
    for word in ["astigmatism", "the focus moves"] {
        assert!(!page.text().contains(word), "{word}");
    }
    let drawn = |page: &Answer| {
        let told = page.text().split_once("opens to about ").unwrap().1.to_owned();
        told.split_once('m').unwrap().0.trim().to_owned()
    };
    assert!(!drawn(&page).contains('.'), "the picture shows whole millimetres");
    let own = signed_in(&house, ines).await.get(&page_for(ines.member)).await;
    assert!(drawn(&own).contains('.'));
    assert!(own.text().contains("astigmatism"), "the check can fail");
}

#[tokio::test]
async fn nobody_but_oneself_and_quartermasters_asks_with_somebodys_eyes() {
    let (house, people) = club().await;
    let ines = &people[0];
    for role in ["outreach", "admin"] {
        let one = of_role(&people, role);
        assert_eq!(search(&house, one, ines.member, &[]).await.status, 404, "{role}");
        let page = signed_in(&house, one).await.get(&page_for(ines.member)).await;
        assert_eq!(page.status, 404, "{role}");
    }
    let nobody = search(&house, &people[1], 7_777, &[]).await;
    let somebody = search(&house, &people[1], ines.member, &[]).await;
    assert_eq!((nobody.status.as_u16(), somebody.status.as_u16()), (404, 404));
    assert_eq!(nobody.json()["detail"], somebody.json()["detail"], "neither is told");
}

#[tokio::test]
async fn planted_figures_show_on_no_page_and_in_no_answer_to_anybody_else() {
    let (house, people) = club().await;
    let ines = &people[0];
    let mut own = signed_in(&house, ines).await;
    let saved = own.post("/account/observer", &EYES).await;
    assert_eq!(saved.status, 303, "{}", saved.text());
    let planted = ["-6.83", "6.83", "-2.91", "2.91", "-7.31", "7.31", "5.77", "1947"];
    let own = own.get("/account/observer").await;
    assert!(planted.iter().all(|figure| own.text().contains(figure)), "the check can fail");

    let others = [
        &people[1],
        of_role(&people, "quartermaster"),
        of_role(&people, "outreach"),
        of_role(&people, "admin"),
    ];
    let mut looked = 0;
    for other in others {
        let mut browser = signed_in(&house, other).await;
        let mut answers: Vec<(String, Answer)> = Vec::new();
        for route in table().iter().filter(|route| route.method == Method::GET) {
            let path: Vec<String> = route
                .path
                .split('/')
                .map(
                    |part| {
                        if part.starts_with('{') { ines.member.to_string() } else { part.into() }
                    },
                )
                .collect();
            let path = path.join("/");
            let answer = match route.access {
                Gate::Api(..) => {
                    let asked = request(Method::GET, &path)
                        .header("authorization", format!("Bearer {}", other.token));
                    house.send(asked.body(Body::empty()).unwrap()).await
                }
                _ if route.path.starts_with("/static") => continue,
                _ => browser.get(&path).await,
            };
            answers.push((path, answer));
        }
        answers.push(("kits".into(), browser.get(&page_for(ines.member)).await));
        let telescope = format!("/telescopes/1?for={}", ines.member);
        answers.push(("telescope".into(), browser.get(&telescope).await));
        let explained = [("explain", json!("reasons"))];
        answers.push(("search".into(), search(&house, other, ines.member, &explained).await));
        for (path, answer) in answers {
            looked += 1;
            // Numbers and words are cut out whole, so that 15.770 is no 5.77 and 1f1947 no year.
            let text = String::from_utf8_lossy(&answer.body).into_owned();
            let numbers: Vec<&str> = text
                .split(|c: char| !(c.is_ascii_alphanumeric() || c == '.' || c == '-'))
                .filter(|number| planted.contains(number))
                .collect();
            assert!(numbers.is_empty(), "{} at {path}: {numbers:?}", other.role);
        }
    }
    assert!(looked > 60, "only {looked} answers");
}
