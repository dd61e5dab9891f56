//! What finding a piece costs on a shelf of a hundred, of ten thousand and of a hundred thousand
//! pieces: the questions that the shelf's page asks, without the page.
//!
//! Medians of [`TRIES`] tries, in milliseconds, and how many times dearer the largest shelf is than
//! the smallest. `--most N` ends the sizes at N.
#![allow(missing_docs, clippy::unwrap_used, clippy::expect_used)]

use std::time::{Duration, Instant};

use borrowed_light::lending::Nights;
use borrowed_light::optics::{
    ApparentField, Barrel, EyeRelief, Eyepiece, EyepieceFocalLength, EyepieceSpec,
};
use borrowed_light::sheet::{Name, Notes};
use borrowed_light::shelf::{
    self, AssetTag, Draft, Facts, Hand, ItemState, Kind, Order, Wanted, browse,
};
use borrowed_light::store::Store;

/// How often each question is asked.
const TRIES: usize = 21;

/// Pieces on a page.
const A_PAGE: usize = 50;

/// What is on the shelf, told apart enough for an index to have work.
const NAMES: [&str; 8] =
    ["Heather", "Orchard", "Lantern", "Kestrel", "Millpond", "Gatepost", "Chapel", "Bramble"];

async fn filled(pieces: usize) -> (tempfile::TempDir, Store) {
    let folder = tempfile::tempdir().unwrap();
    let store = Store::open(&folder.path().join("club.sqlite")).await.unwrap();
    let mut tx = store.write().await.unwrap();
    for n in 0..pieces {
        let focal_mm = 4.0 + f64::from(u32::try_from(n % 72).unwrap()) / 2.0;
        let figures = Eyepiece::new(EyepieceSpec {
            apparent_field: ApparentField::new(45.0 + f64::from(u32::try_from(n % 40).unwrap()))
                .ok(),
            eye_relief: EyeRelief::new(f64::from(u32::try_from(8 + n % 13).unwrap())).ok(),
            barrel: Some(Barrel::Standard),
            ..EyepieceSpec::new(EyepieceFocalLength::new(focal_mm).unwrap())
        })
        .unwrap();
        let facts = Facts {
            tag: AssetTag::new(&format!("E-{n:06}")).unwrap(),
            name: Name::new(&format!("{} {focal_mm} mm", NAMES[n % NAMES.len()])).unwrap(),
            state: if n % 50 == 7 { ItemState::InRepair } else { ItemState::InService },
            acquired: None,
            // One piece of every shelf is like no other.
            notes: Notes::new(if n == pieces / 2 { "engraved heliotrope" } else { "" }).unwrap(),
        };
        shelf::add(&mut tx, Hand::of_nobody(0), &Draft { facts, figures }).await.unwrap();
    }
    tx.commit().await.unwrap();
    (folder, store)
}

/// The questions, each with its name.
fn questions() -> Vec<(&'static str, Wanted, Option<Nights>)> {
    let wanted = Wanted { states: vec![ItemState::InService], ..Wanted::default() };
    let words = |text: &str| Wanted { words: text.into(), ..wanted.clone() };
    let weekend = Nights::parse("2026-06-05", "2026-06-07").ok();
    vec![
        ("the first page by tag", wanted.clone(), None),
        ("one rare word", words("heliotrope"), None),
        ("two beginnings of words", words("kest 25"), None),
        ("a word that a quarter has", words("eyepiece"), None),
        ("one kind", Wanted { kind: Some(Kind::Eyepiece), ..wanted.clone() }, None),
        ("by name", Wanted { order: Order::Name, ..wanted.clone() }, None),
        ("by size", Wanted { order: Order::Size, ..wanted.clone() }, None),
        ("a common word by name", Wanted { order: Order::Name, ..words("eyepiece") }, None),
        ("free on three nights", wanted.clone(), weekend),
        (
            "far down the list",
            Wanted { after: AssetTag::new("E-000080").ok(), ..wanted.clone() },
            None,
        ),
    ]
}

async fn median(store: &Store, wanted: &Wanted, nights: Option<Nights>) -> Duration {
    let mut times = Vec::with_capacity(TRIES);
    for _ in 0..TRIES {
        let mut conn = store.reader().acquire().await.unwrap();
        let started = Instant::now();
        let found = browse(&mut conn, wanted.clone(), nights, A_PAGE).await.unwrap();
        times.push(started.elapsed());
        assert!(found.items.len() <= A_PAGE);
    }
    times.sort_unstable();
    times[TRIES / 2]
}

#[tokio::main(flavor = "current_thread")]
async fn main() {
    let most = std::env::args().skip_while(|one| one != "--most").nth(1);
    let most: usize = most.and_then(|most| most.parse().ok()).unwrap_or(usize::MAX);
    let sizes: Vec<usize> =
        [100, 10_000, 100_000].into_iter().filter(|size| *size <= most).collect();
    let questions = questions();
    let mut table: Vec<Vec<f64>> = vec![Vec::new(); questions.len()];
    for size in &sizes {
        let started = Instant::now();
        let (_folder, store) = filled(*size).await;
        println!("{size} pieces put on the shelf in {:.1} s", started.elapsed().as_secs_f64());
        for ((_, wanted, nights), row) in questions.iter().zip(&mut table) {
            row.push(median(&store, wanted, *nights).await.as_secs_f64() * 1e3);
        }
    }
    print!("\n{:28}", "milliseconds (median)");
    for size in &sizes {
        print!("{size:>12}");
    }
    println!("{:>12}", "growth");
    for ((name, ..), row) in questions.iter().zip(&table) {
        print!("{name:28}");
        for time in row {
            print!("{time:12.3}");
        }
        let growth = row.last().zip(row.first()).map_or(1.0, |(last, first)| last / first);
        println!("{growth:11.1}×");
    }
}
