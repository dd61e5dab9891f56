//! A station put together, changed or taken away by hand.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use sqlx::SqliteConnection;

use super::aim::Aim;
use super::hours::{Sunlight, sky_of};
use super::keeping::{Around, NotKept, around, keep};
use super::model::{Finder, NightId, PublicNight, Purpose, Station};
use super::night_pages::{Did, Sent, lead_act, not_there, settle, text, version};
use super::shown::helper_names;
use super::station_form::{PARTS, called, choose_named, read, sent_item};
use super::station_page::{SlotField, StationPage};
use super::store;
use crate::lending::NotReserved;
use crate::people::access::SignedIn;
use crate::shelf::{FilterKind, ItemId, ItemState, MOST_TO_CHOOSE};
use crate::sky::tonight::{Target, by_promise, showing};
use crate::sky::{Body, Stretch};
use crate::store::Store;
use crate::web::body::{Form, Path};
use crate::web::clock::Clock;
use crate::web::field::{Choice, Field};
use crate::web::frame::Place;
use crate::web::problem::Problem;
use crate::web::site::Site;

/// So many things are offered for a half hour.
const OFFERED: usize = 24;

/// The station that an address names: one that is there, or a new one.
fn number_of(night: &PublicNight, name: &str) -> Result<(i64, bool), Problem> {
    if name == "new" {
        let full = || {
            Problem::conflict("Twelve stations are the most.")
                .way("The public night", format!("/public-nights/{}", night.id))
        };
        return Ok((night.free_number().ok_or_else(full)?, false));
    }
    let number = name.parse().map_err(|_| not_there())?;
    night.station(number).map(|_| (number, true)).ok_or_else(not_there)
}

/// What can be shown in a half hour, the most promising first; the Sun only where it is up in all
/// of it and the night is for it.
fn offered(night: &PublicNight, around: &Around, slot: Stretch, best: &[Target]) -> Vec<Aim> {
    let Some(site) = &around.site else { return Vec::new() };
    let mut aims = Vec::new();
    if night.occasion.purpose == Purpose::Solar && around.sun.fills(slot) {
        aims.push(Aim::Sun);
    }
    let middle = slot.from.later(slot.seconds() / 2.0);
    let up = best
        .iter()
        .map(|target| Aim::Night(*target))
        .filter(|aim| !super::shown::place_of(*aim, middle, site).1);
    aims.extend(up.take(OFFERED));
    aims
}

/// What is worth showing on this night at all: by day the Moon, by night everything that newcomers
/// like.
fn best(night: &PublicNight, around: &Around) -> Vec<Target> {
    let Some(site) = &around.site else { return Vec::new() };
    if around.sun != Sunlight::Down && night.occasion.purpose == Purpose::Solar {
        return vec![Target::Body(Body::Moon)];
    }
    let Ok(sky) = sky_of(&night.occasion, site) else { return Vec::new() };
    let mut all = showing(&sky);
    all.retain(|one| one.rank() >= 2);
    all.sort_by(by_promise);
    all.into_iter().map(|one| one.target).collect()
}

/// The form's fields, as they stand or as they were typed.
struct Chosen<'a> {
    station: Option<&'a Station>,
    sent: Option<&'a Sent>,
}

impl Chosen<'_> {
    fn field(&self, name: &str, kept: impl Fn(&Station) -> Option<i64>) -> Field {
        match (self.sent, self.station) {
            (Some(sent), _) => Field::of(text(sent, name)),
            (None, Some(station)) => {
                Field::of(kept(station).map_or_else(String::new, |id| id.to_string()))
            }
            (None, None) => Field::default(),
        }
    }
}

/// What a list offers; none where that is too much to choose from.
fn few(choices: impl Iterator<Item = Choice>) -> Option<Vec<Choice>> {
    let all: Vec<Choice> = choices.take(MOST_TO_CHOOSE + 1).collect();
    (all.len() <= MOST_TO_CHOOSE).then_some(all)
}

