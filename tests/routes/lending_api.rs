//! Reservations and loans, as programs ask for them.

use axum::body::Body;
use axum::http::{Method, header};
use borrowed_light::people::MemberId;
use borrowed_light::people::access::Scope;
use borrowed_light::people::rights::Role;
use borrowed_light::sheet::{Name, Notes};
use borrowed_light::shelf::{self, AssetTag, Draft, Facts, ItemState};
use serde_json::{Value, json};

use crate::client::{Answer, House, request};

/// Somebody with a token.
pub struct Caller {
    pub member: i64,
    token: String,
}

impl Caller {
    pub fn new(member: i64, token: String) -> Self {
        Self { member, token }
    }
}

/// A house with a shelf, two members and a quartermaster.
pub struct Club {
    pub house: House,
    pub items: Vec<i64>,
    pub ines: Caller,
    pub noor: Caller,
    pub desk: Caller,
}

impl Club {
    pub async fn new() -> Self {
        Self::in_house(House::new().await).await
    }

    /// The same in a house that is there.
    pub async fn in_house(house: House) -> Self {
        let mut items = Vec::new();
        let mut tx = house.state.store.write().await.unwrap();
        for n in 1..=4 {
            let facts = Facts {
                tag: AssetTag::new(&format!("B-{n}")).unwrap(),
                name: Name::new("2× Barlow").unwrap(),
                state: ItemState::InService,
                acquired: None,
                notes: Notes::default(),
            };
            let factor = borrowed_light::optics::BarlowFactor::new(2.0).unwrap();
            let figures = borrowed_light::optics::Barlow::new(factor);
            items.push(
                shelf::add(&mut tx, shelf::Hand::of_nobody(0), &Draft { facts, figures })
                    .await
                    .unwrap()
                    .0,
            );
        }
        tx.commit().await.unwrap();
        let ines = caller(&house, "ines", &[Role::Member]).await;
        let noor = caller(&house, "noor", &[Role::Member]).await;
        let desk = caller(&house, "desk", &[Role::Member, Role::Quartermaster]).await;
        Self { house, items, ines, noor, desk }
    }

