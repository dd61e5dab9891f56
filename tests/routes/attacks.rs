//! What attackers try: fixed sessions, other sites' forms, stolen tokens, other people's numbers,
//! markup and SQL in text fields, and secrets that might turn up where they don't belong.

use std::io::Write;
use std::sync::{Arc, Mutex};

use axum::body::Body;
use axum::http::Method;
use borrowed_light::app::table;
use borrowed_light::optics::Sphere;
use borrowed_light::people::access::{Access, Scope};
use borrowed_light::people::rights::Role;
use borrowed_light::people::{EyeRecord, WrittenCylinder, put_member_eye};
use tracing_subscriber::fmt::MakeWriter;

use crate::browser::Browser;
use crate::client::{House, PASSWORD, request};
use crate::my_data::reserve;
use crate::people::{link, staff};

#[tokio::test]
async fn a_session_id_fixed_before_signing_in_opens_nothing_afterwards() {
    let house = House::new().await;
    house.account("ines@example.org", &[Role::Member]).await;
    let planted = "0123456789abcdef".repeat(4);
    let mut victim = Browser::new(&house);
    victim.cookies.insert("borrowed-light".into(), planted.clone());
    victim.sign_in("ines@example.org", PASSWORD).await;
    assert_ne!(victim.cookies["borrowed-light"], planted);
    let mut attacker = Browser::new(&house);
    attacker.cookies.insert("borrowed-light".into(), planted);
    assert!(attacker.get("/telescopes").await.header("location").starts_with("/sign-in"));
}

#[tokio::test]
async fn no_form_of_another_site_gets_through_at_any_address() {
    let house = House::new().await;
    let (admin, _) = staff(&house, "ada@example.org", Role::Admin).await;
    let cookies = format!("borrowed-light={}", admin.cookies["borrowed-light"]);
    let mut tried = 0;
    for route in table() {
        if route.method == Method::GET || route.path.starts_with("/api/") {
            continue;
        }
        let path = route.path.replace(['{', '}'], "");
        for (name, value) in [
            ("sec-fetch-site", "cross-site"),
            ("sec-fetch-site", "same-site"),
            ("origin", "https://evil.example"),
            ("origin", "null"),
            ("x-nothing", "said"),
        ] {
            let asked = request(route.method.clone(), &path)
                .header(name, value)
                .header("cookie", &cookies)
                .header("content-type", "application/x-www-form-urlencoded")
                .body(Body::from("name=x"));
            let answer = house.send(asked.unwrap()).await;
            assert_eq!(answer.status, 403, "{} with {name}: {value}", route.path);
            tried += 1;
        }
    }
    assert!(tried >= 5 * 15, "{tried}");
    println!("{tried} forms of other sites were refused");
}

#[tokio::test]
async fn a_stolen_token_or_cookie_is_worthless_once_it_is_revoked() {
    let house = House::new().await;
    let id = house.account("ines@example.org", &[Role::Member]).await;
    let token = house.token(id, Scope::Write).await;
    let ask = async || {
        let asked = request(Method::GET, "/api/v1/openapi.json")
            .header("authorization", format!("Bearer {}", token.reveal()));
        house.send(asked.body(Body::empty()).unwrap()).await.status.as_u16()
    };
    let mut ines = Browser::new(&house);
    ines.sign_in("ines@example.org", PASSWORD).await;
    let mut thief = Browser::new(&house);
    thief.cookies.clone_from(&ines.cookies);
    assert_eq!((ask().await, thief.get("/telescopes").await.status.as_u16()), (200, 200));
    ines.post("/account/tokens/1/revoke", &[]).await;
    ines.post("/sign-out", &[]).await;
    assert_eq!(ask().await, 401);
    assert!(thief.get("/telescopes").await.header("location").starts_with("/sign-in"));
}

