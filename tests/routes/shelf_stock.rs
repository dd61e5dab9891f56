//! The shelf as a whole: papers, sets, lists, labels and tables.

use axum::http::Method;
use borrowed_light::people::rights::Role;
use serde_json::json;

use crate::browser::Browser;
use crate::client::{Answer, House, PASSWORD};
use crate::lending_api::Club;

async fn signed_in<'a>(house: &'a House, name: &str) -> Browser<'a> {
    let mut browser = Browser::new(house);
    browser.sign_in(&format!("{name}@example.org"), PASSWORD).await;
    browser
}

async fn text(browser: &mut Browser<'_>, path: &str) -> String {
    let answer = browser.get(path).await;
    assert_eq!(answer.status, 200, "{path}: {}", answer.text());
    answer.text().to_owned()
}

fn hidden(page: &str, name: &str) -> String {
    let rest = page.split(&format!("name=\"{name}\" value=\"")).nth(1).unwrap_or_default();
    rest.split('"').next().unwrap_or_default().to_owned()
}

async fn papers(desk: &mut Browser<'_>, tag: &str, fields: &[(&str, &str)]) -> Answer {
    let path = format!("/shelf/{tag}/papers");
    let version = hidden(&text(desk, &path).await, "version");
    let mut all = vec![("version", version.as_str())];
    all.extend(fields);
    desk.post(&path, &all).await
}

#[tokio::test]
async fn an_accessory_is_kept_lent_and_found_like_everything_else() {
    let club = Club::new().await;
    let mut desk = signed_in(&club.house, "desk").await;
    let fields = [
        ("asset_tag", "A-1"),
        ("name", "Prism diagonal"),
        ("kind", "diagonal"),
        ("barrel_mm", "31.75"),
        ("light_path_mm", "68"),
    ];
    let wrong = [("asset_tag", "A-1"), ("name", "x"), ("kind", "case"), ("capacity_wh", "80")];
    let refused = desk.post("/stock/new/accessory", &wrong).await;
    assert_eq!(refused.status, 422);
    assert!(refused.text().contains("Only a power pack has a capacity"), "{}", refused.text());
    let nothing = desk.post("/stock/new/accessory", &wrong[..2]).await;
    assert!(nothing.text().contains("Choose what it is"), "{}", nothing.text());
    assert_eq!(desk.post("/stock/new/accessory", &fields).await.status, 303);
    let page = text(&mut desk, "/shelf?q=star%20diag").await;
    assert!(page.contains("A-1") && page.contains("Diagonal, 31.8"), "{page}");
    let list = club.get(&club.noor, "/api/v1/accessories").await.json();
    assert_eq!(list["items"][0]["light_path_mm"], 68.0, "{list}");
    let id = &list["items"][0]["id"];
    let wish = json!({"items": [id], "first_night": "2026-06-05", "last_night": "2026-06-05"});
    let made = club.post(&club.noor, "/api/v1/reservations", Some(wish)).await;
    assert_eq!(made.status, 201, "{}", made.text());
    let same = json!({"name": "x", "kind": "finder", "factor": 1.1});
    let refused = club.post(&club.desk, "/api/v1/accessories", Some(same)).await;
    assert_eq!(refused.json()["errors"][0]["pointer"], "/factor");
    let changed = json!({"name": "Prism", "kind": "diagonal"});
    let path = format!("/api/v1/accessories/{id}");
    let if_match = [("if-match", "\"1\"")];
    let put = club.ask(&club.desk, Method::PUT, &path, &if_match, Some(changed)).await;
    assert_eq!((put.status.as_u16(), put.json()["asset_tag"].as_str()), (200, Some("A-1")));
}

