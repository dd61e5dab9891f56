//! Sample plans, rare states included.

use jiff::civil::{Date, date};

use super::kit::PlanKit;
use super::page::{PlanPage, SiteChoice, Way};
use super::shown::{Ask, nights};
use crate::club::Zone;
use crate::eye::Observer;
use crate::gallery::{Sample, frame};
use crate::kit::{Question, Usage};
use crate::observing::site::{ObservingSite, SkyBrightness};
use crate::optics::testing::{eyepiece, telescope};
use crate::optics::{
    ApparentField, Barlow, BarlowFactor, Barrel, EyeRelief, Eyepiece, EyepieceFocalLength,
    EyepieceSpec,
};
use crate::sheet::Name;
use crate::sky::{Height, Horizon, Latitude, Longitude, Site};
use crate::web::field::{Choice, Field};
use crate::web::frame::{Place, Scheme};

fn site(latitude: f64, sky: f64) -> ObservingSite {
    ObservingSite {
        name: Name::new("The <script>alert(1)</script> meadow").unwrap(),
        place: Site {
            latitude: Latitude::new(latitude).unwrap(),
            longitude: Longitude::new(-2.1).unwrap(),
            height: Height::new(110.0).unwrap(),
        },
        zone: Zone::new("Europe/London").unwrap(),
        sky: SkyBrightness::new(sky).unwrap(),
        horizon: Horizon::LEVEL,
        seeing: None,
    }
}

/// An 8-inch with four eyepieces, one of unknown field, and a Barlow.
pub(crate) fn ask(latitude: f64, evenings: Vec<Date>) -> Ask {
    let known = |mm: f64| {
        Eyepiece::new(EyepieceSpec {
            apparent_field: ApparentField::new(60.0).ok(),
            eye_relief: EyeRelief::new(20.0).ok(),
            barrel: Some(Barrel::Standard),
            ..EyepieceSpec::new(EyepieceFocalLength::new(mm).unwrap())
        })
        .unwrap()
    };
    let eyepieces = vec![eyepiece(32.0), known(25.0), known(12.0), known(7.0)];
    let observer = Observer::anyone();
    Ask {
        question: Question { observer, seeing: None, usage: Usage::Night, tonight: None },
        kit: PlanKit {
            telescope_name: "Orchard 8-inch".into(),
            telescope: telescope(203.2, 1219.0),
            eyepiece_names: ["32 mm", "25 mm", "<script>alert(1)</script>", "7 mm"]
                .map(Into::into)
                .into(),
            eyepieces,
            barlow_names: vec!["the 2× Barlow".into()],
            barlows: vec![Barlow::new(BarlowFactor::new(2.0).unwrap())],
        },
        site: site(latitude, 21.3),
        evenings,
    }
}

pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
    let page = |ask: &Ask, obstacle: Option<&str>| PlanPage {
        frame: frame("What to look at", scheme).at(Place::Mine),
        back: Way { address: "/mine/41".into(), label: "The reservation".into() },
        asked: format!("With the Orchard 8-inch, at {}.", ask.site.name),
        choice: SiteChoice {
            path: "/mine/41/plan".into(),
            hidden: vec![("from", "\"><script>alert(1)</script>".into())],
            site: Field::of("1"),
            sites: vec![Choice::new("1", "Windmill Hill"), Choice::new("2", "Long Meadow")],
        },
        obstacle: obstacle.map(Into::into),
        nights: nights(ask),
        others: vec![Way { address: "/mine/41/plan".into(), label: "Later nights".into() }],
    };
    let dark = ask(52.3, vec![date(2026, 10, 9), date(2026, 10, 24)]);
    let never_dark = ask(78.2, vec![date(2026, 6, 20)]);
    let none = ask(52.3, Vec::new());
    vec![
        Sample::of("plan", &page(&dark, None)),
        Sample::of("plan-midnight-sun", &page(&never_dark, None)),
        Sample::of("plan-none", &page(&none, Some("There is no telescope among these pieces."))),
    ]
}

#[test]
fn a_plan_names_its_stops_and_says_how_dark_it_is() {
    let shown = nights(&ask(52.3, vec![date(2026, 10, 9)]));
    let night = &shown[0];
    assert!(night.stops.len() >= 6, "{:?}", night.stops);
    assert!(night.darkness.starts_with("Fully dark from "), "{}", night.darkness);
    assert!(night.stops.iter().all(|stop| stop.through.contains('×')));
    assert!(night.stops.iter().any(|stop| stop.field.is_some()));
    let day = nights(&ask(78.2, vec![date(2026, 6, 20)]));
    assert!(day[0].stops.is_empty(), "{:?}", day[0].stops);
    assert!(day[0].darkness.contains("never gets fully dark"));
}
