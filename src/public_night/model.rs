//! A public night: what the outreach lead says of it, who helps and what stands where. Pure.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use jiff::civil::{Date, Time};

use super::aim::Aim;
pub use super::kinds::{Finder, Lighting, NightState, Part, Power, Purpose, Setting};
use crate::lending::ReservationId;
use crate::observing::sites::SiteId;
use crate::people::MemberId;
use crate::sheet::{Name, Notes};
use crate::shelf::ItemId;

/// Names one public night in the database.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NightId(pub i64);

impl fmt::Display for NightId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// What the lead says of a public night.
#[derive(Debug, Clone, PartialEq)]
pub struct Occasion {
    /// What it is called.
    pub name: Name,
    /// The day on which it begins, by the site's clocks.
    pub date: Date,
    /// When visitors come, by the site's clocks.
    pub starts: Time,
    /// When they go; at or before the start it is on the next day.
    pub ends: Time,
    /// Where; none where the site is gone.
    pub site: Option<SiteId>,
    /// Under the sky or in a hall.
    pub setting: Setting,
    /// What it is for.
    pub purpose: Purpose,
    /// How many visitors are expected, children included.
    pub visitors: u32,
    /// How many of them are children.
    pub children: u32,
    /// How many of them come in a wheelchair.
    pub wheelchairs: u32,
    /// How many stations are wanted.
    pub stations: u8,
    /// Power.
    pub power: Power,
    /// Lighting.
    pub lighting: Lighting,
    /// The day in its place if it rains.
    pub rain_date: Option<Date>,
    /// Anything else.
    pub notes: Notes,
}

impl Occasion {
    /// Most stations.
    pub const MOST_STATIONS: u8 = 12;
    /// Most visitors.
    pub const MOST_VISITORS: u32 = 5_000;
    /// The longest public night, in minutes.
    pub const LONGEST_MIN: i64 = 720;
    /// A station keeps to one target for so long, in minutes.
    pub const SLOT_MIN: i64 = 30;

    /// How long it lasts by the clock, in minutes; 1–1,440.
    pub fn minutes(&self) -> i64 {
        let of_day = |time: Time| i64::from(time.hour()) * 60 + i64::from(time.minute());
        let between = of_day(self.ends) - of_day(self.starts);
        if between > 0 { between } else { between + 1_440 }
    }

    /// The day on which it ends.
    pub fn last_day(&self) -> Date {
        if self.ends > self.starts { self.date } else { self.date.tomorrow().unwrap_or(self.date) }
    }

    /// How many half hours it has, the last one perhaps shorter; 1–24.
    pub fn slots(&self) -> usize {
        let slots = (self.minutes() + Self::SLOT_MIN - 1) / Self::SLOT_MIN;
        usize::try_from(slots.clamp(1, 24)).unwrap_or(1)
    }

    /// The evenings whose nights it touches: a night runs from noon to noon.
    pub fn evenings(&self) -> (Date, Date) {
        let noon = Time::constant(12, 0, 0, 0);
        let before = |day: Date| day.yesterday().unwrap_or(day);
        let first = if self.starts < noon { before(self.date) } else { self.date };
        let last = self.last_day();
        let last = if self.ends <= noon { before(last) } else { last };
        (first, last.max(first))
    }
}

/// Somebody who helps.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Helper {
    /// Their number on this night.
    pub number: i64,
    /// The member; none for a guest.
    pub member: Option<MemberId>,
    /// What a guest is called; empty for a member.
    pub first_name: String,
    /// The telescopes that the lead ticked for them.
    pub ticked: BTreeSet<ItemId>,
}

/// One station.
#[derive(Debug, Clone, PartialEq)]
pub struct Station {
    /// Its number, 1–12.
    pub number: i64,
    /// The telescope.
    pub telescope: ItemId,
    /// The one eyepiece in it.
    pub eyepiece: Option<ItemId>,
    /// The eyepiece that waits in a pocket.
    pub spare: Option<ItemId>,
    /// The front filter for the Sun.
    pub filter: Option<ItemId>,
    /// Who attends it.
    pub helper: Option<i64>,
    /// What was done with its finder.
    pub finder: Finder,
    /// What it shows in each half hour.
    pub aims: Vec<Option<Aim>>,
    /// Why it was chosen so.
    pub why: Vec<String>,
    /// Whether somebody changed it by hand.
    pub by_hand: bool,
}

