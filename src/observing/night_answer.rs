//! A night as programs get it.

use std::collections::BTreeMap;

use jiff::tz::TimeZone;
use serde::Serialize;
use utoipa::ToSchema;

use super::place::written;
use crate::sky::tonight::{Showing, Target};
use crate::sky::{Event, Instant, Night, NotDark, Nothing, Stretch};

/// One night over a place. Instants are RFC 3339 with the zone's offset.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct NightAnswer {
    /// The local evening's date.
    #[schema(format = "date")]
    pub night: String,
    /// What the night spans: from the Sun's highest before it to its highest after.
    pub whole: StretchAnswer,
    /// The Sun.
    pub sun: SunAnswer,
    /// The Moon.
    pub moon: MoonAnswer,
    /// When the Sun is below −18° and the Moon is down or faint (at most 15 % lit).
    pub dark_windows: Vec<StretchAnswer>,
    /// Why there is no dark window, where there is none.
    pub no_dark_window: Option<&'static str>,
    /// What is worth looking at, best first: at most `limit`.
    pub objects: Vec<ObjectAnswer>,
}

/// From one instant to another.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct StretchAnswer {
    /// Its beginning.
    #[schema(format = "date-time")]
    pub from: Option<String>,
    /// Its end.
    #[schema(format = "date-time")]
    pub to: Option<String>,
}

/// What the Sun does; what does not happen is null, with its reason under `reasons`.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct SunAnswer {
    /// The upper edge goes under a level horizon, with 34′ of refraction.
    #[schema(format = "date-time")]
    pub set: Option<String>,
    /// The centre sinks through −6°.
    #[schema(format = "date-time")]
    pub civil_dusk: Option<String>,
    /// The centre sinks through −12°.
    #[schema(format = "date-time")]
    pub nautical_dusk: Option<String>,
    /// The centre sinks through −18°.
    #[schema(format = "date-time")]
    pub astronomical_dusk: Option<String>,
    /// The centre rises through −18°.
    #[schema(format = "date-time")]
    pub astronomical_dawn: Option<String>,
    /// The centre rises through −12°.
    #[schema(format = "date-time")]
    pub nautical_dawn: Option<String>,
    /// The centre rises through −6°.
    #[schema(format = "date-time")]
    pub civil_dawn: Option<String>,
    /// The upper edge appears.
    #[schema(format = "date-time")]
    pub rise: Option<String>,
    /// Its lowest altitude in the night.
    pub lowest_altitude_deg: f64,
    /// Why a field is null, by its name.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    pub reasons: BTreeMap<&'static str, String>,
}

/// What the Moon does; what does not happen is null, with its reason under `reasons`.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct MoonAnswer {
    /// The upper edge appears over a level horizon, with 34′ of refraction.
    #[schema(format = "date-time")]
    pub rise: Option<String>,
    /// The upper edge goes under.
    #[schema(format = "date-time")]
    pub set: Option<String>,
    /// The lit share of its disc in the middle of the night.
    pub illuminated_fraction: f64,
    /// Whether it waxes.
    pub waxing: bool,
    /// Why a field is null, by its name.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    pub reasons: BTreeMap<&'static str, String>,
}

/// Something worth looking at.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct ObjectAnswer {
    /// Its name.
    pub name: &'static str,
    /// What people call it.
    pub called: Option<&'static str>,
    /// What it is.
    pub kind: &'static str,
    /// Why it is worth a look, where somebody wrote it down.
    pub words: Option<&'static str>,
    /// 0–3, where 3 delights everybody.
    pub rank: u8,
    /// V magnitude, or B where V is unknown.
    pub magnitude: Option<f64>,
    /// Longer axis or diameter.
    pub size_arcmin: Option<f64>,
    /// Mean surface brightness, V magnitudes per square arcsecond.
    pub surface_brightness: Option<f64>,
    /// When it stands highest while it can be looked at.
    #[schema(format = "date-time")]
    pub best: Option<String>,
    /// Its airless altitude then.
    pub altitude_deg: f64,
    /// How long it stands above 15° while it can be looked at.
    pub usable_minutes: f64,
    /// Passage through the meridian.
    #[schema(format = "date-time")]
    pub transit: Option<String>,
    /// Rising within the night.
    #[schema(format = "date-time")]
    pub rise: Option<String>,
    /// Setting within the night.
    #[schema(format = "date-time")]
    pub set: Option<String>,
    /// Why a field is null, by its name.
    #[serde(skip_serializing_if = "BTreeMap::is_empty")]
    pub reasons: BTreeMap<&'static str, String>,
}

