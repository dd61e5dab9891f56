//! Taking one's data along, and having it erased.

use std::path::Path;

use axum::body::Body;
use axum::http::{Method, header};
use borrowed_light::lending::{self, Night, Nights, Origin, ReservationId, Wish};
use borrowed_light::people::MemberId;
use borrowed_light::people::access::Scope;
use borrowed_light::people::rights::Role;
use borrowed_light::shelf::ItemId;

use crate::browser::Browser;
use crate::client::{Answer, House, PASSWORD, request};

const EYES: [(&str, &str); 5] = [
    ("birth_year", "1947"),
    ("looking", "left"),
    ("left_sphere", "-6.83"),
    ("right_cylinder", "-3.17"),
    ("version", "0"),
];
const EYEPIECE: [(&str, &str); 2] = [("name", "=Planted glass"), ("focal_length_mm", "23.7")];

async fn ines(house: &House) -> (Browser<'_>, MemberId, i64) {
    let (member, account) =
        house.member("Ines Plantedname", "ines.planted@example.org", &[Role::Member]).await;
    let mut browser = Browser::new(house);
    browser.sign_in("ines.planted@example.org", PASSWORD).await;
    assert_eq!(browser.post("/account/observer", &EYES).await.status, 303);
    assert_eq!(browser.post("/account/gear/eyepieces", &EYEPIECE).await.status, 303);
    (browser, member, account)
}

async fn api(house: &House, token: &str, path: &str) -> Answer {
    let asked = request(Method::GET, path).header("authorization", format!("Bearer {token}"));
    house.send(asked.body(Body::empty()).unwrap()).await
}

/// Puts an eyepiece on the shelf and reserves it.
pub async fn reserve(house: &House, member: MemberId, first: &str, last: &str) -> ReservationId {
    let mut tx = house.state.store.write().await.unwrap();
    let tag = format!("E-{}", first.replace('-', ""));
    let item: i64 = sqlx::query_scalar(
        "INSERT INTO item (kind, asset_tag, name) VALUES ('eyepiece', ?, 'a glass') RETURNING id",
    )
    .bind(tag)
    .fetch_one(&mut *tx)
    .await
    .unwrap();
    sqlx::query("INSERT INTO eyepiece (item_id, focal_length_mm) VALUES (?, 25)")
        .bind(item)
        .execute(&mut *tx)
        .await
        .unwrap();
    let wish = Wish {
        member,
        items: vec![ItemId(item)],
        nights: Nights::parse(first, last).unwrap(),
        origin: Origin::Asked,
        asked_at: house.state.clock.now(),
        tonight: Night::new(house.state.clock.today()).unwrap(),
        daylight: false,
        site: None,
        doer: lending::Doer { account: None, hat: lending::machine::Hat::Quartermaster },
    };
    let id = lending::reserve(&mut tx, &wish).await.unwrap().id;
    tx.commit().await.unwrap();
    id
}

/// The number of the piece that [`reserve`] reserved.
async fn reserved_item(house: &House) -> String {
    let mut conn = house.state.store.reader().acquire().await.unwrap();
    let all = lending::reservations(&mut conn).await.unwrap();
    all[0].items[0].to_string()
}

fn database_holds(folder: &Path, text: &str) -> bool {
    std::fs::read_dir(folder).unwrap().any(|file| {
        let bytes = std::fs::read(file.unwrap().path()).unwrap();
        bytes.windows(text.len()).any(|window| window == text.as_bytes())
    })
}

