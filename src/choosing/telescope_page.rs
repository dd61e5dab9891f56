//! The telescopes, and every eyepiece on the shelf in one of them for one observer.

use askama::Template;
use askama_web::WebTemplate;

use crate::web::field::Choice;
use crate::web::frame::Frame;
use crate::web::mark::{Mark, Reason};

/// A telescope's opening, drawn to scale: the disc of light and what the secondary takes of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Opening {
    /// Aperture in mm.
    pub aperture_mm: f64,
    /// Diameter of the central obstruction in mm; none if there is none or it is not known.
    pub obstruction_mm: Option<f64>,
}

impl Opening {
    /// The aperture that fills the box, in mm.
    const LARGEST: f64 = 420.0;

    /// Radius of the disc in a box of 100.
    fn radius(&self) -> String {
        format!("{:.1}", (self.aperture_mm / Self::LARGEST * 50.0).clamp(3.0, 49.0))
    }

    /// Radius of the obstruction in the same box.
    fn shadow(&self) -> Option<String> {
        let share = self.obstruction_mm? / self.aperture_mm;
        let disc = (self.aperture_mm / Self::LARGEST * 50.0).clamp(3.0, 49.0);
        Some(format!("{:.1}", disc * share.clamp(0.0, 1.0)))
    }
}

/// A telescope in the list.
#[derive(Clone, Debug)]
pub struct TelescopeCard {
    /// Its page.
    pub address: String,
    /// The club's tag.
    pub tag: String,
    /// Its name.
    pub name: String,
    /// What it is in plain words, "203 mm reflector on a rocker, f/6".
    pub summary: String,
    /// One more line: "two people to carry it", "takes narrow eyepieces only"; may be empty.
    pub note: String,
    /// Why it can't be borrowed now, "in repair"; none if it is in service.
    pub out_of_service: Option<String>,
    /// For the drawing.
    pub opening: Opening,
}

/// The list of telescopes.
#[derive(Template, WebTemplate)]
#[template(path = "choosing/telescopes.html")]
pub struct TelescopesPage {
    /// The frame, at [`Place::Telescopes`](crate::web::frame::Place::Telescopes).
    pub frame: Frame,
    /// The telescopes, in the order shown.
    pub telescopes: Vec<TelescopeCard>,
    /// The address of the next page.
    pub more: Option<String>,
    /// Whether the list begins here.
    pub first_page: bool,
}

/// A line of a telescope's specification.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fact {
    /// "Aperture".
    pub label: String,
    /// "203.2 mm".
    pub value: String,
    /// What it means, in plain words; may be empty.
    pub meaning: String,
}

/// An eyepiece in this telescope, for the chosen observer.
#[derive(Clone, Debug)]
pub struct EyepieceRow {
    /// The club's tag.
    pub tag: String,
    /// Its name, "25 mm four-element".
    pub name: String,
    /// "49×".
    pub power: String,
    /// "4.2 mm".
    pub exit_pupil: String,
    /// "1.07°" or "not known".
    pub true_field: String,
    /// The verdict.
    pub mark: Mark,
    /// The reasons worth reading, worst first.
    pub reasons: Vec<Reason>,
    /// Why it can't be borrowed now; none if it can.
    pub out_of_service: Option<String>,
}

/// One telescope with every eyepiece on the shelf.
#[derive(Template, WebTemplate)]
#[template(path = "choosing/telescope.html")]
pub struct TelescopePage {
    /// The frame, at [`Place::Telescopes`](crate::web::frame::Place::Telescopes); its title is
    /// the telescope's name.
    pub frame: Frame,
    /// The club's tag.
    pub tag: String,
    /// What it is in plain words.
    pub summary: String,
    /// The club's note about it; may be empty.
    pub note: String,
    /// Why it can't be borrowed now; none if it is in service.
    pub out_of_service: Option<String>,
    /// For the drawing.
    pub opening: Opening,
    /// The specification.
    pub facts: Vec<Fact>,
    /// Cautions: lifting, the Sun.
    pub cautions: Vec<String>,
    /// The page's own path, to which the choice of an observer is sent as `for`.
    pub path: String,
    /// Whom one may choose: values are `anyone` or a member's id.
    pub observers: Vec<Choice>,
    /// The chosen value.
    pub observer: String,
    /// "For Ines Aldous, 20 mm of eye relief needed".
    pub for_whom: String,
    /// Address of the question with this telescope filled in.
    pub ask_address: String,
    /// The calendar of its kits.
    pub nights_address: String,
    /// The eyepieces, weakest power first.
    pub eyepieces: Vec<EyepieceRow>,
}

impl TelescopePage {
    /// The eyepieces one may use, weakest power first.
    fn usable(&self) -> Vec<&EyepieceRow> {
        self.eyepieces.iter().filter(|row| !shut_out(row)).collect()
    }

    /// The others.
    fn useless(&self) -> Vec<&EyepieceRow> {
        self.eyepieces.iter().filter(|row| shut_out(row)).collect()
    }