/// The whole answer.
#[must_use]
pub fn answer(date: &str, night: &Night, objects: &[Showing], zone: &TimeZone) -> NightAnswer {
    NightAnswer {
        night: date.to_owned(),
        whole: stretch(night.whole, zone),
        sun: sun(night, zone),
        moon: moon(night, zone),
        dark_windows: night.dark.iter().map(|one| stretch(*one, zone)).collect(),
        no_dark_window: night.not_dark.map(|why| match why {
            NotDark::Twilight => "The Sun does not sink 18° below the horizon.",
            NotDark::Moon => "While the Sun is 18° below the horizon, the Moon is up and bright.",
        }),
        objects: objects.iter().map(|one| object(one, zone)).collect(),
    }
}

fn stretch(one: Stretch, zone: &TimeZone) -> StretchAnswer {
    StretchAnswer { from: written(one.from, zone), to: written(one.to, zone) }
}

/// Writes events down and collects why some do not happen.
struct Events<'a> {
    zone: &'a TimeZone,
    who: &'static str,
    reasons: BTreeMap<&'static str, String>,
}

impl Events<'_> {
    fn write(&mut self, field: &'static str, event: Event) -> Option<String> {
        match event {
            Ok(instant) => self.at(instant),
            Err(nothing) => {
                self.reasons.insert(field, reason(self.who, nothing));
                None
            }
        }
    }

    fn at(&self, instant: Instant) -> Option<String> {
        written(instant, self.zone)
    }
}

/// Why something does not happen, in one sentence.
#[must_use]
pub fn reason(who: &str, nothing: Nothing) -> String {
    match nothing {
        Nothing::StaysAbove(lowest) => {
            format!("{who} stays higher than that all night: {lowest:.1}° at its lowest.")
        }
        Nothing::StaysBelow(highest) => {
            format!("{who} stays lower than that all night: {highest:.1}° at its highest.")
        }
        Nothing::AlreadyUp => {
            format!("{who} is up when the night begins and does not rise again before it ends.")
        }
        Nothing::LaterThanTheNight => format!("{who} does not do that between the two noons."),
    }
}

fn sun(night: &Night, zone: &TimeZone) -> SunAnswer {
    let sun = night.sun;
    let mut events = Events { zone, who: "The Sun", reasons: BTreeMap::new() };
    SunAnswer {
        set: events.write("set", sun.set),
        civil_dusk: events.write("civil_dusk", sun.dusk[0]),
        nautical_dusk: events.write("nautical_dusk", sun.dusk[1]),
        astronomical_dusk: events.write("astronomical_dusk", sun.dusk[2]),
        astronomical_dawn: events.write("astronomical_dawn", sun.dawn[2]),
        nautical_dawn: events.write("nautical_dawn", sun.dawn[1]),
        civil_dawn: events.write("civil_dawn", sun.dawn[0]),
        rise: events.write("rise", sun.rise),
        lowest_altitude_deg: sun.lowest_deg,
        reasons: events.reasons,
    }
}

fn moon(night: &Night, zone: &TimeZone) -> MoonAnswer {
    let moon = night.moon;
    let mut events = Events { zone, who: "The Moon", reasons: BTreeMap::new() };
    MoonAnswer {
        rise: events.write("rise", moon.rise),
        set: events.write("set", moon.set),
        illuminated_fraction: moon.illuminated_fraction,
        waxing: moon.waxing,
        reasons: events.reasons,
    }
}

fn object(one: &Showing, zone: &TimeZone) -> ObjectAnswer {
    let mut events = Events { zone, who: "It", reasons: BTreeMap::new() };
    let (rise, set) = (events.write("rise", one.rise), events.write("set", one.set));
    let common = ObjectAnswer {
        name: one.target.name(),
        called: None,
        kind: "planet",
        words: None,
        rank: one.rank(),
        magnitude: None,
        size_arcmin: None,
        surface_brightness: None,
        best: events.at(one.best),
        altitude_deg: one.altitude_deg,
        usable_minutes: one.usable_s / 60.0,
        transit: events.at(one.transit),
        rise,
        set,
        reasons: events.reasons,
    };
    match one.target {
        Target::Body(body) => ObjectAnswer {
            kind: if body == crate::sky::Body::Moon { "moon" } else { "planet" },
            magnitude: one.looks.and_then(|looks| looks.magnitude),
            size_arcmin: one.looks.map(|looks| looks.diameter_arcsec / 60.0),
            ..common
        },
        Target::Object(object) => ObjectAnswer {
            called: object.called,
            kind: object.kind.in_words(),
            words: object.words,
            magnitude: object.magnitude,
            size_arcmin: object.major_arcmin,
            surface_brightness: object.surface_brightness(),
            ..common
        },
    }
}
