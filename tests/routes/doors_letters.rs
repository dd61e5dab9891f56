//! `/sign-in/help`, `/sign-in/link/{token}`: in by a letter.

use std::time::Instant;

use borrowed_light::people::rights::Role;
use borrowed_light::web::secret;
use jiff::SignedDuration;

use crate::browser::Browser;
use crate::client::{House, PASSWORD};
use crate::mail::TestMailServer;

/// The path of the link in the newest letter that has one.
fn link(server: &TestMailServer) -> String {
    let letters = server.taken();
    letters.iter().rev().find_map(|letter| path_in(&letter.plain())).unwrap()
}

fn path_in(text: &str) -> Option<String> {
    let at = text.find("/sign-in/link/")?;
    text[at..].split_whitespace().next().map(ToOwned::to_owned)
}

async fn ask(browser: &mut Browser<'_>, email: &str, want: &str) -> u16 {
    let fields = [("email", email), ("want", want)];
    browser.post("/sign-in/help", &fields).await.status.as_u16()
}

#[tokio::test]
async fn a_link_signs_in_once_and_looking_at_it_uses_nothing_up() {
    let (house, server, mut worker) = House::with_mail().await;
    house.account("ines@example.org", &[Role::Member]).await;
    let mut browser = Browser::new(&house);
    assert!(browser.get("/sign-in").await.text().contains("/sign-in/help"));
    assert_eq!(ask(&mut browser, "Ines@Example.org", "sign_in").await, 200);
    worker.round().await.unwrap();
    let letter = server.only();
    assert_eq!(letter.to, "ines@example.org");
    assert!(letter.plain().contains("https://lend.example.org/sign-in/link/"));
    let path = link(&server);
    for _ in 0..3 {
        let page = browser.get(&path).await;
        assert!(page.text().contains("sign in as Ines Aldous"));
        assert_eq!(page.header("referrer-policy"), "same-origin");
    }
    let done = browser.post(&path, &[]).await;
    assert_eq!((done.status.as_u16(), done.header("location")), (303, "/"));
    assert_eq!(browser.get("/telescopes").await.status, 200);
    let mut thief = Browser::new(&house);
    assert_eq!(thief.get(&path).await.status, 404);
    assert_eq!(thief.post(&path, &[]).await.status, 404);

    // The database never held the link itself.
    let token = path.rsplit('/').next().unwrap();
    let bytes = std::fs::read(house.database()).unwrap();
    let wal = std::fs::read(house.database().with_extension("sqlite-wal")).unwrap_or_default();
    let holds = |needle: &[u8]| {
        [&bytes, &wal].iter().any(|all| all.windows(needle.len()).any(|part| part == needle))
    };
    assert!(!holds(token.as_bytes()), "the link is on the disk");
    assert!(holds(&secret::hash(token)), "the search finds what is there");
}

#[tokio::test]
async fn two_who_use_a_link_at_once_are_one_who_gets_in() {
    let (house, server, mut worker) = House::with_mail().await;
    house.account("ines@example.org", &[Role::Member]).await;
    ask(&mut Browser::new(&house), "ines@example.org", "sign_in").await;
    worker.round().await.unwrap();
    let path = link(&server);
    let mut many = tokio::task::JoinSet::new();
    for _ in 0..20 {
        let (house, path) = (house.clone(), path.clone());
        many.spawn(async move { Browser::new(&house).post(&path, &[]).await.status.as_u16() });
    }
    let statuses = many.join_all().await;
    assert_eq!(statuses.iter().filter(|status| **status == 303).count(), 1, "{statuses:?}");
    assert_eq!(statuses.iter().filter(|status| **status == 404).count(), 19);
}

#[tokio::test]
async fn links_end_with_their_time_and_with_the_next_one() {
    let (house, server, mut worker) = House::with_mail().await;
    house.account("ines@example.org", &[Role::Member]).await;
    let mut browser = Browser::new(&house);
    for (want, minutes) in [("sign_in", 15), ("password", 30)] {
        ask(&mut browser, "ines@example.org", want).await;
        worker.round().await.unwrap();
        let first = link(&server);
        ask(&mut browser, "ines@example.org", want).await;
        worker.round().await.unwrap();
        let second = link(&server);
        assert_eq!(browser.get(&first).await.status, 404, "{want}: a newer one was sent");
        assert_eq!(browser.get(&second).await.status, 200, "{want}");
        house.state.clock.advance(SignedDuration::from_mins(minutes));
        assert_eq!(browser.get(&second).await.status, 404, "{want}: too old");
    }
}

