//! The two stateless questions from body to answer, held against the core and against published
//! check values.
//!
//! Bodies are written from random shelves, read back as any caller's would be, and answered.

#![allow(clippy::unwrap_used, reason = "what a test cannot unwrap has failed it")]

#[path = "shelves/bodies.rs"]
mod bodies;
mod shelves;

use std::collections::HashSet;

use bodies::{barlow_body, body, eyepiece_body, observer_body, telescope_body};
use borrowed_light::choosing::evaluation::evaluate;
use borrowed_light::choosing::solution::{Budget, TOLD_IN_FULL, TOLD_WITH_VIEWS, solve};
use borrowed_light::choosing::wire::answers::KitsAnswer;
use borrowed_light::choosing::wire::{EvaluateRequest, SolveRequest, read};
use borrowed_light::eye::Viewers;
use borrowed_light::kit::{Proof, Question, Settings, Solver, SunFilter, Usage, Wanted};
use serde_json::{Value, json};
use shelves::{OwnShelf, Rolls};

const YEAR: i16 = 2026;

fn question(seed: u64) -> Question {
    let mut question = shelves::question(&mut Rolls::new(seed));
    if question.observer.viewers == Viewers::Anyone {
        // Nothing personal can be sent for anyone, and nothing personal counts for them.
        question.observer.prescription = borrowed_light::eye::Prescription::default();
        question.observer.measured_pupil = None;
    }
    question
}

fn asked(body: &Value) -> SolveRequest {
    read::body(body.to_string().as_bytes(), YEAR).unwrap()
}

fn answered(body: &Value) -> KitsAnswer {
    solve(&asked(body), &Settings::default(), 1, Budget::ENDLESS)
}

fn as_json(answer: &KitsAnswer) -> Value {
    serde_json::to_value(answer).unwrap()
}

#[test]
fn an_answer_over_the_wire_is_the_cores_answer() {
    for seed in 0..60 {
        let shelf = OwnShelf::club(50, seed);
        let question = question(seed);
        let wanted =
            Wanted { max_eyepieces: 1 + (seed as usize % 6), barlow: seed % 4 > 0, limit: 99 };
        let body = body(shelf.view(), &question, wanted);
        let request = asked(&body);
        assert_eq!(request.question, question, "seed {seed}");
        assert_eq!(request.telescopes.specs, shelf.telescopes, "seed {seed}");
        assert_eq!(request.eyepieces.specs, shelf.eyepieces, "seed {seed}");
        assert_eq!(request.barlows.specs, shelf.barlows, "seed {seed}");
        let answer = as_json(&answered(&body));
        let settings = Settings::default();
        let core = Solver::new(shelf.view(), &question, &settings).solve(wanted, 1, &|| false);
        assert_eq!(core.proof, Proof::Optimal);
        assert_eq!(answer["proven_optimal"], json!(true));
        assert_eq!(answer["gap"], Value::Null);
        let kits = answer["kits"].as_array().unwrap();
        assert_eq!(kits.len(), core.kits.len());
        for (told, kit) in kits.iter().zip(&core.kits) {
            assert_eq!(told["telescope"], json!(100_000 + kit.telescope));
            let eyepieces: Vec<usize> = kit.eyepieces.iter().map(|at| 200_000 + at).collect();
            assert_eq!(told["eyepieces"], json!(eyepieces));
            assert_eq!(told["barlow"], json!(kit.barlow.map(|at| 300_000 + at)));
            assert_eq!(told["value"].as_f64(), Some(kit.value), "seed {seed}");
        }
    }
}

