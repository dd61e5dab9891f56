//! `/people`: looking after accounts.

use axum::body::Body;
use axum::http::Method;
use borrowed_light::people::access::Scope;
use borrowed_light::people::rights::Role;
use jiff::SignedDuration;

use crate::browser::Browser;
use crate::client::{House, PASSWORD, request};

pub async fn staff<'a>(house: &'a House, email: &str, role: Role) -> (Browser<'a>, i64) {
    let id = house.account(email, &[role]).await;
    let mut browser = Browser::new(house);
    browser.sign_in(email, PASSWORD).await;
    (browser, id)
}

/// The path of the link that a page shows.
pub fn link(page: &str) -> &str {
    let shown = page.split_once("<code class=\"secret\">").expect(page).1;
    let link = shown.split_once('<').unwrap().0;
    &link[link.find("/setup/").unwrap()..]
}

async fn status_of_token(house: &House, token: &str) -> u16 {
    let asked = request(Method::GET, "/api/v1/openapi.json")
        .header("authorization", format!("Bearer {token}"));
    house.send(asked.body(Body::empty()).unwrap()).await.status.as_u16()
}

#[tokio::test]
async fn an_invitation_is_shown_once_opens_the_door_once_and_holds_for_seven_days() {
    let house = House::new().await;
    let (mut admin, _) = staff(&house, "ada@example.org", Role::Admin).await;
    let fields = [("email", "bo@example.org"), ("name", "Bo Reed"), ("outreach", "yes")];
    let made = admin.post("/people/invite", &fields).await;
    assert_eq!((made.status.as_u16(), made.header("cache-control")), (200, "no-store"));
    let path = link(made.text()).to_owned();
    assert!(made.text().contains("Friday 12 June 2026, 12:00"), "seven days from now");

    let mut bo = Browser::new(&house);
    assert!(bo.get(&path).await.text().contains("Welcome, Bo Reed"));
    assert_eq!(bo.post(&path, &[("password", "a lantern by the sea")]).await.status, 303);
    assert_eq!(bo.get(&path).await.status, 404);

    // Once more for an address that is taken: no second account, and no link.
    let again = admin.post("/people/invite", &fields).await;
    assert_eq!(again.status, 422);
    assert!(again.text().contains("There is an account with this address already"));
    assert!(!again.text().contains("/setup/"));

    let late = [("email", "cy@example.org"), ("name", "Cy"), ("member", "yes")];
    let path = link(admin.post("/people/invite", &late).await.text()).to_owned();
    house.state.clock.advance(SignedDuration::from_hours(7 * 24));
    assert_eq!(Browser::new(&house).get(&path).await.status, 404);
}

#[tokio::test]
async fn a_newer_link_ends_the_older_and_a_password_link_holds_for_half_an_hour() {
    let house = House::new().await;
    let (mut quill, _) = staff(&house, "quill@example.org", Role::Quartermaster).await;
    let invited = house.account_without_password("bo@example.org").await;
    let older = link(quill.post(&format!("/people/{invited}/link"), &[]).await.text()).to_owned();
    let newer = link(quill.post(&format!("/people/{invited}/link"), &[]).await.text()).to_owned();
    assert_eq!(house.get(&older).await.status, 404);
    assert_eq!(house.get(&newer).await.status, 200);

    let id = house.account("ines@example.org", &[Role::Member]).await;
    let mut before = Browser::new(&house);
    before.sign_in("ines@example.org", PASSWORD).await;
    let path = link(quill.post(&format!("/people/{id}/link"), &[]).await.text()).to_owned();
    house.state.clock.advance(SignedDuration::from_mins(29));
    let mut ines = Browser::new(&house);
    assert_eq!(ines.post(&path, &[("password", "a lantern by the sea")]).await.status, 303);
    assert!(before.get("/telescopes").await.header("location").starts_with("/sign-in"));

    let path = link(quill.post(&format!("/people/{id}/link"), &[]).await.text()).to_owned();
    house.state.clock.advance(SignedDuration::from_mins(30));
    assert_eq!(house.get(&path).await.status, 404);
}

