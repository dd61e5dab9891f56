//! The observer's form, from what was typed to a profile, nothing lost on the way.

use serde::Deserialize;

use crate::eye::Glasses;
use crate::optics::{EyeRelief, PupilDiameter, Sphere};
use crate::people::profile::{Profile, Sharing, Side, Written};
use crate::people::{BirthYear, EyeRecord, WrittenCylinder};
use crate::web::field::{Field, Slip, number, slips};

/// The oldest that anybody at an eyepiece is counted as, years.
const OLDEST: i16 = 120;
/// The youngest, years.
const YOUNGEST: i16 = 4;

/// The form's fields as they arrive; every one may be missing. `Debug` shows nothing of it.
#[derive(Clone, Default, Deserialize)]
#[serde(default)]
pub struct Typed {
    pub(super) version: String,
    birth_year: String,
    glasses: String,
    looking: String,
    right_sphere: String,
    right_cylinder: String,
    left_sphere: String,
    left_cylinder: String,
    sphere: String,
    cylinder: String,
    measured_pupil: String,
    relief_floor: String,
    shared: String,
}

impl std::fmt::Debug for Typed {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Typed").finish_non_exhaustive()
    }
}

/// The form as a page shows it.
#[derive(Clone, Default, PartialEq, Eq)]
pub struct ObserverForm {
    /// The version that the reader saw.
    pub version: i64,
    /// Year of birth.
    pub birth_year: Field,
    /// `none`, `takes_off`, `keeps_on`, or empty.
    pub glasses: String,
    /// `right`, `left`, or empty.
    pub looking: Field,
    /// The right eye's sphere.
    pub right_sphere: Field,
    /// The right eye's cylinder.
    pub right_cylinder: Field,
    /// The left eye's sphere.
    pub left_sphere: Field,
    /// The left eye's cylinder.
    pub left_cylinder: Field,
    /// Sphere of the looking eye, as long as nobody said which one that is.
    pub sphere: Field,
    /// Its cylinder.
    pub cylinder: Field,
    /// A measured pupil.
    pub measured_pupil: Field,
    /// The least eye relief they like.
    pub relief_floor: Field,
    /// Whether quartermasters may open the figures.
    pub shared: bool,
}

/// The choices for glasses, with their words.
pub const GLASSES: [(&str, &str); 4] = [
    ("none", "I wear none"),
    ("takes_off", "I wear some and take them off at the eyepiece"),
    ("keeps_on", "I keep them on"),
    ("", "I'd rather not say"),
];

/// A number as somebody writes it.
fn plain(value: f64) -> String {
    value.to_string()
}

impl ObserverForm {
    /// The form that shows this profile.
    #[must_use]
    pub fn of(profile: &Profile, version: i64) -> Self {
        let eyes = &profile.eyes;
        let sphere =
            |eye: Written| Field::of(eye.sphere.map_or_else(String::new, |s| plain(s.dioptres())));
        let cylinder = |eye: Written| {
            Field::of(eye.cylinder.map_or_else(String::new, |c| plain(c.dioptres())))
        };
        let (right, left) = (profile.of(Side::Right), profile.of(Side::Left));
        let unsaid =
            if profile.looking.is_none() { profile.looking_eye() } else { Written::default() };
        Self {
            version,
            birth_year: Field::of(
                eyes.birth_year.map_or_else(String::new, |y| y.year().to_string()),
            ),
            glasses: eyes.glasses.map_or("", Glasses::as_str).into(),
            looking: Field::of(profile.looking.map_or("", Side::as_str)),
            right_sphere: sphere(right),
            right_cylinder: cylinder(right),
            left_sphere: sphere(left),
            left_cylinder: cylinder(left),
            sphere: sphere(unsaid),
            cylinder: cylinder(unsaid),
            measured_pupil: Field::of(
                eyes.measured_pupil.map_or_else(String::new, |p| plain(p.mm())),
            ),
            relief_floor: Field::of(eyes.relief_floor.map_or_else(String::new, |r| plain(r.mm()))),
            shared: profile.sharing == Sharing::Quartermasters,
        }
    }

    /// Whether a prescription is there of which nobody said whose eye it is.
    #[must_use]
    pub fn eye_is_unsaid(&self) -> bool {
        let there = |field: &Field| !field.value.is_empty() || field.error.is_some();
        there(&self.sphere) || there(&self.cylinder)
    }

