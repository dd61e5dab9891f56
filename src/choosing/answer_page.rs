//! The answer, in the order a person asks: can I have something good, what is it, why, what else.

use askama::Template;
use askama_web::WebTemplate;

use super::ask_page::{AskForm, Who};
use super::power_picture::PowerPicture;
use crate::web::format;
use crate::web::frame::Frame;
use crate::web::mark::{Mark, Reason};

/// One thing to fetch from the shelf.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Piece {
    /// The club's tag on it.
    pub tag: String,
    /// What it is called.
    pub name: String,
    /// Its specification in a few words; may be empty.
    pub detail: String,
    /// A page about it, if there is one.
    pub address: Option<String>,
    /// How many others with the same specification are free and would do as well.
    pub twins: usize,
}

impl Piece {
    fn twins_in_words(&self) -> String {
        let words = format::count(
            self.twins,
            "other just like it is free too",
            "others just like it are free too",
        );
        format::sentence_case(&words)
    }
}

/// One view of a kit, ready to be shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ViewRow {
    /// "49×".
    pub power: String,
    /// How much stronger than the view before, "1.6 times the last"; none for the first.
    pub step: Option<String>,
    /// The eyepiece, "25 mm four-element".
    pub eyepiece: String,
    /// "with the 2× Barlow"; none without.
    pub barlow: Option<String>,
    /// "4.2 mm".
    pub exit_pupil: String,
    /// "1.07°", or "not known".
    pub true_field: String,
    /// How long a star takes to cross, where the mount stands still.
    pub drift: Option<String>,
    /// What it is good for, in a few words; empty if for nothing in particular.
    pub good_for: String,
    /// The verdict.
    pub mark: Mark,
    /// Why: the reasons worth reading, worst first.
    pub reasons: Vec<Reason>,
}

/// What the kit does for one thing one may want to look at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PurposeRow {
    /// "Planets and close doubles".
    pub purpose: String,
    /// How well, in words: "very well", "well", "fairly", "poorly", "not at all".
    pub how_well: String,
    /// The same from 0 to 5, for the row of small panes.
    pub panes: u8,
    /// The view that does it best, "at 152×, 8 mm"; empty if none does.
    pub with: String,
}

impl PurposeRow {
    /// The five panes, lit or not.
    fn lit(&self) -> [bool; 5] {
        std::array::from_fn(|pane| pane < usize::from(self.panes))
    }

    /// The words for a worth from 0 to 1, with the number of lit panes.
    ///
    /// ```
    /// use borrowed_light::choosing::answer_page::PurposeRow;
    ///
    /// assert_eq!(PurposeRow::words(0.93), ("very well", 5));
    /// assert_eq!(PurposeRow::words(0.0), ("not at all", 0));
    /// ```
    #[must_use]
    pub fn words(worth: f64) -> (&'static str, u8) {
        match worth {
            w if w >= 0.85 => ("very well", 5),
            w if w >= 0.65 => ("well", 4),
            w if w >= 0.45 => ("fairly", 3),
            w if w >= 0.20 => ("modestly", 2),
            w if w > 0.0 => ("poorly", 1),
            _ => ("not at all", 0),
        }
    }
}

/// A kit as a page shows it.
#[derive(Clone, Debug)]
pub struct KitShown {
    /// "The Orchard 8-inch, four eyepieces and a 2× Barlow".
    pub title: String,
    /// Why it is worth choosing, or how it differs from the first; one sentence.
    pub why: String,
    /// The telescope.
    pub telescope: Piece,
    /// The coma corrector in it.
    pub corrector: Option<Piece>,
    /// The eyepieces, longest first.
    pub eyepieces: Vec<Piece>,
    /// The Barlow.
    pub barlow: Option<Piece>,
    /// The picture of its powers.
    pub picture: PowerPicture,
    /// The views in order of power.
    pub views: Vec<ViewRow>,
    /// The page that plans the nights with it; none where that can't be.
    pub plan: Option<String>,
    /// What it is good for.
    pub purposes: Vec<PurposeRow>,
    /// What one more piece would add; none if nothing would.
    pub one_more: Option<String>,
    /// Cautions for this kit: lifting, the Sun.
    pub cautions: Vec<String>,
    /// Where all of it is reserved at once; none where it can't be.
    pub reserve: Option<String>,
}

