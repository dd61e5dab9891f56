//! The gate before the Sun: without a sound front filter for every telescope, nothing is promised
//! or handed over for use by day. Nobody and nothing gets round it.
//!
//! Whoever says that a telescope has its filter asks here, so that no page calls verified what the
//! desk would refuse.

use std::fmt;

use jiff::Span;
use jiff::civil::Date;

use crate::shelf::{AssetTag, FilterKind, FilterRecord, ItemId, ItemState, Shelf, TelescopeRecord};

/// A telescope in a set for the day that has no sound filter in the same set.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unfiltered {
    /// The telescope.
    pub telescope: AssetTag,
    /// Why its nearest filter does not count; none where there is none in the set.
    pub why: Option<(AssetTag, Flaw)>,
}

/// What is wrong with a filter that would fit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Flaw {
    /// Damage was noted.
    Damaged,
    /// The tube is narrower or wider than what it goes over.
    DoesNotFit,
    /// It is not in service.
    NotInService,
    /// Nobody checked it for leaks of light within the club's limit.
    NotTested,
}

impl fmt::Display for Unfiltered {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let telescope = &self.telescope;
        match &self.why {
            None => write!(
                f,
                "For the daytime Sun, {telescope} needs the full-aperture filter that is recorded as fitting it in the same reservation."
            ),
            Some((filter, flaw)) => {
                let flaw = match flaw {
                    Flaw::Damaged => "is noted as damaged",
                    Flaw::DoesNotFit => "does not go over a tube of that width",
                    Flaw::NotInService => "is not in service",
                    Flaw::NotTested => "has not been tested for leaks of light lately",
                };
                write!(
                    f,
                    "{telescope} can't go out for the daytime Sun: its filter {filter} {flaw}."
                )
            }
        }
    }
}

/// For which days a filter has to be sound.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SunDays {
    /// Today: a light test after it has not been done yet.
    pub today: Date,
    /// The last day on which somebody may look at the Sun.
    pub last: Date,
    /// How long the club lets a light test count, in months; 1–12.
    pub light_test_months: i32,
}

/// Every telescope among `items` without a full-aperture filter among `items` that is sound for
/// these days. Empty where the gate is open.
///
/// One filter serves one telescope: filters are given to telescopes so that as many as can be have
/// one.
pub fn unfiltered(shelf: &Shelf, items: &[ItemId], days: SunDays) -> Vec<Unfiltered> {
    let filters: Vec<&FilterRecord> = shelf
        .filters
        .iter()
        .filter(|filter| items.contains(&filter.id))
        .filter(|filter| filter.figures.kind == FilterKind::SolarFullAperture)
        .collect();
    let telescopes: Vec<&TelescopeRecord> =
        shelf.telescopes.iter().filter(|scope| items.contains(&scope.id)).collect();
    let sound = |scope: &TelescopeRecord, filter: &FilterRecord| {
        made_for(filter, scope) && flaw(filter, scope, days).is_none()
    };
    let fitting: Vec<Vec<usize>> = telescopes
        .iter()
        .map(|scope| (0..filters.len()).filter(|at| sound(scope, filters[*at])).collect())
        .collect();
    // By whom each filter is taken.
    let mut taken: Vec<Option<usize>> = vec![None; filters.len()];
    let mut lacking = Vec::new();
    for at in 0..telescopes.len() {
        if !seat(at, &fitting, &mut taken, &mut vec![false; filters.len()]) {
            lacking.push(at);
        }
    }
    lacking.into_iter().map(|at| without(telescopes[at], &filters, days)).collect()
}

/// Gives a telescope a filter, moving others to other filters of theirs where that helps
/// (augmenting paths: Kuhn 1955, from memory).
fn seat(
    telescope: usize,
    fitting: &[Vec<usize>],
    taken: &mut [Option<usize>],
    tried: &mut [bool],
) -> bool {
    for &filter in &fitting[telescope] {
        if std::mem::replace(&mut tried[filter], true) {
            continue;
        }
        if taken[filter].is_none_or(|other| seat(other, fitting, taken, tried)) {
            taken[filter] = Some(telescope);
            return true;
        }
    }
    false
}

fn without(telescope: &TelescopeRecord, filters: &[&FilterRecord], days: SunDays) -> Unfiltered {
    let made = filters.iter().rev().filter(|filter| made_for(filter, telescope));
    let mut flawed =
        made.filter_map(|filter| Some((filter.facts.tag.clone(), flaw(filter, telescope, days)?)));
    Unfiltered { telescope: telescope.facts.tag.clone(), why: flawed.next() }
}

/// Whether one of the filters is sound for this telescope: recorded as fitting it, as wide as its
/// tube, in service, undamaged, tested.
pub fn has_sound_filter(
    telescope: &TelescopeRecord,
    filters: &[FilterRecord],
    days: SunDays,
) -> bool {
    filters.iter().any(|filter| {
        filter.figures.kind == FilterKind::SolarFullAperture
            && made_for(filter, telescope)
            && flaw(filter, telescope, days).is_none()
    })
}

/// Whether a filter is recorded as fitting a telescope: made for it by its tag, and for no other
/// then; or made for no telescope by name, with both ends of its range of tubes known and the
/// telescope's tube measured within. What nobody measured fits nothing.
pub fn made_for(filter: &FilterRecord, telescope: &TelescopeRecord) -> bool {
    let figures = &filter.figures;
    if let Some(tag) = &figures.fits_telescope {
        return *tag == telescope.facts.tag;
    }
    let range = figures.fits_tube;
    let known = range.min_mm().is_some() && range.max_mm().is_some();
    known && telescope.figures.tube.is_some_and(|tube| range.take(tube))
}

/// What is wrong with a filter on a telescope, the gravest first.
pub fn flaw(filter: &FilterRecord, telescope: &TelescopeRecord, days: SunDays) -> Option<Flaw> {
    let FilterRecord { facts, figures, .. } = filter;
    let fits = telescope.figures.tube.is_none_or(|tube| figures.fits_tube.take(tube));
    let months = days.light_test_months.clamp(1, 12);
    let oldest = days.last.checked_sub(Span::new().months(months));
    let in_time = figures
        .last_light_test
        .is_some_and(|day| day <= days.today && oldest.is_ok_and(|oldest| day >= oldest));
    match () {
        () if figures.damaged => Some(Flaw::Damaged),
        () if !fits => Some(Flaw::DoesNotFit),
        () if facts.state != ItemState::InService => Some(Flaw::NotInService),
        () if !in_time => Some(Flaw::NotTested),
        () => None,
    }
}