#[tokio::test]
async fn papers_are_kept_and_told_to_whom_they_concern() {
    let club = Club::new().await;
    let (mut desk, mut ines) =
        (signed_in(&club.house, "desk").await, signed_in(&club.house, "ines").await);
    let noor = club.noor.member.to_string();
    let fields = [
        ("owner", noor.as_str()),
        ("value", "340,50"),
        ("place", "Cupboard 2 <b>"),
        ("serial", "SN 7"),
        ("bought_on", "2019-03-01"),
    ];
    let wrong = [("value", "a lot"), ("bought_on", "31.2.2019"), ("place", "Attic")];
    let refused = papers(&mut desk, "B-1", &wrong).await;
    assert_eq!(refused.status, 422);
    assert_eq!(refused.text().matches("class=\"slip\"").count(), 2, "{}", refused.text());
    assert!(refused.text().contains("value=\"Attic\""), "what was typed stays");
    assert_eq!(papers(&mut desk, "B-1", &fields).await.status, 303);
    let page = text(&mut desk, "/shelf/B-1").await;
    for told in ["340.50", "Cupboard 2 &#60;b&#62;", "SN 7", "noor", "Belongs to: nothing"] {
        assert!(page.contains(told), "{told}: {page}");
    }
    let page = text(&mut ines, "/shelf/B-1").await;
    assert!(page.contains("Cupboard 2"), "{page}");
    for kept in ["noor", "SN 7", "2019-03-01"] {
        assert!(!page.contains(kept), "{kept} is the desk's business");
    }
    assert!(text(&mut ines, "/shelf?q=cupb").await.contains("B-1"), "found by its place");
    let figures = [("asset_tag", "B-1"), ("name", "Twice"), ("factor", "2")];
    let version = hidden(&text(&mut desk, "/shelf/B-1/edit").await, "version");
    let mut edit = figures.to_vec();
    edit.push(("version", &version));
    assert_eq!(desk.post("/shelf/B-1/edit", &edit).await.status, 303);
    assert!(text(&mut ines, "/shelf?q=cupb").await.contains("B-1"), "still after an edit");

    let page = text(&mut desk, "/stock/values").await;
    assert!(page.contains("All together 340.50") && page.contains("noor"), "{page}");
    let csv = text(&mut desk, "/stock/values.csv").await;
    assert!(
        csv.contains("B-1,Twice,barlow,in_service,340.50,noor,Cupboard 2 <b>,SN 7,2019-03-01"),
        "{csv}"
    );
    assert_eq!(papers(&mut desk, "B-2", &[("donor", "=1+1")]).await.status, 303);
    assert_eq!(papers(&mut desk, "B-2", &[("serial", "@x"), ("place", "-y")]).await.status, 303);
    let csv = text(&mut desk, "/stock/values.csv").await;
    assert!(csv.contains("'@x") && csv.contains("'-y"), "no formula begins in a cell: {csv}");
}

#[tokio::test]
async fn two_who_write_papers_see_each_other() {
    let club = Club::new().await;
    let mut desk = signed_in(&club.house, "desk").await;
    let seen = hidden(&text(&mut desk, "/shelf/B-1/papers").await, "version");
    assert_eq!(papers(&mut desk, "B-1", &[("place", "Cupboard 1")]).await.status, 303);
    let late = [("version", seen.as_str()), ("place", "Cupboard 2"), ("value", "12")];
    let late = desk.post("/shelf/B-1/papers", &late).await;
    assert_eq!(late.status, 409);
    assert!(late.text().contains("you typed Cupboard 2"), "{}", late.text());
    assert!(late.text().contains("value=\"12\""), "{}", late.text());
}

#[tokio::test]
async fn what_belongs_to_a_telescope_is_ticked_at_the_desk() {
    let club = Club::new().await;
    let scope =
        json!({"asset_tag": "T-1", "name": "Heron", "aperture_mm": 80, "focal_length_mm": 480});
    let scope = club.post(&club.desk, "/api/v1/telescopes", Some(scope)).await.json();
    let mut desk = signed_in(&club.house, "desk").await;
    let set = [("set", "Finder\r\n\r\n  Dust cap <b> \r\n")];
    assert_eq!(papers(&mut desk, "T-1", &set).await.status, 303);
    let page = text(&mut desk, "/shelf/T-1").await;
    assert!(
        page.contains("<li>Finder</li>") && page.contains("<li>Dust cap &#60;b&#62;</li>"),
        "{page}"
    );
    assert!(!text(&mut desk, "/shelf/B-1/papers").await.contains("name=\"set\""));
    let wish =
        json!({"items": [scope["id"]], "first_night": "2026-06-05", "last_night": "2026-06-05"});
    let made = club.post(&club.noor, "/api/v1/reservations", Some(wish)).await.json();
    let (id, item) = (made["id"].to_string(), scope["id"].to_string());
    assert!(text(&mut desk, &format!("/desk/{id}/sheet")).await.contains("Dust cap"));
    let page = text(&mut desk, &format!("/desk/{id}")).await;
    assert!(page.contains(&format!("name=\"set_{item}_2\"")), "{page}");
    let (take, part) = (format!("take_{item}"), format!("set_{item}_1"));
    let fields = [
        (take.as_str(), "yes"),
        (part.as_str(), "yes"),
        ("signed_name", "Noor"),
        ("acknowledged", "yes"),
        ("cautions_version", "1"),
    ];
    let out = desk.post(&format!("/desk/{id}/hand-over"), &fields).await;
    assert_eq!(out.status, 303, "{}", out.text());
    let page = text(&mut desk, &format!("/desk/{id}")).await;
    assert!(page.contains("Comes back with Finder and Dust cap"), "{page}");
    assert!(page.contains("Stayed here: Dust cap &#60;b&#62;."), "{page}");
}

