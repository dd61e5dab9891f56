//! `/sign-in/code`, `/account/second-factor`

use borrowed_light::people::rights::Role;
use borrowed_light::people::second::Secret;
use jiff::SignedDuration;

use crate::browser::Browser;
use crate::client::{Answer, House, PASSWORD};

const HERE: &str = "/account/second-factor";

/// The secret that a page shows for typing, as bytes that make codes.
fn secret_of(page: &str) -> Secret {
    let typed = page.split("<code class=\"secret\">").nth(1).unwrap().split('<').next().unwrap();
    let letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567";
    let (mut bytes, mut held, mut bits) = (Vec::new(), 0_u32, 0);
    for letter in typed.chars().filter(|c| *c != ' ') {
        held = (held << 5) | u32::try_from(letters.find(letter).unwrap()).unwrap();
        bits += 5;
        if bits >= 8 {
            bits -= 8;
            bytes.push(u8::try_from((held >> bits) & 255).unwrap());
        }
    }
    Secret::read(&bytes).unwrap()
}

/// The codes on paper that a page shows.
fn paper_of(page: &str) -> Vec<String> {
    page.split("<li><code>").skip(1).map(|rest| rest.split('<').next().unwrap().into()).collect()
}

struct Enrolled {
    secret: Secret,
    paper: Vec<String>,
}

impl Enrolled {
    fn code(&self, house: &House) -> String {
        self.secret.code_at(house.state.clock.seconds())
    }
}

/// Signs in and sets the second factor up.
async fn enrol(house: &House, browser: &mut Browser<'_>, email: &str) -> Enrolled {
    assert_eq!(browser.sign_in(email, PASSWORD).await.status, 303);
    let shown = browser.post(HERE, &[]).await;
    assert_eq!(shown.status, 200, "{}", shown.text());
    let secret = secret_of(shown.text());
    let code = secret.code_at(house.state.clock.seconds());
    let done = browser.post("/account/second-factor/confirm", &[("code", &code)]).await;
    assert_eq!(done.status, 200, "{}", done.text());
    // The next sign-in needs a code that was not used yet.
    house.state.clock.advance(SignedDuration::from_secs(30));
    Enrolled { secret, paper: paper_of(done.text()) }
}

fn leads_to(answer: &Answer) -> (u16, &str) {
    (answer.status.as_u16(), answer.header("location"))
}

#[tokio::test]
async fn who_has_a_second_factor_is_asked_for_it_at_each_sign_in() {
    let house = House::new().await;
    house.account("ines@example.org", &[Role::Member]).await;
    let mut browser = Browser::new(&house);
    let enrolled = enrol(&house, &mut browser, "ines@example.org").await;
    assert_eq!(enrolled.paper.len(), 10);
    let page = browser.get(HERE).await;
    assert!(page.text().contains("It is on") && !page.text().contains("class=\"secret\""));

    let mut phone = Browser::new(&house);
    let fields = [("email", "ines@example.org"), ("password", PASSWORD), ("next", "/telescopes")];
    let half = phone.post("/sign-in", &fields).await;
    assert_eq!(leads_to(&half), (303, "/sign-in/code"));
    assert!(!phone.cookies.contains_key("borrowed-light"), "half is not in");
    assert_eq!(phone.get("/telescopes").await.status, 303);
    assert_eq!(phone.get("/sign-in/code").await.status, 200);
    let in_now = phone.post("/sign-in/code", &[("code", &enrolled.code(&house))]).await;
    assert_eq!(leads_to(&in_now), (303, "/telescopes"));
    assert_eq!(phone.get("/telescopes").await.status, 200);
    assert!(!phone.cookies.contains_key("borrowed-light-half"));
}

#[tokio::test]
async fn a_code_is_taken_once_and_a_stolen_one_is_worth_nothing_after_it() {
    let house = House::new().await;
    house.account("ines@example.org", &[Role::Member]).await;
    let enrolled = enrol(&house, &mut Browser::new(&house), "ines@example.org").await;
    let code = enrolled.code(&house);
    let mut first = Browser::new(&house);
    first.sign_in("ines@example.org", PASSWORD).await;
    assert_eq!(first.post("/sign-in/code", &[("code", &code)]).await.status, 303);
    let mut thief = Browser::new(&house);
    thief.sign_in("ines@example.org", PASSWORD).await;
    assert_eq!(thief.post("/sign-in/code", &[("code", &code)]).await.status, 401);
    assert_eq!(thief.get("/telescopes").await.status, 303);
}

