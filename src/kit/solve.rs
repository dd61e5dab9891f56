//! The best kit on a shelf, telescope by telescope and Barlow by Barlow, proven.
//!
//! Identical specifications are folded together, Barlows that another one beats in every way are
//! dropped, and each telescope with each remaining Barlow becomes one choice among columns (see
//! [`super::choose`]). What one search learns (its prices, its best score) starts the next.

use std::collections::HashMap;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};

use super::bench::Bench;
use super::ceiling::{self, Finest};
use super::choose::{self, Choice, Columns, Found, LANES, Prices, TIE_BITS, Worths, burden};
use super::dominance;
use super::rules::{Question, SunFilter};
use super::settings::Settings;
use super::worth::{Glass, Lens, Scale, VALUE_UNIT};
use crate::optics::{Barlow, Eyepiece, Mass, Telescope};

/// Carrying one more piece, in units of 2⁻³⁰: 0.004.
const CARRY: i32 = 4_294_967;

/// What the absence of the only copy takes from others, in units of 2⁻³⁰: 0.002.
const SCARCE: i32 = 2_147_484;

/// Most pieces other than the telescope and the Barlow that a kit may have.
pub const MOST_EYEPIECES: usize = choose::MAX_SLOTS;

/// A telescope on the shelf.
#[derive(Debug, Clone, PartialEq)]
pub struct ShelfTelescope {
    /// Its optics.
    pub spec: Telescope,
    /// Whether a verified solar filter goes with it.
    pub sun_filter: SunFilter,
}

/// What may be chosen from. Ties go to the piece that stands earlier, so pass pieces in the order
/// of their ids.
#[derive(Debug, Clone, Copy)]
pub struct Shelf<'a> {
    /// Telescopes.
    pub telescopes: &'a [ShelfTelescope],
    /// Eyepieces.
    pub eyepieces: &'a [Eyepiece],
    /// Barlows.
    pub barlows: &'a [Barlow],
}

/// How large a kit may be and how many are wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wanted {
    /// Most eyepieces in a kit, 1 to 8.
    pub max_eyepieces: usize,
    /// Whether a Barlow may be in a kit.
    pub barlow: bool,
    /// How many telescopes' kits to answer with, at most.
    pub limit: usize,
}

/// One telescope with its best eyepieces.
#[derive(Debug, Clone, PartialEq)]
pub struct Kit {
    /// Position in [`Shelf::telescopes`].
    pub telescope: usize,
    /// Positions in [`Shelf::eyepieces`], ascending.
    pub eyepieces: Vec<usize>,
    /// Position in [`Shelf::barlows`].
    pub barlow: Option<usize>,
    /// Worth to all purposes less the pieces' costs.
    pub value: f64,
}

/// How much of the answer is proven.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Proof {
    /// No kit on the shelf is better.
    Optimal,
    /// The budget ended first; no kit is better by more than this.
    BudgetSpent {
        /// The largest possible improvement on the best kit.
        gap: f64,
    },
}

/// The answer: the best kit per telescope, best first.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// At most [`Wanted::limit`] kits.
    pub kits: Vec<Kit>,
    /// Whether they are proven.
    pub proof: Proof,
}

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
    /// The kit had a Barlow; this one does without.
    NoBarlow,
    /// One eyepiece fewer to carry.
    OneFewer,
    /// Without this eyepiece, should someone else need it.
    Without(usize),
}

/// A group of identical pieces.
#[derive(Debug, Clone, Copy)]
struct Piece {
    /// Position of the first of them.
    first: usize,
    /// How many there are.
    copies: usize,
    /// What one costs, with the tie-break.
    burden: i64,
}

fn fold<K: std::hash::Hash + Eq>(keys: impl Iterator<Item = K>) -> Vec<(usize, usize)> {
    let mut seen: HashMap<K, usize> = HashMap::new();
    let mut groups: Vec<(usize, usize)> = Vec::new();
    for (at, key) in keys.enumerate() {
        match seen.entry(key) {
            std::collections::hash_map::Entry::Occupied(group) => groups[*group.get()].1 += 1,
            std::collections::hash_map::Entry::Vacant(place) => {
                place.insert(groups.len());
                groups.push((at, 1));
            }
        }
    }
    groups
}

