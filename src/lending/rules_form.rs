//! The form of the club's rules: typed, checked, shown again.

use serde::Deserialize;

use super::night::{Nights, NotNights};
use super::rules::Rules;
use crate::web::field::{Field, Slip, slips};

/// The rules as they are typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct TypedRules {
    longest: String,
    ahead: String,
    open: String,
    items: String,
    telescopes: String,
    worth: String,
    year: String,
    kept: String,
    outreach: String,
    light: String,
    version: i64,
}

/// The rules as the page shows them.
#[derive(Clone, Debug, Default)]
pub struct RulesForm {
    /// The most nights of one loan.
    pub longest: Field,
    /// How many nights ahead one may ask.
    pub ahead: Field,
    /// The most reservations at a time; empty for no limit.
    pub open: Field,
    /// The most pieces at a time; empty for no limit.
    pub items: Field,
    /// The most telescopes at a time; empty for no limit.
    pub telescopes: Field,
    /// The most worth at a time; empty for no limit.
    pub worth: Field,
    /// The most nights in a year; empty for no limit.
    pub year: Field,
    /// For how many nights what nobody fetches is kept; empty for all of them.
    pub kept: Field,
    /// The telescopes kept for outreach, in hundredths.
    pub outreach: Field,
    /// How many months a light test counts.
    pub light: Field,
    /// The version that was read.
    pub version: i64,
}

impl RulesForm {
    /// The rules as they stand.
    pub fn of(rules: &Rules) -> Self {
        let some = |number: Option<i64>| Field::of(number.map_or(String::new(), |n| n.to_string()));
        Self {
            longest: Field::of(rules.longest_nights.to_string()),
            ahead: Field::of(rules.ahead_nights.to_string()),
            open: some(rules.open_reservations),
            items: some(rules.items_at_once),
            telescopes: some(rules.telescopes_at_once),
            worth: some(rules.worth_at_once),
            year: some(rules.nights_in_a_year),
            kept: some(rules.kept_nights),
            outreach: Field::of(rules.outreach_percent.to_string()),
            light: Field::of(rules.light_test_months.to_string()),
            version: rules.version,
        }
    }

    /// What is wrong, for the summary.
    pub fn slips(&self) -> Vec<Slip> {
        slips([
            ("longest", &self.longest),
            ("ahead", &self.ahead),
            ("open", &self.open),
            ("items", &self.items),
            ("telescopes", &self.telescopes),
            ("worth", &self.worth),
            ("year", &self.year),
            ("kept", &self.kept),
            ("outreach", &self.outreach),
            ("light", &self.light),
        ])
    }
}

impl TypedRules {
    /// The rules that are meant, or the form with what is wrong.
    pub fn check(&self) -> Result<Rules, Box<RulesForm>> {
        let mut form = RulesForm {
            longest: Field::of(&*self.longest),
            ahead: Field::of(&*self.ahead),
            open: Field::of(&*self.open),
            items: Field::of(&*self.items),
            telescopes: Field::of(&*self.telescopes),
            worth: Field::of(&*self.worth),
            year: Field::of(&*self.year),
            kept: Field::of(&*self.kept),
            outreach: Field::of(&*self.outreach),
            light: Field::of(&*self.light),
            version: self.version,
        };
        if form.outreach.value.trim().is_empty() {
            form.outreach = Field::of("0");
        }
        let rules = Rules {
            longest_nights: whole(&mut form.longest, "nights", 1..=366).unwrap_or(1),
            ahead_nights: whole(&mut form.ahead, "nights", 1..=366).unwrap_or(1),
            light_test_months: whole(&mut form.light, "months", 1..=12).unwrap_or(1),
            open_reservations: optional(&mut form.open, "reservations", 1000),
            items_at_once: optional(&mut form.items, "pieces", 1000),
            telescopes_at_once: optional(&mut form.telescopes, "telescopes", 1000),
            worth_at_once: optional(&mut form.worth, "units", 1_000_000),
            nights_in_a_year: optional(&mut form.year, "nights", 1000),
            kept_nights: optional(&mut form.kept, "nights", 366),
            outreach_percent: whole(&mut form.outreach, "per cent", 0..=90).unwrap_or(0).into(),
            version: self.version,
            ..Rules::default()
        };
        if form.slips().is_empty() { Ok(rules) } else { Err(Box::new(form)) }
    }
}

