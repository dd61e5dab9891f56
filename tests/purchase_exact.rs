//! The choice of a purchase against an exhaustive search: every state that can be paid for is laid
//! out as a shelf of its own and solved by the solver of kits. Values are whole numbers of 2⁻³⁰, so
//! they are compared with `==`.

#![allow(clippy::unwrap_used)] // helpers of tests

mod shelves;

use borrowed_light::kit::purchase::{
    Best, Demand, Glassware, Lowest, Offer, Origin, Rows, Sale, Scene, Search, Stock, Taken, Terms,
    Want, retire,
};
use borrowed_light::kit::{Fitted, Own, Question, Settings, Shelf, ShelfTelescope, Solver, Wanted};
use borrowed_light::optics::{Barlow, Barrel, ComaCorrector, CorrectorFactor, Eyepiece, Mass};
use shelves::{OwnShelf, Rolls, barlow, eyepiece, question};

/// Some corrector; of three factors, two widths and two masses, so that some are alike.
fn corrector(rolls: &mut Rolls) -> Glassware {
    let barrel = if rolls.chance(70) { Barrel::Standard } else { Barrel::Wide };
    Glassware::Corrector(ComaCorrector {
        factor: CorrectorFactor::new([1.0, 1.15, 0.95][rolls.below(3)]).ok(),
        barrel: Some(barrel),
        mass: if rolls.chance(50) { Mass::new(180.0).ok() } else { None },
    })
}

/// A small club with a choice to make.
struct Case {
    shelf: OwnShelf,
    owned: Vec<Glassware>,
    offers: Vec<Offer>,
    sales: Vec<Sale>,
    questions: Vec<Question>,
    scenes: Vec<Scene>,
    wants: Vec<Want>,
    budget: u64,
    terms: Terms,
}

impl Case {
    fn random(seed: u64) -> Self {
        let mut rolls = Rolls::new(seed + 17);
        let (eyepieces, barlows) = (rolls.below(5), rolls.below(2));
        let telescopes = 1 + rolls.below(3);
        let shelf = OwnShelf::mixed(&mut rolls, telescopes, eyepieces, barlows);
        let mut owned: Vec<Glassware> =
            shelf.eyepieces.iter().copied().map(Glassware::Eyepiece).collect();
        owned.extend(shelf.barlows.iter().copied().map(Glassware::Barlow));
        if !owned.is_empty() && rolls.chance(40) {
            owned.push(owned[0]);
        }
        if rolls.chance(20) {
            owned.push(corrector(&mut rolls));
        }
        let mut offers = Vec::new();
        for _ in 0..=rolls.below(5) {
            let glass = match rolls.below(10) {
                0 | 1 => Glassware::Barlow(barlow(&mut rolls)),
                9 => corrector(&mut rolls),
                2 if !owned.is_empty() => owned[rolls.below(owned.len())],
                _ => Glassware::Eyepiece(eyepiece(&mut rolls)),
            };
            let price = [0, 30, 45, 60, 60, 90][rolls.below(6)];
            offers.push(Offer { glass, price, most: 1 + u8::from(rolls.chance(30)) });
        }
        let mut sales = Vec::new();
        for at in 0..owned.len() {
            if rolls.chance(25) {
                sales.push(Sale { owned: at, price: [0, 20, 45][rolls.below(3)] });
            }
        }
        let questions: Vec<Question> = (0..=rolls.below(2)).map(|_| question(&mut rolls)).collect();
        let away = |rolls: &mut Rolls| (0..owned.len()).filter(|_| rolls.chance(25)).collect();
        let scenes = vec![Scene::default(), Scene { away: away(&mut rolls) }];
        let mut wants = Vec::new();
        for telescope in 0..telescopes {
            for question in 0..questions.len() {
                for scene in 0..2 {
                    let weight = rolls.below(4) as u32;
                    wants.push(Want { telescope, question, scene, weight });
                }
            }
        }
        let budget = [0, 60, 100, 150][rolls.below(4)];
        let terms = Terms { slots: 1 + rolls.below(4), shared: true, threads: 1 };
        Self { shelf, owned, offers, sales, questions, scenes, wants, budget, terms }
    }

