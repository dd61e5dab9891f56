//! How the database carries out every recorded question about lending: none of them may read what
//! is over, however much of it there is.

use std::collections::BTreeMap;
use std::path::Path;

use crate::store::Store;

/// Tables that grow with every loan the club ever made.
const GROWING: [&str; 8] = [
    "reservation",
    "reservation_item",
    "item_night",
    "lending_event",
    "loan",
    "custody",
    "kept_answer",
    "letter",
];

/// Indexes that hold only what is not over yet; reading one through is reading little.
const SHORT: [&str; 8] = [
    "reservation_going_on",
    "reservation_open_by_member",
    "reservation_item_under_way",
    "item_night_by_holder",
    "custody_is_one",
    "letter_due",
    "letter_under_way",
    "letter_in_trouble",
];

/// Questions that are meant to read everything: checks, tables and books of the whole club.
const WHOLE: [&str; 12] = [
    // `check` folds every story and looks at every row.
    "SELECT reservation_id, at, actor, kind, items",
    "SELECT custody.id AS \"id!\" FROM custody",
    "SELECT kept.item_id, kept.night FROM item_night AS kept",
    "SELECT kept.item_id AS \"item_id!\", kept.night AS \"night!\", kept.reservation_id",
    "SELECT whole.id AS \"id!\", whole.state FROM reservation AS whole",
    "SELECT id FROM reservation ORDER BY id",
    "SELECT id AS \"id!\" FROM reservation WHERE id NOT IN",
    "SELECT line.reservation_id AS \"reservation_id!\", line.item_id AS \"item_id!\", line.state",
    // The table of reservations.
    "SELECT id, member_id, first_night, last_night, state FROM reservation ORDER BY",
    "SELECT reservation_id, item_id FROM reservation_item WHERE state <> 'dropped'",
    // `check` counts anew how often each piece was out.
    "SELECT item_id AS \"item_id!\", count(*) AS \"times!: i64\"",
    // The figures of the post.
    "SELECT count(*) FILTER (WHERE state IN ('waiting', 'sending'))",
];

/// Every question that the compiler checked, on one line each.
pub(crate) fn recorded() -> Vec<String> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(".sqlx");
    let mut all: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|file| {
            let text = std::fs::read_to_string(file.unwrap().path()).unwrap();
            let query: serde_json::Value = serde_json::from_str(&text).unwrap();
            let words: Vec<&str> = query["query"].as_str().unwrap().split_whitespace().collect();
            words.join(" ")
        })
        .collect();
    all.sort();
    all
}

/// The tables that a statement names, by what it calls them.
fn tables(sql: &str) -> BTreeMap<String, String> {
    let words: Vec<&str> =
        sql.split(|c: char| !(c.is_alphanumeric() || c == '_')).filter(|w| !w.is_empty()).collect();
    let mut found = BTreeMap::new();
    for (at, word) in words.iter().enumerate() {
        if !matches!(*word, "FROM" | "JOIN" | "UPDATE" | "INTO") {
            continue;
        }
        let Some(table) = words.get(at + 1) else { continue };
        let called = if words.get(at + 2) == Some(&"AS") { words[at + 3] } else { table };
        found.insert(called.to_owned(), (*table).to_owned());
    }
    found
}

/// The steps of a plan that read a growing table from end to end.
fn long_reads(sql: &str, plan: &[String]) -> Vec<String> {
    let tables = tables(sql);
    let grows =
        |called: &str| tables.get(called).is_some_and(|table| GROWING.contains(&table.as_str()));
    let short = |step: &str| SHORT.iter().any(|index| step.ends_with(index));
    plan.iter()
        .filter(|step| {
            step.strip_prefix("SCAN ").is_some_and(|rest| {
                grows(rest.split(' ').next().unwrap_or_default()) && !short(step)
            })
        })
        .cloned()
        .collect()
}

/// The steps in which the database carries a question out, statement after statement.
pub(crate) async fn plan(conn: &mut sqlx::SqliteConnection, sql: &str) -> Vec<String> {
    let mut all = Vec::new();
    for statement in sql.split("; ") {
        let explain = format!("EXPLAIN QUERY PLAN {statement}");
        let steps: Vec<(i64, i64, i64, String)> =
            sqlx::query_as(sqlx::AssertSqlSafe(explain)).fetch_all(&mut *conn).await.unwrap();
        all.extend(steps.into_iter().map(|step| step.3));
    }
    all
}

