//! Sample questions and answers, the rare ones too.

use super::answer_page::SkyChange;
use super::answer_page::{
    AnswerPage, KitShown, LeftOut, OtherNights, Outcome, Piece, PurposeRow, ViewRow,
};
use super::ask_page::{AskForm, AskPage, ReadyNights, Who};
use super::power_picture::{Place, PowerPicture};
use crate::gallery::{Sample, frame};
use crate::web::field::{Choice, Field};
use crate::web::format;
use crate::web::frame::{Place as Nav, Scheme};
use crate::web::mark::{Mark, Reason};

pub(crate) fn form() -> AskForm {
    AskForm {
        me: Some(Choice::new("7", "Ines Aldous")),
        member: Field::of("7"),
        from: Field::of("2026-06-05"),
        to: Field::of("2026-06-07"),
        nights: "2026-06-05/2026-06-07".into(),
        ready: vec![
            ReadyNights {
                label: "This weekend".into(),
                detail: "5 to 7 June".into(),
                value: "2026-06-05/2026-06-07".into(),
            },
            ReadyNights {
                label: "Next weekend".into(),
                detail: "12 to 14 June".into(),
                value: "2026-06-12/2026-06-14".into(),
            },
        ],
        sites: vec![
            Choice::new("1", "Windmill Hill, a country sky"),
            Choice::new("2", "Long Meadow <script>alert(1)</script>, a dark country sky"),
        ],
        site: Field::of("1"),
        telescopes: vec![
            Choice::new("1", "T-001 The Orchard, 203 mm reflector"),
            Choice::new("2", "T-002 The Gatehouse, 406 mm reflector on a rocker"),
        ],
        eyepieces: Field::of("5"),
        ..AskForm::default()
    }
}

fn staff_form() -> AskForm {
    let members = ["Abelard Ojukwu-Fairweather", "Berit Šimůnková", "Ines Aldous"];
    AskForm {
        members: members
            .iter()
            .zip(5..)
            .map(|(name, id)| Choice::new(id.to_string(), *name))
            .collect(),
        ..form()
    }
}

/// Of a club with too many telescopes to choose from.
fn named_form() -> AskForm {
    let why = "Several telescopes are called so: write the tag of one, like T-001 or T-014.";
    AskForm {
        telescopes: Vec::new(),
        telescope_called: Some(Field::refused("\"><script>alert(1)</script>", why)),
        ..form()
    }
}

fn refused_form() -> AskForm {
    AskForm {
        who: Who::Described,
        age: Field::refused("430", "430 is not an age: write whole years from 4 to 120."),
        glasses: Field::of("keeps_on"),
        cylinder: Field::refused(
            "\"><script>alert(1)</script>",
            "The cylinder is a number of dioptres, such as -0.75.",
        ),
        nights: String::new(),
        from: Field::refused(
            "5/6/26",
            "Write the first night as year, month and day, like 2026-06-05.",
        ),
        ..staff_form()
    }
}

