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
/// One filter serves one telescope.
pub fn unfiltered(shelf: &Shelf, items: &[ItemId], days: SunDays) -> Vec<Unfiltered> {
    let filters: Vec<&FilterRecord> = shelf
        .filters
        .iter()
        .filter(|filter| items.contains(&filter.id))
        .filter(|filter| filter.figures.kind == FilterKind::SolarFullAperture)
        .collect();
    let telescopes = shelf.telescopes.iter().filter(|scope| items.contains(&scope.id));
    telescopes.filter_map(|scope| lacking(scope, &filters, days)).collect()
}

fn lacking(
    telescope: &TelescopeRecord,
    filters: &[&FilterRecord],
    days: SunDays,
) -> Option<Unfiltered> {
    let mut why = None;
    for filter in filters.iter().filter(|filter| made_for(filter, telescope)) {
        match flaw(filter, telescope, days) {
            None => return None,
            Some(flaw) => why = Some((filter.facts.tag.clone(), flaw)),
        }
    }
    Some(Unfiltered { telescope: telescope.facts.tag.clone(), why })
}

/// Whether one of the filters is sound for this telescope: recorded as made for it, as wide as its
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

/// A filter made for one telescope by tag fits no other, so none is counted twice.
fn made_for(filter: &FilterRecord, telescope: &TelescopeRecord) -> bool {
    filter.figures.fits_telescope.as_ref() == Some(&telescope.facts.tag)
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
