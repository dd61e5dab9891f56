//! The shelf on pages: found with a few letters, told whole, changed without losing anything.

use borrowed_light::people::rights::Role;
use serde_json::json;

use crate::browser::Browser;
use crate::client::{Answer, House, PASSWORD};
use crate::lending_api::Club;

pub async fn signed_in<'a>(house: &'a House, name: &str) -> Browser<'a> {
    let mut browser = Browser::new(house);
    browser.sign_in(&format!("{name}@example.org"), PASSWORD).await;
    browser
}

/// A house with somebody who looks after the shelf.
pub async fn kept() -> House {
    let house = House::new().await;
    house.member("Desk", "desk@example.org", &[Role::Member, Role::Quartermaster]).await;
    house
}

pub async fn put(keeper: &mut Browser<'_>, kind: &str, fields: &[(&str, &str)]) -> Answer {
    let answer = keeper.post(&format!("/stock/new/{kind}"), fields).await;
    assert_eq!(answer.status, 303, "{}", answer.text());
    answer
}

pub fn eyepiece<'a>(tag: &'a str, name: &'a str, focal: &'a str) -> [(&'a str, &'a str); 3] {
    [("asset_tag", tag), ("name", name), ("focal_length_mm", focal)]
}

/// The tags on a page, in their order.
fn tags(page: &Answer) -> Vec<&str> {
    let rows = page.text().split("<li class=\"stock-row\">").skip(1);
    rows.filter_map(|row| row.split("\"tag\">").nth(1)?.split('<').next()).collect()
}

pub fn version(page: &Answer) -> String {
    let text = page.text().split("name=\"version\" value=\"").nth(1).unwrap();
    text.split('"').next().unwrap().to_owned()
}

#[tokio::test]
async fn pieces_are_found_by_any_words_and_narrowed_by_kind_and_order() {
    let house = kept().await;
    let mut desk = signed_in(&house, "desk").await;
    put(&mut desk, "eyepiece", &eyepiece("E-2", "Long one", "32")).await;
    put(&mut desk, "eyepiece", &eyepiece("E-10", "Zodiac", "7")).await;
    put(&mut desk, "eyepiece", &eyepiece("E-1", "another", "25")).await;
    put(&mut desk, "barlow", &[("asset_tag", "B-1"), ("name", "Twice"), ("factor", "2")]).await;
    assert_eq!(tags(&desk.get("/shelf").await), ["B-1", "E-1", "E-10", "E-2"]);
    assert_eq!(tags(&desk.get("/shelf?q=32%20eyep").await), ["E-2"]);
    assert_eq!(tags(&desk.get("/shelf?kind=eyepiece&order=name").await), ["E-1", "E-2", "E-10"]);
    assert_eq!(tags(&desk.get("/shelf?kind=eyepiece&order=size").await), ["E-10", "E-1", "E-2"]);
    put(
        &mut desk,
        "eyepiece",
        &[
            ("asset_tag", "E-3"),
            ("name", "Half"),
            ("focal_length_mm", "12.5"),
            ("barrel_mm", "31.75"),
        ],
    )
    .await;
    assert_eq!(tags(&desk.get("/shelf?q=25").await), ["E-1"], "not every 1.25 inch barrel");
    for typed in ["12.5", "12,5", "12"] {
        assert_eq!(tags(&desk.get(&format!("/shelf?q={typed}")).await), ["E-3"], "{typed}");
    }
    assert_eq!(tags(&desk.get("/shelf?q=1.25").await), ["E-3"]);
    let nothing = desk.get("/shelf?q=%22%20OR%20%2A").await;
    assert_eq!((nothing.status.as_u16(), tags(&nothing).len()), (200, 0), "{}", nothing.text());
    assert!(desk.get("/shelf?q=xyz").await.text().contains("Try fewer words"));
    // Whatever is no choice of ours counts as none.
    assert_eq!(tags(&desk.get("/shelf?kind=camel&order=odd&condition=x&fits=y").await).len(), 5);
}

