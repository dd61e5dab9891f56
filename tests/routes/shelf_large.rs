//! The shelf of a large club: pages of telescopes, and telescopes that are named instead of chosen.

use borrowed_light::people::rights::Role;

use crate::browser::Browser;
use crate::client::{Answer, House, PASSWORD};

async fn keeper(house: &House) -> Browser<'_> {
    house.member("Desk", "desk@example.org", &[Role::Member, Role::Quartermaster]).await;
    let mut browser = Browser::new(house);
    browser.sign_in("desk@example.org", PASSWORD).await;
    browser
}

async fn put(keeper: &mut Browser<'_>, kind: &str, fields: &[(&str, &str)]) {
    let answer = keeper.post(&format!("/stock/new/{kind}"), fields).await;
    assert_eq!(answer.status, 303, "{}", answer.text());
}

/// The tags on a page, in their order.
fn tags(page: &Answer) -> Vec<&str> {
    let rows = page.text().split("<li class=\"stock-row\">").skip(1);
    rows.filter_map(|row| row.split("\"tag\">").nth(1)?.split('<').next()).collect()
}

#[tokio::test]
async fn a_telescope_is_chosen_from_a_list_while_it_is_short_and_named_beyond() {
    let house = House::new().await;
    let mut desk = keeper(&house).await;
    let eyepiece = [("asset_tag", "E-1"), ("name", "Long one"), ("focal_length_mm", "32")];
    put(&mut desk, "eyepiece", &eyepiece).await;
    house.put_telescopes(200).await;
    for path in ["/shelf", "/"] {
        let page = desk.get(path).await;
        let named = page.text().contains("name=\"fits_called\"")
            || page.text().contains("name=\"telescope_called\"");
        assert!(page.text().contains("Lyra 200</option>") && !named, "{path}");
    }
    put(
        &mut desk,
        "telescope",
        &[
            ("asset_tag", "T-9"),
            ("name", "Big <one>"),
            ("layout", "newtonian"),
            ("aperture_mm", "300"),
            ("focal_length_mm", "1500"),
        ],
    )
    .await;
    let page = desk.get("/shelf").await;
    assert!(page.text().contains("name=\"fits_called\"") && !page.text().contains("Lyra 200<"));
    // By tag and by name, in whatever case; what does not fit is left out.
    for typed in ["t-9", "big%20%3COne%3E%20"] {
        let page = desk.get(&format!("/shelf?kind=telescope&fits_called={typed}")).await;
        assert_eq!((page.status.as_u16(), tags(&page).len()), (200, 0), "{typed}");
        let page = desk.get(&format!("/shelf?fits_called={typed}")).await;
        assert_eq!(tags(&page), ["E-1"], "{typed}");
    }
    for (typed, says) in [
        ("lyra", "The club has no telescope “lyra”: write its tag"),
        ("lyra", "Perhaps T-0003 or T-0004 or T-0005?"),
        (
            "twin",
            "Several telescopes are called “twin”: write the tag of one, like T-0001 or T-0002.",
        ),
        ("E-1", "The club has no telescope “E-1”"),
        ("%3Cb%3E", "The club has no telescope “&#60;b&#62;”"),
    ] {
        let page = desk.get(&format!("/shelf?fits_called={typed}")).await;
        assert_eq!(page.status, 422, "{typed}");
        assert!(page.text().contains(says), "{typed}: {}", page.text());
        assert!(page.text().contains("href=\"#fits_called\""), "{typed}");
    }
    assert!(desk.get("/shelf?fits_called=lyra").await.text().contains("value=\"lyra\""));
    // An address with the number goes on to work, and shows the tag.
    let id = desk.get("/telescopes?after=T-0200").await;
    let id = id.text().split("href=\"/telescopes/").nth(1).unwrap().split('"').next().unwrap();
    let page = desk.get(&format!("/shelf?fits={id}")).await;
    assert_eq!(tags(&page), ["E-1"]);
    assert!(page.text().contains("value=\"T-9\""), "{}", page.text());
    let page = desk.get(&format!("/?telescope={id}")).await;
    assert!(page.text().contains("name=\"telescope_called\""), "{}", page.text());
    assert!(page.text().contains("value=\"T-9\""));
    // The question itself.
    let anyone = |called: &'static str| {
        [("who", "anyone"), ("nights", "2026-06-12/2026-06-14"), ("telescope_called", called)]
    };
    let found = desk.post("/kits", &anyone("Big <one>")).await;
    assert_eq!(found.status, 303, "{}", found.text());
    assert!(found.header("location").contains(&format!("telescope={id}")), "{found:?}");
    let answer = desk.get(found.header("location")).await;
    assert!(answer.text().contains("value=\"T-9\""), "{}", answer.text());
    let refused = desk.post("/kits", &anyone("nowhere")).await;
    assert_eq!(refused.status, 422);
    assert!(refused.text().contains("no telescope “nowhere”"), "{}", refused.text());
    assert!(refused.text().contains("value=\"nowhere\""));
    let none = desk.post("/kits", &anyone(" ")).await;
    assert!(!none.header("location").contains("telescope="), "{none:?}");
}

#[tokio::test]
async fn the_telescopes_are_paged_by_their_tags() {
    let house = House::new().await;
    house.put_telescopes(100).await;
    let mut desk = keeper(&house).await;
    assert!(!desk.get("/telescopes").await.text().contains("More telescopes"));
    house.put_telescopes(205).await;
    let (mut path, mut seen, mut pages) = ("/telescopes".to_owned(), Vec::new(), 0);
    loop {
        let page = desk.get(&path).await;
        assert_eq!(page.status, 200, "{path}");
        let tags = page.text().split("<span class=\"tag\">").skip(1);
        seen.extend(tags.filter_map(|row| Some(row.split('<').next()?.to_owned())));
        pages += 1;
        let more = page.text().split("href=\"/telescopes?").nth(1);
        let Some(more) = more else { break };
        path = format!("/telescopes?{}", more.split('"').next().unwrap());
    }
    let wanted: Vec<String> = (1..=205).map(|n| format!("T-{n:04}")).collect();
    assert_eq!((pages, seen), (3, wanted));
    let beyond = desk.get("/telescopes?after=Z").await;
    assert!(beyond.text().contains("no telescopes behind that tag"), "{}", beyond.text());
}
