//! Everything that is written of the shelf goes out and comes in again as it was.

use std::fmt::Write as _;

use jiff::Timestamp;
use proptest::prelude::*;
use tempfile::TempDir;

use super::exchange::{Eyes, Mode, Table, export, import};
use crate::sheet::{NotTaken, Taken};
use crate::store::Store;

struct House {
    _folder: TempDir,
    store: Store,
}

const FIGURES: [(Table, &str); 6] = [
    (Table::Members, include_str!("../../demo-data/members.csv")),
    (Table::Telescopes, include_str!("../../demo-data/telescopes.csv")),
    (Table::Eyepieces, include_str!("../../demo-data/eyepieces.csv")),
    (Table::Barlows, include_str!("../../demo-data/barlows.csv")),
    (Table::Filters, include_str!("../../demo-data/filters.csv")),
    (Table::Accessories, include_str!("../../demo-data/accessories.csv")),
];

/// Noon of 1 January 2040 in UTC.
const NOW: i64 = 2_209_032_000;

const WRITTEN: [Table; 3] = [Table::Papers, Table::Upkeep, Table::Inspections];

impl House {
    /// The demo club's people and pieces, of which nothing more is written yet.
    async fn furnished() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(&folder.path().join("club.sqlite")).await.unwrap();
        let house = Self { _folder: folder, store };
        for (table, text) in FIGURES {
            house.take(table, text).await.unwrap();
        }
        house
    }

    async fn take(&self, table: Table, text: &str) -> Result<Taken, String> {
        let now = Timestamp::constant(NOW, 0);
        match import(&self.store, table, text.as_bytes(), now, Mode::Keep).await {
            Ok(taken) => Ok(taken),
            Err(NotTaken::Refused(refused)) => {
                Err(refused.faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n"))
            }
            Err(NotTaken::Failed(error)) => panic!("{error}"),
        }
    }

    async fn written(&self, table: Table) -> String {
        String::from_utf8(export(&self.store, table, Eyes::LeaveOut).await.unwrap()).unwrap()
    }
}

const PAPERS: &str = "asset_tag,owner_member_number,donor,serial,bought_on,value,place,\
    custodian_member_number,set\n";

fn first_member() -> String {
    FIGURES[0].1.lines().nth(1).unwrap().split(',').next().unwrap().to_owned()
}

#[tokio::test]
async fn papers_name_pieces_and_members_that_are_there_and_are_taken_whole_or_not_at_all() {
    let house = House::furnished().await;
    let member = first_member();
    let good = format!(
        "{PAPERS}T-001,{member},,S-77,2019-04-02,340.50,Shelf 3,{member},\"Finder\nDust cap\"\n\
         E-001,,=HYPERLINK(1),,,0,,,\n"
    );
    for (rows, says) in [
        ("X-999,,,,,,,,\n", "line 2, asset_tag: Nothing on the shelf bears the tag X-999."),
        ("T-001,M-0,,,,,,,\n", "line 2, owner_member_number: There is no member M-0."),
        ("E-001,,,,,,,,Cap\n", "line 2, set: Only a telescope has a set: leave it empty."),
        ("T-001,,,,31 March,,,,\n", "line 2, bought_on:"),
        ("T-001,,,,,a lot,,,\n", "line 2, value:"),
        ("T-001,,,,,,,,\nt-001,,,,,,,,\n", "line 3, asset_tag:"),
    ] {
        let refused =
            house.take(Table::Papers, &format!("{good}{rows}").replace(&good, PAPERS)).await;
        let refused = refused.unwrap_err();
        assert!(refused.contains(says), "{rows}: {refused}");
    }
    let mixed = house.take(Table::Papers, &format!("{good}X-999,,,,,,,,\n")).await;
    assert!(mixed.is_err());
    assert_eq!(house.written(Table::Papers).await, PAPERS.replace('\n', "\r\n"), "nothing stayed");
    assert_eq!(house.take(Table::Papers, &good).await.unwrap().added, 2);
    let out = house.written(Table::Papers).await;
    assert!(out.contains("'=HYPERLINK(1)"), "no spreadsheet runs it: {out}");
    assert!(out.contains("340.50") && out.contains("Finder\nDust cap"), "{out}");
    let again = house.take(Table::Papers, &out).await.unwrap();
    assert_eq!(again, Taken { unchanged: 2, ..Taken::default() });
    let mut conn = house.store.reader().acquire().await.unwrap();
    let tag = crate::shelf::AssetTag::new("T-001").unwrap();
    let scope = crate::shelf::tagged(&mut conn, &tag).await.unwrap().unwrap();
    let changes = crate::shelf::changes(&mut conn, scope.id, 1, 100).await.unwrap();
    assert!(changes.iter().any(|one| one.field == "serial"), "the history tells of it");
}

