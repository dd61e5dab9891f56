//! The club's rules for lending: what may be asked for, and the sentence where it may not.

pub use super::broken::Broken;
use super::night::{Night, Nights};
use crate::shelf::{AssetTag, ItemId};
use std::collections::{BTreeMap, BTreeSet};

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
    /// The most telescopes a member may have promised or out.
    pub telescopes_at_once: Option<i64>,
    /// The most that what a member has promised or out may be worth, in whole units.
    pub worth_at_once: Option<i64>,
    /// The most nights a member may have in the year that ends with the last one asked for.
    pub nights_in_a_year: Option<i64>,
    /// For how many nights what nobody fetches is kept; to its last night where the club sets none.
    pub kept_nights: Option<i64>,
    /// The share of the telescopes in service that only outreach may reserve, in hundredths; 0–90.
    pub outreach_percent: i64,
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
            telescopes_at_once: None,
            worth_at_once: None,
            nights_in_a_year: None,
            kept_nights: None,
            outreach_percent: 0,
            light_test_months: 12,
            closed: BTreeMap::new(),
            version: 1,
        }
    }
}

/// The most nights in which a piece is looked after when it is back.
pub(super) const MOST_TURNAROUND: i32 = 3;

/// What the club asks for one piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct ItemRule {
    /// A quartermaster has to agree.
    pub needs_approval: bool,
    /// Only for those who were shown how.
    pub needs_training: bool,
    /// Whoever gave no year of birth counts as under age for it.
    pub asks_age: bool,
    /// Nights to look after it when it is back; 0–3.
    pub turnaround_nights: i32,
}

/// What a member has already.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Having {
    /// Reservations that are not over.
    pub reservations: i64,
    /// Items in them.
    pub items: i64,
    /// Telescopes among these; counted only where the club sets a limit.
    pub telescopes: i64,
    /// What the items are worth, in hundredths; counted only where the club sets a limit.
    pub cents: i64,
    /// Nights in the year that ends with the last one asked for; likewise.
    pub nights: i64,
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
    /// How many of them are telescopes.
    pub telescopes: i64,
    /// What they are worth, in hundredths.
    pub cents: i64,
    /// Nights on which no telescope is left but those for outreach.
    pub outreach: Vec<Night>,
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
        if let Some(most) = self.telescopes_at_once
            && request.telescopes > 0
            && having.telescopes + request.telescopes > most
        {
            broken.push(Broken::TooManyTelescopes { most, have: having.telescopes });
        }
        if let Some(most) = self.worth_at_once
            && request.cents > 0
            && having.cents + request.cents > most.saturating_mul(100)
        {
            broken.push(Broken::WorthTooMuch { most });
        }
        if let Some(most) = self.nights_in_a_year
            && having.nights + i64::from(request.nights.count()) > most
        {
            broken.push(Broken::TooManyNights { most, have: having.nights });
        }
        if !request.outreach.is_empty() {
            broken.push(Broken::KeptForOutreach(request.outreach.clone()));
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
#[path = "rules_tests.rs"]
mod tests;