    fn demand(&self) -> Demand<'_> {
        Demand {
            telescopes: &self.shelf.telescopes,
            questions: &self.questions,
            scenes: &self.scenes,
            wants: &self.wants,
        }
    }

    fn stock(&self) -> Stock {
        Stock::new(&self.owned, &self.offers, &self.sales)
    }

    fn found(&self) -> (Best, Stock) {
        let settings = Settings::default();
        let mut rows = Rows::build(
            self.stock(),
            &self.demand(),
            &settings,
            self.terms,
            Lowest::NothingTaken,
            &mut |_| true,
        )
        .unwrap();
        let best = Search::run(&mut rows, self.budget, &[], &mut |_| true);
        (best, self.stock())
    }

    /// The value of one state, by laying it out and solving each want from scratch.
    fn solved(&self, stock: &Stock, taken: &[u8]) -> i64 {
        let mut copies: Vec<usize> = stock.groups.iter().map(|group| group.permanent).collect();
        for (group, _) in stock.lots(taken) {
            copies[group] += 1;
        }
        self.solved_with(stock, &copies)
    }

    fn solved_with(&self, stock: &Stock, copies: &[usize]) -> i64 {
        let settings = Settings::default();
        let mut sum = 0;
        for want in &self.wants {
            let mut copies = copies.to_vec();
            for owned in &self.scenes[want.scene].away {
                let left = &mut copies[stock.group_of[*owned]];
                *left = left.saturating_sub(1);
            }
            let (mut eyepieces, mut barlows): (Vec<Eyepiece>, Vec<Barlow>) = (vec![], vec![]);
            let mut telescopes = self.shelf.telescopes.clone();
            for (group, copies) in stock.groups.iter().zip(copies) {
                match group.glass {
                    Glassware::Eyepiece(one) => {
                        eyepieces.extend(std::iter::repeat_n(one, copies));
                    }
                    Glassware::Barlow(one) => barlows.extend(std::iter::repeat_n(one, copies)),
                    Glassware::Corrector(_) if copies == 0 => {}
                    Glassware::Corrector(one) => {
                        for (telescope, plain) in self.shelf.telescopes.iter().enumerate() {
                            let Some(spec) = plain.spec.with_corrector(&one) else { continue };
                            let fitted = Some(Fitted {
                                telescope,
                                copies: if self.terms.shared { copies } else { usize::MAX },
                                mass: one.mass,
                            });
                            telescopes.push(ShelfTelescope { spec, fitted, ..plain.clone() });
                        }
                    }
                }
            }
            let shelf = Shelf { telescopes: &telescopes, eyepieces: &eyepieces, barlows: &barlows };
            let mut solver = Solver::new(shelf, &self.questions[want.question], &settings);
            if !self.terms.shared {
                let own = Own {
                    telescopes: telescopes.len(),
                    eyepieces: eyepieces.len(),
                    barlows: barlows.len(),
                };
                solver = solver.with_own(own);
            }
            let wanted =
                Wanted { max_eyepieces: self.terms.slots, barlow: true, limit: usize::MAX };
            let kits = solver.solve(wanted, 1, &|| false).kits;
            let itself = |at: usize| telescopes[at].fitted.map_or(at, |fitted| fitted.telescope);
            let kit = kits.iter().find(|kit| itself(kit.telescope) == want.telescope);
            let value = kit.map_or(0.0, |kit| kit.value * f64::from(1 << 30));
            sum += i64::from(want.weight) * (value as i64).max(0);
        }
        sum
    }

    /// The best state, by trying every one that can be paid for.
    fn tried(&self, stock: &Stock) -> (i64, i64, usize, Vec<Origin>) {
        let mut best: Option<(i64, i64, usize, Vec<Origin>)> = None;
        let most = stock.most();
        let mut taken: Taken = stock.least();
        loop {
            if stock.spent(&taken) <= i64::try_from(self.budget).unwrap() {
                let mut names: Vec<Origin> =
                    stock.lots(&taken).map(|(_, lot)| lot.origin).collect();
                names.sort_unstable();
                let this = (-self.solved(stock, &taken), stock.spent(&taken), names.len(), names);
                if best.as_ref().is_none_or(|best| this < *best) {
                    best = Some(this);
                }
            }
            let Some(at) = (0..taken.len()).find(|at| taken[*at] < most[*at]) else { break };
            taken[at] += 1;
            taken[..at].fill(0);
        }
        let (value, spent, pieces, names) = best.unwrap();
        (-value, spent, pieces, names)
    }
}

#[test]
fn the_purchase_is_that_of_an_exhaustive_search_ties_included() {
    let (mut bought, mut sold, mut several, mut corrected) = (0, 0, 0, 0);
    for seed in 0..600 {
        let case = Case::random(seed);
        let (best, stock) = case.found();
        let (value, spent, pieces, names) = case.tried(&stock);
        assert!(best.is_proven(), "seed {seed}");
        assert_eq!(best.value, value, "seed {seed}");
        assert_eq!(best.spent, spent, "seed {seed}: the cheapest of equals");
        let mut found: Vec<Origin> = stock.lots(&best.taken).map(|(_, lot)| lot.origin).collect();
        found.sort_unstable();
        assert_eq!(found.len(), pieces, "seed {seed}: the fewest pieces of equals");
        assert_eq!(found, names, "seed {seed}: the lowest names of equals");
        let new = found.iter().filter(|origin| matches!(origin, Origin::Offered(_))).count();
        bought += usize::from(new > 0);
        several += usize::from(new > 1);
        let is_corrector = |origin: &&Origin| {
            let Origin::Offered(at) = origin else { return false };
            matches!(case.offers[*at].glass, Glassware::Corrector(_)) && case.offers[*at].price > 0
        };
        corrected += usize::from(found.iter().any(|one| is_corrector(&one)));
        sold += usize::from(spent < 0 || found.len() - new < case.sales.len());
    }
    // The cases must be varied enough for the comparison to mean something.
    assert!(bought > 100 && sold > 60 && several > 40, "{bought}, {sold}, {several}");
    assert!(corrected >= 5, "{corrected} purchases of a corrector");
}

