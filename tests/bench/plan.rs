//! How long a weekend's plan takes for everything in the catalogue, and what five kits are before
//! and after the sky is known.
#![allow(missing_docs, clippy::unwrap_used, clippy::expect_used)]

use std::sync::Arc;
use std::time::Instant as Clock;

use borrowed_light::club::exchange::{Table, import_into};
use borrowed_light::eye::{Glasses, Observer};
use borrowed_light::kit::plan::{Air, admissible, everything, stops};
use borrowed_light::kit::{
    Bench, Kit, Question, Settings, Shelf, ShelfTelescope, Solver, SunFilter, Usage, Wanted,
    real_sky,
};
use borrowed_light::optics::{Age, Barlow, Eyepiece, Seeing};
use borrowed_light::shelf;
use borrowed_light::sky::catalogue;
use borrowed_light::sky::{Height, Horizon, Instant, Latitude, Longitude, Night, Site, Skyline};
use borrowed_light::store::Store;

/// Noons of 2026-10-09 (dark), 2026-10-24 (moonlit) and 2026-06-19 (no darkness).
const WEEKENDS: [(&str, f64); 3] = [
    ("dark weekend of 9 October", 1_791_547_200.0),
    ("moonlit weekend of 24 October", 1_792_843_200.0),
    ("bright nights of 19 June", 1_781_870_400.0),
];

struct Club {
    telescopes: Vec<(String, ShelfTelescope)>,
    eyepieces: Vec<(String, Eyepiece)>,
    barlows: Vec<Barlow>,
}

/// The demo club's shelf.
async fn club() -> Club {
    let folder = tempfile::tempdir().unwrap();
    let store = Store::open(&folder.path().join("club.sqlite")).await.unwrap();
    let mut tx = store.write().await.unwrap();
    let now = "2026-06-05T12:00:00Z".parse().unwrap();
    for (table, text) in [
        (Table::Telescopes, include_str!("../../demo-data/telescopes.csv")),
        (Table::Eyepieces, include_str!("../../demo-data/eyepieces.csv")),
        (Table::Barlows, include_str!("../../demo-data/barlows.csv")),
    ] {
        import_into(&mut tx, table, text.as_bytes(), now).await.expect("the demo club is sound");
    }
    let all = shelf::shelf_in_service(&mut tx).await.unwrap();
    Club {
        telescopes: all
            .telescopes
            .iter()
            .map(|item| {
                let scope = ShelfTelescope::plain(item.figures.optics, SunFilter::Missing);
                (item.facts.name.to_string(), scope)
            })
            .collect(),
        eyepieces: all
            .eyepieces
            .iter()
            .map(|item| (item.facts.name.to_string(), item.figures))
            .collect(),
        barlows: all.barlows.iter().map(|item| item.figures).collect(),
    }
}

fn weekend(noon: f64, trees_deg: f64) -> Vec<Night> {
    let site = Site {
        latitude: Latitude::new(52.31).unwrap(),
        longitude: Longitude::new(-2.12).unwrap(),
        height: Height::new(110.0).unwrap(),
    };
    let horizon = Horizon::new([Skyline::new(trees_deg).unwrap(); 8]);
    [0.0, 1.0, 2.0]
        .map(|day| Instant::from_unix_seconds(noon + day * 86_400.0).unwrap())
        .map(|noon| Night::after(noon, site).behind(horizon))
        .into()
}

fn question(observer: Observer) -> Question {
    Question { observer, seeing: Seeing::new(2.0).ok(), usage: Usage::Night, tonight: None }
}

fn main() {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
    let club = runtime.block_on(club());
    times(&club);
    kits(&club);
}

