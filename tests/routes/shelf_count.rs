//! Taking stock, several at once, to the signed record.

use borrowed_light::people::rights::Role;
use serde_json::json;

use crate::browser::Browser;
use crate::client::{Answer, PASSWORD};
use crate::lending_api::Club;

async fn signed_in<'a>(club: &'a Club, name: &str) -> Browser<'a> {
    let mut browser = Browser::new(&club.house);
    browser.sign_in(&format!("{name}@example.org"), PASSWORD).await;
    browser
}

async fn text(browser: &mut Browser<'_>, path: &str) -> String {
    let answer = browser.get(path).await;
    assert_eq!(answer.status, 200, "{path}: {}", answer.text());
    answer.text().to_owned()
}

fn done(answer: &Answer) {
    assert_eq!(answer.status, 303, "{}", answer.text());
}

fn part<'a>(page: &'a str, heading: &str) -> &'a str {
    let from = page.split(&format!(">{heading} <")).nth(1).unwrap_or_default();
    from.split("<section").next().unwrap_or_default()
}

#[tokio::test]
async fn what_is_missing_turned_up_or_out_is_told_at_the_end() {
    let club = Club::new().await;
    club.house.member("Tomasz", "tomasz@example.org", &[Role::Quartermaster]).await;
    let lost = json!({"asset_tag": "B-5", "name": "Lost", "factor": 2, "state": "missing"});
    club.post(&club.desk, "/api/v1/barlows", Some(lost)).await;
    let gone = json!({"asset_tag": "B-6", "name": "Gone", "factor": 2, "state": "retired"});
    club.post(&club.desk, "/api/v1/barlows", Some(gone)).await;
    let wish = club.wish(&[3], "2026-06-05", "2026-06-05");
    let made = club.post(&club.noor, "/api/v1/reservations", Some(wish)).await.json();
    let path = format!("/api/v1/reservations/{}/hand-over", made["id"]);
    club.post(&club.desk, &path, Some(json!({"signed_name": "Noor"}))).await;

    let (mut one, mut two) = (signed_in(&club, "desk").await, signed_in(&club, "tomasz").await);
    let early = one.post("/stock/count/seen", &[("tag", "B-1")]).await;
    assert_eq!(early.status, 409, "nothing is counted before a count");
    assert!(!text(&mut one, "/shelf/B-1").await.contains("/stock/count/seen"));
    done(&one.post("/stock/count", &[]).await);
    done(&two.post("/stock/count", &[]).await);
    assert!(
        text(&mut two, "/stock/count").await.contains("1 of five pieces"),
        "out is accounted for"
    );

    done(&one.post("/stock/count/seen", &[("tag", "b-1")]).await);
    let address = "https://lend.example.org/shelf/B-5";
    done(&two.post("/stock/count/seen", &[("tag", address)]).await);
    done(&two.post("/stock/count/seen", &[("tag", "B-1")]).await);
    done(&two.post("/stock/count/seen", &[("tag", "B-2")]).await);
    let taken_back = [("tag", "B-2"), ("undo", "yes")];
    done(&one.post("/stock/count/seen", &taken_back).await);
    let wrong = one.post("/stock/count/seen", &[("tag", "X-1")]).await;
    assert_eq!(wrong.status, 422);
    assert!(wrong.text().contains("value=\"X-1\""), "{}", wrong.text());
    let page = text(&mut one, "/stock/count").await;
    assert!(page.contains("3 of five pieces") && page.contains("value=\"B-3\""), "{page}");
    assert!(!page.contains("value=\"B-1\"") && !page.contains("B-6"), "{page}");
    assert!(text(&mut one, "/shelf/B-3").await.contains("/stock/count/seen"), "a scan leads here");

    let unsigned = one.post("/stock/count/end", &[("mark", "yes")]).await;
    assert_eq!(unsigned.status, 422);
    let signed = [("signed_name", "Ottilie <b>"), ("mark", "yes")];
    let ended = one.post("/stock/count/end", &signed).await;
    done(&ended);
    let page = text(&mut one, ended.header("location")).await;
    assert!(page.contains("signed by Ottilie &#60;b&#62;."), "{page}");
    assert!(part(&page, "Not found").contains("B-2") && part(&page, "Not found").contains("B-3"));
    assert!(part(&page, "Turned up again").contains("B-5"), "{page}");
    assert!(part(&page, "Out on loan").contains("B-4"), "{page}");
    assert!(part(&page, "There").contains("B-1"), "{page}");
    assert_eq!(two.post("/stock/count/end", &signed).await.status, 409, "ended by the other");
    let page = text(&mut two, "/shelf/B-2").await;
    assert!(page.contains("Missing") && page.contains("Not found when stock was taken."), "{page}");
    assert!(text(&mut two, "/shelf/B-5").await.contains("Needs an inspection"));
    assert!(text(&mut two, "/stock/count").await.contains("Begin a count"));
}

#[tokio::test]
async fn a_count_may_leave_everything_as_it_is_and_is_for_the_keepers() {
    let club = Club::new().await;
    let mut desk = signed_in(&club, "desk").await;
    done(&desk.post("/stock/count", &[]).await);
    done(&desk.post("/stock/count/end", &[("signed_name", "Ottilie")]).await);
    assert!(text(&mut desk, "/shelf/B-1").await.contains("In store"));
    assert_eq!(desk.get("/stock/count/999").await.status, 404);
    let mut ines = signed_in(&club, "ines").await;
    for path in ["/stock/count", "/stock/count/1"] {
        assert_eq!(ines.get(path).await.status, 403, "{path}");
    }
    for path in ["/stock/count", "/stock/count/seen", "/stock/count/end"] {
        assert_eq!(ines.post(path, &[]).await.status, 403, "{path}");
    }
    done(&desk.post("/stock/count", &[]).await);
    assert!(!text(&mut ines, "/shelf/B-1").await.contains("/stock/count"), "nor from a piece");
}
