//! How faint an eye at an eyepiece sees.
//!
//! Crumey 2014, "Human contrast threshold and astronomical visibility" (MNRAS 442, 2600): a fit to
//! Blackwell's laboratory data of 1946, carried to the eyepiece. A telescope dims sky and object
//! alike by the square of the beam's width over the pupil's, so contrast stays; it magnifies the
//! object, and the eye needs less contrast for what is larger.

/// Scotopic constants of point and of endless targets: equations 26 and 37.
const POINT: [f64; 2] = [6.505e-4, -8.461e-4];
const ENDLESS: [f64; 2] = [7.633e-3, -7.174e-3];

/// Joins the two under dark skies: equation 42.
const JOIN: f64 = 0.6;

/// Illuminance of a star of V magnitude 0, lux: Cox 1999, as the paper uses it.
const ZERO_MAGNITUDE_LUX: f64 = 2.54e-6;

/// Backgrounds under this are no darker to the eye, cd/m²: section 2.4.
const NO_DARKER: f64 = 1e-5;

/// The scotopic fit holds to here, cd/m²: beyond, the background counts as this bright, which is
/// that of a sky of magnitude 16.7 and never met at an eyepiece at night.
const NO_BRIGHTER: f64 = 0.0218;

/// How much more light an observer in the field needs than one in the laboratory: typical, section
/// 1.2; experts reach 1.4.
pub const TYPICAL_OBSERVER: f64 = 2.0;

/// The eye and what stands before it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Eyepiece {
    /// Aperture that the eye's pupil admits, mm.
    pub effective_aperture_mm: f64,
    /// Width of the beam, mm.
    pub exit_pupil_mm: f64,
    /// The eye's pupil, mm.
    pub eye_pupil_mm: f64,
    /// Power.
    pub magnification: f64,
    /// The share of the light that glass and mirrors let pass.
    pub transmission: f64,
    /// The observer's factor: [`TYPICAL_OBSERVER`].
    pub observer: f64,
}

/// cd/m² of a brightness in V magnitudes per square arcsecond: section 1.3.
fn luminance(brightness: f64) -> f64 {
    10_f64.powf(-0.4 * (brightness - 12.58))
}

/// The faintest star the bare eye sees on a sky of this brightness: equation 53.
#[must_use]
pub fn naked_eye_limit(sky: f64, observer: f64) -> f64 {
    let background = luminance(sky).clamp(NO_DARKER, NO_BRIGHTER);
    magnitude(observer * point_threshold(background))
}

/// Lux of the faintest point on a background: equation 34.
fn point_threshold(background: f64) -> f64 {
    (POINT[0] * background.powf(0.25) + POINT[1] * background.sqrt()).powi(2)
}

fn magnitude(lux: f64) -> f64 {
    -2.5 * (lux / ZERO_MAGNITUDE_LUX).log10()
}

impl Eyepiece {
    /// The bare eye, for comparison.
    #[must_use]
    pub fn none(eye_pupil_mm: f64) -> Self {
        Self {
            effective_aperture_mm: eye_pupil_mm,
            exit_pupil_mm: eye_pupil_mm,
            eye_pupil_mm,
            magnification: 1.0,
            transmission: 1.0,
            observer: TYPICAL_OBSERVER,
        }
    }

    /// How bright the sky looks through it, cd/m²: equation 66.
    fn background(&self, sky: f64) -> f64 {
        let narrowed = (self.exit_pupil_mm / self.eye_pupil_mm).min(1.0).powi(2);
        (luminance(sky) * self.transmission * narrowed).clamp(NO_DARKER, NO_BRIGHTER)
    }

    /// The faintest star on a sky of this brightness, as it would be without air: its light is
    /// gathered by the aperture and spread over the pupil, equations 68–70.
    #[must_use]
    pub fn faintest_star(&self, sky: f64, extinction: f64) -> f64 {
        let gathered = (self.effective_aperture_mm / self.eye_pupil_mm).powi(2) * self.transmission;
        let lux = self.observer * point_threshold(self.background(sky)) / gathered;
        magnitude(lux) - extinction
    }

