//! The best kit on a shelf, telescope by telescope and Barlow by Barlow, proven.
//!
//! Identical specifications are folded together ([`cost`]), pieces that another one beats in every
//! way are dropped ([`useful`]), and each telescope with each remaining Barlow becomes one choice
//! ([`super::choose`]) among columns ([`columns`]). Barlows that differ in barrel and mass only are
//! first tried as one ideal piece ([`seat`]). What one search learns (its prices, its best score)
//! starts the next.

mod board;
mod columns;
mod cost;
mod greedy;
mod seat;
mod useful;

use std::collections::{HashMap, HashSet};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use super::bench::{Bench, Relief};
use super::ceiling::{self, Finest};
use super::choose::{self, TIE_BITS, Worths};
use super::rules::Question;
use super::screen::Glance;
use super::settings::Settings;
use super::shelf::{Answer, Kit, Own, Proof, Shelf, ShelfTelescope, Wanted};
use super::worth::{Glass, Scale, VALUE_UNIT};
use crate::optics::{Barlow, Eyepiece, Mass};
use board::{Board, NO_FLOOR};
use columns::Scratch;
pub use cost::Costs;
pub(crate) use cost::{CARRY, scarcity};
use cost::{Piece, fitted_burden, fold, pieces};
use seat::{Best, Solved, Task, Terms};
use useful::Useful;

/// Most pieces other than the telescope and the Barlow that a kit may have.
pub const MOST_EYEPIECES: usize = choose::MAX_SLOTS;

/// One kit differing from another in something a person would notice.
#[derive(Debug, Clone, PartialEq)]
pub struct Alternative {
    /// What differs.
    pub difference: Difference,
    /// The best kit of that kind.
    pub kit: Kit,
}

/// What makes an alternative different.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Difference {
    /// The telescope had a corrector in it; here it has none.
    NoCorrector,
    /// The kit had a Barlow; this one does without.
    NoBarlow,
    /// One eyepiece fewer to carry.
    OneFewer,
    /// Without this eyepiece, should someone else need it.
    Without(usize),
}

/// A shelf and a question, prepared for solving.
#[derive(Debug)]
pub struct Solver<'a> {
    pub(crate) shelf: Shelf<'a>,
    pub(crate) question: &'a Question,
    pub(crate) settings: &'a Settings,
    telescopes: Vec<Piece>,
    eyepieces: Vec<Piece>,
    glasses: Vec<Glass>,
    glances: Vec<Glance>,
    /// One folded eyepiece of each focal length.
    focal_lengths: Vec<usize>,
    barlows: Vec<Piece>,
    own: Own,
}

impl<'a> Solver<'a> {
    /// Folds the shelf and works out what no telescope changes.
    #[must_use]
    pub fn new(shelf: Shelf<'a>, question: &'a Question, settings: &'a Settings) -> Self {
        let telescopes =
            pieces(fold(shelf.telescopes.iter().map(ShelfTelescope::fold_key)), |_| None);
        let eyepieces = pieces(fold(shelf.eyepieces.iter().map(Eyepiece::fold_key)), |at| {
            shelf.eyepieces[at].mass().map(Mass::g)
        });
        let barlows = pieces(fold(shelf.barlows.iter().map(Barlow::fold_key)), |at| {
            shelf.barlows[at].mass.map(Mass::g)
        });
        let glasses: Vec<Glass> =
            eyepieces.iter().map(|piece| Glass::of(&shelf.eyepieces[piece.first])).collect();
        let relief = Relief::of(question, settings);
        let mut focal_lengths = Vec::new();
        let mut known = HashMap::new();
        let glances = eyepieces
            .iter()
            .enumerate()
            .map(|(at, piece)| {
                let spec = &shelf.eyepieces[piece.first];
                let place = known.entry(spec.focal_length().mm().to_bits()).or_insert_with(|| {
                    focal_lengths.push(at);
                    focal_lengths.len() as u32 - 1
                });
                Glance::of(&relief, spec, *place)
            })
            .collect();
        Self {
            shelf,
            question,
            settings,
            telescopes,
            eyepieces,
            glasses,
            glances,
            focal_lengths,
            barlows,
            own: Own::default(),
        }
    }

