//! Members folded into classes of like eyes, so that five hundred of them become some dozens, and
//! nobody can be read back from an answer.
//!
//! A class is counted with at one fixed age, one astigmatism and one smallest eye relief for all
//! that are in it, the harder end of each range but for age, where it is the middle. Shown are
//! groups of at least three members.

use std::collections::BTreeMap;

use crate::eye::{Glasses, Observer, Prescription, Viewers};
use crate::kit::{Question, Usage};
use crate::optics::{Age, Cylinder, EyeRelief};
use crate::people::MemberId;

/// Fewer members than this are not shown apart.
pub const LEAST_SHOWN: usize = 3;

/// Upper ends of the bands of age with the age that is counted with, years.
const AGES: [(f64, f64); 5] =
    [(25.0, 18.0), (45.0, 35.0), (60.0, 52.0), (75.0, 67.0), (200.0, 80.0)];

/// Ends of the bands of cylinder with what is counted with, dioptres.
const CYLINDERS: [(f64, f64); 4] = [(0.375, 0.25), (0.875, 0.75), (1.625, 1.5), (20.0, 2.5)];

/// Ends of the bands of an observer's own smallest eye relief with what is counted with, mm.
const FLOORS: [(f64, f64); 3] = [(15.0, 15.0), (18.0, 18.0), (60.0, 22.0)];

/// Eyes that are counted as alike.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Key {
    /// The band of age; none where it is not known.
    age: Option<u8>,
    /// Glasses: none, taken off, kept on.
    glasses: u8,
    /// The band of cylinder; none where it is not known.
    cylinder: Option<u8>,
    /// The band of the own floor.
    floor: Option<u8>,
}

fn band(value: f64, bands: &[(f64, f64)]) -> u8 {
    bands.iter().position(|(end, _)| value < *end).unwrap_or(bands.len() - 1) as u8
}

impl Key {
    /// The class of one observer.
    #[must_use]
    pub fn of(observer: &Observer) -> Self {
        let age = match observer.viewers {
            Viewers::Person { age } => Some(band(age.years(), &AGES)),
            Viewers::AgeNotKnown | Viewers::Anyone => None,
        };
        let glasses = match observer.glasses {
            Glasses::None => 0,
            Glasses::TakesOff => 1,
            Glasses::KeepsOn | Glasses::NotKnown => 2,
        };
        // Without glasses nothing is known to be wrong; what is known counts in any case.
        let cylinder = observer.prescription.cylinder.map(|one| band(one.dioptres(), &CYLINDERS));
        let floor = observer.relief_floor.map(|floor| band(floor.mm(), &FLOORS));
        Self { age, glasses, cylinder, floor }
    }

    /// Whom the class is counted with.
    #[must_use]
    pub fn observer(self) -> Observer {
        let at = |bands: &[(f64, f64)], band: u8| bands.get(usize::from(band)).map(|one| one.1);
        let age = self.age.and_then(|band| at(&AGES, band)).and_then(|age| Age::new(age).ok());
        Observer {
            viewers: age.map_or(Viewers::AgeNotKnown, |age| Viewers::Person { age }),
            glasses: match self.glasses {
                0 => Glasses::None,
                1 => Glasses::TakesOff,
                _ => Glasses::KeepsOn,
            },
            prescription: Prescription {
                sphere: None,
                cylinder: self
                    .cylinder
                    .and_then(|band| at(&CYLINDERS, band))
                    .and_then(|dioptres| Cylinder::new(dioptres).ok()),
            },
            measured_pupil: None,
            relief_floor: self
                .floor
                .and_then(|band| at(&FLOORS, band))
                .and_then(|mm| EyeRelief::new(mm).ok()),
        }
    }

    /// The class as a word, to find it again in a report.
    #[must_use]
    pub fn word(self) -> String {
        let band = |band: Option<u8>| band.map_or_else(|| "x".to_owned(), |band| band.to_string());
        let Self { age, glasses, cylinder, floor } = self;
        format!("{}-{glasses}-{}-{}", band(age), band(cylinder), band(floor))
    }

    /// Whether the class is sixty years old or more.
    #[must_use]
    pub fn is_older(self) -> bool {
        self.age.is_some_and(|band| band >= 3)
    }

    /// What the class is shown under: age and glasses only.
    #[must_use]
    pub fn shown(self) -> (Option<u8>, bool) {
        (self.age, self.glasses == 2)
    }
}

/// Members with like eyes.
#[derive(Debug, Clone, PartialEq)]
pub struct Class {
    /// What they have in common.
    pub key: Key,
    /// How many they are.
    pub members: usize,
}

