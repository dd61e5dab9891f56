//! What glass does: powers, fields, limits (pure).
//!
//! Everything the shelf lends is described here by checked quantities, so that a focal length
//! cannot stand where an aperture belongs and no number is nonsense by the time it is used:
//!
//! * [`quantity`] – the numbers a person types: [`Aperture`], [`EyeRelief`], [`Mass`] …
//! * [`Telescope`], [`Eyepiece`], [`Barlow`] – whole specifications, consistent in themselves.
//! * [`ComaCorrector`] – makes another telescope of a fast mirror ([`Telescope::with_corrector`]).
//! * [`View`] – what the three make together: power, exit pupil, true field.
//! * [`limits`] – how much power the aperture and the air allow.
//! * [`coma`] – how far from the middle a parabolic mirror stays sharp.
//! * [`focus`] – how far the focuser must move for an eye that is near- or far-sighted.
//!
//! A quantity in the wrong place does not compile:
//!
//! ```compile_fail,E0308
//! # use borrowed_light::optics::*;
//! # fn wrong(aperture: Aperture, focal_length: TelescopeFocalLength) {
//! TelescopeSpec::new(Layout::Newtonian, focal_length, aperture);
//! # }
//! ```
//!
//! Nothing is rounded on the way; rounding belongs to the page that shows a number.
//!
//! ```
//! use borrowed_light::optics::{
//!     Aperture, Eyepiece, EyepieceFocalLength, EyepieceSpec, Layout, Telescope,
//!     TelescopeFocalLength, TelescopeSpec, View,
//! };
//!
//! let telescope = Telescope::new(TelescopeSpec::new(
//!     Layout::Newtonian,
//!     Aperture::new(200.0)?,
//!     TelescopeFocalLength::new(1200.0)?,
//! ))?;
//! let eyepiece = Eyepiece::new(EyepieceSpec::new(EyepieceFocalLength::new(24.0)?))?;
//! let view = View::of(&telescope, &eyepiece, None);
//! assert_eq!(view.magnification().times(), 50.0);
//! assert_eq!(view.exit_pupil().mm(), 4.0);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod barlow;
mod barrel;
pub mod coma;
mod computed;
mod corrector;
mod eyepiece;
pub mod focus;
pub mod limits;
pub mod quantity;
mod telescope;
mod view;

pub use barlow::{Barlow, BarlowKind};
pub use barrel::{Barrel, UnknownBarrel};
pub use computed::{
    DriftTime, EffectiveFocalLength, ExitPupil, FieldBasis, FocalRatio, Magnification,
    ObstructionRatio, Resolution, TrueField,
};
pub use corrector::ComaCorrector;
pub use eyepiece::{Eyepiece, EyepieceError, EyepieceSpec, OpticalClass};
pub use quantity::{
    Age, Aperture, ApparentField, BarlowFactor, CorrectorFactor, Cylinder, Declination, EyeRelief,
    EyepieceFocalLength, FieldStop, Mass, Obstruction, OutOfRange, PupilDiameter, Seeing, Sphere,
    TelescopeFocalLength, Travel,
};
pub use telescope::{Layout, Telescope, TelescopeError, TelescopeSpec, Tracking};
pub use view::{SIDEREAL_RATE_ARCSEC_PER_S, View, largest_true_field};

#[cfg(test)]
pub(crate) mod testing {
    //! What the tests of this room and the next share.

    use super::{
        Aperture, Eyepiece, EyepieceFocalLength, EyepieceSpec, Layout, Telescope,
        TelescopeFocalLength, TelescopeSpec,
    };

    /// Fails unless `actual` rounds to `expected` at that many decimals.
    #[track_caller]
    pub(crate) fn agrees(actual: f64, expected: f64, decimals: i32) {
        let tolerance = 0.5 * 10_f64.powi(-decimals) * (1.0 + 1e-9);
        assert!(
            (actual - expected).abs() <= tolerance,
            "{actual} is not {expected} to {decimals} decimals"
        );
    }

    pub(crate) fn newtonian(aperture: f64, focal_length: f64) -> TelescopeSpec {
        TelescopeSpec::new(
            Layout::Newtonian,
            Aperture::new(aperture).unwrap(),
            TelescopeFocalLength::new(focal_length).unwrap(),
        )
    }

    pub(crate) fn telescope(aperture: f64, focal_length: f64) -> Telescope {
        Telescope::new(newtonian(aperture, focal_length)).unwrap()
    }

    pub(crate) fn eyepiece(focal_length: f64) -> Eyepiece {
        Eyepiece::new(EyepieceSpec::new(EyepieceFocalLength::new(focal_length).unwrap())).unwrap()
    }
}