async fn page(
    conn: &mut SqliteConnection,
    who: &SignedIn,
    clock: &Clock,
    night: &PublicNight,
    (name, number, there): (&str, i64, bool),
    sent: Option<&Sent>,
) -> Result<StationPage, Problem> {
    let around = around(conn, night, clock.today()).await?;
    let names = helper_names(conn, &night.helpers).await?;
    let chosen = Chosen { station: night.station(number), sent };
    let elsewhere = |item: ItemId| {
        let others = night.stations.iter().filter(|one| one.number != number);
        others.flat_map(Station::pieces).any(|(_, piece)| piece == item)
    };
    let usable = |id: ItemId, state: ItemState| state == ItemState::InService && !elsewhere(id);
    let shelf = &around.shelf;
    let choice = |id: ItemId, tag: &dyn std::fmt::Display, name: &dyn std::fmt::Display| {
        Choice::new(id.to_string(), format!("{tag} {name}"))
    };
    let telescopes = shelf.telescopes.iter().filter(|one| usable(one.id, one.facts.state));
    let telescopes = few(telescopes.map(|one| choice(one.id, &one.facts.tag, &one.facts.name)));
    let eyepieces = shelf.eyepieces.iter().filter(|one| usable(one.id, one.facts.state));
    let eyepieces = few(eyepieces.map(|one| choice(one.id, &one.facts.tag, &one.facts.name)));
    let filters = shelf.filters.iter().filter(|one| {
        usable(one.id, one.facts.state) && one.figures.kind == FilterKind::SolarFullAperture
    });
    let filters = few(filters.map(|one| choice(one.id, &one.facts.tag, &one.facts.name)));
    let mut named: Vec<ItemId> =
        chosen.station.into_iter().flat_map(Station::pieces).map(|(_, item)| item).collect();
    named.extend(PARTS.iter().filter_map(|(name, _)| sent_item(sent?, name)));
    let named = crate::shelf::names(conn, &named).await?;
    let piece =
        |name: &str, options: &Option<Vec<Choice>>, kept: fn(&Station) -> Option<ItemId>| {
            if options.is_some() {
                return chosen.field(name, |one| kept(one).map(|id| id.0));
            }
            let id = match sent {
                Some(sent) => match text(sent, &called(name)) {
                    "" => sent_item(sent, name),
                    words => return Field::of(words),
                },
                None => chosen.station.and_then(kept),
            };
            let item = named.iter().find(|item| Some(item.id) == id);
            item.map_or_else(Field::default, |item| Field::of(item.tag.as_str()))
        };
    let best = best(night, &around);
    let slots = match &around.hours {
        None => Vec::new(),
        Some(hours) => hours
            .slots
            .iter()
            .enumerate()
            .map(|(at, slot)| {
                let id = format!("slot-{at}");
                let kept = chosen.station.and_then(|one| one.aims.get(at).copied().flatten());
                let value = match sent {
                    Some(sent) => text(sent, &id).to_owned(),
                    None => kept.map_or_else(String::new, |aim| aim.code().to_owned()),
                };
                let mut aims = offered(night, &around, *slot, &best);
                aims.extend(kept.filter(|kept| !aims.contains(kept)));
                let mut options: Vec<Choice> =
                    aims.into_iter().map(|aim| Choice::new(aim.code(), aim.name())).collect();
                if !value.is_empty() && options.iter().all(|one| one.value != value) {
                    options.push(Choice::new(&*value, &*value));
                }
                let label = format!("{} to {}", hours.clock(slot.from), hours.clock(slot.to));
                SlotField { id, label, field: Field::of(value), options }
            })
            .collect(),
    };
    let title = if there { format!("Station {number}") } else { "A new station".to_owned() };
    let action = format!("/public-nights/{}/stations/{name}", night.id);
    Ok(StationPage {
        frame: who.visit.frame(title).at(Place::PublicNights).returning_to(action.clone()),
        back: format!("/public-nights/{}", night.id),
        night: night.occasion.name.to_string(),
        action,
        version: night.version,
        there,
        in_the_sun: around.case(night).in_the_sun(),
        telescope: piece("telescope", &telescopes, |one| Some(one.telescope)),
        telescopes,
        eyepiece: piece("eyepiece", &eyepieces, |one| one.eyepiece),
        spare: piece("spare", &eyepieces, |one| one.spare),
        eyepieces,
        filter: piece("filter", &filters, |one| one.filter),
        filters,
        helper: chosen.field("helper", |one| one.helper),
        helpers: names.iter().map(|(id, name)| Choice::new(id.to_string(), &**name)).collect(),
        finder: match (sent, chosen.station) {
            (Some(sent), _) => Field::of(text(sent, "finder")),
            (None, Some(station)) => Field::of(station.finder.as_str()),
            (None, None) => Field::of(Finder::Open.as_str()),
        },
        finders: Finder::ALL.iter().map(|one| Choice::new(one.as_str(), one.label())).collect(),
        slots,
        refusals: Vec::new(),
    })
}

