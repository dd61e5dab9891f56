//! Coma correctors: lenses in the focuser that take the flare from the edge of a fast mirror's
//! field, and change its focal length a little.

use super::telescope::MirrorComa;
use super::{Barrel, CorrectorFactor, Mass, Telescope, TelescopeFocalLength, TelescopeSpec};

/// What is known of a coma corrector.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ComaCorrector {
    /// How it changes the focal length.
    pub factor: Option<CorrectorFactor>,
    /// The barrel that goes into the focuser; eyepieces go into it up to the same width.
    pub barrel: Option<Barrel>,
    /// Its mass.
    pub mass: Option<Mass>,
}

impl Telescope {
    /// The same telescope with a coma corrector in its focuser, judged as a telescope of its own:
    ///
    /// * the focal length is the corrector's factor times as long, so powers, fields and exit
    ///   pupils change with it;
    /// * the mirror's coma is taken away (the corrector is taken at its word);
    /// * eyepieces go into the corrector, and its mass is taken off what the focuser carries. A
    ///   corrector of unknown mass leaves the limit unknown.
    ///
    /// `None` where it does not fit: in anything but a paraboloid, in a focuser too narrow for it
    /// or of unknown width, where it is heavier than the focuser carries, and where its width or
    /// factor is not known.
    ///
    /// ```
    /// use borrowed_light::optics::*;
    /// let mirror = Telescope::new(TelescopeSpec {
    ///     focuser: Some(Barrel::Wide),
    ///     ..TelescopeSpec::new(
    ///         Layout::Newtonian,
    ///         Aperture::new(254.0)?,
    ///         TelescopeFocalLength::new(1200.0)?,
    ///     )
    /// })?;
    /// let corrector = ComaCorrector {
    ///     factor: Some(CorrectorFactor::new(1.15)?),
    ///     barrel: Some(Barrel::Wide),
    ///     mass: None,
    /// };
    /// let corrected = mirror.with_corrector(&corrector).expect("it fits");
    /// assert!((corrected.focal_length().mm() - 1380.0).abs() < 1e-9);
    /// assert!(!corrected.shows_coma() && mirror.shows_coma());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    #[must_use]
    pub fn with_corrector(&self, corrector: &ComaCorrector) -> Option<Self> {
        let (factor, barrel) = (corrector.factor?, corrector.barrel?);
        if !self.shows_coma() || !barrel.fits_into(self.focuser()?) {
            return None;
        }
        let balance_limit = match (self.balance_limit(), corrector.mass) {
            (Some(limit), Some(mass)) => Some(Mass::new(limit.g() - mass.g()).ok()?),
            _ => None,
        };
        let focal_length = self.focal_length().mm() * factor.times();
        let spec = TelescopeSpec {
            focal_length: TelescopeFocalLength::new(focal_length).ok()?,
            focuser: Some(barrel),
            balance_limit,
            ..self.spec()
        };
        let mut corrected = Self::new(spec).ok()?;
        corrected.coma = MirrorComa::TakenAway;
        Some(corrected)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::optics::coma::coma_free_share;
    use crate::optics::testing::{agrees, eyepiece, newtonian};
    use crate::optics::{ApparentField, Layout, View};

    fn corrector() -> ComaCorrector {
        ComaCorrector {
            factor: CorrectorFactor::new(1.15).ok(),
            barrel: Some(Barrel::Wide),
            mass: Mass::new(430.0).ok(),
        }
    }

    fn mirror() -> TelescopeSpec {
        TelescopeSpec {
            focuser: Some(Barrel::Wide),
            balance_limit: Mass::new(900.0).ok(),
            ..newtonian(254.0, 1200.0)
        }
    }

    fn with(spec: TelescopeSpec, corrector: &ComaCorrector) -> Option<Telescope> {
        Telescope::new(spec).unwrap().with_corrector(corrector)
    }

    /// From the definitions: M = F·k / f, x = D / M, and the field of a stop is 2·atan(s / 2F·k).
    #[test]
    fn power_beam_and_focal_ratio_change_by_the_factor() {
        let plain = Telescope::new(mirror()).unwrap();
        let corrected = with(mirror(), &corrector()).unwrap();
        let (one, two) =
            (View::of(&plain, &eyepiece(31.0), None), View::of(&corrected, &eyepiece(31.0), None));
        agrees(one.magnification().times(), 1200.0 / 31.0, 9);
        agrees(two.magnification().times(), 1380.0 / 31.0, 9);
        agrees(two.exit_pupil().mm(), 254.0 * 31.0 / 1380.0, 9);
        agrees(corrected.focal_ratio().number(), 1380.0 / 254.0, 9);
        assert_eq!(corrected.aperture(), plain.aperture());
    }

    #[test]
    fn the_coma_is_gone_and_the_focuser_carries_less() {
        let plain = Telescope::new(mirror()).unwrap();
        let field = ApparentField::new(82.0).unwrap();
        assert!(coma_free_share(plain.focal_ratio(), field) < 0.3, "there was some to be taken");
        let corrected = with(mirror(), &corrector()).unwrap();
        assert!(plain.shows_coma() && !corrected.shows_coma());
        assert_ne!(plain.fold_key(), corrected.fold_key());
        assert_eq!(corrected.balance_limit().map(Mass::g), Some(470.0));
        let narrower = ComaCorrector { barrel: Some(Barrel::Standard), ..corrector() };
        assert_eq!(with(mirror(), &narrower).unwrap().focuser(), Some(Barrel::Standard));
        let unweighed = ComaCorrector { mass: None, ..corrector() };
        assert_eq!(with(mirror(), &unweighed).unwrap().balance_limit(), None);
        // A factor of 1 changes no length and is still another telescope.
        let neutral = ComaCorrector { factor: CorrectorFactor::new(1.0).ok(), ..corrector() };
        assert_ne!(with(TelescopeSpec { balance_limit: None, ..mirror() }, &neutral), None);
    }

    #[test]
    fn it_goes_only_where_it_fits_and_only_once() {
        let other = TelescopeSpec { layout: Layout::SchmidtCassegrain, ..mirror() };
        assert_eq!(with(other, &corrector()), None, "it is made for paraboloids");
        let narrow = TelescopeSpec { focuser: Some(Barrel::Standard), ..mirror() };
        assert_eq!(with(narrow, &corrector()), None, "the focuser is too narrow");
        let unknown = TelescopeSpec { focuser: None, ..mirror() };
        assert_eq!(with(unknown, &corrector()), None, "nobody knows the focuser");
        let weak = TelescopeSpec { balance_limit: Mass::new(430.0).ok(), ..mirror() };
        assert_eq!(with(weak, &corrector()), None, "it would carry nothing else");
        for lacking in [
            ComaCorrector { factor: None, ..corrector() },
            ComaCorrector { barrel: None, ..corrector() },
        ] {
            assert_eq!(with(mirror(), &lacking), None);
        }
        assert_eq!(with(mirror(), &corrector()).unwrap().with_corrector(&corrector()), None);
        assert!(CorrectorFactor::new(0.49).is_err() && CorrectorFactor::new(f64::NAN).is_err());
    }
}
