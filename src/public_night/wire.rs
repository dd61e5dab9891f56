//! Public nights as programs read and write them.

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::aim::Aim;
use super::form::{NightForm, Typed};
use super::model::{
    Finder, Helper, Lighting, Occasion, Power, PublicNight, Purpose, Setting, Station,
};
use crate::observing::sites::KeptSite;
use crate::people::MemberId;
use crate::shelf::ItemId;
use crate::web::problem::{Fault, Problem};

/// What the lead says of a public night.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = PublicNightBody)]
pub struct NightBody {
    /// What it is called.
    #[schema(min_length = 1, max_length = 120, example = "Moon over the school")]
    pub name: String,
    /// The day on which it begins, by the site's clocks.
    #[schema(format = "date", example = "2026-11-20")]
    pub date: String,
    /// When visitors come, by the site's clocks.
    #[schema(example = "18:00")]
    pub starts: String,
    /// When they go; at or before the start it is on the next day. Twelve hours are the most.
    #[schema(example = "20:30")]
    pub ends: String,
    /// The number of the observing site.
    pub site: i64,
    /// `evening` or `solar`.
    #[serde(default = "evening")]
    #[schema(pattern = "^(evening|solar)$", example = "evening")]
    pub purpose: String,
    /// `outdoors` or `indoors`.
    #[serde(default = "outdoors")]
    #[schema(pattern = "^(outdoors|indoors)$", example = "outdoors")]
    pub setting: String,
    /// How many visitors are expected, children included.
    #[serde(default)]
    #[schema(minimum = 0, maximum = 5000)]
    pub visitors: u32,
    /// How many of them are children.
    #[serde(default)]
    #[schema(minimum = 0, maximum = 5000)]
    pub children: u32,
    /// How many of them come in a wheelchair.
    #[serde(default)]
    #[schema(minimum = 0, maximum = 5000)]
    pub wheelchairs: u32,
    /// How many stations are wanted.
    #[schema(minimum = 1, maximum = 12)]
    pub stations_wanted: u8,
    /// `none`, `packs` or `mains`.
    #[serde(default = "none")]
    #[schema(pattern = "^(none|packs|mains)$", example = "none")]
    pub power: String,
    /// `dark`, `dimmed` or `lit`.
    #[serde(default = "dark")]
    #[schema(pattern = "^(dark|dimmed|lit)$", example = "dark")]
    pub lighting: String,
    /// The day in its place if it rains.
    #[serde(default)]
    #[schema(format = "date")]
    pub rain_date: Option<String>,
    /// Anything else.
    #[serde(default)]
    #[schema(max_length = 2000)]
    pub notes: String,
}

fn evening() -> String {
    "evening".into()
}
fn outdoors() -> String {
    "outdoors".into()
}
fn none() -> String {
    "none".into()
}
fn dark() -> String {
    "dark".into()
}