#[tokio::test]
async fn labels_are_made_for_a_kind_or_for_some_tags() {
    let club = Club::new().await;
    let mut desk = signed_in(&club.house, "desk").await;
    assert!(text(&mut desk, "/stock/labels").await.contains("Make the sheet"));
    let pdf = desk.get("/stock/labels.pdf?sheet=letter-30&tags=B-1,%20b-2&skip=30").await;
    assert_eq!((pdf.status.as_u16(), pdf.header("content-type")), (200, "application/pdf"));
    let bytes = String::from_utf8_lossy(&pdf.body);
    assert!(bytes.starts_with("%PDF-1.7") && bytes.contains("[0 0 612.00 792.00]"));
    assert_eq!(bytes.matches("/Type /Page ").count(), 2, "the second label is on the next sheet");
    assert_eq!(bytes.matches("<422D31>").count(), 1, "B-1 once");
    for path in ["/stock/labels.pdf?tags=B-1%20X-9", "/stock/labels.pdf?kind=telescope"] {
        let refused = desk.get(path).await;
        assert_eq!(refused.status, 422, "{path}");
        assert!(refused.header("content-type").starts_with("text/html"));
    }
    assert!(desk.get("/stock/labels.pdf?tags=B-1%20X-9").await.text().contains("X-9"));
}

async fn send_table(desk: &mut Browser<'_>, fields: &[(&str, String); 3]) -> Answer {
    let fields: Vec<(&str, &str)> = fields.iter().map(|(n, v)| (*n, v.as_str())).collect();
    desk.post("/stock/import", &fields).await
}

#[tokio::test]
async fn a_table_is_looked_at_first_and_then_taken_in_whole() {
    let club = Club::new().await;
    let mut desk = signed_in(&club.house, "desk").await;
    let out = text(&mut desk, "/stock/tables/barlow.csv").await;
    let send = |table: &str, seen: &str| {
        [("kind", "barlow".to_owned()), ("table", table.to_owned()), ("seen", seen.to_owned())]
    };
    let same = send_table(&mut desk, &send(&out, "")).await;
    assert!(same.text().contains("written already, just so"), "{}", same.text());
    let changed = out.replacen("B-1,2× Barlow,2,", "B-1,2× Barlow,2.5,", 1)
        + "B-9,<script>alert(1)</script>,3,,,,,,\r\n";
    let look = send_table(&mut desk, &send(&changed, "")).await;
    let page = look.text();
    assert!(page.contains("Add 1, change 1, leave 3"), "{page}");
    assert!(page.contains("Factor: 2 becomes 2.5") && !page.contains("<script>alert"), "{page}");
    assert!(!text(&mut desk, "/shelf").await.contains("B-9"), "nothing is stored yet");
    let mark = hidden(page, "seen");
    let wrong = changed.replacen("B-9,", "B-1,", 1) + "B-8,x,700,,,,,,\r\n";
    let refused = send_table(&mut desk, &send(&wrong, &mark)).await;
    assert_eq!(refused.status, 422);
    assert!(refused.text().contains("line 7, factor"), "{}", refused.text());
    // Somebody changes the shelf between look and order: it is shown again instead of done.
    let other = json!({"asset_tag": "B-9", "name": "Other", "factor": 2});
    club.post(&club.desk, "/api/v1/barlows", Some(other)).await;
    let again = send_table(&mut desk, &send(&changed, &mark)).await;
    assert!(again.text().contains("The shelf has changed since you looked"), "{}", again.text());
    let mark = hidden(again.text(), "seen");
    let taken = send_table(&mut desk, &send(&changed, &mark)).await;
    assert!(taken.text().contains("The table is taken in"), "{}", taken.text());
    let out = text(&mut desk, "/stock/tables/barlow.csv").await;
    assert!(out.contains("B-1,2× Barlow,2.5,") && out.contains("B-9,<script>"), "{out}");
    assert_eq!(desk.get("/stock/tables/camel.csv").await.status, 404);
    let nothing = desk.post("/stock/import", &[("kind", "camel"), ("table", "x")]).await;
    assert_eq!(nothing.status, 422);
}

