//! A public night's stations, chosen together (pure).
//!
//! A *station* is one telescope with one eyepiece, a helper who may run it, and a target for each
//! half hour. All stations share one shelf and one sky, so they are chosen as a whole:
//!
//! value = Σ over stations and slots of the worth of what is shown
//!   − [`Costs::change`] for each turn to another target
//!   − [`Costs::crowding`] · n(n−1)/2 for each target that n stations show at once
//!
//! No telescope, eyepiece or helper stands at two stations. [`choose`] finds the plan that no other
//! plan beats, with the proof; [`choose_spares`] then gives out what is left on the shelf, so that
//! a spare never costs a station its eyepiece. [`evening`] makes the worths from the sky, the
//! telescopes and the crowd.
//!
//! Barlows stay in the drawer: what is stacked in a focuser gets knocked in the dark (common
//! practice, no source).

pub mod evening;
mod flow;
pub mod height;
pub mod look;
mod mend;
mod prices;
pub mod queue;
mod search;
mod sequence;
mod spares;
#[cfg(test)]
mod tests;
mod told;

pub use search::choose;
pub use spares::choose_spares;
pub use told::{LeftOut, left_out};

/// Units of worth in one: worths are whole numbers of 2⁻¹⁴, so that every sum is exact. Nobody knows
/// a worth to one part in ten thousand.
pub const WORTH_UNITS: u32 = 1 << 14;

/// Prices are in this much finer units than worths, so that no bound is a whole unit off by rounding.
const FINER: u32 = 10;

/// The most targets that one problem may have.
pub const MOST_TARGETS: usize = 64;

/// What plans are charged, in units of 2⁻¹⁴.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Costs {
    /// For turning to another target: minutes in which nobody looks.
    pub change: u32,
    /// For each pair of stations that show the same at once: a family walks on for something new.
    pub crowding: u32,
}

/// What a telescope shows through one eyepiece.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct View {
    /// Position of the eyepiece.
    pub eyepiece: usize,
    /// Worth by slot and target, in units of 2⁻¹⁴, at `slot · targets + target`; 0 where it is not
    /// to be shown.
    pub worths: Vec<u32>,
}

/// A telescope that may stand at a station.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Candidate {
    /// Its views, at most one for each eyepiece.
    pub views: Vec<View>,
    /// Whether somebody who sits reaches the eyepiece, by slot and target as in [`View::worths`].
    pub seated: Vec<bool>,
}

/// Somebody who runs a station.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Helper {
    /// Whether they may run it, by telescope.
    pub may_run: Vec<bool>,
}

/// What there is to choose from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// How many stations are wanted.
    pub stations: usize,
    /// How many half hours there are.
    pub slots: usize,
    /// How many targets there are, at most [`MOST_TARGETS`].
    pub targets: usize,
    /// How many eyepieces lie on the shelf.
    pub eyepieces: usize,
    /// The helpers.
    pub helpers: Vec<Helper>,
    /// The telescopes.
    pub telescopes: Vec<Candidate>,
    /// What is charged.
    pub costs: Costs,
    /// Whether one station must be within reach of somebody who sits, for as much of the evening
    /// as any telescope and eyepiece on the shelf can be.
    pub one_seated: bool,
}

/// Why a problem makes no sense.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum ProblemError {
    /// More targets than one word of bits.
    #[error("At most {MOST_TARGETS} targets can be chosen from, but there are {0}.")]
    TooManyTargets(usize),
    /// A list is not as long as the slots and targets ask for.
    #[error("{wanted} entries are wanted, but {given} were given.")]
    Length {
        /// Entries given.
        given: usize,
        /// Entries wanted.
        wanted: usize,
    },
    /// A view names an eyepiece that is not there, or one twice.
    #[error("Eyepiece {0} is not there, or stands twice at this telescope.")]
    Eyepiece(usize),
    /// A worth is beyond one.
    #[error("A worth is at most {WORTH_UNITS}, but {0} was given.")]
    Worth(u32),
}

