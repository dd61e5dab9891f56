//! What the air does: extinction, and how bright the sky is.

/// Magnitudes lost in one thickness of clear air at low altitude sites; common practice, no source.
pub const EXTINCTION_PER_AIRMASS: f64 = 0.25;

/// How many thicknesses of air stand before something at an airless altitude, 1 at the zenith:
/// Kasten & Young 1989 (Applied Optics 28, 4735), 38 at the horizon and kept there below it.
#[must_use]
pub fn airmass(altitude_deg: f64) -> f64 {
    let height = altitude_deg.max(0.0);
    1.0 / (height.to_radians().sin() + 0.505_72 * (height + 6.079_95).powf(-1.6364))
}

/// Magnitudes by which something at an altitude is dimmed.
#[must_use]
pub fn extinction(altitude_deg: f64) -> f64 {
    EXTINCTION_PER_AIRMASS * airmass(altitude_deg)
}

/// The Moon as a lamp.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moonlight {
    /// Sun–Moon–Earth, degrees: 0 is full.
    pub phase_angle_deg: f64,
    /// The Moon's airless altitude, degrees.
    pub altitude_deg: f64,
    /// From the Moon to where one looks, degrees.
    pub apart_deg: f64,
}

/// Where the Sun's light in the air ends, degrees under the horizon: the end of the fit below.
const LAST_TWILIGHT_DEG: f64 = -18.0;

/// Brightness of the zenith in twilight, V magnitudes per square arcsecond, with the Sun's centre at
/// this altitude: Patat, Ugolnikov & Postylyakov 2006 (A&A 455, 385), table 1: the second-order
/// fit to measurements at Paranal in V for Sun zenith distances of 95–105°, kept level above it and followed to −18°, where it meets the dark sky.
fn twilight_zenith(sun_altitude_deg: f64) -> f64 {
    let past = (-sun_altitude_deg).clamp(5.0, -LAST_TWILIGHT_DEG) - 5.0;
    11.84 + 1.518 * past - 0.057 * past * past
}

/// A zenith of this brightness with the light of twilight added.
///
/// The zenith stands for the whole sky; near the Sun it is brighter.
#[must_use]
pub fn in_twilight(zenith: f64, sun_altitude_deg: f64) -> f64 {
    let dark = nanolamberts(twilight_zenith(LAST_TWILIGHT_DEG));
    let added = (nanolamberts(twilight_zenith(sun_altitude_deg)) - dark).max(0.0);
    magnitudes(nanolamberts(zenith) + added)
}

/// Krisciunas & Schaefer 1991, equation 1: nanolamberts of V magnitudes per square arcsecond.
fn nanolamberts(brightness: f64) -> f64 {
    34.08 * (20.7233 - 0.921_034 * brightness).exp()
}

fn magnitudes(nanolamberts: f64) -> f64 {
    (20.7233 - (nanolamberts / 34.08).ln()) / 0.921_034
}

/// Brightness of the sky at an altitude, V magnitudes per square arcsecond, for a site whose
/// moonless zenith has `zenith`, with the Moon's light added where it is up.
///
/// Moonlight by Krisciunas & Schaefer 1991 (PASP 103, 1033), equations 3 and 15–21, good to about
/// 0.2 magnitudes. The moonless sky is taken as even: towns brighten it unevenly anyway.
#[must_use]
pub fn sky_brightness(zenith: f64, altitude_deg: f64, moon: Option<Moonlight>) -> f64 {
    let Some(moon) = moon.filter(|moon| moon.altitude_deg > 0.0) else { return zenith };
    let added = moonlight_nanolamberts(altitude_deg, moon);
    magnitudes(nanolamberts(zenith) + added)
}

