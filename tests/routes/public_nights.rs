//! Public nights from the first thought to the reservation.

use axum::http::Method;
use serde_json::{Value, json};

use crate::public_nights_club::{Club, send};

const GET: Method = Method::GET;
const PUT: Method = Method::PUT;
const POST: Method = Method::POST;

#[tokio::test]
async fn a_lead_prepares_a_night_on_pages_and_members_see_it_once_it_is_announced() {
    let club = Club::new().await;
    let mut lead = club.browser("lead@example.org").await;
    let wrong = lead.post("/public-nights", &[("name", "<Moon>"), ("date", "soon")]).await;
    assert_eq!(wrong.status, 422);
    assert!(wrong.text().contains("&#60;Moon&#62;") && wrong.text().contains("value=\"soon\""));
    let made = lead
        .post(
            "/public-nights",
            &[
                ("name", "Moon over the school"),
                ("date", "2026-12-18"),
                ("starts", "18:00"),
                ("ends", "20:15"),
                ("site", "1"),
                ("visitors", "90"),
                ("children", "60"),
                ("stations", "2"),
                ("rain_date", "2026-12-19"),
            ],
        )
        .await;
    assert_eq!(made.header("location"), "/public-nights/1?done=saved", "{}", made.text());
    let mut member = club.browser("ines@example.org").await;
    assert_eq!(member.get("/public-nights/1").await.status, 404);
    assert!(!member.get("/public-nights").await.text().contains("Moon over the school"));

    let nobody = lead.post("/public-nights/1/helpers", &[]).await;
    assert_eq!(nobody.status, 422);
    assert!(nobody.text().contains("Choose a member, or write a first name."));
    // A guest can run nothing yet, so that is asked at once; a member runs what needs no showing.
    let guest = lead.post("/public-nights/1/helpers", &[("first_name", "Wren")]).await;
    assert_eq!(guest.header("location"), "/public-nights/1/helpers/1?done=added");
    let asked = lead.get("/public-nights/1/helpers/1?done=added").await;
    assert!(asked.text().contains("Wren is on the list, and needs a telescope to run"));
    let idle = lead.get("/public-nights/1").await.text().to_owned();
    assert!(idle.contains("A plan has no station for whoever can run no telescope yet"), "{idle}");
    let version_now = idle.split("name=\"version\" value=\"").nth(1).unwrap();
    let version_now = version_now.split('"').next().unwrap();
    let planned = lead.post("/public-nights/1/plan", &[("version", version_now)]).await;
    assert_eq!(planned.status, 409);
    assert!(
        planned.text().contains("Nobody on the list can run a telescope that is free")
            && planned
                .text()
                .contains("href=\"/public-nights/1/helpers/1\">What the helper can run"),
        "{}",
        planned.text()
    );
    let member_helps = lead.post("/public-nights/1/helpers", &[("member", "1")]).await;
    assert_eq!(member_helps.header("location"), "/public-nights/1?done=saved#helpers");
    let twice = lead.post("/public-nights/1/helpers", &[("member", "1")]).await;
    assert!(twice.text().contains("on the list already"), "{}", twice.status);
    let ticks = format!("runs-{}", club.id("T-3"));
    let page = lead.get("/public-nights/1/helpers/1").await.text().to_owned();
    let version = |page: &str| {
        page.split("name=\"version\" value=\"")
            .nth(1)
            .unwrap()
            .split('"')
            .next()
            .unwrap()
            .to_owned()
    };
    let seen = version(&page);
    let save = [(&*ticks, "yes"), ("version", &*seen)];
    assert_eq!(lead.post("/public-nights/1/helpers/1", &save).await.status, 303);
    let late = lead.post("/public-nights/1/helpers/1", &save).await;
    assert_eq!(late.status, 409, "the version that was seen is old by now");

    let page = lead.get("/public-nights/1/stations/new").await.text().to_owned();
    assert!(page.contains("18:30 to 19:00") && page.contains("20:00 to 20:15"));
    assert!(!page.contains("value=\"sun\""), "the Sun is not offered at night");
    let (scope, eyepiece) = (club.id("T-3").to_string(), club.id("E-1").to_string());
    let seen = version(&page);
    let station = [
        ("telescope", &*scope),
        ("eyepiece", &*eyepiece),
        ("helper", "1"),
        ("slot-0", "moon"),
        ("slot-1", "M 45"),
        ("version", &*seen),
    ];
    let kept = lead.post("/public-nights/1/stations/new", &station).await;
    assert_eq!(kept.status, 303, "{}", kept.text());
    let page = lead.get("/public-nights/1").await.text().to_owned();
    assert!(page.contains("The Moon") && page.contains("Wren") && page.contains("T-3"));
    assert!(page.contains("The Sun is down all the while."));
    let seen = version(&page);
    let announced =
        lead.post("/public-nights/1/step", &[("step", "announce"), ("version", &*seen)]).await;
    assert_eq!(announced.status, 303, "{}", announced.text());
    let page = member.get("/public-nights/1").await.text().to_owned();
    assert!(page.contains("The Moon") && !page.contains("Wren"), "members read no names");
    assert_eq!(member.get("/public-nights/1/edit").await.status, 403);
}

