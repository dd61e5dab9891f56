//! The club's rules on their page, and what a member is told who asks for more.

use crate::browser::Browser;
use crate::client::PASSWORD;
use crate::lending_api::Club;

async fn signed_in<'a>(club: &'a Club, name: &str) -> Browser<'a> {
    let mut browser = Browser::new(&club.house);
    browser.sign_in(&format!("{name}@example.org"), PASSWORD).await;
    browser
}

fn version(page: &str) -> String {
    let rest = page.split("name=\"version\" value=\"").nth(1).unwrap_or_default();
    rest.split('"').next().unwrap_or_default().to_owned()
}

async fn ask(browser: &mut Browser<'_>, item: i64, from: &str, to: &str) -> (u16, String) {
    let item = item.to_string();
    let fields = [("items", item.as_str()), ("from", from), ("to", to)];
    let answer = browser.post("/reserve", &fields).await;
    (answer.status.as_u16(), answer.text().to_owned())
}

#[tokio::test]
async fn a_rule_that_is_kept_binds_and_its_refusal_names_rule_and_nights() {
    let club = Club::new().await;
    let mut desk = signed_in(&club, "desk").await;
    let page = desk.get("/desk/rules").await;
    assert_eq!(page.status, 200, "{}", page.text());
    let read = version(page.text());
    let rules = |longest| {
        [
            ("longest", longest),
            ("ahead", "60"),
            ("open", "2"),
            ("items", ""),
            ("light", "12"),
            ("version", ""),
        ]
    };
    let mut kept = rules("4");
    kept[5].1 = &read;
    assert_eq!(desk.post("/desk/rules", &kept).await.status, 303);
    let stale = desk.post("/desk/rules", &kept).await;
    assert_eq!(stale.status, 409, "a rule that was changed meanwhile is not overwritten");
    assert!(stale.text().contains("Somebody else changed the rules meanwhile"));
    let mut wrong = rules("0");
    wrong[5].1 = &read;
    let wrong = desk.post("/desk/rules", &wrong).await;
    assert_eq!(wrong.status, 422);
    assert!(wrong.text().contains("Write a whole number of nights from 1 to 366."));

    let mut ines = signed_in(&club, "ines").await;
    let (status, text) = ask(&mut ines, club.items[0], "2026-06-12", "2026-06-16").await;
    assert_eq!(status, 409);
    assert!(text.contains("at most 4 nights"), "{text}");
    assert!(text.contains("from=2026-06-12&#38;to=2026-06-15"), "{text}");
    let (status, text) = ask(&mut ines, club.items[0], "2026-08-08", "2026-08-09").await;
    assert_eq!(status, 409);
    assert!(text.contains("at most 60 nights ahead"), "{text}");
    assert!(text.contains("from=2026-07-1"), "the nearest nights lie before it: {text}");
}

#[tokio::test]
async fn nights_off_and_pieces_kept_back_collide_with_nothing_silently() {
    let club = Club::new().await;
    let mut desk = signed_in(&club, "desk").await;
    let mut ines = signed_in(&club, "ines").await;
    let off = [("from", "2026-06-13"), ("to", "2026-06-14"), ("reason", "annual meeting")];
    assert_eq!(desk.post("/desk/rules/off", &off).await.status, 303);
    let (status, text) = ask(&mut ines, club.items[0], "2026-06-12", "2026-06-13").await;
    assert_eq!(status, 409);
    assert!(text.contains("annual meeting") && text.contains("from=2026-06-15"), "{text}");

    let kept = [("tags", "b-1 B-2"), ("from", "2026-06-16"), ("to", ""), ("reason", "cleaning")];
    assert_eq!(desk.post("/desk/rules/keep", &kept).await.status, 303);
    let (status, text) = ask(&mut ines, club.items[0], "2026-06-16", "2026-06-16").await;
    assert_eq!(status, 409);
    assert!(text.contains("B-1 is taken on 2026-06-16"), "{text}");
    let again = desk.post("/desk/rules/keep", &kept).await;
    assert_eq!(again.status, 409, "what is kept already can't be kept again");
    assert!(again.text().contains("value=\"b-1 B-2\""), "what was typed stays");
    let unknown = [("tags", "B-77"), ("from", "2026-06-16"), ("reason", "cleaning")];
    let unknown = desk.post("/desk/rules/keep", &unknown).await;
    assert_eq!(unknown.status, 422);
    assert!(unknown.text().contains("Nothing on the shelf bears the tag B-77"));
    assert_eq!(club.faults().await, Vec::<String>::new());

    assert_eq!(desk.post("/desk/rules/keep/1/back", &[]).await.status, 303);
    assert_eq!(desk.post("/desk/rules/keep/1/back", &[]).await.status, 404);
    let on = [("from", "2026-06-13"), ("to", "2026-06-14")];
    assert_eq!(desk.post("/desk/rules/on", &on).await.status, 303);
    let (status, text) = ask(&mut ines, club.items[0], "2026-06-13", "2026-06-16").await;
    assert_eq!(status, 303, "{text}");
    assert_eq!(club.faults().await, Vec::<String>::new());
}

#[tokio::test]
async fn a_piece_asks_for_training_approval_and_time_to_be_looked_after() {
    let club = Club::new().await;
    let mut desk = signed_in(&club, "desk").await;
    let mut ines = signed_in(&club, "ines").await;
    let found = desk.get("/desk/rules/piece?tag=b-1").await;
    let place = found.header("location").to_owned();
    assert_eq!(place, format!("/desk/rules/pieces/{}", club.items[0]));
    let rule = [("approval", "yes"), ("training", "yes"), ("care", "2")];
    assert_eq!(desk.post(&place, &rule).await.status, 303);
    assert_eq!(desk.post(&place, &[("care", "9")]).await.status, 400);
    assert!(desk.get("/desk/rules").await.text().contains("Two nights to look after it"));

    let (status, text) = ask(&mut ines, club.items[0], "2026-06-12", "2026-06-12").await;
    assert_eq!(status, 409);
    assert!(text.contains("B-1 is lent only to those who were shown how"), "{text}");
    assert!(!text.contains("The same pieces are free then"), "no night helps: {text}");
    let ines_id = club.ines.member.to_string();
    let shown = desk.post(&format!("{place}/shown"), &[("member", &ines_id)]).await;
    assert_eq!(shown.status, 303, "{}", shown.text());
    assert_eq!(desk.post(&format!("{place}/shown"), &[("member", "no")]).await.status, 422);

    let (status, text) = ask(&mut ines, club.items[0], "2026-06-12", "2026-06-12").await;
    assert_eq!(status, 303, "{text}");
    assert!(ines.get("/mine").await.text().contains("Waiting for the quartermaster"));
    let mut noor = signed_in(&club, "noor").await;
    let noor_id = club.noor.member.to_string();
    desk.post(&format!("{place}/shown"), &[("member", &noor_id)]).await;
    // One night before, it could not be looked after in between.
    let (status, text) = ask(&mut noor, club.items[0], "2026-06-11", "2026-06-11").await;
    assert_eq!(status, 409);
    assert!(text.contains("from=2026-06-15"), "{text}");
    assert!(!text.contains("from=2026-06-13"), "it is looked after then: {text}");
    let forgotten = desk.post(&format!("{place}/forget"), &[("member", &noor_id)]).await;
    assert_eq!(forgotten.status, 303);
    let (_, text) = ask(&mut noor, club.items[0], "2026-06-20", "2026-06-20").await;
    assert!(text.contains("shown how to use it"), "{text}");
}
