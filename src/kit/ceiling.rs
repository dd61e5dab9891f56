//! How much a kit in one telescope could be worth at the very most: what decides which telescopes
//! are worth opening.
//!
//! The axis of the exit pupil is cut into narrow stretches. In each, the best conceivable eyepiece
//! of the shelf (its widest field, its longest relief) meets the rules that no eyepiece can get
//! round there: beams too thin or too wide for this eye, powers beyond the ceiling, facts that are
//! missing on the telescope. Each purpose then takes its best stretch. Every term is the largest
//! that the worth itself could have there, so no kit exceeds the sum; the tests hold it to that.

use super::bench::Bench;
use super::choose::LANES;
use super::purpose::{KINDS, Kind};
use super::worth::{INVERSE_REACH_SQUARED, LEAST, PER_COMPROMISE, Scale, WORTH_ROUNDING};
use crate::eye::light::WIDEST_EXIT_PUPIL_MM;
use crate::eye::{Glasses, Light, ReliefReason};
use crate::optics::{Barrel, ExitPupil, Eyepiece, ObstructionRatio, SIDEREAL_RATE_ARCSEC_PER_S};

/// Stretches that the axis of the exit pupil is cut into.
const STRETCHES: i32 = 96;

/// Beams wider than this serve no purpose: 2½ times the widest ideal, mm.
const WIDEST_USEFUL_BEAM_MM: f64 = 16.0;

/// The best that a shelf's eyepieces offer, each number by itself.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Finest {
    /// Widest field at the focus, by barrel and for unknown barrels, mm.
    field_mm: [f32; 4],
    /// Widest apparent field, as the field's width over the focal length, degrees.
    apparent_deg: f32,
    /// Longest eye relief, mm.
    relief_mm: f64,
    /// Whether some eyepiece's relief is not known; it is then never too short.
    relief_unknown: bool,
}

impl Finest {
    /// Takes an eyepiece's numbers in.
    pub(crate) fn note(&mut self, eyepiece: &Eyepiece, field_mm: f32) {
        let place = eyepiece.barrel().map_or(3, |barrel| barrel as usize);
        self.field_mm[place] = self.field_mm[place].max(field_mm);
        let apparent = field_mm / eyepiece.focal_length().mm() as f32 * 57.295_78;
        // A hair more, so that rounding never decides.
        self.apparent_deg = self.apparent_deg.max(apparent * 1.000_01);
        match eyepiece.relief() {
            Some(relief) => self.relief_mm = self.relief_mm.max(relief.mm()),
            None => self.relief_unknown = true,
        }
    }

    fn field_in(&self, focuser: Option<Barrel>) -> f32 {
        let mut widest = self.field_mm[3];
        for barrel in Barrel::ALL {
            if focuser.is_none_or(|into| barrel.fits_into(into)) {
                widest = widest.max(self.field_mm[barrel as usize]);
            }
        }
        widest
    }

    /// The best comfort from one end of a stretch to the other, and whether it is a compromise for
    /// sure; none where no eyepiece is long enough.
    fn comfort(&self, bench: &Bench<'_>, thin_mm: f64, wide_mm: f64) -> Option<(f32, bool)> {
        let mut best: Option<(f32, bool)> = self.relief_unknown.then_some((0.7, true));
        for beam in [thin_mm, wide_mm] {
            let need = bench.relief.at(beam);
            if self.relief_mm < need.floor.mm() {
                continue;
            }
            let suits = self.relief_mm >= need.comfortable.mm();
            let hidden = bench.relief.hidden_below_mm;
            let blurred = need.reason == ReliefReason::BareEye && hidden > 0.0 && thin_mm > hidden;
            let unsure = bench.relief.glasses == Glasses::NotKnown
                && !matches!(need.reason, ReliefReason::CylinderHidden { .. });
            let sure = !suits || blurred || unsure;
            best = Some(match best {
                Some((_, known)) => (1.0, known && sure),
                None => (1.0, sure),
            });
        }
        best
    }
}