#[tokio::test]
async fn another_members_number_opens_nothing_in_any_address() {
    let house = House::new().await;
    let (other, other_account) = house.member("Bo", "bo@example.org", &[Role::Member]).await;
    house.token(other_account, Scope::Read).await;
    let theirs = reserve(&house, other, "2026-06-12", "2026-06-14").await;
    let mut bo = Browser::new(&house);
    bo.sign_in("bo@example.org", PASSWORD).await;
    let glass = [("name", "A glass"), ("focal_length_mm", "23.7")];
    assert_eq!(bo.post("/account/gear/eyepieces", &glass).await.status, 303);
    let (_, own_account) = house.member("Ines", "ines@example.org", &[Role::Member]).await;
    let token = house.token(own_account, Scope::Write).await;
    let mut ines = Browser::new(&house);
    ines.sign_in("ines@example.org", PASSWORD).await;
    let snapshot = async || -> Vec<(i64, i64, String, String)> {
        sqlx::query_as(
            "SELECT (SELECT count(*) FROM access_token WHERE revoked_at IS NULL),
                    (SELECT sum(id + coalesce(disabled_at, 0)) FROM account),
                    (SELECT group_concat(name) FROM own_eyepiece),
                    (SELECT group_concat(state || first_night || version) FROM reservation)",
        )
        .fetch_all(&mut *house.state.store.reader().acquire().await.unwrap())
        .await
        .unwrap()
    };
    let before = snapshot().await;
    let mut tried = 0;
    for route in table().into_iter().filter(|route| route.path.contains("{id}")) {
        // What is on the club's shelf is everybody's to look at.
        let kinds = ["telescopes", "eyepieces", "barlows", "filters"];
        let on_the_shelf = kinds.map(|kind| format!("/api/v1/{kind}/{{id}}"));
        if route.path.starts_with("/telescopes")
            || route.path.starts_with("/shelf")
            || on_the_shelf.iter().any(|path| path == route.path)
        {
            continue;
        }
        for number in [other.0, other_account, theirs.0, 1] {
            let path = route.path.replace("{id}", &number.to_string());
            let path = path.replace("{kind}", "eyepieces");
            let answer = match (route.access, &route.method) {
                (Access::Api(..), method) => {
                    let asked = request(method.clone(), &path)
                        .header("authorization", format!("Bearer {}", token.reveal()));
                    house.send(asked.body(Body::empty()).unwrap()).await
                }
                (_, &Method::GET) => ines.get(&path).await,
                _ => ines.post(&path, &[]).await,
            };
            let status = answer.status.as_u16();
            assert!(
                matches!(status, 403 | 404 | 405 | 415 | 422 | 428),
                "{} {path}: {status}",
                route.method
            );
            tried += 1;
        }
    }
    assert_eq!(snapshot().await, before, "nothing of anybody's has changed");
    assert!(tried >= 20, "{tried}");
    println!("{tried} requests with another member's number were refused");
}

#[tokio::test]
async fn markup_and_sql_in_text_fields_stay_text() {
    let house = House::new().await;
    let (mut admin, _) = staff(&house, "ada@example.org", Role::Admin).await;
    admin.post("/people/joining", &[("open", "yes")]).await;
    for (number, nasty) in [
        "\"><script>alert(1)</script>",
        "'; DROP TABLE account; --",
        "{{ 7 * 7 }} ${7*7} %s",
        "=HYPERLINK(\"http://evil.example\")",
    ]
    .into_iter()
    .enumerate()
    {
        let email = format!("n{number}@example.org");
        let fields = [("name", nasty), ("email", &*email), ("member", "yes")];
        assert_eq!(admin.post("/people/invite", &fields).await.status, 200, "{nasty}");
        let mut stranger = Browser::new(&house);
        let fields = [("name", nasty), ("email", &*format!("j{number}@e.org")), ("says", nasty)];
        assert_eq!(stranger.post("/join", &fields).await.status, 200, "{nasty}");
        let bad = admin.post("/people/invite", &[("name", nasty), ("email", nasty)]).await;
        assert_eq!(bad.status, 422);
        let table = format!("member_number,name,email,joined,state\n\"{nasty}\",x,,,active\n");
        let refused = admin.post("/people/import", &[("table", &table)]).await;
        let mut pages = vec![bad, refused];
        for path in ["/people", "/people/joining", "/audit", "/people?q=%22%3E%3Cscript%3E"] {
            pages.push(admin.get(path).await);
        }
        for page in pages {
            assert!(page.status.as_u16() < 500);
            assert!(!page.text().contains("<script>alert"), "{}", page.text());
        }
    }
    for text in ["a\r\nSet-Cookie: x=y", "a\0b"] {
        let fields = [("name", text), ("email", "q@example.org")];
        assert_eq!(admin.post("/people/invite", &fields).await.status, 422, "{text:?}");
    }
    let accounts: i64 = sqlx::query_scalar("SELECT count(*) FROM account")
        .fetch_one(&mut *house.state.store.reader().acquire().await.unwrap())
        .await
        .unwrap();
    assert_eq!(accounts, 5);
}

/// Catches what is logged.
#[derive(Clone, Default)]
struct Caught(Arc<Mutex<Vec<u8>>>);

impl Write for Caught {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        self.0.lock().unwrap().extend_from_slice(bytes);
        Ok(bytes.len())
    }
    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