#[test]
fn every_telescope_has_a_kit_or_is_rejected_with_reasons() {
    let mut rejected_in_all = 0;
    for seed in 0..120 {
        let mut rolls = Rolls::new(seed + 7);
        let (eyepieces, barlows) = (rolls.below(7), rolls.below(3));
        let shelf = OwnShelf::mixed(&mut rolls, 6, eyepieces, barlows);
        let wanted = Wanted { max_eyepieces: 3, barlow: seed % 3 > 0, limit: 99 };
        let answer = as_json(&answered(&body(shelf.view(), &question(seed), wanted)));
        assert_eq!(answer["rejected_complete"], json!(true));
        let of = |list: &str| -> Vec<u64> {
            let list = answer[list].as_array().unwrap();
            list.iter().map(|one| one["telescope"].as_u64().unwrap()).collect()
        };
        let (kits, rejected) = (of("kits"), of("rejected"));
        let both: HashSet<u64> = kits.iter().chain(&rejected).copied().collect();
        assert_eq!(kits.len() + rejected.len(), both.len(), "seed {seed}: none twice");
        assert_eq!(both.len(), 6, "seed {seed}: none forgotten");
        for one in answer["rejected"].as_array().unwrap() {
            rejected_in_all += 1;
            let reasons = one["reasons"].as_array().unwrap();
            assert!(!reasons.is_empty());
            for reason in reasons {
                let verdict = reason["verdict"].as_str().unwrap();
                assert!(["unsuitable", "blocked"].contains(&verdict), "{reason}");
                assert!(!reason["text"].as_str().unwrap().is_empty());
            }
        }
    }
    assert!(rejected_in_all > 30, "{rejected_in_all} rejected telescopes are too few to prove it");
}

#[test]
fn the_order_in_which_pieces_are_sent_changes_nothing() {
    for seed in 0..20 {
        let shelf = OwnShelf::club(40, seed);
        let wanted = Wanted { max_eyepieces: 4, barlow: true, limit: 3 };
        let mut body = body(shelf.view(), &question(seed), wanted);
        body["explain"] = json!("reasons");
        let straight = answered(&body);
        let mut rolls = Rolls::new(seed + 99);
        for list in ["telescopes", "eyepieces", "barlows"] {
            let items = body[list].as_array_mut().unwrap();
            for at in (1..items.len()).rev() {
                items.swap(at, rolls.below(at + 1));
            }
        }
        assert_eq!(answered(&body), straight, "seed {seed}");
    }
}

#[test]
fn ids_change_nothing_but_the_names() {
    for seed in 0..10 {
        let shelf = OwnShelf::club(40, seed);
        let wanted = Wanted { max_eyepieces: 4, barlow: true, limit: 99 };
        let numbered = body(shelf.view(), &question(seed), wanted);
        let mut named = numbered.clone();
        for list in ["telescopes", "eyepieces", "barlows"] {
            for item in named[list].as_array_mut().unwrap() {
                item["id"] = json!(format!("{}-{}", &list[..1], item["id"]));
            }
        }
        let values = |body: &Value| -> Vec<f64> {
            answered(body).kits.iter().map(|kit| kit.value).collect()
        };
        assert_eq!(values(&numbered), values(&named), "seed {seed}");
    }
}

#[test]
fn the_matrix_recomputes_the_value_of_every_kit() {
    for seed in 0..20 {
        let shelf = OwnShelf::club(60, seed);
        let wanted = Wanted { max_eyepieces: 5, barlow: seed % 3 > 0, limit: 99 };
        let mut body = body(shelf.view(), &question(seed), wanted);
        body["explain"] = json!("matrix");
        let answer = as_json(&answered(&body));
        let matrix = &answer["matrix"];
        let weights: Vec<f64> = matrix["purposes"]
            .as_array()
            .unwrap()
            .iter()
            .map(|purpose| purpose["weight"].as_f64().unwrap())
            .collect();
        assert!((weights.iter().sum::<f64>() - 1.0).abs() < 1e-12);
        let cost = |id: &Value| matrix["costs"][id.to_string()].as_f64().unwrap();
        for kit in answer["kits"].as_array().unwrap() {
            let telescopes = matrix["telescopes"].as_array().unwrap();
            let telescope = telescopes.iter().find(|one| one["id"] == kit["telescope"]).unwrap();
            let eyepieces = kit["eyepieces"].as_array().unwrap();
            let mut best = vec![0.0_f64; weights.len()];
            for view in telescope["views"].as_array().unwrap() {
                let barlow = &view["barlow"];
                if eyepieces.contains(&view["eyepiece"])
                    && (barlow.is_null() || *barlow == kit["barlow"])
                {
                    for (best, worth) in best.iter_mut().zip(view["worth"].as_array().unwrap()) {
                        *best = best.max(worth.as_f64().unwrap());
                    }
                }
            }
            let mut value: f64 =
                best.iter().zip(&weights).map(|(best, weight)| best * weight).sum();
            value -= cost(&kit["telescope"]);
            value -= eyepieces.iter().map(cost).sum::<f64>();
            if !kit["barlow"].is_null() {
                value -= cost(&kit["barlow"]);
            }
            assert!((value - kit["value"].as_f64().unwrap()).abs() < 1e-12, "seed {seed}");
        }
    }
}