#[tokio::test]
async fn long_lists_go_on_where_they_stopped_in_every_order() {
    let house = kept().await;
    let mut desk = signed_in(&house, "desk").await;
    for n in 1..=53 {
        let (tag, name, focal) =
            (format!("E-{n:03}"), format!("Same {}", n % 3), format!("{}", 5 + n % 7));
        put(&mut desk, "eyepiece", &eyepiece(&tag, &name, &focal)).await;
    }
    for order in ["", "name", "size"] {
        let first = desk.get(&format!("/shelf?order={order}")).await;
        let more = first.text().split("href=\"/shelf?").last().unwrap();
        let more = more.split('"').next().unwrap().replace("&#38;", "&");
        let second = desk.get(&format!("/shelf?{more}")).await;
        let mut all = tags(&first);
        assert_eq!(all.len(), 50, "{order}");
        all.extend(tags(&second));
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), 53, "{order}: none twice, none left out");
        assert!(!second.text().contains("More pieces"));
    }
}

#[tokio::test]
async fn what_is_promised_is_not_free_and_its_page_says_when_but_not_to_whom() {
    let club = Club::new().await;
    let wish = club.wish(&[0], "2026-06-05", "2026-06-07");
    let made = club.post(&club.noor, "/api/v1/reservations", Some(wish)).await.json();
    let id = made["id"].as_i64().unwrap();
    let mut ines = signed_in(&club.house, "ines").await;
    let mut desk = signed_in(&club.house, "desk").await;
    let free = ines.get("/shelf?from=2026-06-06&to=2026-06-08").await;
    assert_eq!(tags(&free), ["B-2", "B-3", "B-4"]);
    assert_eq!(tags(&ines.get("/shelf?from=2026-06-08").await).len(), 4);
    let wrong = ines.get("/shelf?from=8.6.").await;
    assert_eq!(wrong.status, 422);
    assert!(wrong.text().contains("value=\"8.6.\""), "what was typed stays");

    let page = ines.get("/shelf/B-1").await;
    let text = page.text();
    assert!(text.contains("Friday 5 to Sunday 7 June 2026"), "{text}");
    assert!(text.contains("In store, promised for tonight"), "{text}");
    assert!(!text.contains("noor") && !text.contains("/desk/"), "{text}");
    let page = desk.get("/shelf/b-1").await;
    assert!(page.text().contains(&format!("href=\"/desk/{id}\">Hand it over")), "{}", page.text());

    let fields = [
        (format!("take_{}", club.items[0]), "yes"),
        ("signed_name".into(), "Noor"),
        ("acknowledged".into(), "yes"),
        ("cautions_version".into(), "1"),
    ];
    let fields: Vec<(&str, &str)> = fields.iter().map(|(name, to)| (name.as_str(), *to)).collect();
    let out = desk.post(&format!("/desk/{id}/hand-over"), &fields).await;
    assert_eq!(out.status, 303, "{}", out.text());
    let text = ines.get("/shelf/B-1").await.text().to_owned();
    assert!(text.contains("Out until Monday 8 June") && text.contains("Went out"), "{text}");
    assert!(!text.contains("has it"), "{text}");
    let text = desk.get("/shelf/B-1").await.text().to_owned();
    assert!(text.contains("has it.") && text.contains("Take it back"), "{text}");
    let mut noor = signed_in(&club.house, "noor").await;
    let text = noor.get("/shelf/B-1").await.text().to_owned();
    assert!(text.contains("You have it.") && text.contains(&format!("/mine/{id}")), "{text}");
}

