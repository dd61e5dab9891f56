//! The question: who, which nights, and how much to carry.

use askama::Template;
use askama_web::WebTemplate;

use crate::web::field::{Choice, Field, Slip, slips};
use crate::web::frame::Frame;

/// Who the kit is for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Who {
    /// A member, whose eyes the club knows.
    #[default]
    Member,
    /// Somebody described in the form.
    Described,
    /// Anyone from 6 to 90, first time at an eyepiece.
    Anyone,
}

impl Who {
    /// The word that the form sends as `who`.
    #[must_use]
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Member => "member",
            Self::Described => "described",
            Self::Anyone => "anyone",
        }
    }

    /// Reads the word that the form sends.
    #[must_use]
    pub fn parse(word: &str) -> Option<Self> {
        [Self::Member, Self::Described, Self::Anyone].into_iter().find(|who| who.as_str() == word)
    }
}

/// Nights offered ready-made; the form sends them as `nights=FIRST/LAST`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadyNights {
    /// "This weekend".
    pub label: String,
    /// "5 to 7 June".
    pub detail: String,
    /// ISO dates, `2026-06-05/2026-06-07`.
    pub value: String,
}

/// The question as a form: everything as it was typed.
///
/// Sent by POST to `/kits`, since what describes a person stays out of addresses. Fields: `who`
/// (`member`, `described`, `anyone`), `member` (id), `age`, `glasses` (`none`, `takes_off`,
/// `keeps_on`), `sphere`, `cylinder`, `measured_pupil`, `relief_floor`, `seeing`, `nights`
/// (`FIRST/LAST` from a ready-made choice, which wins over the next two; empty for other nights), `from`, `to` (ISO dates),
/// `site` (id, or empty for the usual one), `telescope` (id or empty), `telescope_called` (tag or name
/// or empty, in a club with too many to choose from), `eyepieces` (1 to 8).
#[derive(Clone, Debug, Default)]
pub struct AskForm {
    /// Who the kit is for.
    pub who: Who,
    /// The signed-in member, to whom "for me" refers.
    pub me: Option<Choice>,
    /// The other members, for those who may ask for any; empty for everyone else.
    pub members: Vec<Choice>,
    /// Id of the chosen member.
    pub member: Field,
    /// Whole years.
    pub age: Field,
    /// `none`, `takes_off` or `keeps_on`.
    pub glasses: Field,
    /// Dioptres.
    pub sphere: Field,
    /// Dioptres.
    pub cylinder: Field,
    /// Millimetres, in the dark.
    pub measured_pupil: Field,
    /// Millimetres.
    pub relief_floor: Field,
    /// Arcseconds.
    pub seeing: Field,
    /// First night, ISO.
    pub from: Field,
    /// Last night, ISO.
    pub to: Field,
    /// The chosen ready-made nights, as in [`ReadyNights::value`]; empty for other nights.
    pub nights: String,
    /// Ready-made nights.
    pub ready: Vec<ReadyNights>,
    /// Id of the site chosen, or empty for the usual one.
    pub site: Field,
    /// The club's sites, the usual one first.
    pub sites: Vec<Choice>,
    /// Id of the one telescope asked about, or empty.
    pub telescope: Field,
    /// Telescopes to choose from.
    pub telescopes: Vec<Choice>,
    /// Where they are too many to choose from: the tag or name of the one telescope, or empty.
    pub telescope_called: Option<Field>,
    /// How many eyepieces at most.
    pub eyepieces: Field,
}

impl AskForm {
    /// The refused fields, in the order of the page.
    #[must_use]
    pub fn slips(&self) -> Vec<Slip> {
        let typed = [
            ("member", &self.member),
            ("age", &self.age),
            ("glasses", &self.glasses),
            ("sphere", &self.sphere),
            ("cylinder", &self.cylinder),
            ("measured_pupil", &self.measured_pupil),
            ("relief_floor", &self.relief_floor),
            ("seeing", &self.seeing),
            ("from", &self.from),
            ("to", &self.to),
            ("site", &self.site),
        ];
        // Where it is named instead of chosen, only that field is there to link to.
        let called = self.telescope_called.as_ref();
        let chosen = if called.is_some() { "telescope_called" } else { "telescope" };
        let called = [(chosen, &self.telescope)].into_iter().chain(called.map(|one| (chosen, one)));
        slips(typed.into_iter().chain(called).chain([("eyepieces", &self.eyepieces)]))
    }

    /// Whether ready-made nights are chosen and none of the typed dates was refused.
    #[must_use]
    pub fn nights_are_ready(&self) -> bool {
        self.ready.iter().any(|nights| nights.value == self.nights)
    }

    /// Whether one of the fields behind "More about these eyes" is filled or refused.
    #[must_use]
    pub fn more_is_open(&self) -> bool {
        [&self.sphere, &self.cylinder, &self.measured_pupil, &self.relief_floor, &self.seeing]
            .iter()
            .any(|field| !field.value.is_empty() || field.error.is_some())
    }

    /// Whether anything behind "A particular telescope" is chosen or refused.
    #[must_use]
    pub fn kit_is_open(&self) -> bool {
        let called = self.telescope_called.as_ref();
        !self.telescope.value.is_empty()
            || called.is_some_and(|called| !called.value.is_empty())
            || self.telescope.error.is_some()
            || self.eyepieces.error.is_some()
    }

    /// Whether there is a choice of sites.
    #[must_use]
    pub fn may_choose_a_site(&self) -> bool {
        self.sites.len() > 1
    }

    /// Whether the list of members is to be shown.
    #[must_use]
    pub fn may_choose_a_member(&self) -> bool {
        !self.members.is_empty()
    }

    /// The ways to say what an observer does with glasses.
    #[must_use]
    pub fn glasses_choices() -> [(&'static str, &'static str); 3] {
        [
            ("none", "No glasses"),
            ("takes_off", "Glasses, taken off at the eyepiece"),
            ("keeps_on", "Glasses, kept on at the eyepiece"),
        ]
    }
}

/// The first page: the question.
#[derive(Template, WebTemplate)]
#[template(path = "choosing/ask.html")]
pub struct AskPage {
    /// The frame, at [`Place::Kits`](crate::web::frame::Place::Kits).
    pub frame: Frame,
    /// The form.
    pub form: AskForm,
    /// How many telescopes and eyepieces are on the shelf, in words; empty to leave it out.
    pub shelf: String,
}
