//! The public page of a night, for whoever has its address, and its entry for calendars. No names
//! of people, no numbers of pieces.

use askama::Template;
use askama_web::WebTemplate;
use axum::extract::State;
use axum::http::header;
use axum::response::{IntoResponse, Response};
use jiff::Timestamp;

use super::keeping::{NotKept, around};
use super::looks;
use super::model::{NightState, Occasion, PublicNight};
use super::shown::hours_of;
use super::store;
use crate::lending::cautions::{Topic, about};
use crate::lending::feed::{Entry, Feed, Sure, When};
use crate::sky::Instant;
use crate::store::{Reading, Store};
use crate::web::body::Path;
use crate::web::clock::Clock;
use crate::web::format;
use crate::web::frame::Frame;
use crate::web::problem::Problem;
use crate::web::site::Site;
use crate::web::visit::Visit;

/// Something that is shown, as visitors read of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shows {
    /// What.
    pub name: String,
    /// From when on.
    pub from: String,
    /// What to look for.
    pub look: String,
}

/// The public page.
#[derive(Template, WebTemplate)]
#[template(path = "public_night/visit.html")]
pub struct VisitPage {
    /// The frame.
    pub frame: Frame,
    /// "Friday 20 November 2026".
    pub date: String,
    /// "18:00 to 20:15".
    pub hours: String,
    /// Where.
    pub site: String,
    /// The day in its place if it rains.
    pub rain: Option<String>,
    /// Whether it is cancelled.
    pub cancelled: bool,
    /// Whether it is over.
    pub over: bool,
    /// Whether it is by day.
    pub solar: bool,
    /// How many telescopes there are, in words.
    pub telescopes: String,
    /// What is shown, each once; empty while nobody may say.
    pub shows: Vec<Shows>,
    /// Whether something stands within reach of a wheelchair.
    pub wheelchairs: bool,
    /// What to bring and to know.
    pub hints: Vec<&'static str>,
    /// The address of the entry for calendars.
    pub calendar: String,
}

fn nowhere() -> Problem {
    Problem::not_found("Nothing is announced under this address: it was closed, or never opened.")
        .next("Ask whoever gave you the address.")
}

async fn behind(store: &Store, slug: &str) -> Result<(PublicNight, Reading), Problem> {
    let mut conn = store.reader().acquire().await?;
    let night = store::behind(&mut conn, slug).await?.ok_or_else(nowhere)?;
    Ok((night, conn))
}

/// `GET /visit/{slug}`
///
/// # Errors
/// 404 where the address leads nowhere.
pub async fn page(
    State(db): State<Store>,
    State(clock): State<Clock>,
    visit: Visit,
    Path(slug): Path<String>,
) -> Result<VisitPage, Problem> {
    let (night, mut conn) = behind(&db, &slug).await?;
    let around = around(&mut conn, &night, clock.today()).await?;
    let occasion = &night.occasion;
    let open = super::gate::judge(&around.case(&night)).is_ok();
    let cancelled = night.state == NightState::Cancelled;
    let solar = occasion.purpose == super::model::Purpose::Solar;
    Ok(VisitPage {
        frame: visit.frame(occasion.name.to_string()),
        date: format::night(occasion.date),
        hours: hours_of(occasion),
        site: around.site.as_ref().map_or_else(String::new, |site| site.name.to_string()),
        rain: occasion.rain_date.map(format::night),
        cancelled,
        over: occasion.last_day() < clock.today(),
        solar,
        telescopes: format::count(night.stations.len(), "telescope", "telescopes"),
        shows: if open && !cancelled { shows(&night, &around) } else { Vec::new() },
        wheelchairs: occasion.wheelchairs > 0,
        hints: hints(occasion, solar),
        calendar: format!("/visit/{slug}/calendar.ics"),
    })
}

