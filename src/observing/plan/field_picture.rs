//! The circle of an eyepiece's field with the thing in it, drawn to scale, north at the top.

use crate::kit::plan::{KitGlass, Stop};
use crate::kit::sight;
use crate::sky::catalogue::Kind;
use crate::sky::tonight::Target;

/// The field's radius in units of the picture, which is 128 square.
const RADIUS: f64 = 60.0;
const MIDDLE: f64 = 64.0;

/// Nothing is drawn smaller than this.
const LEAST: f64 = 1.6;

/// What stands in the circle.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Look {
    /// A glow with a bright middle.
    Glow,
    /// A cloud with a rim.
    Cloud,
    /// Stars within an outline.
    Stars,
    /// A disc.
    Disc,
    /// Two stars.
    Pair,
}

/// A dot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dot {
    /// From the left.
    pub x: f64,
    /// From the top.
    pub y: f64,
    /// Its radius.
    pub r: f64,
}

/// The picture.
#[derive(Clone, Debug, PartialEq)]
pub struct FieldPicture {
    /// What stands in the circle.
    pub look: Look,
    /// Half the longer axis.
    pub rx: f64,
    /// Half the shorter axis.
    pub ry: f64,
    /// Turned by so many degrees, clockwise, from lying.
    pub turn: f64,
    /// Stars.
    pub dots: Vec<Dot>,
    /// Whether it is drawn larger than to scale, because nobody could see it otherwise.
    pub enlarged: bool,
}

impl FieldPicture {
    /// The picture of a stop in its view; `None` where the field or the thing's size is not known.
    #[must_use]
    pub fn of(stop: &Stop, glass: &KitGlass) -> Option<Self> {
        let field_deg = glass.glass.facts.true_field_deg?;
        let size_deg = sight::size_deg(&stop.showing)?;
        let scale = 2.0 * RADIUS / field_deg;
        let half = size_deg * scale / 2.0;
        let rx = half.clamp(LEAST, 4.0 * RADIUS);
        let enlarged = half < LEAST;
        let plain = |look| Self { look, rx, ry: rx, turn: 0.0, dots: Vec::new(), enlarged };
        let Target::Object(object) = stop.showing.target else { return Some(plain(Look::Disc)) };
        let slim = match (object.major_arcmin, object.minor_arcmin) {
            (Some(major), Some(minor)) if major > 0.0 => (minor / major).clamp(0.05, 1.0),
            _ => 1.0,
        };
        let ry = (rx * slim).max(LEAST.min(rx));
        // East is to the left where north is up, so angles from north through east turn leftwards.
        let turn = -90.0 - object.angle_deg.unwrap_or(90.0);
        let look = match object.kind {
            Kind::Galaxy | Kind::Globular => Look::Glow,
            Kind::OpenCluster | Kind::ClusterWithNebula | Kind::Asterism => Look::Stars,
            Kind::Nebula | Kind::Remnant | Kind::PlanetaryNebula => Look::Cloud,
            Kind::Double => Look::Pair,
        };
        let dots = match look {
            Look::Stars => cluster(rx, ry, turn),
            Look::Pair => pair(half),
            Look::Glow | Look::Cloud | Look::Disc => Vec::new(),
        };
        let enlarged = if look == Look::Pair { half < PAIR_LEAST } else { enlarged };
        Some(Self { look, rx, ry, turn, dots, enlarged })
    }
}

/// Half of the least distance at which two dots are two.
const PAIR_LEAST: f64 = 3.5;

fn pair(half: f64) -> Vec<Dot> {
    let half = half.clamp(PAIR_LEAST, RADIUS * 0.8);
    vec![Dot { x: MIDDLE - half, y: MIDDLE, r: 2.4 }, Dot { x: MIDDLE + half, y: MIDDLE, r: 1.7 }]
}

/// Stars spread evenly over an ellipse, the same each time: a sunflower's spiral.
fn cluster(rx: f64, ry: f64, turn: f64) -> Vec<Dot> {
    const STARS: u32 = 22;
    const GOLDEN_DEG: f64 = 137.507_764;
    let (sin, cos) = turn.to_radians().sin_cos();
    (0..STARS)
        .map(|at| {
            let out = ((f64::from(at) + 0.5) / f64::from(STARS)).sqrt();
            let angle = (f64::from(at) * GOLDEN_DEG).to_radians();
            let (x, y) = (rx * out * angle.cos(), ry * out * angle.sin());
            Dot {
                x: MIDDLE + x * cos - y * sin,
                y: MIDDLE + x * sin + y * cos,
                r: if at % 5 == 0 { 1.7 } else { 1.1 },
            }
        })
        .filter(|dot| (dot.x - MIDDLE).hypot(dot.y - MIDDLE) < RADIUS - 1.0)
        .collect()
}