    /// How many eyepieces have each verdict, best first; verdicts that nobody has are left out.
    fn tally(&self) -> Vec<(Mark, usize)> {
        Mark::ALL
            .into_iter()
            .map(|mark| (mark, self.eyepieces.iter().filter(|row| row.mark == mark).count()))
            .filter(|(_, count)| *count > 0)
            .collect()
    }
}

fn shut_out(row: &EyepieceRow) -> bool {
    matches!(row.mark, Mark::Unsuitable | Mark::Blocked)
}

/// The telescope pages in usual and rare states.
#[cfg(test)]
pub(crate) mod samples {
    use super::{EyepieceRow, Fact, Opening, TelescopeCard, TelescopePage, TelescopesPage};
    use crate::choosing::reading_page::ReadingPage;
    use crate::gallery::{Sample, frame};
    use crate::web::field::Choice;
    use crate::web::format;
    use crate::web::frame::{Place, Scheme};
    use crate::web::mark::{Mark, Reason};

    fn card(
        number: u32,
        name: &str,
        summary: &str,
        aperture_mm: f64,
        obstruction: f64,
    ) -> TelescopeCard {
        TelescopeCard {
            address: format!("/telescopes/{number}"),
            tag: format!("T-{number:03}"),
            name: name.into(),
            summary: summary.into(),
            note: if aperture_mm > 300.0 {
                "Three people to carry it".into()
            } else {
                String::new()
            },
            out_of_service: (number == 3).then(|| "In repair".into()),
            opening: Opening {
                aperture_mm,
                obstruction_mm: (obstruction > 0.0).then_some(obstruction),
            },
        }
    }

    fn telescope(scheme: Scheme, eyepieces: Vec<EyepieceRow>) -> TelescopePage {
        TelescopePage {
            frame: frame("The Orchard", scheme).at(Place::Telescopes),
            tag: "T-001".into(),
            summary: "203 mm reflector on a rocker, f/6".into(),
            note: "Gift of the Aldous family; the base squeaks, which is harmless.".into(),
            out_of_service: eyepieces.is_empty().then(|| "In repair".into()),
            opening: Opening { aperture_mm: 203.2, obstruction_mm: Some(50.0) },
            facts: [
                (
                    "Aperture",
                    "203.2 mm",
                    "Gathers about 840 times as much light as an eye that opens to 7 mm",
                ),
                ("Focal length", "1219 mm", "f/6"),
                ("Central obstruction", "50 mm", ""),
                ("Focuser", "50.8 mm", "Takes wide and standard eyepieces"),
                ("Eyepiece height", "not known", ""),
            ]
            .into_iter()
            .map(|(label, value, meaning)| Fact {
                label: label.into(),
                value: value.into(),
                meaning: meaning.into(),
            })
            .collect(),
            cautions: vec!["Its heaviest part weighs 14.5 kg: two people lift it.".into()],
            path: "/telescopes/1".into(),
            observers: vec![
                Choice::new("7", "Ines Aldous"),
                Choice::new("anyone", "Anyone, first time at an eyepiece"),
            ],
            observer: "7".into(),
            for_whom: "For Ines Aldous, who keeps her glasses on".into(),
            ask_address: "/?telescope=1".into(),
            nights_address: "/telescopes/7/nights".into(),
            eyepieces,
        }
    }

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let list = |telescopes: Vec<TelescopeCard>| TelescopesPage {
            frame: frame("Telescopes", scheme).at(Place::Telescopes),
            more: (telescopes.len() > 1).then(|| "/telescopes?after=T-100".into()),
            telescopes,
            first_page: true,
        };
        let rows = [40.0, 32.0, 25.0, 17.0, 10.0, 6.0, 2.5]
            .into_iter()
            .zip(Mark::ALL.into_iter().cycle())
            .zip(11..)
            .map(|((mm, mark), number)| EyepieceRow {
                tag: format!("E-{number:03}"),
                name: format!("{} wide-field <b>&</b> long", format::millimetres(mm)),
                power: format::power(1219.0 / mm),
                exit_pupil: format::exit_pupil(mm / 6.0),
                true_field: format::field(mm * 0.05),
                mark,
                reasons: vec![Reason {
                    mark,
                    text: "6 mm of eye relief: your lashes will touch the glass; you need 15."
                        .into(),
                }],
                out_of_service: (number == 12).then(|| "missing".into()),
            })
            .collect();
        let shelf = vec![
            card(1, "The Orchard", "203 mm reflector on a rocker, f/6", 203.2, 50.0),
            card(2, "The Gatehouse", "406 mm reflector on a rocker, f/4.5", 406.4, 90.0),
            card(
                3,
                "Sexton's spyglass with a very long name that the club has grown fond of",
                "80 mm refractor, f/6",
                80.0,
                0.0,
            ),
        ];
        vec![
            Sample::of("telescopes", &list(shelf)),
            Sample::of("telescopes-empty", &list(vec![])),
            Sample::of("telescopes-behind", &TelescopesPage { first_page: false, ..list(vec![]) }),
            Sample::of("telescope", &telescope(scheme, rows)),
            Sample::of("telescope-empty", &telescope(scheme, vec![])),
            Sample::of(
                "reading",
                &ReadingPage { frame: frame("How a kit is judged", scheme).at(Place::Help) },
            ),
        ]
    }
}
