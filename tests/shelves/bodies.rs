//! Shelves and questions as a caller of the service would write them.
#![allow(dead_code, missing_docs)]

use borrowed_light::eye::Viewers;
use borrowed_light::kit::{Question, Shelf, ShelfTelescope, SunFilter, Usage, Wanted};
use borrowed_light::optics::{self, Barlow, Barrel, Eyepiece, Mass, Tracking};
use serde_json::{Map, Value, json};

fn put(fields: &mut Map<String, Value>, name: &str, value: Option<f64>) {
    if let Some(value) = value {
        fields.insert(name.into(), json!(value));
    }
}

pub fn telescope_body(id: &Value, one: &ShelfTelescope) -> Value {
    let spec = one.spec.spec();
    let mut fields = Map::new();
    fields.insert("id".into(), id.clone());
    fields.insert("layout".into(), json!(spec.layout.as_str()));
    fields.insert("aperture_mm".into(), json!(spec.aperture.mm()));
    fields.insert("focal_length_mm".into(), json!(spec.focal_length.mm()));
    put(&mut fields, "central_obstruction_mm", spec.obstruction.map(optics::Obstruction::mm));
    put(&mut fields, "focuser_barrel_mm", spec.focuser.map(Barrel::mm));
    put(&mut fields, "focuser_travel_mm", spec.focuser_travel.map(optics::Travel::mm));
    put(&mut fields, "balance_limit_g", spec.balance_limit.map(Mass::g));
    if let Some(tracking) = spec.tracking {
        fields.insert("tracking".into(), json!(tracking == Tracking::Tracks));
    }
    fields.insert("solar_filter_verified".into(), json!(one.sun_filter == SunFilter::Verified));
    Value::Object(fields)
}

pub fn eyepiece_body(id: &Value, one: &Eyepiece) -> Value {
    let spec = one.spec();
    let mut fields = Map::new();
    fields.insert("id".into(), id.clone());
    fields.insert("focal_length_mm".into(), json!(spec.focal_length.mm()));
    put(&mut fields, "apparent_field_deg", spec.apparent_field.map(optics::ApparentField::deg));
    put(&mut fields, "field_stop_mm", spec.field_stop.map(optics::FieldStop::mm));
    put(&mut fields, "eye_relief_mm", spec.eye_relief.map(optics::EyeRelief::mm));
    put(&mut fields, "usable_eye_relief_mm", spec.usable_relief.map(optics::EyeRelief::mm));
    put(&mut fields, "barrel_mm", spec.barrel.map(Barrel::mm));
    put(&mut fields, "mass_g", spec.mass.map(Mass::g));
    if let Some(class) = spec.class {
        fields.insert("optical_class".into(), json!(class.as_str()));
    }
    Value::Object(fields)
}

pub fn barlow_body(id: &Value, one: &Barlow) -> Value {
    let mut fields = Map::new();
    fields.insert("id".into(), id.clone());
    fields.insert("factor".into(), json!(one.factor.times()));
    put(&mut fields, "barrel_mm", one.barrel.map(Barrel::mm));
    put(&mut fields, "mass_g", one.mass.map(Mass::g));
    if let Some(kind) = one.kind {
        fields.insert("kind".into(), json!(kind.as_str()));
    }
    Value::Object(fields)
}

pub fn observer_body(question: &Question) -> Value {
    let observer = &question.observer;
    let mut fields = Map::new();
    match observer.viewers {
        Viewers::Anyone => {
            fields.insert("anyone".into(), json!(true));
        }
        Viewers::Person { age } => put(&mut fields, "age_years", Some(age.years())),
        Viewers::AgeNotKnown => {}
    }
    if observer.viewers != Viewers::Anyone {
        fields.insert("glasses".into(), json!(observer.glasses.as_str()));
        let prescription = observer.prescription;
        put(&mut fields, "sphere_d", prescription.sphere.map(optics::Sphere::dioptres));
        put(&mut fields, "cylinder_d", prescription.cylinder.map(optics::Cylinder::dioptres));
        put(
            &mut fields,
            "measured_pupil_mm",
            observer.measured_pupil.map(optics::PupilDiameter::mm),
        );
    }
    put(&mut fields, "relief_floor_mm", observer.relief_floor.map(optics::EyeRelief::mm));
    put(&mut fields, "seeing_arcsec", question.seeing.map(optics::Seeing::arcsec));
    let usage = match question.usage {
        Usage::Night => "night",
        Usage::Day => "day",
        Usage::Sun => "sun",
    };
    fields.insert("use".into(), json!(usage));
    Value::Object(fields)
}

/// Ids that sort as the pieces stand: `base`, `base + 1`, …
pub fn body(shelf: Shelf<'_>, question: &Question, wanted: Wanted) -> Value {
    let id = |base: usize, at: usize| json!(base + at);
    let telescopes = shelf.telescopes.iter().enumerate();
    let eyepieces = shelf.eyepieces.iter().enumerate();
    let barlows = shelf.barlows.iter().enumerate();
    json!({
        "observer": observer_body(question),
        "telescopes": telescopes.map(|(at, one)| telescope_body(&id(100_000, at), one)).collect::<Vec<_>>(),
        "eyepieces": eyepieces.map(|(at, one)| eyepiece_body(&id(200_000, at), one)).collect::<Vec<_>>(),
        "barlows": barlows.map(|(at, one)| barlow_body(&id(300_000, at), one)).collect::<Vec<_>>(),
        "max_eyepieces": wanted.max_eyepieces,
        "max_barlows": usize::from(wanted.barlow),
        "limit": wanted.limit,
    })
}
