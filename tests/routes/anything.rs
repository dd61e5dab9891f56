//! Anything at every address: forms as the pages show them, filled with what nobody should type, and
//! bodies of any bytes. Nothing may break: no answer of 500 and above, and the club stays whole.

use std::collections::BTreeSet;

use axum::body::Body;
use axum::http::Method;
use borrowed_light::app::table;
use borrowed_light::club::check::faults;
use borrowed_light::demo::{self, Access};
use borrowed_light::web::query;

use crate::browser::Browser;
use crate::client::{House, request};
use crate::shelves::Rolls;

/// What nobody should type, and what somebody will.
const ODD: [&str; 34] = [
    "",
    " ",
    "0",
    "-1",
    "1",
    "2",
    "1e309",
    "-1e-309",
    "NaN",
    "inf",
    "9223372036854775807",
    "-9223372036854775808",
    "18446744073709551616",
    "1,5",
    "1.5",
    "٣",
    "2026-06-05",
    "2026-02-30",
    "9999-12-31",
    "-9999-01-01",
    "+10000-01-01",
    "25:61",
    "22:00",
    "T-001",
    "E-001",
    "on",
    "true",
    "=1+1",
    "<script>alert(1)</script>",
    "'; DROP TABLE item; --",
    "\u{0}",
    "\u{202e}\u{301}é𝔘",
    "../../etc",
    "%00%ff%zz",
];

/// A form that a page shows: where it goes and what it asks.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Form {
    action: String,
    fields: Vec<(String, String)>,
    files: bool,
}

async fn demo_club() -> (House, Vec<Access>) {
    let house = House::new().await;
    let people = demo::fill(&house.state.store, &house.state.clock).await.unwrap();
    (house, people)
}

/// The value of an attribute in a tag's text.
fn attribute<'a>(tag: &'a str, name: &str) -> Option<&'a str> {
    let start = tag.find(&format!(" {name}=\""))? + name.len() + 3;
    tag[start..].split('"').next()
}

/// The forms of a page that change something.
fn forms(page: &str, address: &str) -> Vec<Form> {
    let mut found = Vec::new();
    for part in page.split("<form").skip(1) {
        let Some((inside, _)) = part.split_once("</form>") else { continue };
        let head = inside.split('>').next().unwrap_or_default();
        if attribute(head, "method") != Some("post") {
            continue;
        }
        let tags = inside.split('<').skip(1).map(|tag| tag.split('>').next().unwrap_or_default());
        let fields = tags
            .filter(|tag| {
                ["input", "select", "textarea", "button"].iter().any(|of| tag.starts_with(of))
            })
            .filter_map(|tag| {
                let value = attribute(tag, "value").unwrap_or_default();
                Some((attribute(tag, "name")?.to_owned(), value.to_owned()))
            })
            .collect();
        found.push(Form {
            action: attribute(head, "action").unwrap_or(address).to_owned(),
            fields,
            files: head.contains("multipart"),
        });
    }
    found
}

/// Addresses of pages, with what is there in place of `{parts}`.
fn places(path: &str) -> Vec<String> {
    let tries = ["1", "2", "T-001", "E-001", "eyepiece", "telescopes"];
    if path.contains('{') {
        let fill = |with: &str| {
            path.split('/')
                .map(|part| if part.starts_with('{') { with } else { part })
                .collect::<Vec<_>>()
                .join("/")
        };
        tries.iter().map(|with| fill(with)).collect()
    } else {
        vec![path.to_owned()]
    }
}

/// Every form that somebody sees, each once for what it asks.
async fn seen_by(browser: &mut Browser<'_>) -> Vec<Form> {
    let (mut all, mut known) = (Vec::new(), BTreeSet::new());
    for route in table() {
        if route.method != Method::GET || route.path.starts_with("/api/") {
            continue;
        }
        for place in places(route.path) {
            let answer = browser.get(&place).await;
            assert!(answer.status.as_u16() < 500, "GET {place}: {}", answer.status);
            if answer.status != 200 || !answer.header("content-type").starts_with("text/html") {
                continue;
            }
            for form in forms(answer.text(), &place) {
                let names: Vec<&str> = form.fields.iter().map(|(name, _)| &**name).collect();
                let digits = |text: &str| text.replace(|c: char| c.is_ascii_digit(), "");
                if known.insert((digits(&form.action), format!("{names:?}"))) {
                    all.push(form);
                }
            }
        }
    }
    all
}

/// The form with some of its values replaced, one left out and one that it doesn't have.
fn filled(form: &Form, rolls: &mut Rolls) -> Vec<(String, String)> {
    let mut fields = Vec::new();
    for (name, value) in &form.fields {
        if rolls.chance(5) {
            continue;
        }
        let value = if rolls.chance(45) { rolls.of(&ODD).to_owned() } else { value.clone() };
        fields.push((name.clone(), value));
    }
    if rolls.chance(20) {
        fields
            .push((rolls.of(&["roles", "id", "owner", ""]).to_owned(), rolls.of(&ODD).to_owned()));
    }
    fields
}

/// What would end the session, or the account, that sends the rest.
fn ends_it(action: &str) -> bool {
    action == "/sign-out"
        || action.starts_with("/account/password")
        || action.contains("/erase")
        || action.contains("/sessions/")
        || action.contains("/disable")
        || action.contains("/roles")
        || action.contains("second-factor")
}

