//! How long the kit solver takes, beside a greedy choice and (with `--export`) an outside solver.
//!
//! For each size: shelves in a club's proportions, random questions, time as the median over the
//! shelves. `--export FILE` writes the smaller problems out for `tests/outside/solve_bench.py`, which
//! solves them with a general-purpose solver and prints the ratios.
#![allow(missing_docs, clippy::unwrap_used, clippy::expect_used)]

#[path = "../shelves/mod.rs"]
mod shelves;

use std::time::Instant;

use borrowed_light::kit::{Answer, Bench, Proof, Settings, Solver, Verdict, Wanted};
use shelves::{OwnShelf, Rolls, question};

/// Peak memory of this process so far, in MB, where the system tells.
fn peak_mb() -> f64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find(|line| line.starts_with("VmHWM"));
    let kb = line.and_then(|line| line.split_whitespace().nth(1)?.parse::<f64>().ok());
    kb.unwrap_or(f64::NAN) / 1024.0
}

fn median(mut times: Vec<f64>) -> f64 {
    times.sort_by(f64::total_cmp);
    times[times.len() / 2]
}

fn main() {
    let args: Vec<String> = std::env::args().collect();
    let named = |name: &str| args.iter().position(|arg| arg == name).map(|at| args[at + 1].clone());
    let export = named("--export");
    // One size alone, without the greedy comparison: for a profiler.
    let only = named("--only").map(|items| items.parse::<usize>().expect("a number of items"));
    let threads = named("--threads").map_or_else(
        || std::thread::available_parallelism().map_or(1, std::num::NonZero::get),
        |count| count.parse().expect("a number of threads"),
    );
    let settings = Settings::default();
    let mut exported = Vec::new();

    println!("views judged:");
    judged(&settings);

    println!(
        "\nkits solved ({threads} threads, at most 5 eyepieces and a Barlow, best 5 telescopes):"
    );
    println!(
        "{:>7} {:>7} {:>11} {:>11} {:>11} {:>9} {:>11} {:>9}",
        "items", "shelves", "median ms", "worst ms", "greedy ms", "worse", "mean loss", "peak MB"
    );
    let sizes = [(20, 200), (200, 60), (2_000, 12), (20_000, 3)];
    for (items, shelves) in
        sizes.into_iter().filter(|(items, _)| only.is_none_or(|one| one == *items))
    {
        let mut times = Vec::new();
        let mut greedy_times = Vec::new();
        let mut worse = 0_u32;
        let mut loss = 0.0;
        let mut compared = 0_u32;
        for seed in 0..shelves {
            let shelf = OwnShelf::club(items, seed + 1);
            let question = question(&mut Rolls::new(seed + 7));
            let wanted = Wanted { max_eyepieces: 5, barlow: true, limit: 5 };
            let start = Instant::now();
            let solver = Solver::new(shelf.view(), &question, &settings);
            let answer = solver.solve(wanted, threads, &|| false);
            times.push(start.elapsed().as_secs_f64() * 1e3);
            assert_eq!(answer.proof, Proof::Optimal);
            let start = Instant::now();
            let greedy = Solver::new(shelf.view(), &question, &settings).greedy(wanted);
            greedy_times.push(start.elapsed().as_secs_f64() * 1e3);
            if let (Some(best), Some(greedy)) = (answer.kits.first(), greedy.kits.first()) {
                compared += 1;
                assert!(best.value >= greedy.value);
                worse += u32::from(best.value > greedy.value);
                loss += (best.value - greedy.value) / best.value;
            }
            if export.is_some() && items <= 200 && seed < 12 {
                exported.push(written(&solver, items, seed, times[times.len() - 1], &answer));
            }
        }
        let worst = times.iter().copied().fold(0.0, f64::max);
        println!(
            "{items:>7} {shelves:>7} {:>11.3} {worst:>11.3} {:>11.3} {:>8.0}% {:>10.2}% {:>9.1}",
            median(times),
            median(greedy_times),
            100.0 * f64::from(worse) / f64::from(compared.max(1)),
            100.0 * loss / f64::from(compared.max(1)),
            peak_mb(),
        );
    }
    if let Some(path) = export {
        let text = serde_json::to_string(&exported).expect("plain numbers");
        std::fs::write(&path, text).expect("the file can be written");
        println!("\n{} problems written to {path}", exported.len());
    }
}

/// Time per view, judged by all nine rules.
fn judged(settings: &Settings) {
    let shelf = OwnShelf::club(600, 5);
    let question = question(&mut Rolls::new(3));
    let mut suits = 0_usize;
    let mut count = 0_usize;
    let start = Instant::now();
    for telescope in &shelf.telescopes {
        let bench = Bench::new(&telescope.spec, telescope.sun_filter, &question, settings);
        for barlow in std::iter::once(None).chain(shelf.barlows.iter().map(Some)) {
            for eyepiece in &shelf.eyepieces {
                suits += usize::from(bench.assess(eyepiece, barlow).verdict() == Verdict::Suits);
                count += 1;
            }
        }
    }
    let each = start.elapsed().as_secs_f64() / count as f64;
    println!("{count} views, {suits} suit, {:.0} ns each", each * 1e9);
}

/// One problem as plain numbers.
fn written(
    solver: &Solver<'_>,
    items: usize,
    seed: u64,
    ms: f64,
    answer: &Answer,
) -> serde_json::Value {
    let matrix = solver.matrix(true);
    let telescopes: Vec<_> = matrix
        .telescopes
        .iter()
        .enumerate()
        .map(|(at, views)| {
            let views: Vec<_> =
                views.iter().map(|view| (view.eyepiece, view.barlow, &view.worth)).collect();
            serde_json::json!({ "cost": matrix.costs.telescopes[at], "views": views })
        })
        .collect();
    serde_json::json!({
        "items": items,
        "seed": seed,
        "ms": ms,
        "max_eyepieces": 5,
        "best": answer.kits.first().map(|kit| kit.value),
        "weights": matrix.purposes.iter().map(|(_, weight)| weight).collect::<Vec<_>>(),
        "eyepiece_costs": matrix.costs.eyepieces,
        "barlow_costs": matrix.costs.barlows,
        "telescopes": telescopes,
    })
}
