//! Coma correctors as programs send them, and the telescopes that they make.

use serde::Serialize;
use serde::de::Deserializer;
use utoipa::ToSchema;

use super::cells::Record;
use super::pieces::{Id, Piece, id};
use super::read::{Element, Sink};
use super::requests::Rack;
use crate::kit::{Fitted, ShelfTelescope};
use crate::optics::{Barrel, ComaCorrector, CorrectorFactor, Mass};

/// Most correctors in one request: each stands in each telescope that it fits.
pub const MOST_CORRECTORS: usize = 20;

/// A corrector as sent.
pub type CorrectorIn = Piece<ComaCorrector>;

/// The fields of a corrector.
pub const CORRECTOR_FIELDS: [&str; 4] = ["id", "factor", "barrel_mm", "mass_g"];

/// A coma corrector.
#[derive(Debug, Clone, Default, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = CorrectorFacts, example = json!({"id": "A-05", "factor": 1.15, "barrel_mm": 50.8, "mass_g": 430}))]
pub struct CorrectorBody {
    /// The caller's name for it, needed for solving.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub id: Option<Id>,
    /// How many times it lengthens the focal length.
    #[schema(minimum = 0.5, maximum = 2)]
    pub factor: f64,
    /// Its barrel, and the widest eyepiece it takes: 24.5, 31.75 or 50.8. Where it is not known, the
    /// corrector fits no telescope.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(schema_with = crate::shelf::holder_described)]
    pub barrel_mm: Option<f64>,
    /// Mass; it is taken off what the focuser carries.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 200_000)]
    pub mass_g: Option<f64>,
}

impl Element for CorrectorIn {
    fn read<'de, D: Deserializer<'de>>(
        sink: &mut Sink,
        deserializer: D,
    ) -> Result<Option<Self>, D::Error> {
        let record = Record::read("a corrector", &CORRECTOR_FIELDS, sink, deserializer)?;
        Ok(record.and_then(|record| corrector(&record, sink)))
    }
}

fn corrector(record: &Record, sink: &mut Sink) -> Option<CorrectorIn> {
    let id = id(record, sink);
    let factor = record.required("factor", sink, CorrectorFactor::new);
    let barrel = record.optional("barrel_mm", sink, Barrel::try_from);
    let mass = record.optional("mass_g", sink, Mass::new);
    Some(Piece { id, spec: ComaCorrector { factor: Some(factor?), barrel, mass } })
}

/// Puts each corrector into each telescope that it fits: such telescopes stand behind the others
/// once more. Of several that are alike the first stands for all. Answers the corrector in each
/// telescope.
pub(super) fn fit(
    telescopes: &mut Rack<ShelfTelescope>,
    correctors: &Rack<ComaCorrector>,
) -> Vec<Option<Id>> {
    let count = telescopes.specs.len();
    let mut fitted = vec![None; count];
    for (at, (id, corrector)) in correctors.ids.iter().zip(&correctors.specs).enumerate() {
        if correctors.specs[..at].contains(corrector) {
            continue;
        }
        let copies = correctors.specs.iter().filter(|other| *other == corrector).count();
        for telescope in 0..count {
            let one = &telescopes.specs[telescope];
            let Some(spec) = one.spec.with_corrector(corrector) else { continue };
            let put = Some(Fitted { telescope, copies, mass: corrector.mass });
            let one = ShelfTelescope { spec, fitted: put, ..one.clone() };
            telescopes.specs.push(one);
            telescopes.ids.push(telescopes.ids[telescope].clone());
            fitted.push(Some(id.clone()));
        }
    }
    fitted
}

#[cfg(test)]
mod tests {
    use serde_json::{Value, json};
    use utoipa::PartialSchema;

    use super::*;
    use crate::choosing::wire::{EvaluateRequest, SolveRequest, read};

    #[test]
    fn the_description_says_what_is_read() {
        let schema = serde_json::to_value(CorrectorBody::schema()).unwrap();
        let mut described: Vec<&String> =
            schema["properties"].as_object().unwrap().keys().collect();
        let mut fields = CORRECTOR_FIELDS;
        described.sort();
        fields.sort_unstable();
        assert_eq!(described, fields);
        let limits = |field: &str| {
            let described = &schema["properties"][field];
            (described["minimum"].as_f64(), described["maximum"].as_f64())
        };
        let factor = (Some(CorrectorFactor::LOW), Some(CorrectorFactor::HIGH));
        assert_eq!(limits("factor"), factor);
        assert_eq!(limits("mass_g"), (Some(Mass::LOW), Some(Mass::HIGH)));
    }

