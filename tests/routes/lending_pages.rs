//! Reserving, fetching and bringing back, on pages and without any script.

use axum::http::Method;

use crate::browser::Browser;
use crate::client::PASSWORD;
use crate::lending_api::Club;

async fn signed_in<'a>(club: &'a Club, name: &str) -> Browser<'a> {
    let mut browser = Browser::new(&club.house);
    browser.sign_in(&format!("{name}@example.org"), PASSWORD).await;
    browser
}

fn between<'a>(text: &'a str, start: &str, end: &str) -> &'a str {
    text.split(start).nth(1).and_then(|rest| rest.split(end).next()).unwrap_or_default()
}

#[tokio::test]
async fn a_form_sent_twice_makes_one_reservation() {
    let club = Club::new().await;
    let mut ines = signed_in(&club, "ines").await;
    let items = format!("{},{}", club.items[0], club.items[1]);
    let path = format!("/reserve?items={items}&from=2026-06-12&to=2026-06-14");
    let page = ines.get(&path).await;
    assert_eq!(page.status, 200, "{}", page.text());
    assert!(page.text().contains("B-1") && page.text().contains("B-2"));
    let once = between(page.text(), "name=\"once\" value=\"", "\"").to_owned();
    let fields = [
        ("items", items.as_str()),
        ("from", "2026-06-12"),
        ("to", "2026-06-14"),
        ("once", once.as_str()),
    ];
    let first = ines.post("/reserve", &fields).await;
    let second = ines.post("/reserve", &fields).await;
    assert_eq!(first.status, 303, "{}", first.text());
    assert_eq!(first.header("location"), second.header("location"));
    let all = club.get(&club.ines, "/api/v1/reservations").await.json();
    assert_eq!(all["reservations"].as_array().unwrap().len(), 1);
    let mine = ines.get("/mine").await;
    assert!(mine.text().contains("Friday 12 to Sunday 14 June 2026"), "{}", mine.text());
}

#[tokio::test]
async fn a_reservation_is_for_the_site_that_was_chosen() {
    let club = Club::new().await;
    let mut desk = signed_in(&club, "desk").await;
    for (name, latitude) in [("The hill", "52.5"), ("The meadow", "52.2")] {
        let site = [
            ("name", name),
            ("latitude", latitude),
            ("longitude", "-3.1"),
            ("time_zone", "Europe/London"),
            ("sky_brightness", "21.6"),
        ];
        assert_eq!(desk.post("/sites", &site).await.status, 303);
    }
    let mut ines = signed_in(&club, "ines").await;
    let items = club.items[0].to_string();
    let path = format!("/reserve?items={items}&from=2026-06-12&to=2026-06-14");
    let page = ines.get(&path).await.text().to_owned();
    assert!(page.contains("<option value=\"1\" selected>The hill"), "the usual one first: {page}");
    let page = ines.get(&format!("{path}&site=2")).await.text().to_owned();
    assert!(page.contains("<option value=\"2\" selected>The meadow"), "{page}");
    let nights = [("items", items.as_str()), ("from", "2026-06-12"), ("to", "2026-06-14")];
    let gone = ines.post("/reserve", &[&nights[..], &[("site", "9")]].concat()).await;
    assert_eq!(gone.status, 422, "{}", gone.text());
    assert!(gone.text().contains("no observing site with this number"), "{}", gone.text());
    let made = ines.post("/reserve", &[&nights[..], &[("site", "2")]].concat()).await;
    assert_eq!(made.status, 303, "{}", made.text());
    let one = ines.get(made.header("location")).await;
    assert!(one.text().contains("The meadow"), "{}", one.text());
    let all = club.get(&club.ines, "/api/v1/reservations").await.json();
    assert_eq!(all["reservations"][0]["site"], 2);

    let mut wish = club.wish(&[1], "2026-06-12", "2026-06-14");
    wish["site"] = 9.into();
    let gone = club.post(&club.ines, "/api/v1/reservations", Some(wish.clone())).await;
    assert_eq!(
        (gone.status.as_u16(), gone.json()["errors"][0]["pointer"].as_str()),
        (422, Some("/site")),
        "{}",
        gone.text()
    );
    wish["site"] = 1.into();
    let made = club.post(&club.ines, "/api/v1/reservations", Some(wish)).await;
    assert_eq!(made.json()["site"], 1);
    // When the club gives a site up, what was meant for it is for the usual one.
    assert_eq!(desk.post("/sites/2/remove", &[]).await.status, 303);
    let all = club.get(&club.ines, "/api/v1/reservations?before=2").await.json();
    assert_eq!(all["reservations"][0]["site"], serde_json::Value::Null);
    assert!(ines.get("/mine/1").await.text().contains("The hill"));
}

