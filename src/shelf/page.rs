//! The shelf's pages: the list, one piece, the form.

use askama::Template;
use askama_web::WebTemplate;

use super::asked::By;
use super::doubts_page::Doubted;
use super::form::{Crossing, PieceForm};
use super::item::{ItemState, Kind};
use super::standing::Standing;
use crate::choosing::replacement::Replacement;
use crate::web::field::{Choice, Field, Slip};
use crate::web::frame::Frame;

/// A piece in the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PieceRow {
    /// Its page.
    pub address: String,
    /// The tag on it.
    pub tag: String,
    /// Its name.
    pub name: String,
    /// Its figures in a line.
    pub summary: String,
    /// Where it is.
    pub standing: Standing,
}

/// `/shelf`
#[derive(Template, WebTemplate)]
#[template(path = "shelf/list.html")]
pub struct ShelfPage {
    /// The frame.
    pub frame: Frame,
    /// Words to be found.
    pub q: Field,
    /// The chosen kind.
    pub kind: String,
    /// The chosen condition.
    pub condition: String,
    /// The first night on which it must be free.
    pub from: Field,
    /// The last one.
    pub to: Field,
    /// The chosen telescope that it must fit.
    pub fits: String,
    /// The telescopes to choose from; none where they are too many to choose from.
    pub telescopes: Option<Vec<Choice>>,
    /// Then the tag or name of the one that it must fit.
    pub fits_called: Field,
    /// For whose eyes it must be fit: "anyone" or a member's number.
    pub suits: String,
    /// Whom the reader may ask for.
    pub observers: Vec<Choice>,
    /// The chosen order.
    pub order: String,
    /// Whether anything but words narrows the list.
    pub narrowed: bool,
    /// The pieces.
    pub pieces: Vec<PieceRow>,
    /// What the list shows, in a sentence.
    pub says: String,
    /// The address of the next page.
    pub more: Option<String>,
    /// Whether the reader looks after the shelf.
    pub keeper: bool,
}

impl ShelfPage {
    fn kinds() -> Vec<Choice> {
        Kind::ALL.iter().map(|kind| Choice::new(kind.as_str(), kind.plural())).collect()
    }

    fn conditions() -> Vec<Choice> {
        let all = Choice::new("all", "Any, retired ones too");
        let states = ItemState::ALL.iter().map(|one| Choice::new(one.as_str(), one.short()));
        states.chain([all]).collect()
    }

    fn orders() -> Vec<Choice> {
        vec![
            Choice::new("name", "By name"),
            Choice::new("size", "By size: aperture, focal length, factor"),
        ]
    }

    fn slips(&self) -> Vec<Slip> {
        crate::web::field::slips([
            ("from", &self.from),
            ("to", &self.to),
            ("fits_called", &self.fits_called),
        ])
    }
}

/// A thing to do next.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Way {
    /// What the button says.
    pub label: String,
    /// Where it leads.
    pub address: String,
    /// Whether it is what most will want.
    pub first: bool,
}

/// Nights for which a piece is spoken for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Coming {
    /// Which nights.
    pub nights: String,
    /// Who has it then, or why nobody may; empty for who may not know.
    pub who: String,
    /// The reservation's page, for the desk.
    pub address: Option<String>,
    /// What would do instead, where the piece can't go out; for the desk.
    pub instead: Option<Instead>,
}

/// What would do instead of a piece in a reservation.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Instead {
    /// Where a swap is sent.
    pub swap: String,
    /// The piece that can't go out, by its number.
    pub item: i64,
    /// The best of what is free; none where nothing free does.
    pub best: Option<Replacement>,
}

/// A line of a piece's life.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Moment {
    /// The day.
    pub day: String,
    /// What happened.
    pub what: String,
    /// Who did it or had it; empty for who may not know.
    pub who: String,
    /// What was changed: what it is, before, after.
    pub changes: Vec<(String, String, String)>,
    /// Photos that belong to it.
    pub photos: Vec<PhotoShown>,
    /// Seconds since 1970, for the order.
    pub at: i64,
}

/// A photo as a page shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PhotoShown {
    /// Its number.
    pub id: i64,
    /// The small one.
    pub small: String,
    /// The large one.
    pub large: String,
    /// The small one's width, pixels, so that nothing jumps while it comes.
    pub width: i64,
    /// Its height, pixels.
    pub height: i64,
    /// What it shows, for whoever can't see it.
    pub alt: String,
    /// When and why it was taken.
    pub says: String,
}

