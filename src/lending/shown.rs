//! Reservations as pages show them.

use super::cautions::{self, Caution, Topic};
use super::machine::LineState;
use super::model::ReservationState;
use super::night::Night;
use super::reading::Whole;
use crate::shelf::Kind;
use crate::web::format;

/// A piece with its tag.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PieceShown {
    /// The item's number.
    pub id: i64,
    /// The tag on it.
    pub tag: String,
    /// Its name.
    pub name: String,
    /// What became of it, where that is worth saying: "back, damaged".
    pub note: String,
    /// What always leaves with it.
    pub set: Vec<String>,
    /// Whether it is with the borrower.
    pub out: bool,
    /// Whether it waits in store.
    pub planned: bool,
    /// Whether it is missing.
    pub missing: bool,
}

/// A reservation or loan in a list or on its page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReservationShown {
    /// Its number.
    pub id: i64,
    /// "The Orchard 8-inch and four more pieces".
    pub title: String,
    /// "Friday 5 to Sunday 7 June 2026".
    pub nights: String,
    /// How it stands, in a few words: "out, due back on Monday morning".
    pub standing: String,
    /// Whether that asks for attention.
    pub alarming: bool,
    /// How far it has come.
    pub state: ReservationState,
    /// Its pieces.
    pub pieces: Vec<PieceShown>,
    /// Whose it is; empty on the owner's own pages.
    pub member: String,
    /// For use by day.
    pub daylight: bool,
    /// The first night as it is typed.
    pub first: String,
    /// The last night as it is typed.
    pub last: String,
    /// Its version.
    pub version: i64,
}

impl ReservationShown {
    /// The reservation, seen tonight.
    pub fn of(whole: &Whole, tonight: Night) -> Self {
        let pieces: Vec<PieceShown> = whole
            .lines
            .iter()
            .map(|line| PieceShown {
                id: line.item.id.0,
                tag: line.item.tag.to_string(),
                name: line.item.name.clone(),
                note: match (line.state, line.condition) {
                    (LineState::Returned, Some(condition)) => {
                        format!("back, {}", condition.as_str())
                    }
                    (LineState::Returned, None) => "back".into(),
                    (LineState::Missing, _) => "missing".into(),
                    _ => String::new(),
                },
                set: Vec::new(),
                out: line.state == LineState::Out,
                planned: line.state == LineState::Planned,
                missing: line.state == LineState::Missing,
            })
            .collect();
        let (first, last) = (whole.nights.first(), whole.nights.last());
        let (standing, alarming) = standing(whole, tonight);
        Self {
            id: whole.id.0,
            title: title(&pieces),
            nights: format::nights(first.evening(), last.evening()),
            standing,
            alarming,
            state: whole.state,
            pieces,
            member: String::new(),
            daylight: whole.daylight,
            first: first.to_string(),
            last: last.to_string(),
            version: whole.version,
        }
    }

    /// Whether it can still be changed or cancelled by its owner.
    pub fn is_open(&self) -> bool {
        use ReservationState::{Confirmed, Ready, Requested};
        matches!(self.state, Requested | Confirmed | Ready)
    }

    /// Whether its nights and pieces can be changed.
    pub fn can_change(&self) -> bool {
        matches!(self.state, ReservationState::Requested | ReservationState::Confirmed)
    }

    /// Whether a piece can be swapped for another on pages under this address: at the desk up to the
    /// hand-over, by its owner until it is laid out.
    pub fn can_swap(&self, base: &str) -> bool {
        self.can_change() || (base == "/desk" && self.state == ReservationState::Ready)
    }

    /// Whether there are nights ahead to plan.
    pub fn can_plan(&self) -> bool {
        self.is_open() || self.is_out()
    }

    /// Whether it is with the borrower.
    pub fn is_out(&self) -> bool {
        self.state == ReservationState::Out
    }

    /// Whether it waits for a quartermaster's word.
    pub fn is_requested(&self) -> bool {
        self.state == ReservationState::Requested
    }

