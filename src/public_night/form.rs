//! The form of a public night, from what was typed to an occasion, nothing lost on the way.

use jiff::civil::{Date, Time};
use serde::Deserialize;

use super::model::{Lighting, Occasion, Power, Purpose, Setting};
use crate::observing::sites::{KeptSite, SiteId};
use crate::sheet::{Name, Notes};
use crate::web::field::{Choice, Field, Slip, slips};

/// The form's fields as they arrive; every one may be missing.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
#[allow(missing_docs)]
pub struct Typed {
    pub name: String,
    pub date: String,
    pub starts: String,
    pub ends: String,
    pub site: String,
    pub setting: String,
    pub purpose: String,
    pub visitors: String,
    pub children: String,
    pub wheelchairs: String,
    pub stations: String,
    pub power: String,
    pub lighting: String,
    pub rain_date: String,
    pub notes: String,
    pub version: i64,
    /// Whether the plan is put away where the gate before the Sun refuses it.
    pub put_away: String,
}

/// The form as a page shows it: everything as it was typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct NightForm {
    /// What it is called.
    pub name: Field,
    /// The day.
    pub date: Field,
    /// When visitors come.
    pub starts: Field,
    /// When they go.
    pub ends: Field,
    /// The site's number.
    pub site: Field,
    /// Under the sky or in a hall.
    pub setting: String,
    /// What it is for.
    pub purpose: String,
    /// Visitors.
    pub visitors: Field,
    /// Children among them.
    pub children: Field,
    /// People in wheelchairs among them.
    pub wheelchairs: Field,
    /// Stations wanted.
    pub stations: Field,
    /// Power.
    pub power: String,
    /// Lighting.
    pub lighting: String,
    /// The day in its place.
    pub rain_date: Field,
    /// Anything else.
    pub notes: Field,
}

impl NightForm {
    /// The form as it was sent.
    #[must_use]
    pub fn typed(typed: &Typed) -> Self {
        let or = |word: &str, usual: &str| {
            if word.is_empty() { usual.to_owned() } else { word.to_owned() }
        };
        Self {
            name: Field::of(&*typed.name),
            date: Field::of(&*typed.date),
            starts: Field::of(&*typed.starts),
            ends: Field::of(&*typed.ends),
            site: Field::of(&*typed.site),
            setting: or(&typed.setting, Setting::Outdoors.as_str()),
            purpose: or(&typed.purpose, Purpose::Evening.as_str()),
            visitors: Field::of(&*typed.visitors),
            children: Field::of(&*typed.children),
            wheelchairs: Field::of(&*typed.wheelchairs),
            stations: Field::of(&*typed.stations),
            power: or(&typed.power, Power::Nothing.as_str()),
            lighting: or(&typed.lighting, Lighting::Dark.as_str()),
            rain_date: Field::of(&*typed.rain_date),
            notes: Field::of(&*typed.notes),
        }
    }

    /// The form that shows this occasion.
    #[must_use]
    pub fn of(occasion: &Occasion) -> Self {
        let clock = |time: Time| time.strftime("%H:%M").to_string();
        Self::typed(&Typed {
            name: occasion.name.to_string(),
            date: occasion.date.to_string(),
            starts: clock(occasion.starts),
            ends: clock(occasion.ends),
            site: occasion.site.map_or_else(String::new, |site| site.to_string()),
            setting: occasion.setting.as_str().to_owned(),
            purpose: occasion.purpose.as_str().to_owned(),
            visitors: occasion.visitors.to_string(),
            children: occasion.children.to_string(),
            wheelchairs: occasion.wheelchairs.to_string(),
            stations: occasion.stations.to_string(),
            power: occasion.power.as_str().to_owned(),
            lighting: occasion.lighting.as_str().to_owned(),
            rain_date: occasion.rain_date.map_or_else(String::new, |date| date.to_string()),
            notes: occasion.notes.as_str().to_owned(),
            ..Typed::default()
        })
    }

