//! Bad bodies, good bodies, and anything at all.

use proptest::prelude::*;
use serde_json::{Value, json};

use super::read::{self, Fault, MOST_FAULTS, Unreadable};
use super::requests::{MOST_CASES, MOST_PIECES};
use super::{EvaluateRequest, Explain, Id, SolveRequest};
use crate::eye::{Glasses, Viewers};
use crate::kit::{SunFilter, Usage};

const YEAR: i16 = 2026;

fn solve_text(body: &str) -> Result<SolveRequest, Unreadable> {
    read::body(body.as_bytes(), YEAR)
}

fn solve(body: &Value) -> Result<SolveRequest, Unreadable> {
    solve_text(&body.to_string())
}

fn evaluate(body: &Value) -> Result<EvaluateRequest, Unreadable> {
    read::body(body.to_string().as_bytes(), YEAR)
}

fn sound() -> Value {
    json!({
        "observer": {"age_years": 40, "glasses": "none"},
        "telescopes": [
            {"id": "t", "layout": "newtonian", "aperture_mm": 203.2, "focal_length_mm": 1219}
        ],
        "eyepieces": [{"id": 1, "focal_length_mm": 25}, {"id": 2, "focal_length_mm": 10.0}],
        "barlows": [{"id": "b", "factor": 2}]
    })
}

/// The sound body with one value put in place of another, or added.
fn with(pointer: &str, value: Value) -> Value {
    let mut body = sound();
    let (parent, field) = pointer.rsplit_once('/').unwrap();
    match body.pointer_mut(parent).unwrap() {
        Value::Object(fields) => {
            fields.insert(field.to_owned(), value);
        }
        Value::Array(items) => items[field.parse::<usize>().unwrap()] = value,
        _ => panic!("{pointer} leads nowhere"),
    }
    body
}

fn without(pointer: &str) -> Value {
    let mut body = sound();
    let (parent, field) = pointer.rsplit_once('/').unwrap();
    body.pointer_mut(parent).unwrap().as_object_mut().unwrap().remove(field).unwrap();
    body
}

fn faults<T: std::fmt::Debug>(read: Result<T, Unreadable>) -> Vec<Fault> {
    match read.unwrap_err() {
        Unreadable::Faults { faults, .. } => faults,
        Unreadable::Malformed(detail) => panic!("malformed: {detail}"),
    }
}

/// The one fault that a body has: its pointer and its sentence.
fn fault(body: &Value) -> (String, String) {
    let mut faults = faults(solve(body));
    assert_eq!(faults.len(), 1, "{faults:?}");
    let fault = faults.remove(0);
    (fault.pointer, fault.detail)
}

#[test]
fn a_sound_body_becomes_checked_values() {
    let request = solve(&sound()).unwrap();
    assert_eq!(request.telescopes.ids, [Id::Text("t".into())]);
    assert_eq!(request.eyepieces.ids, [Id::Number(1), Id::Number(2)]);
    assert!((request.eyepieces.specs[0].focal_length().mm() - 25.0).abs() < f64::EPSILON);
    assert_eq!((request.wanted.max_eyepieces, request.wanted.limit), (5, 5));
    assert!(request.wanted.barlow);
    assert_eq!(request.explain, Explain::Kits);
    assert_eq!(request.question.usage, Usage::Night);
    assert_eq!(request.telescopes.specs[0].sun_filter, SunFilter::Missing);
}

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
        let faults = faults(solve_text(&body));
        assert_eq!(faults.len(), 1);
        assert_eq!(faults[0].pointer, "/eyepieces/1/focal_length_mm");
        let body = sound().to_string().replace("40", number);
        assert_eq!(super::tests::faults(solve_text(&body))[0].pointer, "/observer/age_years");
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
    let faults = faults(solve_text(body));
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
        faults(solve(&body)).into_iter().map(|fault| fault.pointer).collect();
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
fn ten_thousand_pieces_are_read() {
    let eyepieces: Vec<Value> =
        (0..10_000).map(|id| json!({"id": id, "focal_length_mm": 20})).collect();
    assert_eq!(solve(&with("/eyepieces", json!(eyepieces))).unwrap().eyepieces.ids.len(), 10_000);
}

#[test]
fn too_many_pieces_are_refused_in_one_sentence() {
    let one = json!({"id": 1, "focal_length_mm": 20});
    let eyepieces = vec![one; MOST_PIECES * 2];
    let faults = faults(solve(&with("/eyepieces", json!(eyepieces))));
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
    let faults = faults(evaluate(&body(MOST_CASES + 1)));
    assert_eq!(faults[0].pointer, "/cases");
}

#[test]
fn a_barlow_of_null_is_none() {
    let body = |barlow: Value| {
        json!({"observer": {}, "cases": [{
            "telescope": {"aperture_mm": 100, "focal_length_mm": 500},
            "eyepiece": {"focal_length_mm": 10},
            "barlow": barlow
        }]})
    };
    assert_eq!(evaluate(&body(json!(null))).unwrap().cases[0].barlow, None);
    assert!(evaluate(&body(json!({"factor": 2}))).unwrap().cases[0].barlow.is_some());
    assert_eq!(faults(evaluate(&body(json!(2))))[0].pointer, "/cases/0/barlow");
    assert_eq!(faults(evaluate(&body(json!({}))))[0].pointer, "/cases/0/barlow/factor");
}

