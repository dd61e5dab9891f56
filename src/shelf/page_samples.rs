//! The shelf's pages with sample values.

use std::collections::BTreeMap;

use super::*;
use crate::gallery::{Sample, frame, signed_in};
use crate::people::rights::Role;
use crate::web::frame::Scheme;

const TYPED: &str = "\"><script>alert(1)</script>";

fn standing(words: &str, alarming: bool) -> Standing {
    Standing { words: words.into(), alarming }
}

fn row(tag: &str, name: &str, summary: &str, standing: Standing) -> PieceRow {
    PieceRow {
        address: format!("/shelf/{tag}"),
        tag: tag.into(),
        name: name.into(),
        summary: summary.into(),
        standing,
    }
}

fn list(scheme: Scheme) -> ShelfPage {
    ShelfPage {
        frame: signed_in("The shelf", scheme, "Ottilie Marchbanks", &[Role::Quartermaster]),
        q: Field::of("25 mm"),
        kind: String::new(),
        condition: String::new(),
        from: Field::default(),
        to: Field::default(),
        fits: String::new(),
        telescopes: Some(vec![Choice::new("1", "The Orchard 8-inch")]),
        fits_called: Field::default(),
        suits: String::new(),
        observers: vec![Choice::new("anyone", "Anyone, first time at an eyepiece")],
        order: String::new(),
        narrowed: false,
        pieces: vec![
            row("E-031", "25 mm four-element", "25 mm, 52° field", standing("In store", false)),
            row("E-032", TYPED, "25 mm", standing("Out, and was due back on Monday 1 June", true)),
            row(
                "club/2026.24-character-t",
                "A name as long as a name may be, and then some more of it to see how it breaks",
                "203 mm reflector on a rocker, f/5.9",
                standing("Needs an inspection", true),
            ),
        ],
        says: "The first 50.".into(),
        more: Some("/shelf?after=E-032".into()),
        keeper: true,
    }
}

/// Of a club with too many telescopes to choose from.
fn many(scheme: Scheme) -> ShelfPage {
    let why = "The club has no telescope so called: write its tag. Perhaps T-001 or T-014?";
    ShelfPage {
        telescopes: None,
        fits_called: Field::refused(TYPED, why),
        narrowed: true,
        ..list(scheme)
    }
}

fn photo(id: i64) -> PhotoShown {
    PhotoShown {
        id,
        small: format!("/photos/{id}/small"),
        large: format!("/photos/{id}/large"),
        width: 320,
        height: 240,
        alt: TYPED.into(),
        says: "2 June 2026, when it was looked over".into(),
    }
}

fn piece(scheme: Scheme) -> PiecePage {
    let moment = |day: &str, what: &str, changes| Moment {
        day: day.into(),
        what: what.into(),
        who: "Tomasz Wieliczka".into(),
        changes,
        photos: vec![photo(7)],
        at: 0,
    };
    let change = ("Eye relief".to_owned(), "nothing".to_owned(), TYPED.to_owned());
    PiecePage {
        frame: signed_in("25 mm four-element", scheme, "Ottilie", &[Role::Quartermaster]),
        tag: "E-031".into(),
        kind: "Eyepiece".into(),
        summary: "25 mm, 52° field, 17 mm eye relief".into(),
        standing: standing("Out, and was due back on Monday 1 June", true),
        with: "Tomasz Wieliczka has it.".into(),
        notice: Some("Saved.".into()),
        doubts: vec!["That is lighter than its barrel alone.".into()],
        ways: vec![
            Way { label: "Take it back".into(), address: "/desk/4".into(), first: true },
            Way { label: "Reserve it".into(), address: "/reserve?items=1".into(), first: false },
        ],
        facts: vec![("Focal length".into(), "25 mm".into())],
        notes: format!("Scratch near the rim. {TYPED}"),
        photos: PhotosPart {
            all: vec![photo(8), photo(7)],
            page: "/shelf/E-031".into(),
            wrong: Some(format!("“{TYPED}” can't be taken: it is no photo.")),
        },
        set: vec!["Finder".into(), TYPED.into()],
        coming: vec![
            Coming {
                nights: "Friday 5 to Sunday 7 June 2026".into(),
                who: "Adaeze Okonjo-Hart".into(),
                address: Some("/desk/5".into()),
                instead: Some(Instead {
                    swap: "/desk/5/swap".into(),
                    item: 31,
                    best: Some(Replacement {
                        id: 9,
                        tag: "E-009".into(),
                        name: TYPED.into(),
                        says: "The kit is worth 87% of what was planned.".into(),
                    }),
                }),
            },
            Coming {
                nights: "Friday 12 June 2026".into(),
                who: String::new(),
                address: None,
                instead: Some(Instead { swap: "/desk/6/swap".into(), item: 31, best: None }),
            },
        ],
        life: vec![
            moment("2 June 2026", "Was changed", vec![change]),
            moment("1 June 2026", "Came back damaged: “dropped”", Vec::new()),
        ],
        whole_life: Some("/shelf/E-031/life".into()),
        work: vec![Way {
            label: "Change what is written".into(),
            address: "/shelf/E-031/edit".into(),
            first: false,
        }],
        to_count: true,
        care: Some(CarePart {
            page: "/shelf/E-031".into(),
            counts: "Two reservations count on it.".into(),
            upkeep: vec![
                UpkeepRow {
                    id: 1,
                    what: "Collimate it".into(),
                    says: "was due on 1 May 2026; 10 of 10 loans since it was done".into(),
                    due: true,
                },
                UpkeepRow {
                    id: 2,
                    what: TYPED.into(),
                    says: "due on 1 May 2027".into(),
                    due: false,
                },
            ],
            chosen: "in_repair".into(),
            finding: Field::refused(TYPED, "Say what was seen."),
            day: Field::of("2026-06-05"),
            photo_wrong: Some("Send at most 8 photos at once.".into()),
            solar: true,
            open: true,
            what: Field::default(),
            months: Field::refused("many", "Write a whole number, or nothing."),
            loans: Field::default(),
            upkeep_open: true,
        }),
    }
}

