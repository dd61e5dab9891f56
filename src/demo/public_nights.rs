//! The demo club's public nights: the Moon for a school in November, a dark field in August, the
//! Sun on the green.

use std::collections::BTreeSet;

use jiff::civil::{Date, Time, Weekday, time};
use jiff::{Span, ToSpan as _};

use super::DemoError;
use crate::lending::machine::Hat;
use crate::lending::{Act, Doer, Night};
use crate::observing::sites::{KeptSite, sites};
use crate::people::rights::Role;
use crate::people::{MemberNumber, account, member_by_number};
use crate::public_night::aim::Aim;
use crate::public_night::hours::{Hours, sky_of};
use crate::public_night::keeping::keep;
use crate::public_night::model::{
    Finder, Helper, Lighting, NightState, Occasion, Power, PublicNight, Purpose, Setting, Station,
};
use crate::public_night::shown::place_of;
use crate::public_night::store;
use crate::sheet::{Name, Notes};
use crate::shelf::{AssetTag, ItemId, tagged};
use crate::sky::tonight::{Target, by_promise, showing};
use crate::sky::{Body, Frame, sighting};
use crate::store::WriteTx;
use crate::web::clock::Clock;

fn odd(why: impl std::fmt::Display) -> DemoError {
    DemoError::Desk(why.to_string())
}

/// Telescope, eyepiece, spare and filter of a station, by tag.
type Set = (&'static str, &'static str, &'static str, Option<&'static str>);

/// A public night of the demo club.
struct Planned {
    name: &'static str,
    date: Date,
    hours: (Time, Time),
    site: KeptSite,
    purpose: Purpose,
    crowd: (u32, u32, u32),
    helpers: &'static [&'static str],
    sets: &'static [Set],
    lighting: Lighting,
    notes: &'static str,
}

/// Prepares the three; `friday` is the reference Friday, moved.
pub(super) async fn prepare(
    tx: &mut WriteTx,
    clock: &Clock,
    friday: Date,
) -> Result<(), DemoError> {
    let all = sites(tx).await?;
    let [hill, meadow] = &all[..] else { return Err(odd("the demo club has two sites")) };
    let nights = [
        Planned {
            name: "Moon over the school",
            date: lit_evening(friday, 11, hill, 0.45..0.9)?,
            hours: (time(18, 0, 0, 0), time(20, 30, 0, 0)),
            site: hill.clone(),
            purpose: Purpose::Evening,
            crowd: (90, 60, 1),
            helpers: &["Wren", "Tove", "Idris", "Maren"],
            sets: &[
                ("T-014", "E-014", "E-008", None),
                ("T-004", "E-012", "E-005", None),
                ("T-009", "E-027", "E-026", None),
                ("T-018", "E-013", "E-025", None),
            ],
            lighting: Lighting::Dimmed,
            notes: "The caretaker switches the yard's lamps off at six.",
        },
        Planned {
            name: "A dark field in August",
            date: lit_evening(friday, 8, meadow, 0.0..0.12)?,
            hours: (time(22, 30, 0, 0), time(1, 0, 0, 0)),
            site: meadow.clone(),
            purpose: Purpose::Evening,
            crowd: (45, 8, 0),
            helpers: &["Wren", "Callum", "Ottilie", "Maren"],
            sets: &[
                ("T-001", "E-016", "E-014", None),
                ("T-015", "E-018", "E-010", None),
                ("T-007", "E-017", "E-015", None),
                ("T-020", "E-012", "E-006", None),
            ],
            lighting: Lighting::Dark,
            notes: "Cars park at the gate; nobody drives across the field.",
        },
        Planned {
            name: "The Sun on the green",
            date: later(friday, 15)?,
            hours: (time(11, 0, 0, 0), time(14, 0, 0, 0)),
            site: hill.clone(),
            purpose: Purpose::Solar,
            crowd: (120, 50, 2),
            helpers: &["Tove", "Idris"],
            sets: &[
                ("T-004", "E-017", "E-014", Some("F-01")),
                ("T-009", "E-050", "E-027", Some("F-02")),
            ],
            lighting: Lighting::Lit,
            notes: "Beside the tea tent.",
        },
    ];
    for planned in nights {
        put(tx, clock, planned).await?;
    }
    Ok(())
}

fn later(friday: Date, days: i32) -> Result<Date, DemoError> {
    friday.checked_add(Span::new().days(days)).map_err(odd)
}

/// The Friday or Saturday of the next such month on which the Moon's lit share at nine in the
/// evening comes nearest to the middle of what is wanted, waxing where it is to be seen.
fn lit_evening(
    friday: Date,
    month: i8,
    site: &KeptSite,
    wanted: std::ops::Range<f64>,
) -> Result<Date, DemoError> {
    let soon = later(friday, 21)?;
    let year = if soon.month() > month || (soon.month() == month && soon.day() > 1) {
        soon.year() + 1
    } else {
        soon.year()
    };
    let first = Date::new(year, month, 1).map_err(odd)?;
    let middle = f64::midpoint(wanted.start, wanted.end);
    let mut best: Option<(f64, Date)> = None;
    for at in 0..first.days_in_month() {
        let day = first.checked_add(i32::from(at).days()).map_err(odd)?;
        if !matches!(day.weekday(), Weekday::Friday | Weekday::Saturday) {
            continue;
        }
        let zone = site.site.zone.rules();
        let nine = zone.to_zoned_datetime(day.at(21, 0, 0, 0)).map_err(odd)?.timestamp();
        let at = crate::observing::place::instant(nine).map_err(odd)?;
        let lit = |at| sighting(&Frame::at(at), site.site.place, Body::Moon);
        let share = lit(at).illuminated_fraction.unwrap_or(0.0);
        let wanes = lit(at.later(3_600.0)).illuminated_fraction.unwrap_or(0.0) < share;
        let off = (share - middle).abs() + if wanes && middle > 0.3 { 1.0 } else { 0.0 };
        if best.is_none_or(|(least, _)| off < least) {
            best = Some((off, day));
        }
    }
    best.map(|(_, day)| day).ok_or_else(|| odd("a month without a Friday"))
}

