//! Anything at all, which must be read or refused but never break the reader.

use proptest::prelude::*;
use serde_json::Value;

use super::*;
use crate::choosing::wire::{evaluate_request, observers, pieces, requests};

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
            requests::SOLVE_FIELDS
                .into_iter()
                .chain(evaluate_request::EVALUATE_FIELDS)
                .chain(evaluate_request::CASE_FIELDS)
                .chain(pieces::TELESCOPE_FIELDS)
                .chain(pieces::EYEPIECE_FIELDS)
                .chain(pieces::BARLOW_FIELDS)
                .chain(observers::OBSERVER_FIELDS)
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
