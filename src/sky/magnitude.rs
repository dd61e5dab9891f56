//! How bright the Sun, the Moon and the planets look from outside the air.

use super::body::Body;
use super::vector::{Vector, angle};

/// How a body is lit and seen.
#[derive(Debug, Clone, Copy)]
pub(super) struct Lit {
    /// From the Sun to the body, au, axes of J2000.
    pub from_sun: Vector,
    /// From the observer to the body, au, same axes.
    pub from_us: Vector,
    /// Calendar year with its fraction.
    pub year: f64,
}

impl Lit {
    /// Sun–body–observer, degrees.
    pub(super) fn phase_angle_deg(&self) -> f64 {
        angle(self.from_sun, self.from_us).to_degrees()
    }

    /// The lit share of the disc: (1 + cos phase angle) / 2.
    pub(super) fn illuminated_fraction(&self) -> f64 {
        f64::midpoint(1.0, self.phase_angle_deg().to_radians().cos())
    }

    /// How far the observer and the Sun stand above the body's equator, degrees, for a pole given
    /// in the axes of J2000.
    fn tilts_deg(&self, pole: Vector) -> (f64, f64) {
        let above = |seen: Vector| angle(pole, seen).to_degrees() - 90.0;
        (above(self.from_sun), above(self.from_us))
    }
}

/// V magnitude. Planets by Mallama & Hilton 2018 (Astronomy and Computing 25, 10; arXiv
/// 1808.01973), without the rotation of Mars (±0.06); `None` where the paper gives no formula:
/// Saturn at phase angles that the Earth never sees, Neptune's before 2000 beyond 1.9°.
pub(super) fn magnitude(body: Body, lit: &Lit) -> Option<f64> {
    let length = super::vector::length;
    let (r, delta) = (length(lit.from_sun), length(lit.from_us));
    let phase = lit.phase_angle_deg();
    let distance = 5.0 * (r * delta).log10();
    let at_unit = match body {
        // Willmer 2018 (ApJS 236, 47): V −26.76 at 1 au.
        Body::Sun => return Some(-26.76 + 5.0 * delta.log10()),
        Body::Moon => return Some(moon(r, delta, phase)),
        Body::Mercury => polynomial(
            phase,
            &[-0.613, 6.3280e-2, -1.6336e-3, 3.3644e-5, -3.4265e-7, 1.6893e-9, -3.0334e-12],
        ),
        Body::Venus if phase < 163.7 => {
            polynomial(phase, &[-4.384, -1.044e-3, 3.687e-4, -2.814e-6, 8.938e-9])
        }
        Body::Venus => polynomial(phase, &[236.058_28, -2.819_14, 8.390_34e-3]),
        Body::Mars if phase <= 50.0 => polynomial(phase, &[-1.601, 2.267e-2, -1.302e-4]),
        Body::Mars => polynomial(phase, &[-0.367, -0.025_73, 3.445e-4]),
        Body::Jupiter if phase <= 12.0 => polynomial(phase, &[-9.395, -3.7e-4, 6.16e-4]),
        Body::Jupiter => {
            let lost = polynomial(phase / 180.0, &[1.0, -1.507, -0.363, -0.062, 2.809, -1.876]);
            -9.428 - 2.5 * lost.log10()
        }
        Body::Saturn => saturn(lit, phase)?,
        Body::Uranus => {
            let (sun, us) = lit.tilts_deg([-0.211_999_58, -0.941_559_16, -0.261_768_09]);
            let tilt = f64::midpoint(sun.abs(), us.abs());
            let beyond =
                if phase > 3.1 { polynomial(phase, &[0.0, 6.587e-3, 1.045e-4]) } else { 0.0 };
            -7.110 - 0.000_84 * tilt + beyond
        }
        Body::Neptune => {
            let bright = (-6.89 - 0.0054 * (lit.year - 1980.0)).clamp(-7.00, -6.89);
            if phase <= 1.9 {
                bright
            } else if lit.year >= 2000.0 {
                bright + polynomial(phase, &[0.0, 7.944e-3, 9.617e-5])
            } else {
                return None;
            }
        }
    };
    Some(at_unit + distance)
}

/// Globe and rings, equation 10.
fn saturn(lit: &Lit, phase: f64) -> Option<f64> {
    let (sun, us) = lit.tilts_deg([0.085_478_83, 0.073_235_76, 0.993_644_75]);
    // Where Sun and observer stand on different sides, the rings show their dark face.
    let tilt = if sun * us > 0.0 { (sun * us).sqrt() } else { 0.0 };
    if phase > 6.5 || tilt > 27.0 {
        return None;
    }
    let open = tilt.to_radians().sin();
    Some(-8.914 - 1.825 * open + 0.026 * phase - 0.378 * open * (-2.25 * phase).exp())
}

/// Krisciunas & Schaefer 1991 (PASP 103, 1033), equation 9 with its magnitude at mean distance,
/// −12.73, which their text takes from Allen; scaled by both distances.
fn moon(r: f64, delta: f64, phase: f64) -> f64 {
    const MEAN_DISTANCE_AU: f64 = 384_400.0 / super::frame::AU_KM;
    -12.73 + 0.026 * phase + 4e-9 * phase.powi(4) + 5.0 * (r * delta / MEAN_DISTANCE_AU).log10()
}

/// Coefficients from the constant upwards.
fn polynomial(x: f64, coefficients: &[f64]) -> f64 {
    coefficients.iter().rev().fold(0.0, |sum, coefficient| sum * x + coefficient)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A body at r from the Sun and Δ from us with this phase angle.
    fn lit(r: f64, delta: f64, phase_deg: f64) -> Lit {
        let (sin, cos) = phase_deg.to_radians().sin_cos();
        Lit { from_sun: [r, 0.0, 0.0], from_us: [delta * cos, delta * sin, 0.0], year: 2020.0 }
    }

    /// Test cases published with Mallama & Hilton's program (its table of outputs), from memory:
    /// Mercury −2.477 at r 0.310295, Δ 1.320, phase 1.1677°; Venus −3.917; Jupiter −2.934 at
    /// r 4.9708, Δ 3.995, phase 0.4°.
    #[test]
    fn planets_are_as_bright_as_published() {
        let mercury = magnitude(Body::Mercury, &lit(0.310_295_423_552, 1.321_826_432_476, 1.1677));
        assert!((mercury.unwrap() + 2.477).abs() < 0.002, "{mercury:?}");
        let jupiter = magnitude(Body::Jupiter, &lit(4.957_681_473, 3.953_393_9, 0.42));
        assert!((jupiter.unwrap() + 2.934).abs() < 0.01, "{jupiter:?}");
    }

    #[test]
    fn the_full_moon_outshines_the_quarter_by_two_and_a_half_magnitudes() {
        let distance = 384_400.0 / super::super::frame::AU_KM;
        let full = magnitude(Body::Moon, &lit(1.0, distance, 0.0)).unwrap();
        let quarter = magnitude(Body::Moon, &lit(1.0, distance, 90.0)).unwrap();
        assert!((full + 12.73).abs() < 1e-9);
        assert!((quarter - full - 2.6024).abs() < 1e-3);
    }

    #[test]
    fn half_a_disc_is_lit_at_right_angles() {
        assert!((lit(1.0, 1.0, 90.0).illuminated_fraction() - 0.5).abs() < 1e-12);
        assert!((lit(1.0, 1.0, 0.0).illuminated_fraction() - 1.0).abs() < 1e-12);
    }
}
