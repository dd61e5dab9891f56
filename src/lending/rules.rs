//! The club's rules for lending: what may be asked for, and the sentence where it may not.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use super::night::{Night, Nights};
use crate::shelf::{AssetTag, ItemId};

/// What the club allows to everybody.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rules {
    /// The most nights of one loan, extensions included; 1–366.
    pub longest_nights: i32,
    /// How many nights ahead one may ask; 1–366.
    pub ahead_nights: i32,
    /// The most reservations a member may have that are not over; none where the club sets none.
    pub open_reservations: Option<i64>,
    /// The most items a member may have promised or out; none where the club sets none.
    pub items_at_once: Option<i64>,
    /// How long a solar filter's light test counts, in months; 1–12.
    pub light_test_months: i32,
    /// Nights on which nothing is lent, with their reason.
    pub closed: BTreeMap<Night, String>,
    /// Counts the changes.
    pub version: i64,
}

impl Default for Rules {
    fn default() -> Self {
        Self {
            longest_nights: 31,
            ahead_nights: 366,
            open_reservations: None,
            items_at_once: None,
            light_test_months: 12,
            closed: BTreeMap::new(),
            version: 1,
        }
    }
}

/// What the club asks for one piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct ItemRule {
    /// A quartermaster has to agree.
    pub needs_approval: bool,
    /// Only for those who were shown how.
    pub needs_training: bool,
    /// Nights to look after it when it is back; 0–3.
    pub turnaround_nights: i32,
}

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

/// What a member has already.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Having {
    /// Reservations that are not over.
    pub reservations: i64,
    /// Items in them.
    pub items: i64,
    /// Whether something should have been back before tonight.
    pub overdue: bool,
}

/// What is asked for, as far as the rules care.
#[derive(Debug, Clone)]
pub struct Request<'a> {
    /// The nights.
    pub nights: Nights,
    /// The items, with their tags.
    pub items: &'a [(ItemId, AssetTag)],
    /// Tonight.
    pub tonight: Night,
    /// What the member has already, without the reservation that is changed.
    pub having: Having,
    /// Whether it adds a reservation.
    pub adds_one: bool,
    /// The items among them that the member was shown.
    pub trained: &'a BTreeSet<ItemId>,
}

impl Rules {
    /// Every rule that a member's request breaks.
    pub fn broken(
        &self,
        request: &Request<'_>,
        item_rules: &BTreeMap<ItemId, ItemRule>,
    ) -> Vec<Broken> {
        let mut broken = self.broken_by_nights(request.nights, request.tonight);
        let having = request.having;
        if having.overdue {
            broken.push(Broken::Overdue);
        }
        if let Some(most) = self.open_reservations
            && request.adds_one
            && having.reservations >= most
        {
            broken.push(Broken::TooManyOpen { most });
        }
        let wanted = i64::try_from(request.items.len()).unwrap_or(i64::MAX);
        if let Some(most) = self.items_at_once
            && having.items.saturating_add(wanted) > most
        {
            broken.push(Broken::TooManyItems { most, have: having.items });
        }
        let untrained: Vec<AssetTag> = request
            .items
            .iter()
            .filter(|(id, _)| item_rules.get(id).is_some_and(|rule| rule.needs_training))
            .filter(|(id, _)| !request.trained.contains(id))
            .map(|(_, tag)| tag.clone())
            .collect();
        if !untrained.is_empty() {
            broken.push(Broken::NotTrained(untrained));
        }
        broken
    }

    /// The rules about nights alone; these bind quartermasters as well, save the longest loan.
    pub fn broken_by_nights(&self, nights: Nights, tonight: Night) -> Vec<Broken> {
        let mut broken = Vec::new();
        if nights.first() < tonight {
            broken.push(Broken::Past { tonight });
        }
        if nights.count() > self.longest_nights
            && let Some(until) = nights.first().later(self.longest_nights - 1)
        {
            broken.push(Broken::TooLong { most: self.longest_nights, until });
        }
        if let Some(until) = tonight.later(self.ahead_nights)
            && nights.last() > until
        {
            broken.push(Broken::TooFarAhead { most: self.ahead_nights, until });
        }
        let closed: Vec<(Night, String)> = self
            .closed
            .range(nights.first()..=nights.last())
            .map(|(night, reason)| (*night, reason.clone()))
            .collect();
        if !closed.is_empty() {
            broken.push(Broken::ClubClosed { nights: closed });
        }
        broken
    }