#[tokio::test]
async fn a_refusal_names_the_clash_and_the_nearest_nights_and_keeps_what_was_typed() {
    let club = Club::new().await;
    let wish = club.wish(&[0], "2026-06-12", "2026-06-14");
    club.post(&club.noor, "/api/v1/reservations", Some(wish)).await;
    let mut ines = signed_in(&club, "ines").await;
    let items = club.items[0].to_string();
    let fields = [("items", items.as_str()), ("from", "2026-06-13"), ("to", "2026-06-14")];
    let refused = ines.post("/reserve", &fields).await;
    assert_eq!(refused.status, 409);
    let text = refused.text();
    assert!(text.contains("B-1 is taken on 2026-06-13 to 2026-06-14"), "{text}");
    assert!(text.contains("from=2026-06-15&#38;to=2026-06-16"), "{text}");
    assert!(text.contains("value=\"2026-06-13\"") && !text.contains("noor"), "{text}");
    let wrong = [("items", items.as_str()), ("from", "13.6."), ("to", "2026-06-14")];
    let refused = ines.post("/reserve", &wrong).await;
    assert_eq!(refused.status, 422);
    assert!(refused.text().contains("Write the night as year, month and day"));
}

#[tokio::test]
async fn the_desk_hands_over_and_takes_back() {
    let club = Club::new().await;
    let wish = club.wish(&[0, 1], "2026-06-05", "2026-06-07");
    let made = club.post(&club.ines, "/api/v1/reservations", Some(wish)).await.json();
    let id = made["id"].as_i64().unwrap();
    let mut desk = signed_in(&club, "desk").await;
    assert!(desk.get("/desk").await.text().contains(&format!("href=\"/desk/{id}\"")));
    let take = [format!("take_{}", club.items[0]), format!("take_{}", club.items[1])];
    let path = format!("/desk/{id}/hand-over");
    let mut fields = vec![(take[0].as_str(), "yes"), (take[1].as_str(), "yes")];
    fields.push(("signed_name", "Ines"));
    let unread = desk.post(&path, &fields).await;
    assert_eq!(unread.status, 409);
    assert!(unread.text().contains("The cautions have not been acknowledged"), "{}", unread.text());
    assert!(unread.text().contains("value=\"Ines\""), "the signature stays typed");
    let version = borrowed_light::lending::cautions::VERSION.to_string();
    fields.push(("acknowledged", "yes"));
    fields.push(("cautions_version", version.as_str()));
    let out = desk.post(&path, &fields).await;
    assert_eq!(out.status, 303, "{}", out.text());
    assert!(desk.get(&format!("/desk/{id}")).await.text().contains("Signed by Ines"));
    let sheet = desk.get(&format!("/desk/{id}/sheet")).await;
    assert!(sheet.text().contains("Check-list") && sheet.text().contains("B-2"));

    let pieces = [format!("piece_{}", club.items[0]), format!("piece_{}", club.items[1])];
    let back = [(pieces[0].as_str(), "good"), (pieces[1].as_str(), "missing")];
    let closed = desk.post(&format!("/desk/{id}/return"), &back).await;
    assert_eq!(closed.status, 303, "{}", closed.text());
    let told = club.get(&club.ines, &format!("/api/v1/reservations/{id}")).await.json();
    assert_eq!(told["state"], "closed");
    assert_eq!(
        (&told["lines"][0]["state"], &told["lines"][1]["state"]),
        (&"returned".into(), &"missing".into())
    );
    assert_eq!(club.faults().await, Vec::<String>::new());
    let undone = desk.post(&format!("/desk/{id}/step"), &[("step", "undo")]).await;
    assert_eq!(undone.status, 303, "{}", undone.text());
    assert_eq!(club.faults().await, Vec::<String>::new());
}

