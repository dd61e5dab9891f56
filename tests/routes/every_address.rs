//! What holds for every address in the table.

use axum::body::Body;
use axum::http::{Method, header};
use borrowed_light::app::{document, table};
use borrowed_light::people::access::{Access, Scope};
use borrowed_light::people::places::PLACES;
use borrowed_light::people::rights::{Deed, Role, Roles};
use borrowed_light::web::secret::Secret;
use borrowed_light::web::site::Site;

use crate::browser::Browser;
use crate::client::{Answer, House, PASSWORD, request};

/// Addresses that end what opens the others.
const ENDINGS: [&str; 2] = ["/sign-out", "/account/tokens/{id}/revoke"];

/// A path with something in place of its `{parts}`.
fn filled(path: &str) -> String {
    path.split('/')
        .map(|part| if part.starts_with('{') { "1" } else { part })
        .collect::<Vec<_>>()
        .join("/")
}

#[tokio::test]
async fn nobody_gets_anywhere_but_through_the_open_doors() {
    let open: Vec<String> = table()
        .iter()
        .filter(|route| route.access == Access::Open)
        .map(|route| format!("{} {}", route.method, route.path))
        .collect();
    assert_eq!(
        open,
        [
            "GET /healthz",
            "GET /readyz",
            "GET /static/{*name}",
            "GET /sign-in",
            "POST /sign-in",
            "GET /sign-in/code",
            "POST /sign-in/code",
            "GET /sign-in/help",
            "POST /sign-in/help",
            "GET /sign-in/link/{token}",
            "POST /sign-in/link/{token}",
            "GET /setup/{token}",
            "POST /setup/{token}",
            "GET /join",
            "POST /join",
            "POST /scheme",
            "GET /problems/{kind}",
            "GET /visit/{slug}",
            "GET /visit/{slug}/calendar.ics",
            "GET /calendar/{file}",
        ]
    );

    let house = House::new().await;
    for route in table() {
        let asked = request(route.method.clone(), &filled(route.path))
            .header("sec-fetch-site", "same-origin")
            .body(Body::empty())
            .unwrap();
        let answer = house.send(asked).await;
        let name = format!("{} {}", route.method, route.path);
        match route.access {
            Access::Open => assert_ne!(answer.status, 401, "{name}"),
            Access::Page(_) => {
                assert_eq!(answer.status, 303, "{name}");
                assert!(answer.header("location").starts_with("/sign-in"), "{name}");
            }
            Access::Api(..) => {
                assert_eq!(answer.status, 401, "{name}");
                assert_eq!(answer.header("content-type"), "application/problem+json", "{name}");
                assert!(answer.header("www-authenticate").starts_with("Bearer"), "{name}");
            }
        }
    }
}

#[test]
fn each_entry_of_the_navigation_leads_where_those_who_see_it_may_go() {
    for (place, deed) in PLACES {
        let leads = table()
            .into_iter()
            .find(|route| route.method == Method::GET && route.path == place.address());
        let leads = leads.unwrap_or_else(|| panic!("{}: nothing there", place.address()));
        assert_eq!(leads.access, Access::Page(deed), "{}", place.label());
    }
}

#[test]
fn the_table_in_the_developers_guide_is_the_one_in_the_code() {
    let guide = include_str!("../../DEVELOPERS.md");
    for deed in Deed::ALL {
        let cells = Role::ALL.map(|role| if deed.allowed().contains(&role) { "yes" } else { "–" });
        let line = format!("| {deed:?} | {} |", cells.join(" | "));
        assert!(guide.contains(&line), "DEVELOPERS.md lacks this line of its table:\n{line}");
    }
    let lines = guide.lines().filter(|line| line.ends_with("yes |") || line.ends_with("– |"));
    assert_eq!(lines.count(), Deed::ALL.len(), "DEVELOPERS.md tells of deeds that are no more");
}

#[test]
fn the_table_and_the_descriptions_of_the_api_agree() {
    for route in table() {
        let described = route.described_as();
        if route.path.starts_with("/api/") {
            assert_eq!(described, [(route.method.to_string(), route.path.to_owned())]);
            assert!(matches!(route.access, Access::Api(..)), "{}", route.path);
        } else {
            assert_eq!(described, []);
        }
    }
    let text = document::document().to_json().unwrap();
    assert!(text.contains("\"openapi\":\"3.1"));
}