#[tokio::test]
async fn everything_kept_is_there_as_json_and_table_by_table() {
    let house = House::new().await;
    let (mut browser, member, account) = ines(&house).await;
    reserve(&house, member, "2026-06-12", "2026-06-14").await;
    let mut tx = house.state.store.write().await.unwrap();
    sqlx::query(
        "INSERT INTO item_paper (item_id, owner_id, serial) SELECT id, ?, 'S-77' FROM item",
    )
    .bind(member.0)
    .execute(&mut *tx)
    .await
    .unwrap();
    tx.commit().await.unwrap();
    let token = house.token(account, Scope::Read).await;
    let item = reserved_item(&house).await;
    let wait = [("items", item.as_str()), ("from", "2026-06-13"), ("to", "2026-06-13")];
    assert_eq!(browser.post("/mine/waiting", &wait).await.status, 303);
    browser.post("/mine/calendar", &[("kind", "mine")]).await;

    let file = browser.get("/account/data/everything.json").await;
    assert_eq!(file.header("content-disposition"), "attachment; filename=\"my-data.json\"");
    assert_eq!(file.header("cache-control"), "no-store");
    let all = file.json();
    assert_eq!(all["member"][0]["name"], "Ines Plantedname");
    assert_eq!(all["eyes"][0]["sphere_d"], -6.83);
    assert_eq!(all["eyes"][0]["other_cylinder_d"], -3.17);
    assert_eq!(all["own_eyepieces"][0]["name"], "=Planted glass");
    assert_eq!(all["reservations"][0]["items"], "E-20260612");
    let piece = &all["pieces"][0];
    assert_eq!((&piece["item"], &piece["serial"]), (&"E-20260612".into(), &"S-77".into()));
    assert_eq!((&piece["you_own_it"], &piece["you_keep_it"]), (&true.into(), &false.into()));
    assert_eq!(all["account"][0]["email"], "ines.planted@example.org");
    assert_eq!(all["tokens"][0]["name"], "my script");
    assert_eq!(all["sessions"].as_array().unwrap().len(), 1);
    assert_eq!(all["second_factor"][0]["in_force"], false);
    assert_eq!(all["loans"].as_array().unwrap().len(), 0);
    assert_eq!(all["waiting_list"][0]["items"], "E-20260612");
    assert_eq!(all["waiting_list"][0]["state"], "waiting");
    assert_eq!(all["calendars"][0]["calendar"], "mine");
    assert_eq!(all["training"].as_array().unwrap().len(), 0);
    let deeds: Vec<&str> =
        all["log"].as_array().unwrap().iter().map(|one| one["deed"].as_str().unwrap()).collect();
    assert!(deeds.contains(&"signed in"), "{deeds:?}");
    let told = file.text();
    assert!(!told.contains(token.reveal()) && !told.contains("argon2id"), "no secrets");

    let same = api(&house, token.reveal(), "/api/v1/me/export").await;
    assert_eq!(same.json()["eyes"], all["eyes"]);
    assert_eq!(same.header("cache-control"), "no-store");

    let page = browser.get("/account/data").await;
    let names = all.as_object().unwrap().keys().filter(|name| *name != "taken_at");
    for name in names {
        assert!(page.text().contains(&format!("/account/data/{name}.csv")), "{name}");
        let csv = browser.get(&format!("/account/data/{name}.csv")).await;
        assert_eq!(csv.header("content-type"), "text/csv; charset=utf-8", "{name}");
        let rows = all[name].as_array().unwrap().len();
        let mut read = csv::Reader::from_reader(csv.body.as_slice());
        let told = read.records().map(Result::unwrap).count();
        // Every table that was taken along before this one is in the log by now.
        assert!(if name == "log" { told > rows } else { told == rows }, "{name}: {told}, {rows}");
    }
    let glass = browser.get("/account/data/own_eyepieces.csv").await;
    assert!(glass.text().contains("'=Planted glass"), "no spreadsheet runs it");
    assert_eq!(browser.get("/account/data/other.csv").await.status, 404);
}

#[tokio::test]
async fn nobody_takes_anothers_data_along() {
    let house = House::new().await;
    ines(&house).await;
    let (_, account) = house.member("Noor", "noor@example.org", &[Role::Quartermaster]).await;
    let mut noor = Browser::new(&house);
    noor.sign_in("noor@example.org", PASSWORD).await;
    let token = house.token(account, Scope::Write).await;
    let own = api(&house, token.reveal(), "/api/v1/me/export").await;
    let file = noor.get("/account/data/everything.json").await;
    for answer in [own, file] {
        let text = answer.text();
        assert!(text.contains("Noor"));
        assert!(!text.contains("Planted") && !text.contains("planted") && !text.contains("6.83"));
    }
}