fn edit(scheme: Scheme, kind: Kind) -> EditPage {
    EditPage {
        frame: frame("Eyepiece for the shelf", scheme),
        form: PieceForm::empty(kind),
        action: "/stock/new/eyepiece".into(),
        back: ("/shelf".into(), "The shelf".into()),
        version: None,
        other: String::new(),
        crossings: Vec::new(),
        doubts: None,
        looked_over_at: "/stock/new/eyepiece/doubts".into(),
    }
}

fn life(scheme: Scheme, any: bool) -> LifePage {
    let piece = piece(scheme);
    LifePage {
        frame: piece.frame,
        page: "/shelf/E-031".into(),
        name: TYPED.into(),
        life: if any { piece.life } else { Vec::new() },
        from_now: any,
        earlier: any.then(|| "/shelf/E-031/life?before=1780000000".into()),
    }
}

pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
    let empty = ShelfPage {
        pieces: Vec::new(),
        more: None,
        keeper: false,
        narrowed: true,
        from: Field::refused("5.6.", "Write the night as year, month and day."),
        says: "Nothing is called that.".into(),
        ..list(scheme)
    };
    let bare = PiecePage {
        notice: None,
        doubts: Vec::new(),
        ways: Vec::new(),
        facts: Vec::new(),
        notes: String::new(),
        photos: PhotosPart::default(),
        with: String::new(),
        set: Vec::new(),
        coming: Vec::new(),
        life: Vec::new(),
        whole_life: None,
        work: Vec::new(),
        care: None,
        to_count: false,
        ..piece(scheme)
    };
    let sent = BTreeMap::from([
        ("name".to_owned(), TYPED.to_owned()),
        ("field_stop_mm".to_owned(), "wide".to_owned()),
    ]);
    let mut wrong = PieceForm::typed(Kind::Eyepiece, &sent);
    assert!(wrong.draft::<crate::optics::Eyepiece>(ItemState::InService).is_none());
    let crossing = |typed: Option<&str>| Crossing {
        label: "Eye relief",
        was: "nothing".into(),
        now: "17 mm".into(),
        typed: typed.map(Into::into),
    };
    let met = |crossings| EditPage {
        version: Some(3),
        other: "Tomasz Wieliczka".into(),
        crossings,
        ..edit(scheme, Kind::Eyepiece)
    };
    let odd = Doubted { column: "mass_g", label: "Mass", says: TYPED.into() };
    vec![
        Sample::of("shelf", &list(scheme)),
        Sample::of("shelf-many-telescopes", &many(scheme)),
        Sample::of("shelf-nothing", &empty),
        Sample::of("shelf-piece", &piece(scheme)),
        Sample::of("shelf-piece-bare", &bare),
        Sample::of("shelf-life", &life(scheme, true)),
        Sample::of("shelf-life-over", &life(scheme, false)),
        Sample::of("shelf-new-telescope", &edit(scheme, Kind::Telescope)),
        Sample::of("shelf-new-filter", &edit(scheme, Kind::Filter)),
        Sample::of("shelf-refused", &EditPage { form: wrong, ..edit(scheme, Kind::Eyepiece) }),
        Sample::of(
            "shelf-looked-over",
            &EditPage { doubts: Some(vec![odd]), ..edit(scheme, Kind::Eyepiece) },
        ),
        Sample::of(
            "shelf-nothing-odd",
            &EditPage { doubts: Some(Vec::new()), ..edit(scheme, Kind::Barlow) },
        ),
        Sample::of("shelf-crossed", &met(vec![crossing(None), crossing(Some("18 mm"))])),
        Sample::of(
            "shelf-papers",
            &EditPage {
                looked_over_at: String::new(),
                form: PieceForm::of_list(
                    Kind::Telescope,
                    crate::shelf::asked::PAPERS.iter().chain(crate::shelf::asked::SET),
                    &[Choice::new("1", TYPED)],
                    &BTreeMap::new(),
                ),
                ..edit(scheme, Kind::Telescope)
            },
        ),
        Sample::of("shelf-met", &met(vec![crossing(None)])),
    ]
}