/// `GET /public-nights/{id}/stations/{number}`; `new` for one more.
///
/// # Errors
/// 404 where there is no such night or station.
pub async fn form(
    State(db): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path((id, name)): Path<(i64, String)>,
) -> Result<StationPage, Problem> {
    let mut conn = db.reader().acquire().await?;
    let night = store::night(&mut conn, NightId(id)).await?;
    let (number, there) = number_of(&night, &name)?;
    page(&mut conn, &who, &clock, &night, (&name, number, there), None).await
}

/// `POST /public-nights/{id}/stations/{number}`
///
/// # Errors
/// 404 where there is no such night or station.
pub async fn save(
    State(db): State<Store>,
    State(clock): State<Clock>,
    State(site): State<Site>,
    who: SignedIn,
    Path((id, name)): Path<(i64, String)>,
    Form(mut sent): Form<Sent>,
) -> Result<Response, Problem> {
    let act = lead_act(&who.account, &clock)?;
    let mut tx = db.write().await?;
    let before = store::night(&mut tx, NightId(id)).await?;
    let (number, there) = number_of(&before, &name)?;
    let unnamed = choose_named(&mut tx, &mut sent).await?;
    let mut night = PublicNight { version: version(&sent), ..before.clone() };
    let place = (&*name, number, there);
    let removes = !text(&sent, "remove").is_empty();
    if removes {
        night.stations.retain(|one| one.number != number);
    } else {
        match read(&sent, number, night.occasion.slots(), unnamed) {
            Err(slips) => {
                let mut page = page(&mut tx, &who, &clock, &before, place, Some(&sent)).await?;
                for (name, why) in slips {
                    match &*name {
                        "telescope" => page.telescope.refuse(why),
                        "eyepiece" => page.eyepiece.refuse(why),
                        "spare" => page.spare.refuse(why),
                        "filter" => page.filter.refuse(why),
                        _ => {
                            if let Some(slot) = page.slots.iter_mut().find(|one| one.id == name) {
                                slot.field.refuse(why);
                            }
                        }
                    }
                }
                return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
            }
            Ok(station) => {
                night.stations.retain(|one| one.number != number);
                night.stations.push(station);
                night.stations.sort_by_key(|one| one.number);
            }
        }
    }
    match keep(&mut tx, &clock, night, &act).await {
        Err(why) if !removes => {
            drop(tx);
            let mut conn = db.reader().acquire().await?;
            let mut page = page(&mut conn, &who, &clock, &before, place, Some(&sent)).await?;
            page.refusals = match why {
                NotKept::Sun(shut) => shut.iter().map(ToString::to_string).collect(),
                NotKept::Failed(store::NightError::Stale) => vec![
                    "This was changed meanwhile, so nothing was saved yet. What you chose still stands below; save again and it counts."
                        .to_owned(),
                ],
                NotKept::Pieces(NotReserved::Failed(_))
                | NotKept::Failed(_)
                | NotKept::Site(_)
                | NotKept::Shelf(_) => return Err(why.into()),
                other => vec![other.to_string()],
            };
            Ok((StatusCode::CONFLICT, page).into_response())
        }
        outcome => {
            let deed = if removes { "station taken away" } else { "station changed by hand" };
            let detail = format!("station {number}");
            let did = Did { detail, ..Did::the(deed, "?done=saved#plan") };
            settle((&db, &clock, &site), &who, id, (tx, outcome), did).await
        }
    }
}
