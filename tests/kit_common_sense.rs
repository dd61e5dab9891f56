//! What everybody expects of a good answer, on random shelves and observers.
#![allow(clippy::unwrap_used)] // helpers of tests

mod shelves;

use borrowed_light::eye::{Glasses, Observer};
use borrowed_light::kit::rules::Rule;
use borrowed_light::kit::solve::Costs;
use borrowed_light::kit::{
    Answer, Bench, Kit, Question, Settings, ShelfTelescope, Solver, Standing, SunFilter, Usage,
    Verdict, Wanted,
};
use borrowed_light::optics::{
    Age, ApparentField, EyeRelief, Eyepiece, FieldStop, Seeing, Telescope,
};
use proptest::prelude::*;
use shelves::{OwnShelf, Rolls, barlow, eyepiece, question, telescope};

const ALL: Wanted = Wanted { max_eyepieces: 5, barlow: true, limit: usize::MAX };

fn solve(shelf: &OwnShelf, question: &Question, wanted: Wanted) -> Answer {
    let settings = Settings::default();
    Solver::new(shelf.view(), question, &settings).solve(wanted, 1, &|| false)
}

fn best_value(shelf: &OwnShelf, question: &Question) -> f64 {
    // No kit at all is worth nothing.
    solve(shelf, question, ALL).kits.first().map_or(0.0, |kit| kit.value)
}

/// Worth of each purpose for one eyepiece alone, direct; none where a rule forbids it.
fn worths(one: &ShelfTelescope, eyepiece: Eyepiece, question: &Question) -> Option<Vec<f64>> {
    let shelf =
        OwnShelf { telescopes: vec![one.clone()], eyepieces: vec![eyepiece], barlows: vec![] };
    let settings = Settings::default();
    let matrix = Solver::new(shelf.view(), question, &settings).matrix(false);
    matrix.telescopes[0].first().map(|view| view.worth.clone())
}

fn never_worse(better: Option<Vec<f64>>, worse: Option<Vec<f64>>) -> Result<(), TestCaseError> {
    if let Some(worse) = worse {
        let Some(better) = better else {
            return Err(TestCaseError::fail("the better one is not even admissible"));
        };
        for (better, worse) in better.iter().zip(&worse) {
            prop_assert!(better >= worse, "{better} < {worse}");
        }
    }
    Ok(())
}