/// A whole number within its range; otherwise the field is refused.
fn whole(field: &mut Field, what: &str, range: std::ops::RangeInclusive<i32>) -> Option<i32> {
    let number = field.value.trim().parse().ok().filter(|number| range.contains(number));
    if number.is_none() {
        let (low, high) = (range.start(), range.end());
        field.refuse(format!("Write a whole number of {what} from {low} to {high}."));
    }
    number
}

/// A whole number from 1, or an empty field for no limit; otherwise the field is refused.
fn optional(field: &mut Field, what: &str, most: i64) -> Option<i64> {
    if field.value.trim().is_empty() {
        return None;
    }
    let number = field.value.trim().parse().ok().filter(|number| (1..=most).contains(number));
    if number.is_none() {
        field.refuse(format!(
            "Write a whole number of {what} from 1 to {most}, or leave it empty for no limit."
        ));
    }
    number
}

/// Some nights with their reason, and perhaps some pieces, as they are typed.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct TypedNights {
    pub(super) tags: String,
    pub(super) from: String,
    pub(super) to: String,
    pub(super) reason: String,
}

/// The same as a page shows them.
#[derive(Clone, Debug, Default)]
pub struct NightsForm {
    /// The tags of the pieces.
    pub tags: Field,
    /// The first night.
    pub from: Field,
    /// The last night; empty for the first alone.
    pub to: Field,
    /// Why.
    pub reason: Field,
}

impl TypedNights {
    /// The form as it was typed.
    pub fn form(&self) -> NightsForm {
        NightsForm {
            tags: Field::of(&*self.tags),
            from: Field::of(&*self.from),
            to: Field::of(&*self.to),
            reason: Field::of(&*self.reason),
        }
    }

    /// The nights that are meant; otherwise the form says what is wrong. Without a last night it is
    /// the first alone.
    pub fn nights(&self, form: &mut NightsForm) -> Option<Nights> {
        let from = self.from.trim();
        let to = Some(self.to.trim()).filter(|to| !to.is_empty()).unwrap_or(from);
        match Nights::parse(from, to) {
            Ok(nights) => Some(nights),
            Err(NotNights::First(why)) => {
                form.from.refuse(why.to_string());
                None
            }
            Err(NotNights::Last(why)) => {
                form.to.refuse(why.to_string());
                None
            }
            Err(why) => {
                form.to.refuse(why.to_string());
                None
            }
        }
    }

    /// The reason, one line of at most 200 characters; otherwise the form says what is wrong.
    pub fn reason(&self, form: &mut NightsForm) -> Option<String> {
        let reason = self.reason.trim();
        if reason.is_empty() {
            form.reason.refuse("Say why, in a few words: members read it.");
        } else if reason.chars().count() > 200 || reason.chars().any(char::is_control) {
            form.reason.refuse("Please write one line of at most 200 characters.");
        }
        form.reason.error.is_none().then(|| reason.to_owned())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_out_of_range_is_refused_and_stays_typed() {
        let typed = TypedRules {
            longest: "0".into(),
            ahead: "400".into(),
            open: "many".into(),
            outreach: "91".into(),
            light: "13".into(),
            version: 3,
            ..TypedRules::default()
        };
        let form = typed.check().unwrap_err();
        let wrong: Vec<String> = form.slips().into_iter().map(|slip| slip.field).collect();
        assert_eq!(wrong, ["longest", "ahead", "open", "outreach", "light"]);
        assert_eq!(form.open.value, "many");
    }

    #[test]
    fn rules_come_back_from_their_own_form() {
        let rules = Rules {
            open_reservations: Some(3),
            telescopes_at_once: Some(1),
            worth_at_once: Some(2500),
            nights_in_a_year: Some(40),
            kept_nights: Some(1),
            outreach_percent: 20,
            version: 7,
            ..Rules::default()
        };
        let form = RulesForm::of(&rules);
        let typed = TypedRules {
            longest: form.longest.value,
            ahead: form.ahead.value,
            open: form.open.value,
            items: form.items.value,
            telescopes: form.telescopes.value,
            worth: form.worth.value,
            year: form.year.value,
            kept: form.kept.value,
            outreach: form.outreach.value,
            light: form.light.value,
            version: form.version,
        };
        assert_eq!(typed.check().unwrap(), rules);
    }
}
