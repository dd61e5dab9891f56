//! Bodies as the OpenAPI document describes them.
//!
//! Reading is done by hand, so that every fault is told at once; these types only describe. A test
//! holds their fields and limits against those of the reader.

use serde::Serialize;
use utoipa::ToSchema;

use super::correctors::CorrectorBody;
use super::pieces::Id;

/// Who looks, under which sky, for what. What is not known is left out or `null`; the rules then
/// say so.
#[derive(Debug, Clone, Default, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = Observer, example = json!({"age_years": 52, "glasses": "keeps_on", "cylinder_d": 1.25}))]
pub struct ObserverBody {
    /// Anyone at a public night: 6 to 90 years, glasses on, first time at an eyepiece. Then
    /// nothing personal may be given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub anyone: Option<bool>,
    /// Age; or give `birth_year`.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 4, maximum = 120)]
    pub age_years: Option<f64>,
    /// Year of birth; or give `age_years`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub birth_year: Option<i32>,
    /// What happens to glasses at the eyepiece: `none`, `takes_off` or `keeps_on`.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(pattern = "^(none|takes_off|keeps_on)$")]
    pub glasses: Option<&'static str>,
    /// Sphere of the observing eye, dioptres, negative for near-sight.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = -25, maximum = 25)]
    pub sphere_d: Option<f64>,
    /// Cylinder of the observing eye, dioptres, of either sign.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = -10, maximum = 10)]
    pub cylinder_d: Option<f64>,
    /// Dark-adapted pupil, if somebody measured it.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 10)]
    pub measured_pupil_mm: Option<f64>,
    /// Least eye relief this observer accepts.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0, maximum = 60)]
    pub relief_floor_mm: Option<f64>,
    /// How wide the air smears a star.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0.2, maximum = 15)]
    pub seeing_arcsec: Option<f64>,
    /// `night` (where left out), `day` on land, or `sun`.
    #[serde(rename = "use", skip_serializing_if = "Option::is_none")]
    #[schema(pattern = "^(night|day|sun)$")]
    pub usage: Option<&'static str>,
}

/// A telescope.
#[derive(Debug, Clone, Default, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = TelescopeFacts, example = json!({"id": "T-07", "layout": "newtonian", "aperture_mm": 203.2, "focal_length_mm": 1219, "central_obstruction_mm": 50, "focuser_barrel_mm": 50.8}))]
pub struct TelescopeBody {
    /// The caller's name for it, needed for solving.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub id: Option<Id>,
    /// `refractor`, `newtonian`, `schmidt_cassegrain`, `maksutov_cassegrain`, `other` or `unknown`.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(
        pattern = "^(refractor|newtonian|schmidt_cassegrain|maksutov_cassegrain|other|unknown)$"
    )]
    pub layout: Option<&'static str>,
    /// Clear diameter.
    #[schema(minimum = 30, maximum = 3000)]
    pub aperture_mm: f64,
    /// Focal length without a Barlow; the focal ratio must be within f/1 and f/100.
    #[schema(minimum = 100, maximum = 30000)]
    pub focal_length_mm: f64,
    /// Diameter of what stands in the middle of the beam; 0 for nothing.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0, maximum = 2000)]
    pub central_obstruction_mm: Option<f64>,
    /// Widest barrel the focuser takes: 24.5, 31.75 or 50.8.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(schema_with = crate::shelf::focuser_described)]
    pub focuser_barrel_mm: Option<f64>,
    /// How far the focuser moves.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0, maximum = 500)]
    pub focuser_travel_mm: Option<f64>,
    /// The mass that balance or focuser takes.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 200_000)]
    pub balance_limit_g: Option<f64>,
    /// Whether the mount follows the sky.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub tracking: Option<bool>,
    /// Whether a full-aperture front filter is recorded as fitting this telescope, tested in time
    /// and undamaged.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub solar_filter_verified: Option<bool>,
}

/// An eyepiece.
#[derive(Debug, Clone, Default, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = EyepieceFacts, example = json!({"id": 31, "focal_length_mm": 25, "apparent_field_deg": 52, "eye_relief_mm": 18, "barrel_mm": 31.75}))]
pub struct EyepieceBody {
    /// The caller's name for it, needed for solving.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub id: Option<Id>,
    /// Focal length.
    #[schema(minimum = 1.5, maximum = 100)]
    pub focal_length_mm: f64,
    /// Angle across the field as the eye sees it.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 15, maximum = 130)]
    pub apparent_field_deg: Option<f64>,
    /// Diameter of the field stop; wins over the apparent field.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 60)]
    pub field_stop_mm: Option<f64>,
    /// Eye relief as the maker states it.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0, maximum = 60)]
    pub eye_relief_mm: Option<f64>,
    /// Eye relief as somebody measured it from the rim that the eye meets; wins over the maker's.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0, maximum = 60)]
    pub usable_eye_relief_mm: Option<f64>,
    /// Barrel: 24.5, 31.75 or 50.8.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(schema_with = crate::shelf::barrel_described)]
    pub barrel_mm: Option<f64>,
    /// `two_lens`, `three_element`, `four_element` or `wide_field`.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(pattern = "^(two_lens|three_element|four_element|wide_field)$")]
    pub optical_class: Option<&'static str>,
    /// Mass.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 200_000)]
    pub mass_g: Option<f64>,
}