/// An eyepiece of a sample kit: focal length, what it is called, field in the telescope.
type Glass = (f64, &'static str, Mark);

pub(crate) fn kit(
    aperture: f64,
    focal: f64,
    glass: &[Glass],
    barlow: Option<f64>,
    pupil: f64,
) -> KitShown {
    let eyepieces: Vec<Piece> = glass
        .iter()
        .zip(31..)
        .map(|((mm, name, _), number)| Piece {
            tag: format!("E-{number:03}"),
            name: format!("{} {name}", format::millimetres(*mm)),
            detail: "20 mm of eye relief, 68° apparent field".into(),
            twins: usize::from(number == 32),
            address: None,
        })
        .collect();
    let mut places: Vec<Place> = glass
        .iter()
        .map(|(mm, _, mark)| Place {
            power: focal / mm,
            label: format::millimetres(*mm),
            barlow: false,
            alone: None,
            mark: *mark,
        })
        .collect();
    if let Some(factor) = barlow {
        for index in 0..glass.len() {
            let alone = &places[index];
            let power = alone.power * factor;
            places.push(Place {
                power,
                barlow: true,
                alone: Some(index),
                label: alone.label.clone(),
                mark: if power > aperture { Mark::Compromise } else { Mark::Suits },
            });
        }
    }
    let mut order: Vec<&Place> = places.iter().collect();
    order.sort_by(|a, b| a.power.total_cmp(&b.power));
    let mut before = None;
    let views = order
        .iter()
        .map(|place| {
            let step = before.map(|last: f64| format!("{:.1} times the one before", place.power / last));
            before = Some(place.power);
            ViewRow {
                power: format::power(place.power),
                step,
                eyepiece: format!("{} wide-field", place.label),
                barlow: place.barlow.then(|| "with the 2× Barlow".into()),
                exit_pupil: format::exit_pupil(aperture / place.power),
                true_field: format::field(60.0 / place.power),
                drift: Some(format!("a star crosses in {}", format::duration(14_400.0 / place.power))),
                good_for: if place.power < 60.0 { "sweeping, large nebulae" } else { "planets, close doubles" }.into(),
                mark: place.mark,
                reasons: if place.mark == Mark::Suits {
                    vec![Reason { mark: Mark::Suits, text: "20 mm of eye relief leaves room for your glasses.".into() }]
                } else {
                    vec![
                        Reason { mark: Mark::Compromise, text: "6 mm of eye relief: your lashes will touch the glass; you need 15.".into() },
                        Reason { mark: Mark::Compromise, text: "More than the 203× that most nights allow here; keep it for steady air.".into() },
                    ]
                },
            }
        })
        .collect();
    KitShown {
        title: format!("The Orchard, {}{}", format::count(glass.len(), "eyepiece", "eyepieces"),
            if barlow.is_some() { " and a 2× Barlow" } else { "" }),
        why: "It covers low to high power in even steps, every view is comfortable with glasses on, and you can carry it.".into(),
        telescope: Piece {
            tag: "T-001".into(),
            name: "The Orchard".into(),
            detail: "203 mm reflector on a rocker, f/6".into(),
            address: Some("/telescopes/1".into()),
            twins: 0,
        },
        corrector: None,
        eyepieces,
        barlow: barlow.map(|factor| Piece {
            tag: "B-02".into(),
            name: format!("{} Barlow", format::factor(factor)),
            detail: "31.75 mm barrel".into(),
            ..Piece::default()
        }),
        picture: PowerPicture {
            aperture_mm: aperture,
            pupil_mm: [pupil - 1.0, pupil, pupil + 1.0],
            floor: aperture / pupil.min(7.0),
            ceiling: (aperture / 25.4 * 25.0).min(300.0),
            best_ceiling: (aperture / 25.4 * 40.0).min(500.0),
            barlow: barlow.map(format::factor),
            places,
        },
        views,
        purposes: [
            ("Finding and sweeping", 0.91, "at 38×"),
            ("Wide nebulae and open clusters", 0.8, "at 38×"),
            ("Galaxies and globulars", 0.93, "at 94×"),
            ("Planetary nebulae and lunar detail", 0.6, "at 188×"),
            ("Planets and close doubles", 0.3, "at 188×"),
            ("Wide double stars", 0.0, ""),
        ]
        .into_iter()
        .map(|(purpose, worth, with)| {
            let (how_well, panes) = PurposeRow::words(worth);
            PurposeRow { purpose: purpose.into(), how_well: how_well.into(), panes, with: with.into() }
        })
        .collect(),
        one_more: Some("One more piece, the 4.5 mm wide-field (E-044), would add steadier planets at 271×; carrying it costs more than it brings.".into()),
        reserve: Some("/reserve?items=1,2,3&from=2026-06-05&to=2026-06-07".into()),
        plan: Some("/plan?from=2026-06-05&to=2026-06-07&items=1,2,3".into()),
        cautions: vec![
            "Its heaviest part weighs 14.5 kg: lift it with a second person, and follow the club's own lifting rules.".into(),
            "Never point it at or near the Sun: this kit has no solar filter.".into(),
        ],
    }
}

fn left_out() -> Vec<LeftOut> {
    vec![
        LeftOut {
            mark: Some(Mark::Unsuitable),
            what: "The Gatehouse, 406 mm".into(),
            why: "On loan on Saturday 6 June; free again from Monday 8 June.".into(),
        },
        LeftOut {
            mark: Some(Mark::NotKnown),
            what: "18 mm with an unknown relief (E-019)".into(),
            why: "Nobody has written down its eye relief, and you keep your glasses on.".into(),
        },
        LeftOut {
            mark: None,
            what: "14 eyepieces with a specification already in the kit".into(),
            why: "They would do as well as those chosen; the lowest tag was taken.".into(),
        },
        LeftOut {
            mark: Some(Mark::Blocked),
            what: "The Sundial, solar set".into(),
            why: "Its filter's light test is older than twelve months.".into(),
        },
    ]
}

const GLASS: [Glass; 4] = [
    (32.0, "long-relief wide-field", Mark::Suits),
    (17.0, "wide-field", Mark::Suits),
    (13.0, "wide-field", Mark::Suits),
    (7.0, "four-element", Mark::Compromise),
];

fn answer(scheme: Scheme, outcome: Outcome, headline: &str) -> AnswerPage {
    AnswerPage {
        closed: None,
        next_nights: Vec::new(),
        sky: vec![
            "The Moon, 98% lit, is up whenever the Sun is far down.".into(),
            "What counts most: the Moon, Saturn, M 13 and Albireo.".into(),
            "Planets and close double stars count more than usual: 41% instead of 20%.".into(),
        ],
        sky_change: Some(SkyChange::Another {
            before: "The <Gatehouse> with 36, 17 and 9 mm".into(),
            now: "The Orchard 8-inch with 32, 13 and 7 mm and a 2× Barlow".into(),
        }),
        frame: frame("The kit for these nights", scheme).at(Nav::Kits),
        form: form(),
        headline: headline.into(),
        asked: "For Ines Aldous, Friday 5 to Sunday 7 June 2026.".into(),
        outcome,
        left_out: left_out(),
        proof: "Proven: no other choice from the 63 eyepieces, 8 Barlows and 14 telescopes free on these nights is better by this measure.".into(),
    }
}

fn crowded() -> KitShown {
    let many: Vec<Glass> = [40.0, 25.0, 20.0, 12.0, 11.0, 10.0, 9.0, 8.5]
        .into_iter()
        .map(|mm| (mm, "very long name of an old & curious four-element design", Mark::Compromise))
        .collect();
    let mut kit = kit(406.4, 1829.0, &many, Some(2.5), 5.4);
    kit.title = "The <script>alert(1)</script> Gatehouse-by-the-Old-Watermill 406 millimetre reflector, eight eyepieces and a 2.5× Barlow".into();
    kit
}

pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
    let ask = |form: AskForm, shelf: &str| AskPage {
        frame: frame("Find a kit", scheme).at(Nav::Kits),
        form,
        shelf: shelf.into(),
    };
    let best = kit(203.2, 1219.0, &GLASS, Some(2.0), 6.2);
    let small = kit(80.0, 480.0, &GLASS[1..3], None, 7.1);
    let lone = kit(127.0, 1500.0, &[(25.0, "four-element", Mark::Suits)], None, 5.0);
    let kits = Outcome::Kits {
        best: Box::new(best),
        others: vec![small.clone(), lone.clone(), crowded()],
    };
    let nothing = Outcome::Nothing {
        obstacles: vec![
            "Every eyepiece with room for glasses is on loan on Saturday 6 June.".into(),
            "The Gatehouse takes only narrow eyepieces (24.5 mm), and none of those has more than 7 mm of eye relief.".into(),
        ],
        next_nights: vec![
            OtherNights { label: "Friday 12 to Sunday 14 June 2026".into(), value: "2026-06-12/2026-06-14".into(), what: "The Orchard with three eyepieces".into() },
            OtherNights { label: "Friday 19 to Sunday 21 June 2026".into(), value: "2026-06-19/2026-06-21".into(), what: String::new() },
        ],
    };
    let never =
        Outcome::Nothing { obstacles: vec!["The shelf is empty.".into()], next_nights: vec![] };
    let mut described =
        answer(scheme, nothing, "Not on these nights: nothing free leaves room for glasses.");
    described.form = AskForm { who: Who::Described, ..refused_form() };
    let mut bare = answer(scheme, never, "Not yet: there is nothing on the shelf.");
    bare.left_out.clear();
    let mut plain = answer(
        scheme,
        Outcome::Kits { best: Box::new(crowded()), others: vec![] },
        "Yes, with compromises: the Gatehouse and eight eyepieces are free.",
    );
    plain.left_out.clear();
    plain.proof = String::new();
    plain.closed =
        Some("The club lends nothing on Thursday 24 December 2026 (<b>holiday</b>).".into());
    plain.next_nights = vec![OtherNights {
        label: "Thursday 31 December 2026".into(),
        value: "2026-12-31/2026-12-31".into(),
        what: "Orchard 8-inch, for example".into(),
    }];
    vec![
        Sample::of("ask", &ask(form(), "16 telescopes and 78 eyepieces are on the shelf.")),
        Sample::of("ask-staff", &ask(staff_form(), "")),
        Sample::of("ask-refused", &ask(refused_form(), "")),
        Sample::of("ask-many-telescopes", &ask(named_form(), "")),
        Sample::of(
            "answer",
            &answer(
                scheme,
                kits,
                "Yes: the Orchard and four eyepieces suit you, and all are free.",
            ),
        ),
        Sample::of("answer-nothing", &described),
        Sample::of("answer-empty", &bare),
        Sample::of("answer-crowded", &plain),
        Sample::of(
            "answer-lone",
            &answer(
                scheme,
                Outcome::Kits { best: Box::new(lone), others: vec![] },
                "Yes: one telescope and one eyepiece.",
            ),
        ),
    ]
}