#[tokio::test]
async fn a_quartermaster_opens_the_accounts_of_borrowers_only_and_gives_no_roles() {
    let house = House::new().await;
    let (mut quill, own) = staff(&house, "quill@example.org", Role::Quartermaster).await;
    for role in [Role::Admin, Role::Quartermaster, Role::Outreach] {
        let email = format!("{}-other@example.org", role.as_str());
        let id = house.account(&email, &[Role::Member, role]).await;
        let answer = quill.post(&format!("/people/{id}/link"), &[]).await;
        assert_eq!(answer.status, 403, "{role:?}");
        assert!(!answer.text().contains("/setup/"));
    }
    assert_eq!(quill.post(&format!("/people/{own}/link"), &[]).await.status, 403);
    let sly = [("email", "new@example.org"), ("admin", "yes")];
    assert_eq!(quill.post("/people/invite", &sly).await.status, 403);
    let fair = quill.post("/people/invite", &[("email", "new@example.org")]).await;
    assert_eq!(fair.status, 200);
    let page = quill.get("/people?q=new%40").await;
    assert!(page.text().contains("Can’t sign in yet") && !page.text().contains("/audit"));
}

#[tokio::test]
async fn roles_change_at_once_and_the_last_administrator_stays() {
    let house = House::new().await;
    let (mut admin, own) = staff(&house, "ada@example.org", Role::Admin).await;
    let id = house.account("bo@example.org", &[Role::Member, Role::Quartermaster]).await;
    let mut bo = Browser::new(&house);
    bo.sign_in("bo@example.org", PASSWORD).await;
    assert_eq!(bo.get("/people").await.status, 200);

    let roles = format!("/people/{id}/roles");
    // Only with the administrator's own password; what was ticked stays ticked.
    for wrong in [vec![("member", "yes")], vec![("member", "yes"), ("password", "a guess")]] {
        let refused = admin.post(&roles, &wrong).await;
        assert_eq!(refused.status, 422);
        assert!(refused.text().contains("That is not your password"));
        assert!(refused.text().contains("name=\"member\" value=\"yes\" checked"));
        assert!(!refused.text().contains("name=\"quartermaster\" value=\"yes\" checked"));
    }
    assert_eq!(bo.get("/people").await.status, 200, "nothing has changed");
    let done = admin.post(&roles, &[("member", "yes"), ("password", PASSWORD)]).await;
    assert_eq!(done.header("location"), format!("/people/{id}?done=roles"));
    assert!(bo.get("/people").await.header("location").starts_with("/sign-in"));
    bo.sign_in("bo@example.org", PASSWORD).await;
    assert_eq!(bo.get("/people").await.status, 403);

    // Nobody changes their own roles, and two administrators can't both go.
    assert_eq!(admin.post(&format!("/people/{own}/roles"), &[]).await.status, 403);
    assert_eq!(admin.post(&format!("/people/{own}/disable"), &[]).await.status, 403);
    admin.post(&roles, &[("admin", "yes"), ("password", PASSWORD)]).await;
    bo.sign_in("bo@example.org", PASSWORD).await;
    let member = [("member", "yes"), ("password", PASSWORD)];
    assert_eq!(bo.post(&format!("/people/{own}/roles"), &member).await.status, 303);
    assert!(admin.get("/people").await.header("location").starts_with("/sign-in"));
    let mut tx = house.state.store.write().await.unwrap();
    sqlx::query("INSERT INTO account_role VALUES (?, 'quartermaster')")
        .bind(own)
        .execute(&mut *tx)
        .await
        .unwrap();
    tx.commit().await.unwrap();
    assert_eq!(admin.sign_in("ada@example.org", PASSWORD).await.status, 303);
    assert_eq!(admin.post(&format!("/people/{id}/disable"), &[]).await.status, 403);
}

#[tokio::test]
async fn the_only_administrator_who_can_sign_in_cannot_be_taken_away_by_another_one() {
    let house = House::new().await;
    let (mut admin, own) = staff(&house, "ada@example.org", Role::Admin).await;
    // An administrator without a password does not count.
    let id = house.account_without_password("bo@example.org").await;
    let roles = [("admin", "yes"), ("password", PASSWORD)];
    assert_eq!(admin.post(&format!("/people/{id}/roles"), &roles).await.status, 303);
    let mut tx = house.state.store.write().await.unwrap();
    let who = borrowed_light::audit::Actor::service(&house.state.clock);
    let refused = borrowed_light::people::manage::disable(&mut tx, &who, 0, own).await.unwrap_err();
    assert_eq!(refused.status(), 409);
}