#[tokio::test]
async fn a_form_that_is_refused_keeps_what_was_typed_and_one_that_is_odd_is_saved_with_a_word() {
    let house = kept().await;
    let mut desk = signed_in(&house, "desk").await;
    assert!(desk.get("/stock/new/eyepiece").await.text().contains("value=\"E-001\""));
    let mut wrong = eyepiece("E 1", "<script>alert(1)</script>", "1 inch").to_vec();
    wrong.push(("field_stop_mm", "40"));
    let refused = desk.post("/stock/new/eyepiece", &wrong).await;
    assert_eq!(refused.status, 422);
    let text = refused.text();
    assert!(
        text.contains("value=\"E 1\"") && text.contains("25.4") && text.contains("value=\"40\"")
    );
    assert!(!text.contains("<script>alert"), "{text}");

    let odd = [
        ("asset_tag", "club/E.1"),
        ("name", "Wide"),
        ("focal_length_mm", "30"),
        ("apparent_field_deg", "82"),
        ("barrel_mm", "31.75"),
        ("notes", "blue dot\n<b>"),
    ];
    let mut look = odd.to_vec();
    look.push(("check", "yes"));
    let looked = desk.post("/stock/new/eyepiece", &look).await;
    assert_eq!(looked.status, 200);
    assert!(
        looked.text().contains("a 31.75") || looked.text().contains("31.8"),
        "{}",
        looked.text()
    );
    assert!(tags(&desk.get("/shelf").await).is_empty(), "looking over saves nothing");

    let saved = put(&mut desk, "eyepiece", &odd).await;
    assert_eq!(saved.header("location"), "/shelf/club%2FE.1?done=added");
    let page = desk.get(saved.header("location")).await;
    assert_eq!(page.status, 200);
    let text = page.text();
    assert!(text.contains("Worth another look") && text.contains("has room for"), "{text}");
    assert!(text.contains("Came to the shelf") && text.contains("&#60;b&#62;"), "{text}");
    let taken = desk.post("/stock/new/eyepiece", &odd).await;
    assert_eq!(taken.status, 422);
    assert!(taken.text().contains("Another item bears the tag club/E.1"));
    let like = desk.get("/stock/new/eyepiece?like=club/E.1").await;
    assert!(like.text().contains("value=\"82\"") && !like.text().contains("value=\"club/E.1\""));
}

async fn send(who: &mut Browser<'_>, form: &[(String, String)]) -> Answer {
    let form: Vec<(&str, &str)> = form.iter().map(|(n, v)| (n.as_str(), v.as_str())).collect();
    who.post("/shelf/E-1/edit", &form).await
}

#[tokio::test]
async fn two_who_change_one_piece_see_each_other_and_lose_nothing() {
    let house = kept().await;
    house.member("Tomasz", "tomasz@example.org", &[Role::Member, Role::Quartermaster]).await;
    let (mut one, mut other) = (signed_in(&house, "desk").await, signed_in(&house, "tomasz").await);
    put(&mut one, "eyepiece", &eyepiece("E-1", "Wide", "25")).await;
    let (seen, seen_too) =
        (version(&one.get("/shelf/E-1/edit").await), version(&other.get("/shelf/E-1/edit").await));
    assert_eq!(seen, seen_too);
    let form = |version: &str, name: &str, field: &str, mass: &str| {
        [
            ("version", version),
            ("asset_tag", "E-1"),
            ("name", name),
            ("focal_length_mm", "25"),
            ("apparent_field_deg", field),
            ("mass_g", mass),
        ]
        .map(|(name, value)| (name.to_owned(), value.to_owned()))
    };
    assert_eq!(send(&mut one, &form(&seen, "Wide, blue", "60", "")).await.status, 303);
    let late = send(&mut other, &form(&seen, "Wide", "52", "120")).await;
    assert_eq!(late.status, 409);
    let text = late.text();
    assert!(text.contains("was nothing, is now 60°") && text.contains("you typed 52°"), "{text}");
    assert!(text.contains("value=\"Wide, blue\"") && text.contains("value=\"120\""), "{text}");
    assert!(text.contains("value=\"52\""), "{text}");
    let again = form(&version(&late), "Wide, blue", "52", "120");
    assert_eq!(send(&mut other, &again).await.status, 303);
    let text = one.get("/shelf/E-1").await.text().to_owned();
    assert!(text.contains("Apparent field: 60°") && text.contains("Wide, blue"), "{text}");
    assert_eq!(send(&mut other, &form("nonsense", "x", "52", "120")).await.status, 409);
}

