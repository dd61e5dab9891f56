//! Run sheet, station cards, packing list and the inspection before the Sun. While the gate before
//! the Sun is shut, all of them say so and nothing else.

use axum::extract::State;
use serde::Deserialize;
use sqlx::SqliteConnection;

use super::aim::Aim;
use super::hours::stands;
use super::keeping::{Around, around};
use super::loads::{Heavy, loads};
use super::looks;
use super::model::{NightId, Occasion, Power, PublicNight, Setting, Station};
use super::night_pages::cautions;
use super::print_page::{
    CardsPage, Inspected, InspectionPage, Load, PackingPage, RunLine, RunSheetPage, StopCard,
};
use super::queues;
use super::shown::{NightShown, PieceShown, StationShown, show};
use super::store;
use crate::lending::cautions::{Topic, about};
use crate::people::access::SignedIn;
use crate::store::Store;
use crate::web::body::{Path, Query};
use crate::web::clock::Clock;
use crate::web::format;
use crate::web::frame::{Frame, Place};
use crate::web::problem::Problem;

async fn read(
    conn: &mut SqliteConnection,
    clock: &Clock,
    id: i64,
) -> Result<(PublicNight, Around, NightShown), Problem> {
    let night = store::night(conn, NightId(id)).await?;
    let around = around(conn, &night, clock.today()).await?;
    let shown = show(conn, &night, clock.today()).await?;
    Ok((night, around, shown))
}

fn frame(who: &SignedIn, title: &str, shown: &NightShown, path: &str) -> Frame {
    who.visit
        .frame(title)
        .at(Place::PublicNights)
        .returning_to(format!("{}/{path}", shown.address()))
}

/// `GET /public-nights/{id}/run-sheet`
///
/// # Errors
/// 404 where there is none.
pub async fn run_sheet(
    State(db): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
) -> Result<RunSheetPage, Problem> {
    let mut conn = db.reader().acquire().await?;
    let (_, _, night) = read(&mut conn, &clock, id).await?;
    let half_hours = night
        .times
        .iter()
        .enumerate()
        .map(|(at, time)| {
            let lines = night.stations.iter().filter_map(|station| line(station, at)).collect();
            (time.clone(), lines)
        })
        .collect();
    Ok(RunSheetPage {
        frame: frame(&who, "Run sheet", &night, "run-sheet"),
        cautions: cautions(night.in_the_sun),
        half_hours,
        night,
    })
}

fn line(station: &StationShown, at: usize) -> Option<RunLine> {
    let slot = station.slots.get(at)?;
    let before = at.checked_sub(1).and_then(|before| station.slots.get(before));
    Some(RunLine {
        number: station.number,
        tag: station.telescope.tag.clone(),
        helper: station.helper.clone().unwrap_or_else(|| "nobody yet".to_owned()),
        shows: if slot.name.is_empty() { "nothing planned".to_owned() } else { slot.name.clone() },
        place: slot.place.clone(),
        turns: before.is_some_and(|before| before.name != slot.name) && !slot.name.is_empty(),
    })
}

/// `GET /public-nights/{id}/cards`
///
/// # Errors
/// 404 where there is none.
pub async fn cards(
    State(db): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
) -> Result<CardsPage, Problem> {
    let mut conn = db.reader().acquire().await?;
    let (kept, around, night) = read(&mut conn, &clock, id).await?;
    let mut all = Vec::new();
    if night.has_plan() {
        for (station, shown) in kept.stations.iter().zip(&night.stations) {
            all.extend(cards_of(station, shown, &around));
        }
    }
    Ok(CardsPage { frame: frame(&who, "Station cards", &night, "cards"), cards: all, night })
}

/// A card for each thing that a station shows, in order.
fn cards_of(station: &Station, shown: &StationShown, around: &Around) -> Vec<StopCard> {
    let (Some(hours), Some(site)) = (&around.hours, &around.site) else { return Vec::new() };
    let mut runs: Vec<(Aim, usize, usize)> = Vec::new();
    for (slot, aim) in station.aims.iter().enumerate() {
        let Some(aim) = *aim else { continue };
        match runs.last_mut() {
            Some((last, _, end)) if *last == aim && *end + 1 == slot => *end = slot,
            _ => runs.push((aim, slot, slot)),
        }
    }
    let through = match (power(station, around), &shown.eyepiece) {
        (Some(power), _) => format!("{}, {power}", shown.telescope.name),
        (None, _) => shown.telescope.name.clone(),
    };
    runs.into_iter()
        .filter_map(|(aim, first, last)| {
            let (from, to) = (hours.slots.get(first)?, hours.slots.get(last)?);
            Some(StopCard {
                number: station.number,
                name: aim.name(),
                when: format!("{} to {}", hours.clock(from.from), hours.clock(to.to)),
                look: looks::words(aim),
                far: looks::far(aim, from.from, site.place).unwrap_or_default(),
                through: through.clone(),
                reach: queues::reaches(
                    station,
                    around,
                    stands(aim, from.from.later(from.seconds() / 2.0), site.place),
                )
                .map(|reach| queues::reach_says(&reach))
                .unwrap_or_default(),
                sun: aim == Aim::Sun,
            })
        })
        .collect()
}

/// "magnified 48×".
fn power(station: &Station, around: &Around) -> Option<String> {
    let scope = around.shelf.telescopes.iter().find(|one| one.id == station.telescope)?;
    let eyepiece = around.shelf.eyepieces.iter().find(|one| Some(one.id) == station.eyepiece)?;
    let view = crate::optics::View::of(&scope.figures.optics, &eyepiece.figures, None);
    Some(format!("magnified {}", format::power(view.magnification().times())))
}

