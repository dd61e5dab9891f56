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
