//! A plan in words.

use jiff::tz::TimeZone;

use super::super::place::on_clocks;
use crate::kit::plan::{KitGlass, Stop};
use crate::kit::sight::{Detail, Fit, PLAIN_MAG, Split};
use crate::sky::tonight::Target;
use crate::sky::{Body, Event, Horizon, Instant, Night, NotDark};
use crate::web::format;

/// Hours and minutes on a clock: `23:40`.
#[must_use]
pub fn clock(at: Instant, zone: &TimeZone) -> String {
    on_clocks(at, zone).map_or_else(String::new, |zoned| zoned.strftime("%H:%M").to_string())
}

/// One of the eight directions.
#[must_use]
pub fn direction(azimuth_deg: f64) -> &'static str {
    let at = (azimuth_deg.rem_euclid(360.0) / 45.0).round() as usize;
    Horizon::DIRECTIONS[at % Horizon::DIRECTIONS.len()]
}

/// When, how high and where it stands best: "Best at 23:40, 62° high in the south".
#[must_use]
pub fn when(stop: &Stop, zone: &TimeZone) -> String {
    let stands = stop.moment.direction;
    let place = if stands.altitude_deg > 80.0 {
        "almost overhead".to_owned()
    } else {
        format!("{:.0}° high in the {}", stands.altitude_deg, direction(stands.azimuth_deg))
    };
    let window = stop.window;
    let best = clock(stop.showing.best, zone);
    if window.seconds() < 300.0 {
        return format!("At {best}, {place}, for a few minutes");
    }
    let (from, to) = (clock(window.from, zone), clock(window.to, zone));
    format!("Best at {best}, {place}; from {from} to {to}")
}

/// What it is: "Galaxy in And, magnitude 3.4".
#[must_use]
pub fn kind(stop: &Stop) -> String {
    let bright = |mag: Option<f64>| mag.map(|mag| format!("magnitude {mag:.1}"));
    match stop.showing.target {
        Target::Body(body) => {
            let looks = stop.showing.looks;
            let size = looks.map(|looks| {
                let minutes = looks.diameter_arcsec / 60.0;
                match body {
                    Body::Moon => format!("{minutes:.0} arcminutes across"),
                    _ => format!("{:.1} arcseconds across", looks.diameter_arcsec),
                }
            });
            let lit = looks
                .and_then(|looks| looks.illuminated_fraction)
                .filter(|_| matches!(body, Body::Moon | Body::Venus | Body::Mercury))
                .map(|lit| format!("{} lit", format::per_cent(lit)));
            let mag =
                bright(looks.and_then(|looks| looks.magnitude)).filter(|_| body != Body::Moon);
            let parts: Vec<String> = size.into_iter().chain(lit).chain(mag).collect();
            format::sentence_case(&parts.join(", "))
        }
        Target::Object(object) => {
            let what = format::sentence_case(object.kind.in_words());
            let mag = bright(object.v_magnitude().filter(|_| object.pair.is_none()));
            let stars = object.pair.map(|pair| {
                format!(
                    "magnitudes {:.1} and {:.1}, {:.1} arcseconds apart",
                    pair.brighter, pair.fainter, pair.separation_arcsec
                )
            });
            let parts: Vec<String> = std::iter::once(what).chain(stars).chain(mag).collect();
            parts.join(", ")
        }
    }
}

