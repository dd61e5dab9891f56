//! What members own themselves: telescopes and eyepieces with the figures that the shelf keeps of
//! the club's.

use crate::optics::{Eyepiece, Telescope};
use crate::sheet::Name;

/// Most telescopes, and most eyepieces, of one member.
pub const MOST_OF_A_KIND: i64 = 50;

/// The kinds of thing somebody keeps in their own case.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum GearKind {
    /// A telescope with its mount.
    Telescope,
    /// An eyepiece.
    Eyepiece,
}

impl GearKind {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Telescope, Self::Eyepiece];

    /// The word in an address.
    #[must_use]
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Telescope => "telescopes",
            Self::Eyepiece => "eyepieces",
        }
    }

    /// Reads the word.
    #[must_use]
    pub fn parse(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.as_str() == word)
    }

    /// The title of a page for a new one.
    #[must_use]
    pub fn of_my_own(self) -> &'static str {
        match self {
            Self::Telescope => "A telescope of my own",
            Self::Eyepiece => "An eyepiece of my own",
        }
    }

    /// "telescope", "eyepiece".
    #[must_use]
    pub fn one(self) -> &'static str {
        match self {
            Self::Telescope => "telescope",
            Self::Eyepiece => "eyepiece",
        }
    }
}

/// A thing of one's own, as somebody wants it to be.
#[derive(Clone, Debug, PartialEq)]
pub struct Draft<T> {
    /// What its owner calls it.
    pub name: Name,
    /// The figures.
    pub figures: T,
}

/// A thing of one's own, as the database has it.
#[derive(Clone, Debug, PartialEq)]
pub struct Own<T> {
    /// Its number among things of its kind.
    pub id: i64,
    /// Counts its changes from 1.
    pub version: i64,
    /// What its owner calls it.
    pub name: Name,
    /// The figures.
    pub figures: T,
}

/// Everything a member owns, each kind by number.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OwnCase {
    /// The telescopes.
    pub telescopes: Vec<Own<Telescope>>,
    /// The eyepieces.
    pub eyepieces: Vec<Own<Eyepiece>>,
}

impl OwnCase {
    /// Whether there is nothing in it.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.telescopes.is_empty() && self.eyepieces.is_empty()
    }
}