/// A Barlow.
#[derive(Debug, Clone, Default, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = BarlowFacts, example = json!({"id": "B-02", "factor": 2, "barrel_mm": 31.75}))]
pub struct BarlowBody {
    /// The caller's name for it, needed for solving.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub id: Option<Id>,
    /// How many times it lengthens the focal length.
    #[schema(minimum = 1.01, maximum = 6)]
    pub factor: f64,
    /// Its barrel, and the widest eyepiece it takes: 24.5, 31.75 or 50.8.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(schema_with = crate::shelf::holder_described)]
    pub barrel_mm: Option<f64>,
    /// `plain` or `telecentric`.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(pattern = "^(plain|telecentric)$")]
    pub kind: Option<&'static str>,
    /// Mass.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 200_000)]
    pub mass_g: Option<f64>,
}

/// One view to be judged.
#[derive(Debug, Clone, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = CaseToJudge)]
pub struct CaseBody {
    /// The telescope.
    pub telescope: TelescopeBody,
    /// The eyepiece.
    pub eyepiece: EyepieceBody,
    /// The Barlow; `null` or left out for none.
    pub barlow: Option<BarlowBody>,
    /// The coma corrector in the telescope; `null` or left out for none.
    pub corrector: Option<CorrectorBody>,
}

/// Asks for views to be judged.
#[derive(Debug, Clone, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = EvaluateRequest)]
pub struct EvaluateBody {
    /// Who looks.
    pub observer: ObserverBody,
    /// The views.
    #[schema(max_items = 1000)]
    pub cases: Vec<CaseBody>,
}

/// Asks for the best kits. At most 25,000 pieces of all kinds.
#[derive(Debug, Clone, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = SolveRequest)]
pub struct SolveBody {
    /// Who looks.
    pub observer: ObserverBody,
    /// Telescopes to choose from, each with an id of its own.
    #[schema(max_items = 25_000)]
    pub telescopes: Vec<TelescopeBody>,
    /// Eyepieces to choose from, each with an id of its own.
    #[schema(max_items = 25_000)]
    pub eyepieces: Vec<EyepieceBody>,
    /// Barlows to choose from, each with an id of its own; none where left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 25_000)]
    pub barlows: Option<Vec<BarlowBody>>,
    /// Coma correctors, each with an id of its own; none where left out. A telescope with one is
    /// another telescope, and one of the two is in the answer.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 20)]
    pub correctors: Option<Vec<CorrectorBody>>,
    /// Most eyepieces in a kit; 5 where left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 8)]
    pub max_eyepieces: Option<usize>,
    /// Most Barlows in a kit; 1 where left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 0, maximum = 1)]
    pub max_barlows: Option<usize>,
    /// Most kits in the answer, one for each telescope; 5 where left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 25_000)]
    pub limit: Option<usize>,
    /// `reasons` adds why other eyepieces were left out; `matrix` adds the whole problem for an
    /// outside solver, if it has at most 5,000,000 numbers, and wants ids that differ between the
    /// lists too.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(pattern = "^(reasons|matrix)$")]
    pub explain: Option<&'static str>,
}

#[cfg(test)]
mod tests {
    use serde_json::{Value, json};
    use utoipa::PartialSchema;

    use super::*;
    use crate::choosing::wire::correctors::MOST_CORRECTORS;
    use crate::choosing::wire::evaluate_request::{CASE_FIELDS, EVALUATE_FIELDS, MOST_CASES};
    use crate::choosing::wire::observers::{OBSERVER_FIELDS, USES};
    use crate::choosing::wire::pieces::{BARLOW_FIELDS, EYEPIECE_FIELDS, TELESCOPE_FIELDS};
    use crate::choosing::wire::requests::{EXPLAINS, MOST_PIECES, SOLVE_FIELDS};
    use crate::eye::Glasses;
    use crate::kit::solve::MOST_EYEPIECES;
    use crate::optics::{
        Age, Aperture, ApparentField, BarlowFactor, BarlowKind, Cylinder, EyeRelief,
        EyepieceFocalLength, FieldStop, Layout, Mass, Obstruction, OpticalClass, PupilDiameter,
        Seeing, Sphere, TelescopeFocalLength, Travel,
    };

    fn schema<T: PartialSchema>() -> Value {
        serde_json::to_value(T::schema()).unwrap()
    }

