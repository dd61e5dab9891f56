//! Worth: how well a view serves each purpose, from 0 to 1.
//!
//! The worth is a product of terms that each obey common sense (more relief is never worse, a
//! wider field is never worse, …), so their product does too:
//!
//! * the exit pupil against the ideal one, on a log axis: `(1 − (ln(x/ideal)/ln 2.5)²)²`, nothing
//!   beyond 2½ times off. Ideals beyond the eye's pupil, or thinner than the seeing shows
//!   comfortably, are drawn to those limits;
//! * the object in the field with air around it: `min(1, field/(1.4·size))²`, counting the part
//!   of the field that is not clean by half; for sweeping `field/(field + 1°)`;
//! * light for what is faint, `D/(D + 150 mm)`; resolution for what is fine,
//!   `1/(1 + (r/4″)²)` with `r² = seeing² + Rayleigh²`;
//! * drift, where the mount does not track: `t/(t + 30 s)` on the celestial equator;
//! * comfort at the eye, and 0.85 for each compromise.
//!
//! All of these shapes are our own choice; the facts in them (ideals, limits, formulas) carry
//! their sources where they are defined. An admissible view is worth at least 0.02 to everything:
//! a telescope with one poor eyepiece is still better than a telescope without any.
//!
//! Worths are rounded to 2⁻²⁰ and weights are in 2⁻¹⁰, so every sum of products is exact.

use super::bench::Bench;
use super::choose::{LANES, Worths};

use super::purpose::{KINDS, Kind, Mix};
use super::screen::Screen;
use crate::optics::{self, Barlow, Eyepiece, limits};

/// What every admissible view is worth to every purpose, at least.
pub(super) const LEAST: f32 = 0.02;

/// Worth left for each compromise.
pub(super) const PER_COMPROMISE: [f32; 10] =
    [1.0, 0.85, 0.7225, 0.614_125, 0.522_006, 0.443_705, 0.377_15, 0.320_577, 0.272_49, 0.231_617];

/// Units of worth in one.
pub(super) const WORTH_ROUNDING: f32 = 1_048_576.0;

/// Worth is rounded to this unit.
pub(crate) const WORTH_UNIT: f64 = 1.0 / (1 << 20) as f64;

/// Weighted worths and costs are in this unit.
pub(crate) const VALUE_UNIT: f64 = 1.0 / (1 << 30) as f64;

/// Field assumed where an eyepiece has neither field stop nor apparent field: that of the
/// narrowest common ones. `common practice, no source`.
const NARROW_FIELD_DEG: f64 = 30.0;

/// What worth needs of one eyepiece, worked out once for all telescopes.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Glass {
    /// Focal length, mm.
    pub(crate) focal_length_mm: f32,
    /// Natural logarithm of the focal length in mm.
    pub(crate) ln_focal_length: f32,
    /// Width of the field at the focus, mm; never more than the barrel passes.
    pub(crate) field_mm: f32,
}

impl Glass {
    pub(crate) fn of(eyepiece: &Eyepiece) -> Self {
        let focal_length = eyepiece.focal_length().mm();
        let apparent =
            eyepiece.apparent_field().map_or(NARROW_FIELD_DEG, optics::ApparentField::deg);
        let field = eyepiece
            .field_stop()
            .map_or_else(|| focal_length * apparent.to_radians(), optics::FieldStop::mm);
        let passes = eyepiece.barrel().map_or(f64::INFINITY, optics::Barrel::largest_field_stop);
        Self {
            focal_length_mm: focal_length as f32,
            ln_focal_length: focal_length.ln() as f32,
            field_mm: field.min(passes) as f32,
        }
    }
}

/// A Barlow, or none, in front of one telescope's eyepieces.
#[derive(Debug, Clone)]
pub(crate) struct Lens<'a> {
    pub(crate) barlow: Option<&'a Barlow>,
    pub(crate) factor: f32,
    pub(crate) ln_factor: f32,
    /// Focal lengths that are not out of the question behind it.
    pub(crate) focal_lengths_mm: std::ops::Range<f32>,
}

