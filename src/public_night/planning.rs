//! The plan of a public night, chosen: which telescope, eyepiece, helper and target stand at which
//! station. The shelf and the sky are read first, the choice is made off the threads that serve
//! connections with nothing locked, and what comes out goes through the same door as any hand.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;
use sqlx::SqliteConnection;

use super::aim::Aim;
use super::keeping::{Around, NotKept, around, nights_of};
use super::model::{Finder, PublicNight, Purpose, Station};
use super::planning_told::{reasons, told};
use super::shown::helper_names;
use crate::kit::Settings;
use crate::kit::SunFilter;
use crate::kit::sight::Air;
use crate::kit::stations::evening::{Evening, Show, StationTelescope, prepare};
use crate::kit::stations::height::Places;
use crate::kit::stations::look::Showable;
use crate::kit::stations::{self, Helper};
use crate::lending::reading::whole;
use crate::lending::{has_sound_filter, spoken_for_each};
use crate::observing::place::noon;
use crate::optics::Eyepiece;
use crate::shelf::{EyepieceRecord, FilterRecord, ItemId, ItemState, TelescopeRecord};
use crate::sky::Night;

/// What a plan is chosen from, read at one moment.
#[derive(Debug)]
pub struct Ground {
    night: PublicNight,
    around: Around,
    telescopes: Vec<TelescopeRecord>,
    eyepieces: Vec<EyepieceRecord>,
    filters: Vec<FilterRecord>,
    names: BTreeMap<i64, String>,
    runs: BTreeMap<i64, Vec<ItemId>>,
}

/// A plan, not written yet.
#[derive(Debug, Clone, PartialEq)]
pub struct Drafted {
    /// What stands where.
    pub stations: Vec<Station>,
    /// What is to be said of the whole.
    pub told: Vec<String>,
}

/// Why there can be no plan.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NoPlan {
    /// There is nobody to run a station.
    #[error("Add helpers first: every station needs somebody who can run its telescope.")]
    NoHelpers,
    /// Nobody on the list can run any of the telescopes.
    #[error(
        "Nobody on the list can run a telescope that is free on that night: say what the helpers can run."
    )]
    NobodyRuns,
    /// There is no site.
    #[error("Choose the place first: what shows depends on it.")]
    NoSite,
    /// Nothing in store can be used.
    #[error(
        "No telescope is free on that night that could be used: look at what is reserved, and at the filters."
    )]
    NoTelescope,
    /// Nothing shows.
    #[error(
        "Nothing stands high enough in these hours, or nobody on the list can run a telescope that would show it: choose other hours, or say what the helpers can run."
    )]
    Nothing,
}

impl NoPlan {
    /// Where it can be put right: words and address.
    #[must_use]
    pub fn way(&self, night: &PublicNight) -> Option<(String, String)> {
        let (words, place) = match self {
            Self::NoHelpers => ("Add a helper", "#helpers".to_owned()),
            Self::NobodyRuns => match &*night.helpers {
                [only] => ("What the helper can run", format!("/helpers/{}", only.number)),
                _ => ("The helpers, and what each can run", "#helpers".to_owned()),
            },
            Self::NoSite => ("Choose the place", "/edit".to_owned()),
            Self::Nothing => ("Other hours", "/edit".to_owned()),
            Self::NoTelescope => return None,
        };
        Some((words.to_owned(), format!("/public-nights/{}{place}", night.id)))
    }
}

/// Reads what a plan is chosen from: pieces in service that are free on those nights, or kept for
/// this very night.
///
/// # Errors
/// The database could not answer.
pub async fn ground(
    conn: &mut SqliteConnection,
    night: &PublicNight,
    today: Date,
) -> Result<Ground, NotKept> {
    let around = around(conn, night, today).await?;
    let names = helper_names(conn, &night.helpers).await?;
    let runs = super::runs::of_helpers(conn, &night.helpers, &around.scopes()).await?;
    let own: Vec<ItemId> = match night.reservation {
        None => Vec::new(),
        Some(id) => whole(conn, id)
            .await?
            .filter(|kept| kept.state.keeps_nights())
            .map(|kept| kept.lines.iter().map(|line| line.item.id).collect())
            .unwrap_or_default(),
    };
    let all = around.shelf.ids();
    let taken = spoken_for_each(conn, &all, nights_of(night)?).await?;
    let taken: BTreeSet<ItemId> =
        taken.into_iter().map(|(item, _)| item).filter(|item| !own.contains(item)).collect();
    let usable =
        |id: ItemId, state: ItemState| state == ItemState::InService && !taken.contains(&id);
    let in_the_sun = around.case(night).in_the_sun();
    let days = around.case(night).days();
    let shelf = &around.shelf;
    let filters: Vec<FilterRecord> =
        shelf.filters.iter().filter(|one| usable(one.id, one.facts.state)).cloned().collect();
    let telescopes = shelf
        .telescopes
        .iter()
        .filter(|one| usable(one.id, one.facts.state))
        .filter(|one| !in_the_sun || has_sound_filter(one, &filters, days))
        .cloned()
        .collect();
    let eyepieces =
        shelf.eyepieces.iter().filter(|one| usable(one.id, one.facts.state)).cloned().collect();
    Ok(Ground { night: night.clone(), around, telescopes, eyepieces, filters, names, runs })
}