    fn body(correctors: &Value) -> Value {
        let mirror = |id: &str, focuser: f64| {
            json!({
                "id": id, "layout": "newtonian", "aperture_mm": 254, "focal_length_mm": 1200,
                "focuser_barrel_mm": focuser,
            })
        };
        json!({
            "observer": {"age_years": 40, "glasses": "none"},
            "telescopes": [mirror("wide", 50.8), mirror("narrow", 31.75)],
            "eyepieces": [{"id": 1, "focal_length_mm": 25}],
            "correctors": correctors,
        })
    }

    fn solve(body: &Value) -> Result<SolveRequest, read::Unreadable> {
        read::body(body.to_string().as_bytes(), 2026)
    }

    #[test]
    fn a_corrector_stands_in_the_telescopes_that_it_fits() {
        let one = |id: &str| json!({"id": id, "factor": 1.15, "barrel_mm": 50.8});
        let request = solve(&body(&json!([one("b"), one("a"), {"id": "c", "factor": 1}]))).unwrap();
        let text = |id: &str| Id::Text(id.to_owned());
        assert_eq!(request.telescopes.ids, [text("narrow"), text("wide"), text("wide")]);
        assert_eq!(request.correctors, [None, None, Some(text("a"))], "the first of two alike");
        let fitted = &request.telescopes.specs[2];
        assert_eq!(fitted.fitted, Some(Fitted { telescope: 1, copies: 2, mass: None }));
        // F·k with F 1200 mm, k 1.15.
        assert!((fitted.spec.focal_length().mm() - 1380.0).abs() < 1e-9);
        assert_eq!(solve(&body(&json!([]))).unwrap().correctors, [None, None]);
    }

    #[test]
    fn telescopes_with_correctors_count_against_the_limit_on_pieces() {
        let mut sent = body(&json!([]));
        let scope = sent["telescopes"][0].clone();
        let scopes = (0..2_501).map(|id| {
            let mut one = scope.clone();
            one["id"] = json!(id);
            one
        });
        sent["telescopes"] = scopes.collect();
        let correctors = |count: usize| -> Value {
            (0..count)
                .map(|id| json!({"id": id, "factor": 1.1 + id as f64 / 100.0, "barrel_mm": 50.8}))
                .collect()
        };
        sent["correctors"] = correctors(8);
        assert_eq!(solve(&sent).unwrap().telescopes.specs.len(), 9 * 2_501);
        sent["correctors"] = correctors(9);
        let faults = format!("{:?}", solve(&sent).unwrap_err());
        assert!(faults.contains("/correctors") && faults.contains("25010 come of it"), "{faults}");
    }

    #[test]
    fn faulty_correctors_are_named_where_they_stand() {
        for (correctors, at) in [
            (json!([{"id": 1}]), "/correctors/0"),
            (json!([{"id": 1, "factor": 9}]), "/correctors/0/factor"),
            (json!([{"factor": 1}]), "/correctors/0"),
            (json!({}), "/correctors"),
            (json!(vec![json!({"id": 1, "factor": 1}); 21]), "/correctors"),
        ] {
            let faults = format!("{:?}", solve(&body(&correctors)).unwrap_err());
            assert!(faults.contains(at), "{correctors}: {faults}");
        }
    }

    #[test]
    fn a_view_is_judged_with_its_corrector_and_refused_where_it_does_not_fit() {
        let case = |layout: &str| {
            json!({
                "observer": {"age_years": 40, "glasses": "none"},
                "cases": [{
                    "telescope": {"layout": layout, "aperture_mm": 254, "focal_length_mm": 1200,
                                  "focuser_barrel_mm": 50.8},
                    "eyepiece": {"focal_length_mm": 23},
                    "corrector": {"factor": 1.15, "barrel_mm": 50.8},
                }],
            })
        };
        let read =
            |layout| read::body::<EvaluateRequest>(case(layout).to_string().as_bytes(), 2026);
        let request = read("newtonian").unwrap();
        assert!((request.cases[0].telescope.spec.focal_length().mm() - 1380.0).abs() < 1e-9);
        let faults = format!("{:?}", read("refractor").unwrap_err());
        assert!(faults.contains("/cases/0/corrector"), "{faults}");
    }
}
