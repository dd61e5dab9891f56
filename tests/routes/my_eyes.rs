//! What a member says of their eyes: who reads it, how it changes, how it is erased.

use axum::body::Body;
use axum::http::{Method, header};
use borrowed_light::people::access::Scope;
use borrowed_light::people::rights::Role;
use serde_json::{Value, json};

use crate::browser::Browser;
use crate::client::{Answer, House, PASSWORD, request};

/// Figures that stand nowhere by chance.
const PLANTED: [(&str, &str); 9] = [
    ("birth_year", "1947"),
    ("glasses", "keeps_on"),
    ("looking", "left"),
    ("right_sphere", "-7.31"),
    ("right_cylinder", "-3.17"),
    ("left_sphere", "-6.83"),
    ("left_cylinder", "-2.91"),
    ("measured_pupil", "5.77"),
    ("relief_floor", "17.63"),
];

async fn signed_in<'a>(house: &'a House, name: &str, email: &str, role: Role) -> Browser<'a> {
    house.member(name, email, &[role]).await;
    let mut browser = Browser::new(house);
    browser.sign_in(email, PASSWORD).await;
    browser
}

fn with<'a>(fields: &[(&'a str, &'a str)], version: &'a str) -> Vec<(&'a str, &'a str)> {
    fields.iter().copied().chain([("version", version)]).collect()
}

async fn call(house: &House, token: &str, change: Option<(Value, &str)>) -> Answer {
    let method = if change.is_some() { Method::PUT } else { Method::GET };
    let mut asked =
        request(method, "/api/v1/me").header("authorization", format!("Bearer {token}"));
    let mut body = Body::empty();
    if let Some((change, tag)) = change {
        asked = asked.header(header::CONTENT_TYPE, "application/json");
        if !tag.is_empty() {
            asked = asked.header(header::IF_MATCH, tag);
        }
        body = Body::from(change.to_string());
    }
    house.send(asked.body(body).unwrap()).await
}

#[tokio::test]
async fn what_a_member_says_is_kept_counted_with_and_shown_to_them() {
    let house = House::new().await;
    let mut ines = signed_in(&house, "Ines Aldous", "ines@example.org", Role::Member).await;
    let empty = ines.get("/account/observer").await;
    assert_eq!((empty.status.as_u16(), empty.header("cache-control")), (200, "no-store"));
    assert!(empty.text().contains("Why we ask:"));
    assert!(!empty.text().contains("Erase everything on this page"), "there is nothing yet");

    let saved = ines.post("/account/observer", &with(&PLANTED, "0")).await;
    assert_eq!(saved.header("location"), "/account/observer?saved=yes");
    let page = ines.get("/account/observer?saved=yes").await;
    assert!(page.text().contains("Saved."));
    for (field, value) in PLANTED.into_iter().filter(|(_, value)| value.contains('.')) {
        assert!(page.text().contains(&format!("value=\"{value}\"")), "{field}");
    }
    assert!(page.text().contains("20 mm of eye relief or more; 18 mm at the very least."));
}

#[tokio::test]
async fn every_field_is_erased_by_emptying_it_and_all_at_once_by_a_button() {
    let house = House::new().await;
    let mut ines = signed_in(&house, "Ines Aldous", "ines@example.org", Role::Member).await;
    ines.post("/account/observer", &with(&PLANTED, "0")).await;
    let fewer: Vec<_> =
        PLANTED.into_iter().filter(|(field, _)| !field.starts_with("right_")).collect();
    assert_eq!(ines.post("/account/observer", &with(&fewer, "1")).await.status, 303);
    let page = ines.get("/account/observer").await;
    assert!(!page.text().contains("-7.31") && page.text().contains("-6.83"));

    let erased = ines.post("/account/observer/erase", &[]).await;
    assert_eq!(erased.header("location"), "/account/observer?erased=yes");
    let page = ines.get("/account/observer?erased=yes").await;
    for (_, value) in PLANTED.into_iter().filter(|(_, value)| value.contains(['.', '9'])) {
        assert!(!page.text().contains(value), "{value}");
    }
    assert!(page.text().contains("Erased"));
    let mut conn = house.state.store.reader().acquire().await.unwrap();
    let kept: i64 = sqlx::query_scalar(
        "SELECT count(*) FROM member_eye WHERE coalesce(birth_year, glasses, sphere_d, cylinder_d,
             measured_pupil_mm, relief_floor_mm, looking_eye, other_sphere_d, other_cylinder_d)
             IS NOT NULL",
    )
    .fetch_one(&mut *conn)
    .await
    .unwrap();
    assert_eq!(kept, 0);
}