/// The photos of a piece.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PhotosPart {
    /// All of them, the latest first.
    pub all: Vec<PhotoShown>,
    /// Where more are sent; empty for who may not.
    pub page: String,
    /// Why those that were sent can't be taken.
    pub wrong: Option<String>,
}

/// Something to be done to a piece again and again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UpkeepRow {
    /// Its number.
    pub id: i64,
    /// What is to be done.
    pub what: String,
    /// When it is due.
    pub says: String,
    /// Whether that is now.
    pub due: bool,
}

/// What whoever looks after the shelf notes of a piece.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CarePart {
    /// The piece's page.
    pub page: String,
    /// How many reservations count on it; empty where none does.
    pub counts: String,
    /// What has to be done again and again.
    pub upkeep: Vec<UpkeepRow>,
    /// The condition that is ticked.
    pub chosen: String,
    /// What was seen.
    pub finding: Field,
    /// The day it was seen.
    pub day: Field,
    /// Why the photos can't be taken.
    pub photo_wrong: Option<String>,
    /// Whether it is a solar filter, which takes light tests.
    pub solar: bool,
    /// Whether that form is unfolded.
    pub open: bool,
    /// What is to be done.
    pub what: Field,
    /// After how many months.
    pub months: Field,
    /// After how many loans.
    pub loans: Field,
    /// Whether that form is unfolded.
    pub upkeep_open: bool,
}

/// `/shelf/{tag}`
#[derive(Template, WebTemplate)]
#[template(path = "shelf/piece.html")]
pub struct PiecePage {
    /// The frame.
    pub frame: Frame,
    /// The tag on it.
    pub tag: String,
    /// "Eyepiece".
    pub kind: String,
    /// Its figures in a line.
    pub summary: String,
    /// Where it is.
    pub standing: Standing,
    /// Who has it, for the desk; or that the reader has it.
    pub with: String,
    /// Good news to show once.
    pub notice: Option<String>,
    /// Figures worth another look.
    pub doubts: Vec<String>,
    /// What to do next.
    pub ways: Vec<Way>,
    /// What is known of it.
    pub facts: Vec<(String, String)>,
    /// Anything else.
    pub notes: String,
    /// Its photos.
    pub photos: PhotosPart,
    /// What always leaves with it.
    pub set: Vec<String>,
    /// When it is spoken for.
    pub coming: Vec<Coming>,
    /// Its life of late, the latest first.
    pub life: Vec<Moment>,
    /// Where all of its life is told; none where this is all.
    pub whole_life: Option<String>,
    /// What whoever looks after the shelf may do with it; empty for everybody else.
    pub work: Vec<Way>,
    /// What they note of it.
    pub care: Option<CarePart>,
    /// Whether stock is being taken and this piece was not seen yet.
    pub to_count: bool,
}

/// `/shelf/{tag}/life`
#[derive(Template, WebTemplate)]
#[template(path = "shelf/life.html")]
pub struct LifePage {
    /// The frame.
    pub frame: Frame,
    /// Where the piece's own page is.
    pub page: String,
    /// What the piece is called.
    pub name: String,
    /// A stretch of its life, the latest first.
    pub life: Vec<Moment>,
    /// Whether the stretch ends now.
    pub from_now: bool,
    /// Where what came before is told; none after the first moment.
    pub earlier: Option<String>,
}

/// `/stock/new/{kind}` and `/shelf/{tag}/edit`
#[derive(Template, WebTemplate)]
#[template(path = "shelf/edit.html")]
pub struct EditPage {
    /// The frame.
    pub frame: Frame,
    /// The form.
    pub form: PieceForm,
    /// Where it is sent.
    pub action: String,
    /// Where to go back to, and what that is called.
    pub back: (String, String),
    /// The version that the reader saw; none for something new.
    pub version: Option<i64>,
    /// Who saved something meanwhile; empty where it is not known.
    pub other: String,
    /// What they changed.
    pub crossings: Vec<Crossing>,
    /// Figures worth another look; none where nobody asked.
    pub doubts: Option<Vec<Doubted>>,
    /// Where it can be looked over while it is filled in; empty where it cannot.
    pub looked_over_at: String,
}

impl EditPage {
    fn conflicts(&self) -> bool {
        self.crossings.iter().any(|one| one.typed.is_some())
    }
}

#[cfg(test)]
#[path = "page_samples.rs"]
pub(crate) mod samples;