    pub async fn ask(
        &self,
        who: &Caller,
        method: Method,
        path: &str,
        extra: &[(&'static str, &str)],
        body: Option<Value>,
    ) -> Answer {
        let mut asked =
            request(method, path).header(header::AUTHORIZATION, format!("Bearer {}", who.token));
        for (name, value) in extra {
            asked = asked.header(*name, *value);
        }
        let body = match body {
            Some(json) => {
                asked = asked.header(header::CONTENT_TYPE, "application/json");
                Body::from(json.to_string())
            }
            None => Body::empty(),
        };
        self.house.send(asked.body(body).unwrap()).await
    }

    pub async fn post(&self, who: &Caller, path: &str, body: Option<Value>) -> Answer {
        self.ask(who, Method::POST, path, &[], body).await
    }

    pub async fn get(&self, who: &Caller, path: &str) -> Answer {
        self.ask(who, Method::GET, path, &[], None).await
    }

    pub fn wish(&self, items: &[usize], first: &str, last: &str) -> Value {
        let items: Vec<i64> = items.iter().map(|at| self.items[*at]).collect();
        json!({ "items": items, "first_night": first, "last_night": last })
    }

    /// What the owner's check finds.
    pub async fn faults(&self) -> Vec<String> {
        let mut conn = self.house.state.store.reader().acquire().await.unwrap();
        borrowed_light::lending::check::faults(&mut conn).await.unwrap()
    }
}

async fn caller(house: &House, name: &str, roles: &[Role]) -> Caller {
    let email = format!("{name}@example.org");
    let (MemberId(member), account) = house.member(name, &email, roles).await;
    let token = house.token(account, Scope::Write).await.reveal().to_owned();
    Caller { member, token }
}

const RESERVATIONS: &str = "/api/v1/reservations";

#[tokio::test]
async fn all_items_are_reserved_or_none_and_a_clash_never_says_whose_it_is() {
    let club = Club::new().await;
    let first = club.wish(&[0, 1], "2026-06-12", "2026-06-14");
    let made = club.post(&club.ines, RESERVATIONS, Some(first)).await;
    assert_eq!(made.status, 201, "{}", made.text());
    let told = made.json();
    assert_eq!(told["items"], json!([club.items[0], club.items[1]]));
    assert_eq!(told["state"], "confirmed");
    assert_eq!(made.header("location"), format!("{RESERVATIONS}/{}", told["id"]));

    let second = club.wish(&[1, 2], "2026-06-14", "2026-06-16");
    let refused = club.post(&club.noor, RESERVATIONS, Some(second)).await;
    assert_eq!(refused.status, 409);
    assert_eq!(refused.header("content-type"), "application/problem+json");
    let problem = refused.json();
    assert_eq!(
        problem["clashes"],
        json!([{
            "item": club.items[1],
            "asset_tag": "B-2",
            "nights": [{ "first_night": "2026-06-14", "last_night": "2026-06-14" }],
        }])
    );
    assert_eq!(problem["next_nights"][0]["first_night"], "2026-06-15");
    assert!(!refused.text().contains("ines"), "{}", refused.text());
    let free = club.wish(&[2], "2026-06-14", "2026-06-16");
    assert_eq!(club.post(&club.noor, RESERVATIONS, Some(free)).await.status, 201);
    assert_eq!(club.faults().await, Vec::<String>::new());
}

#[tokio::test]
async fn a_request_sent_twice_under_one_key_is_done_once() {
    let club = Club::new().await;
    let wish = club.wish(&[0], "2026-06-12", "2026-06-14");
    let key = [("idempotency-key", "tap-1")];
    let send = async |who, wish| club.ask(who, Method::POST, RESERVATIONS, &key, Some(wish)).await;
    let once = send(&club.ines, wish.clone()).await;
    let again = send(&club.ines, wish.clone()).await;
    assert_eq!((once.status.as_u16(), again.status.as_u16()), (201, 201));
    assert_eq!(once.json(), again.json());
    assert_eq!(once.header("etag"), again.header("etag"));
    let other = send(&club.ines, club.wish(&[1], "2026-06-12", "2026-06-14")).await;
    assert_eq!(other.status, 422);
    // A key is its sender's own.
    assert_eq!(send(&club.noor, wish).await.status, 409);
    let all = club.get(&club.desk, RESERVATIONS).await.json();
    assert_eq!(all["reservations"].as_array().unwrap().len(), 1);
}

#[tokio::test]
async fn what_was_answered_before_is_not_told_again_before_it_is_durable() {
    let club = Club::new().await;
    let store = &club.house.state.store;
    let wish = club.wish(&[0], "2026-06-12", "2026-06-14");
    let key = [("idempotency-key", "tap-1")];
    // The first use of a token in a day is written down, which is not what waits here.
    club.get(&club.ines, RESERVATIONS).await;
    let send = || club.ask(&club.ines, Method::POST, RESERVATIONS, &key, Some(wish.clone()));
    let (mut once, mut again) = (std::pin::pin!(send()), std::pin::pin!(send()));
    let in_line = async |many| {
        while store.writers_waiting() < many {
            tokio::task::yield_now().await;
        }
    };
    // Somebody writes; both come, and after them one more, for whom their commit waits.
    let writes = store.write_together().await.unwrap();
    tokio::select! {
        biased;
        _ = &mut once => panic!("it did not wait"),
        () = in_line(1) => {}
    }
    let mut last = std::pin::pin!(store.write_together());
    tokio::select! {
        biased;
        once = &mut once => panic!("it did not wait: {}", once.text()),
        again = &mut again => panic!("it did not wait: {}", again.text()),
        () = in_line(2) => {}
    }
    tokio::select! {
        biased;
        _ = &mut last => panic!("it did not wait"),
        () = in_line(3) => {}
    }
    drop(writes);
    let last = tokio::select! {
        biased;
        _ = &mut once => panic!("told before it was durable"),
        _ = &mut again => panic!("told again before it was durable"),
        last = &mut last => last.unwrap(),
    };
    let kept = club.get(&club.ines, RESERVATIONS).await.json();
    assert_eq!(kept["reservations"], json!([]), "it is durable already");
    drop(last);
    let (once, again) = tokio::join!(once, again);
    assert_eq!((once.status.as_u16(), again.status.as_u16()), (201, 201));
    assert_eq!(once.json(), again.json());
}

#[tokio::test]
async fn others_reservations_are_not_there() {
    let club = Club::new().await;
    let wish = club.wish(&[0], "2026-06-12", "2026-06-14");
    let id = club.post(&club.ines, RESERVATIONS, Some(wish)).await.json()["id"].clone();
    let path = format!("{RESERVATIONS}/{id}");
    assert_eq!(club.get(&club.ines, &path).await.status, 200);
    assert_eq!(club.get(&club.noor, &path).await.status, 404);
    assert_eq!(club.post(&club.noor, &format!("{path}/cancel"), None).await.status, 404);
    let theirs = format!("{RESERVATIONS}?member={}", club.ines.member);
    assert_eq!(club.get(&club.noor, &theirs).await.status, 404);
    let mut for_ines = club.wish(&[1], "2026-06-12", "2026-06-14");
    for_ines["member"] = json!(club.ines.member);
    assert_eq!(club.post(&club.noor, RESERVATIONS, Some(for_ines.clone())).await.status, 404);
    assert_eq!(club.post(&club.desk, RESERVATIONS, Some(for_ines)).await.status, 201);
    let none = club.get(&club.noor, RESERVATIONS).await.json();
    assert_eq!(none, json!({ "reservations": [], "next": null }));
    for method in ["hand-over", "approve", "decline"] {
        let asked = club.post(&club.ines, &format!("{path}/{method}"), None).await;
        assert_eq!(asked.status, 403, "{method}");
    }
}

#[tokio::test]
async fn a_loan_goes_out_and_comes_back_in_parts() {
    let club = Club::new().await;
    let wish = club.wish(&[0, 1, 2], "2026-06-05", "2026-06-07");
    let made = club.post(&club.ines, RESERVATIONS, Some(wish)).await.json();
    let path = format!("{RESERVATIONS}/{}/hand-over", made["id"]);
    let taken = json!({ "items": [club.items[0], club.items[1]], "signed_name": "Ines" });
    let out = club.post(&club.desk, &path, Some(taken)).await;
    assert_eq!(out.status, 200, "{}", out.text());
    let loan = out.json();
    assert_eq!((&loan["state"], &loan["due_night"]), (&json!("out"), &json!("2026-06-07")));
    // What was left in store is free again.
    let left = club.wish(&[2], "2026-06-05", "2026-06-07");
    assert_eq!(club.post(&club.noor, RESERVATIONS, Some(left)).await.status, 201);
    assert_eq!(club.post(&club.desk, &path, None).await.status, 409, "already out");
    assert_eq!(club.faults().await, Vec::<String>::new());

    let back = format!("/api/v1/loans/{}/return", loan["id"]);
    let part = json!({ "items": [{ "item": club.items[0], "condition": "damaged", "note": "scratched" }] });
    let some = club.post(&club.desk, &back, Some(part.clone())).await;
    assert_eq!((some.status.as_u16(), &some.json()["state"]), (200, &json!("out")));
    assert_eq!(club.post(&club.desk, &back, Some(part)).await.status, 409, "it is back already");
    let rest = club.post(&club.desk, &back, None).await;
    assert_eq!(rest.json()["state"], "closed", "{}", rest.text());
    let over = club.get(&club.ines, &format!("{RESERVATIONS}?state=closed")).await.json();
    let told = &over["reservations"];
    assert_eq!((told.as_array().unwrap().len(), &told[0]["id"]), (1, &made["id"]));
    assert_eq!((&told[0]["state"], &told[0]["loan"]), (&json!("closed"), &loan["id"]));
    let open = club.get(&club.ines, &format!("{RESERVATIONS}?state=out")).await.json();
    assert_eq!(open["reservations"], json!([]));
    assert_eq!(club.faults().await, Vec::<String>::new());
    // The damaged one left service; the good one is free from tonight on.
    let again = club.wish(&[0], "2026-06-06", "2026-06-06");
    let refused = club.post(&club.noor, RESERVATIONS, Some(again)).await;
    assert_eq!(refused.status, 409);
    assert!(refused.text().contains("B-1 is in repair"), "{}", refused.text());
    let again = club.wish(&[1], "2026-06-05", "2026-06-07");
    assert_eq!(club.post(&club.noor, RESERVATIONS, Some(again)).await.status, 201);
}

#[tokio::test]
async fn fetched_early_the_nights_before_are_taken_along_where_they_are_free() {
    let club = Club::new().await;
    let later = club.wish(&[0], "2026-06-10", "2026-06-12");
    let id = club.post(&club.ines, RESERVATIONS, Some(later)).await.json()["id"].clone();
    let between = club.wish(&[0], "2026-06-07", "2026-06-07");
    let other = club.post(&club.noor, RESERVATIONS, Some(between)).await.json()["id"].clone();
    let path = format!("{RESERVATIONS}/{id}/hand-over");
    let refused = club.post(&club.desk, &path, None).await;
    assert_eq!(refused.status, 409);
    assert_eq!(refused.json()["clashes"][0]["nights"][0]["first_night"], "2026-06-07");
    club.post(&club.noor, &format!("{RESERVATIONS}/{other}/cancel"), None).await;
    let out = club.post(&club.desk, &path, None).await;
    assert_eq!(out.json()["first_night"], "2026-06-05", "{}", out.text());
    assert_eq!(club.faults().await, Vec::<String>::new());
}

#[tokio::test]
async fn a_change_says_which_version_it_is_based_on() {
    let club = Club::new().await;
    let wish = club.wish(&[0], "2026-06-12", "2026-06-14");
    let made = club.post(&club.ines, RESERVATIONS, Some(wish)).await;
    let path = format!("{RESERVATIONS}/{}", made.json()["id"]);
    let other = club.wish(&[0, 1], "2026-06-13", "2026-06-15");
    let put = async |extra: &[(&'static str, &str)]| {
        club.ask(&club.ines, Method::PUT, &path, extra, Some(other.clone())).await
    };
    assert_eq!(put(&[]).await.status, 428);
    assert_eq!(put(&[("if-match", "\"0.0\"")]).await.status, 412);
    let changed = put(&[("if-match", made.header("etag"))]).await;
    assert_eq!(changed.status, 200, "{}", changed.text());
    assert_ne!(changed.header("etag"), made.header("etag"));
    assert_eq!(put(&[("if-match", made.header("etag"))]).await.status, 412, "stale by now");
    assert_eq!(club.faults().await, Vec::<String>::new());
}

#[tokio::test]
async fn values_that_cannot_be_used_are_named() {
    let club = Club::new().await;
    for (wish, status, pointer) in [
        (
            json!({ "items": [], "first_night": "2026-06-12", "last_night": "2026-06-12" }),
            422,
            "/items",
        ),
        (
            json!({ "items": [99], "first_night": "2026-06-12", "last_night": "2026-06-12" }),
            422,
            "/items",
        ),
        (club.wish(&[0], "2026-06-31", "2026-07-01"), 422, "/first_night"),
        (club.wish(&[0], "2026-06-12", "2026-06-11"), 422, "/last_night"),
        (club.wish(&[0], "2026-06-04", "2026-06-05"), 422, "/first_night"),
        (club.wish(&[0], "2026-06-12", "2026-08-12"), 422, "/last_night"),
        (json!({ "items": [1], "first_night": "2026-06-12" }), 422, "/last_night"),
    ] {
        let refused = club.post(&club.ines, RESERVATIONS, Some(wish.clone())).await;
        assert_eq!(refused.status, status, "{wish}: {}", refused.text());
        assert_eq!(refused.json()["errors"][0]["pointer"], pointer, "{wish}");
    }
}