impl Station {
    /// An empty station with this telescope.
    pub fn with(number: i64, telescope: ItemId) -> Self {
        Self {
            number,
            telescope,
            eyepiece: None,
            spare: None,
            filter: None,
            helper: None,
            finder: Finder::Open,
            aims: Vec::new(),
            why: Vec::new(),
            by_hand: true,
        }
    }

    /// Its pieces with the part that each plays.
    pub fn pieces(&self) -> impl Iterator<Item = (Part, ItemId)> {
        [
            (Part::Telescope, Some(self.telescope)),
            (Part::Eyepiece, self.eyepiece),
            (Part::Spare, self.spare),
            (Part::Filter, self.filter),
        ]
        .into_iter()
        .filter_map(|(part, item)| Some((part, item?)))
    }
}

/// A public night with all that belongs to it.
#[derive(Debug, Clone, PartialEq)]
pub struct PublicNight {
    /// Its number.
    pub id: NightId,
    /// Counts the changes.
    pub version: i64,
    /// How far it has come.
    pub state: NightState,
    /// The reservation of its pieces.
    pub reservation: Option<ReservationId>,
    /// What opens its public page; none where there is none.
    pub slug: Option<String>,
    /// What the lead says.
    pub occasion: Occasion,
    /// Who helps, by number.
    pub helpers: Vec<Helper>,
    /// What stands where, by number.
    pub stations: Vec<Station>,
    /// What the planner said of the whole.
    pub told: Vec<String>,
}

impl PublicNight {
    /// Every piece that its stations need, each once.
    pub fn pieces(&self) -> Vec<ItemId> {
        let all: BTreeSet<ItemId> =
            self.stations.iter().flat_map(|one| one.pieces().map(|(_, item)| item)).collect();
        all.into_iter().collect()
    }

    /// The station of this number.
    pub fn station(&self, number: i64) -> Option<&Station> {
        self.stations.iter().find(|one| one.number == number)
    }

    /// The first number that no station has; none where all are taken.
    pub fn free_number(&self) -> Option<i64> {
        (1..=i64::from(Occasion::MOST_STATIONS)).find(|number| self.station(*number).is_none())
    }

    /// What is wrong with its stations among themselves.
    pub fn muddles(&self) -> Vec<Muddle> {
        let mut found = Vec::new();
        let mut places: BTreeMap<ItemId, i64> = BTreeMap::new();
        for station in &self.stations {
            for (_, item) in station.pieces() {
                if let Some(other) = places.insert(item, station.number) {
                    found.push(Muddle::Twice(item, other, station.number));
                }
            }
            let known = |number: i64| self.helpers.iter().any(|helper| helper.number == number);
            if station.helper.is_some_and(|number| !known(number)) {
                found.push(Muddle::NoSuchHelper(station.number));
            }
        }
        let mut attending: BTreeMap<i64, i64> = BTreeMap::new();
        for station in &self.stations {
            let Some(helper) = station.helper else { continue };
            if let Some(other) = attending.insert(helper, station.number) {
                found.push(Muddle::TwoPlaces(other, station.number));
            }
        }
        if self.stations.len() > usize::from(Occasion::MOST_STATIONS) {
            found.push(Muddle::TooMany);
        }
        found
    }
}

/// Stations that don't go together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum Muddle {
    /// A piece is in two places.
    #[error("A piece can't be in two places: stations {1} and {2} share one.")]
    Twice(ItemId, i64, i64),
    /// A helper is in two places.
    #[error("Nobody can attend two stations: {0} and {1} name the same helper.")]
    TwoPlaces(i64, i64),
    /// The helper is not on the list.
    #[error("Station {0} names a helper who is not on this night's list.")]
    NoSuchHelper(i64),
    /// More stations than there may be.
    #[error("Twelve stations are the most.")]
    TooMany,
}