fn times(club: &Club) {
    let settings = Settings::default();
    let observer = Observer::person(Age::new(45.0).unwrap(), Glasses::None);
    let ask = question(observer);
    // A kit as large as any: one telescope, eight eyepieces, a Barlow.
    let glass: Vec<Eyepiece> = club
        .eyepieces
        .iter()
        .step_by((club.eyepieces.len() / 8).max(1))
        .map(|one| one.1)
        .take(8)
        .collect();
    let telescope = &club.telescopes[0].1.spec;
    let bench = Bench::new(telescope, SunFilter::Missing, &ask, &settings);
    let views = admissible(&bench, telescope, &glass, &club.barlows[..1]);
    let air = Air { zenith: 21.3, seeing_arcsec: 2.0 };
    println!("{} objects and 8 bodies, {} views", catalogue::objects().len(), views.len());
    println!(
        "weekend                          trees  things shown  everything  stops of 9  median of 15"
    );
    for (name, noon) in WEEKENDS {
        for trees in [0.0, 20.0] {
            let mut all = Vec::new();
            let mut chosen = Vec::new();
            let (mut shown, mut count) = (0, 0);
            for _ in 0..15 {
                let start = Clock::now();
                let nights = weekend(noon, trees);
                shown = nights.iter().map(|night| everything(night, &views, air).len()).sum();
                all.push(start.elapsed().as_secs_f64() * 1e3);
                let start = Clock::now();
                let nights = weekend(noon, trees);
                count = nights.iter().map(|night| stops(night, &views, air, 9).len()).sum();
                chosen.push(start.elapsed().as_secs_f64() * 1e3);
            }
            let median = |times: &mut Vec<f64>| {
                times.sort_by(f64::total_cmp);
                times[times.len() / 2]
            };
            println!(
                "{name:32} {trees:4.0}°  {shown:12}  {:7.1} ms  {:7.1} ms  {count} stops",
                median(&mut all),
                median(&mut chosen)
            );
        }
    }
}

fn kits(club: &Club) {
    let person = |age: f64, glasses| Observer::person(Age::new(age).unwrap(), glasses);
    let observers = [
        ("30 years, no glasses", person(30.0, Glasses::None)),
        ("45 years, takes glasses off", person(45.0, Glasses::TakesOff)),
        ("58 years, keeps glasses on", person(58.0, Glasses::KeepsOn)),
        ("72 years, no glasses", person(72.0, Glasses::None)),
        ("anyone, first time", Observer::anyone()),
    ];
    let settings = Settings::default();
    let scopes: Vec<ShelfTelescope> = club.telescopes.iter().map(|one| one.1.clone()).collect();
    let glass: Vec<Eyepiece> = club.eyepieces.iter().map(|one| one.1).collect();
    for (name, observer) in observers {
        println!("\n{name}");
        let told = |question: &Question| {
            let shelf = Shelf { telescopes: &scopes, eyepieces: &glass, barlows: &club.barlows };
            let solver = Solver::new(shelf, question, &settings);
            let wanted = Wanted { max_eyepieces: 4, barlow: true, limit: 1 };
            let answer = solver.solve(wanted, 2, &|| false);
            answer.kits.first().map_or_else(|| "nothing".into(), |kit| in_words(club, kit))
        };
        println!("  before            {}", told(&question(observer)));
        for (weekend_name, noon) in WEEKENDS {
            let outlook = real_sky::outlook(&weekend(noon, 0.0), 21.3).expect("something shows");
            let tonight = Some(Arc::new(outlook.mix));
            let after = told(&Question { tonight, ..question(observer) });
            println!("  {weekend_name:30} {after}");
        }
    }
}

fn in_words(club: &Club, kit: &Kit) -> String {
    let mut lengths: Vec<f64> =
        kit.eyepieces.iter().map(|at| club.eyepieces[*at].1.focal_length().mm()).collect();
    lengths.sort_by(|a, b| b.total_cmp(a));
    let lengths: Vec<String> = lengths.iter().map(ToString::to_string).collect();
    let barlow = kit
        .barlow
        .map_or_else(String::new, |at| format!(" + {}× Barlow", club.barlows[at].factor.times()));
    format!(
        "{}: {} mm{barlow}, value {:.3}",
        club.telescopes[kit.telescope].0,
        lengths.join(", "),
        kit.value
    )
}
