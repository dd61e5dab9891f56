//! The drawing of a site's skyline: what one sees turning once around, from north through east.

use crate::sky::Horizon;

/// One degree of azimuth is one unit across; of altitude, this many upwards.
const UNITS_PER_DEG: f64 = 1.25;

/// The ground line, in units from the top.
const GROUND: f64 = 116.0;

/// A skyline as a page draws it, 360 by 140 units.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Skyline {
    /// The edge of what stands in the way, with the ground under it.
    pub path: String,
    /// The same in words.
    pub words: String,
}

impl Skyline {
    /// The drawing.
    #[must_use]
    pub fn of(horizon: &Horizon) -> Self {
        use std::fmt::Write as _;
        let around = horizon.around_deg();
        let mut path = String::from("M0 140");
        for (at, deg) in around.iter().chain(around.first()).enumerate() {
            // Writing to a String cannot fail.
            let _ = write!(path, "L{} {:.1}", at * 45, GROUND - deg * UNITS_PER_DEG);
        }
        path.push_str("L360 140Z");
        Self { path, words: words(&around) }
    }
}

/// Lower than this, nobody minds, degrees.
const WORTH_A_WORD: f64 = 5.0;

/// "Open all around.", or where it is not.
fn words(around: &[f64; 8]) -> String {
    let hidden: Vec<String> = Horizon::DIRECTIONS
        .iter()
        .zip(around)
        .filter(|(_, deg)| **deg >= WORTH_A_WORD)
        .map(|(name, deg)| format!("{deg:.0}° in the {name}"))
        .collect();
    match hidden.as_slice() {
        [] => "Open all around.".into(),
        some => format!("Hidden up to {}.", crate::web::format::list(some)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::Skyline as Deg;

    #[test]
    fn what_stands_in_the_way_is_drawn_and_said() {
        assert_eq!(Skyline::of(&Horizon::LEVEL).words, "Open all around.");
        let mut around = [Deg::new(0.0).unwrap(); 8];
        around[2] = Deg::new(20.0).unwrap();
        around[4] = Deg::new(8.0).unwrap();
        let drawn = Skyline::of(&Horizon::new(around));
        assert_eq!(drawn.words, "Hidden up to 20° in the east and 8° in the south.");
        assert!(drawn.path.starts_with("M0 140L0 116.0") && drawn.path.contains("L90 91.0"));
    }
}
