//! In what condition pieces come back.

use crate::shelf::ItemState;

/// In what condition a piece came back.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Condition {
    /// As it went out.
    Good,
    /// To be cleaned before it goes out again.
    Dirty,
    /// Something is broken.
    Damaged,
    /// Something is missing.
    Incomplete,
}

impl Condition {
    /// Every condition.
    pub const ALL: [Self; 4] = [Self::Good, Self::Dirty, Self::Damaged, Self::Incomplete];

    /// The name on the wire and in the database.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Good => "good",
            Self::Dirty => "dirty",
            Self::Damaged => "damaged",
            Self::Incomplete => "incomplete",
        }
    }

    /// Reads such a name; `None` when it is not one.
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|condition| condition.as_str() == name)
    }

    /// How it came back, as a line of the piece's life.
    pub const fn came_back(self) -> &'static str {
        match self {
            Self::Good => "Came back as it went",
            Self::Dirty => "Came back to be cleaned",
            Self::Damaged => "Came back damaged",
            Self::Incomplete => "Came back with something lacking",
        }
    }

    /// What becomes of the piece; none where it can go out again at once.
    pub(super) const fn state(self) -> Option<ItemState> {
        match self {
            Self::Good => None,
            Self::Dirty | Self::Incomplete => Some(ItemState::NeedsInspection),
            Self::Damaged => Some(ItemState::InRepair),
        }
    }
}