impl KitShown {
    /// Everything to fetch, telescope first.
    fn pieces(&self) -> impl Iterator<Item = &Piece> {
        let telescope = std::iter::once(&self.telescope).chain(&self.corrector);
        telescope.chain(&self.eyepieces).chain(&self.barlow)
    }

    /// The list as text, for copying.
    fn as_text(&self) -> String {
        let lines: Vec<String> =
            self.pieces().map(|piece| format!("{} {}", piece.tag, piece.name)).collect();
        lines.join("\n")
    }
}

/// Something that is not in the answer, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeftOut {
    /// The verdict that kept it out; none where it simply was not needed or not free.
    pub mark: Option<Mark>,
    /// The thing, "The Gatehouse 16-inch".
    pub what: String,
    /// One sentence.
    pub why: String,
}

/// Other nights on which something would suit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OtherNights {
    /// "Friday 12 to Sunday 14 June 2026".
    pub label: String,
    /// ISO dates, `2026-06-12/2026-06-14`, sent as `nights`.
    pub value: String,
    /// What could be had then, in a few words; may be empty.
    pub what: String,
}

/// What the service found.
#[derive(Clone, Debug)]
pub enum Outcome {
    /// At least one kit, best first.
    Kits {
        /// The best.
        best: Box<KitShown>,
        /// The next best that differ in something a person would notice.
        others: Vec<KitShown>,
    },
    /// Nothing suits on these nights.
    Nothing {
        /// Which rules or loans stand in the way, one sentence each.
        obstacles: Vec<String>,
        /// When it would work.
        next_nights: Vec<OtherNights>,
    },
}

/// What the sky of those nights changes about the choice.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SkyChange {
    /// For nights of which nothing is known it would be the same kit.
    Nothing,
    /// Another kit, each in a few words.
    Another {
        /// For nights of which nothing is known.
        before: String,
        /// For these.
        now: String,
    },
}

/// The answer page.
#[derive(Template, WebTemplate)]
#[template(path = "choosing/answer.html")]
pub struct AnswerPage {
    /// What the sky of those nights means for the choice: one sentence each.
    pub sky: Vec<String>,
    /// What it changes about the kit.
    pub sky_change: Option<SkyChange>,
    /// That the club lends nothing on these nights, where a kit of the member's own is shown.
    pub closed: Option<String>,
    /// Nights on which the club lends, where it does not on these.
    pub next_nights: Vec<OtherNights>,
    /// The frame, at [`Place::Kits`](crate::web::frame::Place::Kits).
    pub frame: Frame,
    /// The question, so that it can be changed; it carries a described observer along in hidden
    /// fields.
    pub form: AskForm,
    /// The answer in one sentence: "Yes: the Orchard 8-inch suits Ines on these nights."
    pub headline: String,
    /// For whom and when, "For Ines Aldous, Friday 5 to Sunday 7 June 2026."
    pub asked: String,
    /// What was found.
    pub outcome: Outcome,
    /// What was left out and why.
    pub left_out: Vec<LeftOut>,
    /// How sure the service is: "Proven best of 18,400 kits", or what is not proven.
    pub proof: String,
}

impl AnswerPage {
    fn is_nothing(&self) -> bool {
        matches!(self.outcome, Outcome::Nothing { .. })
    }

    fn left_out_count(&self) -> String {
        format::sentence_case(&format::count(self.left_out.len(), "thing", "things"))
    }

    /// The question's fields, name and value, for buttons that ask it again for other nights.
    fn asked_again(&self) -> Vec<(&'static str, &str)> {
        let form = &self.form;
        let mut fields = vec![("who", form.who.as_str())];
        match form.who {
            Who::Member => fields.push(("member", &form.member.value)),
            Who::Anyone => {}
            Who::Described => fields.extend([
                ("age", form.age.value.as_str()),
                ("glasses", &form.glasses.value),
                ("sphere", &form.sphere.value),
                ("cylinder", &form.cylinder.value),
                ("measured_pupil", &form.measured_pupil.value),
                ("relief_floor", &form.relief_floor.value),
                ("seeing", &form.seeing.value),
            ]),
        }
        fields.extend([
            ("site", form.site.value.as_str()),
            ("telescope", &form.telescope.value),
            ("eyepieces", &form.eyepieces.value),
        ]);
        fields.retain(|(_, value)| !value.is_empty());
        fields
    }
}