#[tokio::test]
async fn every_piece_is_reserved_or_none_and_the_reservation_follows_the_plan() {
    let club = Club::new().await;
    let (_, path) = club.night(&Club::evening()).await;
    let nothing = club.lead(POST, &format!("{path}/reserve"), &Value::Null).await;
    assert_eq!(nothing.status, 409);
    let station = |number: i64, scope: &str, eyepiece: &str| json!({"number": number, "telescope": club.id(scope), "eyepiece": club.id(eyepiece), "targets": ["moon"]});
    let plan = Club::plan(&[station(1, "T-1", "E-1"), station(2, "T-2", "E-2")]);
    assert_eq!(club.lead(PUT, &format!("{path}/plan"), &plan).await.status, 200);
    // Somebody holds one eyepiece on that night.
    let wish = json!({"items": [club.id("E-2")], "first_night": "2026-12-18", "last_night": "2026-12-18", "member": 2});
    let theirs = club.desk(POST, "/api/v1/reservations", &wish).await;
    assert_eq!(theirs.status, 201, "{}", theirs.text());
    let clash = club.lead(POST, &format!("{path}/reserve"), &Value::Null).await;
    assert_eq!(clash.status, 409);
    assert!(clash.text().contains("E-2 is taken on 2026-12-18"), "{}", clash.text());
    let free = club
        .lead(GET, "/api/v1/telescopes?free_from=2026-12-18&free_to=2026-12-18", &Value::Null)
        .await;
    assert!(free.text().contains("T-1"), "nothing was kept: {}", free.text());
    let plan = Club::plan(&[station(1, "T-1", "E-1"), station(2, "T-2", "E-3")]);
    assert_eq!(club.lead(PUT, &format!("{path}/plan"), &plan).await.status, 200);
    let reserved = club.lead(POST, &format!("{path}/reserve"), &Value::Null).await;
    assert_eq!(reserved.status, 200, "{}", reserved.text());
    let first = reserved.json()["reservation"].as_i64().unwrap();
    let read = async |id: i64| {
        club.desk(GET, &format!("/api/v1/reservations/{id}"), &Value::Null).await.json()
    };
    let kept = read(first).await;
    assert_eq!(kept["state"], "confirmed", "{kept}");
    assert_eq!(kept["first_night"], "2026-12-18");
    assert_eq!(kept["items"].as_array().map(Vec::len), Some(4), "{kept}");

    // Another date: the reservation goes along, or nothing is changed.
    let later = Club::with(Club::evening(), "date", "2026-12-19");
    let moved = club.lead(PUT, &path, &later).await;
    assert_eq!(moved.status, 200, "{}", moved.text());
    let second = moved.json()["reservation"].as_i64().unwrap();
    assert_eq!(read(first).await["state"], "cancelled");
    assert_eq!(read(second).await["first_night"], "2026-12-19");
    let wish = json!({"items": [club.id("T-1")], "first_night": "2026-12-20", "last_night": "2026-12-20", "member": 2});
    assert_eq!(club.desk(POST, "/api/v1/reservations", &wish).await.status, 201);
    let onto = Club::with(Club::evening(), "date", "2026-12-20");
    assert_eq!(club.lead(PUT, &path, &onto).await.status, 409);
    let kept = club.lead(GET, &path, &Value::Null).await.json();
    assert_eq!(kept["date"], "2026-12-19", "the date stays where the pieces are");
    assert_eq!(read(second).await["state"], "confirmed");
    // Cancelled, its pieces are free.
    let done = club.lead(POST, &format!("{path}/state"), &json!({"state": "cancelled"})).await;
    assert_eq!(done.status, 200, "{}", done.text());
    assert_eq!(read(second).await["state"], "cancelled");
}