#[tokio::test]
async fn known_and_unknown_addresses_get_the_same_answer() {
    let (house, server, mut worker) = House::with_mail().await;
    house.account("ines@example.org", &[Role::Member]).await;
    house.account_without_password("new@example.org").await;
    let mut pages = Vec::new();
    for email in ["ines@example.org", "nobody@example.org", "new@example.org"] {
        let mut browser = Browser::new(&house);
        let answer = browser.post("/sign-in/help", &[("email", email), ("want", "sign_in")]).await;
        let text = answer.text().to_owned();
        let token = text
            .split("name=\"form_token\" value=\"")
            .nth(1)
            .map(|rest| rest.split('"').next().unwrap().to_owned());
        let page = token.map_or(text.clone(), |token| text.replace(&token, "TOKEN"));
        pages.push((answer.status, page));
    }
    assert_eq!(pages[0], pages[1]);
    assert_eq!(pages[0], pages[2]);
    worker.round().await.unwrap();
    assert_eq!(server.taken().len(), 2, "one for each account, none for nobody");
}

#[tokio::test]
async fn a_new_password_by_letter_ends_other_sessions_and_never_skips_the_code() {
    let (house, server, mut worker) = House::with_mail().await;
    let ines = house.account("ines@example.org", &[Role::Member]).await;
    let mut other = Browser::new(&house);
    other.sign_in("ines@example.org", PASSWORD).await;
    // A second factor, as the enrolment leaves it.
    let mut tx = house.state.store.write().await.unwrap();
    sqlx::query("INSERT INTO second_factor VALUES (?1, ?2, 1, 1, 0)")
        .bind(ines)
        .bind(&b"12345678901234567890"[..])
        .execute(&mut *tx)
        .await
        .unwrap();
    tx.commit().await.unwrap();
    for want in ["password", "sign_in"] {
        let mut browser = Browser::new(&house);
        ask(&mut browser, "ines@example.org", want).await;
        worker.round().await.unwrap();
        let path = link(&server);
        let weak = browser.post(&path, &[("password", "short")]).await;
        if want == "password" {
            assert_eq!(weak.status, 422);
            let new = [("password", "a lantern under the harbour wall")];
            let done = browser.post(&path, &new).await;
            assert_eq!(done.header("location"), "/sign-in/code");
            assert_eq!(other.get("/account").await.status, 303, "other sessions have ended");
        } else {
            assert_eq!(weak.header("location"), "/sign-in/code");
        }
        assert_eq!(browser.get("/telescopes").await.status, 303, "{want}: not in yet");
    }
    let old = Browser::new(&house).sign_in("ines@example.org", PASSWORD).await;
    assert_eq!(old.status, 401);
}

#[tokio::test]
async fn a_new_password_ends_every_link_that_was_on_its_way() {
    let (house, server, mut worker) = House::with_mail().await;
    house.account("ines@example.org", &[Role::Member]).await;
    let mut browser = Browser::new(&house);
    ask(&mut browser, "ines@example.org", "sign_in").await;
    worker.round().await.unwrap();
    let sign_in = link(&server);
    ask(&mut browser, "ines@example.org", "password").await;
    worker.round().await.unwrap();
    let password = link(&server);
    let new = [("password", "a lantern under the harbour wall")];
    assert_eq!(browser.post(&password, &new).await.status, 303);
    assert_eq!(Browser::new(&house).post(&sign_in, &[]).await.status, 404);
}

#[tokio::test]
async fn nobody_fills_anothers_mailbox() {
    let (house, server, mut worker) = House::with_mail().await;
    house.account("ines@example.org", &[Role::Member]).await;
    let mut statuses = Vec::new();
    for _ in 0..12 {
        statuses.push(ask(&mut Browser::new(&house), "ines@example.org", "sign_in").await);
        worker.round().await.unwrap();
    }
    assert_eq!(statuses[..5], [200; 5]);
    assert_eq!(statuses[5..], [429; 7], "from one network");
    assert_eq!(server.taken().len(), 5);
}