#[tokio::test]
async fn the_list_is_narrowed_to_what_suits_ones_eyes_by_the_judge() {
    let house = kept().await;
    house.member("Ines", "ines@example.org", &[Role::Member]).await;
    let mut desk = signed_in(&house, "desk").await;
    let scope = [
        ("asset_tag", "T-1"),
        ("name", "Heron"),
        ("layout", "refractor"),
        ("aperture_mm", "80"),
        ("focal_length_mm", "480"),
        ("focuser_barrel_mm", "50.8"),
    ];
    put(&mut desk, "telescope", &scope).await;
    // 80 mm carry 126 times at the very most (40 an inch): 480 / 2.5 is beyond that.
    for (tag, focal, relief) in [("E-1", "25", "18"), ("E-2", "2.5", "18"), ("E-3", "24", "6")] {
        let mut fields = eyepiece(tag, "glass", focal).to_vec();
        fields.extend([("eye_relief_mm", relief), ("barrel_mm", "31.75")]);
        put(&mut desk, "eyepiece", &fields).await;
    }
    put(&mut desk, "barlow", &[("asset_tag", "B-1"), ("name", "2×"), ("factor", "2")]).await;
    let mut ines = signed_in(&house, "ines").await;
    let all = ines.get("/shelf").await;
    assert_eq!(tags(&all), ["B-1", "E-1", "E-2", "E-3", "T-1"]);
    assert!(all.text().contains("Anyone, first time at an eyepiece"), "{}", all.text());
    assert!(!all.text().contains(">Desk<"), "she asks for nobody else");
    // Anyone keeps their glasses on: 6 mm of relief is too little.
    let anyone = ines.get("/shelf?suits=anyone").await;
    assert_eq!(tags(&anyone), ["B-1", "E-1", "T-1"], "{}", anyone.text());
    assert!(anyone.text().contains("fit for anyone"), "{}", anyone.text());
    assert_eq!(ines.get("/shelf?suits=1").await.status, 404, "that is the desk's member");
    assert_eq!(ines.get("/shelf?suits=nobody").await.status, 404);
    let described = ines.get("/shelf?suits=mature-in-glasses").await;
    assert_eq!(described.status, 200);
    assert!(described.text().contains("fit for somebody of 50 to 69 who keeps glasses on"));
    assert!(described.text().contains("<option value=\"young\">Somebody under 30</option>"));
}

#[tokio::test]
async fn a_piece_may_bear_any_tag_even_one_that_is_a_word_of_ours() {
    let house = kept().await;
    let mut desk = signed_in(&house, "desk").await;
    for tag in ["new", "edit", "photos"] {
        let made = put(&mut desk, "eyepiece", &eyepiece(tag, "25 mm", "25")).await;
        assert_eq!(made.status, 303, "{}", made.text());
        let form = desk.get(&format!("/shelf/{tag}/edit")).await;
        assert_eq!(form.status, 200, "{tag}");
        assert!(form.text().contains(&format!("Change {tag}")), "{tag}: {}", form.text());
        assert_eq!(desk.get(&format!("/shelf/{tag}/papers")).await.status, 200, "{tag}");
    }
}

#[tokio::test]
async fn what_is_not_there_or_not_theirs_leads_back() {
    let club = Club::new().await;
    let mut ines = signed_in(&club.house, "ines").await;
    for path in ["/shelf/none", "/shelf/%00", "/shelf/a%20b"] {
        let answer = ines.get(path).await;
        assert_eq!(answer.status, 404, "{path}");
        assert!(answer.text().contains("href=\"/shelf\""));
    }
    for path in ["/stock/new/eyepiece", "/shelf/B-1/edit"] {
        assert_eq!(ines.get(path).await.status, 403, "{path}");
        assert_eq!(ines.post(path, &[]).await.status, 403, "{path}");
    }
    let mut desk = signed_in(&club.house, "desk").await;
    assert_eq!(desk.get("/stock/new/camel").await.status, 404);
    let text = ines.get("/shelf/B-1").await.text().to_owned();
    assert!(!text.contains("/edit") && text.contains("Reserve it"), "{text}");
    let gone = json!({"asset_tag": "B-9", "name": "Gone", "factor": 2, "state": "retired"});
    assert_eq!(club.post(&club.desk, "/api/v1/barlows", Some(gone)).await.status, 201);
    assert_eq!(tags(&ines.get("/shelf").await).len(), 4, "retired ones only where asked for");
    assert_eq!(tags(&ines.get("/shelf?condition=retired").await), ["B-9"]);
    assert_eq!(tags(&ines.get("/shelf?condition=all").await).len(), 5);
    assert!(!ines.get("/shelf/B-9").await.text().contains("Reserve it"));
}