#[tokio::test]
async fn a_code_on_paper_opens_once_and_is_told_about() {
    let house = House::new().await;
    let ines = house.account("ines@example.org", &[Role::Member]).await;
    let enrolled = enrol(&house, &mut Browser::new(&house), "ines@example.org").await;
    let typed = enrolled.paper[3].to_uppercase().replace('-', " ");
    let mut browser = Browser::new(&house);
    browser.sign_in("ines@example.org", PASSWORD).await;
    assert_eq!(browser.post("/sign-in/code", &[("code", &typed)]).await.status, 303);
    assert!(browser.get(HERE).await.text().contains("You have 9 left"));
    let mut again = Browser::new(&house);
    again.sign_in("ines@example.org", PASSWORD).await;
    assert_eq!(again.post("/sign-in/code", &[("code", &typed)]).await.status, 401);

    let told: i64 = sqlx::query_scalar(
        "SELECT count(*) FROM letter WHERE account_id = ?1 AND subject LIKE 'A code on paper%'",
    )
    .bind(ines)
    .fetch_one(&mut *house.state.store.reader().acquire().await.unwrap())
    .await
    .unwrap();
    assert_eq!(told, 1);
    // Nothing in the database gives a code away.
    let stored: Vec<Vec<u8>> = sqlx::query_scalar("SELECT code_hash FROM recovery_code")
        .fetch_all(&mut *house.state.store.reader().acquire().await.unwrap())
        .await
        .unwrap();
    for code in &enrolled.paper {
        assert!(stored.iter().all(|hash| hash != code.as_bytes() && hash.len() == 32));
    }
}

#[tokio::test]
async fn guessing_codes_is_slowed_down_and_bursts_gain_nothing() {
    let house = House::new().await;
    house.account("ines@example.org", &[Role::Member]).await;
    enrol(&house, &mut Browser::new(&house), "ines@example.org").await;
    let mut browser = Browser::new(&house);
    browser.sign_in("ines@example.org", PASSWORD).await;
    let mut burst = tokio::task::JoinSet::new();
    for guess in 0..40 {
        let (house, cookies) = (house.clone(), browser.cookies.clone());
        burst.spawn(async move {
            let mut browser = Browser::new(&house);
            browser.cookies = cookies;
            let code = format!("{guess:06}");
            browser.post("/sign-in/code", &[("code", &code)]).await.status.as_u16()
        });
    }
    let statuses = burst.join_all().await;
    let looked_at = statuses.iter().filter(|status| **status == 401).count();
    assert_eq!(looked_at, 5, "{statuses:?}");
    assert!(statuses.iter().all(|status| matches!(status, 401 | 429)));
}

#[tokio::test]
async fn half_a_sign_in_ends_after_ten_minutes_and_belongs_to_its_browser() {
    let house = House::new().await;
    house.account("ines@example.org", &[Role::Member]).await;
    let enrolled = enrol(&house, &mut Browser::new(&house), "ines@example.org").await;
    let mut slow = Browser::new(&house);
    slow.sign_in("ines@example.org", PASSWORD).await;
    let mut stranger = Browser::new(&house);
    let answer = stranger.post("/sign-in/code", &[("code", &enrolled.code(&house))]).await;
    assert_eq!(leads_to(&answer), (303, "/sign-in"));
    house.state.clock.advance(SignedDuration::from_mins(10));
    let answer = slow.post("/sign-in/code", &[("code", &enrolled.code(&house))]).await;
    assert_eq!(leads_to(&answer), (303, "/sign-in"));
}