#[tokio::test]
async fn after_a_hundred_wrong_guesses_only_a_letter_helps() {
    let (house, server, mut worker) = House::with_mail().await;
    house.account("ines@example.org", &[Role::Member]).await;
    let mut browser = Browser::new(&house);
    for _ in 0..100 {
        assert_eq!(browser.sign_in("ines@example.org", "a guess of mine").await.status, 401);
        house.state.clock.advance(SignedDuration::from_mins(15));
    }
    let right = browser.sign_in("ines@example.org", PASSWORD).await;
    assert_eq!(right.status, 401, "the right password is not taken any more");
    assert!(right.text().contains("/sign-in/help"));
    worker.round().await.unwrap();
    let told = server.only();
    assert_eq!(told.header("Subject"), "Your password no longer opens your account");

    ask(&mut browser, "ines@example.org", "password").await;
    worker.round().await.unwrap();
    let new = [("password", "a lantern under the harbour wall")];
    assert_eq!(browser.post(&link(&server), &new).await.status, 303);
    house.state.clock.advance(SignedDuration::from_mins(15));
    let mut again = Browser::new(&house);
    assert_eq!(again.sign_in("ines@example.org", new[0].1).await.status, 303);
}

#[tokio::test]
async fn a_new_address_proves_itself_before_it_counts() {
    let (house, server, mut worker) = House::with_mail().await;
    house.account("ines@example.org", &[Role::Member]).await;
    house.account("cal@example.org", &[Role::Member]).await;
    let mut browser = Browser::new(&house);
    browser.sign_in("ines@example.org", PASSWORD).await;
    // A taken address gets the same answer, and no link.
    let taken = [("email", "cal@example.org"), ("email_password", PASSWORD)];
    let answer = browser.post("/account/email", &taken).await;
    assert_eq!(answer.header("location"), "/account?done=letter");
    let free = [("email", "new@example.org"), ("email_password", PASSWORD)];
    let answer = browser.post("/account/email", &free).await;
    assert_eq!(answer.header("location"), "/account?done=letter");
    worker.round().await.unwrap();
    let to = |address: &str| {
        server.taken().into_iter().filter(|one| one.to == address).collect::<Vec<_>>()
    };
    assert!(!to("cal@example.org")[0].plain().contains("/sign-in/link/"));
    assert_eq!(to("ines@example.org").len(), 2, "the former address is told");
    assert_eq!(Browser::new(&house).sign_in("new@example.org", PASSWORD).await.status, 401);

    let path = path_in(&to("new@example.org")[0].plain()).unwrap();
    let mut mailbox = Browser::new(&house);
    assert_eq!(mailbox.get(&path).await.status, 200);
    assert_eq!(mailbox.post(&path, &[]).await.status, 303);
    assert_eq!(mailbox.sign_in("new@example.org", PASSWORD).await.status, 303);
    assert_eq!(browser.get("/account").await.status, 303, "earlier sessions have ended");
}

#[tokio::test]
async fn without_a_mail_server_nothing_is_promised() {
    let house = House::new().await;
    let mut browser = Browser::new(&house);
    assert!(!browser.get("/sign-in").await.text().contains("/sign-in/help"));
    let page = browser.get("/sign-in/help").await;
    assert!(page.text().contains("sends no mail"));
    assert_eq!(ask(&mut browser, "ines@example.org", "sign_in").await, 422);
}

/// Prints the medians: a figure to look at, not a pass or a fail, for machines have moods.
/// `cargo test --release --test routes how_long -- --ignored --nocapture`
#[tokio::test]
#[ignore = "measures; run it by hand on a quiet machine"]
async fn how_long_known_and_unknown_names_take() {
    const ROUNDS: usize = 100;
    let (house, _server, mut worker) = House::with_mail().await;
    house.account("ines@example.org", &[Role::Member]).await;
    let median = |mut all: Vec<f64>| {
        all.sort_by(f64::total_cmp);
        all[all.len() / 2]
    };
    for door in ["/sign-in", "/sign-in/help"] {
        let mut times = [Vec::new(), Vec::new()];
        for round in 0..2 * ROUNDS {
            let email = ["ines@example.org", "nobody@example.org"][round % 2];
            let fields = [("email", email), ("password", "a guess of mine"), ("want", "sign_in")];
            let mut browser = Browser::new(&house);
            let begin = Instant::now();
            let status = browser.post(door, &fields).await.status;
            times[round % 2].push(begin.elapsed().as_secs_f64() * 1000.0);
            assert!(matches!(status.as_u16(), 200 | 401), "{status}");
            house.state.clock.advance(SignedDuration::from_hours(25));
            worker.round().await.unwrap();
        }
        let [known, unknown] = times.map(median);
        println!(
            "{door}: known {known:.2} ms, unknown {unknown:.2} ms, difference {:.2} ms, ratio {:.3}",
            known - unknown,
            known / unknown
        );
    }
}