    /// What is wrong with it.
    #[must_use]
    pub fn slips(&self) -> Vec<Slip> {
        slips([
            ("birth_year", &self.birth_year),
            ("looking", &self.looking),
            ("right_sphere", &self.right_sphere),
            ("right_cylinder", &self.right_cylinder),
            ("left_sphere", &self.left_sphere),
            ("left_cylinder", &self.left_cylinder),
            ("sphere", &self.sphere),
            ("cylinder", &self.cylinder),
            ("measured_pupil", &self.measured_pupil),
            ("relief_floor", &self.relief_floor),
        ])
    }

    /// Every fact with its label as words, to compare two versions.
    fn told(&self) -> [(&'static str, String); 12] {
        let glasses = GLASSES.iter().find(|(value, _)| *value == self.glasses);
        [
            ("Year of birth", self.birth_year.value.clone()),
            ("Glasses", glasses.map_or("", |(_, label)| *label).to_owned()),
            ("The eye that looks", self.looking.value.clone()),
            ("Right eye, sphere", self.right_sphere.value.clone()),
            ("Right eye, cylinder", self.right_cylinder.value.clone()),
            ("Left eye, sphere", self.left_sphere.value.clone()),
            ("Left eye, cylinder", self.left_cylinder.value.clone()),
            ("Looking eye, sphere", self.sphere.value.clone()),
            ("Looking eye, cylinder", self.cylinder.value.clone()),
            ("Measured pupil", self.measured_pupil.value.clone()),
            ("Least eye relief", self.relief_floor.value.clone()),
            ("Shared", if self.shared { "with quartermasters" } else { "with nobody" }.to_owned()),
        ]
    }

    /// Every fact that was said, with its label.
    #[must_use]
    pub fn figures(&self) -> Vec<(&'static str, String)> {
        self.told()
            .into_iter()
            .filter(|(label, value)| !value.is_empty() && *label != "Shared")
            .collect()
    }

    /// How `kept`, which somebody saved meanwhile, differs from this: label, kept, typed.
    #[must_use]
    pub fn differences(&self, kept: &Self) -> Vec<(&'static str, String, String)> {
        let said = |text: String| if text.is_empty() { "nothing".to_owned() } else { text };
        self.told()
            .into_iter()
            .zip(kept.told())
            .filter(|((_, typed), (_, kept))| typed.trim() != kept.trim())
            .map(|((label, typed), (_, kept))| (label, said(kept), said(typed)))
            .collect()
    }
}

impl Typed {
    /// The form to show again: everything as it was typed.
    #[must_use]
    pub fn form(&self) -> ObserverForm {
        ObserverForm {
            version: self.version.trim().parse().unwrap_or(0),
            birth_year: Field::of(&self.birth_year),
            glasses: self.glasses.clone(),
            looking: Field::of(&self.looking),
            right_sphere: Field::of(&self.right_sphere),
            right_cylinder: Field::of(&self.right_cylinder),
            left_sphere: Field::of(&self.left_sphere),
            left_cylinder: Field::of(&self.left_cylinder),
            sphere: Field::of(&self.sphere),
            cylinder: Field::of(&self.cylinder),
            measured_pupil: Field::of(&self.measured_pupil),
            relief_floor: Field::of(&self.relief_floor),
            shared: !self.shared.is_empty(),
        }
    }