/// No kit in this telescope is worth more than this, in units of 2⁻³⁰.
pub(crate) fn highest(scale: &Scale, bench: &Bench<'_>, finest: &Finest) -> i64 {
    let aperture = bench.telescope.aperture().mm();
    let widest_deg =
        finest.field_in(bench.telescope.focuser()) / scale.focal_length_mm * 57.295_78 * 1.000_01;
    let thinnest = bench.settings.thinnest_beam_mm;
    let step = (WIDEST_USEFUL_BEAM_MM / thinnest).powf(1.0 / f64::from(STRETCHES));
    let mut best = [0.0_f32; LANES];
    for stretch in 0..STRETCHES {
        let thin = thinnest * step.powi(stretch);
        let wide = thin * step * 1.000_000_1;
        let Some(base) = base(bench, finest, thin, wide) else { continue };
        let field_deg = (finest.apparent_deg * (wide / aperture) as f32).min(widest_deg);
        let drift = if scale.tracks {
            1.0
        } else {
            let seconds = field_deg * (3600.0 / SIDEREAL_RATE_ARCSEC_PER_S as f32);
            seconds / (seconds + 30.0)
        };
        let mut quality = [base; KINDS];
        quality[Kind::Sweep as usize] *= field_deg / (field_deg + 1.0);
        quality[Kind::Detail as usize] *= drift;
        quality[Kind::Sharp as usize] *= drift;
        let (ln_thin, ln_wide) = (thin.ln() as f32, wide.ln() as f32);
        for (lane, best) in best.iter_mut().enumerate() {
            let ideal = scale.ln_ideal[lane];
            let off = (ln_thin - ideal).max(ideal - ln_wide).max(0.0);
            let near = (1.0 - off * off * INVERSE_REACH_SQUARED).max(0.0);
            let fit = (field_deg * scale.fit[lane]).min(1.0);
            let kind = usize::from(scale.kinds[lane]) % KINDS;
            let worth = (near * near) * (fit * fit) * (scale.by_kind[kind] * quality[kind]);
            *best = best.max(worth);
        }
    }
    let mut sum = 0;
    for (best, weight) in best.iter().zip(scale.weights) {
        let worth = LEAST + (1.0 - LEAST) * best;
        // A few units up cover the rounding of every term.
        let units = i64::from((worth * WORTH_ROUNDING) as i32) + 8;
        sum += units * i64::from(weight);
    }
    sum
}

/// The best of comfort, compromises and light from `thin` to `wide`; none where every view is
/// forbidden.
fn base(bench: &Bench<'_>, finest: &Finest, thin: f64, wide: f64) -> Option<f32> {
    let aperture = bench.telescope.aperture().mm();
    let settings = bench.settings;
    let typical = bench.pupil.typical.mm();
    let mut compromises = 0;
    // Power falls as the beam widens, so the wide end is the gentlest.
    let power = aperture / wide;
    if power > bench.power_ceiling() {
        return None;
    }
    compromises += usize::from(power > bench.comfortable_power_ceiling());
    let easy = bench.easy_beam_mm.unwrap_or((0.0, f64::INFINITY));
    compromises += usize::from(wide < settings.thin_beam_mm || wide < easy.0);
    let obstruction = bench.obstruction.unwrap_or(ObstructionRatio::CLEAR);
    let share = obstruction.fraction() * thin / typical;
    if share > settings.shadow_last_share
        || (obstruction.fraction() > 0.0 && thin > WIDEST_EXIT_PUPIL_MM)
    {
        return None;
    }
    let wide_beam = thin > typical || thin > easy.1 || share > settings.shadow_noticed_share;
    let unsure = bench.obstruction.is_none() || !bench.pupil_known;
    compromises += usize::from(wide_beam || unsure);
    compromises += usize::from(bench.telescope.focuser().is_none());
    let (comfort, tight) = finest.comfort(bench, thin, wide)?;
    compromises += usize::from(tight);
    if bench.sun_is_blocked() {
        return None;
    }
    let beam = ExitPupil::computed(thin);
    let light =
        Light::at(bench.telescope.aperture(), beam, bench.pupil.typical, obstruction).loss();
    let kept = PER_COMPROMISE[compromises.min(PER_COMPROMISE.len() - 1)];
    Some(comfort * kept * (1.0 - light as f32))
}