impl<'a> Lens<'a> {
    pub(crate) fn none(bench: &Bench<'_>) -> Self {
        Self {
            barlow: None,
            factor: 1.0,
            ln_factor: 0.0,
            focal_lengths_mm: bench.focal_lengths_mm(1.0),
        }
    }

    pub(crate) fn of(bench: &Bench<'_>, barlow: &'a Barlow) -> Self {
        let factor = barlow.factor.times();
        Self {
            barlow: Some(barlow),
            factor: factor as f32,
            ln_factor: factor.ln() as f32,
            focal_lengths_mm: bench.focal_lengths_mm(factor),
        }
    }
}

/// How near a beam comes to each purpose's ideal.
pub(crate) type Nearness = [f32; LANES];

/// The scale of worth for one telescope and one question.
#[derive(Debug, Clone)]
pub(crate) struct Scale {
    mix: Mix,
    pub(super) weights: [i32; LANES],
    pub(super) kinds: [u8; LANES],
    pub(super) ln_ideal: [f32; LANES],
    /// 1 / (1.4 × size) per degree; very large for points.
    pub(super) fit: [f32; LANES],
    pub(super) by_kind: [f32; KINDS],
    /// The same by lane.
    by_lane: [f32; LANES],
    /// One in the lanes that drift and field leave alone, that want a field to sweep with, that want
    /// time: no more than one of the three in each.
    still: [f32; LANES],
    sweeps: [f32; LANES],
    drifts: [f32; LANES],
    ln_focal_ratio: f32,
    pub(super) focal_length_mm: f32,
    pub(super) tracks: bool,
}

impl Scale {
    pub(crate) fn new(bench: &Bench<'_>) -> Self {
        let mix = bench.mix;
        let seeing = bench.seeing.unwrap_or(bench.settings.seeing_assumed);
        let aperture = bench.telescope.aperture().mm();
        // The beam at which the seeing disc is as large as is comfortable.
        let comfortable = bench.settings.seeing_blur_comfortable;
        let thinnest = aperture / limits::seeing_limited_power(seeing, comfortable).times();
        let widest = bench.widest_beam_mm();
        let (first_low, first_high) = bench.easy_beam_mm.unwrap_or((0.0, f64::INFINITY));
        let rayleigh =
            limits::rayleigh_limit(bench.telescope.aperture(), limits::Wavelength::GREEN).arcsec();
        let blur = (seeing.arcsec().powi(2) + rayleigh * rayleigh) / 16.0;
        let resolution = (1.0 / (1.0 + blur)) as f32;
        let light = (aperture / (aperture + 150.0)) as f32;
        let mut by_kind = [0.0; KINDS];
        by_kind[Kind::Sweep as usize] = 0.7 + 0.3 * light;
        by_kind[Kind::Wide as usize] = 0.5 + 0.5 * light;
        by_kind[Kind::Faint as usize] = light;
        by_kind[Kind::Detail as usize] = 0.5 * light + 0.5 * resolution;
        by_kind[Kind::Sharp as usize] = resolution;
        let mut scale = Self {
            mix,
            weights: [0; LANES],
            kinds: [0; LANES],
            ln_ideal: [0.0; LANES],
            fit: [0.0; LANES],
            by_kind,
            by_lane: [0.0; LANES],
            still: [0.0; LANES],
            sweeps: [0.0; LANES],
            drifts: [0.0; LANES],
            ln_focal_ratio: bench.focal_ratio.number().ln() as f32,
            focal_length_mm: bench.telescope.focal_length().mm() as f32,
            tracks: bench.tracks,
        };
        for (lane, purpose) in mix.iter().enumerate() {
            let ideal = purpose.ideal_exit_pupil_mm.max(first_low).min(first_high);
            // Where the two limits cross, the eye's own pupil decides.
            let ideal = ideal.max(thinnest).min(widest);
            scale.weights[lane] = purpose.weight.cast_signed();
            scale.kinds[lane] = purpose.kind as u8;
            scale.by_lane[lane] = by_kind[purpose.kind as usize];
            let motion = match purpose.kind {
                Kind::Wide | Kind::Faint => &mut scale.still,
                Kind::Sweep => &mut scale.sweeps,
                Kind::Detail | Kind::Sharp => &mut scale.drifts,
            };
            motion[lane] = 1.0;
            scale.ln_ideal[lane] = ideal.ln() as f32;
            scale.fit[lane] =
                if purpose.size_deg > 0.0 { (1.0 / (1.4 * purpose.size_deg)) as f32 } else { 1e9 };
        }
        scale
    }