    /// Whether it can be handed over.
    pub fn can_go_out(&self) -> bool {
        matches!(self.state, ReservationState::Confirmed | ReservationState::Ready)
    }

    /// Whether everything is back.
    pub fn is_closed(&self) -> bool {
        self.state == ReservationState::Closed
    }

    /// The numbers of its pieces, as an address carries them.
    pub fn item_list(&self) -> String {
        let ids: Vec<String> = self.pieces.iter().map(|piece| piece.id.to_string()).collect();
        ids.join(",")
    }

    /// Its pieces that are out.
    pub fn out(&self) -> impl Iterator<Item = &PieceShown> {
        self.pieces.iter().filter(|piece| piece.out)
    }

    /// Its pieces that wait in store.
    pub fn planned(&self) -> impl Iterator<Item = &PieceShown> {
        self.pieces.iter().filter(|piece| piece.planned)
    }
}

fn title(pieces: &[PieceShown]) -> String {
    let Some(first) = pieces.first() else { return "Nothing".into() };
    match pieces.len() - 1 {
        0 => first.name.clone(),
        more => {
            format!("{} and {}", first.name, format::count(more, "more piece", "more pieces"))
        }
    }
}

fn standing(whole: &Whole, tonight: Night) -> (String, bool) {
    let back = whole.nights.last().morning().strftime("%A %-d %B").to_string();
    match whole.state {
        ReservationState::Requested => ("Waiting for the quartermaster's approval".into(), false),
        ReservationState::Confirmed if whole.nights.last() < tonight => {
            ("Confirmed, but never fetched".into(), true)
        }
        ReservationState::Confirmed => ("Confirmed".into(), false),
        ReservationState::Ready => ("Laid out and waiting".into(), false),
        ReservationState::Declined => ("Declined".into(), false),
        ReservationState::Cancelled => ("Cancelled".into(), false),
        ReservationState::NoShow => ("Not fetched".into(), false),
        ReservationState::Out if whole.is_overdue(tonight) => {
            (format!("Overdue: was due back on {back}"), true)
        }
        ReservationState::Out => (format!("Out, due back on {back}"), false),
        ReservationState::Closed => ("Finished".into(), false),
    }
}

/// The cautions that go with these pieces, the gravest first.
pub fn cautions_of(whole: &Whole) -> Vec<&'static Caution> {
    let scope = whole.lines.iter().any(|line| line.item.kind == Kind::Telescope);
    cautions::ALL
        .iter()
        .filter(|caution| match caution.topic {
            Topic::Sun | Topic::DarkFields => true,
            Topic::Children | Topic::Lifting => scope,
            Topic::PowerPacks => whole.lines.iter().any(|line| line.item.kind == Kind::Accessory),
            Topic::Lasers => false,
        })
        .collect()
}

#[cfg(test)]
pub(crate) fn sample(state: ReservationState, standing: &str, alarming: bool) -> ReservationShown {
    let piece = |id: i64, tag: &str, name: &str| PieceShown {
        id,
        tag: tag.into(),
        name: name.into(),
        note: String::new(),
        set: if id == 7 {
            vec!["Finder".into(), "<script>alert(1)</script>".into()]
        } else {
            Vec::new()
        },
        out: state == ReservationState::Out,
        planned: state.keeps_nights() && state != ReservationState::Out,
        missing: false,
    };
    let pieces = vec![
        piece(7, "T-007", "Orchard 8-inch"),
        piece(31, "E-031", "25 mm four-element"),
        piece(32, "E-018", "10 mm wide field <script>alert(1)</script>"),
    ];
    ReservationShown {
        id: 41,
        title: title(&pieces),
        nights: "Friday 5 to Sunday 7 June 2026".into(),
        standing: standing.into(),
        alarming,
        state,
        pieces,
        member: "Ines Aldous".into(),
        daylight: false,
        first: "2026-06-05".into(),
        last: "2026-06-07".into(),
        version: 1,
    }
}