#[test]
fn a_kits_views_come_in_order_of_power_with_their_steps() {
    let shelf = OwnShelf::club(200, 4);
    let wanted = Wanted { max_eyepieces: 5, barlow: true, limit: 99 };
    let mut body = body(shelf.view(), &question(4), wanted);
    body["explain"] = json!("reasons");
    let answer = as_json(&answered(&body));
    let kits = answer["kits"].as_array().unwrap();
    assert!(kits.len() > TOLD_IN_FULL, "some kits must be told in brief");
    for (rank, kit) in kits.iter().enumerate() {
        let views = kit["views"].as_array().unwrap();
        assert!(!views.is_empty());
        let power = |view: &Value| view["magnification"].as_f64().unwrap();
        for pair in views.windows(2) {
            assert!(power(&pair[0]) <= power(&pair[1]));
            let step = power(&pair[1]) / power(&pair[0]);
            assert_eq!(pair[1]["step_ratio"].as_f64(), Some(step));
        }
        for view in views {
            assert!(kit["eyepieces"].as_array().unwrap().contains(&view["eyepiece"]));
            assert!(view["barlow"].is_null() || view["barlow"] == kit["barlow"]);
            assert_ne!(view["verdict"], json!("unsuitable"));
            let told = view["reasons"].as_array().unwrap().len();
            assert!(if rank < TOLD_IN_FULL { told == 9 } else { told <= 9 });
        }
        let in_full = rank < TOLD_IN_FULL;
        assert_eq!(kit["left_out"].is_array(), in_full);
        assert_eq!(kit["one_more"].is_object(), in_full);
        assert_eq!(kit["reasons"][0]["rule"], json!("worth"));
        if in_full {
            let left = kit["left_out"].as_array().unwrap().len();
            assert_eq!(left + kit["eyepieces"].as_array().unwrap().len(), shelf.eyepieces.len());
        }
        for other in kit["alternatives"].as_array().unwrap() {
            assert!(other["value"].as_f64() <= kit["value"].as_f64());
        }
    }
    assert!(kits[0]["alternatives"].as_array().is_some_and(|others| !others.is_empty()));
}

#[test]
fn an_answer_of_thousands_is_told_in_brief() {
    let shelf = OwnShelf::mixed(&mut Rolls::new(8), 2_400, 5, 0);
    let wanted = Wanted { max_eyepieces: 2, barlow: false, limit: 25_000 };
    let answer = answered(&body(shelf.view(), &question(2), wanted));
    assert!(answer.kits.len() > TOLD_WITH_VIEWS, "{} kits", answer.kits.len());
    for (rank, kit) in answer.kits.iter().enumerate() {
        assert_eq!(kit.views.is_empty(), rank >= TOLD_WITH_VIEWS);
        assert_eq!(kit.reasons[0].rule, "worth");
    }
}

#[test]
fn a_spent_budget_is_owned_up_to() {
    let shelf = OwnShelf::club(200, 3);
    let wanted = Wanted { max_eyepieces: 5, barlow: true, limit: 5 };
    let body = body(shelf.view(), &question(1), wanted);
    let best = answered(&body).kits[0].value;
    let spent = Budget { search: &|| true, telling: &|| true };
    let hurried = solve(&asked(&body), &Settings::default(), 1, spent);
    assert!(!hurried.proven_optimal);
    assert!(!hurried.rejected_complete);
    let found = hurried.kits.first().map_or(0.0, |kit| kit.value);
    assert!(found + hurried.gap.unwrap() >= best);
}

#[test]
fn no_eyepieces_make_no_kits() {
    let shelf = OwnShelf { eyepieces: Vec::new(), ..OwnShelf::club(30, 1) };
    let wanted = Wanted { max_eyepieces: 5, barlow: true, limit: 5 };
    let answer = as_json(&answered(&body(shelf.view(), &question(2), wanted)));
    assert_eq!(answer["kits"], json!([]));
    assert_eq!(answer["proven_optimal"], json!(true));
    assert_eq!(answer["rejected"].as_array().unwrap().len(), shelf.telescopes.len());
}