    /// Says which pieces at the front of the shelf are the observer's own.
    #[must_use]
    pub fn with_own(mut self, own: Own) -> Self {
        let eyepieces = self.eyepieces.iter_mut().filter(|piece| piece.first < own.eyepieces);
        let barlows = self.barlows.iter_mut().filter(|piece| piece.first < own.barlows);
        for piece in eyepieces.chain(barlows) {
            piece.burden -= i64::from(scarcity(piece.copies)) << TIE_BITS;
        }
        // A loan of the same telescope is another thing.
        let keys = self.shelf.telescopes.iter().enumerate();
        let keys = keys.map(|(at, one)| (at < own.telescopes, one.fold_key()));
        self.telescopes = pieces(fold(keys), |_| None);
        self.own = own;
        self
    }

    /// A folded eyepiece's figures.
    fn spec(&self, at: usize) -> &Eyepiece {
        &self.shelf.eyepieces[self.eyepieces[at].first]
    }

    /// Finds the best kit per telescope.
    ///
    /// `threads` searches run side by side; the answer does not depend on how many. `spent` is
    /// asked now and then whether the budget is used up; the core itself has no clock.
    pub fn solve(
        &self,
        wanted: Wanted,
        threads: usize,
        spent: &(dyn Fn() -> bool + Sync),
    ) -> Answer {
        let benches: Vec<(Bench<'_>, Scale)> =
            self.telescopes.iter().map(|piece| self.bench(piece.first)).collect();
        let finest = self.finest();
        let lightest = self.eyepieces.iter().map(|piece| piece.burden).min().unwrap_or(0);
        let mut order: Vec<(i64, usize)> = benches
            .iter()
            .enumerate()
            // Every kit has at least one eyepiece to carry.
            .map(|(at, (bench, scale))| (self.highest(at, bench, scale, &finest) - lightest, at))
            .collect();
        order.sort_unstable_by_key(|(highest, at)| (std::cmp::Reverse(*highest), *at));
        let useful = self.useful(wanted, None);

        let next = AtomicUsize::new(0);
        // A telescope's places with correctors may stand before it on the list of the best.
        let places = 1 + self.most_correctors();
        let board = Mutex::new(Board::new(wanted.limit.saturating_mul(places), order.len()));
        let work = || {
            let mut scratch = Scratch::default();
            loop {
                let Some(&(highest, at)) = order.get(next.fetch_add(1, Ordering::Relaxed)) else {
                    return;
                };
                let floor = board.lock().map_or(NO_FLOOR, |board| board.floor());
                let result = if highest < floor {
                    Solved { telescope: at, best: None, open_bound: None }
                } else if spent() {
                    Solved { telescope: at, best: None, open_bound: Some(highest) }
                } else {
                    let terms = Terms { slots: wanted.max_eyepieces.min(MOST_EYEPIECES), floor };
                    let (bench, scale) = &benches[at];
                    let task = Task { telescope: at, bench, scale, useful: &useful, terms };
                    self.search(task, &mut scratch, spent)
                };
                if let Ok(mut board) = board.lock() {
                    board.note(result);
                }
            }
        };
        let pairs = order.len() * useful.eyepieces.len() * (1 + useful.barlows.len());
        if threads > 1 && order.len() > 1 && pairs > 4_000 {
            std::thread::scope(|scope| {
                for _ in 0..threads.min(order.len()) {
                    scope.spawn(work);
                }
            });
        } else {
            work();
        }
        let solved = board.into_inner().map_or_else(|lost| lost.into_inner().solved, |b| b.solved);
        self.answer(&solved, wanted.limit)
    }

    /// The best kits for the same telescope that differ from `kit` in something noticeable.
    pub fn alternatives(
        &self,
        kit: &Kit,
        wanted: Wanted,
        spent: &(dyn Fn() -> bool + Sync),
    ) -> Vec<Alternative> {
        let Some(at) = self.folded(kit.telescope) else { return Vec::new() };
        let (bench, scale) = self.bench(kit.telescope);
        let useful = self.useful(wanted, None);
        let most = wanted.max_eyepieces.min(MOST_EYEPIECES);
        let mut scratch = Scratch::default();
        let mut found: Vec<Alternative> = Vec::new();
        if let Some(fitted) = self.shelf.telescopes[kit.telescope].fitted
            && let Some(plain) = self.folded(fitted.telescope)
        {
            let (bench, scale) = self.bench(fitted.telescope);
            let terms = Terms { slots: most, floor: NO_FLOOR };
            let (bench, scale) = (&bench, &scale);
            let task = Task { telescope: plain, bench, scale, useful: &useful, terms };
            let solved = self.search(task, &mut scratch, spent);
            if let (Some(best), None) = (solved.best, solved.open_bound) {
                let kit = self.kit(fitted.telescope, &best);
                found.push(Alternative { difference: Difference::NoCorrector, kit });
            }
        }
        let mut add = |difference, slots, useful: &Useful| {
            let terms = Terms { slots, floor: NO_FLOOR };
            let task = Task { telescope: at, bench: &bench, scale: &scale, useful, terms };
            let solved = self.search(task, &mut scratch, spent);
            if let (Some(best), None) = (solved.best, solved.open_bound) {
                let other = self.kit(kit.telescope, &best);
                let known = found.iter().any(|alternative| alternative.kit == other);
                if other != *kit && !known {
                    found.push(Alternative { difference, kit: other });
                }
            }
        };
        if kit.barlow.is_some() {
            let direct = Useful { eyepieces: useful.eyepieces.clone(), barlows: Vec::new() };
            add(Difference::NoBarlow, most, &direct);
        }
        if kit.eyepieces.len() > 1 {
            add(Difference::OneFewer, kit.eyepieces.len() - 1, &useful);
        }
        for &eyepiece in &kit.eyepieces {
            let piece = self.eyepieces.iter().position(|piece| piece.first == eyepiece);
            // Nobody else needs what is one's own.
            if let Some(piece) = piece
                && self.eyepieces[piece].copies == 1
                && eyepiece >= self.own.eyepieces
            {
                add(Difference::Without(eyepiece), most, &self.useful(wanted, Some(piece)));
            }
        }
        found.sort_by(|a, b| b.kit.value.total_cmp(&a.kit.value));
        found
    }

    pub(crate) fn bench(&self, telescope: usize) -> (Bench<'_>, Scale) {
        let one = &self.shelf.telescopes[telescope];
        let bench = Bench::new(&one.spec, one.sun_filter, self.question, self.settings);
        let scale = Scale::new(&bench);
        (bench, scale)
    }

    /// Weighted worths of one view, or none where a rule forbids it.
    pub(crate) fn view_worths(
        &self,
        bench: &Bench<'_>,
        scale: &Scale,
        eyepiece: usize,
        barlow: Option<usize>,
    ) -> Option<Worths> {
        let spec = &self.shelf.eyepieces[eyepiece];
        let barlow = barlow.map(|at| &self.shelf.barlows[at]);
        let screen = bench.screen(spec, barlow)?;
        let factor = barlow.map_or(1.0, |barlow| barlow.factor.times());
        let glass = Glass::of(spec);
        let nearness = scale.nearness(glass.ln_focal_length, factor.ln() as f32);
        Some(scale.weigh(glass, &nearness, factor as f32, screen))
    }

    fn telescope_burden(&self, at: usize) -> i64 {
        let Piece { first, copies, .. } = self.telescopes[at];
        let fitted = self.shelf.telescopes[first].fitted.map_or(0, |fitted| fitted_burden(&fitted));
        let missed = if first < self.own.telescopes { 0 } else { scarcity(copies) };
        -(i64::from(missed) << TIE_BITS) - fitted
    }

    /// Where a telescope stands among the folded ones.
    fn folded(&self, telescope: usize) -> Option<usize> {
        let own = |at: usize| at < self.own.telescopes;
        let key = self.shelf.telescopes[telescope].fold_key();
        self.telescopes.iter().position(|piece| {
            own(piece.first) == own(telescope)
                && self.shelf.telescopes[piece.first].fold_key() == key
        })
    }

    /// The position of the telescope itself, whatever is fitted in it.
    fn itself(&self, telescope: usize) -> usize {
        self.shelf.telescopes[telescope].fitted.map_or(telescope, |fitted| fitted.telescope)
    }

    /// How many different correctors one telescope stands on the shelf with, at the most.
    fn most_correctors(&self) -> usize {
        let mut counts: HashMap<usize, usize> = HashMap::new();
        for fitted in self.shelf.telescopes.iter().filter_map(|one| one.fitted) {
            *counts.entry(fitted.telescope).or_default() += 1;
        }
        counts.into_values().max().unwrap_or(0)
    }

    /// The best that the shelf's eyepieces offer, each number by itself.
    fn finest(&self) -> Finest {
        let mut finest = Finest::default();
        for (piece, glass) in self.eyepieces.iter().zip(&self.glasses) {
            finest.note(&self.shelf.eyepieces[piece.first], glass.field_mm);
        }
        finest
    }

    /// A score that no kit in this telescope exceeds, before any eyepiece is carried.
    fn highest(&self, at: usize, bench: &Bench<'_>, scale: &Scale, finest: &Finest) -> i64 {
        (ceiling::highest(scale, bench, finest) << TIE_BITS) + self.telescope_burden(at)
    }

    fn kit(&self, telescope: usize, best: &Best) -> Kit {
        Kit {
            telescope,
            eyepieces: best
                .choice
                .columns
                .iter()
                .map(|column| self.eyepieces[*column as usize].first)
                .collect(),
            barlow: best.barlow.map(|barlow| self.barlows[barlow].first),
            value: choose::value_of(best.choice.score) as f64 * VALUE_UNIT,
        }
    }

    fn answer(&self, solved: &[Solved], limit: usize) -> Answer {
        let highest_open = solved.iter().filter_map(|one| one.open_bound).max();
        let mut ranked: Vec<&Solved> = solved.iter().filter(|one| one.best.is_some()).collect();
        let score = |one: &Solved| one.best.as_ref().map_or(i64::MIN, |best| best.choice.score);
        ranked.sort_by_key(|one| (std::cmp::Reverse(score(one)), one.telescope));
        let top = ranked.first().map_or(0, |one| score(one));
        let mut kits = Vec::new();
        let mut answered = HashSet::new();
        'ranked: for one in ranked {
            let Some(best) = &one.best else { continue };
            let first = self.telescopes[one.telescope].first;
            let key = self.shelf.telescopes[first].fold_key();
            let copies = self.telescopes[one.telescope].copies;
            let twins = (first..self.shelf.telescopes.len())
                .filter(|at| {
                    let alike = (*at < self.own.telescopes) == (first < self.own.telescopes);
                    *at == first || alike && self.shelf.telescopes[*at].fold_key() == key
                })
                .take(copies);
            for telescope in twins {
                if kits.len() >= limit {
                    break 'ranked;
                }
                // The better of a telescope with a corrector and without.
                if answered.insert(self.itself(telescope)) {
                    kits.push(self.kit(telescope, best));
                }
            }
        }
        let proof = match highest_open {
            None => Proof::Optimal,
            Some(bound) => {
                let improvement = (choose::value_of(bound) - choose::value_of(top)).max(0);
                Proof::BudgetSpent { gap: improvement as f64 * VALUE_UNIT }
            }
        };
        Answer { kits, proof }
    }
}