/// What stands after the question mark of the packing list.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct Vehicles {
    vehicles: String,
}

/// `GET /public-nights/{id}/packing`
///
/// # Errors
/// 404 where there is none.
pub async fn packing(
    State(db): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
    Query(asked): Query<Vehicles>,
) -> Result<PackingPage, Problem> {
    let mut conn = db.reader().acquire().await?;
    let (kept, around, night) = read(&mut conn, &clock, id).await?;
    let vehicles = asked.vehicles.trim().parse().unwrap_or(2).clamp(1, 8);
    let heavy: Vec<Heavy> = kept.stations.iter().map(|one| heavy(one, &around)).collect();
    let loads = loads(&heavy, vehicles)
        .into_iter()
        .enumerate()
        .map(|(at, load)| Load {
            number: at + 1,
            mass: format::mass(load.iter().map(|one| heavy[*one].mass_g).sum()),
            stations: load
                .iter()
                .map(|one| (night.stations[*one].number, pieces(&night.stations[*one])))
                .collect(),
            lifting: load.iter().filter_map(|one| lifting(&kept.stations[*one], &around)).collect(),
        })
        .collect();
    Ok(PackingPage {
        frame: frame(&who, "Packing list", &night, "packing"),
        besides: besides(&kept.occasion, night.in_the_sun),
        vehicles,
        loads,
        night,
    })
}

fn heavy(station: &Station, around: &Around) -> Heavy {
    let scope = around.shelf.telescopes.iter().find(|one| one.id == station.telescope);
    let scope = scope.and_then(|one| one.figures.total_mass).map_or(0.0, crate::optics::Mass::g);
    let of = |id| around.shelf.eyepieces.iter().find(|one| Some(one.id) == id);
    let glass = [station.eyepiece, station.spare]
        .into_iter()
        .filter_map(|id| of(id)?.figures.mass().map(crate::optics::Mass::g))
        .sum::<f64>();
    let filter = around.shelf.filters.iter().find(|one| Some(one.id) == station.filter);
    let filter = filter.and_then(|one| one.figures.mass).map_or(0.0, crate::optics::Mass::g);
    Heavy { mass_g: scope + glass + filter }
}

fn pieces(station: &StationShown) -> Vec<PieceShown> {
    let others = [&station.eyepiece, &station.spare, &station.filter];
    std::iter::once(station.telescope.clone())
        .chain(others.into_iter().flatten().cloned())
        .collect()
}

fn lifting(station: &Station, around: &Around) -> Option<String> {
    let scope = around.shelf.telescopes.iter().find(|one| one.id == station.telescope)?;
    let helpers = scope.figures.helpers.map_or(0, crate::shelf::Helpers::count);
    let part = scope.figures.heaviest_part.map(|mass| format::mass(mass.g()));
    let tag = &scope.facts.tag;
    match (part, helpers) {
        (Some(part), 0) => Some(format!("The heaviest part of {tag} weighs {part}.")),
        (Some(part), more) => Some(format!(
            "The heaviest part of {tag} weighs {part}: lift it with {}.",
            format::count(usize::from(more), "helper", "helpers")
        )),
        (None, 0) => None,
        (None, more) => Some(format!(
            "Lift {tag} with {}.",
            format::count(usize::from(more), "helper", "helpers")
        )),
    }
}

/// What comes along for all stations (common practice, no source).
fn besides(occasion: &Occasion, in_the_sun: bool) -> Vec<&'static str> {
    let mut all = vec!["Station cards and run sheet", "A box for lost gloves", "First-aid kit"];
    if in_the_sun {
        all.extend([
            "The inspection list, to be signed before the first look",
            "Shade, water and sun cream for helpers",
        ]);
    } else {
        all.extend(["Red torches for every helper", "Warm clothes, hot drinks"]);
    }
    all.push("Steady steps with a handrail, and somebody who holds them");
    if occasion.children > 0 {
        all.push("Low steps for children; an adult for every telescope");
    }
    if occasion.wheelchairs > 0 {
        all.push("A clear, firm way for wheelchairs to one station at least");
    }
    match occasion.power {
        Power::Mains => all.push("Cables, covered or marked where people walk"),
        Power::Packs => all.push("Power packs, charged and dry"),
        Power::Nothing => {}
    }
    if occasion.setting == Setting::Outdoors {
        all.push("Tape or low lights for tripod legs");
    }
    all
}

/// `GET /public-nights/{id}/inspection`
///
/// # Errors
/// 404 where there is none.
pub async fn inspection(
    State(db): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
) -> Result<InspectionPage, Problem> {
    let mut conn = db.reader().acquire().await?;
    let (kept, around, night) = read(&mut conn, &clock, id).await?;
    let telescopes = kept
        .stations
        .iter()
        .zip(&night.stations)
        .map(|(station, shown)| {
            let filter = around.shelf.filters.iter().find(|one| Some(one.id) == station.filter);
            Inspected {
                number: station.number,
                telescope: shown.telescope.clone(),
                filter: filter.map_or_else(
                    || "none".to_owned(),
                    |filter| match filter.figures.last_light_test {
                        Some(day) => {
                            format!("{}, light test of {}", filter.facts.tag, format::night(day))
                        }
                        None => format!("{}, never tested for leaks of light", filter.facts.tag),
                    },
                ),
                finder: shown.finder,
                attendant: shown.helper.clone().unwrap_or_else(|| "nobody yet".to_owned()),
            }
        })
        .collect();
    Ok(InspectionPage {
        frame: frame(&who, "Inspection before the Sun", &night, "inspection"),
        telescopes,
        caution: about(Topic::Sun),
        night,
    })
}
