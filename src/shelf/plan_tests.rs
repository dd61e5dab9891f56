//! How the database carries out the list's recorded questions: none reads more of the shelf than a
//! page, whatever the order.

use std::fmt::Write as _;

use super::finding::{Order, Wanted, find_with_keys};
use super::table::read_table;
use super::{AssetTag, Hand, take_in};
use crate::lending::plan_tests::{plan, recorded};
use crate::optics::Barlow;
use crate::store::Store;

async fn empty() -> (tempfile::TempDir, Store) {
    let folder = tempfile::tempdir().unwrap();
    let store = Store::open(&folder.path().join("club.sqlite")).await.unwrap();
    (folder, store)
}

/// Whether the plan begins with an index that has the list's order, and sorts nothing.
fn walks(plan: &[String], index: &str) -> bool {
    plan.first().is_some_and(|step| step.starts_with("SEARCH i") && step.contains(index))
        && !plan.iter().any(|step| step.contains("ORDER BY"))
}

#[tokio::test]
async fn no_question_of_the_list_reads_more_of_the_shelf_than_it_shows() {
    let (_folder, store) = empty().await;
    let mut tx = store.write().await.unwrap();
    let list: Vec<String> =
        recorded().into_iter().filter(|sql| sql.contains("\"name_key!: String\"")).collect();
    assert_eq!(list.len(), 4, "three orders, and the words first");
    let asked = |tail: &str| {
        let found: Vec<&String> =
            list.iter().filter(|sql| sql.ends_with(&format!("ORDER BY {tail} LIMIT ?6"))).collect();
        assert_eq!(found.len(), 1, "{tail}");
        found[0].clone()
    };
    for (tail, index) in [
        ("i.asset_tag", "asset_tag>?"),
        ("lower(i.name), i.asset_tag", "item_by_name (<expr>>?"),
        ("i.size, i.asset_tag", "item_by_size (size>?"),
    ] {
        let steps = plan(&mut tx, &asked(tail)).await;
        assert!(walks(&steps, index), "{tail}: {steps:#?}");
    }
    let words = "CASE ?9 WHEN 'name' THEN lower(i.name) WHEN 'size' THEN i.size END, i.asset_tag";
    let steps = plan(&mut tx, &asked(words)).await;
    assert!(steps[0].contains("item_text VIRTUAL TABLE INDEX"), "{steps:#?}");
    assert!(steps[1].starts_with("SEARCH i USING INTEGER PRIMARY KEY"), "{steps:#?}");
    // Bad samples: no index has this order, or the page begins nowhere.
    for sql in [
        "SELECT i.id FROM item i WHERE i.asset_tag > ?1 ORDER BY i.notes LIMIT 51",
        "SELECT i.id FROM item i ORDER BY lower(i.name), i.asset_tag LIMIT 51",
    ] {
        let steps = plan(&mut tx, sql).await;
        assert!(!walks(&steps, "item"), "{steps:#?}");
    }
}

#[tokio::test]
async fn lists_of_telescopes_and_of_use_are_read_where_a_page_begins() {
    let (_folder, store) = empty().await;
    let mut tx = store.write().await.unwrap();
    let all = recorded();
    for (part, index) in [
        ("nights_out < ?1 OR asset_tag > ?2", "item_by_use (nights_out<?)"),
        ("WHERE kind = 'telescope' ORDER BY asset_tag LIMIT ?", "item_by_kind (kind=?)"),
        ("kind = 'telescope' AND asset_tag > ?", "item_by_kind (kind=? AND asset_tag>?)"),
        ("lower(name) = lower(?1)", "item_by_name (<expr>=?)"),
        ("AND state = 'needs_inspection'", "item_out_of_service"),
    ] {
        let asked: Vec<&String> = all.iter().filter(|sql| sql.contains(part)).collect();
        assert_eq!(asked.len(), 1, "{part}");
        let steps = plan(&mut tx, asked[0]).await;
        assert!(steps[0].contains(index), "{part}: {steps:#?}");
        assert!(!steps.iter().any(|step| step.contains("ORDER BY")), "{part}: {steps:#?}");
    }
    // Bad sample: the same question without its beginning.
    let steps = plan(&mut tx, "SELECT id FROM item ORDER BY nights_out, asset_tag LIMIT 61").await;
    assert!(steps.iter().any(|step| step.contains("ORDER BY")), "{steps:#?}");
}

#[tokio::test]
async fn every_order_goes_through_the_shelf_once_whether_words_are_rare_or_common() {
    let (_folder, store) = empty().await;
    let mut tx = store.write().await.unwrap();
    let mut table =
        "asset_tag,name,factor,barrel_mm,kind,mass_g,acquired_year,state,notes\n".to_owned();
    // More than are sorted after they were found, with names and sizes that are alike.
    for at in 0..1203 {
        let rare = if at % 100 == 0 { "heliotrope" } else { "" };
        let (name, size) = (at % 7, 1.5 + f64::from(at % 5) * 0.5);
        writeln!(table, "B-{at:04},{name} Twice,{size},,,,,,{rare}").unwrap();
    }
    let rows = read_table::<Barlow>(table.as_bytes()).unwrap();
    take_in(&mut tx, Hand::of_nobody(0), &rows).await.unwrap();
    for (words, count) in [("", 1203), ("twice", 1203), ("heliotrope", 13)] {
        for order in [Order::Tag, Order::Name, Order::Size] {
            let mut wanted = Wanted { words: words.into(), order, ..Wanted::default() };
            let all = find_with_keys(&mut tx, &wanted, 2000).await.unwrap();
            assert_eq!(all.len(), count, "{words} {order:?}");
            let mut paged = Vec::new();
            loop {
                let page = find_with_keys(&mut tx, &wanted, 100).await.unwrap();
                let Some((item, key)) = page.last() else { break };
                wanted.after = Some(item.tag.clone());
                wanted.after_key.clone_from(key);
                paged.extend(page);
            }
            assert_eq!(paged, all, "{words} {order:?}");
            let sorted = all.is_sorted_by_key(|(item, key)| {
                let size = if order == Order::Size { key.parse::<f64>().unwrap() } else { 0.0 };
                let name = if order == Order::Name { key.clone() } else { String::new() };
                (size.to_bits(), name, item.tag.as_str().to_owned())
            });
            assert!(sorted, "{words} {order:?}");
        }
    }
    let one = Wanted { words: "b-0500".into(), ..Wanted::default() };
    let found = find_with_keys(&mut tx, &one, 10).await.unwrap();
    assert_eq!(found[0].0.tag, AssetTag::new("B-0500").unwrap());
    // A size that changes takes its place anew.
    let changed = table.replace("B-0000,0 Twice,1.5,", "B-0000,0 Twice,4.9,");
    let rows = read_table::<Barlow>(changed.as_bytes()).unwrap();
    assert_eq!(take_in(&mut tx, Hand::of_nobody(0), &rows).await.unwrap().changed, 1);
    let wanted = Wanted { order: Order::Size, ..Wanted::default() };
    let all = find_with_keys(&mut tx, &wanted, 2000).await.unwrap();
    assert_eq!(all.last().unwrap().0.tag.as_str(), "B-0000");
}
