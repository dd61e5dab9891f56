//! How far today's shelf reaches: the powers that an observer gets comfortably in a telescope.

use crate::kit::bench::Bench;
use crate::kit::rules::Standing;
use crate::kit::{Question, Settings, ShelfTelescope};
use crate::optics::{Barlow, Eyepiece, View};

/// The exit pupils between which reach is looked at, mm: from the widest that any eye is given to
/// the thinnest that suits.
pub const WIDEST_MM: f64 = 7.0;
/// See [`WIDEST_MM`].
pub const THINNEST_MM: f64 = 0.6;

/// Steps between the two, equal in power's logarithm: each a ninth more power than the last.
pub const STEPS: usize = 24;

/// What one class of observers gets in one telescope.
#[derive(Debug, Clone, PartialEq)]
pub struct Reach {
    /// By step, from the widest beam: whether a view that suits lies within a step of it.
    pub comfortable: [bool; STEPS],
    /// The lowest useful power.
    pub floor: f64,
    /// The lowest power of a view that suits.
    pub lowest: Option<f64>,
    /// Whether any view that may be used has eye relief enough.
    pub relief_suffices: bool,
    /// Whether any view may be used.
    pub any: bool,
}

impl Reach {
    /// What one gets who may choose between two; the floor is that of the first.
    #[must_use]
    pub fn or(mut self, other: &Self) -> Self {
        for (one, also) in self.comfortable.iter_mut().zip(other.comfortable) {
            *one |= also;
        }
        self.lowest = match (self.lowest, other.lowest) {
            (Some(one), Some(other)) => Some(one.min(other)),
            (one, other) => one.or(other),
        };
        self.relief_suffices |= other.relief_suffices;
        self.any |= other.any;
        self
    }
}

/// The exit pupil in the middle of a step, mm.
#[must_use]
pub fn beam_mm(step: usize) -> f64 {
    let share = (step as f64 + 0.5) / STEPS as f64;
    WIDEST_MM * (THINNEST_MM / WIDEST_MM).powf(share)
}

/// Looks at every view.
#[must_use]
pub fn reach(
    telescope: &ShelfTelescope,
    question: &Question,
    settings: &Settings,
    eyepieces: &[Eyepiece],
    barlows: &[Barlow],
) -> Reach {
    let bench = Bench::new(&telescope.spec, telescope.sun_filter, question, settings);
    let mut reach = Reach {
        comfortable: [false; STEPS],
        floor: bench.power_floor(),
        lowest: None,
        relief_suffices: false,
        any: false,
    };
    for barlow in std::iter::once(None).chain(barlows.iter().map(Some)) {
        for eyepiece in eyepieces {
            let Some(screen) = bench.screen(eyepiece, barlow) else { continue };
            reach.any = true;
            let view = View::of(&telescope.spec, eyepiece, barlow);
            let beam = view.exit_pupil().mm();
            let relief = bench.relief.judge(beam, eyepiece).standing;
            reach.relief_suffices |= relief == Standing::Suits;
            if screen.compromises > 0 {
                continue;
            }
            let power = view.magnification().times();
            reach.lowest = Some(reach.lowest.map_or(power, |lowest: f64| lowest.min(power)));
            for (step, comfortable) in reach.comfortable.iter_mut().enumerate() {
                let ratio = (WIDEST_MM / THINNEST_MM).ln() / STEPS as f64;
                *comfortable |= (beam / beam_mm(step)).ln().abs() <= ratio;
            }
        }
    }
    reach
}