#[test]
fn the_sun_needs_a_verified_filter_whatever_else_is_sent() {
    let shelf = OwnShelf::club(60, 5);
    let mut asking = question(3);
    for usage in [Usage::Sun, Usage::Day] {
        asking.usage = usage;
        let wanted = Wanted { max_eyepieces: 5, barlow: true, limit: 99 };
        let answer = as_json(&answered(&body(shelf.view(), &asking, wanted)));
        let verified = |id: &Value| {
            let at = id.as_u64().unwrap() as usize - 100_000;
            shelf.telescopes[at].sun_filter == SunFilter::Verified
        };
        for kit in answer["kits"].as_array().unwrap() {
            assert!(verified(&kit["telescope"]));
        }
        let blocked = answer["rejected"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|one| one["reasons"][0]["verdict"] == json!("blocked"))
            .inspect(|one| assert_eq!(one["reasons"][0]["rule"], json!("sun")))
            .count();
        let without = shelf.telescopes.iter().filter(|one| one.sun_filter == SunFilter::Missing);
        assert_eq!(blocked, without.count());
    }
}

fn evaluated(body: &Value) -> Value {
    let request: EvaluateRequest = read::body(body.to_string().as_bytes(), YEAR).unwrap();
    serde_json::to_value(evaluate(&request, &Settings::default())).unwrap()
}

fn close(value: &Value, expected: f64, digits: i32) {
    let value = value.as_f64().unwrap();
    let half = 0.5 * 10.0_f64.powi(-digits);
    assert!((value - expected).abs() <= half * 1.000_001, "{value} is not {expected}");
}

/// Geometry as in any handbook; the pupil of 5.75845 mm at 65 years and 6.2762 at 55 by Watson &
/// Yellott 2012, equation 21; the light that a pupil admits from its area and the shadow's.
#[test]
fn evaluation_answers_the_check_values() {
    let telescope = |aperture: f64, focal_length: f64, obstruction: f64| {
        json!({
            "aperture_mm": aperture,
            "focal_length_mm": focal_length,
            "central_obstruction_mm": obstruction
        })
    };
    let at_65 = evaluated(&json!({
        "observer": {"birth_year": i32::from(YEAR) - 65, "glasses": "none"},
        "cases": [
            {"telescope": telescope(203.2, 1219.0, 0.0),
             "eyepiece": {"focal_length_mm": 25, "apparent_field_deg": 52}},
            {"telescope": telescope(254.0, 1200.0, 58.0),
             "eyepiece": {"focal_length_mm": 31, "field_stop_mm": 42}},
            {"telescope": telescope(127.0, 1500.0, 0.0),
             "eyepiece": {"focal_length_mm": 9.5, "apparent_field_deg": 60},
             "barlow": {"factor": 2}},
            {"telescope": telescope(80.0, 480.0, 0.0),
             "eyepiece": {"focal_length_mm": 24, "field_stop_mm": 27.2},
             "barlow": null}
        ]
    }));
    let views = at_65["views"].as_array().unwrap();
    assert_eq!(views.len(), 4);
    close(&views[0]["magnification"], 48.76, 2);
    close(&views[0]["exit_pupil_mm"], 4.16735, 5);
    close(&views[0]["true_field_deg"], 1.06645, 5);
    close(&views[0]["drift_time_s"], 255.2487, 4);
    close(&views[0]["power_ceiling"], 320.0, 6);
    close(&views[0]["comfortable_power_ceiling"], 200.0, 6);
    close(&views[1]["magnification"], 38.70968, 5);
    close(&views[1]["exit_pupil_mm"], 6.56167, 5);
    close(&views[1]["true_field_deg"], 2.00515, 5);
    close(&views[1]["eye_pupil_mm"]["typical"], 5.75845, 5);
    close(&views[1]["light_loss_fraction"], 0.24248, 5);
    close(&views[1]["effective_aperture_mm"], 222.908, 3);
    close(&views[1]["power_floor"], 254.0 / 5.758_45, 3);
    close(&views[2]["magnification"], 315.78947, 5);
    close(&views[2]["exit_pupil_mm"], 0.40217, 5);
    close(&views[2]["true_field_deg"], 0.19, 6);
    assert_eq!(views[2]["verdict"], json!("unsuitable"));
    close(&views[3]["magnification"], 20.0, 9);
    close(&views[3]["true_field_deg"], 3.24589, 5);
    let at_55 = evaluated(&json!({
        "observer": {"age_years": 55, "glasses": "keeps_on"},
        "cases": [{"telescope": telescope(406.4, 1829.0, 90.0),
                   "eyepiece": {"focal_length_mm": 40, "eye_relief_mm": 6}}]
    }));
    let view = &at_55["views"][0];
    close(&view["exit_pupil_mm"], 8.88792, 5);
    close(&view["light_loss_fraction"], 0.52721, 5);
    close(&view["effective_aperture_mm"], 286.978, 3);
    close(&view["eye_relief_needed_mm"], 20.0, 9);
    assert_eq!(view["true_field_deg"], Value::Null);
    let rules: Vec<&str> = view["reasons"]
        .as_array()
        .unwrap()
        .iter()
        .map(|reason| reason["rule"].as_str().unwrap())
        .collect();
    let nine = [
        "fits",
        "pupil",
        "thin_beam",
        "ceiling",
        "eye_relief",
        "focus",
        "field_edge",
        "balance",
        "sun",
    ];
    assert_eq!(rules, nine);
    let relief = &view["reasons"][4];
    assert_eq!((&relief["value"], &relief["limit"]), (&json!(6.0), &json!(16.0)));
    assert_eq!(relief["margin"], json!(-10.0));
}