#[tokio::test]
async fn papers_upkeep_and_inspections_are_looked_at_first_and_then_taken_in_too() {
    let club = Club::new().await;
    let mut desk = signed_in(&club.house, "desk").await;
    papers(&mut desk, "B-2", &[("value", "340.50"), ("serial", "S-77")]).await;
    let out = text(&mut desk, "/stock/tables/papers.csv").await;
    let upkeep = "asset_tag,what,every_months,every_loans,last_done\r\n";
    let seen = "asset_tag,day,finding,state,noted_at,noted_by_member_number\r\n";
    let cases = [
        ("papers", out.replacen("340.50", "99", 1), "Value: 340.50 becomes 99", "X-1,,,,,,,,\r\n"),
        (
            "upkeep",
            format!("{upkeep}B-1,Clean <b>,12,5,2026-01-31\r\n"),
            "every 12 months or after every 5 loans, last done on 31 January 2026",
            "X-1,Clean,12,,2026-01-31\r\n",
        ),
        (
            "inspections",
            format!("{seen}B-1,2026-05-01,fungus,in_repair,2026-05-01T18:00:00Z,\r\n"),
            "1 May 2026: “fungus”",
            "X-1,2026-05-01,dust,in_service,2026-05-01T18:00:00Z,\r\n",
        ),
    ];
    for (list, table, says, stray) in cases {
        let send = |table: &str, seen: &str| {
            [("kind", list.to_owned()), ("table", table.to_owned()), ("seen", seen.to_owned())]
        };
        let before = text(&mut desk, &format!("/stock/tables/{list}.csv")).await;
        let look = send_table(&mut desk, &send(&table, "")).await;
        assert_eq!(look.status, 200);
        let page = look.text();
        assert!(page.contains(says) && !page.contains("Clean <b>"), "{list}: {page}");
        let mark = hidden(page, "seen");
        let mixed = format!("{table}{stray}");
        let refused = send_table(&mut desk, &send(&mixed, &mark)).await;
        assert_eq!(refused.status, 422);
        let line = "line 3, asset_tag: Nothing on the shelf bears the tag X-1.";
        assert!(refused.text().contains(line), "{}", refused.text());
        let file = format!("/stock/tables/{list}.csv");
        assert_eq!(text(&mut desk, &file).await, before, "nothing of it stayed");
        let taken = send_table(&mut desk, &send(&table, &mark)).await;
        assert!(taken.text().contains("The table is taken in"), "{}", taken.text());
        assert_eq!(text(&mut desk, &file).await, table, "and goes out as it came in");
        let same = send_table(&mut desk, &send(&table, "")).await;
        assert!(same.text().contains("written already, just so"), "{}", same.text());
    }
    // What a piece's list lacks in the table is taken off, and said before.
    let less = format!("{upkeep}B-1,Dust it,1,,2026-02-28\r\n");
    let fields = [("kind", "upkeep".to_owned()), ("table", less), ("seen", String::new())];
    let page = send_table(&mut desk, &fields).await;
    assert!(page.text().contains("Add 1, change 0, take off 1"), "{}", page.text());
    assert!(page.text().contains("Clean &#60;b&#62;"), "{}", page.text());
}

#[tokio::test]
async fn what_was_used_is_counted_and_what_never_was_is_said() {
    let club = Club::new().await;
    let mut desk = signed_in(&club.house, "desk").await;
    let wish = club.wish(&[0], "2026-06-05", "2026-06-07");
    let made = club.post(&club.noor, "/api/v1/reservations", Some(wish)).await.json();
    let path = format!("/api/v1/reservations/{}/hand-over", made["id"]);
    club.post(&club.desk, &path, Some(json!({"signed_name": "Noor"}))).await;
    club.house.state.clock.advance(jiff::SignedDuration::from_hours(71));
    let mut desk_later = signed_in(&club.house, "desk").await;
    let page = text(&mut desk_later, "/stock/use").await;
    assert!(page.contains("Four pieces on the shelf; three of them never left it"), "{page}");
    let csv = text(&mut desk_later, "/stock/use.csv").await;
    assert!(csv.contains("B-1,2× Barlow,barlow,1,3,2026-06-05"), "{csv}");
    assert!(csv.contains("B-2,2× Barlow,barlow,0,0,\r\n"), "{csv}");
    club.house.account("ada@example.org", &[Role::Admin]).await;
    let mut ada = signed_in(&club.house, "ada").await;
    for path in ["/stock/use", "/stock/values.csv", "/stock/tables/barlow.csv", "/stock/labels.pdf"]
    {
        assert_eq!(ada.get(path).await.status, 403, "{path}");
    }
    drop(desk.get("/stock").await);
}

