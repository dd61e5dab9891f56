//! Pages of public nights with sample values, for the gallery.

use super::edit_page::EditPage;
use super::form::{NightForm, Typed};
use super::model::NightState;
use super::night_page::{HelperPage, NightPage, Refusal, Reserved, Runs};
use super::night_pages::cautions;
use super::print_page::{
    CardsPage, Inspected, InspectionPage, Load, PackingPage, RunLine, RunSheetPage, StopCard,
};
use super::shown::{HelperShown, NightShown, PieceShown, SlotShown, StationShown};
use super::station_page::{SlotField, StationPage};
use crate::gallery::{Sample, signed_in};
use crate::people::rights::Role;
use crate::web::field::{Choice, Field};
use crate::web::frame::{Frame, Place, Scheme};

const ODD: &str = "\"><script>alert(1)</script>";

fn frame(title: &str, scheme: Scheme, role: Role) -> Frame {
    signed_in(title, scheme, "Adaeze Okonjo-Hart", &[role])
        .at(Place::PublicNights)
        .returning_to("/public-nights/1")
}

fn piece(tag: &str, name: &str) -> PieceShown {
    PieceShown { id: 7, tag: tag.into(), name: name.into(), address: format!("/shelf/{tag}") }
}

fn slot(time: &str, name: &str, hidden: bool) -> SlotShown {
    SlotShown {
        time: time.into(),
        name: name.into(),
        place: "41° high in the south-east".into(),
        hidden,
        again: false,
    }
}

pub(crate) fn station(number: i64) -> StationShown {
    StationShown {
        number,
        telescope: piece("T-001", "The Orchard 8-inch"),
        eyepiece: Some(piece("E-017", "17 mm wide-field, long relief")),
        spare: Some(piece("E-020", "25 mm")),
        filter: None,
        helper: Some("Wren".into()),
        finder: "Nothing done yet",
        finder_done: false,
        slots: vec![
            slot("18:00", "The Moon", false),
            slot("18:30", "Saturn", true),
            slot("19:00", "", false),
        ],
        why: vec!["Long relief, so that glasses stay on.".into()],
        reach: vec!["The eyepiece stands 1.2 m high: grown-ups stand.".into()],
        queue: "Serves about 40 visitors; they wait about 6 minutes.".into(),
        by_hand: false,
        address: format!("/public-nights/1/stations/{number}"),
    }
}

pub(crate) fn night(state: NightState) -> NightShown {
    NightShown {
        id: 1,
        version: 3,
        name: format!("Moon over the school {ODD}"),
        date: "Friday 20 November 2026".into(),
        hours: "18:00 to 20:15".into(),
        site: "Windmill Hill".into(),
        state,
        solar: false,
        in_the_sun: false,
        sun: "The Sun is down all the while.".into(),
        crowd: "90 visitors, 60 of them children".into(),
        shut: Vec::new(),
        facts: vec![("Power", "None".into()), ("If it rains", "Friday 27 November 2026".into())],
        has_rain_date: true,
        times: vec!["18:00".into(), "18:30".into(), "19:00".into()],
        helpers: vec![
            HelperShown { number: 1, name: "Wren".into(), runs: vec!["T-001".into()] },
            HelperShown { number: 2, name: ODD.into(), runs: Vec::new() },
        ],
        stations: vec![station(1), StationShown { helper: None, ..station(2) }],
        told: vec!["Chosen together and proven.".into()],
        queues: vec!["One more station would shorten the wait by four minutes.".into()],
        seated: Some("One visitor comes in a wheelchair.".into()),
    }
}

fn page(scheme: Scheme, night: NightShown, role: Role) -> NightPage {
    NightPage {
        frame: frame("Moon over the school", scheme, role),
        cautions: cautions(night.in_the_sun),
        keeps: role == Role::Outreach,
        notice: None,
        refusal: None,
        reserved: None,
        members: vec![Choice::new("4", "Bertram Aldous")],
        member: Field::default(),
        first_name: Field::default(),
        public: None,
        night,
    }
}

pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
    let shut = NightShown {
        solar: true,
        in_the_sun: true,
        shut: vec![
            "T-001 at station 1 stands in the Sun and has no front filter of its own.".into(),
        ],
        stations: vec![StationShown { slots: Vec::new(), ..station(1) }],
        ..night(NightState::Draft)
    };
    let refused = NightPage {
        refusal: Some(Refusal {
            says: vec!["T-001 is taken.".into()],
            put_away: Some("announce"),
            way: Some(("What the helper can run".into(), "/public-nights/1/helpers/1".into())),
        }),
        first_name: Field::refused(ODD, "Write a first name of at most 40 letters."),
        ..page(scheme, shut, Role::Outreach)
    };
    let whole = NightPage {
        notice: Some("Saved."),
        reserved: Some(Reserved {
            stands: "confirmed",
            address: Some("/mine/4".into()),
            holds: true,
        }),
        public: Some("https://example.org/visit/moon-2026-11-20-0123456789abcdef".into()),
        ..page(scheme, night(NightState::Announced), Role::Outreach)
    };
    let empty = NightShown {
        stations: Vec::new(),
        told: Vec::new(),
        helpers: Vec::new(),
        ..night(NightState::Draft)
    };
    let mut form =
        NightForm::typed(&Typed { name: ODD.into(), date: "soon".into(), ..Typed::default() });
    assert!(form.check(&[]).is_none());
    let edit = |form, version| EditPage {
        frame: frame("A new public night", scheme, Role::Outreach),
        form,
        action: "/public-nights".into(),
        back: "/public-nights".into(),
        version,
        sites: vec![Choice::new("1", "Windmill Hill, a country sky")],
        refusal: version.map(|_| Refusal {
            says: vec!["Nobody attends T-001.".into()],
            put_away: Some("change"),
            way: None,
        }),
    };
    vec![
        Sample::of("public-night", &whole),
        Sample::of("public-night-refused", &refused),
        Sample::of("public-night-empty", &page(scheme, empty, Role::Outreach)),
        Sample::of(
            "public-night-member",
            &page(scheme, night(NightState::Announced), Role::Member),
        ),
        Sample::of("public-night-new", &edit(NightForm::typed(&Typed::default()), None)),
        Sample::of("public-night-wrong", &edit(form, Some(2))),
        Sample::of("public-night-helper", &helper(scheme)),
        Sample::of("public-night-station", &by_hand(scheme)),
        Sample::of("public-night-station-named", &named(scheme)),
    ]
}