    /// The purposes of this scale.
    pub(crate) fn mix(&self) -> &Mix {
        &self.mix
    }

    /// How near the beam comes to each purpose's ideal, 0 to 1, for a focal length in mm and a
    /// Barlow's factor, both as natural logarithms.
    pub(crate) fn nearness(&self, ln_focal_length: f32, ln_factor: f32) -> Nearness {
        let ln_beam = ln_focal_length - self.ln_focal_ratio - ln_factor;
        let mut nearness = [0.0; LANES];
        for (nearness, ideal) in nearness.iter_mut().zip(self.ln_ideal) {
            let off = ln_beam - ideal;
            let near = (1.0 - off * off * INVERSE_REACH_SQUARED).max(0.0);
            *nearness = near * near;
        }
        nearness
    }

    /// Weight times worth for each purpose, in units of 2⁻³⁰.
    #[inline]
    pub(crate) fn weigh(
        &self,
        glass: Glass,
        nearness: &Nearness,
        factor: f32,
        screen: Screen,
    ) -> Worths {
        let field_deg = glass.field_mm / (self.focal_length_mm * factor) * 57.295_78;
        let useful_deg = field_deg * (0.5 + 0.5 * screen.clean_share);
        let compromises = usize::from(screen.compromises).min(PER_COMPROMISE.len() - 1);
        let base = screen.comfort * PER_COMPROMISE[compromises] * (1.0 - screen.light_loss);
        let drift = if self.tracks {
            1.0
        } else {
            let seconds = field_deg * (3600.0 / optics::SIDEREAL_RATE_ARCSEC_PER_S as f32);
            seconds / (seconds + 30.0)
        };
        let sweep = field_deg / (field_deg + 1.0);
        let mut worths = [0; LANES];
        for lane in 0..LANES {
            let fit = (useful_deg * self.fit[lane]).min(1.0);
            let motion = self.still[lane] + self.sweeps[lane] * sweep + self.drifts[lane] * drift;
            let quality = self.by_lane[lane] * base * motion;
            let worth = LEAST + (1.0 - LEAST) * nearness[lane] * (fit * fit) * quality;
            // Adding 2²³ to a smaller float rounds it to a whole number in the low bits.
            let rounded =
                (worth * WORTH_ROUNDING + 8_388_608.0).to_bits().cast_signed() - 0x4B00_0000;
            worths[lane] = rounded * self.weights[lane];
        }
        worths
    }

    /// The worth of one purpose back from its weighted form.
    pub(crate) fn worth(&self, worths: &Worths, lane: usize) -> f64 {
        match self.weights[lane] {
            0 => 0.0,
            weight => f64::from(worths[lane] / weight) * WORTH_UNIT,
        }
    }
}

/// 1 / (ln 2.5)².
pub(super) const INVERSE_REACH_SQUARED: f32 = 1.191_059_4;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_reach_is_two_and_a_half_times() {
        let reach = 2.5_f64.ln();
        assert!((f64::from(INVERSE_REACH_SQUARED) - 1.0 / (reach * reach)).abs() < 1e-6);
    }

    #[test]
    fn each_compromise_leaves_the_same_share() {
        for (count, share) in (0_i32..).zip(PER_COMPROMISE) {
            assert!((f64::from(share) - 0.85_f64.powi(count)).abs() < 1e-6);
        }
    }
}