    /// What is wrong with it.
    #[must_use]
    pub fn slips(&self) -> Vec<Slip> {
        slips([
            ("name", &self.name),
            ("date", &self.date),
            ("starts", &self.starts),
            ("ends", &self.ends),
            ("site", &self.site),
            ("visitors", &self.visitors),
            ("children", &self.children),
            ("wheelchairs", &self.wheelchairs),
            ("stations", &self.stations),
            ("rain_date", &self.rain_date),
            ("notes", &self.notes),
        ])
    }

    /// Reads the occasion; refused fields are marked. `None` where at least one is.
    pub fn check(&mut self, sites: &[KeptSite]) -> Option<Occasion> {
        let name = Name::new(&self.name.value);
        let name = name.map_err(|why| self.name.refuse(why.to_string())).ok();
        let date = day(&mut self.date);
        if self.date.value.trim().is_empty() {
            self.date.refuse("Write the day on which it begins, like 2026-11-20.");
        }
        let starts = clock(&mut self.starts);
        let ends = clock(&mut self.ends);
        let site = self.site(sites);
        let visitors = count(&mut self.visitors, Occasion::MOST_VISITORS);
        let children = count(&mut self.children, visitors.unwrap_or(Occasion::MOST_VISITORS));
        let wheelchairs = count(&mut self.wheelchairs, visitors.unwrap_or(Occasion::MOST_VISITORS));
        let stations = match self.stations.value.trim().parse::<u8>() {
            Ok(number) if (1..=Occasion::MOST_STATIONS).contains(&number) => Some(number),
            _ => {
                self.stations.refuse("Write how many stations are wanted, from 1 to 12.");
                None
            }
        };
        let rain_date = day(&mut self.rain_date);
        let notes = Notes::new(&self.notes.value);
        let notes = notes.map_err(|why| self.notes.refuse(why.to_string())).ok();
        if rain_date.is_some() && rain_date == date {
            self.rain_date.refuse("Choose another day than the first.");
        }
        let occasion = Occasion {
            name: name?,
            date: date?,
            starts: starts?,
            ends: ends?,
            site: Some(site?),
            setting: Setting::parse(&self.setting).unwrap_or(Setting::Outdoors),
            purpose: Purpose::parse(&self.purpose).unwrap_or(Purpose::Evening),
            visitors: visitors?,
            children: children?,
            wheelchairs: wheelchairs?,
            stations: stations?,
            power: Power::parse(&self.power).unwrap_or(Power::Nothing),
            lighting: Lighting::parse(&self.lighting).unwrap_or(Lighting::Dark),
            rain_date,
            notes: notes?,
        };
        if occasion.minutes() > Occasion::LONGEST_MIN {
            self.ends.refuse("Twelve hours are the most: check both times.");
        }
        self.slips().is_empty().then_some(occasion)
    }

    fn site(&mut self, sites: &[KeptSite]) -> Option<SiteId> {
        let wanted = self.site.value.trim().parse().ok().map(SiteId);
        let found = sites.iter().map(|kept| kept.id).find(|id| Some(*id) == wanted);
        if found.is_none() {
            self.site.refuse(if sites.is_empty() {
                "The club has no observing site yet: a quartermaster enters one under Sites."
            } else {
                "Choose where it takes place."
            });
        }
        found
    }
}

/// A day that is typed; an empty field is none.
fn day(field: &mut Field) -> Option<Date> {
    let text = field.value.trim();
    if text.is_empty() {
        return None;
    }
    match text.parse::<Date>() {
        Ok(day) if (1950..=2149).contains(&day.year()) => Some(day),
        Ok(_) => {
            field.refuse("The sky is known here from 1950 to 2149: choose a day between.");
            None
        }
        Err(_) => {
            field.refuse("Write the day as year, month and day, like 2026-11-20.");
            None
        }
    }
}