#[tokio::test]
async fn upkeep_becomes_what_the_table_says_and_inspections_are_only_added() {
    let house = House::furnished().await;
    let upkeep = "asset_tag,what,every_months,every_loans,last_done\n";
    let never = house.take(Table::Upkeep, &format!("{upkeep}T-001,Clean it,,,2026-01-01\n")).await;
    assert!(never.unwrap_err().contains("after how many loans"));
    let two = format!("{upkeep}T-001,Clean it,12,,2026-01-01\nT-001,Collimate,,5,2026-02-01\n");
    assert_eq!(house.take(Table::Upkeep, &two).await.unwrap().added, 2);
    let one = format!("{upkeep}T-001,Collimate,,8,2026-03-01\n");
    assert_eq!(
        house.take(Table::Upkeep, &one).await.unwrap().to_string(),
        "0 added, 1 changed, 0 as they were, 1 taken off"
    );
    assert_eq!(house.written(Table::Upkeep).await, one.replace('\n', "\r\n"));
    let seen = "asset_tag,day,finding,state,noted_at\n";
    let row = format!("{seen}E-001,2026-05-01,fungus,in_repair,2026-05-01T18:00:00Z\n");
    assert_eq!(house.take(Table::Inspections, &row).await.unwrap().added, 1);
    assert_eq!(house.take(Table::Inspections, &row).await.unwrap().unchanged, 1);
    let wrong = "asset_tag,day,finding,state,noted_at,noted_by_member_number\n";
    let nobody = format!("{wrong}E-001,2026-05-02,clean,in_service,2026-05-02T18:00:00Z,M-0\n");
    let refused = house.take(Table::Inspections, &nobody).await.unwrap_err();
    assert!(
        refused.contains("line 2, noted_by_member_number: There is no member M-0."),
        "{refused}"
    );
    let seen_at = |day: &str, at: &str| format!("{seen}E-001,{day},clean,in_service,{at}\n");
    for (day, at, column) in [
        ("2040-01-01", "2040-01-01T12:00:01Z", "noted_at"),
        ("2040-01-03", "2040-01-01T12:00:00Z", "day"),
    ] {
        let refused = house.take(Table::Inspections, &seen_at(day, at)).await.unwrap_err();
        let says = format!("line 2, {column}: That is still to come: write when it was noted.");
        assert_eq!(refused, says);
    }
    let member = first_member();
    let known = nobody.replace("M-0", &member);
    assert_eq!(house.take(Table::Inspections, &known).await.unwrap().added, 1);
    let all = format!(
        "{wrong}E-001,2026-05-01,fungus,in_repair,2026-05-01T18:00:00Z,\n\
         E-001,2026-05-02,clean,in_service,2026-05-02T18:00:00Z,{member}\n"
    );
    assert_eq!(house.written(Table::Inspections).await, all.replace('\n', "\r\n"));
}

/// Words as people and mischief write them, without blanks around them, which nobody sees.
fn words(most: usize) -> impl Strategy<Value = String> {
    let letters = "[a-zé=+@',\"; \\-\\t×日]";
    proptest::string::string_regex(&format!("{letters}{{0,{most}}}"))
        .unwrap()
        .prop_map(|text| text.trim().to_owned())
}

fn some_words(most: usize) -> impl Strategy<Value = String> {
    words(most).prop_filter("something", |text| !text.trim_matches('\'').trim().is_empty())
}

fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('"', "\"\""))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

    #[test]
    fn whatever_is_written_of_the_shelf_comes_back_as_it_was(
        papers in proptest::collection::vec(
            (words(30), words(20), words(30), proptest::option::of(0_i64..=100_000_000),
             proptest::collection::vec(some_words(20), 0..4)),
            1..6,
        ),
        duties in proptest::collection::vec((0_usize..5, some_words(20), 1_i64..120), 0..8),
        seen in proptest::collection::vec((0_usize..5, some_words(40), 0..NOW), 0..8),
    ) {
        let guarded = |text: &str| crate::sheet::with_guard(text);
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
        runtime.block_on(async {
            let (one, two) = (House::furnished().await, House::furnished().await);
            let mut table = PAPERS.to_owned();
            for (at, (donor, serial, place, cents, set)) in papers.iter().enumerate() {
                let value = cents.map_or_else(String::new, |c| format!("{}.{:02}", c / 100, c % 100));
                writeln!(
                    table,
                    "T-00{},,{},{},,{value},{},,{}",
                    at + 1,
                    quoted(&guarded(donor)),
                    quoted(&guarded(serial)),
                    quoted(&guarded(place)),
                    quoted(&guarded(&set.join("\n")))
                )
                .unwrap();
            }
            one.take(Table::Papers, &table).await.unwrap();
            let mut table = "asset_tag,what,every_months,every_loans,last_done\n".to_owned();
            for (at, what, months) in &duties {
                let what = quoted(&guarded(what));
                writeln!(table, "E-00{},{what},{months},,2026-01-31", at + 1).unwrap();
            }
            one.take(Table::Upkeep, &table).await.unwrap();
            let mut table = "asset_tag,day,finding,state,noted_at\n".to_owned();
            for (at, finding, second) in &seen {
                let moment = Timestamp::from_second(*second).unwrap();
                let finding = quoted(&guarded(finding));
                writeln!(table, "E-00{},2026-05-01,{finding},in_service,{moment}", at + 1).unwrap();
            }
            one.take(Table::Inspections, &table).await.unwrap();
            for table in WRITTEN {
                let out = one.written(table).await;
                let taken = two.take(table, &out).await.unwrap();
                assert_eq!(taken.unchanged + taken.changed, 0, "{taken} {out}");
                assert_eq!(two.written(table).await, out);
                let again = two.take(table, &out).await.unwrap();
                assert_eq!(again.added + again.changed, 0, "{again} {out}");
                for record in csv::Reader::from_reader(out.as_bytes()).records() {
                    for cell in &record.unwrap() {
                        assert!(!cell.starts_with(['=', '+', '-', '@', '\t']), "a formula: {cell}");
                    }
                }
            }
        });
    }
}