#[test]
fn what_is_not_known_may_be_null_or_left_out() {
    let mut body = sound();
    for field in ["central_obstruction_mm", "tracking", "layout", "balance_limit_g"] {
        body["telescopes"][0][field] = Value::Null;
    }
    body["observer"] = json!({"glasses": null, "seeing_arcsec": null});
    body["explain"] = Value::Null;
    body["limit"] = Value::Null;
    let request = solve(&body).unwrap();
    assert_eq!(request.question.observer.viewers, Viewers::AgeNotKnown);
    assert_eq!(request.question.observer.glasses, Glasses::NotKnown);
}

#[test]
fn ids_are_whole_numbers_or_text_and_unlike_each_other() {
    for id in [json!(1.5), json!(null), json!(""), json!(true), json!([1]), json!("x".repeat(201))]
    {
        assert_eq!(fault(&with("/eyepieces/0/id", id)).0, "/eyepieces/0/id");
    }
    assert_eq!(fault(&with("/eyepieces/0/id", json!(2))).0, "/eyepieces/1/id");
    // A number and a text that look alike are two ids, except where both name a cost.
    let alike = with("/eyepieces/0/id", json!("2"));
    assert!(solve(&alike).is_ok());
    let mut matrix = alike;
    matrix["explain"] = json!("matrix");
    assert_eq!(fault(&matrix).0, "/eyepieces/1/id");
    let mut across = with("/barlows/0/id", json!(1));
    assert!(solve(&across).is_ok());
    across["explain"] = json!("matrix");
    assert_eq!(fault(&across).0, "/barlows/0/id");
}

