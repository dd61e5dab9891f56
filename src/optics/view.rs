//! One eyepiece, with or without a Barlow, in one telescope.

use super::{
    Barlow, Barrel, Declination, DriftTime, EffectiveFocalLength, ExitPupil, Eyepiece, FieldBasis,
    FocalRatio, Magnification, Telescope, TrueField,
};

/// How fast the sky turns along the celestial equator, arcseconds a second: 1 296 000″ in one
/// turn of the Earth against the stars, 86 164.0905 s.
pub const SIDEREAL_RATE_ARCSEC_PER_S: f64 = 1_296_000.0 / 86_164.090_5;

/// What an eyepiece shows in a telescope. Holds no reference and costs no allocation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct View {
    effective_focal_length: EffectiveFocalLength,
    magnification: Magnification,
    exit_pupil: ExitPupil,
    true_field: Option<TrueField>,
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
        let true_field = match (eyepiece.field_stop(), eyepiece.apparent_field()) {
            (Some(stop), _) => Some(field_of_stop(stop.mm(), focal_length)),
            (None, Some(apparent)) => {
                Some(TrueField::computed(apparent.deg() / magnification, FieldBasis::ApparentField))
            }
            (None, None) => None,
        };
        Self {
            effective_focal_length: EffectiveFocalLength::computed(focal_length),
            magnification: Magnification::computed(magnification),
            exit_pupil: ExitPupil::computed(aperture / magnification),
            true_field,
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
    pub const fn true_field(&self) -> Option<TrueField> {
        self.true_field
    }

    /// The focal ratio the eyepiece meets, with the Barlow.
    pub const fn effective_focal_ratio(&self) -> FocalRatio {
        self.effective_focal_ratio
    }

    /// How long a star at this declination takes to drift through the field of a telescope that
    /// stands still.
    pub fn drift_time(&self, declination: Declination) -> Option<DriftTime> {
        self.true_field.map(|field| field.drift(declination))
    }

    /// The same on the celestial equator, where the sky moves fastest.
    pub fn drift_time_on_equator(&self) -> Option<DriftTime> {
        self.true_field.map(TrueField::drift_on_equator)
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