/// The night that the hours belong to: the one with most of them in it.
fn sky(ground: &Ground) -> Option<Night> {
    let (site, hours) = (ground.around.site.as_ref()?, ground.around.hours.as_ref()?);
    let middle = hours.whole.from.later(hours.whole.seconds() / 2.0);
    let (first, last) = ground.night.occasion.evenings();
    let of = |date: Date| {
        let noon = noon(date, site.zone.rules()).ok()?;
        Some(Night::after(noon, site.place).behind(site.horizon))
    };
    let (first, last) = (of(first)?, of(last)?);
    Some(if first.whole.contains(middle) { first } else { last })
}

/// Chooses the plan; `spent` is asked now and then whether to stop before the proof.
///
/// # Errors
/// [`NoPlan`], in a sentence.
pub fn draft(ground: &Ground, finder: Finder, spent: &dyn Fn() -> bool) -> Result<Drafted, NoPlan> {
    let occasion = &ground.night.occasion;
    if ground.night.helpers.is_empty() {
        return Err(NoPlan::NoHelpers);
    }
    let (Some(site), Some(hours), Some(sky)) =
        (&ground.around.site, &ground.around.hours, sky(ground))
    else {
        return Err(NoPlan::NoSite);
    };
    if ground.telescopes.is_empty() {
        return Err(NoPlan::NoTelescope);
    }
    let is_run =
        |scope: &TelescopeRecord| ground.runs.values().any(|runs| runs.contains(&scope.id));
    if !ground.telescopes.iter().any(is_run) {
        return Err(NoPlan::NobodyRuns);
    }
    let settings = Settings::default();
    let air = Air {
        zenith: site.sky.mag(),
        seeing_arcsec: site.seeing.unwrap_or(settings.seeing_assumed).arcsec(),
    };
    let in_the_sun = ground.around.case(&ground.night).in_the_sun();
    let scopes: Vec<StationTelescope> = ground
        .telescopes
        .iter()
        .map(|one| {
            let heights = one.figures.eyepiece_height;
            StationTelescope {
                optics: one.figures.optics,
                // Only those with a sound filter were let in.
                sun_filter: if in_the_sun { SunFilter::Verified } else { SunFilter::Missing },
                places: heights
                    .min_mm()
                    .zip(heights.max_mm())
                    .map(|(lowest_mm, highest_mm)| Places { lowest_mm, highest_mm }),
            }
        })
        .collect();
    let eyepieces: Vec<Eyepiece> = ground.eyepieces.iter().map(|one| one.figures).collect();
    let helpers = ground
        .night
        .helpers
        .iter()
        .map(|helper| {
            let runs = ground.runs.get(&helper.number);
            let may = |one: &TelescopeRecord| runs.is_some_and(|runs| runs.contains(&one.id));
            Helper { may_run: ground.telescopes.iter().map(may).collect() }
        })
        .collect();
    let evening = Evening {
        night: &sky,
        air,
        slots: &hours.slots,
        show: match occasion.purpose {
            Purpose::Evening => Show::Sky,
            Purpose::Solar => Show::Sun,
        },
        children: occasion.children > 0,
        stations: usize::from(occasion.stations),
        one_seated: occasion.wheelchairs > 0,
    };
    let prepared = prepare(evening, &scopes, &eyepieces, helpers, &settings);
    let plan = stations::choose(&prepared.problem, spent);
    if plan.stations.is_empty() {
        return Err(NoPlan::Nothing);
    }
    let spares = stations::choose_spares(&prepared.problem, &plan);
    let mut made = Vec::new();
    for (at, one) in plan.stations.iter().enumerate() {
        let scope = &ground.telescopes[one.telescope];
        let helper = &ground.night.helpers[one.helper];
        let aims = one
            .targets
            .iter()
            .zip(&hours.slots)
            .map(|(target, slot)| match prepared.targets[(*target)?].showable {
                Showable::Sky(showing) => Some(Aim::from(showing.target)),
                // What the gate would refuse is not planned.
                Showable::Sun => ground.around.sun.fills(*slot).then_some(Aim::Sun),
            })
            .collect();
        let before = ground.night.stations.iter().find(|other| other.telescope == scope.id);
        let filter = in_the_sun.then(|| own_filter(ground, scope)).flatten();
        made.push(Station {
            eyepiece: Some(ground.eyepieces[one.eyepiece].id),
            spare: spares.get(at).copied().flatten().map(|spare| ground.eyepieces[spare].id),
            filter,
            helper: Some(helper.number),
            finder: match before.map(|before| before.finder) {
                Some(done) if done != Finder::Open => done,
                _ => finder,
            },
            aims,
            why: reasons(
                &prepared,
                one,
                &ground.eyepieces[one.eyepiece],
                ground.names.get(&helper.number).map_or("", |name| &**name),
                plan.seated == Some(at),
            ),
            by_hand: false,
            ..Station::with(i64::try_from(at + 1).unwrap_or(12), scope.id)
        });
    }
    let tags: Vec<String> = ground.telescopes.iter().map(|one| one.facts.tag.to_string()).collect();
    let wanted = usize::from(occasion.stations);
    Ok(Drafted { stations: made, told: told(&prepared.problem, &plan, &tags, wanted) })
}

/// The sound filter that is a telescope's own.
fn own_filter(ground: &Ground, scope: &TelescopeRecord) -> Option<ItemId> {
    let days = ground.around.case(&ground.night).days();
    let sound = |one: &&FilterRecord| has_sound_filter(scope, std::slice::from_ref(one), days);
    ground.filters.iter().find(sound).map(|one| one.id)
}
