//! The gate before the Sun: without a sound front filter for every telescope, nothing is promised
//! or handed over for use by day. Nobody and nothing gets round it.

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

/// Every telescope among `items` without a sound full-aperture filter among `items`, until `last`,
/// with light tests that count for so many months. Empty where the gate is open.
///
/// One filter serves one telescope.
pub fn unfiltered(
    shelf: &Shelf,
    items: &[ItemId],
    last: Date,
    light_test_months: i32,
) -> Vec<Unfiltered> {
    let filters: Vec<&FilterRecord> = shelf
        .filters
        .iter()
        .filter(|filter| items.contains(&filter.id))
        .filter(|filter| filter.figures.kind == FilterKind::SolarFullAperture)
        .collect();
    let telescopes = shelf.telescopes.iter().filter(|scope| items.contains(&scope.id));
    telescopes.filter_map(|scope| lacking(scope, &filters, last, light_test_months)).collect()
}

fn lacking(
    telescope: &TelescopeRecord,
    filters: &[&FilterRecord],
    last: Date,
    months: i32,
) -> Option<Unfiltered> {
    // A filter made for one telescope by tag fits no other, so none is counted twice.
    let fitting = filters
        .iter()
        .filter(|filter| filter.figures.fits_telescope.as_ref() == Some(&telescope.facts.tag));
    let mut why = None;
    for filter in fitting {
        match flaw(filter, last, months) {
            None => return None,
            Some(flaw) => why = Some((filter.facts.tag.clone(), flaw)),
        }
    }
    Some(Unfiltered { telescope: telescope.facts.tag.clone(), why })
}

fn flaw(filter: &FilterRecord, last: Date, months: i32) -> Option<Flaw> {
    let oldest = last.checked_sub(Span::new().months(months.clamp(1, 12)));
    let tested = filter.figures.last_light_test;
    // A light test in the future proves nothing.
    let in_time = tested.is_some_and(|day| day <= last && oldest.is_ok_and(|oldest| day >= oldest));
    match filter {
        _ if filter.figures.damaged => Some(Flaw::Damaged),
        _ if filter.facts.state != ItemState::InService => Some(Flaw::NotInService),
        _ if !in_time => Some(Flaw::NotTested),
        _ => None,
    }
}