/// What the view shows, one sentence each.
#[must_use]
pub fn shows(stop: &Stop, glass: &KitGlass, tracks: bool) -> Vec<String> {
    let sight = &stop.sight;
    let mut says = Vec::new();
    match sight.detail {
        Detail::Pair { split, looks_arcsec } => {
            let looks = looks_arcsec / 60.0;
            says.push(match split {
                Split::Yes => format!("Split: the two look {looks:.0} arcminutes apart."),
                Split::InSteadyMoments => "Splits in steady moments; wait for them.".to_owned(),
                Split::NeedsPower => "Too close together at this power.".to_owned(),
                Split::No => "Too close for this telescope in this air.".to_owned(),
            });
        }
        Detail::Disc { looks_arcmin, details_across } if sight.fit != Fit::NotKnown => {
            if stop.showing.target != Target::Body(Body::Moon) {
                says.push(format!(
                    "Looks {looks_arcmin:.0} arcminutes wide; {details_across:.0} of the finest details fit across it."
                ));
            }
        }
        Detail::Disc { .. } | Detail::None => {}
    }
    if let (Some(share), Detail::None | Detail::Disc { .. }) = (sight.share_of_field, sight.detail)
    {
        let part = format::per_cent(share);
        match sight.fit {
            Fit::TooLarge => says.push("Larger than the field: sweep along it.".into()),
            Fit::Tight => says.push(format!("Fills the field to its edge ({part}).")),
            Fit::WithAir if share >= 0.03 => says.push(format!("Fills {part} of the field.")),
            Fit::WithAir | Fit::NotKnown => {}
        }
    }
    if !matches!(stop.showing.target, Target::Body(_)) {
        says.push(visible(sight.margin).to_owned());
    }
    if let (false, Some(drift)) = (tracks, sight.drift_s) {
        // A slow thing near the pole needs no word.
        if drift < 1_800.0 {
            says.push(format!("Crosses the field in {}.", format::duration(drift)));
        }
    }
    if glass.ease < 0.99 {
        says.push("A compromise for this eye: see the kit's verdicts.".to_owned());
    }
    says
}

/// How well it stands out, by magnitudes over the threshold.
fn visible(margin: Option<f64>) -> &'static str {
    match margin {
        None => "Nobody measured its light: try.",
        Some(over) if over >= PLAIN_MAG => "Plain to see.",
        Some(over) if over >= 0.5 => "Well seen by eyes used to the dark.",
        Some(over) if over >= 0.0 => "At the edge of seeing: look a little beside it.",
        Some(_) => "Too faint here, most likely.",
    }
}

/// How dark the night is, when, and what the Moon does.
#[must_use]
pub fn darkness(night: &Night, zone: &TimeZone) -> String {
    let spans: Vec<String> = night
        .dark
        .iter()
        .map(|one| format!("{} to {}", clock(one.from, zone), clock(one.to, zone)))
        .collect();
    let dark = match night.not_dark {
        Some(NotDark::Twilight) => {
            "The sky never gets fully dark: the Sun stays close below the horizon.".to_owned()
        }
        Some(NotDark::Moon) => "The Moon is up and bright whenever the Sun is far down.".to_owned(),
        None => format!("Fully dark from {}.", spans.join(" and from ")),
    };
    format!("{dark} {}", moon(night, zone))
}

fn moon(night: &Night, zone: &TimeZone) -> String {
    let lit = format::per_cent(night.moon.illuminated_fraction);
    let way = if night.moon.waxing { "waxing" } else { "waning" };
    // What it does by day, nobody sees.
    let from = night.sun.set.unwrap_or(night.whole.from);
    let to = night.sun.rise.unwrap_or(night.whole.to);
    let at = |event: Event, says: &str| {
        let at = event.ok().filter(|at| from <= *at && *at <= to)?;
        Some(format!("{says} at {}", clock(at, zone)))
    };
    let events: Vec<String> =
        [at(night.moon.rise, "rises"), at(night.moon.set, "sets")].into_iter().flatten().collect();
    if events.is_empty() {
        return format!("The Moon is {lit} lit, {way}.");
    }
    format!("The Moon, {lit} lit and {way}, {}.", events.join(" and "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn directions_go_around() {
        for (azimuth, name) in
            [(0.0, "north"), (350.0, "north"), (93.0, "east"), (225.0, "south-west")]
        {
            assert_eq!(direction(azimuth), name);
        }
    }

    #[test]
    fn visibility_gets_better_words_with_more_light() {
        let said: Vec<&str> =
            [Some(-1.0), Some(0.1), Some(0.9), Some(3.0), None].map(visible).into();
        assert_eq!(said.len(), said.iter().collect::<std::collections::HashSet<_>>().len());
        assert_eq!(said[3], "Plain to see.");
    }
}
