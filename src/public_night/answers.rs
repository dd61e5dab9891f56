//! Public nights as programs read them.

use serde::Serialize;
use utoipa::ToSchema;

use super::model::{Occasion, PublicNight};
use super::shown::NightShown;
use super::wire::PlanBody;

/// A public night.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
#[schema(as = PublicNightAnswer)]
pub struct NightAnswer {
    /// Its number.
    pub id: i64,
    /// `draft`, `announced`, `cancelled` or `held`.
    #[schema(example = "announced")]
    pub state: &'static str,
    /// What the lead says of it; the site's number is null where it is gone.
    #[serde(flatten)]
    pub occasion: OccasionAnswer,
    /// The beginnings of its half hours by the site's clocks.
    pub half_hours: Vec<String>,
    /// Whether telescopes stand in the Sun, or may.
    pub in_the_sun: bool,
    /// Why the plan must not be used; empty where it may. While it is not, no targets are told.
    pub shut: Vec<String>,
    /// The reservation of its pieces, for those who prepare public nights.
    pub reservation: Option<i64>,
    /// The plan, for those who prepare public nights.
    pub plan: Option<PlanBody>,
    /// What the planner said of the whole.
    pub told: Vec<String>,
}

/// What the lead said of a public night.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct OccasionAnswer {
    /// What it is called.
    pub name: String,
    /// The day on which it begins.
    #[schema(example = "2026-11-20")]
    pub date: String,
    /// When visitors come.
    #[schema(example = "18:00")]
    pub starts: String,
    /// When they go.
    #[schema(example = "20:30")]
    pub ends: String,
    /// The number of the site.
    pub site: Option<i64>,
    /// `evening` or `solar`.
    #[schema(example = "evening")]
    pub purpose: &'static str,
    /// `outdoors` or `indoors`.
    #[schema(example = "outdoors")]
    pub setting: &'static str,
    /// Visitors expected.
    pub visitors: u32,
    /// Children among them.
    pub children: u32,
    /// In a wheelchair.
    pub wheelchairs: u32,
    /// Stations wanted.
    pub stations_wanted: u8,
    /// `none`, `packs` or `mains`.
    #[schema(example = "none")]
    pub power: &'static str,
    /// `dark`, `dimmed` or `lit`.
    #[schema(example = "dark")]
    pub lighting: &'static str,
    /// The day in its place if it rains.
    pub rain_date: Option<String>,
    /// Anything else.
    pub notes: String,
}

impl From<&Occasion> for OccasionAnswer {
    fn from(one: &Occasion) -> Self {
        Self {
            name: one.name.to_string(),
            date: one.date.to_string(),
            starts: one.starts.strftime("%H:%M").to_string(),
            ends: one.ends.strftime("%H:%M").to_string(),
            site: one.site.map(|site| site.0),
            purpose: one.purpose.as_str(),
            setting: one.setting.as_str(),
            visitors: one.visitors,
            children: one.children,
            wheelchairs: one.wheelchairs,
            stations_wanted: one.stations,
            power: one.power.as_str(),
            lighting: one.lighting.as_str(),
            rain_date: one.rain_date.map(|date| date.to_string()),
            notes: one.notes.as_str().to_owned(),
        }
    }
}

impl NightAnswer {
    /// The answer to somebody who prepares public nights, or to a member.
    #[must_use]
    pub(super) fn of(night: &PublicNight, shown: &NightShown, keeps: bool) -> Self {
        Self {
            id: night.id.0,
            state: night.state.as_str(),
            occasion: (&night.occasion).into(),
            half_hours: shown.times.clone(),
            in_the_sun: shown.in_the_sun,
            shut: shown.shut.clone(),
            reservation: night.reservation.filter(|_| keeps).map(|id| id.0),
            plan: keeps.then(|| PlanBody::of(night, shown.shut.is_empty())),
            told: if shown.shut.is_empty() { night.told.clone() } else { Vec::new() },
        }
    }
}

/// Public nights, the latest first.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
#[schema(as = PublicNightsAnswer)]
pub struct NightsAnswer {
    /// At most 200 of them.
    pub public_nights: Vec<NightAnswer>,
}
