//! One row for each want: the columns that could ever be in its best kit.

use std::borrow::Cow;

use super::memo::Memo;
use super::stock::{Glassware, Stock};
use super::{Demand, Taken, Terms};
use crate::kit::bench::Bench;
use crate::kit::choose::{LANES, Worths, better};
use crate::kit::solve::{CARRY, scarcity};
use crate::kit::worth::Scale;
use crate::kit::{Settings, Shelf, Solver};
use crate::optics::{Barlow, ComaCorrector, Eyepiece, Telescope};

/// One eyepiece seen through one option.
#[derive(Debug, Clone)]
pub(super) struct Column {
    group: u32,
    pub(super) worths: Worths,
}

impl Column {
    /// Its group.
    #[inline]
    pub(super) fn group(&self) -> usize {
        self.group as usize
    }
}

/// One telescope with one Barlow or none and one corrector or none, and the prices that bound it
/// (see [`super::bound`]).
#[derive(Debug, Clone)]
pub(super) struct Choice {
    /// The groups of the Barlow and the corrector.
    pub(super) fitted: [Option<u32>; 2],
    pub(super) columns: Vec<Column>,
    pub(super) prices: Worths,
}

impl Choice {
    /// The groups that must be there besides an eyepiece.
    #[inline]
    pub(super) fn fitted(&self) -> impl Iterator<Item = usize> + '_ {
        self.fitted.iter().flatten().map(|group| *group as usize)
    }
}

/// One want.
#[derive(Debug, Clone)]
pub(super) struct Row {
    pub(super) weight: i64,
    /// What the telescope costs a kit.
    pub(super) telescope_cost: i32,
    pub(super) scene: usize,
    /// No state that is asked for is worth less.
    pub(super) floor: i64,
    pub(super) options: Vec<Choice>,
    /// Positions in `Stock::open` on which this row depends.
    pub(super) depends: Vec<u32>,
    pub(super) memo: Memo,
}

/// All rows with what they share.
#[derive(Debug)]
pub struct Rows {
    pub(super) stock: Stock,
    pub(super) terms: Terms,
    /// Below the values of this state nothing is asked.
    pub(super) lowest: Taken,
    /// By scene and group, how many are out.
    pub(super) away: Vec<Vec<usize>>,
    /// Position in `Stock::open`, by group.
    pub(super) place: Vec<Option<usize>>,
    pub(super) each: Vec<Row>,
    /// The row of each want; none where nothing that is for sale changes it.
    pub(super) row_of: Vec<Option<usize>>,
    /// Value of each want that nothing changes, not weighted.
    pub(super) fixed: Vec<i64>,
    /// Their sum, weighted.
    pub(super) constant: i64,
}

/// Which values will be asked for: columns that matter to none of them are dropped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lowest {
    /// Those of every state.
    NothingTaken,
    /// Only whether a state is worth as much as everything together: what is worth less may come
    /// out too low.
    AllTaken,
}

/// What a piece of which there are so many costs a kit, in units of 2⁻³⁰.
pub(super) fn piece_cost(copies: usize, shared: bool) -> i32 {
    if shared { CARRY + scarcity(copies) } else { CARRY }
}

impl Rows {
    /// Weighs everything owned or offered in every want. `go_on` is asked between rows, with the
    /// number done, whether to; none where it says no.
    pub fn build(
        stock: Stock,
        demand: &Demand<'_>,
        settings: &Settings,
        terms: Terms,
        lowest: Lowest,
        go_on: &mut dyn FnMut(usize) -> bool,
    ) -> Option<Self> {
        let lowest = match lowest {
            Lowest::NothingTaken => stock.least(),
            Lowest::AllTaken => stock.most(),
        };
        let mut away = Vec::with_capacity(demand.scenes.len());
        for scene in demand.scenes {
            let mut out = vec![0; stock.groups.len()];
            for owned in &scene.away {
                if let Some(group) = stock.group_of.get(*owned) {
                    out[*group] += 1;
                }
            }
            away.push(out);
        }
        let mut place = vec![None; stock.groups.len()];
        for (at, group) in stock.open.iter().enumerate() {
            place[*group] = Some(at);
        }
        let mut all = Self {
            stock,
            terms,
            lowest,
            away,
            place,
            each: Vec::new(),
            row_of: Vec::new(),
            fixed: Vec::new(),
            constant: 0,
        };
        let weigher = Weigher::of(&all.stock, demand);
        let batch = 4 * terms.threads.max(1);
        for (at, wants) in demand.wants.chunks(batch).enumerate() {
            if !go_on(at * batch) {
                return None;
            }
            let made: Vec<(Row, Option<i64>)> = std::thread::scope(|scope| {
                let share = wants.len().div_ceil(terms.threads.max(1));
                let (all, weigher) = (&all, &weigher);
                let work = |wants: &[super::Want]| -> Vec<(Row, Option<i64>)> {
                    wants.iter().map(|want| all.row(weigher, demand, settings, want)).collect()
                };
                if terms.threads <= 1 {
                    return work(wants);
                }
                let hands: Vec<_> =
                    wants.chunks(share).map(|wants| scope.spawn(move || work(wants))).collect();
                // A hand that broke breaks the whole: its rows would be missing.
                hands
                    .into_iter()
                    .flat_map(|hand| {
                        hand.join().unwrap_or_else(|broken| std::panic::resume_unwind(broken))
                    })
                    .collect()
            });
            for (row, same) in made {
                if let Some(value) = same {
                    all.constant += row.weight * value;
                    all.row_of.push(None);
                    all.fixed.push(value);
                } else {
                    all.row_of.push(Some(all.each.len()));
                    all.fixed.push(0);
                    all.each.push(row);
                }
            }
        }
        Some(all)
    }

