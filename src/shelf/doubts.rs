//! Figures that can be true but seldom are: a sentence for whoever typed them, never a refusal.
//!
//! The limits are common practice, no source, except where a formula stands beside them.

use super::model::{FilterFigures, FilterKind, TelescopeFigures};
use crate::optics::{Barlow, Eyepiece, Mass, Obstruction, OpticalClass};
use crate::web::format;

/// A figure worth another look.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Doubt {
    /// The column it stands in.
    pub column: &'static str,
    /// What is odd about it, in a sentence.
    pub says: String,
}

/// Figures that can be doubted.
pub trait Doubtful {
    /// Everything worth another look.
    fn doubts(&self) -> Vec<Doubt>;
}

pub(super) fn doubt(column: &'static str, says: impl Into<String>) -> Doubt {
    Doubt { column, says: says.into() }
}

impl Doubtful for Eyepiece {
    fn doubts(&self) -> Vec<Doubt> {
        let mut doubts = Vec::new();
        doubts.extend(stop_against_field(self));
        doubts.extend(field_against_barrel(self));
        doubts.extend(relief_against_focal_length(self));
        if let (Some(stated), Some(measured)) = (self.eye_relief(), self.usable_relief())
            && measured.mm() > stated.mm() + 0.5
        {
            doubts.push(doubt(
                "usable_eye_relief_mm",
                "The relief as measured is more than the maker's, which counts from the glass and not from the rim: are the two swapped?",
            ));
        }
        doubts.extend(mass_of_small_thing(self.mass()));
        doubts
    }
}

/// A field stop of diameter d bounds an apparent field A where d = f · A (A in radians) if the
/// eyepiece magnifies angles evenly, and d = 2 f tan(A/2) if it keeps straight lines straight; real
/// ones lie between the two, or a little outside.
fn stop_against_field(eyepiece: &Eyepiece) -> Option<Doubt> {
    let focal_length = eyepiece.focal_length().mm();
    let field = eyepiece.apparent_field()?.deg().to_radians();
    let stop = eyepiece.field_stop()?.mm();
    let even = focal_length * field;
    let straight = 2.0 * focal_length * (field / 2.0).tan();
    let mm = format::millimetres;
    (!(even * 0.85..=straight * 1.1).contains(&stop)).then(|| {
        doubt(
            "field_stop_mm",
            format!(
                "A field of {:.0}° at {} needs a field stop of {} to {}, but {} is written here: is one of the three mistyped?",
                field.to_degrees(), mm(focal_length), mm(even), mm(straight), mm(stop)
            ),
        )
    })
}

/// Where no field stop is written, the field alone says how wide it would have to be.
fn field_against_barrel(eyepiece: &Eyepiece) -> Option<Doubt> {
    if eyepiece.field_stop().is_some() {
        return None;
    }
    let field = eyepiece.apparent_field()?.deg();
    let barrel = eyepiece.barrel()?;
    let stop = eyepiece.focal_length().mm() * field.to_radians();
    let mm = format::millimetres;
    (stop * 0.85 > barrel.largest_field_stop()).then(|| {
        doubt(
            "apparent_field_deg",
            format!(
                "A field of {field:.0}° at this focal length needs a field stop of about {}, but a {} barrel has room for {}: is the field, or the barrel, another?",
                mm(stop), mm(barrel.mm()), mm(barrel.largest_field_stop())
            ),
        )
    })
}

/// Few lenses give less relief than their focal length: about 0.7 to 0.8 of it.
fn relief_against_focal_length(eyepiece: &Eyepiece) -> Option<Doubt> {
    let relief = eyepiece.relief()?.mm();
    let column =
        if eyepiece.usable_relief().is_some() { "usable_eye_relief_mm" } else { "eye_relief_mm" };
    let focal_length = eyepiece.focal_length().mm();
    let simple = matches!(
        eyepiece.class(),
        Some(OpticalClass::TwoLens | OpticalClass::ThreeElement | OpticalClass::FourElement)
    );
    if simple && relief > focal_length * 1.05 {
        return Some(doubt(
            column,
            "With so few lenses the eye relief is less than the focal length, but more is written here: is it mistyped, or are there more lenses?",
        ));
    }
    let says = if relief > 30.0 {
        "Hardly any eyepiece has so much eye relief: was something else measured?"
    } else if relief < 2.0 {
        "An eye that near touches the glass: was something else measured?"
    } else {
        return None;
    };
    Some(doubt(column, says))
}

