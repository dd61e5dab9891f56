//! The gate before the Sun, for public nights: one function decides, and nothing is written without
//! its word. Pure.
//!
//! Pages, programs, imports, changed dates, moved sites and the planner all end in
//! [`crate::public_night::store`], whose writing functions ask for a [`Cleared`], and only
//! [`judge`] makes one.

use std::fmt;

use jiff::civil::Date;

use super::aim::Aim;
use super::hours::{Hours, Sunlight};
use super::model::{Finder, PublicNight, Purpose, Station};
use crate::lending::{SunDays, Unfiltered, filter_flaw, has_sound_filter};
use crate::shelf::{FilterKind, Shelf};

/// Leave to write a public night: the gate has looked at all of it and found nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Cleared(());

/// What the gate looks at.
#[derive(Debug, Clone, Copy)]
pub struct Case<'a> {
    /// The public night as it would be written.
    pub night: &'a PublicNight,
    /// Its hours; none where there is no site.
    pub hours: Option<&'a Hours>,
    /// The Sun in these hours.
    pub sun: &'a Sunlight,
    /// The shelf as it stands.
    pub shelf: &'a Shelf,
    /// Today.
    pub today: Date,
    /// How long a light test counts, months.
    pub light_test_months: i32,
}

impl Case<'_> {
    /// Whether its telescopes stand in the Sun: it is for the Sun, or the Sun is or may be up.
    ///
    /// A hall is no excuse: a window lets the Sun in as well.
    #[must_use]
    pub fn in_the_sun(&self) -> bool {
        self.night.occasion.purpose == Purpose::Solar || self.sun.is_a_danger()
    }

    /// The days for which filters have to be sound.
    #[must_use]
    pub fn days(&self) -> SunDays {
        SunDays {
            today: self.today,
            last: self.night.occasion.last_day(),
            light_test_months: self.light_test_months,
        }
    }
}

/// Why the gate is shut.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Shut {
    /// The Sun would be a target on a night that is not for the Sun.
    SunOnOtherNight(i64),
    /// The Sun would be a target when it is down, or nobody knows where it stands.
    SunNotUp(i64),
    /// The telescope has no filter at its station.
    NoFilter(i64, String),
    /// The filter at the station is none that counts.
    BadFilter(i64, Unfiltered),
    /// The finder is neither capped nor removed.
    OpenFinder(i64, String),
    /// Nobody is named who attends it.
    NobodyThere(i64, String),
    /// The telescope is not on the shelf.
    NoSuchTelescope(i64),
}

impl Shut {
    /// The station it is about.
    #[must_use]
    pub fn station(&self) -> i64 {
        match self {
            Self::SunOnOtherNight(number)
            | Self::SunNotUp(number)
            | Self::NoFilter(number, _)
            | Self::BadFilter(number, _)
            | Self::OpenFinder(number, _)
            | Self::NobodyThere(number, _)
            | Self::NoSuchTelescope(number) => *number,
        }
    }
}

impl fmt::Display for Shut {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::SunOnOtherNight(number) => write!(
                f,
                "Station {number} can't show the Sun: this is not an event for the Sun. Make it one by day, with a filter for every telescope."
            ),
            Self::SunNotUp(number) => write!(
                f,
                "Station {number} can't show the Sun in a half hour in which it is not up, or nobody knows where it stands."
            ),
            Self::NoFilter(number, tag) => write!(
                f,
                "{tag} at station {number} stands in the Sun and has no front filter of its own: add the full-aperture filter that is recorded as fitting it."
            ),
            Self::BadFilter(number, why) => write!(f, "Station {number}: {why}"),
            Self::OpenFinder(number, tag) => write!(
                f,
                "The finder of {tag} at station {number} is neither capped nor removed: do one of the two and tick it."
            ),
            Self::NobodyThere(number, tag) => write!(
                f,
                "Nobody is named who attends {tag} at station {number}: in daylight no telescope stands alone."
            ),
            Self::NoSuchTelescope(number) => {
                write!(f, "The telescope of station {number} is not on the shelf.")
            }
        }
    }
}

/// The gate: leave to write this night, or everything that stands in the way.
///
/// In the Sun, each telescope needs its own full-aperture front filter that is recorded as fitting
/// it, in service, undamaged and tested within the club's limit; its finder capped or removed; and
/// a helper who attends it and nothing else. The Sun itself is a target only of an event for the
/// Sun, at such a station, while it is up.
///
/// # Errors
/// Every reason, station by station.
pub fn judge(case: &Case<'_>) -> Result<Cleared, Vec<Shut>> {
    let mut shut = Vec::new();
    for station in &case.night.stations {
        aims(case, station, &mut shut);
        if case.in_the_sun() || station.aims.contains(&Some(Aim::Sun)) {
            at_station(case, station, &mut shut);
        }
    }
    if shut.is_empty() { Ok(Cleared(())) } else { Err(shut) }
}

fn aims(case: &Case<'_>, station: &Station, shut: &mut Vec<Shut>) {
    let at_sun: Vec<usize> = station
        .aims
        .iter()
        .enumerate()
        .filter(|(_, aim)| **aim == Some(Aim::Sun))
        .map(|(slot, _)| slot)
        .collect();
    if at_sun.is_empty() {
        return;
    }
    if case.night.occasion.purpose != Purpose::Solar {
        shut.push(Shut::SunOnOtherNight(station.number));
    }
    let up = |slot: &usize| {
        let slot = case.hours.and_then(|hours| hours.slots.get(*slot));
        slot.is_some_and(|slot| case.sun.fills(*slot))
    };
    if !at_sun.iter().all(up) {
        shut.push(Shut::SunNotUp(station.number));
    }
}

fn at_station(case: &Case<'_>, station: &Station, shut: &mut Vec<Shut>) {
    let number = station.number;
    let telescope = case.shelf.telescopes.iter().find(|one| one.id == station.telescope);
    let Some(telescope) = telescope else {
        shut.push(Shut::NoSuchTelescope(number));
        return;
    };
    let tag = &telescope.facts.tag;
    let filter = station.filter.and_then(|id| case.shelf.filters.iter().find(|one| one.id == id));
    match filter {
        None => shut.push(Shut::NoFilter(number, tag.to_string())),
        Some(filter) => {
            let days = case.days();
            if !has_sound_filter(telescope, std::slice::from_ref(filter), days) {
                let its_own = filter.figures.kind == FilterKind::SolarFullAperture
                    && filter.figures.fits_telescope.as_ref() == Some(tag);
                let flaw = filter_flaw(filter, telescope, days).filter(|_| its_own);
                let why = flaw.map(|flaw| (filter.facts.tag.clone(), flaw));
                shut.push(Shut::BadFilter(number, Unfiltered { telescope: tag.clone(), why }));
            }
        }
    }
    if station.finder == Finder::Open {
        shut.push(Shut::OpenFinder(number, tag.to_string()));
    }
    let named = station
        .helper
        .is_some_and(|number| case.night.helpers.iter().any(|helper| helper.number == number));
    if !named {
        shut.push(Shut::NobodyThere(number, tag.to_string()));
    }
}