#[tokio::test]
async fn a_form_that_comes_too_late_shows_what_changed_and_then_counts() {
    let house = House::new().await;
    let mut ines = signed_in(&house, "Ines Aldous", "ines@example.org", Role::Member).await;
    ines.post("/account/observer", &with(&[("birth_year", "1971")], "0")).await;
    ines.post("/account/observer", &with(&[("birth_year", "1972")], "1")).await;
    for stale in ["0", "1", "9", "nonsense"] {
        let late = ines.post("/account/observer", &with(&[("birth_year", "1973")], stale)).await;
        assert_eq!(late.status, 409, "{stale}");
        assert!(late.text().contains("now 1972, you typed 1973"), "{stale}");
        assert!(late.text().contains("name=\"version\" value=\"2\""), "{stale}");
    }
    let again = ines.post("/account/observer", &with(&[("birth_year", "1973")], "2")).await;
    assert_eq!(again.status, 303);
    assert!(ines.get("/account/observer").await.text().contains("value=\"1973\""));
}

#[tokio::test]
async fn nonsense_comes_back_as_typed_with_a_word_beside_it() {
    let house = House::new().await;
    let mut ines = signed_in(&house, "Ines Aldous", "ines@example.org", Role::Member).await;
    let typed = [
        ("birth_year", "<script>alert(1)</script>"),
        ("left_sphere", "99"),
        ("looking", "left"),
        ("relief_floor", "1e999"),
    ];
    let refused = ines.post("/account/observer", &with(&typed, "0")).await;
    assert_eq!(refused.status, 422);
    assert!(refused.text().contains("3 things need another look"));
    assert!(!refused.text().contains("<script>alert"));
    assert!(refused.text().contains("value=\"99\""));
}

#[tokio::test]
async fn an_account_of_nobody_on_the_list_is_told_so() {
    let house = House::new().await;
    let id = house.account("helper@example.org", &[Role::Admin]).await;
    let mut helper = Browser::new(&house);
    helper.sign_in("helper@example.org", PASSWORD).await;
    let page = helper.get("/account/observer").await;
    assert_eq!(page.status, 404);
    assert!(page.text().contains("belongs to nobody on the club"));
    let token = house.token(id, Scope::Read).await;
    assert_eq!(call(&house, token.reveal(), None).await.status, 404);
}

#[tokio::test]
async fn the_api_reads_and_replaces_oneself_on_the_version_that_was_read() {
    let house = House::new().await;
    let (member, account) = house.member("Ines Aldous", "ines@example.org", &[Role::Member]).await;
    let token = house.token(account, Scope::Write).await;
    let token = token.reveal();
    let first = call(&house, token, None).await;
    assert_eq!((first.status.as_u16(), first.header("cache-control")), (200, "no-store"));
    assert_eq!(first.json()["member"], member.0);
    assert_eq!(first.json()["observer"]["sphere_d"], Value::Null);

    let change = json!({
        "observer": {"birth_year": 1971, "glasses": "keeps_on", "looking_eye": "right",
                     "sphere_d": -2.25, "cylinder_d": -1.5, "other_sphere_d": 0.75,
                     "measured_pupil_mm": 6.4, "relief_floor_mm": 18},
        "shared_with_quartermasters": true
    });
    assert_eq!(call(&house, token, Some((change.clone(), ""))).await.status, 428);
    let tag = first.header("etag").to_owned();
    let changed = call(&house, token, Some((change.clone(), &tag))).await;
    assert_eq!(changed.status, 200, "{}", changed.text());
    assert_ne!(changed.header("etag"), tag);
    assert_eq!(call(&house, token, Some((change.clone(), &tag))).await.status, 412);
    let read = call(&house, token, None).await;
    assert_eq!(read.header("etag"), changed.header("etag"));
    assert_eq!(read.json(), changed.json());
    for (field, value) in change["observer"].as_object().unwrap() {
        assert_eq!(read.json()["observer"][field].as_f64(), value.as_f64(), "{field}");
    }
    let emptied = call(&house, token, Some((json!({"observer": {}}), "*"))).await;
    assert_eq!(emptied.json()["observer"]["birth_year"], Value::Null);
    assert_eq!(emptied.json()["shared_with_quartermasters"], false);
}

#[tokio::test]
async fn the_api_names_every_field_that_cannot_be_used_and_takes_no_others() {
    let house = House::new().await;
    let (_, account) = house.member("Ines Aldous", "ines@example.org", &[Role::Member]).await;
    let token = house.token(account, Scope::Write).await;
    let wrong = json!({"observer": {"birth_year": 71, "looking_eye": "third", "sphere_d": 99}});
    let refused = call(&house, token.reveal(), Some((wrong, "*"))).await;
    assert_eq!(refused.status, 422);
    let pointers: Vec<String> = refused.json()["errors"]
        .as_array()
        .unwrap()
        .iter()
        .map(|fault| fault["pointer"].as_str().unwrap().to_owned())
        .collect();
    assert_eq!(pointers, ["/observer/birth_year", "/observer/sphere_d", "/observer/looking_eye"]);
    for more in [
        json!({"observer": {}, "name": "Somebody Else"}),
        json!({"observer": {}, "roles": ["admin"]}),
        json!({"observer": {"member": 2}}),
    ] {
        let refused = call(&house, token.reveal(), Some((more.clone(), "*"))).await;
        assert_eq!(refused.status, 422, "{more}");
    }
    let reading = house.token(account, Scope::Read).await;
    let refused = call(&house, reading.reveal(), Some((json!({"observer": {}}), "*"))).await;
    assert_eq!(refused.status, 403);
}