#[tokio::test]
async fn an_erased_member_is_gone_from_the_file_and_their_loans_stay_under_a_number() {
    let house = House::new().await;
    let (mut browser, member, account) = ines(&house).await;
    let ahead = reserve(&house, member, "2026-06-12", "2026-06-14").await;
    let token = house.token(account, Scope::Write).await;

    let review = browser.get("/account/data/erase").await;
    assert!(review.text().contains("one reservation") || review.text().contains("1 reservation"));
    let wrong = browser.post("/account/data/erase", &[("password", "the last evening star")]).await;
    assert_eq!(wrong.status, 422);
    assert!(wrong.text().contains("Nothing was erased"));
    assert_eq!(browser.get("/account/data").await.status, 200);

    assert!(database_holds(house.folder(), "Plantedname"), "the check can fail");
    let done = browser.post("/account/data/erase", &[("password", PASSWORD)]).await;
    assert_eq!(done.header("location"), "/sign-in?signed_out=yes", "{}", done.text());
    assert_eq!(
        browser.get("/account/data").await.header("location"),
        "/sign-in?next=/account/data"
    );
    assert_eq!(api(&house, token.reveal(), "/api/v1/me").await.status, 401);
    let again = browser.sign_in("ines.planted@example.org", PASSWORD).await;
    assert_eq!(again.status, 401);
    for planted in ["Plantedname", "ines.planted", "Planted glass", "M-1"] {
        assert!(!database_holds(house.folder(), planted), "{planted}");
    }

    let mut conn = house.state.store.reader().acquire().await.unwrap();
    let all = lending::reservations(&mut conn).await.unwrap();
    assert_eq!(all.len(), 1, "what was reserved stays in the statistics");
    assert!(all.iter().all(|one| one.member == member));
    let state = all.iter().find(|one| one.id == ahead).unwrap().state;
    assert_eq!(state, lending::ReservationState::Cancelled);
    for (table, column) in [
        ("member_eye", "member_id"),
        ("own_eyepiece", "member_id"),
        ("session", "account_id"),
        ("access_token", "account_id"),
        ("account_role", "account_id"),
    ] {
        let left: i64 = sqlx::query_scalar(sqlx::AssertSqlSafe(format!(
            "SELECT count(*) FROM {table} WHERE {column} = 1"
        )))
        .fetch_one(&mut *conn)
        .await
        .unwrap();
        assert_eq!(left, 0, "{table}");
    }
    drop(conn);

    let (newcomer, _) =
        house.member("Somebody Else", "ines.planted@example.org", &[Role::Member]).await;
    assert_ne!(newcomer, member);
    let mut newcomer = Browser::new(&house);
    newcomer.sign_in("ines.planted@example.org", PASSWORD).await;
    let page = newcomer.get("/account/observer").await;
    assert_eq!(page.status, 200, "the address is free again");
    assert!(!page.text().contains("6.83"));
}

#[tokio::test]
async fn the_only_administrator_stays_until_there_is_another() {
    let house = House::new().await;
    house.account("chief@example.org", &[Role::Admin]).await;
    let mut chief = Browser::new(&house);
    chief.sign_in("chief@example.org", PASSWORD).await;
    let refused = chief.post("/account/data/erase", &[("password", PASSWORD)]).await;
    assert_eq!(refused.status, 409);
    assert!(refused.text().contains("only administrator"));
    house.account("second@example.org", &[Role::Admin]).await;
    let done = chief.post("/account/data/erase", &[("password", PASSWORD)]).await;
    assert_eq!(done.header("location"), "/sign-in?signed_out=yes");
}

#[tokio::test]
async fn a_form_of_another_site_erases_nothing() {
    let house = House::new().await;
    let (mut browser, ..) = ines(&house).await;
    let fields = [("password", PASSWORD)];
    let sent =
        browser.post_with("/account/data/erase", &fields, "sec-fetch-site", "cross-site").await;
    assert_eq!(sent.status, 403);
    let sent = browser
        .post_with("/account/observer/erase", &[], header::ORIGIN.as_str(), "http://evil.example")
        .await;
    assert_eq!(sent.status, 403);
    assert!(browser.get("/account/observer").await.text().contains("-6.83"));
}