#[test]
fn a_matrix_too_large_to_send_is_refused() {
    let eyepieces: Vec<Value> =
        (0..20_000).map(|id| json!({"id": id, "focal_length_mm": 20})).collect();
    let mut body = with("/eyepieces", json!(eyepieces));
    body["barlows"] =
        json!((0..11).map(|b| json!({"id": -1 - b, "factor": 2})).collect::<Vec<_>>());
    assert!(solve(&body).is_ok());
    body["explain"] = json!("matrix");
    let (pointer, detail) = fault(&body);
    assert_eq!(pointer, "/explain");
    assert!(detail.contains("5760000 numbers"), "{detail}");
    body["max_barlows"] = json!(0);
    assert!(solve(&body).is_ok(), "without Barlows it is a twelfth of that");
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
fn an_observer_has_one_age() {
    let viewers = |observer: Value| solve(&with("/observer", observer)).unwrap().question.observer;
    let age = |observer: Value| match viewers(observer).viewers {
        Viewers::Person { age } => age.years(),
        other => panic!("{other:?}"),
    };
    assert!((age(json!({"birth_year": 1984})) - 42.0).abs() < f64::EPSILON);
    assert!((age(json!({"age_years": 42.5})) - 42.5).abs() < f64::EPSILON);
    let both = json!({"birth_year": 1984, "age_years": 42});
    assert_eq!(fault(&with("/observer", both)).0, "/observer/birth_year");
    for year in [json!(1905), json!(2023), json!(1984.5), json!("1984"), json!(84)] {
        let observer = json!({"birth_year": year});
        assert_eq!(fault(&with("/observer", observer)).0, "/observer/birth_year");
    }
    for age in [3, 121, -5, 0] {
        assert_eq!(fault(&with("/observer/age_years", json!(age))).0, "/observer/age_years");
    }
}

#[test]
fn anyone_is_nobody_in_particular() {
    let anyone = json!({"anyone": true, "relief_floor_mm": 22, "seeing_arcsec": 3});
    let observer = solve(&with("/observer", anyone)).unwrap().question.observer;
    assert_eq!((observer.viewers, observer.glasses), (Viewers::Anyone, Glasses::KeepsOn));
    assert!(observer.relief_floor.is_some());
    let personal = json!({"anyone": true, "age_years": 30, "cylinder_d": 1});
    let pointers: Vec<String> = faults(solve(&with("/observer", personal)))
        .into_iter()
        .map(|fault| fault.pointer)
        .collect();
    assert_eq!(pointers, ["/observer/age_years", "/observer/cylinder_d"]);
}

#[test]
fn words_are_taken_from_their_lists() {
    for (place, word) in [
        ("/observer/glasses", json!("keeps_on")),
        ("/observer/use", json!("sun")),
        ("/telescopes/0/layout", json!("schmidt_cassegrain")),
        ("/eyepieces/0/optical_class", json!("wide_field")),
        ("/barlows/0/kind", json!("telecentric")),
    ] {
        assert!(solve(&with(place, word)).is_ok(), "{place}");
        for wrong in [json!("Keeps_On"), json!(1), json!(true), json!([])] {
            let (pointer, detail) = fault(&with(place, wrong));
            assert_eq!(pointer, place);
            assert!(detail.starts_with("This must be \""), "{detail}");
        }
    }
}

#[test]
fn limits_of_a_request_are_whole_numbers_in_range() {
    for (place, low, high) in
        [("/max_eyepieces", 1, 8), ("/max_barlows", 0, 1), ("/limit", 1, 25_000)]
    {
        for good in [json!(low), json!(high), json!(f64::from(high))] {
            assert!(solve(&with(place, good)).is_ok(), "{place}");
        }
        for bad in [json!(low - 1), json!(high + 1), json!(1.5), json!("3"), json!(true)] {
            assert_eq!(fault(&with(place, bad)).0, place);
        }
    }
}

#[test]
fn lists_may_be_empty_and_barlows_left_out() {
    assert!(solve(&with("/eyepieces", json!([]))).is_ok());
    assert!(solve(&with("/telescopes", json!([]))).is_ok());
    assert!(solve(&without("/barlows")).is_ok());
    for list in ["/telescopes", "/eyepieces", "/barlows"] {
        for wrong in [json!(null), json!({}), json!("none"), json!(3), json!(false)] {
            assert_eq!(fault(&with(list, wrong)).0, list);
        }
    }
}

#[test]
fn pieces_are_sorted_by_id_numbers_first() {
    let eyepieces = json!([
        {"id": "a", "focal_length_mm": 10},
        {"id": 10, "focal_length_mm": 11},
        {"id": "B", "focal_length_mm": 12},
        {"id": 9, "focal_length_mm": 13}
    ]);
    let ids = solve(&with("/eyepieces", eyepieces)).unwrap().eyepieces.ids;
    let text = |id: &str| Id::Text(id.into());
    assert_eq!(ids, [Id::Number(9), Id::Number(10), text("B"), text("a")]);
    assert_eq!(serde_json::to_string(&ids).unwrap(), r#"[9,10,"B","a"]"#, "as they came");
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
        let faults = faults(solve_text(body));
        assert_eq!(faults[0].pointer, "");
    }
}

/// Any JSON, with the names the reader knows well mixed in.
fn any_json() -> impl Strategy<Value = Value> {
    let leaf = prop_oneof![
        Just(Value::Null),
        any::<bool>().prop_map(Value::from),
        any::<i64>().prop_map(Value::from),
        any::<u64>().prop_map(Value::from),
        any::<f64>().prop_map(Value::from),
        (1.0..3000.0).prop_map(Value::from),
        ".{0,12}".prop_map(Value::from),
    ];
    let name = prop_oneof![
        proptest::sample::select(
            super::requests::SOLVE_FIELDS
                .into_iter()
                .chain(super::requests::EVALUATE_FIELDS)
                .chain(super::requests::CASE_FIELDS)
                .chain(super::pieces::TELESCOPE_FIELDS)
                .chain(super::pieces::EYEPIECE_FIELDS)
                .chain(super::pieces::BARLOW_FIELDS)
                .chain(super::observers::OBSERVER_FIELDS)
                .map(str::to_owned)
                .collect::<Vec<_>>()
        ),
        ".{0,6}",
    ];
    leaf.prop_recursive(5, 120, 12, move |inner| {
        prop_oneof![
            proptest::collection::vec(inner.clone(), 0..6).prop_map(Value::from),
            proptest::collection::vec((name.clone(), inner), 0..9).prop_map(Value::from_iter),
        ]
    })
}

/// Each pointer of a fault leads to a value, or its parent leads to an object that lacks it.
fn leads_somewhere(body: &Value, pointer: &str) -> bool {
    body.pointer(pointer).is_some()
        || pointer
            .rsplit_once('/')
            .is_some_and(|(parent, _)| body.pointer(parent).is_some_and(Value::is_object))
}

proptest! {
    #[test]
    fn any_json_is_read_or_refused_with_pointers_that_lead_somewhere(body in any_json()) {
        if let Err(Unreadable::Faults { faults, .. }) = solve(&body) {
            prop_assert!(!faults.is_empty());
            for fault in faults {
                prop_assert!(leads_somewhere(&body, &fault.pointer), "{} in {body}", fault.pointer);
            }
        }
        if let Err(Unreadable::Faults { faults, .. }) = evaluate(&body) {
            for fault in faults {
                prop_assert!(leads_somewhere(&body, &fault.pointer), "{} in {body}", fault.pointer);
            }
        }
    }

    #[test]
    fn a_sound_body_with_anything_in_one_place_never_panics(
        place in proptest::sample::select(vec![
            "/observer", "/telescopes", "/eyepieces/0", "/barlows/0/factor", "/limit",
            "/telescopes/0/id", "/explain", "/observer/use", "/eyepieces/1/barrel_mm",
        ]),
        value in any_json(),
    ) {
        let body = with(place, value);
        if let Err(Unreadable::Faults { faults, .. }) = solve(&body) {
            for fault in faults {
                prop_assert!(fault.pointer.is_empty() || leads_somewhere(&body, &fault.pointer));
            }
        }
    }

    #[test]
    fn any_bytes_are_read_or_refused(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
        let _ = read::body::<SolveRequest>(&bytes, YEAR);
        let _ = read::body::<EvaluateRequest>(&bytes, YEAR);
    }
}