#[tokio::test]
async fn switching_an_account_off_ends_sessions_tokens_and_links_at_once_and_for_good() {
    let house = House::new().await;
    let (mut admin, _) = staff(&house, "ada@example.org", Role::Admin).await;
    let id = house.account("ines@example.org", &[Role::Member]).await;
    let mut ines = Browser::new(&house);
    ines.sign_in("ines@example.org", PASSWORD).await;
    let token = house.token(id, Scope::Read).await;
    let path = link(admin.post(&format!("/people/{id}/link"), &[]).await.text()).to_owned();
    assert_eq!(status_of_token(&house, token.reveal()).await, 200);

    let done = admin.post(&format!("/people/{id}/disable"), &[]).await;
    assert_eq!(done.header("location"), format!("/people/{id}?done=off"));
    assert!(ines.get("/telescopes").await.header("location").starts_with("/sign-in"));
    assert_eq!(ines.sign_in("ines@example.org", PASSWORD).await.status, 401);
    assert_eq!(status_of_token(&house, token.reveal()).await, 401);
    assert_eq!(house.get(&path).await.status, 404);
    assert_eq!(admin.post(&format!("/people/{id}/link"), &[]).await.status, 404);

    admin.post(&format!("/people/{id}/enable"), &[]).await;
    assert_eq!(status_of_token(&house, token.reveal()).await, 401, "the old token stays dead");
    assert_eq!(house.get(&path).await.status, 404, "and so does the old link");
    assert_eq!(ines.sign_in("ines@example.org", PASSWORD).await.status, 303);

    admin.post(&format!("/people/{id}/sessions/end"), &[]).await;
    assert!(ines.get("/telescopes").await.header("location").starts_with("/sign-in"));
}

#[tokio::test]
async fn people_are_found_by_any_part_and_paged_without_a_gap() {
    let house = House::new().await;
    let (mut admin, _) = staff(&house, "zz-ada@example.org", Role::Admin).await;
    for number in 0..60 {
        let (name, email) = (format!("Same Name {}", number / 20), format!("p{number}@e.org"));
        house.member(&name, &email, &[Role::Member]).await;
    }
    let mut seen = Vec::new();
    let mut path = "/people".to_owned();
    loop {
        let page = admin.get(&path).await;
        let text = page.text();
        seen.extend(
            text.split("class=\"row-link\" href=\"")
                .skip(1)
                .map(|rest| rest.split_once('"').unwrap().0.to_owned()),
        );
        let Some(rest) = text.split("href=\"/people?").nth(1) else { break };
        path = format!("/people?{}", rest.split_once('"').unwrap().0.replace("&#38;", "&"));
    }
    let total = seen.len();
    seen.sort();
    seen.dedup();
    assert_eq!((total, seen.len()), (61, 61));
    for q in ["P59%40E.org", "m-60"] {
        let found = admin.get(&format!("/people?q={q}")).await;
        assert_eq!(found.text().matches("row-link").count(), 1, "{q}");
    }
    assert!(admin.get("/people?q=nobody%25").await.text().contains("Nobody matches"));
}

