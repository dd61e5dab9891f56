//! What is put together from beams, glances and lookouts is what the nine rules say.

use super::*;
use crate::eye::{Glasses, Observer};
use crate::kit::Settings;
use crate::kit::rules::{Question, Rule, SunFilter, Usage};
use crate::optics::{
    Age, Aperture, ApparentField, BarlowFactor, Cylinder, EyeRelief, EyepieceFocalLength,
    EyepieceSpec, Layout, Obstruction, Sphere, Telescope, TelescopeFocalLength, TelescopeSpec,
    Travel,
};

fn telescopes() -> Vec<Telescope> {
    let mut all = Vec::new();
    for (aperture, length, obstruction) in
        [(80.0, 480.0, None), (203.2, 1200.0, Some(50.0)), (127.0, 1900.0, Some(42.0))]
    {
        for focuser in [None, Some(Barrel::Standard), Some(Barrel::Wide)] {
            for (balance_limit, focuser_travel) in [(None, None), (Some(300.0), Some(8.0))] {
                let spec = TelescopeSpec {
                    obstruction: obstruction.map(|mm| Obstruction::new(mm).unwrap()),
                    focuser,
                    focuser_travel: focuser_travel.map(|mm| Travel::new(mm).unwrap()),
                    balance_limit: balance_limit.map(|g| Mass::new(g).unwrap()),
                    ..TelescopeSpec::new(
                        Layout::Newtonian,
                        Aperture::new(aperture).unwrap(),
                        TelescopeFocalLength::new(length).unwrap(),
                    )
                };
                all.push(Telescope::new(spec).unwrap());
            }
        }
    }
    all
}

fn eyepieces() -> Vec<Eyepiece> {
    let mut all = Vec::new();
    for focal_length in [4.0, 9.0, 25.0, 40.0] {
        for relief in [None, Some(5.0), Some(12.0), Some(20.0)] {
            for barrel in [None, Some(Barrel::Narrow), Some(Barrel::Wide)] {
                for (mass, class) in [
                    (None, None),
                    (Some(200.0), Some(OpticalClass::TwoLens)),
                    (Some(350.0), Some(OpticalClass::WideField)),
                    (Some(600.0), Some(OpticalClass::FourElement)),
                ] {
                    let spec = EyepieceSpec {
                        apparent_field: Some(ApparentField::new(50.0).unwrap()),
                        eye_relief: relief.map(|mm| EyeRelief::new(mm).unwrap()),
                        barrel,
                        mass: mass.map(|g| Mass::new(g).unwrap()),
                        class,
                        ..EyepieceSpec::new(EyepieceFocalLength::new(focal_length).unwrap())
                    };
                    all.push(Eyepiece::new(spec).unwrap());
                }
            }
        }
    }
    all
}

fn barlows() -> Vec<Option<Barlow>> {
    let mut all = vec![None];
    for (factor, barrel, mass) in [
        (1.5, None, None),
        (2.0, Some(Barrel::Standard), Some(120.0)),
        (3.0, Some(Barrel::Wide), Some(400.0)),
    ] {
        let mut barlow = Barlow::new(BarlowFactor::new(factor).unwrap());
        barlow.barrel = barrel;
        barlow.mass = mass.map(|g| Mass::new(g).unwrap());
        all.push(Some(barlow));
    }
    all
}

fn questions() -> Vec<Question> {
    let mut observers = vec![Observer::anyone()];
    for glasses in [Glasses::None, Glasses::TakesOff, Glasses::KeepsOn, Glasses::NotKnown] {
        for (cylinder, sphere) in [(None, None), (Some(0.0), Some(-3.0)), (Some(1.5), Some(-8.0))] {
            let mut observer = Observer::person(Age::new(45.0).unwrap(), glasses);
            observer.prescription.cylinder = cylinder.map(|d| Cylinder::new(d).unwrap());
            observer.prescription.sphere = sphere.map(|d| Sphere::new(d).unwrap());
            observers.push(observer);
        }
    }
    let night = observers.into_iter().map(|observer| Question {
        observer,
        seeing: None,
        usage: Usage::Night,
        tonight: None,
    });
    let mut all: Vec<Question> = night.collect();
    all.push(Question { usage: Usage::Sun, ..all[2].clone() });
    all
}

#[test]
fn a_screened_view_is_what_the_nine_rules_make_of_it() {
    let settings = Settings::default();
    let (mut allowed, mut forbidden) = (0, 0);
    for question in questions() {
        for telescope in telescopes() {
            let bench = Bench::new(&telescope, SunFilter::Missing, &question, &settings);
            for barlow in barlows() {
                for eyepiece in eyepieces() {
                    let assessment = bench.assess(&eyepiece, barlow.as_ref());
                    let verdicts = Rule::ALL.map(|rule| {
                        let finding = assessment.of(rule);
                        (rule, verdict_of(finding.rule, finding.standing))
                    });
                    let compromises = verdicts
                        .iter()
                        .filter(|(rule, _)| *rule != Rule::FieldEdge)
                        .filter(|(_, verdict)| *verdict == Verdict::Compromise)
                        .count();
                    let screen = bench.screen(&eyepiece, barlow.as_ref());
                    let expected =
                        (assessment.verdict() != Verdict::Unsuitable).then_some(compromises);
                    let found = screen.map(|screen| usize::from(screen.compromises));
                    assert_eq!(found, expected, "{eyepiece:?} {barlow:?} {telescope:?}");
                    *if found.is_some() { &mut allowed } else { &mut forbidden } += 1;
                }
            }
        }
    }
    assert!(allowed > 10_000 && forbidden > 10_000, "{allowed} allowed, {forbidden} forbidden");
}
