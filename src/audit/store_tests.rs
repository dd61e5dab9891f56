use super::*;
use crate::audit::Means;
use crate::store::Store;
use jiff::tz::TimeZone;

async fn house() -> (tempfile::TempDir, Store, Clock) {
    let folder = tempfile::tempdir().unwrap();
    let store = Store::open(&folder.path().join("club.sqlite")).await.unwrap();
    let clock = Clock::standing_at("2026-06-05T12:00:00Z".parse().unwrap(), TimeZone::UTC);
    (folder, store, clock)
}

async fn noted(store: &Store, clock: &Clock, address: &str) {
    let who = Actor::account(clock, 7, Means::Page, address.parse().ok());
    let mut tx = store.write().await.unwrap();
    note(&mut tx, &who, "role given", Subject::of("account", 9), "outreach").await.unwrap();
    tx.commit().await.unwrap();
}

async fn addresses(store: &Store) -> Vec<Option<String>> {
    sqlx::query_scalar("SELECT address FROM audit ORDER BY id")
        .fetch_all(&mut *store.reader().acquire().await.unwrap())
        .await
        .unwrap()
}

#[tokio::test]
async fn the_database_itself_refuses_to_change_replace_or_delete_entries() {
    let (_folder, store, clock) = house().await;
    noted(&store, &clock, "192.0.2.17").await;
    for (sql, allowed) in [
        ("DELETE FROM audit", false),
        ("UPDATE audit SET at = at + 1", false),
        ("UPDATE audit SET account = 8", false),
        ("UPDATE audit SET account = NULL", false),
        ("UPDATE audit SET deed = 'role taken away'", false),
        ("UPDATE audit SET subject_id = 10", false),
        ("UPDATE audit SET detail = ''", false),
        ("UPDATE audit SET means = 'service'", false),
        ("UPDATE audit SET id = 99", false),
        ("UPDATE audit SET address = NULL", false),
        ("UPDATE audit SET address = '198.51.100.1'", false),
        ("UPDATE audit SET address = '198.51.100.*'", false),
        ("UPDATE audit SET address = '192.0.2.*', detail = 'x'", false),
        ("INSERT OR REPLACE INTO audit (id, at, means, deed) VALUES (1, 1, 'page', 'sly')", false),
        ("REPLACE INTO audit (id, at, means, deed) VALUES (1, 1, 'page', 'sly')", false),
        (
            "INSERT INTO audit (id, at, means, deed) VALUES (1, 1, 'page', 'sly')
             ON CONFLICT (id) DO UPDATE SET deed = 'sly'",
            false,
        ),
        ("UPDATE audit SET address = '192.0.2.*'", true),
        ("UPDATE audit SET address = '192.*'", false),
    ] {
        let mut tx = store.write().await.unwrap();
        let done = sqlx::query(sql).execute(&mut *tx).await;
        assert_eq!(done.is_ok(), allowed, "{sql}: {done:?}");
        tx.commit().await.unwrap();
    }
}

#[tokio::test]
async fn addresses_are_whole_for_thirty_days_and_short_from_then_on() {
    let (_folder, store, clock) = house().await;
    for address in ["192.0.2.17", "2001:db8::5:6", "::ffff:198.51.100.4", "nowhere"] {
        noted(&store, &clock, address).await;
    }
    let whole = ["192.0.2.17", "2001:db8:0:0:0:0:5:6", "198.51.100.4"].map(|a| Some(a.to_owned()));
    assert_eq!(addresses(&store).await[..3], whole);
    let shorten = async || {
        let mut tx = store.write().await.unwrap();
        let count = shorten_old_addresses(&mut tx, &clock).await.unwrap();
        tx.commit().await.unwrap();
        count
    };
    clock.advance(ADDRESS_KEPT);
    assert_eq!(shorten().await, 0);
    noted(&store, &clock, "203.0.113.200").await;
    clock.advance(SignedDuration::from_secs(1));
    assert_eq!(shorten().await, 3);
    assert_eq!(shorten().await, 0);
    let short = ["192.0.2.*", "2001:db8:0:*", "198.51.100.*"].map(|a| Some(a.to_owned()));
    let all = addresses(&store).await;
    assert_eq!(all[..3], short);
    assert_eq!(all[3..], [None, Some("203.0.113.200".to_owned())]);
}

#[tokio::test]
async fn a_detail_is_one_short_line_whatever_it_holds() {
    let (_folder, store, clock) = house().await;
    let mut tx = store.write().await.unwrap();
    let who = Actor::service(&clock);
    let long = format!("a\r\nb\u{1b}{}", "é".repeat(300));
    note(&mut tx, &who, "members imported", Subject::all("member"), &long).await.unwrap();
    tx.commit().await.unwrap();
    let kept: String = sqlx::query_scalar("SELECT detail FROM audit")
        .fetch_one(&mut *store.reader().acquire().await.unwrap())
        .await
        .unwrap();
    assert!(kept.starts_with("a  b é") && kept.chars().count() == LONGEST_DETAIL, "{kept}");
}

#[test]
fn every_means_survives_its_word() {
    for means in Means::ALL {
        assert_eq!(Means::parse(means.as_str()), Some(means));
    }
}