fn scarcity(copies: usize) -> i32 {
    SCARCE / i32::try_from(copies).unwrap_or(i32::MAX).max(1)
}

/// Masses that nobody recorded count as heavy in a tie.
const UNKNOWN_MASS_G: u32 = 65_535;

fn pieces(groups: Vec<(usize, usize)>, mass_g: impl Fn(usize) -> Option<f64>) -> Vec<Piece> {
    groups
        .into_iter()
        .map(|(first, copies)| {
            let mass = mass_g(first).map_or(UNKNOWN_MASS_G, |mass| mass.round() as u32);
            Piece { first, copies, burden: burden(CARRY + scarcity(copies), mass) }
        })
        .collect()
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
    barlows: Vec<Piece>,
}

/// The best kit of one telescope while searching: positions are those of folded pieces.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Best {
    choice: Choice,
    barlow: Option<usize>,
}

impl Best {
    fn beats(&self, other: &Self) -> bool {
        let preference = |best: &Self| std::cmp::Reverse(best.choice.score);
        (preference(self), &self.choice.columns, self.barlow)
            < (preference(other), &other.choice.columns, other.barlow)
    }
}

/// One telescope's search result.
#[derive(Debug, Clone)]
struct Solved {
    telescope: usize,
    best: Option<Best>,
    /// Set where the budget ended the search: no kit scores more.
    open_bound: Option<i64>,
}

/// Limits on one telescope's search.
#[derive(Debug, Clone, Copy)]
struct Terms {
    slots: usize,
    /// Scores below this are of no interest.
    floor: i64,
}

/// What is worth trying, as folded positions.
#[derive(Debug, Clone)]
struct Useful {
    /// In the order of the shelf.
    eyepieces: Vec<usize>,
    /// Like beside like, so that one search's prices suit the next.
    barlows: Vec<usize>,
}

/// Reused memory for one thread.
#[derive(Debug, Default)]
struct Scratch {
    /// Worths without a Barlow; none where a rule forbids the view.
    direct: Vec<Option<Worths>>,
    worths: Vec<Worths>,
    burdens: Vec<i64>,
    /// Which folded eyepiece each column is.
    who: Vec<u32>,
}

impl Scratch {
    fn columns(&self) -> Columns<'_> {
        Columns { worths: &self.worths, burdens: &self.burdens }
    }

    /// A choice of columns, told in folded eyepieces.
    fn named(&self, mut choice: Choice) -> Choice {
        for column in &mut choice.columns {
            *column = self.who[*column as usize];
        }
        choice
    }
}

impl<'a> Solver<'a> {
    /// Folds the shelf and works out what no telescope changes.
    #[must_use]
    pub fn new(shelf: Shelf<'a>, question: &'a Question, settings: &'a Settings) -> Self {
        let telescopes = pieces(
            fold(shelf.telescopes.iter().map(|one| (one.spec.fold_key(), one.sun_filter))),
            |_| None,
        );
        let eyepieces = pieces(fold(shelf.eyepieces.iter().map(Eyepiece::fold_key)), |at| {
            shelf.eyepieces[at].mass().map(Mass::g)
        });
        let barlows = pieces(fold(shelf.barlows.iter().map(Barlow::fold_key)), |at| {
            shelf.barlows[at].mass.map(Mass::g)
        });
        let glasses =
            eyepieces.iter().map(|piece| Glass::of(&shelf.eyepieces[piece.first])).collect();
        Self { shelf, question, settings, telescopes, eyepieces, glasses, barlows }
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
        let board = Mutex::new(Board::new(wanted.limit, order.len()));
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
                    self.telescope(at, bench, scale, &useful, terms, &mut scratch, spent)
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
        let same = |piece: &Piece| {
            self.shelf.telescopes[piece.first] == self.shelf.telescopes[kit.telescope]
        };
        let Some(at) = self.telescopes.iter().position(same) else { return Vec::new() };
        let (bench, scale) = self.bench(kit.telescope);
        let useful = self.useful(wanted, None);
        let most = wanted.max_eyepieces.min(MOST_EYEPIECES);
        let mut scratch = Scratch::default();
        let mut found: Vec<Alternative> = Vec::new();
        let mut add = |difference, slots, useful: &Useful| {
            let terms = Terms { slots, floor: NO_FLOOR };
            let solved = self.telescope(at, &bench, &scale, useful, terms, &mut scratch, spent);
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
            if let Some(piece) = piece
                && self.eyepieces[piece].copies == 1
            {
                add(Difference::Without(eyepiece), most, &self.useful(wanted, Some(piece)));
            }
        }
        found.sort_by(|a, b| b.kit.value.total_cmp(&a.kit.value));
        found
    }