impl<'a> MakeWriter<'a> for Caught {
    type Writer = Self;
    fn make_writer(&'a self) -> Self {
        self.clone()
    }
}

#[tokio::test]
async fn no_secret_gets_into_logs_the_audit_log_or_error_pages() {
    const PLANTED: &str = "moonlit xylophone 4711";
    let caught = Caught::default();
    let subscriber = tracing_subscriber::fmt()
        .json()
        .with_max_level(tracing::Level::TRACE)
        .with_writer(caught.clone())
        .finish();
    // For the whole process: an event that another test's thread meets first, where nobody listens,
    // would otherwise stay silent on this thread too.
    tracing::subscriber::set_global_default(subscriber).unwrap();
    tracing::warn!("the net is out");

    let house = House::new().await;
    let (mut admin, _) = staff(&house, "ada@example.org", Role::Admin).await;
    let (member, account) = house.member("Ines", "ines@example.org", &[Role::Member]).await;
    let eye = EyeRecord {
        sphere: Sphere::new(-7.312_718).ok(),
        cylinder: WrittenCylinder::new(-3.174_919).ok(),
        ..EyeRecord::default()
    };
    let mut tx = house.state.store.write().await.unwrap();
    put_member_eye(&mut tx, member, &eye).await.unwrap();
    tx.commit().await.unwrap();
    let mut secrets =
        vec![PLANTED.to_owned(), PASSWORD.into(), "7.312718".into(), "3.174919".into()];
    let mut pages = Vec::new();

    let mut ines = Browser::new(&house);
    pages.push(ines.sign_in("ines@example.org", PLANTED).await);
    pages.push(ines.sign_in(PLANTED, PLANTED).await);
    ines.sign_in("ines@example.org", PASSWORD).await;
    let made = admin.post(&format!("/people/{account}/link"), &[]).await;
    let path = link(made.text()).to_owned();
    secrets.push(path.trim_start_matches("/setup/").to_owned());
    let mut fresh = Browser::new(&house);
    pages.push(fresh.post("/setup/none", &[("password", PLANTED)]).await);
    assert_eq!(fresh.post(&path, &[("password", PLANTED)]).await.status, 303);
    pages.push(fresh.post(&path, &[("password", PLANTED)]).await);
    let form = [("name", "harbour clock"), ("scope", "read"), ("days", "30")];
    let made = fresh.post("/account/tokens", &form).await;
    let token = made.text().split("<code class=\"secret\">").nth(1).unwrap();
    let token = token.split_once('<').unwrap().0.to_owned();
    secrets.push(token.clone());
    for (method, path) in [
        (Method::GET, "/api/v1/openapi.json"),
        (Method::GET, "/api/v1/nowhere"),
        (Method::DELETE, "/api/v1/me"),
        (Method::GET, "/api/v1/me"),
        (Method::PUT, "/api/v1/me"),
    ] {
        let asked = request(method, path).header("authorization", format!("Bearer {token}"));
        let body = Body::from(format!("{{\"sphere\": -7.312718, \"cylinder\": \"{PLANTED}\"}}"));
        let answer = house.send(asked.body(body).unwrap()).await;
        if !answer.status.is_success() {
            pages.push(answer);
        }
    }
    pages.push(admin.get(&format!("/people/{account}")).await);
    pages.push(admin.get("/people").await);
    pages.push(admin.get("/audit").await);
    secrets.push(admin.cookies["borrowed-light"].clone());
    secrets.push(fresh.cookies["borrowed-light"].clone());

    let log = String::from_utf8(caught.0.lock().unwrap().clone()).unwrap();
    assert!(log.contains("the net is out") && log.contains("signed in"), "nothing was caught");
    let audit: Vec<String> =
        sqlx::query_scalar("SELECT concat_ws('|', deed, subject_kind, detail, address) FROM audit")
            .fetch_all(&mut *house.state.store.reader().acquire().await.unwrap())
            .await
            .unwrap();
    assert!(audit.len() >= 6, "{audit:?}");
    let audit = audit.join("\n");
    for secret in &secrets {
        for (place, text) in [("the log", &log), ("the audit log", &audit)] {
            // A log line may name a path; a link's path is its secret and must not be there.
            assert!(!text.contains(secret.as_str()), "{secret} is in {place}");
        }
        for page in &pages {
            let text = page.text();
            // The sign-in page repeats what was typed as a name, to its typist alone.
            let own = text.contains("id=\"password\"") && secret == PLANTED;
            assert!(own || !text.contains(secret.as_str()), "{secret} is on a page: {text}");
        }
    }
}
