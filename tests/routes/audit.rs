//! `/audit`, and what goes into it.

use borrowed_light::app::chores;
use borrowed_light::audit::Actor;
use borrowed_light::people::manage;
use borrowed_light::people::rights::{Role, Roles};
use jiff::SignedDuration;

use crate::browser::Browser;
use crate::client::{House, PASSWORD};
use crate::people::staff;

/// The deeds that a page lists, newest first.
fn deeds(page: &str) -> Vec<String> {
    page.split("<p><strong>").skip(1).map(|rest| rest.split_once('<').unwrap().0.into()).collect()
}

#[tokio::test]
async fn doors_roles_links_and_lists_are_in_the_log_with_who_and_from_where() {
    let house = House::new().await;
    let (mut admin, _) = staff(&house, "ada@example.org", Role::Admin).await;
    let id = house.account("ines@example.org", &[Role::Member]).await;
    let mut ines = Browser::new(&house);
    ines.sign_in("ines@example.org", "something else entirely").await;
    ines.sign_in("nobody@example.org", PASSWORD).await;
    ines.sign_in("ines@example.org", PASSWORD).await;
    ines.post("/sign-out", &[]).await;
    admin.post(&format!("/people/{id}/link"), &[]).await;
    let roles = [("member", "yes"), ("outreach", "yes"), ("password", PASSWORD)];
    admin.post(&format!("/people/{id}/roles"), &roles).await;
    admin.post(&format!("/people/{id}/disable"), &[]).await;
    let page = admin.get("/audit").await;
    assert_eq!(
        deeds(page.text()),
        [
            "Account switched off",
            "Role given",
            "Password link made",
            "Signed out",
            "Signed in",
            "Sign-in failed",
            "Sign-in failed",
            "Signed in",
        ]
    );
    assert!(page.text().contains("from 192.0.2.1"));
    assert!(!page.text().contains("nobody@example.org"), "what was typed is not kept");
}

#[tokio::test]
async fn the_log_is_searched_by_person_deed_record_and_day() {
    let house = House::new().await;
    let (mut admin, own) = staff(&house, "ada@example.org", Role::Admin).await;
    let id = house.account("ines@example.org", &[Role::Member]).await;
    Browser::new(&house).sign_in("ines@example.org", "something else entirely").await;
    house.state.clock.advance(SignedDuration::from_hours(20));
    admin.sign_in("ada@example.org", PASSWORD).await;
    let roles = [("outreach", "yes"), ("member", "yes"), ("password", PASSWORD)];
    admin.post(&format!("/people/{id}/roles"), &roles).await;
    for (query, found) in [
        ("person=INES%40", vec!["Role given", "Sign-in failed"]),
        ("person=nobody", vec![]),
        ("deed=sign-in+failed", vec!["Sign-in failed"]),
        ("deed=x%27+OR+1%3D1+--", vec![]),
        (&format!("record=Account+{own}"), vec!["Signed in", "Signed in"]),
        ("record=item", vec![]),
        ("from=2026-06-06", vec!["Role given", "Signed in"]),
        ("to=2026-06-05", vec!["Sign-in failed", "Signed in"]),
        ("person=ada&deed=role+given&from=2026-06-06&to=2026-06-06", vec!["Role given"]),
        (&format!("person=ines&record=account+{id}&deed=role+given"), vec!["Role given"]),
    ] {
        let page = admin.get(&format!("/audit?{query}")).await;
        assert_eq!(page.status, 200, "{query}");
        assert_eq!(deeds(page.text()), found, "{query}");
    }
    for bad in ["from=soon", "to=2026-02-30", "record=%3Cb%3E", "record=account+1%3BDROP"] {
        assert_eq!(admin.get(&format!("/audit?{bad}")).await.status, 422, "{bad}");
    }
    assert_eq!(admin.get("/audit?before=x.y").await.status, 200);
}

#[tokio::test]
async fn every_entry_stands_on_exactly_one_page() {
    let house = House::new().await;
    let (mut admin, _) = staff(&house, "ada@example.org", Role::Admin).await;
    let id = house.account("ines@example.org", &[Role::Member]).await;
    for number in 0..120 {
        // Many at the same second, so that the instant alone does not tell them apart.
        let wanted = if number % 2 == 0 { Role::Outreach } else { Role::Member };
        let mut tx = house.state.store.write().await.unwrap();
        let who = Actor::service(&house.state.clock);
        manage::set_roles(&mut tx, &who, id, &Roles::of([wanted])).await.unwrap();
        tx.commit().await.unwrap();
    }
    let mut path = "/audit?deed=role+given".to_owned();
    let mut pages = Vec::new();
    loop {
        let page = admin.get(&path).await;
        pages.push(deeds(page.text()).len());
        let Some((_, rest)) = page.text().split_once("href=\"/audit?deed") else { break };
        path = format!("/audit?deed{}", rest.split_once('"').unwrap().0.replace("&#38;", "&"));
    }
    assert_eq!(pages, [50, 50, 20]);
}

#[tokio::test]
async fn old_addresses_are_shortened_by_the_chores() {
    let house = House::new().await;
    let (mut admin, _) = staff(&house, "ada@example.org", Role::Admin).await;
    house.state.clock.advance(SignedDuration::from_hours(31 * 24));
    chores::once(&house.state).await.unwrap();
    admin.sign_in("ada@example.org", PASSWORD).await;
    let page = admin.get("/audit").await;
    assert!(page.text().contains("from 192.0.2.*"));
    assert!(page.text().contains("from 192.0.2.1<"));
}

#[tokio::test]
async fn each_search_of_the_log_follows_an_index() {
    let house = House::new().await;
    for (sql, index) in [
        (
            "SELECT id FROM audit WHERE at >= 0 AND (at, id) < (9, 9) ORDER BY at DESC, id DESC",
            "audit_by_time",
        ),
        (
            "SELECT id FROM audit WHERE deed = 'x' AND (at, id) < (9, 9) ORDER BY at DESC, id DESC",
            "audit_by_deed",
        ),
        (
            "SELECT id FROM audit WHERE subject_kind = 'a' AND subject_id = 1
          ORDER BY at DESC, id DESC",
            "audit_by_subject",
        ),
        ("SELECT audit.id FROM audit JOIN json_each('[1]') ON account = value", "audit_by_account"),
        (
            "SELECT DISTINCT address FROM audit
          WHERE at < 9 AND address IS NOT NULL AND substr(address, -1) <> '*'",
            "audit_with_whole_address",
        ),
    ] {
        let sql = format!("EXPLAIN QUERY PLAN {sql}");
        let plan: Vec<(i64, i64, i64, String)> = sqlx::query_as(sqlx::AssertSqlSafe(sql.clone()))
            .fetch_all(&mut *house.state.store.reader().acquire().await.unwrap())
            .await
            .unwrap();
        assert!(plan.iter().any(|step| step.3.contains(index)), "{sql}: {plan:?}");
    }
}
