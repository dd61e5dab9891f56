//! Bad bodies, good bodies, and anything at all.

mod anything;
mod faults;
mod meaning;

use serde_json::{Value, json};

use super::read::{self, Fault, Unreadable};
use super::{EvaluateRequest, SolveRequest};

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

fn faults_in<T: std::fmt::Debug>(read: Result<T, Unreadable>) -> Vec<Fault> {
    match read.unwrap_err() {
        Unreadable::Faults { faults, .. } => faults,
        Unreadable::Malformed(detail) => panic!("malformed: {detail}"),
    }
}

/// The one fault that a body has: its pointer and its sentence.
fn fault(body: &Value) -> (String, String) {
    let mut faults = faults_in(solve(body));
    assert_eq!(faults.len(), 1, "{faults:?}");
    let fault = faults.remove(0);
    (fault.pointer, fault.detail)
}