#[tokio::test]
async fn who_looks_after_the_club_sets_it_up_before_anything_else() {
    let house = House::asking_for_codes().await;
    for role in Role::ALL {
        let email = format!("{}@example.org", role.as_str());
        house.account(&email, &[Role::Member, role]).await;
        let mut browser = Browser::new(&house);
        browser.sign_in(&email, PASSWORD).await;
        let must = matches!(role, Role::Quartermaster | Role::Admin);
        let answer = browser.get("/telescopes").await;
        if !must {
            assert_eq!(answer.status, 200, "{role:?}");
            continue;
        }
        assert_eq!(leads_to(&answer), (303, HERE), "{role:?}");
        for path in ["/", "/account", "/account/tokens", "/kits"] {
            assert_eq!(leads_to(&browser.get(path).await), (303, HERE), "{role:?} {path}");
        }
        assert_eq!(leads_to(&browser.post("/account/name", &[("name", "X")]).await), (303, HERE));
        enrol(&house, &mut browser, &email).await;
        assert_eq!(browser.get("/telescopes").await.status, 200, "{role:?}");
        let page = browser.get(HERE).await;
        assert!(!page.text().contains("Switch the second factor off"));
    }
}

#[tokio::test]
async fn setting_it_up_ends_other_sessions_and_gives_this_one_a_new_id() {
    let house = House::new().await;
    house.account("ines@example.org", &[Role::Member]).await;
    let mut other = Browser::new(&house);
    other.sign_in("ines@example.org", PASSWORD).await;
    let mut browser = Browser::new(&house);
    browser.sign_in("ines@example.org", PASSWORD).await;
    let before = browser.cookies["borrowed-light"].clone();
    let shown = browser.post(HERE, &[]).await;
    let code = secret_of(shown.text()).code_at(house.state.clock.seconds());
    browser.post("/account/second-factor/confirm", &[("code", &code)]).await;
    assert_ne!(browser.cookies["borrowed-light"], before);
    assert_eq!(browser.get("/account").await.status, 200);
    assert_eq!(other.get("/account").await.status, 303);
}

#[tokio::test]
async fn a_wrong_first_code_leaves_it_off_and_shows_the_same_secret() {
    let house = House::new().await;
    house.account("ines@example.org", &[Role::Member]).await;
    let mut browser = Browser::new(&house);
    browser.sign_in("ines@example.org", PASSWORD).await;
    let shown = browser.post(HERE, &[]).await;
    let first = secret_of(shown.text());
    let refused = browser.post("/account/second-factor/confirm", &[("code", "000000")]).await;
    assert_eq!(refused.status, 422);
    assert_eq!(secret_of(refused.text()).bytes(), first.bytes());
    browser.post("/sign-out", &[]).await;
    assert_eq!(leads_to(&browser.sign_in("ines@example.org", PASSWORD).await), (303, "/"));
}

#[tokio::test]
async fn changing_it_takes_both_factors() {
    let house = House::new().await;
    house.account("ines@example.org", &[Role::Member]).await;
    let mut browser = Browser::new(&house);
    let enrolled = enrol(&house, &mut browser, "ines@example.org").await;
    let change = "/account/second-factor/change";
    let code = enrolled.code(&house);
    for (password, code) in [("the wrong evening star", &*code), (PASSWORD, "000000")] {
        let fields = [("password", password), ("code", code), ("want", "off")];
        assert_eq!(browser.post(change, &fields).await.status, 422);
    }
    let fields = [("password", PASSWORD), ("code", &*code), ("want", "paper")];
    let fresh = paper_of(browser.post(change, &fields).await.text());
    assert_eq!(fresh.len(), 10);
    assert!(fresh.iter().all(|code| !enrolled.paper.contains(code)));
    let old = [("password", PASSWORD), ("code", &*enrolled.paper[0]), ("want", "off")];
    assert_eq!(browser.post(change, &old).await.status, 422, "earlier codes are dead");
    let new = [("password", PASSWORD), ("code", &*fresh[0]), ("want", "off")];
    assert_eq!(leads_to(&browser.post(change, &new).await), (303, HERE));
    browser.post("/sign-out", &[]).await;
    assert_eq!(leads_to(&browser.sign_in("ines@example.org", PASSWORD).await), (303, "/"));
}

#[tokio::test]
async fn a_stolen_session_cannot_set_one_up_without_the_password() {
    let house = House::new().await;
    house.account("ines@example.org", &[Role::Member]).await;
    let mut browser = Browser::new(&house);
    browser.sign_in("ines@example.org", PASSWORD).await;
    house.state.clock.advance(SignedDuration::from_mins(11));
    assert_eq!(browser.post(HERE, &[]).await.status, 422);
    let right = browser.post(HERE, &[("password", PASSWORD)]).await;
    assert!(right.text().contains("class=\"secret\""));
}