/// A place in a problem, by positions.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spot {
    /// [`Problem::targets`].
    Targets,
    /// [`Helper::may_run`] of a helper.
    MayRun(usize),
    /// [`Candidate::seated`] of a telescope.
    Seated(usize),
    /// [`View::eyepiece`] of a telescope and its view.
    Eyepiece(usize, usize),
    /// [`View::worths`] of a telescope and its view.
    Worths(usize, usize),
}

impl Problem {
    /// Checks that the lists agree with one another.
    ///
    /// # Errors
    /// The first of [`Problem::faults`].
    pub fn check(&self) -> Result<(), ProblemError> {
        self.faults().first().map_or(Ok(()), |(_, fault)| Err(*fault))
    }

    /// Everything in which the lists do not agree with one another, and where.
    #[must_use]
    pub fn faults(&self) -> Vec<(Spot, ProblemError)> {
        let mut faults = Vec::new();
        if self.targets > MOST_TARGETS {
            faults.push((Spot::Targets, ProblemError::TooManyTargets(self.targets)));
        }
        let cells = self.slots * self.targets;
        let length = |faults: &mut Vec<_>, spot, given: usize, wanted: usize| {
            if given != wanted {
                faults.push((spot, ProblemError::Length { given, wanted }));
            }
        };
        for (at, helper) in self.helpers.iter().enumerate() {
            length(&mut faults, Spot::MayRun(at), helper.may_run.len(), self.telescopes.len());
        }
        for (at, telescope) in self.telescopes.iter().enumerate() {
            length(&mut faults, Spot::Seated(at), telescope.seated.len(), cells);
            let mut met = vec![false; self.eyepieces];
            for (number, view) in telescope.views.iter().enumerate() {
                let worths = Spot::Worths(at, number);
                length(&mut faults, worths, view.worths.len(), cells);
                match met.get_mut(view.eyepiece) {
                    Some(met) if !*met => *met = true,
                    _ => {
                        let spot = Spot::Eyepiece(at, number);
                        faults.push((spot, ProblemError::Eyepiece(view.eyepiece)));
                    }
                }
                if let Some(worth) = view.worths.iter().find(|worth| **worth > WORTH_UNITS) {
                    faults.push((worths, ProblemError::Worth(*worth)));
                }
            }
        }
        faults
    }

    /// What a plan is worth, in units of 2⁻¹⁴: the formula at the top, summed from the plan itself.
    #[must_use]
    pub fn value(&self, stations: &[Station]) -> i64 {
        let mut value = 0;
        let mut showing = vec![0_i64; self.slots * self.targets];
        for station in stations {
            let view = self.telescopes[station.telescope]
                .views
                .iter()
                .find(|view| view.eyepiece == station.eyepiece);
            let mut before = None;
            for (slot, target) in station.targets.iter().enumerate() {
                if let Some(target) = *target {
                    let cell = slot * self.targets + target;
                    value += view.map_or(0, |view| i64::from(view.worths[cell]));
                    value -= i64::from(self.costs.crowding) * showing[cell];
                    showing[cell] += 1;
                    if before.is_some_and(|before| before != target) {
                        value -= i64::from(self.costs.change);
                    }
                }
                before = *target;
            }
        }
        value
    }
}

/// One station of a plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Station {
    /// Position of the telescope.
    pub telescope: usize,
    /// Position of the eyepiece.
    pub eyepiece: usize,
    /// Position of the helper.
    pub helper: usize,
    /// Position of the target in each slot; `None` where the station rests.
    pub targets: Vec<Option<usize>>,
}

/// How much of a plan is proven.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Proof {
    /// No plan is better.
    Optimal,
    /// The budget ended first; no plan is better by more than this, in units of 2⁻¹⁴.
    BudgetSpent {
        /// The largest possible improvement.
        gap: i64,
    },
}

/// The best plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Plan {
    /// At most as many stations as were wanted, by telescope.
    pub stations: Vec<Station>,
    /// What it is worth, see [`Problem::value`].
    pub value: i64,
    /// The station that somebody who sits can use, where one was wanted and one is possible:
    /// its place in `stations`.
    pub seated: Option<usize>,
    /// Whether it is proven.
    pub proof: Proof,
}