#[tokio::test]
async fn a_wish_that_nobody_approved_gives_way_and_a_promise_does_not() {
    let club = Club::new().await;
    let mut desk = club.browser("desk@example.org").await;
    let rule = [("approval", "yes"), ("turnaround", "0")];
    let scope = club.id("T-1");
    let page = format!("/desk/rules/pieces/{scope}");
    assert_eq!(desk.post(&page, &rule).await.status, 303);
    let wish = json!({"items": [scope], "first_night": "2026-06-20", "last_night": "2026-06-20"});
    let asked = club.member(POST, "/api/v1/reservations", &wish).await;
    assert_eq!(asked.json()["state"], "requested", "{}", asked.text());
    let id = asked.json()["id"].as_i64().unwrap();
    let evening = Club::with(Club::evening(), "date", "2026-06-20");
    let evening = Club::with(Club::with(evening, "starts", "23:00"), "ends", "01:00");
    let (_, path) = club.night(&evening).await;
    let plan = Club::plan(&[json!({"number": 1, "telescope": scope, "targets": ["M 13"]})]);
    assert_eq!(club.lead(PUT, &format!("{path}/plan"), &plan).await.status, 200);
    // Where the club says otherwise, it stays.
    let priority = |ahead: &'static str, before: bool, version: &'static str| {
        let mut fields = vec![("ahead", ahead), ("version", version)];
        fields.extend(before.then_some(("before_requests", "yes")));
        fields
    };
    let wrong = desk.post("/public-nights/priority", &priority("0", true, "1")).await;
    assert_eq!(wrong.status, 422);
    assert_eq!(desk.post("/public-nights/priority", &priority("10", false, "1")).await.status, 303);
    let far = club.lead(POST, &format!("{path}/reserve"), &Value::Null).await;
    assert_eq!(far.status, 409, "{}", far.text());
    assert_eq!(
        desk.post("/public-nights/priority", &priority("366", false, "2")).await.status,
        303
    );
    let stays = club.lead(POST, &format!("{path}/reserve"), &Value::Null).await;
    assert!(stays.text().contains("T-1 is taken"), "{}", stays.text());
    assert_eq!(desk.post("/public-nights/priority", &priority("366", true, "3")).await.status, 303);
    let done = club.lead(POST, &format!("{path}/reserve"), &Value::Null).await;
    assert_eq!(done.status, 200, "{}", done.text());
    let theirs = club.member(GET, &format!("/api/v1/reservations/{id}"), &Value::Null).await;
    assert_eq!(theirs.json()["state"], "declined");
    let mut lead = club.browser("lead@example.org").await;
    assert_eq!(lead.post("/public-nights/priority", &priority("5", true, "4")).await.status, 403);
}