/// What the club lets a public night come before.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Priority {
    /// How far ahead its pieces may be reserved, in nights; 1–366.
    pub ahead_nights: i32,
    /// Whether it comes before requests that nobody has approved yet.
    pub before_requests: bool,
    /// Counts the changes.
    pub version: i64,
}

/// A night for tests: two and a quarter hours of a November evening, nothing planned yet.
#[cfg(test)]
pub(crate) fn sample() -> PublicNight {
    use jiff::civil::{date, time};
    let occasion = Occasion {
        name: Name::new("Moon over the school").unwrap(),
        date: date(2026, 11, 20),
        starts: time(18, 0, 0, 0),
        ends: time(20, 15, 0, 0),
        site: None,
        setting: Setting::Outdoors,
        purpose: Purpose::Evening,
        visitors: 90,
        children: 60,
        wheelchairs: 1,
        stations: 4,
        power: Power::Nothing,
        lighting: Lighting::Dimmed,
        rain_date: None,
        notes: Notes::default(),
    };
    PublicNight {
        id: NightId(1),
        version: 1,
        state: NightState::Draft,
        reservation: None,
        slug: None,
        occasion,
        helpers: Vec::new(),
        stations: Vec::new(),
        told: Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::{date, time};

    fn occasion() -> Occasion {
        sample().occasion
    }

    #[test]
    fn half_hours_and_evenings_follow_the_clock() {
        let evening = occasion();
        assert_eq!((evening.minutes(), evening.slots()), (135, 5));
        assert_eq!(evening.evenings(), (evening.date, evening.date));
        let late = Occasion { starts: time(22, 0, 0, 0), ends: time(1, 0, 0, 0), ..occasion() };
        assert_eq!((late.minutes(), late.last_day()), (180, date(2026, 11, 21)));
        assert_eq!(late.evenings(), (date(2026, 11, 20), date(2026, 11, 20)));
        // By day it touches the night before and, after noon, the one to come.
        let fair = Occasion { starts: time(10, 0, 0, 0), ends: time(15, 0, 0, 0), ..occasion() };
        assert_eq!(fair.evenings(), (date(2026, 11, 19), date(2026, 11, 20)));
        let morning = Occasion { starts: time(10, 0, 0, 0), ends: time(12, 0, 0, 0), ..occasion() };
        assert_eq!(morning.evenings(), (date(2026, 11, 19), date(2026, 11, 19)));
        let whole = Occasion { starts: time(9, 0, 0, 0), ends: time(9, 0, 0, 0), ..occasion() };
        assert_eq!(whole.minutes(), 1_440);
    }

    #[test]
    fn nothing_and_nobody_stands_in_two_places() {
        let helper = |number| Helper {
            number,
            member: None,
            first_name: "Wren".into(),
            ticked: BTreeSet::new(),
        };
        let station = |number, telescope, eyepiece, who| Station {
            eyepiece: Some(ItemId(eyepiece)),
            helper: Some(who),
            ..Station::with(number, ItemId(telescope))
        };
        let night =
            |stations| PublicNight { helpers: vec![helper(1), helper(2)], stations, ..sample() };
        let good = night(vec![station(1, 10, 20, 1), station(2, 11, 21, 2)]);
        assert_eq!(good.muddles(), []);
        assert_eq!(good.free_number(), Some(3));
        let shared = night(vec![station(1, 10, 20, 1), station(2, 11, 20, 2)]);
        assert_eq!(shared.muddles(), [Muddle::Twice(ItemId(20), 1, 2)]);
        let torn = night(vec![station(1, 10, 20, 1), station(2, 11, 21, 1)]);
        assert_eq!(torn.muddles(), [Muddle::TwoPlaces(1, 2)]);
        let stranger = night(vec![station(1, 10, 20, 7)]);
        assert_eq!(stranger.muddles(), [Muddle::NoSuchHelper(1)]);
    }
}