fn mass_of_small_thing(mass: Option<Mass>) -> Option<Doubt> {
    let grams = mass?.g();
    let says = if grams < 15.0 {
        "That is lighter than its barrel alone: were ounces or kilograms written for grams?"
    } else if grams > 2500.0 {
        "That is heavier than the heaviest ones made: is a digit too many in it?"
    } else {
        return None;
    };
    Some(doubt("mass_g", says))
}

impl Doubtful for Barlow {
    fn doubts(&self) -> Vec<Doubt> {
        let mut doubts = Vec::new();
        if self.factor.times() > 5.0 {
            doubts.push(doubt("factor", "More than five times is rare: is it mistyped?"));
        }
        doubts.extend(mass_of_small_thing(self.mass));
        doubts
    }
}

impl Doubtful for TelescopeFigures {
    fn doubts(&self) -> Vec<Doubt> {
        let mut doubts = Vec::new();
        let optics = &self.optics;
        let aperture = optics.aperture().mm();
        let ratio = optics.focal_ratio().number();
        if !(3.0..=20.0).contains(&ratio) {
            doubts.push(doubt(
                "focal_length_mm",
                format!(
                    "This makes it {}, which is rare: are aperture and focal length both right?",
                    format::focal_ratio(ratio)
                ),
            ));
        }
        let blocked = optics.obstruction().map_or(0.0, Obstruction::mm) / aperture;
        if blocked > 0.5 {
            doubts.push(doubt(
                "central_obstruction_mm",
                "More than half of the width is blocked: is this the obstruction, and not the clear rest?",
            ));
        }
        if self.tube.is_some_and(|tube| tube.mm() <= aperture) {
            doubts.push(doubt(
                "tube_outer_diameter_mm",
                "The tube is not wider than the aperture: measure it outside, at the front, before any solar filter is chosen by it.",
            ));
        }
        doubts.extend(masses(self));
        if self.eyepiece_height.max_mm().is_some_and(|mm| mm < 300.0) {
            doubts.push(doubt(
                "eyepiece_height_max_mm",
                "One would have to lie down for it: were centimetres written for millimetres?",
            ));
        }
        doubts
    }
}

fn masses(telescope: &TelescopeFigures) -> Vec<Doubt> {
    let mut doubts = Vec::new();
    let total = telescope.total_mass.map(Mass::g);
    let part = telescope.heaviest_part.map(Mass::g);
    let kilograms = "A telescope so light is rare: were kilograms written for grams?";
    if total.is_some_and(|grams| grams < 500.0) {
        doubts.push(doubt("total_mass_g", kilograms));
    }
    if part.is_some_and(|grams| grams < 200.0) {
        doubts.push(doubt("heaviest_part_mass_g", kilograms));
    }
    if let (Some(total), Some(part)) = (total, part)
        && part > total
    {
        doubts.push(doubt(
            "heaviest_part_mass_g",
            "The heaviest part weighs more than everything together: are the two swapped?",
        ));
    }
    if telescope.optics.balance_limit().is_some_and(|mass| mass.g() < 50.0) {
        doubts.push(doubt(
            "balance_limit_g",
            "Hardly any eyepiece is so light: were kilograms written for grams?",
        ));
    }
    doubts
}

impl Doubtful for FilterFigures {
    fn doubts(&self) -> Vec<Doubt> {
        let mut doubts = Vec::new();
        doubts.extend(mass_of_small_thing(self.mass).filter(|_| self.barrel.is_none()));
        if self.kind != FilterKind::SolarFullAperture {
            return doubts;
        }
        if self.fits_telescope.is_none() {
            doubts.push(doubt(
                "fits_telescope",
                "It is recorded for no telescope, so it opens no way to the Sun: write the tag of the one it was tried on.",
            ));
        }
        if self.last_light_test.is_none() {
            doubts.push(doubt(
                "last_light_test",
                "Nobody has written down a light test, so it does not count for the Sun.",
            ));
        }
        if let (Some(min), Some(max)) = (self.fits_tube.min_mm(), self.fits_tube.max_mm())
            && max - min > 20.0
        {
            doubts.push(doubt(
                "fits_outer_diameter_max_mm",
                "On the narrowest tube it would sit loose: does one cell really hold on both?",
            ));
        }
        doubts
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::read_one;
    use crate::shelf::table::read_draft;
    use crate::shelf::{Draft, Tabular};

    fn columns<T: Tabular + Doubtful>(cells: &[(&str, &str)]) -> Vec<&'static str> {
        let text = |column: &&str| {
            let given = cells.iter().rev().find(|(name, _)| name == column).map(|(_, text)| *text);
            given.unwrap_or(if matches!(*column, "asset_tag" | "name") { "x" } else { "" })
        };
        let texts = T::COLUMNS.iter().map(|column| text(column).to_owned()).collect();
        let draft: Draft<T> = read_one(T::COLUMNS, texts, read_draft).unwrap();
        draft.figures.doubts().into_iter().map(|doubt| doubt.column).collect()
    }

