//! The rule that stands in the way of a wish, and the sentence that says what would keep it.

use std::fmt;

use super::night::Night;
use crate::shelf::AssetTag;

/// A broken rule, with what would keep it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Broken {
    /// The first night is over.
    Past {
        /// Tonight.
        tonight: Night,
    },
    /// The loan is too long.
    TooLong {
        /// The most nights.
        most: i32,
        /// The last night that would do.
        until: Night,
    },
    /// Asked for too far ahead.
    TooFarAhead {
        /// How many nights ahead one may ask.
        most: i32,
        /// The last night that would do.
        until: Night,
    },
    /// The club lends nothing on some of the nights.
    ClubClosed {
        /// Which, and why.
        nights: Vec<(Night, String)>,
    },
    /// The member has as many reservations as one may have.
    TooManyOpen {
        /// The most.
        most: i64,
    },
    /// The member would have more items than one may have.
    TooManyItems {
        /// The most.
        most: i64,
        /// How many they have already.
        have: i64,
    },
    /// The member would have more telescopes than one may have.
    TooManyTelescopes {
        /// The most.
        most: i64,
        /// How many they have already.
        have: i64,
    },
    /// What the member would have is worth more than one may have.
    WorthTooMuch {
        /// The most, in whole units.
        most: i64,
    },
    /// The member would have more nights in a year than one may have.
    TooManyNights {
        /// The most.
        most: i64,
        /// How many they have already.
        have: i64,
    },
    /// On these nights the telescopes that are left are kept for outreach.
    KeptForOutreach(Vec<Night>),
    /// Somebody waits for it.
    OthersWait,
    /// The member has something that should be back.
    Overdue,
    /// Nobody noted that the member was shown how to use these.
    NotTrained(Vec<AssetTag>),
}

impl Broken {
    /// The rule's name on the wire.
    pub const fn rule(&self) -> &'static str {
        match self {
            Self::Past { .. } => "not_in_the_past",
            Self::TooLong { .. } => "longest_loan",
            Self::TooFarAhead { .. } => "how_far_ahead",
            Self::ClubClosed { .. } => "closed_nights",
            Self::TooManyOpen { .. } => "open_reservations",
            Self::TooManyItems { .. } => "items_at_once",
            Self::TooManyTelescopes { .. } => "telescopes_at_once",
            Self::WorthTooMuch { .. } => "worth_at_once",
            Self::TooManyNights { .. } => "nights_in_a_year",
            Self::KeptForOutreach(_) => "outreach_share",
            Self::OthersWait => "waiting_list",
            Self::Overdue => "overdue",
            Self::NotTrained(_) => "training",
        }
    }

    /// Whether other nights would help.
    pub const fn is_about_nights(&self) -> bool {
        matches!(
            self,
            Self::Past { .. }
                | Self::TooLong { .. }
                | Self::TooFarAhead { .. }
                | Self::ClubClosed { .. }
                | Self::KeptForOutreach(_)
        )
    }
}

impl fmt::Display for Broken {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Past { tonight } => {
                write!(f, "The first night is over: begin on {tonight} or later.")
            }
            Self::TooLong { most, until } => write!(
                f,
                "The club lends for at most {most} nights: bring it back after the night of {until}."
            ),
            Self::TooFarAhead { most, until } => {
                write!(f, "One may ask at most {most} nights ahead: choose nights until {until}.")
            }
            Self::ClubClosed { nights } => {
                f.write_str("The club lends nothing on ")?;
                for (at, (night, reason)) in nights.iter().enumerate() {
                    f.write_str(if at == 0 { "" } else { " and " })?;
                    night.fmt(f)?;
                    if !reason.is_empty() {
                        write!(f, " ({reason})")?;
                    }
                }
                f.write_str(": choose other nights.")
            }
            Self::TooManyOpen { most } => write!(
                f,
                "A member may have at most {most} reservations at a time: cancel one, or ask the quartermaster."
            ),
            Self::TooManyItems { most, have } => write!(
                f,
                "A member may have at most {most} items at a time, and {have} are promised already: choose fewer, or ask the quartermaster."
            ),
            Self::TooManyTelescopes { most, have } => write!(
                f,
                "A member may have at most {most} {} at a time, and {have} {} promised already: choose fewer, or ask the quartermaster.",
                if *most == 1 { "telescope" } else { "telescopes" },
                if *have == 1 { "is" } else { "are" }
            ),
            Self::WorthTooMuch { most } => write!(
                f,
                "What a member has at a time may be worth at most {most}: choose fewer or other pieces, or ask the quartermaster."
            ),
            Self::TooManyNights { most, have } => write!(
                f,
                "A member may have at most {most} nights in a year, and {have} are used already: choose fewer, or ask the quartermaster."
            ),
            Self::KeptForOutreach(nights) => {
                f.write_str("The telescopes that are left are kept for public evenings on ")?;
                for (at, night) in nights.iter().enumerate() {
                    f.write_str(if at == 0 { "" } else { " and " })?;
                    night.fmt(f)?;
                }
                f.write_str(": choose other nights, or ask the quartermaster.")
            }
            Self::OthersWait => f.write_str(
                "Somebody waits for these pieces on those nights: bring them back as agreed, or ask the quartermaster.",
            ),
            Self::Overdue => {
                f.write_str("Something on loan should have been back: bring it back first.")
            }
            Self::NotTrained(tags) => {
                let tags: Vec<String> = tags.iter().map(ToString::to_string).collect();
                write!(
                    f,
                    "{} is lent only to those who were shown how to use it: ask the quartermaster to show you.",
                    tags.join(" and ")
                )
            }
        }
    }
}
