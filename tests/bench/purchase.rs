//! How long a purchase takes: 500 members in classes of like eyes, 60 telescopes, 400 eyepieces and
//! 200 candidates. Prints the time to weigh everything, the time to the first answer, and how the
//! gap closes.
//!
//! `cargo bench --bench purchase -- --members 500 --telescopes 60 --eyepieces 400 --candidates 200`
#![allow(clippy::unwrap_used, missing_docs)] // a benchmark

#[path = "../shelves/mod.rs"]
mod shelves;

use std::collections::HashMap;
use std::time::{Duration, Instant};

use borrowed_light::eye::{Glasses, Observer};
use borrowed_light::kit::purchase::{
    Demand, Glassware, Lowest, Offer, Rows, Scene, Search, Stock, Terms, Want, in_ones,
};
use borrowed_light::kit::{Question, Settings, Usage};
use borrowed_light::optics::{Age, Cylinder};
use shelves::{OwnShelf, Rolls, barlow, eyepiece};

fn option(name: &str, usual: usize) -> usize {
    let mut words = std::env::args();
    words.find(|word| word == name);
    words.next().and_then(|number| number.parse().ok()).unwrap_or(usual)
}

/// What the process holds in memory, MB.
fn resident_mb() -> f64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find(|line| line.starts_with("VmRSS:")).unwrap_or("");
    line.split_whitespace().nth(1).and_then(|kb| kb.parse::<f64>().ok()).unwrap_or(0.0) / 1024.0
}

/// Members folded into classes as the service folds them: by age, glasses and cylinder.
fn classes(members: usize) -> Vec<(Question, u32)> {
    let mut rolls = Rolls::new(5);
    let mut counted: HashMap<(usize, usize, usize), u32> = HashMap::new();
    for _ in 0..members {
        let key = (rolls.below(5), rolls.below(3), rolls.below(4));
        *counted.entry(key).or_default() += 1;
    }
    let mut classes: Vec<_> = counted.into_iter().collect();
    classes.sort_unstable();
    classes
        .into_iter()
        .map(|((age, glasses, cylinder), count)| {
            let age = Age::new([18.0, 35.0, 52.0, 67.0, 80.0][age]).unwrap();
            let glasses = [Glasses::None, Glasses::TakesOff, Glasses::KeepsOn][glasses];
            let mut observer = Observer::person(age, glasses);
            if glasses != Glasses::None {
                observer.prescription.cylinder =
                    Cylinder::new([0.25, 0.75, 1.5, 2.5][cylinder]).ok();
            }
            let question = Question { observer, seeing: None, usage: Usage::Night, tonight: None };
            (question, count)
        })
        .collect()
}

fn main() {
    let members = option("--members", 500);
    let telescopes = option("--telescopes", 60);
    let eyepieces = option("--eyepieces", 400);
    let candidates = option("--candidates", 200);
    let seconds = option("--seconds", 300);
    let threads = option("--threads", 2);
    let budget = option("--budget", 400) as u64;
    let mut rolls = Rolls::new(1);
    let shelf = OwnShelf::mixed(&mut rolls, telescopes, eyepieces, 6);
    let mut owned: Vec<Glassware> =
        shelf.eyepieces.iter().copied().map(Glassware::Eyepiece).collect();
    owned.extend(shelf.barlows.iter().copied().map(Glassware::Barlow));
    let offers: Vec<Offer> = (0..candidates)
        .map(|at| {
            let glass = if at % 12 == 0 {
                Glassware::Barlow(barlow(&mut rolls))
            } else {
                Glassware::Eyepiece(eyepiece(&mut rolls))
            };
            Offer { glass, price: 20 + 5 * rolls.below(40) as u32, most: 1 }
        })
        .collect();
    let classes = classes(members);
    let questions: Vec<Question> = classes.iter().map(|one| one.0.clone()).collect();
    let mut wants = Vec::new();
    for telescope in 0..telescopes {
        let share = 1 + rolls.below(20) as u32;
        for (question, (_, count)) in classes.iter().enumerate() {
            wants.push(Want { telescope, question, scene: 0, weight: share * count });
        }
    }
    let scenes = [Scene::default()];
    let demand = Demand {
        telescopes: &shelf.telescopes,
        questions: &questions,
        scenes: &scenes,
        wants: &wants,
    };
    let profile = if cfg!(debug_assertions) { "unoptimised" } else { "optimised" };
    println!(
        "{members} members in {} classes, {telescopes} telescopes, {eyepieces} eyepieces and 6 Barlows, {candidates} candidates, budget {budget}: {} wants ({profile} build, {threads} threads)",
        classes.len(),
        wants.len()
    );
    let begun = Instant::now();
    let settings = Settings::default();
    let terms = Terms { slots: 5, shared: true, threads };
    let stock = Stock::new(&owned, &offers, &[]);
    let mut rows =
        Rows::build(stock, &demand, &settings, terms, Lowest::NothingTaken, &mut |_| true).unwrap();
    let (all, open) = rows.size();
    println!(
        "weighed everything in {:.1} s: {open} of {all} wants can gain; {:.0} MB resident",
        begun.elapsed().as_secs_f64(),
        resident_mb()
    );
    let weight: f64 = wants.iter().map(|want| f64::from(want.weight)).sum();
    let today = in_ones(rows.value(&rows.stock().least())) / weight;
    println!("today {today:.6}");
    let searching = Instant::now();
    let mut told = Duration::ZERO;
    let mut first = true;
    let best = Search::run(&mut rows, budget, &[], &mut |at| {
        let passed = searching.elapsed();
        let value = in_ones(at.value) / weight;
        if first && value > today {
            println!("first answer after {:.1} s: {value:.6}", passed.as_secs_f64());
            first = false;
        }
        if at.bound != i64::MAX && passed >= told {
            told = (passed * 3 / 2).max(passed + Duration::from_secs(2));
            println!(
                "{:7.1} s  value {value:.6}  gap {:.6}  parts {}",
                passed.as_secs_f64(),
                in_ones(at.bound) / weight - value,
                at.parts
            );
        }
        passed < Duration::from_secs(seconds as u64)
    });
    let value = in_ones(best.value) / weight;
    let gap = in_ones(best.bound) / weight - value;
    println!(
        "{:7.1} s  value {value:.6}  gap {gap:.6}  parts {}  {}",
        searching.elapsed().as_secs_f64(),
        best.parts,
        if best.is_proven() { "proven" } else { "not proven" }
    );
    println!(
        "gain {:.6}, gap {:.2} per cent of it; {} kits' values known; {:.0} MB resident",
        value - today,
        if value > today { 100.0 * gap / (value - today) } else { 0.0 },
        rows.remembered(),
        resident_mb()
    );
}
