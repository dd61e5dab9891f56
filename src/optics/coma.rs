//! Coma: the flare that a parabolic mirror gives to stars away from the middle.
//!
//! Third-order theory: at the field angle θ the tangential blur of a paraboloid of focal ratio N
//! is `3θ / (16 N²)`. An eyepiece magnifies the blur by as much as it narrows the sky it shows, so
//! at the edge of an apparent field A the eye sees `3 (A/2) / (16 N²)` at every magnification.
//! N is the mirror's own focal ratio: a Barlow behind the mirror changes nothing.

use super::{ApparentField, FocalRatio, computed::computed, quantity::Wavelength};

/// The blur at which coma begins to show, in arcminutes as the eye sees them; common practice,
/// no source.
pub const VISIBLE_COMA_ARCMIN: f64 = 5.0;

computed! {
    /// The length of a star's comatic flare as the eye sees it through the eyepiece.
    Coma, arcmin, "arcminutes of apparent angle"
}

/// The flare of a star at the edge of the apparent field, for a paraboloid.
///
/// `mirror` is the focal ratio of the mirror itself, without a Barlow. Only ask for a telescope
/// whose [`Layout::is_paraboloid`](super::Layout::is_paraboloid).
pub fn coma_at_edge(mirror: FocalRatio, apparent: ApparentField) -> Coma {
    let half_field_arcmin = apparent.deg() / 2.0 * 60.0;
    Coma::computed(3.0 * half_field_arcmin / (16.0 * mirror.number().powi(2)))
}

/// The share of the field's diameter, 0 to 1, inside which coma does not show
/// ([`VISIBLE_COMA_ARCMIN`]).
pub fn coma_free_share(mirror: FocalRatio, apparent: ApparentField) -> f64 {
    // Coma grows in proportion to the distance from the middle.
    (VISIBLE_COMA_ARCMIN / coma_at_edge(mirror, apparent).arcmin()).min(1.0)
}

/// The diameter, in mm in the focal plane, of the field in which a paraboloid's coma stays under
/// Maréchal's limit of a fourteenth of a wave RMS.
///
/// The tangential blur `3θ/16N²` belongs to a wavefront `W ρ³ cos φ` with `W = θ D / 32 N²`.
/// Balanced by tilt, its RMS is `W / 6√2`. Setting that to λ/14 and turning the angle into a
/// diameter gives `64 · 6√2 · (λ/14) · N³`.
pub fn diffraction_limited_field_mm(mirror: FocalRatio, wavelength: Wavelength) -> f64 {
    let wavelength_mm = wavelength.nm() * 1e-6;
    let largest_wavefront_mm = 6.0 * 2_f64.sqrt() * wavelength_mm / 14.0;
    64.0 * largest_wavefront_mm * mirror.number().powi(3)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::optics::testing::agrees;

    fn edge(number: f64, deg: f64) -> f64 {
        coma_at_edge(FocalRatio::computed(number), ApparentField::new(deg).unwrap()).arcmin()
    }

    #[test]
    fn coma_at_the_edge_grows_with_the_field_and_with_speed() {
        agrees(edge(8.0, 50.0), 4.395, 3);
        agrees(edge(5.0, 70.0), 15.75, 9);
        agrees(edge(4.0, 82.0), 28.828, 3);
        agrees(edge(5.0, 100.0), 22.5, 9);
    }

    #[test]
    fn the_clean_share_is_the_whole_field_at_most() {
        let share = |number, deg| {
            coma_free_share(FocalRatio::computed(number), ApparentField::new(deg).unwrap())
        };
        agrees(share(8.0, 50.0), 1.0, 12);
        agrees(share(5.0, 100.0), 5.0 / 22.5, 12);
    }

    #[test]
    fn the_diffraction_limited_field_grows_with_the_cube_of_the_focal_ratio() {
        let field = |number, wavelength| {
            diffraction_limited_field_mm(FocalRatio::computed(number), wavelength)
        };
        agrees(field(1.0, Wavelength::PHOTOPIC_PEAK), 0.021_528, 6);
        agrees(field(5.0, Wavelength::PHOTOPIC_PEAK), 2.691, 3);
        agrees(field(8.0, Wavelength::PHOTOPIC_PEAK), 11.02, 2);
        agrees(field(1.0, Wavelength::GREEN), 0.021_334, 6);
    }

    /// Traces light to a real paraboloid and projects the path differences onto balanced coma, a
    /// second way to the same limit that knows nothing of third-order theory.
    #[test]
    fn a_traced_paraboloid_has_a_fourteenth_of_a_wave_at_the_edge_of_that_field() {
        let (number, aperture) = (12.0, 200.0);
        let focal_length = number * aperture;
        let wavelength_mm = Wavelength::GREEN.nm() * 1e-6;
        let height =
            diffraction_limited_field_mm(FocalRatio::computed(number), Wavelength::GREEN) / 2.0;
        let angle = (height / focal_length).atan();
        let (rings, spokes) = (400_u32, 48_u32);
        let (mut projection, mut weights) = (0.0, 0.0);
        for ring in 0..rings {
            let rho = (f64::from(ring) + 0.5) / f64::from(rings);
            for spoke in 0..spokes {
                let azimuth = std::f64::consts::TAU * f64::from(spoke) / f64::from(spokes);
                let (x, y) =
                    (rho * azimuth.cos() * aperture / 2.0, rho * azimuth.sin() * aperture / 2.0);
                let z = (x * x + y * y) / (4.0 * focal_length);
                let inward = angle.sin() * x - angle.cos() * z;
                let outward = ((x - height).powi(2) + y * y + (z - focal_length).powi(2)).sqrt();
                // The path of the middle ray is taken off first to keep the digits.
                let path = inward + outward - focal_length.hypot(height);
                let coma = 8_f64.sqrt() * (3.0 * rho.powi(3) - 2.0 * rho) * azimuth.cos();
                projection += rho * path * coma;
                weights += rho;
            }
        }
        let waves = (projection / weights).abs() / wavelength_mm;
        assert!((waves * 14.0 - 1.0).abs() < 1e-3, "{waves} waves");
    }
}