#[tokio::test]
async fn forms_filled_with_anything_break_nothing() {
    let mut rolls = Rolls::new(8_420);
    let mut sent = 0;
    for role in ["admin", "quartermaster", "outreach", "member"] {
        // One role's odd wishes lock others out.
        let (house, people) = demo_club().await;
        let person = people.iter().find(|one| one.role == role).unwrap();
        let mut browser = Browser::new(&house);
        browser.sign_in(&person.email, &person.password).await;
        let all = seen_by(&mut browser).await;
        assert!(all.len() > 10, "{role} saw {} forms only", all.len());
        for form in all.iter().filter(|form| !ends_it(&form.action)) {
            for _ in 0..6 {
                let fields = filled(form, &mut rolls);
                let answer = if form.files {
                    let parts: Vec<(&str, &str, &[u8])> = fields
                        .iter()
                        .map(|(name, value)| {
                            let file = if name.contains("photo") { "photo.jpg" } else { "" };
                            (&**name, file, value.as_bytes())
                        })
                        .collect();
                    browser.post_parts(&form.action, &parts).await
                } else {
                    let fields: Vec<(&str, &str)> =
                        fields.iter().map(|(name, value)| (&**name, &**value)).collect();
                    browser.post(&form.action, &fields).await
                };
                sent += 1;
                // Whoever is signed out is sent away by every page, and nothing is tried any more.
                assert!(
                    !answer.header("location").starts_with("/sign-in"),
                    "{role}, {} {fields:?} ended the session",
                    form.action
                );
                assert!(
                    answer.status.as_u16() < 500,
                    "{role}, {} {fields:?}: {}",
                    form.action,
                    answer.status
                );
            }
        }
        assert_eq!(faults(&house.state.store).await.unwrap(), Vec::<String>::new(), "{role}");
    }
    assert!(sent > 600, "only {sent} forms were sent");
}

#[tokio::test]
async fn any_bytes_and_any_question_break_nothing() {
    let (house, people) = demo_club().await;
    let mut rolls = Rolls::new(1_964);
    let keeper = people.iter().find(|one| one.role == "quartermaster").unwrap();
    let mut browser = Browser::new(&house);
    browser.sign_in(&keeper.email, &keeper.password).await;
    for route in table() {
        for place in places(route.path) {
            if ends_it(&place) {
                continue;
            }
            let name =
                rolls.of(&["q", "from", "to", "after", "kind", "page", "member", "site", "item"]);
            let pairs = [(name, rolls.of(&ODD)), ("to", rolls.of(&ODD))];
            let address = format!("{place}?{}", query::pairs(pairs));
            let bytes: Vec<u8> = (0..rolls.below(60)).map(|_| rolls.next() as u8).collect();
            let kind = rolls.of(&[
                "application/json",
                "application/x-www-form-urlencoded",
                "multipart/form-data; boundary=x",
                "multipart/form-data",
                "text/csv",
                "\u{7f}",
            ]);
            if route.path.starts_with("/api/") {
                let asked = request(route.method.clone(), &address)
                    .header("authorization", format!("Bearer {}", keeper.token))
                    .header("if-match", rolls.of(&["\"1\"", "*", "W/\"1\"", "\"", "é"]))
                    .header("idempotency-key", rolls.of(&["a", "", "\"quoted\"", " "]))
                    .header("content-type", kind.replace('\u{7f}', "x"))
                    .body(Body::from(bytes))
                    .unwrap();
                let answer = house.send(asked).await;
                assert!(
                    answer.status.as_u16() < 500,
                    "{} {address}: {}",
                    route.method,
                    answer.status
                );
            } else if route.method == Method::GET {
                let answer = browser.get(&address).await;
                assert!(answer.status.as_u16() < 500, "GET {address}: {}", answer.status);
            } else {
                let kind = kind.replace('\u{7f}', "x");
                let answer = browser.post_body(&place, &kind, Body::from(bytes)).await;
                assert!(answer.status.as_u16() < 500, "POST {place}: {}", answer.status);
            }
        }
    }
    assert_eq!(faults(&house.state.store).await.unwrap(), Vec::<String>::new());
}

#[tokio::test]
async fn any_token_cookie_or_calendar_address_opens_nothing() {
    let (house, people) = demo_club().await;
    let sound = people[0].token.clone();
    let mut rolls = Rolls::new(77);
    for n in 0..300 {
        let mut token = sound.clone().into_bytes();
        let at = rolls.below(token.len());
        match n % 3 {
            // One letter another one, one missing, or something else altogether.
            0 => token[at] = if token[at] == b'a' { b'b' } else { b'a' },
            1 => drop(token.remove(at)),
            _ => token = (0..rolls.below(80)).map(|_| 33 + (rolls.next() % 90) as u8).collect(),
        }
        let token = String::from_utf8(token).unwrap();
        let asked = request(Method::GET, "/api/v1/me")
            .header("authorization", format!("Bearer {token}"))
            .header("cookie", format!("borrowed-light={token}; scheme={token}"))
            .body(Body::empty())
            .unwrap();
        assert_eq!(house.send(asked).await.status, 401, "{token}");
        let asked = request(Method::GET, "/mine")
            .header("cookie", format!("borrowed-light={token}; scheme={token}"))
            .body(Body::empty())
            .unwrap();
        assert_eq!(house.send(asked).await.status, 303, "{token}");
        let path = format!("/calendar/{}", query::pairs([("", &*token)]).trim_start_matches('='));
        let answer = house.get(&path).await;
        assert_eq!(answer.status, 404, "{path}");
    }
}