fn helper(scheme: Scheme) -> HelperPage {
    HelperPage {
        frame: frame("Wren", scheme, Role::Outreach),
        back: "/public-nights/1".into(),
        night: "Moon over the school".into(),
        number: 1,
        version: 3,
        notice: Some(
            "Wren is on the list, and needs a telescope to run: tick what they can.".into(),
        ),
        member: true,
        telescopes: vec![
            Runs {
                id: 1,
                tag: "T-001".into(),
                name: "The Orchard 8-inch".into(),
                ticked: true,
                known: true,
            },
            Runs { id: 2, tag: "T-002".into(), name: ODD.into(), ticked: false, known: false },
        ],
    }
}

/// Of a club with too many pieces to choose from.
fn named(scheme: Scheme) -> StationPage {
    StationPage {
        telescope: Field::refused(ODD, "The club has no telescope so called: write its tag."),
        telescopes: None,
        eyepiece: Field::of("E-031"),
        eyepieces: None,
        filters: None,
        ..by_hand(scheme)
    }
}

fn by_hand(scheme: Scheme) -> StationPage {
    let choices = || vec![Choice::new("1", "T-001 The Orchard 8-inch"), Choice::new("2", ODD)];
    StationPage {
        frame: frame("Station 1", scheme, Role::Outreach),
        back: "/public-nights/1".into(),
        night: "Moon over the school".into(),
        action: "/public-nights/1/stations/1".into(),
        version: 3,
        there: true,
        in_the_sun: true,
        telescope: Field::of("1"),
        telescopes: Some(choices()),
        eyepiece: Field::of("2"),
        spare: Field::default(),
        eyepieces: Some(choices()),
        filter: Field::default(),
        filters: Some(choices()),
        helper: Field::default(),
        helpers: choices(),
        finder: Field::of("open"),
        finders: choices(),
        slots: vec![SlotField {
            id: "slot-0".into(),
            label: "18:00 to 18:30".into(),
            field: Field::refused(ODD, "Nothing in the sky here is called so."),
            options: vec![Choice::new("moon", "The Moon")],
        }],
        refusals: vec!["Nobody attends T-001.".into()],
    }
}

/// What is printed, in use and with the gate before the Sun shut.
pub(crate) fn printed(scheme: Scheme) -> Vec<Sample> {
    let title = |title: &str| frame(title, scheme, Role::Outreach);
    let shut = || NightShown {
        in_the_sun: true,
        shut: vec!["T-001 stands in the Sun.".into()],
        ..night(NightState::Draft)
    };
    let open = || night(NightState::Announced);
    let line = RunLine {
        number: 1,
        tag: "T-001".into(),
        helper: ODD.into(),
        shows: "The Moon".into(),
        place: "41° high in the south-east".into(),
        turns: true,
    };
    let sheet = |night, half_hours| RunSheetPage {
        frame: title("Run sheet"),
        night,
        half_hours,
        cautions: cautions(true),
    };
    let card = |sun| StopCard {
        number: 1,
        name: if sun { "The Sun".into() } else { ODD.into() },
        when: "18:00 to 19:30".into(),
        look: "Shadows where night and day meet.".into(),
        far: "384,000 km away now.".into(),
        through: "The Orchard 8-inch, magnified 71×".into(),
        reach: "Children need the low step.".into(),
        sun,
    };
    let cards = |night, cards| CardsPage { frame: title("Station cards"), night, cards };
    let load = Load {
        number: 1,
        mass: "24 kg".into(),
        stations: vec![(1, vec![piece("T-001", ODD), piece("E-017", "17 mm")])],
        lifting: vec!["The heaviest part of T-001 weighs 11 kg.".into()],
    };
    let packing = |night| PackingPage {
        frame: title("Packing list"),
        night,
        vehicles: 2,
        loads: vec![load.clone()],
        besides: vec!["Red torches for every helper"],
    };
    let look = |night| InspectionPage {
        frame: title("Inspection before the Sun"),
        night,
        telescopes: vec![Inspected {
            number: 1,
            telescope: piece("T-001", ODD),
            filter: "F-03, light test of Saturday 9 May 2026".into(),
            finder: "Capped",
            attendant: "Wren".into(),
        }],
        caution: crate::lending::cautions::about(crate::lending::cautions::Topic::Sun),
    };
    let bright = NightShown { in_the_sun: true, solar: true, ..open() };
    vec![
        Sample::of("public-night-run", &sheet(open(), vec![("18:00".into(), vec![line])])),
        Sample::of("public-night-run-shut", &sheet(shut(), Vec::new())),
        Sample::of("public-night-cards", &cards(open(), vec![card(false), card(true)])),
        Sample::of("public-night-cards-shut", &cards(shut(), Vec::new())),
        Sample::of("public-night-packing", &packing(open())),
        Sample::of("public-night-inspection", &look(bright)),
        Sample::of("public-night-inspection-night", &look(open())),
    ]
}