impl NightBody {
    /// Reads the occasion by the same rules as the form.
    ///
    /// # Errors
    /// 422 with every fault.
    pub(super) fn occasion(&self, sites: &[KeptSite]) -> Result<Occasion, Problem> {
        let mut form = NightForm::typed(&Typed {
            name: self.name.clone(),
            date: self.date.clone(),
            starts: self.starts.clone(),
            ends: self.ends.clone(),
            site: self.site.to_string(),
            setting: self.setting.clone(),
            purpose: self.purpose.clone(),
            visitors: self.visitors.to_string(),
            children: self.children.to_string(),
            wheelchairs: self.wheelchairs.to_string(),
            stations: self.stations_wanted.to_string(),
            power: self.power.clone(),
            lighting: self.lighting.clone(),
            rain_date: self.rain_date.clone().unwrap_or_default(),
            notes: self.notes.clone(),
            ..Typed::default()
        });
        let occasion = form.check(sites);
        let mut faults: Vec<Fault> = form
            .slips()
            .into_iter()
            .map(|slip| {
                let field = if slip.field == "stations" { "stations_wanted" } else { &*slip.field };
                Fault::at(format!("/{field}"), slip.text)
            })
            .collect();
        let mut word = |known: bool, field: &str, words: String| {
            if !known {
                faults.push(Fault::at(format!("/{field}"), format!("Give one of: {words}.")));
            }
        };
        let list = |words: Vec<&str>| words.join(", ");
        word(
            Purpose::parse(&self.purpose).is_some(),
            "purpose",
            list(Purpose::ALL.iter().map(|one| one.as_str()).collect()),
        );
        word(
            Setting::parse(&self.setting).is_some(),
            "setting",
            list(Setting::ALL.iter().map(|one| one.as_str()).collect()),
        );
        word(
            Power::parse(&self.power).is_some(),
            "power",
            list(Power::ALL.iter().map(|one| one.as_str()).collect()),
        );
        word(
            Lighting::parse(&self.lighting).is_some(),
            "lighting",
            list(Lighting::ALL.iter().map(|one| one.as_str()).collect()),
        );
        match occasion {
            Some(occasion) if faults.is_empty() => Ok(occasion),
            _ => Err(Problem::out_of_range(faults)),
        }
    }
}

/// Somebody who helps.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = PublicNightHelper)]
pub struct HelperBody {
    /// Their number on this night, 1–99.
    #[schema(minimum = 1, maximum = 99)]
    pub number: i64,
    /// The member's number; without one a guest.
    #[serde(default)]
    pub member: Option<i64>,
    /// A guest's first name, and nothing else.
    #[serde(default)]
    #[schema(max_length = 40)]
    pub first_name: String,
    /// Telescopes they can run besides those they were shown.
    #[serde(default)]
    pub may_run: Vec<i64>,
}

/// A station.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = PublicNightStation)]
pub struct StationBody {
    /// Its number, 1–12.
    #[schema(minimum = 1, maximum = 12)]
    pub number: i64,
    /// The telescope's number.
    pub telescope: i64,
    /// The eyepiece's number.
    #[serde(default)]
    pub eyepiece: Option<i64>,
    /// The number of the eyepiece in reserve.
    #[serde(default)]
    pub spare: Option<i64>,
    /// The number of the full-aperture front filter.
    #[serde(default)]
    pub filter: Option<i64>,
    /// The number of the helper who attends it.
    #[serde(default)]
    pub helper: Option<i64>,
    /// What was done with the finder: `open`, `capped` or `removed`.
    #[serde(default = "open")]
    #[schema(pattern = "^(open|capped|removed)$", example = "open")]
    pub finder: String,
    /// What it shows in each half hour: `moon`, `M 13`; null for nothing.
    #[serde(default)]
    pub targets: Vec<Option<String>>,
    /// Why it was chosen so.
    #[serde(default)]
    pub why: Vec<String>,
}

fn open() -> String {
    "open".into()
}

/// A whole plan.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = PublicNightPlan)]
pub struct PlanBody {
    /// Who helps.
    #[serde(default)]
    pub helpers: Vec<HelperBody>,
    /// What stands where.
    pub stations: Vec<StationBody>,
}

impl PlanBody {
    /// The plan of a night. While the gate before the Sun is shut it tells no targets.
    #[must_use]
    pub(super) fn of(night: &PublicNight, open: bool) -> Self {
        Self {
            helpers: night
                .helpers
                .iter()
                .map(|one| HelperBody {
                    number: one.number,
                    member: one.member.map(|member| member.0),
                    first_name: one.first_name.clone(),
                    may_run: one.ticked.iter().map(|item| item.0).collect(),
                })
                .collect(),
            stations: night
                .stations
                .iter()
                .map(|one| StationBody {
                    number: one.number,
                    telescope: one.telescope.0,
                    eyepiece: one.eyepiece.map(|item| item.0),
                    spare: one.spare.map(|item| item.0),
                    filter: one.filter.map(|item| item.0),
                    helper: one.helper,
                    finder: one.finder.as_str().to_owned(),
                    targets: if open {
                        one.aims.iter().map(|aim| aim.map(|aim| aim.code().to_owned())).collect()
                    } else {
                        Vec::new()
                    },
                    why: one.why.clone(),
                })
                .collect(),
        }
    }