    /// By how many magnitudes an evenly bright object of this size stands over the threshold:
    /// positive is visible. `brightness` is its own, V magnitudes per square arcsecond outside the
    /// air, `area` what it covers, square arcminutes. Equations 41 and 77.
    #[must_use]
    pub fn margin(&self, sky: f64, extinction: f64, brightness: f64, area: f64) -> f64 {
        let background = self.background(sky);
        let contrast = luminance(brightness + extinction) / luminance(sky);
        // Square arcminutes in steradians.
        let seen = area * self.magnification.powi(2) * (1.0_f64 / 60.0).to_radians().powi(2);
        let root = background.powf(-0.25);
        let point = (POINT[0] * root + POINT[1]).powi(2) / seen;
        let endless = ENDLESS[0] * root + ENDLESS[1];
        let needed = self.observer * (point.powf(JOIN) + endless.powf(JOIN)).powf(1.0 / JOIN);
        2.5 * (contrast / needed).log10()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Crumey 2014, equation 54: m₀ = 0.3834 μ − 1.4400 − 2.5 log₁₀ F for skies from 20 to 22.
    #[test]
    fn the_naked_eye_reaches_the_published_limits() {
        for sky in [20.0, 20.5, 21.0, 21.5, 22.0] {
            for observer in [1.4, 2.0, 2.4] {
                let published = 0.3834 * sky - 1.44 - 2.5 * f64::log10(observer);
                let ours = naked_eye_limit(sky, observer);
                assert!((ours - published).abs() < 0.03, "{sky} {observer}: {ours} {published}");
            }
        }
    }

    fn view(aperture: f64, magnification: f64) -> Eyepiece {
        let exit_pupil_mm = aperture / magnification;
        let eye_pupil_mm = 7.0;
        Eyepiece {
            effective_aperture_mm: aperture * (eye_pupil_mm / exit_pupil_mm).min(1.0),
            exit_pupil_mm,
            eye_pupil_mm,
            magnification,
            transmission: 0.85,
            observer: TYPICAL_OBSERVER,
        }
    }

    /// Bowen 1947 (PASP 59, 253) found with 6 inches of aperture that more power shows fainter stars,
    /// by up to two magnitudes (from memory). In Crumey's fit that ends where the eyepiece's sky is
    /// as good as black, 10⁻⁵ cd/m².
    #[test]
    fn more_power_shows_fainter_stars() {
        let limits: Vec<f64> = [22.0, 44.0, 88.0, 176.0, 300.0]
            .map(|power| view(152.4, power).faintest_star(20.8, 0.0))
            .into();
        assert!(limits[..4].windows(2).all(|two| two[1] > two[0]), "{limits:?}");
        let gain = limits[4] - limits[0];
        assert!((1.0..2.6).contains(&gain), "{gain}");
    }

    /// The round 2 + 5 log₁₀ D of the trade says 13.5 for 203 mm (common practice, no source);
    /// observers report up to a magnitude and a half more at high power (from memory).
    #[test]
    fn eight_inches_reach_what_observers_report() {
        let limit = view(203.2, 200.0).faintest_star(21.5, 0.25);
        assert!((13.0..15.2).contains(&limit), "{limit}");
    }

    #[test]
    fn a_point_and_a_tiny_disc_are_the_same_to_the_eye() {
        let eyepiece = view(203.2, 100.0);
        let limit = eyepiece.faintest_star(21.0, 0.0);
        // The light of that star spread over a thousandth of a square arcminute.
        let area: f64 = 1e-5;
        let brightness = limit + 2.5 * (area * 3600.0).log10();
        assert!(eyepiece.margin(21.0, 0.0, brightness, area).abs() < 0.06);
    }

    #[test]
    fn moonlight_and_size_decide_over_a_galaxy() {
        let eyepiece = view(203.2, 80.0);
        let dark = eyepiece.margin(21.5, 0.3, 22.5, 30.0);
        assert!(dark > 0.0, "{dark}");
        assert!(eyepiece.margin(18.5, 0.3, 22.5, 30.0) < dark - 1.5);
        assert!(eyepiece.margin(21.5, 0.3, 22.5, 3.0) < dark);
        assert!(view(406.4, 160.0).margin(21.5, 0.3, 22.5, 30.0) > dark);
    }
}