#[tokio::test]
async fn the_list_is_previewed_then_taken_in_whole_and_no_letter_is_written() {
    let house = House::new().await;
    let (mut admin, _) = staff(&house, "ada@example.org", Role::Admin).await;
    house.member("Ines Aldous", "ines@example.org", &[Role::Member]).await;
    let table = "member_number,name,email,joined,state\r\n\
                 M-1,Ines Quill,ines@example.org,2019-03-01,active\r\n\
                 M-2,Bo Reed,bo@example.org,,active\r\n";
    let count = async |table: &str| -> i64 {
        let sql = format!("SELECT count(*) FROM {table}");
        sqlx::query_scalar(sqlx::AssertSqlSafe(sql))
            .fetch_one(&mut *house.state.store.reader().acquire().await.unwrap())
            .await
            .unwrap()
    };
    let preview = admin.post("/people/import", &[("table", table)]).await;
    assert!(preview.text().contains("Add 1, change 1, leave 0 as they are."));
    assert!(preview.text().contains("Name: Ines Aldous becomes Ines Quill"));
    assert_eq!(count("member").await, 1, "a look stores nothing");
    let seen = preview.text().split("name=\"seen\" value=\"").nth(1).unwrap();
    let seen = seen.split_once('"').unwrap().0.to_owned();

    // Somebody else is quicker: the order to do what was seen is shown afresh instead.
    house.member("Cy", "cy@example.org", &[Role::Member]).await;
    let moved = admin.post("/people/import", &[("table", table), ("seen", &seen)]).await;
    assert!(moved.text().contains("The list has changed since you looked"));
    let seen = moved.text().split("name=\"seen\" value=\"").nth(1).unwrap();
    let seen = seen.split_once('"').unwrap().0.to_owned();
    let done = admin.post("/people/import", &[("table", table), ("seen", &seen)]).await;
    assert!(done.text().contains("No mail was sent"), "{}", done.text());
    assert_eq!((count("member").await, count("letter").await), (2, 0));
    assert_eq!(count("account").await, 3, "a list makes no accounts");

    for (bad, says) in [
        ("member_number,name\nM-3,Dee\n", "email"),
        ("member_number,name,email,joined,state\nM-3,Dee,dee,,active\nM-4,E,,,active\n", "line 2"),
        (
            "member_number,name,email,birth_year,glasses,sphere_d,cylinder_d,measured_pupil_mm,\
          relief_floor_mm,joined,state\nM-3,Dee,,1970,none,-7.25,,,,,active\n",
            "Members tell",
        ),
    ] {
        let refused = admin.post("/people/import", &[("table", bad)]).await;
        assert_eq!(refused.status, 422, "{bad}");
        assert!(refused.text().contains(says), "{bad}: {}", refused.text());
    }
    assert_eq!(count("member").await, 2, "all or nothing");
}

#[tokio::test]
async fn nobody_may_ask_to_join_until_the_club_says_so_and_then_somebody_approves() {
    let house = House::new().await;
    let (mut admin, _) = staff(&house, "ada@example.org", Role::Admin).await;
    house.account("ines@example.org", &[Role::Member]).await;
    let ask = |email: &'static str| [("name", "Bo Reed"), ("email", email), ("says", "Hello")];
    assert_eq!(house.get("/join").await.status, 404);
    let mut bo = Browser::new(&house);
    assert_eq!(bo.post("/join", &ask("bo@example.org")).await.status, 404);

    admin.post("/people/joining", &[("open", "yes")]).await;
    let new = bo.post("/join", &ask("bo@example.org")).await;
    let known = bo.post("/join", &ask("ines@example.org")).await;
    let strip = |page: &str| {
        let without = page
            .split("name=\"form_token\" value=\"")
            .map(|part| part.split_once('"').map_or(part, |(_, rest)| rest).to_owned());
        without.collect::<String>()
    };
    assert_eq!((new.status.as_u16(), known.status.as_u16()), (200, 200));
    assert_eq!(strip(new.text()), strip(known.text()), "nothing tells who has an account");
    assert_eq!(bo.sign_in("bo@example.org", PASSWORD).await.status, 401);

    let waiting = admin.get("/people/joining").await;
    assert_eq!(waiting.text().matches("/approve\"").count(), 1);
    let made = admin.post("/people/joining/1/approve", &[]).await;
    let path = link(made.text()).to_owned();
    assert_eq!(bo.post(&path, &[("password", "a lantern by the sea")]).await.status, 303);
    assert_eq!(bo.get("/people").await.status, 403, "an approved person borrows, no more");
    assert_eq!(admin.post("/people/joining/1/approve", &[]).await.status, 404);

    for number in 0..4 {
        bo.post("/join", &[("name", "X"), ("email", &format!("x{number}@example.org"))]).await;
    }
    let braked = bo.post("/join", &ask("y@example.org")).await;
    assert_eq!(braked.status, 429);
    assert!(!braked.header("retry-after").is_empty());
    // The brake on asking locks nobody out.
    assert_eq!(Browser::new(&house).sign_in("ines@example.org", PASSWORD).await.status, 303);
}
