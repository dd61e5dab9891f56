//! Who looks, under which sky, for what, as programs send it.

use serde::de::Deserializer;

use super::cells::Record;
use super::read::{Element, Sink};
use crate::eye::{Glasses, Observer, Prescription, Viewers};
use crate::kit::{Question, Usage};
use crate::optics::{Age, Cylinder, EyeRelief, PupilDiameter, Seeing, Sphere};

/// The fields of an observer.
pub const OBSERVER_FIELDS: [&str; 10] = [
    "anyone",
    "age_years",
    "birth_year",
    "glasses",
    "sphere_d",
    "cylinder_d",
    "measured_pupil_mm",
    "relief_floor_mm",
    "seeing_arcsec",
    "use",
];

/// What says something about one person, and so nothing about anyone.
const PERSONAL: [&str; 6] =
    ["age_years", "birth_year", "glasses", "sphere_d", "cylinder_d", "measured_pupil_mm"];

/// The wire names of [`Usage`].
pub const USES: [&str; 3] = ["night", "day", "sun"];

/// An observer as sent.
#[derive(Debug, Clone, PartialEq)]
pub struct ObserverIn(pub Question);

impl Element for ObserverIn {
    fn read<'de, D: Deserializer<'de>>(
        sink: &mut Sink,
        deserializer: D,
    ) -> Result<Option<Self>, D::Error> {
        let record = Record::read("an observer", &OBSERVER_FIELDS, sink, deserializer)?;
        Ok(record.map(|record| observer(&record, sink)))
    }
}

fn observer(record: &Record, sink: &mut Sink) -> ObserverIn {
    let anyone = record.flag("anyone", sink) == Some(true);
    let age = record.optional("age_years", sink, Age::new);
    let this_year = i32::from(sink.this_year);
    let born = record.optional("birth_year", sink, |year| age_of(year, this_year));
    let glasses = record.word("glasses", &Glasses::ALL.map(Glasses::as_str), sink, Glasses::parse);
    let sphere = record.optional("sphere_d", sink, Sphere::new);
    let cylinder = record.optional("cylinder_d", sink, Cylinder::new);
    let measured_pupil = record.optional("measured_pupil_mm", sink, PupilDiameter::new);
    let relief_floor = record.optional("relief_floor_mm", sink, EyeRelief::new);
    let seeing = record.optional("seeing_arcsec", sink, Seeing::new);
    let usage = record.word("use", &USES, sink, |word| match word {
        "night" => Some(Usage::Night),
        "day" => Some(Usage::Day),
        "sun" => Some(Usage::Sun),
        _ => None,
    });
    if record.has("age_years") && record.has("birth_year") {
        sink.fault_at("birth_year", "Give `age_years` or `birth_year`, not both.");
    }
    if anyone {
        for field in PERSONAL.into_iter().filter(|field| record.has(field)) {
            sink.fault_at(
                field,
                "With `anyone` this must be left out: it stands for all eyes from 6 to 90 years, glasses on.",
            );
        }
    }
    let observer = if anyone {
        Observer { relief_floor, ..Observer::anyone() }
    } else {
        Observer {
            viewers: age.or(born).map_or(Viewers::AgeNotKnown, |age| Viewers::Person { age }),
            glasses: glasses.unwrap_or(Glasses::NotKnown),
            prescription: Prescription { sphere, cylinder },
            measured_pupil,
            relief_floor,
        }
    };
    ObserverIn(Question { observer, seeing, usage: usage.unwrap_or_default(), tonight: None })
}

/// Whoever was born in a year counts as having had this year's birthday.
fn age_of(birth_year: f64, this_year: i32) -> Result<Age, String> {
    if birth_year.fract() != 0.0 {
        return Err("A birth year is a whole number of four digits, such as 1984.".into());
    }
    Age::new(f64::from(this_year) - birth_year).map_err(|_| {
        format!(
            "The birth year must be from {} to {}, but {birth_year} was given.",
            this_year - Age::HIGH as i32,
            this_year - Age::LOW as i32
        )
    })
}