    /// What each piece costs: telescopes, eyepieces, Barlows, by position on the shelf.
    #[must_use]
    pub fn costs(&self) -> Costs {
        let mut costs = Costs {
            telescopes: vec![0.0; self.shelf.telescopes.len()],
            eyepieces: vec![0.0; self.shelf.eyepieces.len()],
            barlows: vec![0.0; self.shelf.barlows.len()],
        };
        let keys = self.shelf.telescopes.iter().map(|one| (one.spec.fold_key(), one.sun_filter));
        spread(keys, &mut costs.telescopes, scarcity);
        let carried = |copies| CARRY + scarcity(copies);
        spread(self.shelf.eyepieces.iter().map(Eyepiece::fold_key), &mut costs.eyepieces, carried);
        spread(self.shelf.barlows.iter().map(Barlow::fold_key), &mut costs.barlows, carried);
        costs
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
        Some(scale.weigh(Glass::of(spec), factor.ln() as f32, factor as f32, screen))
    }

    /// Pieces that no other one beats in every way, whatever the telescope.
    fn useful(&self, wanted: Wanted, banned: Option<usize>) -> Useful {
        Useful {
            eyepieces: self.useful_eyepieces(banned),
            barlows: if wanted.barlow { self.useful_barlows() } else { Vec::new() },
        }
    }

    /// Eyepieces that no other one of the same focal length beats in every way.
    fn useful_eyepieces(&self, banned: Option<usize>) -> Vec<usize> {
        let spec = |at: usize| &self.shelf.eyepieces[self.eyepieces[at].first];
        let length = |at: usize| spec(at).focal_length().mm();
        let mut order: Vec<usize> =
            (0..self.eyepieces.len()).filter(|at| Some(*at) != banned).collect();
        order.sort_by(|a, b| length(*a).total_cmp(&length(*b)).then(a.cmp(b)));
        let mut useful = Vec::new();
        for same in order.chunk_by(|a, b| length(*a).total_cmp(&length(*b)).is_eq()) {
            useful.extend(same.iter().copied().filter(|&at| {
                !same.iter().any(|&other| {
                    (self.eyepieces[other].burden, other) < (self.eyepieces[at].burden, at)
                        && dominance::never_worse(spec(other), spec(at))
                })
            }));
        }
        useful.sort_unstable();
        useful
    }

    fn barlow_spec(&self, at: usize) -> &Barlow {
        &self.shelf.barlows[self.barlows[at].first]
    }

    /// Whether one Barlow is at most as much of a burden as another, and not the same.
    fn lighter(&self, one: usize, other: usize) -> bool {
        (self.barlows[one].burden, one) < (self.barlows[other].burden, other)
    }

    /// Barlows that no other one beats in every way.
    fn useful_barlows(&self) -> Vec<usize> {
        let mut useful: Vec<usize> = (0..self.barlows.len())
            .filter(|&at| {
                !(0..self.barlows.len()).any(|other| {
                    let (one, at_spec) = (self.barlow_spec(other), self.barlow_spec(at));
                    self.lighter(other, at) && dominance::never_worse_barlow(one, at_spec)
                })
            })
            .collect();
        useful.sort_by(|a, b| {
            let factor = |at: usize| self.barlow_spec(at).factor.times();
            factor(*a).total_cmp(&factor(*b)).then(a.cmp(b))
        });
        useful
    }

    /// Of the useful Barlows, those worth trying in this telescope: where no balance limit is
    /// recorded, mass changes no verdict, and the least burden of its kind is enough.
    fn barlows_for(&self, bench: &Bench<'_>, useful: &Useful) -> Vec<usize> {
        let all = &useful.barlows;
        if bench.telescope.balance_limit().is_some() {
            return all.clone();
        }
        let kind = |at: usize| {
            let spec = self.barlow_spec(at);
            (spec.factor, spec.barrel)
        };
        let beaten =
            |at: usize| all.iter().any(|&one| kind(one) == kind(at) && self.lighter(one, at));
        all.iter().copied().filter(|at| !beaten(*at)).collect()
    }

