//! A public night as pages and programs show it.

use std::collections::{BTreeMap, HashMap};

use jiff::civil::Date;
use sqlx::SqliteConnection;

use super::aim::Aim;
use super::gate::judge;
use super::hours::{Hours, stands};
use super::keeping::{Around, NotKept, around};
use super::model::{Finder, Helper, NightState, PublicNight, Purpose, Station};
use super::queues::{self, StationQueue, queues, reach_over};
pub use super::wording::{crowd, hours_of};
use super::wording::{facts, sun_says};
use crate::observing::plan::direction;
use crate::observing::sites::ObservingSite;
use crate::people::{self, MemberId};
use crate::shelf::{self, ItemId, ItemName};
use crate::web::format;

/// A piece as a page names it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PieceShown {
    /// Its number.
    pub id: i64,
    /// The code on its label.
    pub tag: String,
    /// What it is called.
    pub name: String,
    /// Its page.
    pub address: String,
}

/// What a station shows in one half hour.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SlotShown {
    /// When it begins: `18:30`.
    pub time: String,
    /// What it shows; empty where nothing is planned.
    pub name: String,
    /// Where that stands: "41° high in the south-east".
    pub place: String,
    /// Whether trees, roofs or the ground hide it.
    pub hidden: bool,
    /// Whether it is the same as in the half hour before.
    pub again: bool,
}

/// A station as a page shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StationShown {
    /// Its number.
    pub number: i64,
    /// The telescope.
    pub telescope: PieceShown,
    /// The eyepiece in it.
    pub eyepiece: Option<PieceShown>,
    /// The one in reserve.
    pub spare: Option<PieceShown>,
    /// The front filter.
    pub filter: Option<PieceShown>,
    /// Who attends it.
    pub helper: Option<String>,
    /// What was done with the finder, in the Sun.
    pub finder: &'static str,
    /// Whether that is enough.
    pub finder_done: bool,
    /// What it shows, half hour by half hour; empty while the gate before the Sun is shut.
    pub slots: Vec<SlotShown>,
    /// Why it was chosen so.
    pub why: Vec<String>,
    /// Who reaches its eyepiece.
    pub reach: Vec<String>,
    /// How many it serves and how long they wait; empty where nobody can say.
    pub queue: String,
    /// Whether somebody changed it by hand.
    pub by_hand: bool,
    /// Its form.
    pub address: String,
}

/// A helper as a page shows them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HelperShown {
    /// Their number on this night.
    pub number: i64,
    /// What they are called.
    pub name: String,
    /// The telescopes they can run, by tag.
    pub runs: Vec<String>,
}

/// A public night as a page shows it.
#[derive(Clone, Debug, PartialEq)]
pub struct NightShown {
    /// Its number.
    pub id: i64,
    /// Its version.
    pub version: i64,
    /// What it is called.
    pub name: String,
    /// "Friday 20 November 2026".
    pub date: String,
    /// "18:00 to 20:15".
    pub hours: String,
    /// Where.
    pub site: String,
    /// How far it has come.
    pub state: NightState,
    /// Whether it is for the Sun.
    pub solar: bool,
    /// Whether telescopes stand in the Sun.
    pub in_the_sun: bool,
    /// What the Sun does meanwhile, in one sentence.
    pub sun: String,
    /// "90 visitors, 60 of them children".
    pub crowd: String,
    /// Why the plan must not be used; empty where it may.
    pub shut: Vec<String>,
    /// Power, light, rain and notes, each a label and a value.
    pub facts: Vec<(&'static str, String)>,
    /// Whether there is a day in its place if it rains.
    pub has_rain_date: bool,
    /// The beginnings of the half hours.
    pub times: Vec<String>,
    /// Who helps.
    pub helpers: Vec<HelperShown>,
    /// What stands where.
    pub stations: Vec<StationShown>,
    /// What the planner said of the whole.
    pub told: Vec<String>,
    /// How long people wait in all, and what would change it.
    pub queues: Vec<String>,
    /// A warning where wheelchairs come and nothing is known to be within reach.
    pub seated: Option<String>,
}

impl NightShown {
    /// Its page.
    #[must_use]
    pub fn address(&self) -> String {
        format!("/public-nights/{}", self.id)
    }