fn moonlight_nanolamberts(altitude_deg: f64, moon: Moonlight) -> f64 {
    let phase = moon.phase_angle_deg.abs();
    let lamp = 10_f64.powf(-0.4 * (3.84 + 0.026 * phase + 4e-9 * phase.powi(4)));
    let apart = moon.apart_deg.max(1.0);
    let rayleigh = 10_f64.powf(5.36) * (1.06 + apart.to_radians().cos().powi(2));
    let haze = if apart < 10.0 { 6.2e7 / apart.powi(2) } else { 10_f64.powf(6.15 - apart / 40.0) };
    // Their path through the scattering air, equation 3, which stays finite at the horizon.
    let path = |altitude: f64| {
        let zenith = (90.0 - altitude).to_radians();
        (1.0 - 0.96 * zenith.sin().powi(2)).powf(-0.5)
    };
    let kept = 10_f64.powf(-0.4 * EXTINCTION_PER_AIRMASS * path(moon.altitude_deg));
    let lit = 1.0 - 10_f64.powf(-0.4 * EXTINCTION_PER_AIRMASS * path(altitude_deg.max(0.0)));
    (rayleigh + haze) * lamp * kept * lit
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Kasten & Young 1989, table II: 1.9939 at 30°, 5.5841... from the formula itself 5.58 at 10°,
    /// 37.92 at 0° (from memory of the paper's text).
    #[test]
    fn airmass_is_kasten_and_youngs() {
        for (altitude, mass) in [(90.0, 0.9997), (30.0, 1.9939), (10.0, 5.5841), (0.0, 37.92)] {
            assert!(
                (airmass(altitude) - mass).abs() < 0.006 * mass,
                "{altitude}: {}",
                airmass(altitude)
            );
        }
        assert!((airmass(-5.0) - airmass(0.0)).abs() < 1e-12);
    }

    /// Krisciunas & Schaefer 1991, table 2: the full Moon at 60° takes about 3 magnitudes from a
    /// dark zenith 30° or so away, the half Moon about one (their figure 3, from memory).
    #[test]
    fn moonlight_takes_as_much_of_the_dark_as_published() {
        let loss = |phase_angle_deg: f64, apart_deg: f64| {
            let moon = Moonlight { phase_angle_deg, altitude_deg: 60.0, apart_deg };
            21.6 - sky_brightness(21.6, 80.0, Some(moon))
        };
        assert!((2.5..4.5).contains(&loss(0.0, 30.0)), "{}", loss(0.0, 30.0));
        assert!((0.8..2.2).contains(&loss(90.0, 60.0)), "{}", loss(90.0, 60.0));
        assert!(loss(0.0, 20.0) > loss(0.0, 90.0));
    }

    /// Patat, Ugolnikov & Postylyakov 2006, table 1, V: 11.84 + 1.518 x − 0.057 x² with x degrees past
    /// a zenith distance of 95°, so 11.84 at 95° and 19.67 at 102°.
    #[test]
    fn twilight_fades_as_measured_and_leaves_the_night_alone() {
        for (sun, expected) in [(-5.0, 11.84), (-12.0, 19.67)] {
            // A black sky, so that only twilight shines.
            let seen = in_twilight(40.0, sun);
            assert!((seen - expected).abs() < 0.15, "{sun}: {seen}");
        }
        assert!((in_twilight(21.6, -18.0) - 21.6).abs() < 1e-9);
        assert!((in_twilight(21.6, -40.0) - 21.6).abs() < 1e-9);
        let fading: Vec<f64> = (5..=18).map(|deg| in_twilight(21.6, -f64::from(deg))).collect();
        assert!(fading.windows(2).all(|two| two[1] > two[0]), "{fading:?}");
    }

    #[test]
    fn a_moon_that_is_down_takes_nothing() {
        let moon = Moonlight { phase_angle_deg: 0.0, altitude_deg: -1.0, apart_deg: 90.0 };
        assert!((sky_brightness(21.5, 45.0, Some(moon)) - 21.5).abs() < 1e-12);
        let faint = Moonlight { phase_angle_deg: 170.0, altitude_deg: 20.0, apart_deg: 90.0 };
        assert!(21.5 - sky_brightness(21.5, 45.0, Some(faint)) < 0.05);
    }
}
