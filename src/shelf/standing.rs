//! Where a piece is tonight, in a few words.

use std::collections::HashMap;

use sqlx::SqliteConnection;

use super::item::{ItemId, ItemState, Kind};
use super::store::{self, ItemName, ShelfError};
use super::words::Wordy;
use crate::lending::of_piece::{InHands, in_hands};
use crate::lending::{self, LendingError, Night, Nights};
use crate::web::format;

/// Where a piece is, and whether that asks for attention.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Standing {
    /// "In store", "Out until Monday 8 June", "In repair".
    pub words: String,
    /// Whether it cannot be had as one would expect.
    pub alarming: bool,
}

/// What the calendar knows of some pieces tonight.
#[derive(Debug, Default)]
pub struct Tonight {
    hands: HashMap<ItemId, InHands>,
    promised: HashMap<ItemId, Option<lending::ReservationId>>,
}

impl From<LendingError> for ShelfError {
    fn from(error: LendingError) -> Self {
        match error {
            LendingError::Database(error) => Self::Database(error),
            other => Self::Calendar(other.to_string()),
        }
    }
}

/// Asks the calendar where these pieces are tonight.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn tonight(
    conn: &mut SqliteConnection,
    items: &[ItemId],
    night: Night,
) -> Result<Tonight, ShelfError> {
    let hands = in_hands(conn, items).await?;
    let only = Nights::new(night, night).map_err(|why| ShelfError::Calendar(why.to_string()))?;
    let promised = lending::promises(conn, items, only).await?;
    Ok(Tonight {
        hands: hands.into_iter().map(|hand| (hand.item, hand)).collect(),
        promised: promised.into_iter().map(|one| (one.item, one.reservation)).collect(),
    })
}

impl Tonight {
    /// What is known of one piece whose promises from tonight on and whose last outing are at hand.
    pub(super) fn of_one(
        hands: Option<InHands>,
        promises: &[lending::Promise],
        night: Night,
    ) -> Self {
        let tonight = promises.iter().filter(|one| one.nights.contains(night));
        Self {
            hands: hands.into_iter().map(|hand| (hand.item, hand)).collect(),
            promised: tonight.map(|one| (one.item, one.reservation)).collect(),
        }
    }

    /// Who has the piece, if somebody has.
    pub fn hands(&self, item: ItemId) -> Option<&InHands> {
        self.hands.get(&item)
    }

    /// The reservation that wants the piece tonight while it is still in store.
    pub fn wanted_by(&self, item: ItemId) -> Option<lending::ReservationId> {
        if self.hands.contains_key(&item) { None } else { *self.promised.get(&item)? }
    }

    /// Where a piece in this state is.
    pub fn standing(&self, item: ItemId, state: ItemState, night: Night) -> Standing {
        if let Some(hands) = self.hands.get(&item) {
            let back = hands.due.morning().strftime("%A %-d %B");
            return if hands.due < night {
                Standing { words: format!("Out, and was due back on {back}"), alarming: true }
            } else {
                Standing { words: format!("Out until {back}"), alarming: false }
            };
        }
        let words = match state {
            ItemState::InService if self.promised.contains_key(&item) => {
                "In store, promised for tonight"
            }
            ItemState::InService => "In store",
            ItemState::NeedsInspection => "Needs an inspection",
            ItemState::InRepair => "In repair",
            ItemState::Missing => "Missing",
            ItemState::Retired => "No longer lent",
        };
        Standing { words: words.into(), alarming: state != ItemState::InService }
    }
}

/// One line of figures for each of these pieces.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn summaries(
    conn: &mut SqliteConnection,
    items: &[ItemName],
) -> Result<HashMap<ItemId, String>, ShelfError> {
    let of = |kind: Kind| -> Vec<ItemId> {
        items.iter().filter(|item| item.kind == kind).map(|item| item.id).collect()
    };
    let mut lines = HashMap::new();
    for one in store::these_telescopes(conn, &of(Kind::Telescope)).await? {
        lines.insert(one.id, one.figures.summary());
    }
    for one in store::these_eyepieces(conn, &of(Kind::Eyepiece)).await? {
        lines.insert(one.id, one.figures.summary());
    }
    for one in store::these_barlows(conn, &of(Kind::Barlow)).await? {
        lines.insert(one.id, one.figures.summary());
    }
    for one in store::these_filters(conn, &of(Kind::Filter)).await? {
        lines.insert(one.id, one.figures.summary());
    }
    for one in store::these_accessories(conn, &of(Kind::Accessory)).await? {
        lines.insert(one.id, one.figures.summary());
    }
    for line in lines.values_mut() {
        *line = format::sentence_case(line);
    }
    Ok(lines)
}