    /// Whether there is a plan that may be used.
    #[must_use]
    pub fn has_plan(&self) -> bool {
        !self.stations.is_empty() && self.shut.is_empty()
    }
}

/// Where something stands at an instant, and whether anything hides it.
#[must_use]
pub fn place_of(aim: Aim, at: crate::sky::Instant, site: &ObservingSite) -> (String, bool) {
    let stands = stands(aim, at, site.place);
    let altitude = stands.altitude_deg;
    let hidden = altitude < site.horizon.altitude_deg(stands.azimuth_deg).max(0.0);
    if altitude < 0.0 {
        return ("under the horizon".to_owned(), true);
    }
    let side = direction(stands.azimuth_deg);
    let place = if hidden {
        format!("{altitude:.0}° high in the {side}, behind the skyline")
    } else if altitude > 80.0 {
        "almost overhead".to_owned()
    } else {
        format!("{altitude:.0}° high in the {side}")
    };
    (place, hidden)
}

/// The names of helpers, by number.
///
/// # Errors
/// The database could not answer.
pub async fn helper_names(
    conn: &mut SqliteConnection,
    helpers: &[Helper],
) -> Result<BTreeMap<i64, String>, NotKept> {
    let members: Vec<MemberId> = helpers.iter().filter_map(|helper| helper.member).collect();
    let names: HashMap<MemberId, String> = people::names::of_members(conn, members)
        .await
        .map_err(crate::lending::LendingError::from)?;
    Ok(helpers
        .iter()
        .map(|helper| {
            let name = match helper.member {
                None => helper.first_name.clone(),
                Some(member) => names
                    .get(&member)
                    .filter(|name| !name.is_empty())
                    .cloned()
                    .unwrap_or_else(|| "somebody who left".to_owned()),
            };
            (helper.number, name)
        })
        .collect())
}

/// Shows a public night.
///
/// # Errors
/// The database could not answer.
pub async fn show(
    conn: &mut SqliteConnection,
    night: &PublicNight,
    today: Date,
) -> Result<NightShown, NotKept> {
    let around = around(conn, night, today).await?;
    let names = helper_names(conn, &night.helpers).await?;
    let mut wanted = night.pieces();
    wanted.extend(night.helpers.iter().flat_map(|helper| helper.ticked.iter().copied()));
    let pieces: BTreeMap<ItemId, ItemName> =
        shelf::names(conn, &wanted).await?.into_iter().map(|item| (item.id, item)).collect();
    let runs = super::runs::of_helpers(conn, &night.helpers, &around.scopes()).await?;
    Ok(shown(night, &around, &names, &pieces, &runs))
}

/// Shows it from what was read.
#[must_use]
pub fn shown(
    night: &PublicNight,
    around: &Around,
    names: &BTreeMap<i64, String>,
    pieces: &BTreeMap<ItemId, ItemName>,
    runs: &BTreeMap<i64, Vec<ItemId>>,
) -> NightShown {
    let case = around.case(night);
    let shut = judge(&case).err().unwrap_or_default();
    let open = shut.is_empty();
    let waits = if open { queues(night, around) } else { Vec::new() };
    let occasion = &night.occasion;
    let tag_of = |item: &ItemId| {
        let scope = around.shelf.telescopes.iter().find(|one| one.id == *item);
        scope.map(|scope| scope.facts.tag.to_string())
    };
    NightShown {
        id: night.id.0,
        version: night.version,
        name: occasion.name.to_string(),
        date: format::night(occasion.date),
        hours: hours_of(occasion),
        site: around
            .site
            .as_ref()
            .map_or_else(|| "No place chosen".to_owned(), |site| site.name.to_string()),
        state: night.state,
        solar: occasion.purpose == Purpose::Solar,
        in_the_sun: case.in_the_sun(),
        sun: sun_says(night, around),
        crowd: crowd(occasion),
        shut: shut.iter().map(ToString::to_string).collect(),
        facts: facts(occasion),
        has_rain_date: occasion.rain_date.is_some(),
        times: around.hours.as_ref().map(Hours::labels).unwrap_or_default(),
        helpers: night
            .helpers
            .iter()
            .map(|helper| HelperShown {
                number: helper.number,
                name: names.get(&helper.number).cloned().unwrap_or_default(),
                runs: runs
                    .get(&helper.number)
                    .map(|items| items.iter().filter_map(tag_of).collect())
                    .unwrap_or_default(),
            })
            .collect(),
        stations: night
            .stations
            .iter()
            .map(|station| {
                let queue = waits.iter().find(|one| one.number == station.number);
                station_shown((night, station, around), names, pieces, open, queue)
            })
            .collect(),
        told: if open { night.told.clone() } else { Vec::new() },
        queues: queues::together(night, &waits),
        seated: queues::seated_says(night, around),
    }
}

fn station_shown(
    (night, station, around): (&PublicNight, &Station, &Around),
    names: &BTreeMap<i64, String>,
    pieces: &BTreeMap<ItemId, ItemName>,
    open: bool,
    queue: Option<&StationQueue>,
) -> StationShown {
    let piece = |id: ItemId| {
        pieces.get(&id).map_or_else(
            || PieceShown {
                id: id.0,
                tag: id.to_string(),
                name: "no longer on the shelf".to_owned(),
                address: "/shelf".to_owned(),
            },
            |item| PieceShown {
                id: id.0,
                tag: item.tag.to_string(),
                name: item.name.clone(),
                address: item.tag.page(),
            },
        )
    };
    StationShown {
        number: station.number,
        telescope: piece(station.telescope),
        eyepiece: station.eyepiece.map(piece),
        spare: station.spare.map(piece),
        filter: station.filter.map(piece),
        helper: station.helper.and_then(|number| names.get(&number).cloned()),
        finder: station.finder.label(),
        finder_done: station.finder != Finder::Open,
        slots: if open { slots(station, around) } else { Vec::new() },
        why: station.why.clone(),
        reach: if open { reach_over(station, around) } else { Vec::new() },
        queue: queue.map_or_else(String::new, queues::says),
        by_hand: station.by_hand,
        address: format!("/public-nights/{}/stations/{}", night.id, station.number),
    }
}

fn slots(station: &Station, around: &Around) -> Vec<SlotShown> {
    let (Some(hours), Some(site)) = (&around.hours, &around.site) else { return Vec::new() };
    let mut before = None;
    station
        .aims
        .iter()
        .zip(&hours.slots)
        .map(|(aim, slot)| {
            let again = aim.is_some() && *aim == before;
            before = *aim;
            let middle = slot.from.later(slot.seconds() / 2.0);
            let (place, hidden) = aim.map(|aim| place_of(aim, middle, site)).unwrap_or_default();
            SlotShown {
                time: hours.clock(slot.from),
                name: aim.map(Aim::name).unwrap_or_default(),
                place,
                hidden,
                again,
            }
        })
        .collect()
}