#[test]
fn what_is_bought_for_oneself_is_judged_as_the_kits_with_it_are() {
    let mut corrected = 0;
    for seed in 0..120 {
        let mut case = Case::random(seed);
        case.terms.shared = false;
        let (best, stock) = case.found();
        assert!(best.is_proven(), "seed {seed}");
        assert_eq!(best.value, case.solved(&stock, &best.taken), "seed {seed}");
        let glass = stock.lots(&best.taken).map(|(group, _)| stock.groups[group].glass);
        corrected += glass.filter(|one| matches!(one, Glassware::Corrector(_))).count();
    }
    assert!(corrected > 0, "a corrector was in some purchase");
}

#[test]
fn a_spoilt_answer_is_told_from_the_best_one() {
    // The comparison above can fail: a state with one lot more or less is another value, more
    // money or more pieces.
    let mut told = 0;
    for seed in 0..60 {
        let case = Case::random(seed);
        let (best, stock) = case.found();
        for at in 0..best.taken.len() {
            let mut spoilt = best.taken.clone();
            spoilt[at] = if spoilt[at] == 0 { 1 } else { spoilt[at] - 1 };
            let value = case.solved(&stock, &spoilt);
            let affordable = stock.spent(&spoilt) <= i64::try_from(case.budget).unwrap();
            let as_good = value == best.value && stock.spent(&spoilt) <= best.spent;
            told += usize::from(!affordable || !as_good || spoilt.len() != best.taken.len());
            assert!(!affordable || value <= best.value, "seed {seed}");
        }
    }
    assert!(told > 100, "{told}");
}

#[test]
fn a_search_cut_short_says_what_could_still_be_gained() {
    let mut open = 0;
    for seed in 0..200 {
        let case = Case::random(seed);
        let (proven, stock) = case.found();
        let settings = Settings::default();
        for patience in [0, 1, 3] {
            let mut rows = Rows::build(
                stock.clone(),
                &case.demand(),
                &settings,
                case.terms,
                Lowest::NothingTaken,
                &mut |_| true,
            )
            .unwrap();
            let mut asked = 0;
            let short = Search::run(&mut rows, case.budget, &[], &mut |_| {
                asked += 1;
                asked <= patience
            });
            assert!(short.bound >= proven.value, "seed {seed}, {patience}");
            assert!(short.value <= proven.value, "seed {seed}, {patience}");
            assert!(!short.is_proven() || short.value == proven.value, "seed {seed}, {patience}");
            open += usize::from(!short.is_proven());
        }
    }
    assert!(open > 100, "{open}");
}

#[test]
fn threads_change_nothing() {
    for seed in 0..10 {
        let mut case = Case::random(seed);
        let (alone, _) = case.found();
        case.terms.threads = 3;
        let (together, _) = case.found();
        assert_eq!(alone.taken, together.taken, "seed {seed}");
        assert_eq!(alone.value, together.value, "seed {seed}");
    }
}

#[test]
fn what_may_go_leaves_every_value_as_it_is_and_what_may_not_takes_something() {
    let settings = Settings::default();
    let (mut may, mut may_not) = (0, 0);
    for seed in 0..160 {
        let case = Case::random(seed);
        let stock = Stock::new(&case.owned, &[], &[]);
        let copies: Vec<usize> = stock.groups.iter().map(|group| group.permanent).collect();
        let all = case.solved_with(&stock, &copies);
        let idle =
            retire::idle(&case.owned, &case.demand(), &settings, case.terms, &mut |_, _| true)
                .unwrap();
        for at in 0..case.owned.len() {
            let mut without = copies.clone();
            without[stock.group_of[at]] -= 1;
            let free = case.solved_with(&stock, &without) == all;
            assert_eq!(idle.alone.contains(&at), free, "seed {seed}, piece {at}");
            may += usize::from(free);
            may_not += usize::from(!free);
        }
        let mut without = copies.clone();
        for at in &idle.together {
            assert!(idle.alone.contains(at), "seed {seed}");
            without[stock.group_of[*at]] -= 1;
        }
        assert_eq!(case.solved_with(&stock, &without), all, "seed {seed}: all together");
        for at in idle.alone.iter().filter(|at| !idle.together.contains(at)) {
            let group = stock.group_of[*at];
            if without[group] > 0 {
                let mut more = without.clone();
                more[group] -= 1;
                assert_ne!(case.solved_with(&stock, &more), all, "seed {seed}: nothing to add");
            }
        }
    }
    assert!(may > 40 && may_not > 100, "{may}, {may_not}");
}
