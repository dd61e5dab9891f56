//! How good a telescope's kits are, night by night.

use std::collections::{BTreeMap, BTreeSet};

use super::club_shelf::ClubShelf;
use super::solution::Budget;
use crate::kit::{Question, Settings, Solver, Wanted};
use crate::lending::calendar::Mark;
use crate::lending::{Night, SunDays};
use crate::profile::OwnCase;
use crate::shelf::{ItemId, Shelf};

/// From which share of the best kit's worth on a kit counts as good as any. Our own choice.
const AS_GOOD_AS_ANY: f64 = 0.9;

/// What is asked: one telescope's kits for these eyes, of these pieces.
pub struct Asked {
    /// Whose eyes.
    pub question: Question,
    /// What they own.
    pub own: OwnCase,
    /// The telescope.
    pub telescope: ItemId,
    /// The most eyepieces in a kit.
    pub max_eyepieces: usize,
    /// Everything in service.
    pub shelf: Shelf,
    /// What is spoken for.
    pub taken: Vec<(ItemId, Night)>,
    /// For which days a solar filter would have to be sound.
    pub days: SunDays,
}

/// What each of these nights is for the telescope's kits. Nights on which the same pieces are out
/// are worked out once; a night that the budget left no time for counts as good in part.
pub fn marks(
    asked: &Asked,
    nights: &BTreeSet<Night>,
    budget: &Budget<'_>,
) -> BTreeMap<Night, Mark> {
    let mut out: BTreeMap<Night, BTreeSet<ItemId>> = BTreeMap::new();
    for (item, night) in &asked.taken {
        out.entry(*night).or_default().insert(*item);
    }
    let nothing = BTreeSet::new();
    let best = value(asked, &nothing, budget).unwrap_or(0.0);
    let mut known: BTreeMap<&BTreeSet<ItemId>, Mark> = BTreeMap::new();
    let mut marks = BTreeMap::new();
    for night in nights {
        let gone = out.get(night).unwrap_or(&nothing);
        let mark = *known.entry(gone).or_insert_with(|| {
            if gone.contains(&asked.telescope) {
                return Mark::Taken;
            }
            if (budget.search)() {
                return Mark::Poorer;
            }
            match value(asked, gone, budget) {
                Some(value) if value >= AS_GOOD_AS_ANY * best => Mark::Free,
                Some(_) => Mark::Poorer,
                None => Mark::Taken,
            }
        });
        marks.insert(*night, mark);
    }
    marks
}

/// The best kit's worth without these pieces; none where nothing suits.
fn value(asked: &Asked, gone: &BTreeSet<ItemId>, budget: &Budget<'_>) -> Option<f64> {
    let mut shelf = asked.shelf.clone();
    shelf.retain(|id| !gone.contains(&id));
    let shelf = ClubShelf::of(shelf, asked.days).with_own(&asked.own).with_only(asked.telescope.0);
    let settings = Settings::default();
    let solver = Solver::new(shelf.figures(), &asked.question, &settings).with_own(shelf.own());
    let wanted = Wanted { max_eyepieces: asked.max_eyepieces, barlow: true, limit: 1 };
    let answer = solver.solve(wanted, 1, budget.search);
    answer.kits.first().map(|kit| kit.value)
}
