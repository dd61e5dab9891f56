//! The club's observing sites: kept by those who may, chosen by everybody.

use axum::body::Body;
use axum::http::{Method, header};
use borrowed_light::demo;
use borrowed_light::people::rights::Role;

use crate::browser::Browser;
use crate::client::{House, PASSWORD, request};

const MEADOW: [(&str, &str); 7] = [
    ("name", "The <far> meadow"),
    ("latitude", "52 12 0 N"),
    ("longitude", "3,1 W"),
    ("time_zone", "Europe/London"),
    ("sky_brightness", "21.6"),
    ("east", "12"),
    ("seeing", "2"),
];

async fn signed_in<'a>(house: &'a House, email: &str, role: Role) -> Browser<'a> {
    house.member(email, email, &[Role::Member, role]).await;
    let mut browser = Browser::new(house);
    browser.sign_in(email, PASSWORD).await;
    browser
}

#[tokio::test]
async fn a_site_is_added_changed_and_removed_and_the_log_knows() {
    let house = House::new().await;
    let mut keeper = signed_in(&house, "keeper@example.org", Role::Quartermaster).await;
    assert!(keeper.get("/sites").await.text().contains("No place yet"));
    assert_eq!(keeper.get("/sites/new").await.status, 200);
    let saved = keeper.post("/sites", &MEADOW).await;
    assert_eq!(saved.header("location"), "/sites?done=saved", "{}", saved.text());
    let list = keeper.get("/sites?done=saved").await.text().to_owned();
    assert!(list.contains("The &#60;far&#62; meadow") && list.contains("52.20° N, 3.10° W"));
    assert!(list.contains("usually observes here"), "the first site is the usual one");
    assert!(list.contains("Hidden up to 12° in the east."));

    let twice = keeper.post("/sites", &MEADOW).await;
    assert_eq!(twice.status, 409);
    assert!(twice.text().contains("Another site has this name already"));
    let hill = [&[("name", "The hill"), ("usual", "yes")], &MEADOW[1..]].concat();
    assert_eq!(keeper.post("/sites", &hill).await.status, 303);
    let kept = keeper.post("/sites/2/remove", &[]).await;
    assert_eq!(kept.status, 409);
    assert!(kept.text().contains("The club usually observes here"));

    // Saying that the hill is the usual one changed the meadow too.
    let late = keeper.post("/sites/1", &[&MEADOW[..], &[("version", "1")]].concat()).await;
    assert_eq!(late.status, 409);
    assert!(late.text().contains("changed meanwhile") && late.text().contains("52 12 0 N"));
    let changed = keeper.post("/sites/1", &[&MEADOW[..], &[("version", "2")]].concat()).await;
    assert_eq!(changed.status, 303);
    assert_eq!(keeper.post("/sites/1/remove", &[]).await.status, 303);
    assert_eq!(keeper.get("/sites/1").await.status, 404);
    assert_eq!(keeper.post("/sites/1", &MEADOW).await.status, 404);

    let mut admin = signed_in(&house, "admin@example.org", Role::Admin).await;
    let log = admin.get("/audit").await.text().to_owned();
    for deed in ["observing site added", "observing site changed", "observing site removed"] {
        assert!(log.contains(deed), "{deed}");
    }
}

#[tokio::test]
async fn what_makes_no_sense_is_named_and_kept() {
    let house = House::new().await;
    let mut keeper = signed_in(&house, "keeper@example.org", Role::Admin).await;
    let wrong = [("name", "Nowhere"), ("latitude", "91"), ("longitude", "far <west>")];
    let answer = keeper.post("/sites", &wrong).await;
    assert_eq!(answer.status, 422);
    let page = answer.text();
    for says in ["between -90 and 90", "Write degrees", "time zone is not known", "how dark"] {
        assert!(page.contains(says), "{says}");
    }
    assert!(page.contains("far &#60;west&#62;") && page.contains("value=\"91\""));
}

#[tokio::test]
async fn members_choose_among_the_sites_and_get_the_kit_for_that_sky() {
    let house = House::new().await;
    let people = demo::fill(&house.state.store, &house.state.clock).await.unwrap();
    let mut browser = Browser::new(&house);
    browser.sign_in(&people[0].email, &people[0].password).await;
    let asked = browser.get("/").await.text().to_owned();
    assert!(asked.contains("Long Meadow, a sky far from all light"));
    let fields =
        [("who", "anyone"), ("nights", "2026-10-09/2026-10-11"), ("site", "2"), ("eyepieces", "3")];
    let answer = browser.post("/kits", &fields).await;
    let address = answer.header("location").to_owned();
    assert!(address.contains("&site=2"), "{address}");
    assert!(browser.get(&address).await.text().contains("at Long Meadow"));
    let usual = address.replace("&site=2", "");
    assert!(browser.get(&usual).await.text().contains("at Windmill Hill"));
    let gone = address.replace("&site=2", "&site=99");
    assert!(browser.get(&gone).await.text().contains("at Windmill Hill"));
    let nonsense = address.replace("&site=2", "&site=far");
    assert_eq!(browser.get(&nonsense).await.status, 422);

    let token = &people[0].token;
    let asked = request(Method::GET, "/api/v1/sites")
        .header(header::AUTHORIZATION, format!("Bearer {token}"))
        .body(Body::empty())
        .unwrap();
    let sites = house.send(asked).await.json();
    assert_eq!(sites["sites"][0]["name"], "Windmill Hill");
    assert_eq!(sites["sites"][0]["usual"], true);
    assert_eq!(sites["sites"][1]["id"], 2);
}
