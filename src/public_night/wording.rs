//! A public night's facts in words. Pure.

use super::hours::Sunlight;
use super::keeping::Around;
use super::model::{Occasion, PublicNight, Purpose};
use crate::web::format;

/// "90 visitors, 60 of them children, two in wheelchairs".
#[must_use]
pub fn crowd(occasion: &Occasion) -> String {
    let visitors = format::count(occasion.visitors as usize, "visitor", "visitors");
    let children =
        (occasion.children > 0).then(|| format!("{} of them children", occasion.children));
    let wheelchairs =
        (occasion.wheelchairs > 0).then(|| format!("{} in a wheelchair", occasion.wheelchairs));
    let parts: Vec<String> = std::iter::once(format::sentence_case(&visitors))
        .chain(children)
        .chain(wheelchairs)
        .collect();
    parts.join(", ")
}

/// "18:00 to 20:15".
#[must_use]
pub fn hours_of(occasion: &Occasion) -> String {
    let (from, to) = (occasion.starts.strftime("%H:%M"), occasion.ends.strftime("%H:%M"));
    let next = if occasion.last_day() == occasion.date { "" } else { " on the next day" };
    format!("{from} to {to}{next}")
}

/// What the Sun does meanwhile, in one sentence.
pub(super) fn sun_says(night: &PublicNight, around: &Around) -> String {
    let solar = night.occasion.purpose == Purpose::Solar;
    match (&around.sun, around.hours.as_ref()) {
        (Sunlight::Down, _) if solar => "The Sun is down in these hours.".to_owned(),
        (Sunlight::Down, _) => "The Sun is down all the while.".to_owned(),
        (Sunlight::Up(parts), Some(hours)) => {
            let parts: Vec<String> = parts
                .iter()
                .map(|part| format!("{} to {}", hours.clock(part.from), hours.clock(part.to)))
                .collect();
            let parts = format::list(&parts);
            format!("The Sun is up, or so low that it counts as up, from {parts}.")
        }
        (Sunlight::Up(_) | Sunlight::NotKnown, _) => {
            "Nobody knows where the Sun stands: choose the site. Until then this counts as by day."
                .to_owned()
        }
    }
}

/// Power, light, rain and notes, each a label and a value.
pub(super) fn facts(occasion: &Occasion) -> Vec<(&'static str, String)> {
    let mut facts = vec![
        ("Setting", occasion.setting.label().to_owned()),
        ("Power", occasion.power.label().to_owned()),
        ("Light", occasion.lighting.label().to_owned()),
    ];
    if let Some(rain) = occasion.rain_date {
        facts.push(("If it rains", format::night(rain)));
    }
    if !occasion.notes.as_str().is_empty() {
        facts.push(("Notes", occasion.notes.as_str().to_owned()));
    }
    facts
}