#[tokio::test]
async fn no_recorded_question_reads_what_is_over() {
    let folder = tempfile::tempdir().unwrap();
    let store = Store::open(&folder.path().join("club.sqlite")).await.unwrap();
    let mut tx = store.write().await.unwrap();
    sqlx::query("ANALYZE").execute(&mut *tx).await.unwrap();
    // What the planner is told of a club with a million loans behind it.
    for (table, index, rows) in [
        ("reservation", "reservation_by_member", "1000000 5000 2"),
        ("reservation", "reservation_newest_by_member", "1000000 5000 1"),
        ("reservation", "reservation_open_by_member", "300 2"),
        ("reservation", "reservation_going_on", "300 100 2"),
        ("reservation_item", "reservation_item", "3000000 3 1"),
        ("reservation_item", "reservation_item_by_item", "3000000 1500"),
        ("reservation_item", "reservation_item_under_way", "900 2 1"),
        ("item_night", "item_night", "7500000 3750 1"),
        ("item_night", "item_night_by_reservation", "7500000 8 3"),
    ] {
        sqlx::query("INSERT INTO sqlite_stat1 VALUES (?, ?, ?)")
            .bind(table)
            .bind(index)
            .bind(rows)
            .execute(&mut *tx)
            .await
            .unwrap();
    }
    sqlx::query("ANALYZE sqlite_schema").execute(&mut *tx).await.unwrap();
    let mut asked = 0;
    let mut long = Vec::new();
    for sql in recorded() {
        if !tables(&sql).values().any(|table| GROWING.contains(&table.as_str())) {
            continue;
        }
        asked += 1;
        let steps = long_reads(&sql, &plan(&mut tx, &sql).await);
        if !steps.is_empty() && !WHOLE.iter().any(|begin| sql.starts_with(begin)) {
            long.push(format!("{sql}\n    {}", steps.join("\n    ")));
        }
    }
    assert!(asked > 50, "{asked}");
    // How often somebody let others down is counted with each wish: what they did fetch is not read.
    let counted = recorded().into_iter().find(|sql| sql.ends_with("cancelled_late = 1)"));
    let counted = plan(&mut tx, &counted.unwrap()).await;
    assert!(counted.len() == 1 && counted[0].contains("reservation_let_down"), "{counted:?}");
    // What is over of a member's is read where its page begins, and sorted by nothing but its index.
    let over = recorded().into_iter().find(|sql| sql.contains("INDEXED BY reservation_by_member"));
    let over = plan(&mut tx, &over.unwrap()).await;
    let begins = "SEARCH whole USING INDEX reservation_by_member (member_id=? AND first_night<?)";
    assert!(over[0] == begins && !over.iter().any(|step| step.contains("ORDER BY")), "{over:#?}");
    // Use is counted where it happens: only the check reads every loan.
    let counts = |sql: &String| sql.contains("FROM custody") && sql.contains("count(*)");
    let counting: Vec<String> =
        recorded().into_iter().filter(|sql| counts(sql) && sql.contains("max(1,")).collect();
    assert_eq!(counting.len(), 1, "{counting:#?}");
    // Nor are a member's cancelled reservations read when the nights of a year are summed up.
    let summed = recorded().into_iter().find(|sql| sql.contains("\"used!: i64\""));
    let summed = plan(&mut tx, &summed.unwrap()).await;
    assert!(summed.len() == 1 && summed[0].contains("INDEX reservation_counted"), "{summed:?}");
    assert!(long.is_empty(), "{}", long.join("\n\n"));
    // Bad samples: the same judge sees what is wrong.
    for sql in [
        "SELECT id FROM reservation WHERE state = 'out'",
        "DELETE FROM item_night WHERE kind = 'offer' AND holder_id NOT IN (SELECT id FROM wait_place)",
    ] {
        let steps = long_reads(sql, &plan(&mut tx, sql).await);
        assert!(!steps.is_empty(), "{sql}");
    }
}
