//! The question's form, from what was typed to what can be asked, nothing lost on the way.

use jiff::civil::Date;
use serde::Deserialize;

use super::ask_page::{AskForm, ReadyNights, Who};
use super::search::weekends;
use crate::eye::{Glasses, Observer, Prescription};
use crate::kit::{Question, Usage};
use crate::lending::Nights;
use crate::optics::{Age, Cylinder, EyeRelief, PupilDiameter, Seeing, Sphere};
use crate::web::field::{Field, number as optional};
use crate::web::format;

/// Most eyepieces in a kit where nothing was said.
pub const USUAL_EYEPIECES: usize = 5;

/// The form's fields as they arrive; every one may be missing.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Typed {
    who: String,
    member: String,
    age: String,
    glasses: String,
    sphere: String,
    cylinder: String,
    measured_pupil: String,
    relief_floor: String,
    seeing: String,
    nights: String,
    from: String,
    to: String,
    site: String,
    telescope: String,
    telescope_called: String,
    eyepieces: String,
}

/// Whose eyes are asked about, as far as the form alone can say.
#[derive(Clone, Debug)]
pub enum Eyes {
    /// A member, by number.
    Member(i64),
    /// Described in the form, or anyone.
    Asked(Box<Question>),
}

/// A form that can be asked.
#[derive(Clone, Debug)]
pub struct Checked {
    /// Whose eyes.
    pub eyes: Eyes,
    /// The seeing, if given.
    pub seeing: Option<Seeing>,
    /// The nights.
    pub nights: Nights,
    /// Where; the club's usual site where nothing is said.
    pub site: Option<i64>,
    /// One telescope only.
    pub telescope: Option<i64>,
    /// Most eyepieces.
    pub max_eyepieces: usize,
}

/// The ready-made nights for this day.
#[must_use]
pub fn ready_nights(today: Date) -> Vec<ReadyNights> {
    weekends(today)
        .into_iter()
        .zip(["This weekend", "Next weekend"])
        .map(|(nights, label)| ReadyNights {
            label: label.into(),
            detail: format::nights(nights.first().evening(), nights.last().evening()),
            value: format!("{}/{}", nights.first(), nights.last()),
        })
        .collect()
}

impl Typed {
    /// A question from scratch, with what an address already says.
    #[must_use]
    pub fn fresh(telescope: Option<i64>, today: Date) -> Self {
        Self {
            telescope: telescope.map_or_else(String::new, |id| id.to_string()),
            nights: ready_nights(today).first().map_or_else(String::new, |one| one.value.clone()),
            eyepieces: USUAL_EYEPIECES.to_string(),
            ..Self::default()
        }
    }

    /// Whether a person is described, whose particulars belong in no address.
    #[must_use]
    pub fn describes_a_person(&self) -> bool {
        self.who == Who::Described.as_str()
    }

    /// What was typed where telescopes are too many to choose from.
    #[must_use]
    pub fn telescope_called(&self) -> &str {
        self.telescope_called.trim()
    }

    /// Takes the telescope that was found for it as the choice.
    pub fn choose_telescope(&mut self, id: i64) {
        self.telescope = id.to_string();
        self.telescope_called.clear();
    }

    /// The address that asks the same by itself; only for questions that describe nobody.
    #[must_use]
    pub fn address(&self, nights: Nights) -> String {
        use std::fmt::Write as _;
        let mut address = format!("/kits?who={}", self.who_or_default().as_str());
        let mut add = |name: &str, value: &str| {
            if !value.is_empty()
                && value.bytes().all(|b| b.is_ascii_alphanumeric() || b"-./".contains(&b))
            {
                // Writing to a String cannot fail.
                let _ = write!(address, "&{name}={value}");
            }
        };
        if self.who_or_default() == Who::Member {
            add("member", self.member.trim());
        }
        add("from", &nights.first().to_string());
        add("to", &nights.last().to_string());
        add("site", self.site.trim());
        add("telescope", self.telescope.trim());
        add("eyepieces", self.eyepieces.trim());
        add("seeing", self.seeing.trim());
        address
    }

    fn who_or_default(&self) -> Who {
        Who::parse(&self.who).unwrap_or_default()
    }

