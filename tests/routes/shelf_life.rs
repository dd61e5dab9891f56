//! What a piece's pages tell of its life, to whom, and how far back.

use serde_json::json;

use crate::client::Answer;
use crate::lending_api::Club;
use crate::shelf_pages::{eyepiece, kept, put, signed_in, version};

#[tokio::test]
async fn a_members_view_of_a_life_tells_what_happened_and_nobodys_business() {
    let club = Club::new().await;
    let clock = &club.house.state.clock;
    let mut desk = signed_in(&club.house, "desk").await;
    let owner = club.noor.member.to_string();
    let secret = [
        ("owner", owner.as_str()),
        ("custodian", owner.as_str()),
        ("value", "7919"),
        ("serial", "SN-7907"),
        ("bought_on", "1979-07-09"),
    ];
    let form = desk.get("/shelf/B-1/papers").await;
    let version_of_papers = version(&form);
    let fields = [&secret[..], &[("version", version_of_papers.as_str())]].concat();
    assert_eq!(desk.post("/shelf/B-1/papers", &fields).await.status, 303);
    clock.advance(jiff::SignedDuration::from_secs(1));
    let wish = club.wish(&[0], "2026-06-05", "2026-06-05");
    let made = club.post(&club.noor, "/api/v1/reservations", Some(wish)).await.json();
    let path = format!("/api/v1/reservations/{}/hand-over", made["id"]);
    let loan = club.post(&club.desk, &path, Some(json!({"signed_name": "Noor"}))).await.json();
    clock.advance(jiff::SignedDuration::from_secs(1));
    let back = json!({ "items": [
        { "item": club.items[0], "condition": "dirty", "note": "honey from a picnic" },
    ] });
    let path = format!("/api/v1/loans/{}/return", loan["id"]);
    assert_eq!(club.post(&club.desk, &path, Some(back)).await.status, 200);
    clock.advance(jiff::SignedDuration::from_secs(1));
    let seen = [("state", "in_service"), ("finding", "a hair under the lens")];
    assert_eq!(desk.post("/shelf/B-1/condition", &seen).await.status, 303);

    let hidden =
        ["noor", "Noor", "7919", "SN-7907", "1979", "honey", "hair", "desk", "Belongs", "Value"];
    let life = |page: &Answer| {
        let life = page.text().split("<ol class=\"life\">").nth(1).unwrap();
        life.split("</ol>").next().unwrap().to_owned()
    };
    let mut ines = signed_in(&club.house, "ines").await;
    for path in ["/shelf/B-1", "/shelf/B-1/life"] {
        let told = life(&desk.get(path).await);
        for word in &hidden[..7] {
            assert!(
                ["Noor", "1979"].contains(word) || told.contains(word),
                "{path} {word}: {told}"
            );
        }
        assert!(told.contains("9 July 1979") || told.contains("1979-07-09"), "{path}: {told}");
        let told = life(&ines.get(path).await);
        for word in hidden {
            assert!(!told.contains(word), "{path} {word}: {told}");
        }
        for word in ["Went out", "Came back to be cleaned", "Looked over", "Came to the shelf"] {
            assert_eq!(told.matches(word).count(), 1, "{path} {word}: {told}");
        }
        // Its condition changed twice. What nobody else may know leaves not even a moment.
        assert_eq!(told.matches("Was changed").count(), 2, "{path}: {told}");
        assert_eq!(told.matches("<li>Condition: ").count(), 2, "{path}: {told}");
    }
}

#[tokio::test]
async fn the_whole_life_of_a_piece_is_told_stretch_by_stretch() {
    let house = kept().await;
    let mut desk = signed_in(&house, "desk").await;
    put(&mut desk, "eyepiece", &eyepiece("E-1", "Much changed", "25")).await;
    for n in 1..=130 {
        let form = desk.get("/shelf/E-1/edit").await;
        let (version, notes) = (version(&form), format!("note {n}."));
        let fields = [("version", version.as_str()), ("notes", notes.as_str())];
        let fields = [&eyepiece("E-1", "Much changed", "25")[..], &fields[..]].concat();
        assert_eq!(desk.post("/shelf/E-1/edit", &fields).await.status, 303, "change {n}");
        house.state.clock.advance(jiff::SignedDuration::from_secs(1));
    }
    let told = |page: &Answer| {
        let life = page.text().split("<ol class=\"life\">").nth(1).unwrap().to_owned();
        let life = life.split("</ol>").next().unwrap();
        let moments = life.split("<strong>Was changed").skip(1);
        moments
            .map(|one| {
                one.split("</span> note ")
                    .nth(1)
                    .unwrap()
                    .split('.')
                    .next()
                    .unwrap()
                    .parse()
                    .unwrap()
            })
            .collect::<Vec<u32>>()
    };
    let page = desk.get("/shelf/E-1").await;
    assert_eq!(told(&page), (119..=130).rev().collect::<Vec<_>>());
    assert!(page.text().contains("href=\"/shelf/E-1/life\""));
    let first = desk.get("/shelf/E-1/life").await;
    let way = first.text().split("href=\"/shelf/E-1/life?before=").nth(1).unwrap();
    let way = format!("/shelf/E-1/life?before={}", way.split('"').next().unwrap());
    let second = desk.get(&way).await;
    assert_eq!([told(&first), told(&second)].concat(), (1..=130).rev().collect::<Vec<_>>());
    for odd in ["", "x", "9999999999999999999999"] {
        let page = desk.get(&format!("/shelf/E-1/life?before={odd}")).await;
        assert_eq!(told(&page), told(&first), "{odd}");
    }
    let second = second.text();
    assert!(second.contains("Came to the shelf"), "{second}");
    assert!(!second.contains("href=\"/shelf/E-1/life?before="), "{second}");
    assert_eq!(desk.get("/shelf/E-9/life").await.status, 404);
}
