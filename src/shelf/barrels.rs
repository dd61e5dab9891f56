//! Barrels as the OpenAPI document describes them: the three in use, each as wide as a measured one
//! may be.

use utoipa::openapi::Schema;
use utoipa::openapi::schema::{AnyOfBuilder, ObjectBuilder, SchemaType, Type};

use crate::optics::Barrel;

fn one_of_three(says: &str) -> Schema {
    let ranges = Barrel::ALL.into_iter().map(|barrel| {
        // As people write them: 24.2 and not 24.199999999999999.
        let tenths = |mm: f64| (mm * 100.0).round() / 100.0;
        ObjectBuilder::new()
            .schema_type(SchemaType::AnyValue)
            .minimum(Some(tenths(barrel.mm() - Barrel::TOLERANCE_MM)))
            .maximum(Some(tenths(barrel.mm() + Barrel::TOLERANCE_MM)))
    });
    let described = AnyOfBuilder::new()
        .schema_type(SchemaType::from_iter([Type::Number, Type::Null]))
        .description(Some(says));
    Schema::AnyOf(ranges.fold(described, AnyOfBuilder::item).build())
}

/// The barrel of a piece that goes into a focuser.
pub(crate) fn barrel() -> Schema {
    one_of_three("Barrel: 24.5, 31.75 or 50.8; a measured one counts as the nearest.")
}

/// The barrel of a piece that takes eyepieces itself.
pub(crate) fn holder() -> Schema {
    one_of_three("Its barrel, and the widest eyepiece it takes: 24.5, 31.75 or 50.8.")
}

/// The barrel that a telescope takes.
pub(crate) fn focuser() -> Schema {
    one_of_three("Widest barrel the focuser takes: 24.5, 31.75 or 50.8.")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_described_barrels_are_those_that_are_read() {
        let described = serde_json::to_value(barrel()).unwrap();
        let ranges = described["anyOf"].as_array().unwrap();
        assert_eq!(ranges.len(), Barrel::ALL.len());
        for range in ranges {
            let (low, high) =
                (range["minimum"].as_f64().unwrap(), range["maximum"].as_f64().unwrap());
            for (mm, is_read) in
                [(low, true), (high, true), (low - 0.01, false), (high + 0.01, false)]
            {
                assert_eq!(Barrel::try_from(mm).is_ok(), is_read, "{mm}");
            }
        }
    }
}
