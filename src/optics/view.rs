//! One eyepiece, with or without a Barlow, in one telescope.

use super::{
    ApparentField, Barlow, Barrel, Declination, DriftTime, EffectiveFocalLength, ExitPupil,
    Eyepiece, FieldBasis, FieldStop, FocalRatio, Magnification, Telescope, TrueField,
};

/// How fast the sky turns along the celestial equator, arcseconds a second: 1 296 000″ in one
/// mean sidereal day of 86 164.0905 s, about 15.041 07″/s.
pub const SIDEREAL_RATE_ARCSEC_PER_S: f64 = 1_296_000.0 / 86_164.090_5;

/// What an eyepiece shows in a telescope. Holds no reference and costs no allocation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct View {
    effective_focal_length: EffectiveFocalLength,
    magnification: Magnification,
    exit_pupil: ExitPupil,
    field_stop: Option<FieldStop>,
    apparent_field: Option<ApparentField>,
    effective_focal_ratio: FocalRatio,
}

impl View {
    /// Computes the view from geometric optics:
    ///
    /// * effective focal length `F·b`, magnification `M = F·b / f`, exit pupil `D / M`;
    /// * true field `2·atan(s / 2Fb)` when the field stop `s` is known, else `A / M`.
    ///
    /// Whether the parts fit together mechanically is another question: see
    /// [`Barrel::fits_into`].
    ///
    /// ```
    /// use borrowed_light::optics::*;
    /// let telescope = Telescope::new(TelescopeSpec::new(
    ///     Layout::Refractor,
    ///     Aperture::new(80.0)?,
    ///     TelescopeFocalLength::new(480.0)?,
    /// ))?;
    /// let eyepiece = Eyepiece::new(EyepieceSpec {
    ///     field_stop: Some(FieldStop::new(27.2)?),
    ///     ..EyepieceSpec::new(EyepieceFocalLength::new(24.0)?)
    /// })?;
    /// let view = View::of(&telescope, &eyepiece, None);
    /// let field = view.true_field().expect("the field stop is known");
    /// assert!((field.deg() - 3.24589).abs() < 5e-6);
    /// assert_eq!(field.basis(), FieldBasis::FieldStop);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn of(telescope: &Telescope, eyepiece: &Eyepiece, barlow: Option<&Barlow>) -> Self {
        let factor = barlow.map_or(1.0, |b| b.factor.times());
        let aperture = telescope.aperture().mm();
        let focal_length = telescope.focal_length().mm() * factor;
        let magnification = focal_length / eyepiece.focal_length().mm();
        Self {
            effective_focal_length: EffectiveFocalLength::computed(focal_length),
            magnification: Magnification::computed(magnification),
            exit_pupil: ExitPupil::computed(aperture / magnification),
            field_stop: eyepiece.field_stop(),
            apparent_field: eyepiece.apparent_field(),
            effective_focal_ratio: FocalRatio::computed(focal_length / aperture),
        }
    }

    /// The telescope's focal length times the Barlow's factor.
    pub const fn effective_focal_length(&self) -> EffectiveFocalLength {
        self.effective_focal_length
    }

    /// The same in mm.
    pub const fn effective_focal_length_mm(&self) -> f64 {
        self.effective_focal_length.mm()
    }

    /// How many times larger things look.
    pub const fn magnification(&self) -> Magnification {
        self.magnification
    }

    /// The diameter of the beam that leaves the eyepiece.
    pub const fn exit_pupil(&self) -> ExitPupil {
        self.exit_pupil
    }

    /// The angle of sky seen at once; `None` when neither field stop nor apparent field is known.
    ///
    /// Worked out on asking: whoever only wants the power of a million views pays for no angle.
    pub fn true_field(&self) -> Option<TrueField> {
        match (self.field_stop, self.apparent_field) {
            (Some(stop), _) => Some(field_of_stop(stop.mm(), self.effective_focal_length.mm())),
            (None, Some(apparent)) => {
                let deg = apparent.deg() / self.magnification.times();
                Some(TrueField::computed(deg, FieldBasis::ApparentField))
            }
            (None, None) => None,
        }
    }

    /// The focal ratio the eyepiece meets, with the Barlow.
    pub const fn effective_focal_ratio(&self) -> FocalRatio {
        self.effective_focal_ratio
    }

    /// How long a star at this declination takes to drift through the field of a telescope that
    /// stands still.
    pub fn drift_time(&self, declination: Declination) -> Option<DriftTime> {
        self.true_field().map(|field| field.drift(declination))
    }

    /// The same on the celestial equator, where the sky moves fastest.
    pub fn drift_time_on_equator(&self) -> Option<DriftTime> {
        self.true_field().map(TrueField::drift_on_equator)
    }
}

/// The largest true field that any eyepiece of this barrel can show in this telescope, with or
/// without a Barlow.
///
/// ```
/// use borrowed_light::optics::*;
/// let telescope = Telescope::new(TelescopeSpec::new(
///     Layout::Newtonian,
///     Aperture::new(200.0)?,
///     TelescopeFocalLength::new(1000.0)?,
/// ))?;
/// let field = largest_true_field(&telescope, None, Barrel::Wide);
/// assert!((field.deg() - 2.66377).abs() < 5e-6);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn largest_true_field(
    telescope: &Telescope,
    barlow: Option<&Barlow>,
    barrel: Barrel,
) -> TrueField {
    let factor = barlow.map_or(1.0, |b| b.factor.times());
    field_of_stop(barrel.largest_field_stop(), telescope.focal_length().mm() * factor)
}

