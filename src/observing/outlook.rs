//! What the sky over the club's site means for a kit, in numbers and in words.

use std::sync::Arc;

use jiff::civil::Date;
use serde::Serialize;
use utoipa::ToSchema;

use super::place;
use super::sites::{self, ObservingSite, SiteError, SiteId};
use crate::kit::Question;
use crate::kit::purpose::{Kind, WEIGHT_SUM};
use crate::kit::real_sky::{self, NightOutlook, Outlook};
use crate::optics::Seeing;
use crate::sky::Night;
use crate::store::Store;

/// Of a long stretch so many nights are looked at, evenly spread: the sky changes slowly.
const MOST_NIGHTS: usize = 5;

/// Changes of a kind's share smaller than this are not worth a word.
const WORTH_A_WORD: f64 = 0.05;

/// The sky over the club's site on some nights, and what it does to the choice.
#[derive(Debug, Clone, PartialEq)]
pub struct ClubSky {
    /// Where.
    pub site: ObservingSite,
    /// The nights looked at.
    pub nights: Vec<Date>,
    /// What they mean.
    pub outlook: Arc<Outlook>,
}

/// The sky on these evenings over the site of this number, or over the club's usual one; `None`
/// where the club has no site, or nothing shows.
///
/// # Errors
/// The database could not answer.
pub async fn over_the_club(
    store: &Store,
    site: Option<SiteId>,
    evenings: &[Date],
) -> Result<Option<ClubSky>, SiteError> {
    let mut conn = store.reader().acquire().await?;
    let Some(kept) = sites::site_or_usual(&mut conn, site).await? else { return Ok(None) };
    drop(conn);
    let site = kept.site;
    let nights = spread(evenings);
    let work = move || {
        let found: Vec<Night> = nights
            .iter()
            .filter_map(|date| place::noon(*date, site.zone.rules()).ok())
            .map(|noon| Night::after(noon, site.place).behind(site.horizon))
            .collect();
        let outlook = Arc::new(real_sky::outlook(&found, site.sky.mag())?);
        Some(ClubSky { site, nights, outlook })
    };
    Ok(crate::choosing::desk::off_thread(work).await.ok().flatten())
}

/// How steady the air is: what somebody says of it counts before what is usual at the site.
#[must_use]
pub fn seeing_of(question: &Question, site: &ObservingSite) -> Option<Seeing> {
    question.seeing.or(site.seeing)
}

/// At most [`MOST_NIGHTS`] of these evenings, evenly spread, first and last among them.
fn spread(evenings: &[Date]) -> Vec<Date> {
    if evenings.len() <= MOST_NIGHTS {
        return evenings.to_vec();
    }
    let last = evenings.len() - 1;
    (0..MOST_NIGHTS).map(|at| evenings[at * last / (MOST_NIGHTS - 1)]).collect()
}

/// The sky behind an answer.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct SkyAnswer {
    /// The site's name.
    pub site: String,
    /// The nights looked at.
    pub nights: Vec<SkyNightAnswer>,
    /// What the kit was chosen for, with its share of the whole.
    pub purposes: Vec<SkyPurposeAnswer>,
    /// What that changed against the general mix, and why.
    pub changed: Vec<String>,
}

/// One night in short.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct SkyNightAnswer {
    /// The local evening's date.
    #[schema(format = "date")]
    pub night: String,
    /// Hours with the Sun below −18° and the Moon down or faint.
    pub dark_hours: f64,
    /// The lit share of the Moon.
    pub moon_illuminated_fraction: f64,
}

/// Something that will be up.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct SkyPurposeAnswer {
    /// Its stable name, as under `matrix`.
    pub id: &'static str,
    /// Its name for people.
    pub name: &'static str,
    /// Its share, 0–1.
    pub weight: f64,
}

impl From<&ClubSky> for SkyAnswer {
    fn from(sky: &ClubSky) -> Self {
        let mut purposes: Vec<SkyPurposeAnswer> = sky
            .outlook
            .mix
            .iter()
            .filter(|purpose| purpose.weight > 0)
            .map(|purpose| SkyPurposeAnswer {
                id: purpose.id,
                name: purpose.name,
                weight: f64::from(purpose.weight) / f64::from(WEIGHT_SUM),
            })
            .collect();
        purposes.sort_by(|a, b| b.weight.total_cmp(&a.weight).then(a.id.cmp(b.id)));
        Self {
            site: sky.site.name.to_string(),
            nights: sky
                .nights
                .iter()
                .zip(&sky.outlook.nights)
                .map(|(date, night)| SkyNightAnswer {
                    night: date.to_string(),
                    dark_hours: night.dark_s / 3600.0,
                    moon_illuminated_fraction: night.moon_lit,
                })
                .collect(),
            purposes,
            changed: words(&sky.outlook),
        }
    }
}