#[tokio::test]
async fn a_program_reads_writes_and_is_told_every_fault() {
    let club = Club::new().await;
    let bad = json!({
        "name": "", "date": "soon", "starts": "x", "ends": "20:00", "site": 9,
        "stations_wanted": 13, "purpose": "party",
    });
    let refused = club.lead(POST, "/api/v1/public-nights", &bad).await;
    assert_eq!(refused.status, 422);
    let pointers: Vec<String> = refused.json()["errors"]
        .as_array()
        .unwrap()
        .iter()
        .map(|fault| fault["pointer"].as_str().unwrap().to_owned())
        .collect();
    assert_eq!(pointers, ["/name", "/date", "/starts", "/site", "/stations_wanted", "/purpose"]);
    let (id, path) = club.night(&Club::evening()).await;
    assert_eq!(club.member(GET, &path, &Value::Null).await.status, 404, "a draft is not theirs");
    assert_eq!(club.member(POST, "/api/v1/public-nights", &Club::evening()).await.status, 403);
    let plan = json!({
        "helpers": [{"number": 1}, {"number": 2, "first_name": "Wren"}, {"number": 2, "member": 1}],
        "stations": [
            {"number": 1, "telescope": club.id("T-1"), "targets": ["a lamp post"]},
            {"number": 13, "telescope": club.id("T-2"), "finder": "lost"},
        ],
    });
    let refused = club.lead(PUT, &format!("{path}/plan"), &plan).await;
    assert_eq!(refused.status, 422, "{}", refused.text());
    assert_eq!(refused.json()["errors"].as_array().map(Vec::len), Some(5), "{}", refused.text());
    let stranger =
        json!({"helpers": [{"number": 1, "member": 99, "may_run": [77]}], "stations": []});
    let refused = club.lead(PUT, &format!("{path}/plan"), &stranger).await;
    assert_eq!(refused.json()["errors"].as_array().map(Vec::len), Some(2), "{}", refused.text());
    let announced = club.lead(POST, &format!("{path}/state"), &json!({"state": "announced"})).await;
    assert_eq!(announced.status, 200, "{}", announced.text());
    let seen = club.member(GET, &path, &Value::Null).await.json();
    assert_eq!((&seen["plan"], &seen["name"]), (&Value::Null, &json!("Moon over the school")));
    assert_eq!(seen["half_hours"], json!(["18:00", "18:30", "19:00", "19:30", "20:00"]));
    let list = club.member(GET, "/api/v1/public-nights", &Value::Null).await.json();
    assert_eq!(list["public_nights"][0]["id"], id);
    // Without a version, and with an old one.
    let asked = crate::client::request(PUT, &path)
        .header("authorization", format!("Bearer {}", club.lead.reveal()))
        .header("content-type", "application/json");
    let body = axum::body::Body::from(Club::evening().to_string());
    assert_eq!(club.house.send(asked.body(body).unwrap()).await.status, 428);
    let asked = crate::client::request(PUT, &path)
        .header("authorization", format!("Bearer {}", club.lead.reveal()))
        .header("if-match", format!("\"{id}.1\""))
        .header("content-type", "application/json");
    let body = axum::body::Body::from(Club::evening().to_string());
    assert_eq!(club.house.send(asked.body(body).unwrap()).await.status, 412);
    let gone = send(&club.house, &club.lead, GET, "/api/v1/public-nights/77", &Value::Null).await;
    assert_eq!(gone.status, 404);
}

#[tokio::test]
async fn whoever_has_the_address_sees_what_and_when_and_no_names_until_it_is_closed() {
    let club = Club::new().await;
    let (id, path) = club.night(&Club::evening()).await;
    let plan = Club::plan(&[
        json!({"number": 1, "telescope": club.id("T-3"), "helper": 1, "targets": ["moon", "M 45"]}),
    ]);
    let kept = club.lead(PUT, &format!("{path}/plan"), &plan).await.json();
    assert_eq!(kept["shut"], json!([]));
    let mut lead = club.browser("lead@example.org").await;
    let version = async |lead: &mut crate::browser::Browser<'_>| {
        let page = lead.get(&format!("/public-nights/{id}")).await.text().to_owned();
        page.split("name=\"version\" value=\"")
            .nth(1)
            .unwrap()
            .split('"')
            .next()
            .unwrap()
            .to_owned()
    };
    let slug = async |lead: &mut crate::browser::Browser<'_>| {
        let page = lead.get(&format!("/public-nights/{id}")).await.text().to_owned();
        page.split("/visit/").nth(1).map(|rest| rest.split('<').next().unwrap().to_owned())
    };
    let now = version(&mut lead).await;
    let opened = lead
        .post(&format!("/public-nights/{id}/public"), &[("public", "on"), ("version", &now)])
        .await;
    assert_eq!(opened.status, 303);
    let address = slug(&mut lead).await.unwrap();
    assert!(address.starts_with("moon-over-the-school-2026-12-18-"), "{address}");
    let mut stranger = crate::browser::Browser::new(&club.house);
    let visit = format!("/visit/{address}");
    assert_eq!(stranger.get(&visit).await.status, 404, "a draft is nobody's to see");
    let done = club.lead(POST, &format!("{path}/state"), &json!({"state": "announced"})).await;
    assert_eq!(done.status, 200);
    let page = stranger.get(&visit).await;
    assert_eq!(page.status, 200);
    let text = page.text();
    assert!(
        text.contains("The Moon")
            && text.contains("18:00 to 20:15")
            && text.contains("Long Meadow")
    );
    for private in ["Wren", "Tove", "T-3", "E-1", "Adaeze", "90 visitors"] {
        assert!(!text.contains(private), "{private}");
    }
    let calendar = stranger.get(&format!("{visit}/calendar.ics")).await;
    assert_eq!(calendar.header("content-type"), "text/calendar; charset=utf-8");
    let lines = calendar.text().replace("\r\n ", "");
    assert!(
        lines.contains("DTSTART:20261218T180000Z\r\n")
            && lines.contains("DTEND:20261218T201500Z\r\n"),
        "{lines}"
    );
    assert!(lines.contains("LOCATION:Long Meadow") && lines.contains("STATUS:CONFIRMED"));
    assert!(!lines.contains("Wren"));
    // A new address ends the old one; closed, there is none.
    let now = version(&mut lead).await;
    lead.post(&format!("/public-nights/{id}/public"), &[("public", "on"), ("version", &now)]).await;
    let fresh = slug(&mut lead).await.unwrap();
    assert_ne!(fresh, address);
    assert_eq!(stranger.get(&visit).await.status, 404);
    assert_eq!(stranger.get(&format!("/visit/{fresh}")).await.status, 200);
    let now = version(&mut lead).await;
    lead.post(&format!("/public-nights/{id}/public"), &[("public", "off"), ("version", &now)])
        .await;
    assert_eq!(stranger.get(&format!("/visit/{fresh}")).await.status, 404);
    assert_eq!(stranger.get(&format!("/visit/{fresh}/calendar.ics")).await.status, 404);
}