    /// The form to show again: everything as it was typed.
    #[must_use]
    pub fn form(&self, today: Date) -> AskForm {
        let ready = ready_nights(today);
        let typed = |value: &str| Field::of(value);
        // Nights that are typed but equal a ready-made choice show as that choice.
        let asked = format!("{}/{}", self.from.trim(), self.to.trim());
        let nights = if self.nights.is_empty() && ready.iter().any(|one| one.value == asked) {
            asked
        } else {
            self.nights.clone()
        };
        AskForm {
            who: self.who_or_default(),
            member: typed(&self.member),
            age: typed(&self.age),
            glasses: typed(&self.glasses),
            sphere: typed(&self.sphere),
            cylinder: typed(&self.cylinder),
            measured_pupil: typed(&self.measured_pupil),
            relief_floor: typed(&self.relief_floor),
            seeing: typed(&self.seeing),
            from: typed(&self.from),
            to: typed(&self.to),
            nights,
            ready,
            site: typed(&self.site),
            telescope: typed(&self.telescope),
            eyepieces: typed(&self.eyepieces),
            ..AskForm::default()
        }
    }

    /// Checks everything; refused fields are marked in `form` with what to do.
    ///
    /// # Errors
    /// At least one field of `form` is refused.
    pub fn check(&self, form: &mut AskForm, today: Date) -> Result<Checked, Refused> {
        let seeing = optional(&mut form.seeing, Seeing::new);
        let eyes = match form.who {
            Who::Member => whole(&mut form.member, "Choose who will look.").map(Eyes::Member),
            Who::Anyone => {
                let question = Question {
                    observer: Observer::anyone(),
                    seeing,
                    usage: Usage::Night,
                    tonight: None,
                };
                Some(Eyes::Asked(Box::new(question)))
            }
            Who::Described => described(form, seeing),
        };
        let nights = self.check_nights(form, today);
        let site = match form.site.value.trim() {
            "" => None,
            _ => whole(&mut form.site, "Choose a place from the list."),
        };
        let telescope = match form.telescope.value.trim() {
            "" => None,
            _ => whole(&mut form.telescope, "Choose a telescope from the list."),
        };
        let max_eyepieces = match form.eyepieces.value.trim() {
            "" => USUAL_EYEPIECES,
            text => {
                if let Ok(count @ 1..=8) = text.parse() {
                    count
                } else {
                    form.eyepieces.refuse("Write how many eyepieces at most, from 1 to 8.");
                    USUAL_EYEPIECES
                }
            }
        };
        if !form.slips().is_empty() {
            return Err(Refused);
        }
        let (Some(eyes), Some(nights)) = (eyes, nights) else { return Err(Refused) };
        Ok(Checked { eyes, seeing, nights, site, telescope, max_eyepieces })
    }

    fn check_nights(&self, form: &mut AskForm, today: Date) -> Option<Nights> {
        let (first, last) = match self.nights.split_once('/') {
            Some(pair) => pair,
            None => (self.from.trim(), self.to.trim()),
        };
        for (text, field) in [(first, &mut form.from), (last, &mut form.to)] {
            if text.is_empty() {
                field.refuse("Write the date, like 2026-06-05.");
            } else if text.parse::<Date>().is_err() {
                field.refuse(format!("“{text}” is not a date: write it like 2026-06-05."));
            }
        }
        if form.from.error.is_some() || form.to.error.is_some() {
            return None;
        }
        match Nights::parse(first, last) {
            Ok(nights) if nights.last().evening() < today => {
                form.to.refuse("These nights are over: choose nights from today on.");
                None
            }
            Ok(nights) => Some(nights),
            Err(refused) => {
                form.to.refuse(refused.to_string());
                None
            }
        }
    }
}

/// The form has refused fields.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Refused;