#[test]
fn evaluation_agrees_with_the_core_in_every_bit() {
    use borrowed_light::kit::Bench;
    use borrowed_light::kit::story::ViewFacts;
    let settings = Settings::default();
    for seed in 0..40 {
        let shelf = OwnShelf::club(40, seed);
        let question = question(seed);
        let none = json!(1);
        let mut cases = Vec::new();
        let mut expected = Vec::new();
        for telescope in &shelf.telescopes {
            let bench = Bench::new(&telescope.spec, telescope.sun_filter, &question, &settings);
            for eyepiece in &shelf.eyepieces {
                for barlow in std::iter::once(None).chain(shelf.barlows.iter().map(Some)).take(2) {
                    cases.push(json!({
                        "telescope": telescope_body(&none, telescope),
                        "eyepiece": eyepiece_body(&none, eyepiece),
                        "barlow": barlow.map(|barlow| barlow_body(&none, barlow)),
                    }));
                    let facts = ViewFacts::of(&bench, eyepiece, barlow);
                    let verdict = bench.assess(eyepiece, barlow).verdict().as_str();
                    expected.push((facts, verdict));
                }
            }
        }
        let answer = evaluated(&json!({"observer": observer_body(&question), "cases": cases}));
        for (view, (facts, verdict)) in answer["views"].as_array().unwrap().iter().zip(&expected) {
            assert_eq!(view["magnification"].as_f64(), Some(facts.magnification));
            assert_eq!(view["exit_pupil_mm"].as_f64(), Some(facts.exit_pupil_mm));
            assert_eq!(view["true_field_deg"].as_f64(), facts.true_field_deg);
            assert_eq!(view["drift_time_s"].as_f64(), facts.drift_time_s);
            assert_eq!(view["light_loss_fraction"].as_f64(), Some(facts.light_loss_fraction));
            assert_eq!(view["eye_relief_needed_mm"].as_f64(), Some(facts.eye_relief_needed_mm));
            assert_eq!(view["verdict"], json!(verdict));
        }
    }
}

#[test]
fn an_observer_of_whom_nothing_is_known_gets_a_compromise_that_says_so() {
    let answer = evaluated(&json!({"observer": {}, "cases": [{
        "telescope": {"layout": "refractor", "aperture_mm": 80, "focal_length_mm": 480, "focuser_barrel_mm": 31.75},
        "eyepiece": {"focal_length_mm": 10, "barrel_mm": 31.75, "eye_relief_mm": 25}
    }]}));
    let view = &answer["views"][0];
    assert_eq!(view["verdict"], json!("compromise"));
    let verdict = |rule: usize| view["reasons"][rule]["verdict"].as_str().unwrap();
    assert_eq!((verdict(1), verdict(4)), ("not_known", "not_known"));
}
