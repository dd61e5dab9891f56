//! A plan ready to be shown.

use jiff::civil::Date;

use super::super::outlook::seeing_of;
use super::super::place;
use super::super::site::ObservingSite;
use super::field_picture::FieldPicture;
use super::kit::PlanKit;
use super::timeline::{Size, Timeline};
use super::words;
use crate::kit::plan::{Air, KitGlass, Stop, stops};
use crate::kit::{Question, Settings};
use crate::sky::Night;
use crate::sky::tonight::Target;
use crate::web::format;

/// Most stops of one night: an evening's worth.
const MOST_STOPS: usize = 9;

/// A stop as a page shows it.
#[derive(Clone, Debug, PartialEq)]
pub struct StopShown {
    /// "Great Globular (M 13)".
    pub name: String,
    /// What it is, in a few words.
    pub kind: String,
    /// Why it is worth a look; may be empty.
    pub why: &'static str,
    /// When, how high, where.
    pub when: String,
    /// Through which view.
    pub through: String,
    /// What the view shows.
    pub shows: Vec<String>,
    /// The field with it inside.
    pub field: Option<FieldPicture>,
    /// How wide the field is: "1.07° of sky".
    pub field_words: String,
}

/// A night as a page shows it.
#[derive(Clone, Debug, PartialEq)]
pub struct NightShown {
    /// Its name as a part of the page, `night-2026-06-05`.
    pub id: String,
    /// "Friday 5 June 2026".
    pub title: String,
    /// How dark it gets, and the Moon.
    pub darkness: String,
    /// The picture for a phone and for a wide window.
    pub pictures: Vec<Timeline>,
    /// What the picture says, for those who do not see it.
    pub picture_words: String,
    /// The stops, in order.
    pub stops: Vec<StopShown>,
}

/// Everything of a plan that takes time to work out.
pub struct Ask {
    /// The eyes and the air.
    pub question: Question,
    /// The pieces.
    pub kit: PlanKit,
    /// Where.
    pub site: ObservingSite,
    /// When.
    pub evenings: Vec<Date>,
}

/// The nights of a plan. A night that the calendar or the sky does not know is left out.
#[must_use]
pub fn nights(ask: &Ask) -> Vec<NightShown> {
    let settings = Settings::default();
    let seeing = seeing_of(&ask.question, &ask.site);
    let question = Question { seeing, ..ask.question.clone() };
    let views = ask.kit.views(&question, &settings);
    let air = Air {
        zenith: ask.site.sky.mag(),
        seeing_arcsec: seeing.unwrap_or(settings.seeing_assumed).arcsec(),
    };
    ask.evenings
        .iter()
        .filter_map(|date| {
            let noon = place::noon(*date, ask.site.zone.rules()).ok()?;
            let night = Night::after(noon, ask.site.place).behind(ask.site.horizon);
            let stops = stops(&night, &views, air, MOST_STOPS);
            Some(shown(ask, *date, &night, &stops, &views))
        })
        .collect()
}

fn shown(ask: &Ask, date: Date, night: &Night, stops: &[Stop], views: &[KitGlass]) -> NightShown {
    let zone = ask.site.zone.rules();
    let all: Vec<StopShown> =
        stops.iter().filter_map(|stop| Some(one(ask, stop, views.get(stop.view)?))).collect();
    let names: Vec<&str> = all.iter().map(|stop| stop.name.as_str()).collect();
    let darkness = words::darkness(night, zone);
    let picture_words = if names.is_empty() {
        darkness.clone()
    } else {
        format!("{darkness} In the order in which they stand best: {}.", format::list(&names))
    };
    NightShown {
        id: format!("night-{date}"),
        title: format::night(date),
        darkness,
        pictures: [Size::NARROW, Size::WIDE]
            .into_iter()
            .map(|size| Timeline::of(night, stops, zone, size))
            .collect(),
        picture_words,
        stops: all,
    }
}

fn one(ask: &Ask, stop: &Stop, glass: &KitGlass) -> StopShown {
    let name = stop.showing.target.full_name();
    StopShown {
        name: match stop.showing.target {
            Target::Body(_) => format::sentence_case(&name),
            Target::Object(_) => name,
        },
        kind: words::kind(stop),
        why: match stop.showing.target {
            Target::Object(object) => object.words.unwrap_or_default(),
            Target::Body(_) => "",
        },
        when: words::when(stop, ask.site.zone.rules()),
        through: ask.kit.view_in_words(glass),
        shows: words::shows(stop, glass, ask.kit.tracks()),
        field: FieldPicture::of(stop, glass),
        field_words: glass
            .glass
            .facts
            .true_field_deg
            .map_or_else(String::new, |deg| format!("{} of sky", format::field(deg))),
    }
}
