//! Plans for the nights of a reservation, and of a kit that is not reserved yet.

use borrowed_light::demo;
use borrowed_light::demo::Access;

use crate::browser::Browser;
use crate::client::House;

async fn demo_club() -> (House, Vec<Access>) {
    let house = House::new().await;
    let people = demo::fill(&house.state.store, &house.state.clock).await.unwrap();
    (house, people)
}

async fn signed_in<'a>(house: &'a House, who: &Access) -> Browser<'a> {
    let mut browser = Browser::new(house);
    browser.sign_in(&who.email, &who.password).await;
    browser
}

fn role<'a>(people: &'a [Access], role: &str) -> &'a Access {
    people.iter().find(|one| one.role == role).unwrap()
}

/// The first address in a page that begins so.
fn link(page: &str, begins: &str) -> String {
    let start = page.find(&format!("href=\"{begins}")).expect(begins) + "href=\"".len();
    page[start..].split('"').next().unwrap().replace("&#38;", "&")
}

#[tokio::test]
async fn an_answer_leads_to_a_plan_with_stops_and_pictures_for_each_night() {
    let (house, people) = demo_club().await;
    let mut browser = signed_in(&house, &people[0]).await;
    let asked = "/kits?who=anyone&from=2026-10-09&to=2026-10-11&eyepieces=4&site=2";
    let answer = browser.get(asked).await;
    let address = link(answer.text(), "/plan?");
    assert!(address.contains("&site=2") && !address.contains("member="), "{address}");
    let plan = browser.get(&address).await;
    assert_eq!(plan.status, 200);
    let page = plan.text();
    assert_eq!(page.matches("class=\"plan-night\"").count(), 3);
    assert_eq!(page.matches("<svg class=\"night-picture").count(), 6);
    assert!(page.matches("<li class=\"stop\">").count() >= 18, "few stops");
    assert!(page.matches("class=\"field-picture\"").count() >= 12, "few circles");
    assert!(page.contains("at Long Meadow") && page.contains("Fully dark from"));
    assert!(page.contains("CC BY-SA 4.0"));
    let town = browser.get(&address.replace("&site=2", "")).await;
    assert!(town.text().contains("at Windmill Hill"));

    // A member's own eyes go by their number; a described person's go nowhere.
    let me = people[0].member;
    let mine = browser.get(&asked.replace("who=anyone", &format!("who=member&member={me}"))).await;
    assert!(link(mine.text(), "/plan?").contains(&format!("member={me}&")));
    let described = [
        ("who", "described"),
        ("age", "50"),
        ("glasses", "none"),
        ("from", "2026-10-09"),
        ("to", "2026-10-11"),
    ];
    let answer = browser.post("/kits", &described).await;
    assert_eq!(answer.status, 200);
    assert!(!answer.text().contains("/plan?"));
}

#[tokio::test]
async fn a_reservation_has_its_plan_and_only_its_owner_sees_it() {
    let (house, people) = demo_club().await;
    let mut reserved = None;
    for who in people.iter().filter(|one| one.role == "member") {
        let mut browser = signed_in(&house, who).await;
        let list = browser.get("/mine").await;
        if list.text().contains("href=\"/mine/") {
            reserved = Some((who, link(list.text(), "/mine/")));
            break;
        }
    }
    let (owner, address) = reserved.expect("somebody of the demo club has a reservation");
    let mut browser = signed_in(&house, owner).await;
    assert!(browser.get(&address).await.text().contains(&format!("{address}/plan")));
    let plan = browser.get(&format!("{address}/plan")).await;
    assert_eq!(plan.status, 200);
    assert!(plan.text().contains("class=\"night-picture") || plan.text().contains("no telescope"));
    for query in ["?site=2", "?site=99", "?site=far&night=nonsense", "?night=1900-01-01"] {
        assert_eq!(browser.get(&format!("{address}/plan{query}")).await.status, 200, "{query}");
    }
    for other in ["quartermaster", "admin"] {
        let mut browser = signed_in(&house, role(&people, other)).await;
        assert_eq!(browser.get(&format!("{address}/plan")).await.status, 404, "{other}");
    }
    assert_eq!(browser.get("/mine/999999/plan").await.status, 404);
}

#[tokio::test]
async fn a_plan_that_makes_no_sense_says_so() {
    let (house, people) = demo_club().await;
    let mut browser = signed_in(&house, role(&people, "member")).await;
    for (query, status) in [
        ("", 422),
        ("?from=2026-10-11&to=2026-10-09", 422),
        ("?from=soon&to=later", 422),
        ("?from=2026-10-09&to=2026-10-09&member=far", 404),
        ("?from=2026-10-09&to=2026-10-09&member=999999", 404),
        ("?from=2026-10-09&to=2026-10-09&items=x,-1,99999999999999999999", 200),
    ] {
        assert_eq!(browser.get(&format!("/plan{query}")).await.status, status, "{query}");
    }
    let bare = browser.get("/plan?from=2026-10-09&to=2026-10-09").await;
    assert!(bare.text().contains("add one to get a plan"));
    let long = browser.get("/plan?from=2026-10-01&to=2026-10-28").await;
    assert!(long.text().contains("Later nights") && !long.text().contains("Earlier nights"));
}