    /// How many wants there are, and how many of them something for sale could change.
    #[must_use]
    pub fn size(&self) -> (usize, usize) {
        (self.row_of.len(), self.each.len())
    }

    /// What may be taken.
    #[must_use]
    pub fn stock(&self) -> &Stock {
        &self.stock
    }

    /// How many of a group there are in a scene.
    #[inline]
    pub(super) fn copies(&self, scene: usize, group: usize, taken: &[u8]) -> usize {
        let more = self.place[group].map_or(0, |at| usize::from(taken[at]));
        (self.stock.groups[group].permanent + more).saturating_sub(self.away[scene][group])
    }

    /// One want's row; with its value where nothing for sale changes it.
    fn row(
        &self,
        weigher: &Weigher<'_>,
        demand: &Demand<'_>,
        settings: &Settings,
        want: &super::Want,
    ) -> (Row, Option<i64>) {
        let question = &demand.questions[want.question];
        let solver = Solver::new(weigher.shelf(), question, settings);
        let telescope = &demand.telescopes[want.telescope];
        let most = self.stock.most();
        let there = |group: &usize| self.copies(want.scene, *group, &most) > 0;
        let mut options = Vec::new();
        for (corrector, spec) in weigher.corrected(&telescope.spec) {
            if corrector.is_some_and(|group| !there(&group)) {
                continue;
            }
            let bench = Bench::new(&spec, telescope.sun_filter, question, settings);
            let scale = Scale::new(&bench);
            let mut direct: Vec<Option<Worths>> = Vec::with_capacity(weigher.eyepieces.len());
            for barlow in std::iter::once(None).chain((0..weigher.barlows.len()).map(Some)) {
                let group = barlow.map(|at| weigher.barlow_groups[at]);
                if group.is_some_and(|group| !there(&group)) {
                    continue;
                }
                let mut columns = Vec::new();
                let mut used = barlow.is_none();
                for (at, group) in weigher.eyepiece_groups.iter().enumerate() {
                    let here = there(group);
                    let with = match barlow {
                        Some(_) if here => solver.view_worths(&bench, &scale, at, barlow),
                        _ => None,
                    };
                    if barlow.is_none() {
                        let view = here.then(|| solver.view_worths(&bench, &scale, at, None));
                        direct.push(view.flatten());
                    }
                    used |= with.is_some();
                    if let Some(worths) = better(with.as_ref(), direct[at].as_ref()) {
                        columns.push(Column { group: *group as u32, worths });
                    }
                }
                if used {
                    let fitted = [group, corrector].map(|one| one.map(|group| group as u32));
                    options.push(Choice { fitted, columns, prices: [0; LANES] });
                }
            }
        }
        let telescope_cost =
            if self.terms.shared { weigher.telescope_costs[want.telescope] } else { 0 };
        let mut row = Row {
            weight: i64::from(want.weight),
            telescope_cost,
            scene: want.scene,
            floor: 0,
            options,
            depends: Vec::new(),
            memo: Memo::default(),
        };
        let same = self.fix(&mut row);
        (row, same)
    }

    /// The state in which nothing is bought or sold.
    #[must_use]
    pub fn today(&self) -> Taken {
        self.stock.today()
    }
}

/// What all rows are weighed with: one piece of each specification.
struct Weigher<'a> {
    demand: Demand<'a>,
    eyepieces: Vec<Eyepiece>,
    eyepiece_groups: Vec<usize>,
    barlows: Vec<Barlow>,
    barlow_groups: Vec<usize>,
    correctors: Vec<(usize, ComaCorrector)>,
    telescope_costs: Vec<i32>,
}

impl<'a> Weigher<'a> {
    fn of(stock: &Stock, demand: &Demand<'a>) -> Self {
        let mut weigher = Self {
            demand: *demand,
            eyepieces: Vec::new(),
            eyepiece_groups: Vec::new(),
            barlows: Vec::new(),
            barlow_groups: Vec::new(),
            correctors: Vec::new(),
            telescope_costs: Vec::new(),
        };
        for (at, group) in stock.groups.iter().enumerate() {
            match group.glass {
                Glassware::Eyepiece(eyepiece) => {
                    weigher.eyepieces.push(eyepiece);
                    weigher.eyepiece_groups.push(at);
                }
                Glassware::Barlow(barlow) => {
                    weigher.barlows.push(barlow);
                    weigher.barlow_groups.push(at);
                }
                Glassware::Corrector(corrector) => weigher.correctors.push((at, corrector)),
            }
        }
        let alike = |one: usize| {
            demand.telescopes.iter().filter(|other| **other == demand.telescopes[one]).count()
        };
        weigher.telescope_costs =
            (0..demand.telescopes.len()).map(|at| scarcity(alike(at))).collect();
        weigher
    }

    /// The telescope as it is, and with each corrector that fits it, by the corrector's group.
    fn corrected<'t>(&self, telescope: &'t Telescope) -> Vec<(Option<usize>, Cow<'t, Telescope>)> {
        let with = self.correctors.iter().filter_map(|(group, corrector)| {
            let spec = telescope.with_corrector(corrector)?;
            Some((Some(*group), Cow::Owned(spec)))
        });
        std::iter::once((None, Cow::Borrowed(telescope))).chain(with).collect()
    }

    fn shelf(&self) -> Shelf<'_> {
        Shelf {
            telescopes: self.demand.telescopes,
            eyepieces: &self.eyepieces,
            barlows: &self.barlows,
        }
    }
}