#[tokio::test]
async fn a_station_of_a_large_club_is_put_together_from_tags_and_names() {
    let club = Club::new().await;
    club.house.put_telescopes(201).await;
    let (id, _) = club.night(&Club::evening()).await;
    let mut lead = club.browser("lead@example.org").await;
    let form = format!("/public-nights/{id}/stations/new");
    let page = lead.get(&form).await.text().to_owned();
    assert!(page.contains("name=\"telescope_called\"") && !page.contains("Lyra 150"), "{page}");
    assert!(page.contains("17 mm</option>"), "what is short stays a list");
    let seen = page.split("name=\"version\" value=\"").nth(1).unwrap();
    let seen = seen.split('"').next().unwrap().to_owned();
    let eyepiece = club.id("E-1").to_string();
    for (tag, name, state) in [("T-8", "Bent", "in_repair"), ("T-9", "Long gone", "retired")] {
        let scope = json!({"asset_tag": tag, "name": name, "layout": "refractor",
            "aperture_mm": 80, "focal_length_mm": 480, "state": state});
        assert_eq!(club.desk(POST, "/api/v1/telescopes", &scope).await.status, 201);
    }
    for (called, says) in [
        ("nowhere", "The club has no telescope “nowhere”"),
        ("E-1", "The club has no telescope “E-1”"),
        ("twin", "Several telescopes are called “twin”"),
        ("", "Name the station&#39;s telescope"),
        ("T-8", "T-8 is in repair: name another."),
        ("long gone", "T-9 is no longer lent: name another."),
    ] {
        let fields = [("telescope_called", called), ("eyepiece", &*eyepiece), ("version", &*seen)];
        let refused = lead.post(&form, &fields).await;
        assert_eq!(refused.status, 422, "{called}");
        assert!(refused.text().contains(says), "{called}: {}", refused.text());
        assert!(refused.text().contains(&format!("value=\"{called}\"")), "what was typed stays");
        assert!(refused.text().contains("href=\"#telescope_called\""), "{called}");
    }
    // All that is wrong shows at once; a filter for the Moon is none for the front.
    let moon = json!({"asset_tag": "F-9", "name": "Grey one", "kind": "moon", "barrel_mm": 31.75});
    assert_eq!(club.desk(POST, "/api/v1/filters", &moon).await.status, 201);
    let fields = [
        ("telescope_called", ""),
        ("spare_called", "T-1"),
        ("filter_called", "F-9"),
        ("slot-0", "nowhere"),
        ("version", &*seen),
    ];
    let refused = lead.post(&form, &fields).await;
    assert_eq!(refused.status, 422);
    for says in [
        "Name the station&#39;s telescope.",
        "The club has no eyepiece “T-1”",
        "F-9 is no solar filter for the whole front: name another.",
        "href=\"#slot-0\"",
    ] {
        assert!(refused.text().contains(says), "{says} is not in {}", refused.text());
    }
    let fields = [("telescope_called", "lyra 150"), ("eyepiece", &*eyepiece), ("version", &*seen)];
    let kept = lead.post(&form, &fields).await;
    assert_eq!(kept.status, 303, "{}", kept.text());
    let page = lead.get(&format!("/public-nights/{id}/stations/1")).await;
    assert!(page.text().contains("value=\"T-0150\""), "{}", page.text());
}
