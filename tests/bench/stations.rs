//! How long the joint choice of a public night's stations takes, and what is proven in that time.
//!
//! Random evenings in the shape of real ones: each telescope and eyepiece gives a power, each target
//! wants one, rises and sets. Prints a line for each.
#![allow(missing_docs)]

use std::time::{Duration, Instant};

use borrowed_light::kit::stations::{
    Candidate, Costs, Helper, Problem, Proof, View, WORTH_UNITS, choose,
};

/// After so long the search answers without the proof.
const BUDGET: Duration = Duration::from_secs(5);

/// Stations, half hours, targets, eyepieces, helpers, telescopes.
const SIZES: [[usize; 6]; 3] =
    [[4, 6, 12, 15, 6, 8], [6, 8, 20, 30, 8, 12], [10, 8, 24, 40, 12, 20]];

/// A small generator of our own, so that every run asks the same.
struct Rolls(u64);

impl Rolls {
    fn below(&mut self, end: u32) -> u32 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % u64::from(end)) as u32
    }

    /// From 0 to `most`, in hundredths.
    fn up_to(&mut self, most: f64) -> f64 {
        most * f64::from(self.below(101)) / 100.0
    }

    fn several(&mut self, count: usize, most: f64) -> Vec<f64> {
        (0..count).map(|_| self.up_to(most)).collect()
    }
}

fn evening(rolls: &mut Rolls, sizes: [usize; 6], one_seated: bool) -> Problem {
    let [stations, slots, targets, eyepieces, helpers, telescopes] = sizes;
    let own = rolls.several(telescopes, 1.0);
    let powers = rolls.several(eyepieces, 2.0);
    let ideals = rolls.several(targets, 2.0);
    let ranks = rolls.several(targets, 0.7);
    let rises = rolls.several(targets, 10.0);
    let cells = slots * targets;
    let worth = |power: f64, cell: usize| {
        let (slot, target) = (cell / targets, cell % targets);
        let off = power - ideals[target];
        let near = (1.0 - off * off).max(0.0).powi(2);
        let height = (1.0 - ((slot as f64 - rises[target]) / 6.0).powi(2)).max(0.0);
        (near * height * (0.3 + ranks[target]) * f64::from(WORTH_UNITS)) as u32
    };
    Problem {
        stations,
        slots,
        targets,
        eyepieces,
        helpers: (0..helpers)
            .map(|_| Helper { may_run: (0..telescopes).map(|_| rolls.below(3) > 0).collect() })
            .collect(),
        telescopes: (0..telescopes)
            .map(|telescope| Candidate {
                views: (0..eyepieces)
                    .map(|eyepiece| View {
                        eyepiece,
                        worths: (0..cells)
                            .map(|cell| worth(own[telescope] + powers[eyepiece] - 0.5, cell))
                            .collect(),
                    })
                    .collect(),
                seated: (0..cells).map(|_| rolls.below(3) == 0).collect(),
            })
            .collect(),
        costs: Costs { change: WORTH_UNITS / 6, crowding: WORTH_UNITS / 4 },
        one_seated,
    }
}

fn main() {
    let mut rolls = Rolls(77);
    println!("stations  half hours  targets  eyepieces  helpers  telescopes  seat   time     gap");
    for sizes in SIZES {
        for case in 0..4 {
            let problem = evening(&mut rolls, sizes, case % 2 == 0);
            let started = Instant::now();
            let plan = choose(&problem, &|| started.elapsed() > BUDGET);
            let took = started.elapsed();
            let gap = match plan.proof {
                Proof::Optimal => "proven".to_owned(),
                Proof::BudgetSpent { gap } => {
                    format!("{:.3} %", 100.0 * gap as f64 / plan.value.max(1) as f64)
                }
            };
            let [stations, slots, targets, eyepieces, helpers, telescopes] = sizes;
            println!(
                "{stations:8}  {slots:10}  {targets:7}  {eyepieces:9}  {helpers:7}  {telescopes:10}  {:5}  {:6.3} s  {gap}",
                problem.one_seated,
                took.as_secs_f64(),
            );
        }
    }
}