/// Each thing once, by when it is shown first.
fn shows(night: &PublicNight, around: &super::keeping::Around) -> Vec<Shows> {
    let Some(hours) = &around.hours else { return Vec::new() };
    let mut found: Vec<(usize, Shows)> = Vec::new();
    for station in &night.stations {
        for (slot, aim) in station.aims.iter().enumerate() {
            let (Some(aim), Some(stretch)) = (aim, hours.slots.get(slot)) else { continue };
            let name = aim.name();
            let from = hours.clock(stretch.from);
            match found.iter_mut().find(|(_, one)| one.name == name) {
                Some((first, one)) if slot < *first => {
                    *first = slot;
                    one.from = from;
                }
                Some(_) => {}
                None => found.push((slot, Shows { name, from, look: looks::words(*aim) })),
            }
        }
    }
    found.sort_by_key(|(slot, _)| *slot);
    found.into_iter().map(|(_, one)| one).collect()
}

fn hints(occasion: &Occasion, solar: bool) -> Vec<&'static str> {
    let mut all = Vec::new();
    if solar {
        all.push(about(Topic::Sun).short);
        all.push("Look only through the telescopes that the club’s helpers attend.");
    } else {
        all.push("Dress for standing still in the cold, and bring a torch with red light if you have one.");
        all.push("Please leave white lights and screens in your pockets near the telescopes.");
        all.push("Walk slowly: tripod legs and cables are hard to see in the dark.");
    }
    all.push("Glasses may stay on.");
    if occasion.children > 0 {
        all.push("Children look together with an adult; there are steps for short legs.");
    }
    all.push("Clouds decide: look here again before you set out.");
    all
}

/// `GET /visit/{slug}/calendar.ics`
///
/// # Errors
/// 404 where the address leads nowhere.
pub async fn calendar(
    State(db): State<Store>,
    State(clock): State<Clock>,
    State(site): State<Site>,
    Path(slug): Path<String>,
) -> Result<Response, Problem> {
    let (night, mut conn) = behind(&db, &slug).await?;
    let around = around(&mut conn, &night, clock.today()).await?;
    let occasion = &night.occasion;
    let when = match &around.hours {
        Some(hours) => When::Hours(stamp(hours.whole.from), stamp(hours.whole.to)),
        None => When::Nights(
            super::keeping::nights_of(&night).map_err(|why: NotKept| Problem::from(why))?,
        ),
    };
    let place = around.site.as_ref().map_or_else(String::new, |place| place.name.to_string());
    let feed = Feed {
        name: occasion.name.to_string(),
        club: site.club.to_string(),
        now: clock.now(),
        entries: vec![Entry {
            key: format!("public night {}", night.id),
            when,
            place,
            sequence: night.version,
            summary: occasion.name.to_string(),
            description: match occasion.rain_date {
                Some(rain) => format!("If it rains: {}.", format::night(rain)),
                None => String::new(),
            },
            link: Some(site.link(&format!("/visit/{slug}"))),
            sure: match night.state {
                NightState::Cancelled => Sure::Cancelled,
                _ => Sure::Confirmed,
            },
        }],
    };
    let headers = [
        (header::CONTENT_TYPE, "text/calendar; charset=utf-8"),
        (header::CACHE_CONTROL, "no-cache"),
    ];
    Ok((headers, feed.written()).into_response())
}

fn stamp(at: Instant) -> Timestamp {
    Timestamp::from_second(at.unix_seconds().round() as i64).unwrap_or_default()
}

#[cfg(test)]
pub(crate) fn samples(scheme: crate::web::frame::Scheme) -> Vec<crate::gallery::Sample> {
    use crate::gallery::{Sample, door};
    let page = |cancelled: bool, over: bool, solar: bool| VisitPage {
        frame: door("Moon over the school <script>alert(1)</script>", scheme),
        date: "Friday 20 November 2026".into(),
        hours: "18:00 to 20:15".into(),
        site: "Windmill Hill".into(),
        rain: Some("Friday 27 November 2026".into()),
        cancelled,
        over,
        solar,
        telescopes: "four telescopes".into(),
        shows: vec![Shows {
            name: "The Moon".into(),
            from: "18:00".into(),
            look: "Shadows where night and day meet.".into(),
        }],
        wheelchairs: true,
        hints: vec!["Glasses may stay on."],
        calendar: "/visit/moon/calendar.ics".into(),
    };
    vec![
        Sample::of("public-night-visit", &page(false, false, false)),
        Sample::of("public-night-visit-cancelled", &page(true, false, false)),
        Sample::of("public-night-visit-over", &page(false, true, true)),
    ]
}