    /// Checks everything; refused fields are marked in `form` with what to do. `None` where at
    /// least one is.
    #[must_use]
    pub fn check(&self, form: &mut ObserverForm, this_year: i16) -> Option<Profile> {
        let birth_year = birth_year(&mut form.birth_year, this_year);
        let looking = Side::parse(form.looking.value.trim());
        let right = written(&mut form.right_sphere, &mut form.right_cylinder);
        let left = written(&mut form.left_sphere, &mut form.left_cylinder);
        let unsaid = written(&mut form.sphere, &mut form.cylinder);
        let (eye, other) = match looking {
            Some(Side::Right) => (filled(right, unsaid), left),
            Some(Side::Left) => (filled(left, unsaid), right),
            None => {
                if !right.is_empty() || !left.is_empty() {
                    form.looking
                        .refuse("Say which eye looks, so that we count with the right numbers.");
                }
                (unsaid, Written::default())
            }
        };
        let measured_pupil = number(&mut form.measured_pupil, PupilDiameter::new);
        let relief_floor = number(&mut form.relief_floor, EyeRelief::new);
        if !form.slips().is_empty() {
            return None;
        }
        Some(Profile {
            eyes: EyeRecord {
                birth_year,
                glasses: Glasses::parse(form.glasses.trim()),
                sphere: eye.sphere,
                cylinder: eye.cylinder,
                measured_pupil,
                relief_floor,
            },
            looking,
            other,
            sharing: if form.shared { Sharing::Quartermasters } else { Sharing::Nobody },
        })
    }
}

/// An eye's own numbers, or else those that nobody had given a side.
fn filled(eye: Written, unsaid: Written) -> Written {
    if eye.is_empty() { unsaid } else { eye }
}

fn written(sphere: &mut Field, cylinder: &mut Field) -> Written {
    Written {
        sphere: number(sphere, Sphere::new),
        cylinder: number(cylinder, WrittenCylinder::new),
    }
}

fn birth_year(field: &mut Field, this_year: i16) -> Option<BirthYear> {
    let text = field.value.trim();
    if text.is_empty() {
        return None;
    }
    let Ok(year) = text.parse::<i64>() else {
        field.refuse("Write the year with four digits, such as 1971.");
        return None;
    };
    let (first, last) = (this_year - OLDEST, this_year - YOUNGEST);
    if !(i64::from(first)..=i64::from(last)).contains(&year) {
        field.refuse(format!("Write a year from {first} to {last}."));
        return None;
    }
    BirthYear::new(year).map_err(|refused| field.refuse(refused.to_string())).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(pairs: &[(&str, &str)]) -> Typed {
        let map: serde_json::Map<String, serde_json::Value> =
            pairs.iter().map(|(k, v)| ((*k).into(), (*v).into())).collect();
        serde_json::from_value(map.into()).unwrap()
    }

    fn checked(pairs: &[(&str, &str)]) -> (Option<Profile>, ObserverForm) {
        let typed = typed(pairs);
        let mut form = typed.form();
        (typed.check(&mut form, 2026), form)
    }

    #[test]
    fn nothing_typed_is_a_profile_that_says_nothing() {
        assert_eq!(checked(&[]).0, Some(Profile::default()));
    }

    #[test]
    fn the_eye_that_looks_gives_the_numbers_that_count() {
        let numbers = [
            ("right_sphere", "-2,25"),
            ("right_cylinder", "−1.5"),
            ("left_sphere", "+0.75"),
            ("looking", "left"),
        ];
        let profile = checked(&numbers).0.unwrap();
        assert_eq!(profile.eyes.sphere, Sphere::new(0.75).ok());
        assert!(profile.eyes.cylinder.is_none());
        assert_eq!(profile.other.sphere, Sphere::new(-2.25).ok());
        let again = ObserverForm::of(&profile, 3);
        assert_eq!((&*again.right_sphere.value, &*again.left_sphere.value), ("-2.25", "0.75"));
    }

    #[test]
    fn numbers_without_an_eye_ask_which_one_looks() {
        let (profile, form) = checked(&[("right_sphere", "-2")]);
        assert!(profile.is_none());
        assert!(form.looking.error.unwrap().starts_with("Say which eye looks"));
        assert_eq!(form.right_sphere.value, "-2");
    }

    #[test]
    fn a_prescription_without_a_side_moves_to_the_eye_that_is_named() {
        let listed = Profile {
            eyes: EyeRecord { sphere: Sphere::new(-1.0).ok(), ..EyeRecord::default() },
            ..Profile::default()
        };
        assert!(ObserverForm::of(&listed, 1).eye_is_unsaid());
        let profile = checked(&[("sphere", "-1"), ("looking", "right")]).0.unwrap();
        let form = ObserverForm::of(&profile, 2);
        assert_eq!(form.right_sphere.value, "-1");
        assert!(!form.eye_is_unsaid());
        let kept = checked(&[("sphere", "-1")]).0.unwrap();
        assert_eq!(kept, listed, "it may also stay as it is");
    }

    #[test]
    fn nonsense_is_refused_where_it_stands() {
        let (profile, form) = checked(&[
            ("birth_year", "71"),
            ("measured_pupil", "70"),
            ("relief_floor", "NaN"),
            ("looking", "right"),
            ("right_cylinder", "inf"),
        ]);
        assert!(profile.is_none());
        let fields: Vec<String> = form.slips().into_iter().map(|slip| slip.field).collect();
        assert_eq!(fields, ["birth_year", "right_cylinder", "measured_pupil", "relief_floor"]);
        assert!(checked(&[("birth_year", "2025")]).0.is_none(), "a year old");
    }

    #[test]
    fn two_versions_are_told_apart_field_by_field() {
        let mine = typed(&[("birth_year", "1971"), ("glasses", "none")]).form();
        let kept = typed(&[("birth_year", "1972"), ("glasses", "none")]).form();
        assert_eq!(
            mine.differences(&kept),
            [("Year of birth", "1972".to_owned(), "1971".to_owned())]
        );
    }
}