    #[test]
    fn a_field_stop_agrees_with_field_and_focal_length() {
        let stop = |field, focal, stop| {
            columns::<Eyepiece>(&[
                ("apparent_field_deg", field),
                ("focal_length_mm", focal),
                ("field_stop_mm", stop),
            ])
        };
        // By hand: 25 mm · 50° · π/180 = 21.8 mm; 2 · 25 mm · tan 25° = 23.3 mm.
        assert!(stop("50", "25", "21.8").is_empty());
        assert!(stop("50", "25", "23.3").is_empty());
        assert_eq!(stop("50", "25", "27"), ["field_stop_mm"]);
        assert_eq!(stop("82", "25", "21.8"), ["field_stop_mm"]);
        assert_eq!(stop("50", "25", "12.8"), ["field_stop_mm"]);
    }

    #[test]
    fn a_field_that_no_barrel_holds_is_doubted() {
        let barrel = |field, barrel| {
            columns::<Eyepiece>(&[
                ("apparent_field_deg", field),
                ("focal_length_mm", "30"),
                ("barrel_mm", barrel),
            ])
        };
        // By hand: 30 mm · 82° · π/180 = 42.9 mm; a 31.75 mm barrel holds 27.5 mm.
        assert_eq!(barrel("82", "31.75"), ["apparent_field_deg"]);
        assert!(barrel("82", "50.8").is_empty());
        assert!(barrel("50", "31.75").is_empty());
    }

    #[test]
    fn relief_beyond_the_focal_length_asks_for_more_lenses() {
        let relief = |class, relief| {
            columns::<Eyepiece>(&[
                ("focal_length_mm", "10"),
                ("eye_relief_mm", relief),
                ("optical_class", class),
            ])
        };
        assert_eq!(relief("four_element", "16"), ["eye_relief_mm"]);
        assert!(relief("four_element", "7").is_empty());
        assert!(relief("wide_field", "20").is_empty());
        assert_eq!(relief("wide_field", "55"), ["eye_relief_mm"]);
        assert_eq!(relief("wide_field", "0.5"), ["eye_relief_mm"]);
    }

    #[test]
    fn a_telescope_in_the_wrong_units_is_doubted() {
        let scope = |column, text| {
            columns::<TelescopeFigures>(&[
                ("aperture_mm", "203"),
                ("focal_length_mm", "1200"),
                (column, text),
            ])
        };
        assert!(scope("total_mass_g", "19800").is_empty());
        assert_eq!(scope("total_mass_g", "19.8"), ["total_mass_g"]);
        assert_eq!(scope("eyepiece_height_max_mm", "121"), ["eyepiece_height_max_mm"]);
        assert_eq!(scope("tube_outer_diameter_mm", "203"), ["tube_outer_diameter_mm"]);
        assert_eq!(scope("central_obstruction_mm", "151"), ["central_obstruction_mm"]);
        assert_eq!(scope("focal_length_mm", "12000"), ["focal_length_mm"]);
    }

    #[test]
    fn a_solar_filter_without_telescope_or_light_test_is_spoken_of() {
        let filter = |more: &[(&str, &str)]| {
            let mut cells = vec![("kind", "solar_full_aperture")];
            cells.extend(more);
            columns::<FilterFigures>(&cells)
        };
        assert_eq!(filter(&[]), ["fits_telescope", "last_light_test"]);
        assert!(filter(&[("fits_telescope", "T-1"), ("last_light_test", "2026-05-09")]).is_empty());
        assert!(columns::<FilterFigures>(&[("kind", "moon")]).is_empty());
    }
}