    #[expect(clippy::too_many_arguments, reason = "one call, from two places, all of it needed")]
    fn telescope(
        &self,
        at: usize,
        bench: &Bench<'_>,
        scale: &Scale,
        useful: &Useful,
        terms: Terms,
        scratch: &mut Scratch,
        spent: &(dyn Fn() -> bool + Sync),
    ) -> Solved {
        self.fill_direct(bench, scale, &useful.eyepieces, scratch);
        let mut best: Option<Best> = None;
        let mut open_bound: Option<i64> = None;
        let mut prices = Prices::none();
        let with = self.barlows_for(bench, useful);
        for barlow in std::iter::once(None).chain(with.into_iter().map(Some)) {
            let filled = self.fill_columns(bench, scale, barlow, &useful.eyepieces, scratch);
            let Some(burden) = filled else { continue };
            let offset = self.telescope_burden(at) - burden;
            let floor = best.as_ref().map_or(terms.floor, |best| best.choice.score);
            let found =
                choose::choose(scratch.columns(), terms.slots, offset, floor, &mut prices, spent);
            let choice = match found {
                Found::BelowFloor => None,
                Found::Best(choice) => Some(choice),
                Found::Unproven { best, bound } => {
                    open_bound = Some(open_bound.unwrap_or(i64::MIN).max(bound));
                    best
                }
            };
            if let Some(choice) = choice {
                let candidate = Best { choice: scratch.named(choice), barlow };
                if best.as_ref().is_none_or(|best| candidate.beats(best)) {
                    best = Some(candidate);
                }
            }
        }
        Solved { telescope: at, best, open_bound }
    }

    /// The best of what someone would end with who takes one good piece after another, per
    /// telescope, without looking back. For comparison only: see the benchmark.
    #[must_use]
    pub fn greedy(&self, wanted: Wanted) -> Answer {
        let useful = self.useful(wanted, None);
        let mut scratch = Scratch::default();
        let mut solved = Vec::new();
        for (at, piece) in self.telescopes.iter().enumerate() {
            let (bench, scale) = self.bench(piece.first);
            self.fill_direct(&bench, &scale, &useful.eyepieces, &mut scratch);
            let mut best: Option<Best> = None;
            let with = self.barlows_for(&bench, &useful);
            for barlow in std::iter::once(None).chain(with.into_iter().map(Some)) {
                let filled =
                    self.fill_columns(&bench, &scale, barlow, &useful.eyepieces, &mut scratch);
                let Some(burden) = filled else { continue };
                let offset = self.telescope_burden(at) - burden;
                if let Some(choice) =
                    choose::greedy(scratch.columns(), wanted.max_eyepieces, offset)
                {
                    let candidate = Best { choice: scratch.named(choice), barlow };
                    if best.as_ref().is_none_or(|best| candidate.beats(best)) {
                        best = Some(candidate);
                    }
                }
            }
            solved.push(Solved { telescope: at, best, open_bound: None });
        }
        self.answer(&solved, wanted.limit)
    }

    fn telescope_burden(&self, at: usize) -> i64 {
        -(i64::from(scarcity(self.telescopes[at].copies)) << TIE_BITS)
    }

    /// Weighs every useful eyepiece without a Barlow.
    fn fill_direct(
        &self,
        bench: &Bench<'_>,
        scale: &Scale,
        eyepieces: &[usize],
        scratch: &mut Scratch,
    ) {
        let lens = Lens::none(bench);
        scratch.direct.clear();
        scratch.direct.extend(eyepieces.iter().map(|&at| self.weigh(bench, scale, at, &lens)));
    }