impl Class {
    /// What they ask: the general mix of a night.
    #[must_use]
    pub fn question(&self) -> Question {
        Question { observer: self.key.observer(), seeing: None, usage: Usage::Night, tonight: None }
    }
}

/// Folds members, in an order that depends on their eyes only.
#[must_use]
pub fn fold(observers: &[(MemberId, Observer)]) -> Vec<Class> {
    let mut classes: BTreeMap<Key, usize> = BTreeMap::new();
    for (_, observer) in observers {
        *classes.entry(Key::of(observer)).or_default() += 1;
    }
    classes.into_iter().map(|(key, members)| Class { key, members }).collect()
}

/// A number of members as it may be told: one and two are not told apart.
#[must_use]
pub fn coarse(members: usize) -> usize {
    if (1..LEAST_SHOWN).contains(&members) { LEAST_SHOWN - 1 } else { members }
}

/// [`coarse`] in words.
#[must_use]
pub fn members_in_words(members: usize) -> String {
    match members {
        0 => "nobody".to_owned(),
        1 | 2 => "one or two members".to_owned(),
        many => crate::web::format::count(many, "member", "members"),
    }
}

/// Groups to show: positions of classes under a label, at least [`LEAST_SHOWN`] members each. Where
/// all members together are fewer, there is no group.
#[must_use]
pub fn groups(classes: &[Class]) -> Vec<(String, Vec<usize>)> {
    let members = |of: &[usize]| of.iter().map(|at| classes[*at].members).sum::<usize>();
    let mut by_shown: BTreeMap<(Option<u8>, bool), Vec<usize>> = BTreeMap::new();
    for (at, class) in classes.iter().enumerate() {
        by_shown.entry(class.key.shown()).or_default().push(at);
    }
    let mut groups: Vec<(String, Vec<usize>)> = Vec::new();
    let mut rest: Vec<usize> = Vec::new();
    for (shown, of) in by_shown {
        if members(&of) >= LEAST_SHOWN { groups.push((label(shown), of)) } else { rest.extend(of) }
    }
    // What is left over must not be fewer either: it takes the smallest group along.
    if !rest.is_empty() && members(&rest) < LEAST_SHOWN && !groups.is_empty() {
        let smallest = (0..groups.len()).min_by_key(|at| members(&groups[*at].1)).unwrap_or(0);
        rest.extend(groups.remove(smallest).1);
    }
    if members(&rest) >= LEAST_SHOWN {
        groups.push(("All others".to_owned(), rest));
    }
    groups
}

fn label((age, kept_on): (Option<u8>, bool)) -> String {
    let age = match age {
        Some(0) => "Under 25",
        Some(1) => "25 to 44",
        Some(2) => "45 to 59",
        Some(3) => "60 to 74",
        Some(_) => "75 and over",
        None => "Age not known",
    };
    format!("{age}, {}", if kept_on { "glasses kept on" } else { "no glasses at the eyepiece" })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn person(years: f64, glasses: Glasses) -> Observer {
        Observer::person(Age::new(years).unwrap(), glasses)
    }

    #[test]
    fn like_eyes_fold_and_a_class_stands_for_itself() {
        let all: Vec<(MemberId, Observer)> = [31.0, 38.0, 66.0, 71.0]
            .into_iter()
            .map(|years| (MemberId(1), person(years, Glasses::KeepsOn)))
            .collect();
        let classes = fold(&all);
        assert_eq!(classes.iter().map(|class| class.members).collect::<Vec<_>>(), [2, 2]);
        for class in &classes {
            assert_eq!(Key::of(&class.key.observer()), class.key, "{:?}", class.key);
        }
    }

    #[test]
    fn no_group_is_smaller_than_three() {
        let of = |counts: &[(f64, usize)]| {
            let mut all = Vec::new();
            for (years, count) in counts {
                all.extend(std::iter::repeat_n(
                    (MemberId(1), person(*years, Glasses::None)),
                    *count,
                ));
            }
            let classes = fold(&all);
            let groups = groups(&classes);
            groups
                .iter()
                .map(|(_, of)| of.iter().map(|at| classes[*at].members).sum::<usize>())
                .collect::<Vec<_>>()
        };
        assert_eq!(of(&[(20.0, 5), (35.0, 4)]), [5, 4]);
        assert_eq!(of(&[(20.0, 5), (35.0, 4), (50.0, 1)]), [5, 5]);
        assert_eq!(of(&[(20.0, 1), (35.0, 1)]), [0; 0]);
        assert_eq!(of(&[(20.0, 2), (35.0, 2)]), [4]);
    }
}
