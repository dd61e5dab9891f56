//! What bodies mean once they are read.

use serde_json::{Value, json};

use super::*;
use crate::choosing::wire::{Explain, Id};
use crate::eye::{Glasses, Viewers};
use crate::kit::{SunFilter, Usage};

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
fn ten_thousand_pieces_are_read() {
    let eyepieces: Vec<Value> =
        (0..10_000).map(|id| json!({"id": id, "focal_length_mm": 20})).collect();
    assert_eq!(solve(&with("/eyepieces", json!(eyepieces))).unwrap().eyepieces.ids.len(), 10_000);
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
    assert_eq!(faults_in(evaluate(&body(json!(2))))[0].pointer, "/cases/0/barlow");
    assert_eq!(faults_in(evaluate(&body(json!({}))))[0].pointer, "/cases/0/barlow/factor");
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
    let pointers: Vec<String> = faults_in(solve(&with("/observer", personal)))
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