    fn bodies() -> [(Value, &'static [&'static str]); 7] {
        [
            (schema::<ObserverBody>(), &OBSERVER_FIELDS),
            (schema::<TelescopeBody>(), &TELESCOPE_FIELDS),
            (schema::<EyepieceBody>(), &EYEPIECE_FIELDS),
            (schema::<BarlowBody>(), &BARLOW_FIELDS),
            (schema::<CaseBody>(), &CASE_FIELDS),
            (schema::<EvaluateBody>(), &EVALUATE_FIELDS),
            (schema::<SolveBody>(), &SOLVE_FIELDS),
        ]
    }

    #[test]
    fn the_described_fields_are_those_that_are_read() {
        for (schema, fields) in bodies() {
            let mut described: Vec<&String> =
                schema["properties"].as_object().unwrap().keys().collect();
            let mut read: Vec<&str> = fields.to_vec();
            described.sort();
            read.sort_unstable();
            assert_eq!(described, read);
            assert_eq!(schema["additionalProperties"], json!(false), "{read:?}");
        }
    }

    #[test]
    fn the_described_limits_are_those_of_the_quantities() {
        let bodies = bodies();
        let check = |field: &str, low: f64, high: f64| {
            let mut seen = 0;
            for (schema, _) in &bodies {
                let described = &schema["properties"][field];
                if !described.is_null() {
                    assert_eq!(described["minimum"].as_f64(), Some(low), "{field}");
                    assert_eq!(described["maximum"].as_f64(), Some(high), "{field}");
                    seen += 1;
                }
            }
            assert!(seen > 0, "{field}");
        };
        check("age_years", Age::LOW, Age::HIGH);
        check("sphere_d", Sphere::LOW, Sphere::HIGH);
        check("cylinder_d", -Cylinder::HIGH, Cylinder::HIGH);
        check("measured_pupil_mm", PupilDiameter::LOW, PupilDiameter::HIGH);
        check("relief_floor_mm", EyeRelief::LOW, EyeRelief::HIGH);
        check("seeing_arcsec", Seeing::LOW, Seeing::HIGH);
        check("aperture_mm", Aperture::LOW, Aperture::HIGH);
        check("central_obstruction_mm", Obstruction::LOW, Obstruction::HIGH);
        check("focuser_travel_mm", Travel::LOW, Travel::HIGH);
        check("balance_limit_g", Mass::LOW, Mass::HIGH);
        check("mass_g", Mass::LOW, Mass::HIGH);
        check("apparent_field_deg", ApparentField::LOW, ApparentField::HIGH);
        check("field_stop_mm", FieldStop::LOW, FieldStop::HIGH);
        check("eye_relief_mm", EyeRelief::LOW, EyeRelief::HIGH);
        check("usable_eye_relief_mm", EyeRelief::LOW, EyeRelief::HIGH);
        check("factor", BarlowFactor::LOW, BarlowFactor::HIGH);
        check("max_eyepieces", 1.0, MOST_EYEPIECES as f64);
        check("max_barlows", 0.0, 1.0);
        check("limit", 1.0, MOST_PIECES as f64);
        let focal_length = |schema: Value| {
            let described = &schema["properties"]["focal_length_mm"];
            [described["minimum"].as_f64(), described["maximum"].as_f64()]
        };
        assert_eq!(
            focal_length(schema::<TelescopeBody>()),
            [Some(TelescopeFocalLength::LOW), Some(TelescopeFocalLength::HIGH)]
        );
        assert_eq!(
            focal_length(schema::<EyepieceBody>()),
            [Some(EyepieceFocalLength::LOW), Some(EyepieceFocalLength::HIGH)]
        );
        let most = |schema: Value, list: &str| schema["properties"][list]["maxItems"].as_u64();
        assert_eq!(most(schema::<EvaluateBody>(), "cases"), Some(MOST_CASES as u64));
        for list in ["telescopes", "eyepieces", "barlows"] {
            assert_eq!(most(schema::<SolveBody>(), list), Some(MOST_PIECES as u64), "{list}");
        }
        assert_eq!(most(schema::<SolveBody>(), "correctors"), Some(MOST_CORRECTORS as u64));
    }

    #[test]
    fn the_described_words_are_those_that_are_read() {
        let check = |schema: Value, field: &str, words: &[&str]| {
            let pattern = format!("^({})$", words.join("|"));
            assert_eq!(schema["properties"][field]["pattern"], json!(pattern), "{field}");
        };
        check(schema::<ObserverBody>(), "glasses", &Glasses::ALL.map(Glasses::as_str));
        check(schema::<ObserverBody>(), "use", &USES);
        check(schema::<TelescopeBody>(), "layout", &Layout::ALL.map(Layout::as_str));
        let classes = OpticalClass::ALL.map(OpticalClass::as_str);
        check(schema::<EyepieceBody>(), "optical_class", &classes);
        check(schema::<BarlowBody>(), "kind", &BarlowKind::ALL.map(BarlowKind::as_str));
        check(schema::<SolveBody>(), "explain", &EXPLAINS);
    }

    #[test]
    fn the_examples_are_read_without_a_fault() {
        let example = |schema: Value| {
            let example = schema.get("example").or_else(|| schema["examples"].get(0));
            example.cloned().unwrap()
        };
        let body = json!({
            "observer": example(schema::<ObserverBody>()),
            "telescopes": [example(schema::<TelescopeBody>())],
            "eyepieces": [example(schema::<EyepieceBody>())],
            "barlows": [example(schema::<BarlowBody>())],
        });
        let read = super::super::read::body::<super::super::SolveRequest>(
            body.to_string().as_bytes(),
            2026,
        );
        assert!(read.is_ok(), "{read:?}");
    }
}
