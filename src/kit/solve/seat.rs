//! The search in one telescope.

use std::cmp::Reverse;

use super::Solver;
use super::columns::Scratch;
use super::useful::Useful;
use crate::kit::bench::Bench;
use crate::kit::choose::{self, Choice, Found, Prices};
use crate::kit::worth::{Lens, Scale};

/// The best kit of one telescope while searching: positions are those of folded pieces.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Best {
    pub(super) choice: Choice,
    pub(super) barlow: Option<usize>,
}

impl Best {
    pub(super) fn beats(&self, other: &Self) -> bool {
        let preference = |best: &Self| Reverse(best.choice.score);
        (preference(self), &self.choice.columns, self.barlow)
            < (preference(other), &other.choice.columns, other.barlow)
    }
}

/// One telescope's search result.
#[derive(Debug, Clone)]
pub(super) struct Solved {
    pub(super) telescope: usize,
    pub(super) best: Option<Best>,
    /// Set where the budget ended the search: no kit scores more.
    pub(super) open_bound: Option<i64>,
}

/// Limits on one telescope's search.
#[derive(Debug, Clone, Copy)]
pub(super) struct Terms {
    pub(super) slots: usize,
    /// Scores below this are of no interest.
    pub(super) floor: i64,
}

/// The search in one telescope while it goes on.
struct Seat<'s> {
    solver: &'s Solver<'s>,
    bench: &'s Bench<'s>,
    scale: &'s Scale,
    eyepieces: &'s [usize],
    /// What the telescope burdens.
    offset: i64,
    terms: Terms,
    scratch: &'s mut Scratch,
    spent: &'s dyn Fn() -> bool,
    /// What the last search ended with: a good start for the next.
    prices: Prices,
    best: Option<Best>,
    open_bound: Option<i64>,
}

impl Seat<'_> {
    /// The score a kit must reach to matter.
    fn floor(&self) -> i64 {
        self.best.as_ref().map_or(self.terms.floor, |best| best.choice.score)
    }

    fn choose(&mut self, lens: Option<&Lens<'_>>, burden: i64) -> Found {
        let Self { solver, bench, scale, eyepieces, .. } = *self;
        if !solver.fill_columns(bench, scale, lens, eyepieces, self.scratch) {
            return Found::BelowFloor;
        }
        let (offset, floor) = (self.offset - burden, self.floor());
        let columns = self.scratch.columns();
        choose::choose(columns, self.terms.slots, offset, floor, &mut self.prices, self.spent)
    }

    /// Notes a search's end; answers with what it found.
    fn settle(&mut self, found: Found) -> Option<Choice> {
        match found {
            Found::BelowFloor => None,
            Found::Best(choice) => Some(choice),
            Found::Unproven { best, bound } => {
                self.open_bound = self.open_bound.max(Some(bound));
                best
            }
        }
    }

    /// Searches without a Barlow.
    fn without_barlow(&mut self) {
        let found = self.choose(None, 0);
        if let Some(choice) = self.settle(found) {
            self.best = Some(Best { choice: self.scratch.named(choice), barlow: None });
        }
    }

    /// Searches with every Barlow that could help.
    ///
    /// Barlows come in families that differ in barrel and mass only. Each family is first tried as
    /// one ideal piece; where even that stays below the floor, none of its members is tried.
    fn with_barlows(&mut self, barlows: &[usize]) {
        let solver = self.solver;
        for family in barlows.chunk_by(|one, other| solver.related(*one, *other)) {
            if let [_, _, ..] = family
                && let Some((ideal, burden)) = solver.ideal(family)
            {
                let lens = Lens::of(self.bench, &ideal);
                let found = self.choose(Some(&lens), burden);
                // The ideal piece is no real one: that it is worth something is all it tells.
                if self.settle(found).is_none() {
                    continue;
                }
            }
            for &barlow in family {
                self.with_barlow(barlow);
            }
        }
    }

    fn with_barlow(&mut self, barlow: usize) {
        let solver = self.solver;
        let lens = Lens::of(self.bench, solver.barlow_spec(barlow));
        let found = self.choose(Some(&lens), solver.barlows[barlow].burden);
        if let Some(choice) = self.settle(found) {
            let barlow = Some(barlow);
            let candidate = Best { choice: self.scratch.named(choice), barlow };
            if self.best.as_ref().is_none_or(|best| candidate.beats(best)) {
                self.best = Some(candidate);
            }
        }
    }
}

/// One telescope to be searched.
#[derive(Clone, Copy)]
pub(super) struct Task<'t> {
    /// Its folded position.
    pub(super) telescope: usize,
    pub(super) bench: &'t Bench<'t>,
    pub(super) scale: &'t Scale,
    pub(super) useful: &'t Useful,
    pub(super) terms: Terms,
}

impl Solver<'_> {
    /// The best kit in one telescope, if any reaches the floor.
    pub(super) fn search(
        &self,
        task: Task<'_>,
        scratch: &mut Scratch,
        spent: &dyn Fn() -> bool,
    ) -> Solved {
        let Task { telescope, bench, scale, useful, terms } = task;
        self.fill_direct(bench, scale, &useful.eyepieces, scratch);
        let mut seat = Seat {
            solver: self,
            bench,
            scale,
            eyepieces: &useful.eyepieces,
            offset: self.telescope_burden(telescope),
            terms,
            scratch,
            spent,
            prices: Prices::none(),
            best: None,
            open_bound: None,
        };
        seat.without_barlow();
        let barlows = self.barlows_for(bench, useful);
        if !barlows.is_empty() {
            seat.with_barlows(&barlows);
        }
        Solved { telescope, best: seat.best, open_bound: seat.open_bound }
    }
}