/// What the sky changed, and why: one sentence each.
#[must_use]
pub fn words(outlook: &Outlook) -> Vec<String> {
    let mut words = vec![darkness(&outlook.nights)];
    let names: Vec<&str> =
        outlook.leading.iter().take(4).map(|(target, _)| target.name()).collect();
    if let [most @ .., last] = names.as_slice()
        && !most.is_empty()
    {
        words.push(format!("What counts most: {} and {last}.", most.join(", ")));
    }
    let changes = Kind::ALL
        .into_iter()
        .map(|kind| (kind, outlook.shares[kind as usize], outlook.usual_shares[kind as usize]));
    let mut changes: Vec<(Kind, f64, f64)> =
        changes.filter(|(_, now, usual)| (now - usual).abs() >= WORTH_A_WORD).collect();
    changes.sort_by(|a, b| (b.1 - b.2).total_cmp(&(a.1 - a.2)));
    for (kind, now, usual) in changes {
        let more = if now > usual { "more" } else { "less" };
        words.push(format!(
            "{} count {more} than usual: {:.0}% instead of {:.0}%.",
            capital(kind.in_words()),
            now * 100.0,
            usual * 100.0
        ));
    }
    words
}

/// How dark the nights are, and what stands in the way.
fn darkness(nights: &[NightOutlook]) -> String {
    let count = nights.len().max(1) as f64;
    let mean = |part: fn(&NightOutlook) -> f64| nights.iter().map(part).sum::<f64>() / count;
    let (dark, deep) = (mean(|night| night.dark_s) / 3600.0, mean(|night| night.deep_s) / 3600.0);
    let lit = mean(|night| night.moon_lit) * 100.0;
    if deep < 0.25 {
        return "The sky never gets fully dark on these nights: the Sun stays close below the horizon."
            .into();
    }
    if dark < 0.25 {
        return format!("The Moon, {lit:.0}% lit, is up whenever the Sun is far down.");
    }
    if deep - dark > 1.0 {
        return format!(
            "The sky is dark for about {dark:.0} of {deep:.0} hours; for the rest the Moon, {lit:.0}% lit, is up."
        );
    }
    format!("The sky is dark for about {dark:.0} hours a night, with the Moon out of the way.")
}

fn capital(words: &str) -> String {
    let mut signs = words.chars();
    signs.next().map_or_else(String::new, |first| first.to_uppercase().chain(signs).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::{Height, Instant, Latitude, Longitude, Site};
    use jiff::civil::date;

    #[test]
    fn a_long_stretch_is_looked_at_from_its_first_night_to_its_last() {
        let evenings: Vec<Date> = (1..=28).map(|day| date(2027, 2, day)).collect();
        let chosen = spread(&evenings);
        assert_eq!(chosen.len(), MOST_NIGHTS);
        assert_eq!((chosen[0], chosen[4]), (evenings[0], evenings[27]));
        assert_eq!(spread(&evenings[..3]), &evenings[..3]);
    }

    #[test]
    fn the_words_say_why() {
        let site = Site {
            latitude: Latitude::new(52.0).unwrap(),
            longitude: Longitude::new(-2.0).unwrap(),
            height: Height::new(100.0).unwrap(),
        };
        let told = |noon: f64| {
            let night = Night::after(Instant::from_unix_seconds(noon).unwrap(), site);
            words(&real_sky::outlook(&[night], 21.0).unwrap())
        };
        // Noon of 2026-10-10 (new Moon), of 2026-10-26 (full) and of 2026-06-20.
        let dark = told(1_791_633_600.0);
        assert!(dark[0].contains("out of the way"), "{dark:?}");
        assert!(told(1_793_016_000.0)[0].starts_with("The Moon, "));
        assert!(told(1_781_956_800.0)[0].contains("never gets fully dark"));
        assert!(dark.iter().any(|one| one.starts_with("What counts most: ")), "{dark:?}");
    }
}
