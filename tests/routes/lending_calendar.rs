//! The calendars: which nights can be had, two taps to a loan.

use crate::browser::Browser;
use crate::client::PASSWORD;
use crate::lending_api::Club;

async fn signed_in<'a>(club: &'a Club, name: &str) -> Browser<'a> {
    let mut browser = Browser::new(&club.house);
    browser.sign_in(&format!("{name}@example.org"), PASSWORD).await;
    browser
}

#[tokio::test]
async fn two_taps_in_the_calendar_lead_to_the_form_and_never_over_what_is_taken() {
    let club = Club::new().await;
    let wish = club.wish(&[0], "2026-06-12", "2026-06-14");
    club.post(&club.noor, "/api/v1/reservations", Some(wish)).await;
    let off = [("from", "2026-06-20"), ("reason", "annual meeting")];
    signed_in(&club, "desk").await.post("/desk/rules/off", &off).await;
    let mut ines = signed_in(&club, "ines").await;
    let (item, other) = (club.items[0], club.items[1]);
    let page = ines.get(&format!("/reserve/calendar?items={item},{other}")).await;
    assert_eq!(page.status, 200, "{}", page.text());
    let text = page.text();
    for told in [
        "Thursday 4 June, can&#39;t be chosen",
        "Friday 5 June, free",
        "Saturday 13 June, taken",
        "Saturday 20 June, no lending",
        "August 2026",
    ] {
        assert!(text.contains(told), "{told}: {text}");
    }
    assert!(!text.contains("noor") && !text.contains("Noor"), "never whose it is");
    let first = format!("items={item},{other}&#38;month=2026-06&#38;first=2026-06-10");
    assert!(text.contains(&first), "{text}");

    let path = format!("/reserve/calendar?items={item},{other}&month=2026-06&first=2026-06-10");
    let text = ines.get(&path).await.text().to_owned();
    let form =
        |last: &str| format!("/reserve?items={item},{other}&#38;from=2026-06-10&#38;to={last}\"");
    assert!(text.contains(&form("2026-06-11")), "{text}");
    assert!(!text.contains(&form("2026-06-15")), "{text}");
    assert!(text.contains("until Thursday 11 June 2026 at most"), "{text}");
    // The other piece alone is free then.
    let text = ines.get(&format!("/reserve/calendar?items={other}")).await.text().to_owned();
    assert!(text.contains("Saturday 13 June, free"), "{text}");
    assert_eq!(ines.get("/reserve/calendar?items=999").await.status, 404);
    assert_eq!(ines.get(&format!("/reserve/calendar?items={item}&month=x")).await.status, 200);
}
