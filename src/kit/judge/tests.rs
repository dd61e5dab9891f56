//! Each rule at its limits, and what it says there.

use super::*;
use crate::eye::{Observer, Prescription};
use crate::kit::Settings;
use crate::kit::explain::Subject;
use crate::kit::rules::{Question, Verdict, verdict_of};
use crate::optics::{
    Age, Aperture, BarlowFactor, Cylinder, EyeRelief, EyepieceFocalLength, EyepieceSpec,
    Obstruction, OpticalClass, Seeing, Sphere, Telescope, TelescopeFocalLength, TelescopeSpec,
};

fn newtonian(aperture: f64, focal_length: f64, obstruction: f64) -> TelescopeSpec {
    TelescopeSpec {
        obstruction: Some(Obstruction::new(obstruction).unwrap()),
        focuser: Some(Barrel::Wide),
        focuser_travel: Some(Travel::new(40.0).unwrap()),
        balance_limit: Some(Mass::new(500.0).unwrap()),
        ..TelescopeSpec::new(
            Layout::Newtonian,
            Aperture::new(aperture).unwrap(),
            TelescopeFocalLength::new(focal_length).unwrap(),
        )
    }
}

fn wide(focal_length: f64, relief: f64) -> EyepieceSpec {
    EyepieceSpec {
        apparent_field: Some(ApparentField::new(60.0).unwrap()),
        eye_relief: Some(EyeRelief::new(relief).unwrap()),
        barrel: Some(Barrel::Standard),
        class: Some(OpticalClass::WideField),
        mass: Some(Mass::new(200.0).unwrap()),
        ..EyepieceSpec::new(EyepieceFocalLength::new(focal_length).unwrap())
    }
}

fn asked(age: f64, glasses: Glasses) -> Question {
    Question {
        observer: Observer::person(Age::new(age).unwrap(), glasses),
        seeing: None,
        usage: Usage::Night,
        tonight: None,
    }
}

struct Case {
    telescope: TelescopeSpec,
    eyepiece: EyepieceSpec,
    barlow: Option<Barlow>,
    question: Question,
    filter: SunFilter,
}

impl Case {
    fn new(telescope: TelescopeSpec, eyepiece: EyepieceSpec, question: Question) -> Self {
        Self { telescope, eyepiece, barlow: None, question, filter: SunFilter::Missing }
    }

    /// Standing and sentence of one rule.
    fn rule(&self, rule: Rule) -> (Standing, String) {
        let settings = Settings::default();
        let telescope = Telescope::new(self.telescope).unwrap();
        let eyepiece = Eyepiece::new(self.eyepiece).unwrap();
        let bench = Bench::new(&telescope, self.filter, &self.question, &settings);
        let assessment = bench.assess(&eyepiece, self.barlow.as_ref());
        let finding = assessment.of(rule);
        let subject = Subject { bench: &bench, eyepiece: &eyepiece, barlow: self.barlow.as_ref() };
        (finding.standing, finding.sentence(subject))
    }
}

#[test]
fn lashes_touch_the_glass_at_six_millimetres() {
    let case =
        Case::new(newtonian(203.2, 1219.0, 50.0), wide(8.0, 6.0), asked(30.0, Glasses::None));
    let (standing, text) = case.rule(Rule::EyeRelief);
    assert_eq!(standing, Standing::Unsuitable);
    assert_eq!(text, "6 mm of eye relief: your lashes will touch the glass; you need 15.");
}

#[test]
fn glasses_kept_on_need_twenty_millimetres() {
    let at = |relief| {
        Case::new(newtonian(203.2, 1219.0, 50.0), wide(24.0, relief), asked(50.0, Glasses::KeepsOn))
            .rule(Rule::EyeRelief)
            .0
    };
    assert_eq!(at(20.0), Standing::Suits);
    assert_eq!(at(16.0), Standing::Compromise);
    assert_eq!(at(15.9), Standing::Unsuitable);
}

#[test]
fn a_thin_beam_lets_glasses_come_off_where_the_cylinder_is_known() {
    // One dioptre hides below 1.2408 mm; f/6 and 7 mm make 1.167.
    let mut case =
        Case::new(newtonian(203.2, 1219.0, 50.0), wide(7.0, 15.0), asked(50.0, Glasses::KeepsOn));
    assert_eq!(case.rule(Rule::EyeRelief).0, Standing::Unsuitable, "unknown prescription");
    case.question.observer.prescription =
        Prescription { sphere: None, cylinder: Some(Cylinder::new(-1.0).unwrap()) };
    let (standing, text) = case.rule(Rule::EyeRelief);
    assert_eq!(standing, Standing::Suits);
    assert!(text.starts_with("Glasses can come off here"), "{text}");
    case.eyepiece = wide(10.0, 15.0);
    let (standing, text) = case.rule(Rule::EyeRelief);
    assert_eq!(standing, Standing::Compromise, "1.667 mm is within half as much again");
    assert!(text.contains("a little blur"), "{text}");
    case.eyepiece = wide(12.0, 15.0);
    assert_eq!(case.rule(Rule::EyeRelief).0, Standing::Unsuitable, "2 mm is beyond it");
}