async fn item(tx: &mut WriteTx, tag: &str) -> Result<ItemId, DemoError> {
    let found = tagged(tx, &AssetTag::new(tag).map_err(odd)?).await.map_err(odd)?;
    Ok(found.ok_or_else(|| odd(format!("there is no {tag}")))?.id)
}

async fn put(tx: &mut WriteTx, clock: &Clock, planned: Planned) -> Result<(), DemoError> {
    let occasion = Occasion {
        name: Name::new(planned.name).map_err(odd)?,
        date: planned.date,
        starts: planned.hours.0,
        ends: planned.hours.1,
        site: Some(planned.site.id),
        setting: Setting::Outdoors,
        purpose: planned.purpose,
        visitors: planned.crowd.0,
        children: planned.crowd.1,
        wheelchairs: planned.crowd.2,
        stations: u8::try_from(planned.sets.len()).map_err(odd)?,
        power: Power::Nothing,
        lighting: planned.lighting,
        rain_date: Some(later(planned.date, 7)?),
        notes: Notes::new(planned.notes).map_err(odd)?,
    };
    let id = store::add(tx, &occasion, clock.seconds()).await.map_err(odd)?;
    let mut night = store::night(tx, id).await.map_err(odd)?;
    let mut sets = Vec::new();
    for (scope, eyepiece, spare, filter) in planned.sets {
        let filter = match filter {
            Some(tag) => Some(item(tx, tag).await?),
            None => None,
        };
        sets.push((
            item(tx, scope).await?,
            item(tx, eyepiece).await?,
            item(tx, spare).await?,
            filter,
        ));
    }
    let lead = MemberNumber::new("M-103").map_err(odd)?;
    let lead = member_by_number(tx, &lead).await?;
    night.helpers = (1..)
        .zip(planned.helpers)
        .map(|(number, name)| Helper {
            number,
            member: None,
            first_name: (*name).to_owned(),
            ticked: sets.iter().map(|set| set.0).collect::<BTreeSet<_>>(),
        })
        .collect();
    night.helpers.extend(lead.map(|lead| Helper {
        number: 40,
        member: Some(lead.id),
        first_name: String::new(),
        ticked: BTreeSet::new(),
    }));
    let aims = aims(&night, &planned.site, sets.len())?;
    night.stations = (1..)
        .zip(sets)
        .zip(aims)
        .map(|((number, (scope, eyepiece, spare, filter)), aims)| Station {
            eyepiece: Some(eyepiece),
            spare: Some(spare),
            filter,
            helper: Some(number),
            finder: if filter.is_some() { Finder::Capped } else { Finder::Open },
            aims,
            by_hand: false,
            ..Station::with(number, scope)
        })
        .collect();
    night.state = NightState::Announced;
    let account = account::with_role(tx, Role::Outreach).await?.into_iter().next();
    let act = Act {
        doer: Doer { account, hat: Hat::Lead },
        at: clock.seconds(),
        tonight: Night::new(clock.today()).map_err(odd)?,
        reason: String::new(),
    };
    keep(tx, clock, night, &act).await.map_err(odd)?;
    Ok(())
}

/// What each station shows: the most promising things that are up, each station its own, as long
/// as they are up.
fn aims(
    night: &PublicNight,
    site: &KeptSite,
    stations: usize,
) -> Result<Vec<Vec<Option<Aim>>>, DemoError> {
    let hours = Hours::of(&night.occasion, site.site.zone.rules()).map_err(odd)?;
    if night.occasion.purpose == Purpose::Solar {
        return Ok(vec![vec![Some(Aim::Sun); hours.slots.len()]; stations]);
    }
    let sky = sky_of(&night.occasion, &site.site).map_err(odd)?;
    let mut best = showing(&sky);
    best.retain(|one| one.rank() >= 2);
    best.sort_by(by_promise);
    let best: Vec<Target> = best.into_iter().map(|one| one.target).collect();
    let mut all = vec![Vec::new(); stations];
    for slot in &hours.slots {
        let middle = slot.from.later(slot.seconds() / 2.0);
        let up = |aim: Aim| !place_of(aim, middle, &site.site).1;
        let mut taken: Vec<Aim> = Vec::new();
        for station in &mut all {
            let before: Option<Aim> = station.last().copied().flatten();
            let stays = before.filter(|aim| up(*aim) && !taken.contains(aim));
            let next = || {
                best.iter()
                    .map(|target| Aim::from(*target))
                    .find(|aim| up(*aim) && !taken.contains(aim))
            };
            let aim = stays.or_else(next);
            taken.extend(aim);
            station.push(aim);
        }
    }
    Ok(all)
}