fn with_spec(
    one: &Eyepiece,
    change: impl Fn(&mut borrowed_light::optics::EyepieceSpec),
) -> Eyepiece {
    let mut spec = one.spec();
    change(&mut spec);
    Eyepiece::new(spec).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1500, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn more_eye_relief_is_never_worse(seed in any::<u64>(), less in 0.0..40.0_f64, more in 0.0..20.0_f64) {
        let mut rolls = Rolls::new(seed);
        let (scope, piece, question) =
            (telescope(&mut rolls), eyepiece(&mut rolls), question(&mut rolls));
        let at = |mm: f64| with_spec(&piece, |spec| spec.eye_relief = Some(EyeRelief::new(mm).unwrap()));
        never_worse(worths(&scope, at(less + more), &question), worths(&scope, at(less), &question))?;
    }

    #[test]
    fn a_wider_field_at_the_same_power_is_never_worse(seed in any::<u64>(), narrow in 20.0..100.0_f64, more in 0.0..20.0_f64) {
        let mut rolls = Rolls::new(seed);
        let (scope, piece, question) =
            (telescope(&mut rolls), eyepiece(&mut rolls), question(&mut rolls));
        let at = |deg: f64| with_spec(&piece, |spec| {
            spec.field_stop = None;
            spec.apparent_field = Some(ApparentField::new(deg).unwrap());
        });
        // The worth of every purpose, sweeping among them.
        never_worse(worths(&scope, at(narrow + more), &question), worths(&scope, at(narrow), &question))?;
    }

    #[test]
    fn a_wider_field_stop_is_never_worse_for_sweeping(seed in any::<u64>(), narrow in 1.0..20.0_f64, more in 0.0..3.0_f64) {
        let mut rolls = Rolls::new(seed);
        let (scope, piece, question) =
            (telescope(&mut rolls), eyepiece(&mut rolls), question(&mut rolls));
        let at = |mm: f64| with_spec(&piece, |spec| spec.field_stop = Some(FieldStop::new(mm).unwrap()));
        let (wide, narrow) =
            (worths(&scope, at(narrow + more), &question), worths(&scope, at(narrow), &question));
        // The first three purposes of the night are sweeping.
        if let (Some(wide), Some(narrow), Usage::Night) = (wide, narrow, question.usage) {
            for lane in 0..3 {
                prop_assert!(wide[lane] >= narrow[lane]);
            }
        }
    }

    #[test]
    fn an_older_eye_never_raises_the_largest_admissible_exit_pupil(seed in any::<u64>(), age in 4.0..100.0_f64, years in 0.0..20.0_f64) {
        let mut rolls = Rolls::new(seed);
        let (scope, piece) = (telescope(&mut rolls), eyepiece(&mut rolls));
        let settings = Settings::default();
        let standing = |age: f64| {
            let question = Question {
                observer: Observer::person(Age::new(age).unwrap(), Glasses::None),
                seeing: None,
                usage: Usage::Night,
                tonight: None,
            };
            let bench = Bench::new(&scope.spec, scope.sun_filter, &question, &settings);
            bench.assess(&piece, None).of(Rule::Pupil).standing
        };
        prop_assert!(standing(age + years) >= standing(age));
    }

    #[test]
    fn better_seeing_never_lowers_the_ceiling(seed in any::<u64>(), good in 0.3..10.0_f64, worse in 0.0..5.0_f64) {
        let mut rolls = Rolls::new(seed);
        let (scope, piece, mut question) =
            (telescope(&mut rolls), eyepiece(&mut rolls), question(&mut rolls));
        let settings = Settings::default();
        let mut at = |arcsec: f64| {
            question.seeing = Some(Seeing::new(arcsec).unwrap());
            let bench = Bench::new(&scope.spec, scope.sun_filter, &question, &settings);
            let standing = bench.assess(&piece, None).of(Rule::Ceiling).standing;
            (bench.power_ceiling(), bench.comfortable_power_ceiling(), standing)
        };
        let (good, poor) = (at(good), at(good + worse));
        prop_assert!(good.0 >= poor.0 && good.1 >= poor.1 && good.2 <= poor.2);
    }

    #[test]
    fn an_added_item_never_lowers_the_best_value(seed in any::<u64>()) {
        let mut rolls = Rolls::new(seed);
        let (eyepieces, barlows) = (rolls.below(9), rolls.below(3));
        let mut shelf = OwnShelf::mixed(&mut rolls, 2, eyepieces, barlows);
        let question = question(&mut rolls);
        let before = best_value(&shelf, &question);
        match rolls.below(4) {
            0 => shelf.telescopes.push(telescope(&mut rolls)),
            1 => shelf.barlows.push(barlow(&mut rolls)),
            // One more of a kind that is there already must not hurt either.
            2 if !shelf.eyepieces.is_empty() => {
                let twin = shelf.eyepieces[rolls.below(shelf.eyepieces.len())];
                shelf.eyepieces.push(twin);
            }
            _ => shelf.eyepieces.push(eyepiece(&mut rolls)),
        }
        prop_assert!(best_value(&shelf, &question) >= before);
    }

    #[test]
    fn room_for_one_more_eyepiece_never_lowers_a_kit(seed in any::<u64>(), room in 1..7_usize) {
        let mut rolls = Rolls::new(seed);
        let shelf = OwnShelf::mixed(&mut rolls, 1, 12, 2);
        let question = question(&mut rolls);
        let value = |max_eyepieces| {
            solve(&shelf, &question, Wanted { max_eyepieces, ..ALL }).kits.first().map(|kit| kit.value)
        };
        prop_assert!(value(room + 1) >= value(room));
    }

    #[test]
    fn the_answer_does_not_depend_on_the_order_of_the_shelf(seed in any::<u64>()) {
        let mut rolls = Rolls::new(seed);
        let shelf = OwnShelf::mixed(&mut rolls, 3, 12, 3);
        let question = question(&mut rolls);
        let mut turned = shelf.clone();
        turned.telescopes.reverse();
        turned.barlows.reverse();
        let by = rolls.below(12);
        turned.eyepieces.rotate_left(by);
        let told = |shelf: &OwnShelf, kits: Vec<Kit>| -> Vec<(u64, usize, bool)> {
            let mut told: Vec<_> = kits
                .iter()
                .map(|kit| {
                    let aperture = shelf.telescopes[kit.telescope].spec.aperture().mm();
                    (kit.value.to_bits(), kit.eyepieces.len(), aperture > 0.0)
                })
                .collect();
            told.sort_unstable();
            told
        };
        prop_assert_eq!(
            told(&shelf, solve(&shelf, &question, ALL).kits),
            told(&turned, solve(&turned, &question, ALL).kits)
        );
    }

    #[test]
    fn every_chosen_view_passes_every_rule_and_costs_are_small(seed in any::<u64>()) {
        let mut rolls = Rolls::new(seed);
        let shelf = OwnShelf::mixed(&mut rolls, 2, 14, 2);
        let question = question(&mut rolls);
        let settings = Settings::default();
        let solver = Solver::new(shelf.view(), &question, &settings);
        let Costs { telescopes, eyepieces, barlows } = solver.costs();
        for cost in telescopes.iter().chain(&eyepieces).chain(&barlows) {
            prop_assert!(*cost > 0.0 && *cost < 0.01);
        }
        for kit in solver.solve(ALL, 1, &|| false).kits {
            prop_assert!(!kit.eyepieces.is_empty() && kit.eyepieces.len() <= 5);
            let story = solver.story(&kit);
            prop_assert!(!story.views.is_empty());
            for view in &story.views {
                prop_assert!(view.assessment.verdict() < Verdict::Unsuitable);
            }
            for view in &story.forbidden {
                prop_assert_eq!(view.assessment.verdict(), Verdict::Unsuitable);
            }
            for pair in story.views.windows(2) {
                prop_assert!(pair[0].facts.magnification <= pair[1].facts.magnification);
            }
            for alternative in solver.alternatives(&kit, ALL, &|| false) {
                prop_assert!(alternative.kit.value <= kit.value);
                prop_assert!(alternative.kit != kit);
            }
        }
    }

    #[test]
    fn no_day_or_solar_view_gets_past_a_missing_filter(seed in any::<u64>(), sun in any::<bool>()) {
        let mut rolls = Rolls::new(seed);
        let mut shelf = OwnShelf::mixed(&mut rolls, 3, 10, 2);
        let mut question = question(&mut rolls);
        question.usage = if sun { Usage::Sun } else { Usage::Day };
        for one in &mut shelf.telescopes {
            one.sun_filter = SunFilter::Missing;
        }
        prop_assert!(solve(&shelf, &question, ALL).kits.is_empty());
        let settings = Settings::default();
        let bench = Bench::new(&shelf.telescopes[0].spec, SunFilter::Missing, &question, &settings);
        let assessment = bench.assess(&shelf.eyepieces[0], None);
        prop_assert_eq!(assessment.of(Rule::Sun).standing, Standing::Blocked);
        prop_assert_eq!(assessment.verdict(), Verdict::Unsuitable);
    }
}

/// A telescope is what it is whoever asks; this pins the helper above to one that can be built.
#[test]
fn the_generator_makes_telescopes_of_every_layout() {
    let mut rolls = Rolls::new(1);
    let all: Vec<Telescope> = (0..200).map(|_| telescope(&mut rolls).spec).collect();
    let layouts: std::collections::HashSet<_> = all.iter().map(Telescope::layout).collect();
    assert!(layouts.len() >= 4);
}
