//! The ideal next eyepiece: a grid of specifications, each weighed as if it were bought alone.

use super::rows::{Lowest, Rows};
use super::{Demand, Glassware, Offer, Stock, Terms};
use crate::kit::Settings;
use crate::optics::{
    ApparentField, Barrel, EyeRelief, Eyepiece, EyepieceFocalLength, EyepieceSpec, OpticalClass,
};

/// Focal lengths tried, mm: steps of about a tenth, on the sizes such things are made in.
const FOCAL_LENGTHS_MM: [f64; 22] = [
    3.5, 4.0, 4.5, 5.0, 5.5, 6.0, 7.0, 8.0, 9.0, 10.0, 11.0, 12.5, 14.0, 15.5, 17.5, 20.0, 22.0,
    24.0, 27.0, 31.0, 35.0, 40.0,
];

/// Apparent fields tried, degrees.
const FIELDS_DEG: [f64; 4] = [50.0, 60.0, 70.0, 82.0];

/// Eye reliefs tried, mm: short, the comfortable limit of the bare eye, and that of glasses.
const RELIEFS_MM: [f64; 3] = [12.0, 16.0, 20.0];

/// The share of the best gain at which a specification still serves.
const SERVES: f64 = 0.9;

/// A range of specifications that would serve.
#[derive(Debug, Clone, PartialEq)]
pub struct Ideal {
    /// Shortest and longest focal length, mm.
    pub focal_length_mm: (f64, f64),
    /// The focal length that gains most.
    pub best_focal_length_mm: f64,
    /// The least apparent field, degrees.
    pub field_deg: f64,
    /// The least eye relief, mm.
    pub relief_mm: f64,
    /// The barrels in which it serves.
    pub barrels: Vec<Barrel>,
    /// What the best specification adds to the value of all wants together.
    pub gain: i64,
}

/// One specification of the grid with what it would add.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tried {
    /// The specification.
    pub eyepiece: Eyepiece,
    /// What it would add to the value of all wants together.
    pub gain: i64,
}

/// Every specification of the grid that can be made: its field stop passes its barrel.
#[must_use]
pub fn grid() -> Vec<Eyepiece> {
    let mut grid = Vec::new();
    for barrel in [Barrel::Standard, Barrel::Wide] {
        for mm in FOCAL_LENGTHS_MM {
            for deg in FIELDS_DEG {
                let stop = mm * deg.to_radians();
                // In the wide barrel only what the narrow one would not pass.
                let narrow = stop <= Barrel::Standard.largest_field_stop();
                if narrow != (barrel == Barrel::Standard) || stop > barrel.largest_field_stop() {
                    continue;
                }
                for relief in RELIEFS_MM {
                    let Ok(focal_length) = EyepieceFocalLength::new(mm) else { continue };
                    let spec = EyepieceSpec {
                        apparent_field: ApparentField::new(deg).ok(),
                        eye_relief: EyeRelief::new(relief).ok(),
                        barrel: Some(barrel),
                        class: Some(OpticalClass::WideField),
                        ..EyepieceSpec::new(focal_length)
                    };
                    grid.extend(Eyepiece::new(spec));
                }
            }
        }
    }
    grid
}

/// Weighs every specification of the grid, each alone beside what is owned, best first; none where
/// `go_on` says no.
pub fn tried(
    owned: &[Glassware],
    demand: &Demand<'_>,
    settings: &Settings,
    terms: Terms,
    go_on: &mut dyn FnMut(usize, usize) -> bool,
) -> Option<Vec<Tried>> {
    let grid = grid();
    let offers: Vec<Offer> = grid
        .iter()
        .map(|eyepiece| Offer { glass: Glassware::Eyepiece(*eyepiece), price: 1, most: 1 })
        .collect();
    let stock = Stock::new(owned, &offers, &[]);
    let steps = demand.wants.len() + grid.len();
    let mut rows =
        Rows::build(stock, demand, settings, terms, Lowest::NothingTaken, &mut |done| {
            go_on(done, steps)
        })?;
    let nothing = rows.stock().least();
    let before = rows.value(&nothing);
    let mut tried = Vec::new();
    for at in 0..nothing.len() {
        let mut with = nothing.clone();
        with[at] = 1;
        let mut go_on = || go_on(demand.wants.len() + at, steps);
        if !go_on() || !rows.prepare(&with, &mut go_on) {
            return None;
        }
        let gain = rows.value(&with) - before;
        if let Glassware::Eyepiece(eyepiece) = rows.stock().groups[rows.stock().open[at]].glass {
            tried.push(Tried { eyepiece, gain });
        }
    }
    tried.sort_by(|one, other| other.gain.cmp(&one.gain).then(one.eyepiece.cmp(&other.eyepiece)));
    Some(tried)
}

/// The ranges around the best specification that serve nearly as well; none where nothing would.
#[must_use]
pub fn range(tried: &[Tried]) -> Option<Ideal> {
    let best = tried.first().filter(|best| best.gain > 0)?;
    let bar = (best.gain as f64 * SERVES) as i64;
    let spec = best.eyepiece.spec();
    let field = |eyepiece: &Eyepiece| eyepiece.apparent_field().map_or(0.0, ApparentField::deg);
    let relief = |eyepiece: &Eyepiece| eyepiece.relief().map_or(0.0, EyeRelief::mm);
    let serves: Vec<&Tried> = tried.iter().filter(|one| one.gain >= bar).collect();
    // Field and relief: the least with which the best focal length still serves.
    let length = best.eyepiece.focal_length().mm();
    let same = |one: &&&Tried| (one.eyepiece.focal_length().mm() - length).abs() < 1e-9;
    let least = |of: &dyn Fn(&Eyepiece) -> f64, from: &[&Tried]| {
        from.iter().map(|one| of(&one.eyepiece)).fold(f64::INFINITY, f64::min)
    };
    let here: Vec<&Tried> = serves.iter().filter(same).copied().collect();
    let relief_mm = least(&relief, &here);
    let eased: Vec<&Tried> =
        here.iter().filter(|one| relief(&one.eyepiece) <= relief_mm).copied().collect();
    let field_deg = least(&field, &eased);
    // Focal lengths: neighbours without a gap at no less field and relief.
    let good = |mm: f64| {
        serves.iter().any(|one| {
            (one.eyepiece.focal_length().mm() - mm).abs() < 1e-9
                && field(&one.eyepiece) >= field_deg
                && relief(&one.eyepiece) >= relief_mm
        })
    };
    let at = FOCAL_LENGTHS_MM.iter().position(|mm| (mm - length).abs() < 1e-9)?;
    let shortest = (0..=at).rev().take_while(|at| good(FOCAL_LENGTHS_MM[*at])).last()?;
    let longest =
        (at..FOCAL_LENGTHS_MM.len()).take_while(|at| good(FOCAL_LENGTHS_MM[*at])).last()?;
    let mut barrels: Vec<Barrel> = here.iter().filter_map(|one| one.eyepiece.barrel()).collect();
    barrels.sort_unstable();
    barrels.dedup();
    if barrels.is_empty() {
        barrels.extend(spec.barrel);
    }
    Some(Ideal {
        focal_length_mm: (FOCAL_LENGTHS_MM[shortest], FOCAL_LENGTHS_MM[longest]),
        best_focal_length_mm: length,
        field_deg,
        relief_mm,
        barrels,
        gain: best.gain,
    })
}