    /// Sets up the columns with a Barlow or without; answers with the Barlow's burden, or with
    /// none where no view would use it.
    fn fill_columns(
        &self,
        bench: &Bench<'_>,
        scale: &Scale,
        barlow: Option<usize>,
        eyepieces: &[usize],
        scratch: &mut Scratch,
    ) -> Option<i64> {
        let Scratch { direct, worths, burdens, who } = scratch;
        worths.clear();
        burdens.clear();
        who.clear();
        let lens = barlow.map(|at| Lens::of(bench, &self.shelf.barlows[self.barlows[at].first]));
        let mut used = barlow.is_none();
        for (&at, direct) in eyepieces.iter().zip(direct) {
            let with = lens.as_ref().and_then(|lens| self.weigh(bench, scale, at, lens));
            used |= with.is_some();
            let column = match (with, *direct) {
                (Some(mut both), Some(direct)) => {
                    for lane in 0..LANES {
                        both[lane] = both[lane].max(direct[lane]);
                    }
                    both
                }
                (Some(one), None) | (None, Some(one)) => one,
                (None, None) => continue,
            };
            worths.push(column);
            burdens.push(self.eyepieces[at].burden);
            who.push(at as u32);
        }
        used.then(|| barlow.map_or(0, |at| self.barlows[at].burden))
    }

    /// Weighs one view of a folded eyepiece, unless its focal length is out of the question.
    #[inline]
    fn weigh(
        &self,
        bench: &Bench<'_>,
        scale: &Scale,
        at: usize,
        lens: &Lens<'_>,
    ) -> Option<Worths> {
        let glass = self.glasses[at];
        if !lens.focal_lengths_mm.contains(&glass.focal_length_mm) {
            return None;
        }
        let eyepiece = &self.shelf.eyepieces[self.eyepieces[at].first];
        let screen = bench.screen(eyepiece, lens.barlow)?;
        Some(scale.weigh(glass, lens.ln_factor, lens.factor, screen))
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
        'ranked: for one in ranked {
            let Some(best) = &one.best else { continue };
            let first = self.telescopes[one.telescope].first;
            let twin = &self.shelf.telescopes[first];
            let copies = self.telescopes[one.telescope].copies;
            let twins = (first..self.shelf.telescopes.len())
                .filter(|at| *at == first || self.shelf.telescopes[*at] == *twin)
                .take(copies);
            for telescope in twins {
                if kits.len() >= limit {
                    break 'ranked;
                }
                kits.push(self.kit(telescope, best));
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

/// What each piece on the shelf costs a kit, by position.
#[derive(Debug, Clone, PartialEq)]
pub struct Costs {
    /// Telescopes.
    pub telescopes: Vec<f64>,
    /// Eyepieces.
    pub eyepieces: Vec<f64>,
    /// Barlows.
    pub barlows: Vec<f64>,
}

fn spread<K: std::hash::Hash + Eq + Clone>(
    keys: impl Iterator<Item = K>,
    into: &mut [f64],
    cost: impl Fn(usize) -> i32,
) {
    let keys: Vec<K> = keys.collect();
    let mut copies: HashMap<K, usize> = HashMap::new();
    for key in &keys {
        *copies.entry(key.clone()).or_default() += 1;
    }
    for (key, into) in keys.iter().zip(into) {
        *into = f64::from(cost(copies.get(key).copied().unwrap_or(1))) * VALUE_UNIT;
    }
}

/// Below every score, and far enough from the end of the integers to subtract from.
const NO_FLOOR: i64 = i64::MIN / 2;

/// What all threads have found so far.
#[derive(Debug)]
struct Board {
    limit: usize,
    solved: Vec<Solved>,
    /// The best scores, from high to low, at most `limit` of them.
    scores: Vec<i64>,
}

impl Board {
    fn new(limit: usize, telescopes: usize) -> Self {
        Self { limit, solved: Vec::with_capacity(telescopes), scores: Vec::new() }
    }

    /// The `limit`-th best score: a telescope that stays below it cannot be in the answer.
    fn floor(&self) -> i64 {
        match self.limit.checked_sub(1) {
            Some(last) => self.scores.get(last).copied().unwrap_or(NO_FLOOR),
            None => NO_FLOOR,
        }
    }

    fn note(&mut self, result: Solved) {
        if let Some(best) = &result.best {
            let score = best.choice.score;
            let at = self.scores.partition_point(|other| *other >= score);
            self.scores.insert(at, score);
            self.scores.truncate(self.limit);
        }
        self.solved.push(result);
    }
}