fn described(form: &mut AskForm, seeing: Option<Seeing>) -> Option<Eyes> {
    let age = if form.age.value.trim().is_empty() {
        form.age.refuse("Write the age in years: the pupil opens less wide as we grow older.");
        None
    } else {
        optional(&mut form.age, Age::new)
    };
    let glasses = Glasses::parse(form.glasses.value.trim());
    if glasses.is_none() {
        form.glasses.refuse("Choose what happens to glasses at the eyepiece.");
    }
    let prescription = Prescription {
        sphere: optional(&mut form.sphere, Sphere::new),
        cylinder: optional(&mut form.cylinder, Cylinder::new),
    };
    let measured_pupil = optional(&mut form.measured_pupil, PupilDiameter::new);
    let relief_floor = optional(&mut form.relief_floor, EyeRelief::new);
    let observer =
        Observer { prescription, measured_pupil, relief_floor, ..Observer::person(age?, glasses?) };
    Some(Eyes::Asked(Box::new(Question { observer, seeing, usage: Usage::Night, tonight: None })))
}

fn whole(field: &mut Field, otherwise: &str) -> Option<i64> {
    let number = field.value.trim().parse().ok();
    if number.is_none() {
        field.refuse(otherwise);
    }
    number
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    const TODAY: Date = date(2026, 6, 1);

    fn described(age: &str, glasses: &str) -> Typed {
        Typed {
            who: "described".into(),
            age: age.into(),
            glasses: glasses.into(),
            ..Typed::fresh(None, TODAY)
        }
    }

    #[test]
    fn two_fields_are_enough_to_describe_an_observer() {
        let typed = described("47", "keeps_on");
        let mut form = typed.form(TODAY);
        let checked = typed.check(&mut form, TODAY).unwrap();
        assert!(matches!(checked.eyes, Eyes::Asked(_)));
        assert_eq!(
            checked.nights.to_string(),
            Nights::parse("2026-06-05", "2026-06-07").unwrap().to_string()
        );
        assert_eq!(checked.max_eyepieces, USUAL_EYEPIECES);
    }

    #[test]
    fn every_wrong_field_is_named_and_keeps_what_was_typed() {
        let typed = Typed {
            cylinder: "much".into(),
            measured_pupil: "70".into(),
            nights: String::new(),
            from: "next week".into(),
            to: "2026-06-07".into(),
            telescope: "the big one".into(),
            eyepieces: "9".into(),
            ..described("430", "monocle")
        };
        let mut form = typed.form(TODAY);
        assert_eq!(typed.check(&mut form, TODAY).unwrap_err(), Refused);
        let fields: Vec<String> = form.slips().into_iter().map(|slip| slip.field).collect();
        assert_eq!(
            fields,
            ["age", "glasses", "cylinder", "measured_pupil", "from", "telescope", "eyepieces"]
        );
        assert_eq!(form.cylinder.value, "much");
        assert_eq!(form.from.value, "next week");
    }

    #[test]
    fn decimal_commas_and_minus_signs_of_print_are_read() {
        let typed = Typed { sphere: "−2,5".into(), ..described("47", "takes_off") };
        let mut form = typed.form(TODAY);
        let checked = typed.check(&mut form, TODAY).unwrap();
        let Eyes::Asked(question) = checked.eyes else { panic!("described") };
        assert!((question.observer.prescription.sphere.unwrap().dioptres() + 2.5).abs() < 1e-12);
    }

    #[test]
    fn nights_that_are_over_or_upside_down_are_refused() {
        for (from, to) in [("2026-05-01", "2026-05-03"), ("2026-06-07", "2026-06-05")] {
            let typed = Typed {
                who: "anyone".into(),
                nights: String::new(),
                from: from.into(),
                to: to.into(),
                ..Typed::fresh(None, TODAY)
            };
            let mut form = typed.form(TODAY);
            assert!(typed.check(&mut form, TODAY).is_err());
            assert!(form.to.error.is_some(), "{from} to {to}");
        }
    }

    #[test]
    fn an_address_says_nothing_of_a_person_s_eyes() {
        let typed = Typed { member: "7".into(), ..described("47", "keeps_on") };
        let nights = Nights::parse("2026-06-05", "2026-06-07").unwrap();
        let member = Typed { who: "member".into(), ..typed };
        assert_eq!(
            member.address(nights),
            "/kits?who=member&member=7&from=2026-06-05&to=2026-06-07&eyepieces=5"
        );
    }
}
