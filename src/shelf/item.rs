//! What every item on the shelf has, whatever its kind.

use std::fmt;

use crate::sheet::{Name, Notes, code};

/// Names one item in the database, whatever its kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ItemId(pub i64);

impl fmt::Display for ItemId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

code! {
    /// The code on an item's label. Upper and lower case are the same tag.
    ///
    /// ```
    /// use borrowed_light::shelf::AssetTag;
    /// assert_eq!(AssetTag::new("t-007")?, AssetTag::new("T-007")?);
    /// assert!(AssetTag::new("T 007").is_err());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    AssetTag, "asset tag"
}

/// Makes an enum with names for the wire, files and database; with `=>` also with a text for each,
/// under the method named at the end.
macro_rules! named {
    (
        $(#[$meta:meta])* $name:ident {
            $($(#[$doc:meta])* $variant:ident = $wire:literal => $text:literal),+ $(,)?
        }
        $(#[$about:meta])* $method:ident
    ) => {
        $crate::shelf::named! {
            $(#[$meta])* $name { $($(#[$doc])* $variant = $wire),+ }
        }

        impl $name {
            $(#[$about])*
            pub const fn $method(self) -> &'static str {
                match self { $(Self::$variant => $text),+ }
            }
        }
    };
    ($(#[$meta:meta])* $name:ident { $($(#[$doc:meta])* $variant:ident = $wire:literal),+ $(,)? }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name { $($(#[$doc])* $variant),+ }

        impl $name {
            /// Every one, in the order in which a form offers them.
            pub const ALL: &[Self] = &[$(Self::$variant),+];

            /// The name on the wire, in files and in the database.
            pub const fn as_str(self) -> &'static str {
                match self { $(Self::$variant => $wire),+ }
            }

            /// Reads such a name; `None` when it is not one.
            pub fn parse(name: &str) -> Option<Self> {
                Self::ALL.iter().copied().find(|one| one.as_str() == name)
            }
        }
    };
}
pub(crate) use named;

named! {
    /// The kinds of thing the club lends.
    Kind {
        /// A telescope with its mount.
        Telescope = "telescope",
        /// An eyepiece.
        Eyepiece = "eyepiece",
        /// A Barlow.
        Barlow = "barlow",
        /// A filter.
        Filter = "filter",
        /// Anything else that is lent.
        Accessory = "accessory",
    }
}

/// What is said of a kind.
struct KindWords {
    word: &'static str,
    new_one: &'static str,
    plural: &'static str,
    letter: char,
}

impl Kind {
    const fn words(self) -> KindWords {
        let (word, new_one, plural, letter) = match self {
            Self::Telescope => ("telescope", "A telescope", "Telescopes", 'T'),
            Self::Eyepiece => ("eyepiece", "An eyepiece", "Eyepieces", 'E'),
            Self::Barlow => ("Barlow", "A Barlow", "Barlows", 'B'),
            Self::Filter => ("filter", "A filter", "Filters", 'F'),
            Self::Accessory => ("accessory", "An accessory", "Accessories", 'A'),
        };
        KindWords { word, new_one, plural, letter }
    }

    /// The kind in a sentence, without its article.
    pub const fn word(self) -> &'static str {
        self.words().word
    }

    /// One of the kind that is new here, as a heading.
    pub const fn new_one(self) -> &'static str {
        self.words().new_one
    }

    /// Several of the kind, as a heading.
    pub const fn plural(self) -> &'static str {
        self.words().plural
    }

    /// The letter with which new tags of this kind begin.
    pub const fn letter(self) -> char {
        self.words().letter
    }
}

named! {
    /// Whether an item can be lent, and if not, why.
    ItemState {
        /// On the shelf or on loan: it takes reservations.
        InService = "in_service" => "In service",
        /// Somebody must look at it first.
        NeedsInspection = "needs_inspection" => "Needs an inspection",
        /// Being mended.
        InRepair = "in_repair" => "In repair",
        /// Nobody knows where it is.
        Missing = "missing" => "Missing",
        /// Lent no more; its story stays readable.
        Retired = "retired" => "Retired: no longer lent",
    }
    /// The state on a button or in a list.
    short
}

impl ItemState {
    /// The state in plain words, to be put after "it".
    pub const fn words(self) -> &'static str {
        match self {
            Self::InService => "is in service",
            Self::NeedsInspection => "needs an inspection first",
            Self::InRepair => "is in repair",
            Self::Missing => "is missing",
            Self::Retired => "is no longer lent",
        }
    }
}

/// The year in which the club got something, 1600–2200.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct AcquiredYear(i16);

impl AcquiredYear {
    /// The earliest year accepted: there were no telescopes before.
    pub const LOW: i16 = 1600;
    /// The latest year accepted.
    pub const HIGH: i16 = 2200;

    /// Checks a year.
    ///
    /// # Errors
    /// [`NotAYear`] outside 1600–2200.
    pub fn new(year: i64) -> Result<Self, NotAYear> {
        i16::try_from(year)
            .ok()
            .filter(|year| (Self::LOW..=Self::HIGH).contains(year))
            .map(Self)
            .ok_or(NotAYear { given: year, low: Self::LOW, high: Self::HIGH })
    }

    /// The year.
    pub const fn year(self) -> i16 {
        self.0
    }
}

/// A year outside the accepted ones.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("The year must be between {low} and {high}, but {given} was given.")]
pub struct NotAYear {
    /// The year given.
    pub given: i64,
    /// The earliest year accepted.
    pub low: i16,
    /// The latest year accepted.
    pub high: i16,
}

/// What people write down about an item besides its figures.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Facts {
    /// The code on its label.
    pub tag: AssetTag,
    /// What the club calls it.
    pub name: Name,
    /// Whether it can be lent.
    pub state: ItemState,
    /// When the club got it, if known.
    pub acquired: Option<AcquiredYear>,
    /// Anything else; empty when there is nothing to say.
    pub notes: Notes,
}

/// An item as somebody wants it to be: not stored yet, or to replace what is stored.
#[derive(Debug, Clone, PartialEq)]
pub struct Draft<T> {
    /// What it is called and how it is.
    pub facts: Facts,
    /// The figures of its kind.
    pub figures: T,
}

/// An item as the database has it.
#[derive(Debug, Clone, PartialEq)]
pub struct Record<T> {
    /// Its number.
    pub id: ItemId,
    /// Counts its changes from 1; serves as its ETag.
    pub version: i64,
    /// What it is called and how it is.
    pub facts: Facts,
    /// The figures of its kind.
    pub figures: T,
}