#[tokio::test]
async fn values_and_use_are_printed_and_what_is_written_besides_figures_is_a_table() {
    let club = Club::new().await;
    let mut desk = signed_in(&club.house, "desk").await;
    let saved = papers(&mut desk, "B-2", &[("value", "340.50"), ("serial", "S-77")]).await;
    assert_eq!(saved.status, 303, "{}", saved.text());
    let hex = |text: &str| borrowed_light::web::secret::hex(text.as_bytes()).to_uppercase();
    for (path, told) in [
        ("/stock/values.pdf", vec!["B-2", "340.50", "S-77", "without a value", "The club"]),
        ("/stock/use.pdf", vec!["B-1", "B-4", "never out"]),
    ] {
        let paper = desk.get(path).await;
        assert_eq!(paper.status, 200, "{path}");
        assert_eq!(paper.header("content-type"), "application/pdf");
        assert_eq!(paper.header("cache-control"), "no-store");
        assert!(paper.body.starts_with(b"%PDF-1.7"), "{path}");
        let text = String::from_utf8_lossy(&paper.body).into_owned();
        for told in told {
            assert!(text.contains(&hex(told)), "{path}: {told}");
        }
    }
    assert!(text(&mut desk, "/stock/values").await.contains("href=\"/stock/values.pdf\""));
    let table = text(&mut desk, "/stock/tables/papers.csv").await;
    assert!(table.starts_with("asset_tag,owner_member_number,donor,serial,"), "{table}");
    assert!(table.contains("B-2,,,S-77,,340.50,,,"), "{table}");
    for word in ["upkeep", "inspections"] {
        let table = text(&mut desk, &format!("/stock/tables/{word}.csv")).await;
        assert!(table.starts_with("asset_tag,"), "{table}");
    }
    assert_eq!(desk.get("/stock/tables/wishes.csv").await.status, 404);
    assert!(text(&mut desk, "/stock").await.contains("/stock/tables/papers.csv"));
    let mut ines = signed_in(&club.house, "ines").await;
    for path in ["/stock/values.pdf", "/stock/use.pdf", "/stock/tables/papers.csv"] {
        assert_eq!(ines.get(path).await.status, 403, "{path}");
    }
}

#[tokio::test]
async fn the_list_of_use_goes_on_where_it_stopped_and_what_is_out_stands_in_its_place() {
    let club = Club::new().await;
    let mut desk = signed_in(&club.house, "desk").await;
    for n in 1..=70 {
        let tag = format!("X-{n:03}");
        let fields = [("asset_tag", tag.as_str()), ("name", "Twice"), ("factor", "2")];
        assert_eq!(desk.post("/stock/new/barlow", &fields).await.status, 303);
    }
    let wish = club.wish(&[3], "2026-06-05", "2026-06-07");
    let made = club.post(&club.noor, "/api/v1/reservations", Some(wish)).await.json();
    let path = format!("/api/v1/reservations/{}/hand-over", made["id"]);
    club.post(&club.desk, &path, Some(json!({"signed_name": "Noor"}))).await;
    let tags = |page: &str| -> Vec<String> {
        let rows = page.split("<span class=\"tag\">").skip(1);
        rows.filter_map(|row| Some(row.split('<').next()?.to_owned())).collect()
    };
    let first = text(&mut desk, "/stock/use").await;
    let mut all = tags(&first);
    assert_eq!((all.len(), all[0].as_str()), (60, "B-4"), "{first}");
    assert!(first.contains("14 more stand in the table"), "{first}");
    let next = first.split("href=\"/stock/use?").nth(1).unwrap().split('"').next().unwrap();
    let second = text(&mut desk, &format!("/stock/use?{}", next.replace("&#38;", "&"))).await;
    assert!(!second.contains("More pieces") && !second.contains("more stand"), "{second}");
    assert!(first.contains("never left it") && !second.contains("never left it"), "{second}");
    all.extend(tags(&second));
    assert_eq!(all.len(), 74);
    all.sort();
    all.dedup();
    assert_eq!(all.len(), 74, "none twice, none left out");
    // What is no place in the list is its beginning.
    assert_eq!(tags(&text(&mut desk, "/stock/use?nights=x&after=%3Cb%3E").await), tags(&first));
}