    /// The earliest stretches as long as `nights`, from `tonight` on, that keep every rule about
    /// nights and touch none of the `taken` ones; at most `most` of them, apart from each other.
    pub fn openings(
        &self,
        nights: Nights,
        tonight: Night,
        taken: &BTreeSet<Night>,
        most: usize,
    ) -> Vec<Nights> {
        let length = nights.count().min(self.longest_nights);
        let mut found = Vec::new();
        let mut first = self.within_reach(nights.first(), length, tonight);
        while found.len() < most {
            let Some(stretch) =
                first.later(length - 1).and_then(|last| Nights::new(first, last).ok())
            else {
                break;
            };
            if tonight.later(self.ahead_nights).is_none_or(|until| stretch.last() > until) {
                break;
            }
            let in_the_way = stretch
                .iter()
                .filter(|night| taken.contains(night) || self.closed.contains_key(night))
                .last();
            let next = if let Some(night) = in_the_way {
                night.next()
            } else {
                found.push(stretch);
                stretch.last().next()
            };
            let Some(next) = next else { break };
            first = next;
        }
        found
    }

    /// Where to begin to look: the wanted night, or, where that lies past the club's horizon, three
    /// weeks before it.
    fn within_reach(&self, wanted: Night, length: i32, tonight: Night) -> Night {
        let latest = tonight.later(self.ahead_nights - length + 1).unwrap_or(wanted);
        if wanted <= latest {
            return wanted.max(tonight);
        }
        latest.later(-21).unwrap_or(tonight).max(tonight)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn night(text: &str) -> Night {
        text.parse().unwrap()
    }

    fn nights(first: &str, last: &str) -> Nights {
        Nights::parse(first, last).unwrap()
    }

    #[test]
    fn each_rule_about_nights_names_what_would_keep_it() {
        let mut rules = Rules { longest_nights: 7, ahead_nights: 60, ..Rules::default() };
        rules.closed.insert(night("2026-06-10"), "annual meeting".into());
        let tonight = night("2026-06-05");
        let told = |first, last| -> Vec<String> {
            let broken = rules.broken_by_nights(nights(first, last), tonight);
            broken.iter().map(ToString::to_string).collect()
        };
        assert_eq!(told("2026-06-05", "2026-06-09"), Vec::<String>::new());
        assert_eq!(
            told("2026-06-04", "2026-06-05"),
            ["The first night is over: begin on 2026-06-05 or later."]
        );
        assert_eq!(
            told("2026-06-11", "2026-06-18"),
            ["The club lends for at most 7 nights: bring it back after the night of 2026-06-17."]
        );
        assert_eq!(
            told("2026-08-04", "2026-08-05"),
            ["One may ask at most 60 nights ahead: choose nights until 2026-08-04."]
        );
        assert_eq!(
            told("2026-06-09", "2026-06-10"),
            ["The club lends nothing on 2026-06-10 (annual meeting): choose other nights."]
        );
    }

    #[test]
    fn openings_step_over_taken_and_closed_nights_and_stay_within_reach() {
        let mut rules = Rules { ahead_nights: 20, ..Rules::default() };
        rules.closed.insert(night("2026-06-12"), String::new());
        let taken = [night("2026-06-06"), night("2026-06-07")].into();
        let found =
            rules.openings(nights("2026-06-05", "2026-06-07"), night("2026-06-05"), &taken, 5);
        let told: Vec<String> = found.iter().map(ToString::to_string).collect();
        assert_eq!(
            told,
            [
                "2026-06-08 to 2026-06-10",
                "2026-06-13 to 2026-06-15",
                "2026-06-16 to 2026-06-18",
                "2026-06-19 to 2026-06-21",
                "2026-06-22 to 2026-06-24",
            ]
        );
    }

    #[test]
    fn past_the_horizon_the_nearest_openings_lie_before_it() {
        let rules = Rules { ahead_nights: 30, ..Rules::default() };
        let tonight = night("2026-06-05");
        let found =
            rules.openings(nights("2026-09-04", "2026-09-06"), tonight, &BTreeSet::new(), 3);
        let told: Vec<String> = found.iter().map(ToString::to_string).collect();
        let expected =
            ["2026-06-12 to 2026-06-14", "2026-06-15 to 2026-06-17", "2026-06-18 to 2026-06-20"];
        assert_eq!(told, expected);
        assert!(found.iter().all(|one| rules.broken_by_nights(*one, tonight).is_empty()));
    }
}