    /// Puts the plan into a night.
    ///
    /// # Errors
    /// 422 with every fault.
    pub(super) fn into_night(self, night: &mut PublicNight) -> Result<(), Problem> {
        let mut faults = Vec::new();
        let slots = night.occasion.slots();
        let (mut helpers, mut stations) = (Vec::new(), Vec::new());
        for (at, one) in self.helpers.into_iter().enumerate() {
            let name = one.first_name.trim().to_owned();
            let place = format!("/helpers/{at}");
            let odd = name.chars().count() > 40 || name.chars().any(char::is_control);
            if one.member.is_some() != name.is_empty() || odd {
                faults.push(Fault::at(
                    place,
                    "Give either a member's number or a guest's first name of at most 40 letters.",
                ));
            } else if !(1..=99).contains(&one.number)
                || helpers.iter().any(|other: &Helper| other.number == one.number)
            {
                faults.push(Fault::at(
                    format!("{place}/number"),
                    "Give each helper a number of their own from 1 to 99.",
                ));
            } else {
                helpers.push(Helper {
                    number: one.number,
                    member: one.member.map(MemberId),
                    first_name: name,
                    ticked: one.may_run.into_iter().map(ItemId).collect::<BTreeSet<_>>(),
                });
            }
        }
        for (at, one) in self.stations.into_iter().enumerate() {
            match station(&one, &format!("/stations/{at}"), slots, &mut faults) {
                Some(read)
                    if stations.iter().all(|other: &Station| other.number != read.number) =>
                {
                    stations.push(read);
                }
                Some(_) => faults.push(Fault::at(
                    format!("/stations/{at}/number"),
                    "Give each station a number of its own from 1 to 12.",
                )),
                None => {}
            }
        }
        if !faults.is_empty() {
            return Err(Problem::out_of_range(faults));
        }
        stations.sort_by_key(|one| one.number);
        helpers.sort_by_key(|one| one.number);
        night.helpers = helpers;
        night.stations = stations;
        Ok(())
    }
}

fn station(
    one: &StationBody,
    place: &str,
    slots: usize,
    faults: &mut Vec<Fault>,
) -> Option<Station> {
    let before = faults.len();
    if !(1..=i64::from(Occasion::MOST_STATIONS)).contains(&one.number) {
        let says = "Give each station a number of its own from 1 to 12.";
        faults.push(Fault::at(format!("{place}/number"), says));
    }
    let finder = Finder::parse(&one.finder);
    if finder.is_none() {
        faults.push(Fault::at(format!("{place}/finder"), "Give open, capped or removed."));
    }
    if one.targets.len() > slots {
        let says = format!("This night has {slots} half hours, and more targets were given.");
        faults.push(Fault::at(format!("{place}/targets"), says));
    }
    let why = one.why.iter().take(20).map(|text| text.chars().take(300).collect()).collect();
    let mut aims = Vec::new();
    for (slot, target) in one.targets.iter().enumerate() {
        aims.push(match target.as_deref().map(str::parse::<Aim>) {
            None => None,
            Some(Ok(aim)) => Some(aim),
            Some(Err(fault)) => {
                faults.push(Fault::at(format!("{place}/targets/{slot}"), fault.to_string()));
                None
            }
        });
    }
    (faults.len() == before).then(|| Station {
        eyepiece: one.eyepiece.map(ItemId),
        spare: one.spare.map(ItemId),
        filter: one.filter.map(ItemId),
        helper: one.helper,
        finder: finder.unwrap_or(Finder::Open),
        aims,
        why,
        ..Station::with(one.number, ItemId(one.telescope))
    })
}