#[test]
fn the_iris_cuts_a_wide_beam_and_the_sentence_says_by_how_much() {
    // The published check case: 254 mm, 31 mm, obstruction 58 mm, age 65.
    let case =
        Case::new(newtonian(254.0, 1200.0, 58.0), wide(31.0, 20.0), asked(65.0, Glasses::None));
    let (standing, text) = case.rule(Rule::Pupil);
    assert_eq!(standing, Standing::Compromise);
    assert!(text.contains("24%") && text.contains("223 mm"), "{text}");
}

#[test]
fn beyond_seven_millimetres_an_obstruction_forbids_and_a_refractor_only_wastes_light() {
    let (standing, _) =
        Case::new(newtonian(406.4, 1829.0, 90.0), wide(40.0, 20.0), asked(20.0, Glasses::None))
            .rule(Rule::Pupil);
    assert_eq!(standing, Standing::Unsuitable);
    let refractor = TelescopeSpec::new(
        Layout::Refractor,
        Aperture::new(80.0).unwrap(),
        TelescopeFocalLength::new(400.0).unwrap(),
    );
    let (standing, _) =
        Case::new(refractor, wide(45.0, 20.0), asked(20.0, Glasses::None)).rule(Rule::Pupil);
    assert_eq!(standing, Standing::Compromise);
}

#[test]
fn the_secondary_s_shadow_matters_more_by_day() {
    let mut case =
        Case::new(newtonian(203.2, 1219.0, 60.0), wide(24.0, 20.0), asked(30.0, Glasses::None));
    case.filter = SunFilter::Verified;
    assert_eq!(case.rule(Rule::Pupil).0, Standing::Suits);
    case.question.usage = Usage::Day;
    let (standing, text) = case.rule(Rule::Pupil);
    assert_eq!(standing, Standing::Compromise);
    assert!(text.contains("by day") || text.contains("wider than a pupil"), "{text}");
}

#[test]
fn power_is_held_against_aperture_and_seeing_and_the_tighter_one_is_named() {
    let scope = newtonian(203.2, 1219.0, 50.0);
    let at = |focal_length, seeing: Option<f64>| {
        let mut question = asked(30.0, Glasses::None);
        question.seeing = seeing.map(|arcsec| Seeing::new(arcsec).unwrap());
        Case::new(scope, wide(focal_length, 20.0), question).rule(Rule::Ceiling)
    };
    assert_eq!(at(7.0, None).0, Standing::Suits); // 174×, 200 allowed
    assert_eq!(at(5.0, None).0, Standing::Compromise); // 244×
    assert_eq!(at(3.5, None).0, Standing::Unsuitable); // 348×, 320 allowed
    let (standing, text) = at(7.0, Some(4.0)); // 150× comfortable
    assert_eq!(standing, Standing::Compromise);
    assert!(text.contains("4″ seeing"), "{text}");
    assert_eq!(at(4.5, Some(4.0)).0, Standing::Unsuitable); // 271×, 250 the last
}

#[test]
fn thin_beams_are_a_compromise_and_then_unsuitable() {
    let at = |focal_length| {
        Case::new(
            newtonian(203.2, 2032.0, 50.0),
            wide(focal_length, 20.0),
            asked(30.0, Glasses::None),
        )
        .rule(Rule::ThinBeam)
        .0
    };
    assert_eq!(at(7.0), Standing::Suits);
    assert_eq!(at(6.9), Standing::Compromise);
    assert_eq!(at(4.9), Standing::Unsuitable);
}

#[test]
fn wide_barrels_do_not_go_into_narrow_holes() {
    let mut scope = newtonian(114.0, 900.0, 30.0);
    scope.focuser = Some(Barrel::Narrow);
    let mut case = Case::new(scope, wide(20.0, 20.0), asked(30.0, Glasses::None));
    assert_eq!(case.rule(Rule::Fits).0, Standing::Unsuitable);
    case.telescope.focuser = Some(Barrel::Wide);
    assert_eq!(case.rule(Rule::Fits).0, Standing::Suits);
    let mut barlow = Barlow::new(BarlowFactor::new(2.0).unwrap());
    barlow.barrel = Some(Barrel::Narrow);
    case.barlow = Some(barlow);
    assert_eq!(case.rule(Rule::Fits).0, Standing::Unsuitable);
}

#[test]
fn a_far_focus_may_be_out_of_reach_without_glasses() {
    // Six dioptres in a 40 mm eyepiece move the focus 9.6 mm inward.
    let mut case =
        Case::new(newtonian(203.2, 1219.0, 50.0), wide(40.0, 20.0), asked(30.0, Glasses::TakesOff));
    case.question.observer.prescription.sphere = Some(Sphere::new(-6.0).unwrap());
    let travel = |mm: f64| Some(Travel::new(mm).unwrap());
    for (mm, wanted) in
        [(20.0, Standing::Suits), (15.0, Standing::Compromise), (9.0, Standing::Unsuitable)]
    {
        case.telescope.focuser_travel = travel(mm);
        assert_eq!(case.rule(Rule::Focus).0, wanted, "{mm} mm of travel");
    }
    assert!(case.rule(Rule::Focus).1.contains("9.6 mm inward"));
}