#[tokio::test]
async fn others_pages_are_not_there() {
    let club = Club::new().await;
    let wish = club.wish(&[0], "2026-06-12", "2026-06-14");
    let made = club.post(&club.noor, "/api/v1/reservations", Some(wish)).await.json();
    let mut ines = signed_in(&club, "ines").await;
    for (method, path) in [
        (Method::GET, format!("/mine/{}", made["id"])),
        (Method::POST, format!("/mine/{}/cancel", made["id"])),
        (Method::POST, format!("/mine/{}/change", made["id"])),
    ] {
        let answer = if method == Method::GET {
            ines.get(&path).await
        } else {
            ines.post(&path, &[("from", "2026-06-13"), ("to", "2026-06-13")]).await
        };
        assert_eq!(answer.status, 404, "{path}");
    }
}

#[tokio::test]
async fn what_is_over_is_paged_and_what_is_to_come_is_not_pushed_out_by_it() {
    let club = Club::new().await;
    let wish = club.wish(&[0], "2026-06-12", "2026-06-14");
    club.post(&club.ines, "/api/v1/reservations", Some(wish)).await;
    let mut tx = club.house.state.store.write().await.unwrap();
    for statement in [
        // Three hundred that are over, two on each first night, and one that nobody fetched.
        "WITH RECURSIVE n (n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM n WHERE n < 300)
         INSERT INTO reservation (id, member_id, first_night, last_night, state, created_at)
         SELECT 1000 + n, (SELECT member_id FROM reservation LIMIT 1),
                date('2026-05-01', '-' || (n / 2) || ' days'),
                date('2026-05-01', '-' || (n / 2) || ' days'),
                iif(n = 5, 'confirmed', 'closed'), 0 FROM n",
        "INSERT INTO reservation_item (reservation_id, item_id, state)
         SELECT id, (SELECT max(id) FROM item), iif(state = 'closed', 'returned', 'planned')
         FROM reservation WHERE id > 1000",
    ] {
        sqlx::query(statement).execute(&mut *tx).await.unwrap();
    }
    tx.commit().await.unwrap();
    let mut ines = signed_in(&club, "ines").await;
    let numbers = |page: &str| -> Vec<i64> {
        let cards = page.split("href=\"/mine/").skip(1);
        cards.filter_map(|card| card.split('"').next()?.parse().ok()).collect()
    };
    let first = ines.get("/mine").await;
    assert!(first.text().contains("Friday 12 to Sunday 14 June 2026"), "{}", first.text());
    let (mut seen, mut page, mut pages) = (Vec::new(), first.text().to_owned(), 0);
    loop {
        let over = page.split("id=\"over-title\"").nth(1).unwrap_or_default();
        assert!(numbers(over).len() <= 20, "{page}");
        seen.extend(numbers(over));
        pages += 1;
        let Some(more) = page.split("href=\"/mine?").nth(1) else { break };
        let more = more.split('"').next().unwrap().replace("&#38;", "&");
        page = ines.get(&format!("/mine?{more}")).await.text().to_owned();
        assert!(!page.contains("12 to Sunday 14 June"), "older pages hold what is over only");
        assert!(!page.contains("You have nothing"), "{page}");
    }
    assert_eq!((pages, seen.len()), (15, 300));
    let mut wanted: Vec<i64> = (1001..=1300).collect();
    wanted.sort_by_key(|id| ((id - 1000) / 2, -id));
    assert_eq!(seen, wanted, "the latest first");
    let odd = ines.get("/mine?first=x&below=%3Cb%3E").await;
    assert_eq!(numbers(odd.text()), numbers(first.text()), "what is no place is the beginning");
}
