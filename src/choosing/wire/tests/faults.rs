//! Bad bodies, each refused at its place.

use serde_json::{Value, json};

use super::*;
use crate::choosing::wire::evaluate_request::MOST_CASES;
use crate::choosing::wire::read::MOST_FAULTS;
use crate::choosing::wire::requests::MOST_PIECES;

#[test]
fn every_bad_number_is_refused_at_its_place() {
    let bad = [
        json!(0),
        json!(-200),
        json!(1e9),
        json!(null),
        json!("200"),
        json!("NaN"),
        json!("Infinity"),
        json!(true),
        json!([]),
        json!({}),
    ];
    for place in [
        "/telescopes/0/aperture_mm",
        "/telescopes/0/focal_length_mm",
        "/eyepieces/1/focal_length_mm",
        "/barlows/0/factor",
    ] {
        for value in &bad {
            let (pointer, detail) = fault(&with(place, value.clone()));
            assert_eq!(pointer, place, "{value}");
            assert!(detail.ends_with(['.', '?']), "{detail}");
        }
    }
}

#[test]
fn a_number_beyond_all_numbers_is_refused_at_its_place() {
    for number in ["1e999", "-1e999"] {
        let body = sound().to_string().replace("10.0", number);
        let faults = faults_in(solve_text(&body));
        assert_eq!(faults.len(), 1);
        assert_eq!(faults[0].pointer, "/eyepieces/1/focal_length_mm");
        let body = sound().to_string().replace("40", number);
        assert_eq!(faults_in(solve_text(&body))[0].pointer, "/observer/age_years");
    }
}

#[test]
fn a_three_metre_eyepiece_is_refused() {
    let (pointer, detail) = fault(&with("/eyepieces/0/focal_length_mm", json!(3000)));
    assert_eq!(pointer, "/eyepieces/0/focal_length_mm");
    assert!(detail.contains("between 1.5 and 100 mm"), "{detail}");
}

#[test]
fn inches_are_recognised_and_asked_about() {
    for (place, value, hint) in [
        ("/telescopes/0/aperture_mm", 8.0, "8 inches is 203.2 mm: is that what you meant?"),
        ("/eyepieces/0/barrel_mm", 1.25, "1.25 inches is 31.75 mm: is that what you meant?"),
        ("/telescopes/0/focuser_barrel_mm", 2.0, "2 inches is 50.8 mm: is that what you meant?"),
        ("/telescopes/0/focal_length_mm", 48.0, "48 inches is 1219.2 mm: is that what you meant?"),
    ] {
        let (pointer, detail) = fault(&with(place, json!(value)));
        assert_eq!(pointer, place);
        assert!(detail.ends_with(hint), "{detail}");
    }
}

#[test]
fn whatever_is_missing_is_named() {
    for place in [
        "/observer",
        "/telescopes",
        "/eyepieces",
        "/telescopes/0/id",
        "/telescopes/0/aperture_mm",
        "/telescopes/0/focal_length_mm",
        "/eyepieces/0/id",
        "/eyepieces/0/focal_length_mm",
        "/barlows/0/id",
        "/barlows/0/factor",
    ] {
        let (pointer, detail) = fault(&without(place));
        assert_eq!(pointer, place);
        assert!(detail.starts_with("This field is missing"), "{detail}");
    }
    let (pointer, detail) = fault(&with("/telescopes/0", json!({"id": 1, "aperture_mm": 100})));
    assert_eq!(pointer, "/telescopes/0/focal_length_mm");
    assert_eq!(detail, "This field is missing: a telescope needs it.");
}

#[test]
fn fields_nobody_knows_are_named() {
    for (place, known) in [
        ("/colour", "`observer`"),
        ("/observer/name", "`age_years`"),
        ("/telescopes/0/aperture_in", "`aperture_mm`"),
        ("/eyepieces/1/apparent_field", "`apparent_field_deg`"),
        ("/barlows/0/magnification", "`factor`"),
    ] {
        let (pointer, detail) = fault(&with(place, json!(1)));
        assert_eq!(pointer, place);
        assert!(detail.contains(known), "{detail}");
    }
    let (pointer, _) = fault(&with("/a~1b~0c", json!(1)));
    assert_eq!(pointer, "/a~01b~00c", "a pointer escapes the marks it is made of");
}

#[test]
fn a_field_given_twice_is_refused() {
    let body =
        r#"{"observer": {"age_years": 40, "age_years": 50}, "telescopes": [], "eyepieces": []}"#;
    let faults = faults_in(solve_text(body));
    assert_eq!(faults[0].pointer, "/observer/age_years");
}