fn is_protected(answer: &Answer, secure: bool, name: &str) {
    let policy = answer.header("content-security-policy");
    assert_eq!(
        policy,
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; \
         form-action 'self'; base-uri 'none'; object-src 'none'; frame-ancestors 'none'",
        "{name}"
    );
    assert_eq!(answer.header("x-content-type-options"), "nosniff", "{name}");
    assert_eq!(answer.header("referrer-policy"), "same-origin", "{name}");
    assert_eq!(answer.header("x-frame-options"), "DENY", "{name}");
    assert!(answer.header("permissions-policy").contains("camera=()"), "{name}");
    assert_eq!(answer.header("cross-origin-opener-policy"), "same-origin", "{name}");
    assert_eq!(answer.header("access-control-allow-origin"), "", "{name}");
    assert_eq!(answer.header("x-request-id").len(), 16, "{name}");
    assert!(!answer.header("cache-control").is_empty(), "{name}");
    let strict = if secure { "max-age=63072000" } else { "" };
    assert_eq!(answer.header("strict-transport-security"), strict, "{name}");
}

#[tokio::test]
async fn every_answer_protects_its_reader_at_every_address_and_whatever_its_status() {
    for secure in [false, true] {
        let site = Site::new("Club");
        let site = if secure { site.at("https://lend.example.org").unwrap() } else { site };
        let house = House::at(site).await;
        let id = house.account("ada@example.org", &Role::ALL).await;
        let token = house.token(id, Scope::Write).await;
        let mut browser = Browser::new(&house);
        browser.sign_in("ada@example.org", PASSWORD).await;
        let mut statuses = std::collections::BTreeSet::new();
        for route in table() {
            let path = filled(route.path);
            let name = format!("{} {path}", route.method);
            let bare = request(route.method.clone(), &path).body(Body::empty()).unwrap();
            let mut answers = vec![house.send(bare).await];
            let with_token = request(route.method.clone(), &path)
                .header(header::AUTHORIZATION, format!("Bearer {}", token.reveal()));
            answers.push(house.send(with_token.body(Body::empty()).unwrap()).await);
            if !ENDINGS.contains(&route.path) {
                answers.push(match route.method {
                    Method::GET => browser.get(&path).await,
                    _ => browser.post(&path, &[]).await,
                });
            }
            for answer in answers {
                statuses.insert(answer.status.as_u16());
                is_protected(&answer, secure, &name);
            }
        }
        for (method, path, length) in [
            (Method::GET, "/nowhere", 0),
            (Method::GET, "/api/v1/nowhere", 0),
            (Method::DELETE, "/healthz", 0),
            (Method::POST, "/sign-in", 100_000),
        ] {
            let asked = request(method, path)
                .header("sec-fetch-site", "same-origin")
                .header("content-type", "application/x-www-form-urlencoded")
                .body(Body::from("x".repeat(length)));
            let answer = house.send(asked.unwrap()).await;
            statuses.insert(answer.status.as_u16());
            is_protected(&answer, secure, path);
        }
        // A table that is gone: whatever asks for it fails.
        let mut tx = house.state.store.write().await.unwrap();
        sqlx::query("ALTER TABLE session RENAME TO gone").execute(&mut *tx).await.unwrap();
        tx.commit().await.unwrap();
        let broken = browser.get("/sign-in").await;
        assert_eq!(broken.status, 500);
        statuses.insert(broken.status.as_u16());
        is_protected(&broken, secure, "a fault of our own");
        // A database that is being closed.
        house.state.store.close().await;
        let closing = browser.get("/sign-in").await;
        assert_eq!(closing.status, 503);
        is_protected(&closing, secure, "a club that is being closed");
        for status in [200, 303, 401, 403, 404, 405, 413, 500] {
            assert!(statuses.contains(&status), "{status} was not met: {statuses:?}");
        }
    }
}