fn field_of_stop(stop_mm: f64, focal_length_mm: f64) -> TrueField {
    let deg = (2.0 * (stop_mm / (2.0 * focal_length_mm)).atan()).to_degrees();
    TrueField::computed(deg, FieldBasis::FieldStop)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::optics::{
        ApparentField, BarlowFactor, EyepieceFocalLength, EyepieceSpec, FieldStop,
        testing::{agrees, telescope},
    };

    fn with_apparent_field(focal_length: f64, deg: f64) -> Eyepiece {
        Eyepiece::new(EyepieceSpec {
            apparent_field: Some(ApparentField::new(deg).unwrap()),
            ..EyepieceSpec::new(EyepieceFocalLength::new(focal_length).unwrap())
        })
        .unwrap()
    }

    fn with_field_stop(focal_length: f64, mm: f64) -> Eyepiece {
        Eyepiece::new(EyepieceSpec {
            field_stop: Some(FieldStop::new(mm).unwrap()),
            apparent_field: Some(ApparentField::new(80.0).unwrap()),
            ..EyepieceSpec::new(EyepieceFocalLength::new(focal_length).unwrap())
        })
        .unwrap()
    }

    #[test]
    fn without_a_field_stop_the_apparent_field_serves() {
        let view = View::of(&telescope(203.2, 1219.0), &with_apparent_field(25.0, 52.0), None);
        let field = view.true_field().unwrap();
        agrees(view.magnification().times(), 48.76, 9);
        agrees(view.exit_pupil().mm(), 4.16735, 5);
        agrees(field.deg(), 1.06645, 5);
        assert_eq!(field.basis(), FieldBasis::ApparentField);
        agrees(view.drift_time_on_equator().unwrap().s(), 255.2487, 4);
    }

    #[test]
    fn a_field_stop_wins_over_the_apparent_field() {
        let view = View::of(&telescope(254.0, 1200.0), &with_field_stop(31.0, 42.0), None);
        let field = view.true_field().unwrap();
        agrees(view.magnification().times(), 38.70968, 5);
        agrees(view.exit_pupil().mm(), 6.56167, 5);
        agrees(field.deg(), 2.00515, 5);
        assert_eq!(field.basis(), FieldBasis::FieldStop);
    }

    #[test]
    fn a_barlow_multiplies_the_focal_length_and_nothing_else() {
        let barlow = Barlow::new(BarlowFactor::new(2.0).unwrap());
        let telescope = telescope(127.0, 1500.0);
        let view = View::of(&telescope, &with_apparent_field(9.5, 60.0), Some(&barlow));
        agrees(view.effective_focal_length_mm(), 3000.0, 9);
        agrees(view.magnification().times(), 315.78947, 5);
        agrees(view.exit_pupil().mm(), 0.40217, 5);
        agrees(view.true_field().unwrap().deg(), 0.19, 9);
        agrees(view.effective_focal_ratio().number(), 3000.0 / 127.0, 9);
        agrees(telescope.focal_ratio().number(), 1500.0 / 127.0, 9);
    }

    #[test]
    fn a_small_telescope_shows_a_wide_field() {
        let view = View::of(&telescope(80.0, 480.0), &with_field_stop(24.0, 27.2), None);
        agrees(view.magnification().times(), 20.0, 9);
        agrees(view.exit_pupil().mm(), 4.0, 9);
        agrees(view.true_field().unwrap().deg(), 3.24589, 5);
    }

    #[test]
    fn the_barrel_bounds_the_field() {
        let telescope = telescope(200.0, 1000.0);
        let largest = |barrel| largest_true_field(&telescope, None, barrel).deg();
        agrees(largest(Barrel::Standard), 1.57553, 5);
        agrees(largest(Barrel::Wide), 2.66377, 5);
        assert!(largest(Barrel::Narrow) < largest(Barrel::Standard));
        let barlow = Barlow::new(BarlowFactor::new(2.0).unwrap());
        assert!(largest_true_field(&telescope, Some(&barlow), Barrel::Wide).deg() < 1.34);
    }

    #[test]
    fn an_eyepiece_of_unknown_field_has_power_but_no_field() {
        let view =
            View::of(&telescope(203.2, 1219.0), &crate::optics::testing::eyepiece(25.0), None);
        assert_eq!(view.true_field(), None);
        assert_eq!(view.drift_time_on_equator(), None);
        agrees(view.magnification().times(), 48.76, 9);
    }

    #[test]
    fn the_sky_turns_once_in_a_sidereal_day_and_slower_toward_the_pole() {
        agrees(SIDEREAL_RATE_ARCSEC_PER_S, 15.041_07, 5);
        let view = View::of(&telescope(203.2, 1219.0), &with_apparent_field(25.0, 52.0), None);
        let drift = |deg| view.drift_time(Declination::new(deg).unwrap()).unwrap().s();
        agrees(drift(0.0), 255.2487, 4);
        agrees(drift(60.0), 2.0 * 255.2487, 3);
        agrees(drift(-60.0), drift(60.0), 9);
        assert!(drift(89.999) > 1e6);
    }
}