#[test]
fn missing_facts_are_named_and_never_pass_silently() {
    let scope = newtonian(203.2, 1219.0, 50.0);
    let question = asked(30.0, Glasses::None);
    let mut no_relief = wide(20.0, 20.0);
    no_relief.eye_relief = None;
    let (standing, text) = Case::new(scope, no_relief, question.clone()).rule(Rule::EyeRelief);
    assert_eq!(standing, Standing::NotKnown);
    assert!(text.contains("eye relief is not recorded"), "{text}");
    let mut no_obstruction = scope;
    no_obstruction.obstruction = None;
    let (standing, text) =
        Case::new(no_obstruction, wide(20.0, 20.0), question.clone()).rule(Rule::Pupil);
    assert_eq!(standing, Standing::NotKnown);
    assert!(text.contains("central obstruction is not recorded"), "{text}");
    let mut no_focuser = scope;
    no_focuser.focuser = None;
    let (standing, _) = Case::new(no_focuser, wide(20.0, 20.0), question).rule(Rule::Fits);
    assert_eq!(standing, Standing::NotKnown);
    assert_eq!(verdict_of(Rule::Fits, Standing::NotKnown), Verdict::Compromise);
    assert_eq!(verdict_of(Rule::Balance, Standing::NotKnown), Verdict::Suits);
}

#[test]
fn simple_classes_and_fast_mirrors_show_at_the_edge() {
    let mut two_lens = wide(20.0, 15.0);
    two_lens.class = Some(OpticalClass::TwoLens);
    let question = asked(30.0, Glasses::None);
    let (standing, text) =
        Case::new(newtonian(203.2, 1219.0, 50.0), two_lens, question.clone()).rule(Rule::FieldEdge);
    assert_eq!(standing, Standing::Compromise);
    assert!(text.contains("f/10") && text.contains("f/6"), "{text}");
    // 60° at f/5 shows 13.5′ of coma at the edge: clean to 37%. At f/4 21′: 24%.
    let at = |focal_length| {
        Case::new(newtonian(200.0, focal_length, 50.0), wide(20.0, 15.0), question.clone())
            .rule(Rule::FieldEdge)
            .0
    };
    assert_eq!(at(1000.0), Standing::Suits);
    let mut fast = two_lens;
    fast.class = None;
    let (standing, text) =
        Case::new(newtonian(200.0, 800.0, 50.0), fast, question.clone()).rule(Rule::FieldEdge);
    assert_eq!(standing, Standing::Compromise);
    assert!(text.contains("24%"), "{text}");
}

#[test]
fn heavy_eyepieces_upset_the_balance() {
    let mut case =
        Case::new(newtonian(203.2, 1219.0, 50.0), wide(20.0, 20.0), asked(30.0, Glasses::None));
    for (grams, wanted) in
        [(500.0, Standing::Suits), (501.0, Standing::Compromise), (751.0, Standing::Unsuitable)]
    {
        case.eyepiece.mass = Some(Mass::new(grams).unwrap());
        assert_eq!(case.rule(Rule::Balance).0, wanted, "{grams} g");
    }
}

#[test]
fn the_sun_is_blocked_without_a_verified_filter() {
    let mut case =
        Case::new(newtonian(203.2, 1219.0, 50.0), wide(20.0, 20.0), asked(30.0, Glasses::None));
    for usage in [Usage::Day, Usage::Sun] {
        case.question.usage = usage;
        case.filter = SunFilter::Missing;
        assert_eq!(case.rule(Rule::Sun).0, Standing::Blocked);
        case.filter = SunFilter::Verified;
        assert_eq!(case.rule(Rule::Sun).0, Standing::Suits);
    }
}

#[test]
fn first_timers_are_kept_between_two_and_five_millimetres() {
    let mut case =
        Case::new(newtonian(203.2, 1016.0, 50.0), wide(9.0, 20.0), asked(30.0, Glasses::None));
    case.question.observer = Observer::anyone();
    assert_eq!(case.rule(Rule::ThinBeam).0, Standing::Compromise);
    case.eyepiece = wide(12.0, 20.0);
    assert_eq!(case.rule(Rule::ThinBeam).0, Standing::Suits);
    assert_eq!(case.rule(Rule::Pupil).0, Standing::Suits);
}

#[test]
fn an_unknown_age_or_unknown_glasses_are_said() {
    let mut case =
        Case::new(newtonian(203.2, 1219.0, 50.0), wide(20.0, 20.0), asked(30.0, Glasses::NotKnown));
    assert_eq!(case.rule(Rule::EyeRelief).0, Standing::NotKnown);
    case.question.observer.viewers = crate::eye::Viewers::AgeNotKnown;
    assert_eq!(case.rule(Rule::Pupil).0, Standing::NotKnown);
}