#[test]
fn all_faults_are_told_at_once() {
    let body = json!({
        "observer": {"age_years": "forty", "glasses": "sometimes"},
        "telescopes": [{"id": 1, "aperture_mm": -1, "focal_length_mm": 1000}, 7],
        "eyepieces": [{"id": 1, "focal_length_mm": 3000}, {"id": 2, "focal_length_mm": 20}],
        "max_eyepieces": 9,
        "explain": "everything"
    });
    let pointers: Vec<String> =
        faults_in(solve(&body)).into_iter().map(|fault| fault.pointer).collect();
    assert_eq!(pointers.len(), 7, "{pointers:?}");
    for pointer in [
        "/observer/age_years",
        "/observer/glasses",
        "/telescopes/0/aperture_mm",
        "/telescopes/1",
        "/eyepieces/0/focal_length_mm",
        "/max_eyepieces",
        "/explain",
    ] {
        assert!(pointers.iter().any(|given| given == pointer), "{pointer} in {pointers:?}");
    }
}

#[test]
fn ten_thousand_faults_are_counted_but_not_all_told() {
    let eyepieces: Vec<Value> =
        (0..10_000).map(|id| json!({"id": id, "focal_length_mm": 0})).collect();
    match solve(&with("/eyepieces", json!(eyepieces))).unwrap_err() {
        Unreadable::Faults { faults, more } => {
            assert_eq!((faults.len(), more), (MOST_FAULTS, 10_000 - MOST_FAULTS));
        }
        Unreadable::Malformed(detail) => panic!("{detail}"),
    }
}

#[test]
fn too_many_pieces_are_refused_in_one_sentence() {
    let one = json!({"id": 1, "focal_length_mm": 20});
    let eyepieces = vec![one; MOST_PIECES * 2];
    let faults = faults_in(solve(&with("/eyepieces", json!(eyepieces))));
    let detail = &faults.iter().find(|fault| fault.pointer.is_empty()).unwrap().detail;
    assert!(detail.contains("At most 25000") && detail.contains("50002 were given"), "{detail}");
}

#[test]
fn too_many_cases_are_refused() {
    let case = json!({
        "telescope": {"aperture_mm": 100, "focal_length_mm": 500},
        "eyepiece": {"focal_length_mm": 10}
    });
    let body = |cases: usize| json!({"observer": {}, "cases": vec![case.clone(); cases]});
    assert_eq!(evaluate(&body(MOST_CASES)).unwrap().cases.len(), MOST_CASES);
    let faults = faults_in(evaluate(&body(MOST_CASES + 1)));
    assert_eq!(faults[0].pointer, "/cases");
}

#[test]
fn facts_that_contradict_each_other_are_refused() {
    let (pointer, _) = fault(&with("/telescopes/0/central_obstruction_mm", json!(300)));
    assert_eq!(pointer, "/telescopes/0/central_obstruction_mm");
    let (pointer, _) = fault(&with("/telescopes/0/focal_length_mm", json!(30_000)));
    assert_eq!(pointer, "/telescopes/0/focal_length_mm");
    let stop = json!({"id": 1, "focal_length_mm": 40, "field_stop_mm": 46, "barrel_mm": 31.75});
    let (pointer, detail) = fault(&with("/eyepieces/0", stop));
    assert_eq!(pointer, "/eyepieces/0/field_stop_mm");
    assert!(detail.contains("does not fit"), "{detail}");
}

#[test]
fn what_is_not_json_is_malformed() {
    for body in ["", "  ", "{", "{]", "nonsense", "{\"observer\": NaN}", "{\"a\":1}}", "\u{0}"] {
        let read = solve_text(body);
        assert!(matches!(read, Err(Unreadable::Malformed(_))), "{body}: {read:?}");
    }
    let broken: Result<SolveRequest, _> = read::body(b"{\"\xff\": 1}", YEAR);
    assert!(matches!(broken, Err(Unreadable::Malformed(_))));
    let deep = "[".repeat(100_000);
    assert!(matches!(solve_text(&deep), Err(Unreadable::Malformed(_))));
}

#[test]
fn what_is_json_but_no_object_is_told_so() {
    for body in ["[]", "1", "\"solve\"", "null", "true", "1.5", "-1"] {
        let faults = faults_in(solve_text(body));
        assert_eq!(faults[0].pointer, "");
    }
}