#[tokio::test]
async fn a_lost_reader_gets_a_page_and_a_lost_program_a_document() {
    let house = House::new().await;
    let page = house.get("/nowhere").await;
    assert_eq!(page.status, 404);
    assert!(page.header("content-type").starts_with("text/html"));
    assert!(page.text().contains("Nothing lives at /nowhere."));
    assert!(page.text().contains("href=\"/sign-in\""));

    let program = house.get("/api/v1/nowhere").await;
    assert_eq!(program.status, 404);
    assert_eq!(program.header("content-type"), "application/problem+json");
    assert_eq!(program.json()["type"], "/problems/not-found");
    assert_eq!(program.json()["detail"], "Nothing lives at /api/v1/nowhere.");

    let asked = request(Method::GET, "/nowhere").header(header::ACCEPT, "application/json");
    let json = house.send(asked.body(Body::empty()).unwrap()).await;
    assert_eq!(json.header("content-type"), "application/problem+json");
}

#[tokio::test]
async fn the_wrong_method_is_told_which_ones_there_are() {
    let house = House::new().await;
    let asked = request(Method::DELETE, "/healthz").header("sec-fetch-site", "same-origin");
    let answer = house.send(asked.body(Body::empty()).unwrap()).await;
    assert_eq!(answer.status, 405);
    assert_eq!(answer.header("allow"), "GET,HEAD");
    assert!(answer.text().contains("Not in this way"));
}

#[tokio::test]
async fn a_form_from_another_site_is_refused_before_anybody_reads_it() {
    let house = House::new().await;
    for (name, value) in [("sec-fetch-site", "cross-site"), ("origin", "http://evil.example")] {
        let form = request(Method::POST, "/nowhere").header(name, value);
        let answer = house.send(form.body(Body::empty()).unwrap()).await;
        assert_eq!(answer.status, 403, "{name}");
    }
    let own = request(Method::POST, "/nowhere").header("origin", "http://club.local");
    assert_eq!(house.send(own.body(Body::empty()).unwrap()).await.status, 404);
    let bare = request(Method::POST, "/nowhere").body(Body::empty()).unwrap();
    assert_eq!(house.send(bare).await.status, 403);
}

#[tokio::test]
async fn every_role_gets_through_exactly_where_the_table_of_rights_says_so() {
    let house = House::new().await;
    let mut cases = 0;
    for role in Role::ALL {
        let email = format!("{}@example.org", role.as_str());
        let id = house.account(&email, &[role]).await;
        // What the one before has tried in vain no longer slows this one down.
        house.state.clock.advance(jiff::SignedDuration::from_mins(15));
        let mut browser = Browser::new(&house);
        browser.sign_in(&email, PASSWORD).await;
        let (read, write) =
            (house.token(id, Scope::Read).await, house.token(id, Scope::Write).await);
        for route in table() {
            cases += 1;
            let name = format!("{role:?} {} {}", route.method, route.path);
            let ask = async |token: &Secret| {
                let asked = request(route.method.clone(), &filled(route.path))
                    .header(header::AUTHORIZATION, format!("Bearer {}", token.reveal()))
                    .body(Body::empty());
                house.send(asked.unwrap()).await.status.as_u16()
            };
            match route.access {
                // Those would end the session and the token that the rest needs.
                Access::Page(_) if ENDINGS.contains(&route.path) => {}
                Access::Page(deed) => {
                    let answer = if route.method == Method::GET {
                        browser.get(&filled(route.path)).await
                    } else {
                        browser.post(&filled(route.path), &[]).await
                    };
                    let stopped =
                        answer.status == 403 || answer.header("location").starts_with("/sign-in");
                    assert_eq!(!stopped, Roles::of([role]).may(deed), "{name}: {}", answer.status);
                    assert!(answer.status.as_u16() < 500, "{name}: {}", answer.status);
                }
                Access::Api(deed, scope) => {
                    let may = Roles::of([role]).may(deed);
                    let (read, write) = (ask(&read).await, ask(&write).await);
                    assert_eq!(!matches!(read, 401 | 403), may && scope == Scope::Read, "{name}");
                    assert_eq!(!matches!(write, 401 | 403), may, "{name}");
                    assert!(read < 500 && write < 500, "{name}: {read}, {write}");
                }
                Access::Open => {}
            }
        }
    }
    println!("{cases} cases of address and role agree with the table of rights");
}
