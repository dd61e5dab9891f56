//! What visitors look for in each thing, and how far it is: in our own words, for first-timers.
//!
//! The distances among the stars are `from memory`, rounded to what is known; those of the Sun, the
//! Moon and the planets are computed for the night.

use std::collections::HashMap;
use std::sync::LazyLock;

use super::aim::Aim;
use crate::sky::tonight::Target;
use crate::sky::{Body, Frame, Instant, Site, sighting};

/// Kilometres that light goes in a second (the metre is defined by it).
const LIGHT_KM_PER_S: f64 = 299_792.458;

struct Look {
    words: String,
    light_years: Option<f64>,
}

static LOOKS: LazyLock<HashMap<String, Look>> = LazyLock::new(|| {
    let mut table = csv::Reader::from_reader(include_str!("looks.csv").as_bytes());
    table
        .records()
        .filter_map(Result::ok)
        .map(|row| {
            let cell = |at: usize| row.get(at).unwrap_or_default();
            let look = Look { words: cell(1).to_owned(), light_years: cell(2).parse().ok() };
            (cell(0).to_owned(), look)
        })
        .collect()
});

/// What to look for.
#[must_use]
pub fn words(aim: Aim) -> String {
    if let Some(body) = aim.body() {
        return of_body(body).to_owned();
    }
    let look = LOOKS.get(aim.code()).map(|look| look.words.clone());
    let known = || aim.object().and_then(|object| object.words).map(ToOwned::to_owned);
    let kind = || match aim {
        Aim::Night(Target::Object(object)) => {
            format!("{}.", crate::web::format::sentence_case(object.kind.in_words()))
        }
        Aim::Night(Target::Body(_)) | Aim::Sun => String::new(),
    };
    look.or_else(known).unwrap_or_else(kind)
}

fn of_body(body: Body) -> &'static str {
    match body {
        Body::Sun => {
            "Through the filter: a calm disc, and on it perhaps dark spots, each as wide as the Earth or wider."
        }
        Body::Moon => "Shadows where night and day meet: the rims of craters and single peaks.",
        Body::Mercury => "A tiny disc in the twilight that shows a phase, like the Moon.",
        Body::Venus => {
            "Dazzling white, with a phase like the Moon’s: its clouds hide everything else."
        }
        Body::Mars => "An orange disc. Wait for calm moments: a white cap, dark patches.",
        Body::Jupiter => {
            "Two brown belts, and up to four moons in a line: come back in an hour, they have moved."
        }
        Body::Saturn => {
            "The ring. Is there a dark gap in it? The star beside it is its moon Titan."
        }
        Body::Uranus => "A blue-green disc, so small that it is nearly a star.",
        Body::Neptune => "A blue dot: the farthest planet.",
    }
}

/// How far it is, in one sentence; nothing where nobody here knows.
#[must_use]
pub fn far(aim: Aim, at: Instant, site: Site) -> Option<String> {
    if let Some(body) = aim.body() {
        let km = sighting(&Frame::at(at), site, body).distance_km;
        return Some(body_far(km));
    }
    let light_years = LOOKS.get(aim.code())?.light_years?;
    Some(format!(
        "About {} light-years away: the light you see left it that many years ago.",
        rounded(light_years)
    ))
}

fn body_far(km: f64) -> String {
    let seconds = km / LIGHT_KM_PER_S;
    let age = match seconds {
        s if s < 10.0 => format!("{s:.1} seconds"),
        s if s < 5_400.0 => format!("{:.0} minutes", s / 60.0),
        s => format!("{:.1} hours", s / 3_600.0),
    };
    let away = if km < 1e6 {
        format!("{} km", thousands((km / 1_000.0).round() * 1_000.0))
    } else {
        format!("{} million km", thousands((km / 1e6).round()))
    };
    format!("{away} away tonight: its light has been under way for {age}.").replace(
        "tonight", // By day the word would be odd.
        "now",
    )
}

/// "2.5 million", "23,000", "83".
fn rounded(number: f64) -> String {
    if number >= 1e6 {
        let millions = number / 1e6;
        let whole = (millions - millions.round()).abs() < 0.05;
        return if whole {
            format!("{millions:.0} million")
        } else {
            format!("{millions:.1} million")
        };
    }
    if number < 20.0 && number.fract() > 0.0 {
        return format!("{number:.1}");
    }
    thousands(number)
}

fn thousands(number: f64) -> String {
    let digits = format!("{number:.0}");
    let mut text = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::{Height, Latitude, Longitude};

    #[test]
    fn every_row_of_the_table_is_about_something_that_there_is() {
        assert!(LOOKS.len() > 50, "{}", LOOKS.len());
        for (code, look) in LOOKS.iter() {
            let aim: Aim = code.parse().unwrap_or_else(|fault| panic!("{code}: {fault}"));
            assert_eq!(aim.code(), code, "write it as the table of objects does");
            assert!(look.words.ends_with(['.', '?']), "{code}: {}", look.words);
            assert!(look.light_years.is_none_or(|far| (4.0..1e8).contains(&far)), "{code}");
        }
    }

    #[test]
    fn what_newcomers_like_most_has_words_and_a_distance() {
        for object in crate::sky::catalogue::objects() {
            let aim = Aim::Night(Target::Object(object));
            assert!(!words(aim).is_empty(), "{}", object.name);
            let northern = object.rank == 3 && object.dec_deg > -30.0 && object.name != "NGC 253";
            assert!(!northern || LOOKS.contains_key(aim.code()), "{} has no words", aim.code());
        }
    }

    #[test]
    fn distances_are_told_as_people_say_them() {
        assert_eq!(rounded(2_500_000.0), "2.5 million");
        assert_eq!(rounded(12e6), "12 million");
        assert_eq!(rounded(23_000.0), "23,000");
        assert_eq!(rounded(11.4), "11.4");
        // The mean distances of the almanacs: the Moon 384,400 km, the Sun 149.6 million km.
        assert!(
            body_far(384_400.0)
                .starts_with("384,000 km away now: its light has been under way for 1.3 s")
        );
        assert!(
            body_far(149_597_870.7).contains("150 million km")
                && body_far(149_597_870.7).contains("8 minutes")
        );
    }

    #[test]
    fn the_moon_is_as_far_as_the_almanac_says() {
        // 2026-06-05 12:00 UTC. The Moon's distance lies between 356,400 and 406,700 km (published
        // extremes; from the surface up to 6,400 km less).
        let site = Site {
            latitude: Latitude::new(52.0).unwrap(),
            longitude: Longitude::new(-2.0).unwrap(),
            height: Height::new(100.0).unwrap(),
        };
        let at = Instant::from_unix_seconds(1_780_660_800.0).unwrap();
        let km = sighting(&Frame::at(at), site, Body::Moon).distance_km;
        assert!((350_000.0..406_700.0).contains(&km), "{km}");
        assert!(far(Aim::Sun, at, site).unwrap().contains("152 million km"));
        assert!(
            far("Cr 399".parse().unwrap(), at, site).is_none(),
            "its stars are at many distances"
        );
    }
}
