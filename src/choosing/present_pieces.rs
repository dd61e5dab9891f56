//! The pieces of a kit, as the answer page shows them.

use super::answer_page::Piece;
use super::club_shelf::is_own;
use super::discreet::Telling;
use super::present::Presenter;
use super::wording::{corrected_in_words, eyepiece_in_words, summary};
use crate::kit::Bench;

impl Presenter<'_> {
    pub(super) fn telescope(&self, at: usize) -> Piece {
        let item = &self.shelf().telescopes[at];
        let piece = Piece {
            tag: item.facts.tag.to_string(),
            name: item.facts.name.to_string(),
            detail: summary(item),
            address: Some(format!("/telescopes/{}", item.id.0)),
            twins: 0,
        };
        if is_own(item.id) { self.own_piece(piece) } else { piece }
    }

    pub(super) fn eyepiece(&self, at: usize) -> Piece {
        let item = &self.shelf().eyepieces[at];
        let twins = self
            .shelf()
            .eyepieces
            .iter()
            .filter(|other| other.figures == item.figures && !is_own(other.id))
            .count();
        let piece = Piece {
            tag: item.facts.tag.to_string(),
            name: item.facts.name.to_string(),
            detail: eyepiece_in_words(&item.figures),
            address: None,
            twins: twins.saturating_sub(1),
        };
        if is_own(item.id) { self.own_piece(piece) } else { piece }
    }

    /// A piece that nobody has to fetch from the club.
    fn own_piece(&self, piece: Piece) -> Piece {
        let (tag, from) = match self.ask.telling {
            Telling::Plainly => ("yours", "from your own case".to_owned()),
            Telling::Discreetly => ("theirs", format!("from the own case of {}", self.who)),
        };
        let detail =
            if piece.detail.is_empty() { from } else { format!("{from}; {}", piece.detail) };
        Piece { tag: tag.into(), detail, address: None, twins: 0, ..piece }
    }

    pub(super) fn barlow(&self, at: usize) -> Piece {
        let item = &self.shelf().barlows[at];
        let twins =
            self.shelf().barlows.iter().filter(|other| other.figures == item.figures).count();
        Piece {
            tag: item.facts.tag.to_string(),
            name: item.facts.name.to_string(),
            detail: String::new(),
            address: None,
            twins: twins.saturating_sub(1),
        }
    }

    pub(super) fn corrector(&self, telescope: usize, bench: &Bench<'_>) -> Option<Piece> {
        let item = self.shelf().corrector(telescope)?;
        Some(Piece {
            tag: item.facts.tag.to_string(),
            name: item.facts.name.to_string(),
            detail: corrected_in_words(bench.telescope()),
            address: Some(item.facts.tag.page()),
            twins: 0,
        })
    }
}