/// A time of day: `18:30`, `18.30` or `18`.
fn clock(field: &mut Field) -> Option<Time> {
    let text = field.value.trim().replace('.', ":");
    let (hour, minute) = text.split_once(':').unwrap_or((&text, "0"));
    let read = hour.trim().parse().ok().zip(minute.trim().parse().ok());
    let time = read.and_then(|(hour, minute)| Time::new(hour, minute, 0, 0).ok());
    if time.is_none() {
        field.refuse("Write a time like 18:30.");
    }
    time
}

/// A whole number of people; an empty field is none.
fn count(field: &mut Field, most: u32) -> Option<u32> {
    let text = field.value.trim();
    if text.is_empty() {
        return Some(0);
    }
    let read = text.parse().ok().filter(|number| *number <= most);
    if read.is_none() {
        field.refuse(if most == Occasion::MOST_VISITORS {
            "Write a whole number of people, at most 5000.".to_owned()
        } else {
            format!("Write a whole number, at most the {most} visitors.")
        });
    }
    read
}

/// The choices of a form.
pub struct Choices;

macro_rules! choices {
    ($name:ident, $kind:ty) => {
        /// What can be chosen.
        #[must_use]
        pub fn $name() -> Vec<Choice> {
            let all = <$kind>::ALL.iter();
            all.map(|one| Choice::new(one.as_str(), one.label())).collect()
        }
    };
}

impl Choices {
    choices!(settings, Setting);
    choices!(purposes, Purpose);
    choices!(powers, Power);
    choices!(lightings, Lighting);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::observing::site_form;
    use crate::observing::sites::Usually;

    fn site() -> KeptSite {
        let mut form = site_form::SiteForm::typed(&site_form::Typed {
            name: "Long Meadow".into(),
            latitude: "52.2".into(),
            longitude: "-3.1".into(),
            time_zone: "Europe/London".into(),
            sky_brightness: "21.6".into(),
            ..site_form::Typed::default()
        });
        let site = form.check().unwrap();
        KeptSite { id: SiteId(4), version: 1, usually: Usually::Here, site }
    }

    fn filled() -> Typed {
        Typed {
            name: "Moon over the school".into(),
            date: "2026-11-20".into(),
            starts: "18.00".into(),
            ends: "20:15".into(),
            site: "4".into(),
            visitors: "90".into(),
            children: "60".into(),
            stations: "4".into(),
            ..Typed::default()
        }
    }

    #[test]
    fn an_occasion_comes_back_into_its_form() {
        let sites = [site()];
        let occasion = NightForm::typed(&filled()).check(&sites).unwrap();
        assert_eq!((occasion.wheelchairs, occasion.slots()), (0, 5));
        assert_eq!(NightForm::of(&occasion).check(&sites), Some(occasion));
    }

    #[test]
    fn every_wrong_field_is_named_and_keeps_what_was_typed() {
        let mut form = NightForm::typed(&Typed {
            name: " ".into(),
            date: "soon".into(),
            starts: "half past six".into(),
            ends: "25:00".into(),
            site: "9".into(),
            visitors: "many".into(),
            children: "91".into(),
            stations: "13".into(),
            rain_date: "1850-01-01".into(),
            ..filled()
        });
        assert_eq!(form.check(&[site()]), None);
        let fields: Vec<String> = form.slips().into_iter().map(|slip| slip.field).collect();
        let wrong = ["name", "date", "starts", "ends", "site", "visitors", "stations", "rain_date"];
        assert_eq!(fields, wrong);
        assert_eq!(form.starts.value, "half past six");
        let mut form = NightForm::typed(&Typed { children: "91".into(), ..filled() });
        assert_eq!(form.check(&[site()]), None);
        let mut form = NightForm::typed(&Typed { ends: "17:00".into(), ..filled() });
        assert_eq!(form.check(&[site()]), None, "23 hours are too many");
    }
}
