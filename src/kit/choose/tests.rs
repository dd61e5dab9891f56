//! The choice against an exhaustive search.

use super::*;

/// A small generator of our own: the core has no random source, and the tests want none.
struct Rolls(u64);

impl Rolls {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    fn below(&mut self, end: u64) -> u64 {
        self.next() % end
    }
}

fn every_choice(columns: Columns<'_>, slots: usize) -> Choice {
    let count = columns.worths.len();
    let mut best: Option<Choice> = None;
    for mask in 1_u32..(1 << count) {
        if mask.count_ones() as usize > slots {
            continue;
        }
        let chosen: Vec<u32> = (0..count as u32).filter(|at| mask & (1 << at) != 0).collect();
        let mut score = 0;
        for lane in 0..LANES {
            let top = chosen.iter().map(|at| columns.worths[*at as usize][lane]).max().unwrap_or(0);
            score += i64::from(top) << TIE_BITS;
        }
        score -= chosen.iter().map(|at| columns.burdens[*at as usize]).sum::<i64>();
        let choice = Choice { columns: chosen, score };
        if best.as_ref().is_none_or(|best| choice.beats(best)) {
            best = Some(choice);
        }
    }
    best.unwrap()
}

fn random_columns(rolls: &mut Rolls, count: usize, style: u64) -> (Vec<Worths>, Vec<i64>) {
    let mut worths = Vec::new();
    let mut burdens = Vec::new();
    for _ in 0..count {
        let mut column = [0; LANES];
        let middle = rolls.below(LANES as u64) as i32;
        for (lane, worth) in (0_i32..).zip(column.iter_mut()) {
            *worth = match style {
                // Unrelated numbers, the hardest case for bounds.
                0 => rolls.below(1 << 25) as i32,
                // Bumps along the axis of power, the case of real shelves.
                1 => ((12 - (lane - middle).abs()).max(0) << 20) + rolls.below(1000) as i32,
                // Few distinct numbers: ties everywhere.
                _ => (rolls.below(3) as i32) << 22,
            };
        }
        worths.push(column);
        let cost = if style == 2 { 1 << 21 } else { rolls.below(1 << 22) as i32 };
        burdens.push(burden(cost, rolls.below(if style == 2 { 2 } else { 900 }) as u32));
    }
    (worths, burdens)
}

#[test]
fn the_choice_is_that_of_an_exhaustive_search_ties_included() {
    let mut rolls = Rolls(0x9E37_79B9_7F4A_7C15);
    for round in 0..3000 {
        let count = 1 + rolls.below(11) as usize;
        let slots = 1 + rolls.below(5) as usize;
        let (worths, burdens) = random_columns(&mut rolls, count, round % 3);
        let columns = Columns { worths: &worths, burdens: &burdens };
        let wanted = every_choice(columns, slots);
        let found = choose(columns, slots, 0, i64::MIN, &mut Prices::none(), &|| false);
        assert_eq!(found, Found::Best(wanted), "round {round}");
    }
}

#[test]
fn a_floor_above_the_optimum_finds_nothing_and_one_at_it_finds_it() {
    let mut rolls = Rolls(77);
    for round in 0..300 {
        let (worths, burdens) = random_columns(&mut rolls, 9, round % 3);
        let columns = Columns { worths: &worths, burdens: &burdens };
        let wanted = every_choice(columns, 4);
        let mut prices = Prices::none();
        let at = choose(columns, 4, 0, wanted.score, &mut prices, &|| false);
        assert_eq!(at, Found::Best(wanted.clone()));
        // The prices of the first search are now a warm start for the second.
        let over = choose(columns, 4, 0, wanted.score + 1, &mut prices, &|| false);
        assert_eq!(over, Found::BelowFloor);
    }
}

#[test]
fn a_spent_budget_never_claims_a_proof_it_lacks() {
    let mut rolls = Rolls(5);
    let (worths, burdens) = random_columns(&mut rolls, 60, 0);
    let columns = Columns { worths: &worths, burdens: &burdens };
    let proven = choose(columns, 6, 0, i64::MIN, &mut Prices::none(), &|| false);
    let Found::Best(proven) = proven else { panic!("{proven:?}") };
    match choose(columns, 6, 0, i64::MIN, &mut Prices::none(), &|| true) {
        Found::Best(best) => assert_eq!(best, proven),
        Found::Unproven { best, bound } => {
            assert!(bound >= proven.score);
            assert!(best.unwrap().score <= proven.score);
        }
        Found::BelowFloor => panic!("there is always something to choose"),
    }
}

#[test]
fn the_value_survives_the_tie_break_bits() {
    for value in [0_i64, 1, 12_345, 1 << 30] {
        for pieces in 0..10 {
            let score = (value << TIE_BITS) - pieces * ((1 << 20) + 40_000);
            assert_eq!(value_of(score), value);
        }
    }
}

#[test]
fn greedy_is_never_better_than_the_proven_choice() {
    let mut rolls = Rolls(11);
    let mut worse = 0;
    for round in 0..200 {
        let (worths, burdens) = random_columns(&mut rolls, 30, round % 2);
        let columns = Columns { worths: &worths, burdens: &burdens };
        let greedy = greedy(columns, 4, 0).unwrap();
        let Found::Best(best) = choose(columns, 4, 0, i64::MIN, &mut Prices::none(), &|| false)
        else {
            panic!("no budget was set")
        };
        assert!(best.score >= greedy.score);
        worse += usize::from(best.score > greedy.score);
    }
    assert!(worse > 0, "the instances are too easy to tell the two apart");
}
