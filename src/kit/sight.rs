//! What one view shows of one thing at one moment.
//!
//! Faint things by Crumey's contrast thresholds ([`crate::sky::seeing_limit`]); double stars by the
//! Dawes limit and the seeing; planets by how many of the finest details fit across the disc. Nothing
//! here knows whether the observer may use the view: that is the rules' business.

use super::real_sky::first_ideal_mm;
use super::story::ViewFacts;
use crate::optics::{Aperture, SIDEREAL_RATE_ARCSEC_PER_S, limits};
use crate::sky::air::{self, Moonlight};
use crate::sky::catalogue::{Kind, Object, Pair};
use crate::sky::seeing_limit::{Eyepiece, TYPICAL_OBSERVER};
use crate::sky::tonight::{Showing, Target};
use crate::sky::{Body, Direction, Instant, Night, Track};

/// The share of the light that mirrors, lenses and coatings let pass: common practice, no source.
const TRANSMISSION: f64 = 0.85;

/// The eye splits what looks this far apart, arcseconds: 240–360, common practice, no source.
const EASY_SPLIT_ARCSEC: f64 = 240.0;

/// So much wider than the thing is a field that leaves air around it: common practice, no source.
const AIR_AROUND: f64 = 1.4;

/// This many magnitudes over the threshold nobody overlooks anything. Our own choice.
pub const PLAIN_MAG: f64 = 1.5;

/// The moment of looking.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moment {
    /// Where the thing stands.
    pub direction: Direction,
    /// Magnitudes that the air takes.
    pub extinction: f64,
    /// Brightness of the sky there, with the light of Moon and twilight, V magnitudes per square arcsecond.
    pub sky: f64,
    /// How wide the air smears a star, arcseconds across.
    pub seeing_arcsec: f64,
}

/// The sky over a site as far as looking needs it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    /// Brightness of the moonless zenith, V magnitudes per square arcsecond.
    pub zenith: f64,
    /// How wide the air smears a star, arcseconds.
    pub seeing_arcsec: f64,
}

/// What lights up a night's sky.
#[derive(Debug, Clone)]
pub struct Lamps<'a> {
    pub(super) sun: Track<'a>,
    moon: Track<'a>,
}

impl<'a> Lamps<'a> {
    /// The Sun and the Moon of a night.
    #[must_use]
    pub fn of(night: &'a Night) -> Self {
        Self { sun: night.track(Body::Sun), moon: night.track(Body::Moon) }
    }
}

impl Moment {
    /// When something stands best in a night, under a sky whose moonless zenith is this bright.
    #[must_use]
    pub fn best(
        night: &Night,
        lamps: &Lamps<'_>,
        showing: &Showing,
        zenith: f64,
        seeing_arcsec: f64,
    ) -> Self {
        let direction = match (showing.target, showing.looks) {
            (_, Some(looks)) => looks.direction,
            (Target::Object(object), None) => {
                night.star_track(object.ra_deg, object.dec_deg).direction(showing.best)
            }
            (Target::Body(body), None) => night.track(body).direction(showing.best),
        };
        Self::at(night, lamps, direction, showing.best, Air { zenith, seeing_arcsec })
    }

    /// Looking in a direction at an instant.
    #[must_use]
    pub fn at(
        night: &Night,
        lamps: &Lamps<'_>,
        direction: Direction,
        instant: Instant,
        site_air: Air,
    ) -> Self {
        let moon = lamps.moon.direction(instant);
        let zenith = air::in_twilight(site_air.zenith, lamps.sun.altitude_deg(instant));
        let moonlight = Moonlight {
            phase_angle_deg: (2.0 * night.moon.illuminated_fraction - 1.0)
                .clamp(-1.0, 1.0)
                .acos()
                .to_degrees(),
            altitude_deg: moon.altitude_deg,
            apart_deg: moon.apart_deg(&direction),
        };
        Self {
            direction,
            extinction: air::extinction(direction.altitude_deg),
            sky: air::sky_brightness(zenith, direction.altitude_deg, Some(moonlight)),
            seeing_arcsec: site_air.seeing_arcsec,
        }
    }
}

/// A view as far as seeing goes: its numbers and what stands in the telescope's way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Glass {
    /// The view's numbers.
    pub facts: ViewFacts,
    /// The whole aperture.
    pub aperture: Aperture,
    /// The secondary's diameter over the aperture's; 0 where there is none.
    pub obstruction: f64,
}

impl Glass {
    fn eyepiece(&self) -> Eyepiece {
        Eyepiece {
            effective_aperture_mm: self.facts.effective_aperture_mm,
            exit_pupil_mm: self.facts.exit_pupil_mm,
            eye_pupil_mm: self.facts.eye_pupil.typical.mm(),
            magnification: self.facts.magnification,
            transmission: TRANSMISSION * (1.0 - self.obstruction.powi(2)),
            observer: TYPICAL_OBSERVER,
        }
    }
}

/// Whether something goes into the field.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fit {
    /// Nobody knows how wide the field or how large the thing is.
    NotKnown,
    /// It reaches beyond the field.
    TooLarge,
    /// It fills the field to its edge.
    Tight,
    /// It stands in the field with sky around it.
    WithAir,
}

/// Whether two stars are seen as two.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Split {
    /// Not through this telescope, or not in this air.
    No,
    /// When the air holds still for a moment.
    InSteadyMoments,
    /// The telescope and the air part them, but the power is too low for the eye.
    NeedsPower,
    /// On a usual night.
    Yes,
}

/// What there is to see beyond "there it is".
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Detail {
    /// A glow, or stars.
    None,
    /// A disc.
    Disc {
        /// How large it looks, arcminutes.
        looks_arcmin: f64,
        /// How many of the finest details that telescope and air show lie side by side across it.
        details_across: f64,
    },
    /// A pair.
    Pair {
        /// How far apart they look, arcseconds.
        looks_arcsec: f64,
        /// Whether they are seen as two.
        split: Split,
    },
}

/// What a view shows of something.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sight {
    /// The thing's longer axis over the field's width.
    pub share_of_field: Option<f64>,
    /// Whether it goes into the field.
    pub fit: Fit,
    /// The beam over the ideal one for its kind and size.
    pub beam_over_ideal: f64,
    /// Magnitudes over the threshold of seeing: positive is visible.
    pub margin: Option<f64>,
    /// What else there is to see.
    pub detail: Detail,
    /// How long it takes to cross the field where the mount stands still, s.
    pub drift_s: Option<f64>,
    /// How good the sight is, 0–1.
    pub worth: f64,
}

/// What a view shows of something at its best moment.
///
/// The worth is a product of terms of our own choice: the beam against the ideal one as in
/// [`super::worth`], the thing in the field with air around it, how far it stands over the threshold
/// (full at [`PLAIN_MAG`]), and for pairs whether they part.
#[must_use]
pub fn sight(glass: &Glass, showing: &Showing, moment: &Moment) -> Sight {
    Outline::of(glass, &Wanted::of(showing)).filled(glass, showing, moment)
}

/// What a thing asks of any view.
#[derive(Debug, Clone, Copy)]
pub(super) struct Wanted {
    size_deg: Option<f64>,
    ideal_mm: f64,
}

impl Wanted {
    pub(super) fn of(showing: &Showing) -> Self {
        Self { size_deg: size_deg(showing), ideal_mm: first_ideal_mm(showing.target) }
    }
}

/// The cheap part of a sight: what follows from the sizes of beam, field and thing alone.
#[derive(Debug, Clone, Copy)]
pub(super) struct Outline {
    share_of_field: Option<f64>,
    beam_over_ideal: f64,
    /// No sky makes the sight worth more than this, 0–1.
    pub(super) most: f64,
}

impl Outline {
    pub(super) fn of(glass: &Glass, wanted: &Wanted) -> Self {
        let field = glass.facts.true_field_deg;
        let share_of_field = field.zip(wanted.size_deg).map(|(field, size)| size / field);
        // Nobody's pupil lets a wider beam in, and the air shows no more than this power.
        let pupil = glass.facts.eye_pupil.typical.mm();
        let thinnest = glass.aperture.mm() / glass.facts.comfortable_power_ceiling;
        let ideal = wanted.ideal_mm.min(pupil).max(thinnest);
        let beam_over_ideal = glass.facts.exit_pupil_mm / ideal;
        let room =
            share_of_field.map_or(0.7, |share| (1.0 / (AIR_AROUND * share)).min(1.0).powi(2));
        Self { share_of_field, beam_over_ideal, most: nearness(beam_over_ideal) * room }
    }

    /// The whole sight.
    pub(super) fn filled(self, glass: &Glass, showing: &Showing, moment: &Moment) -> Sight {
        filled(self, glass, showing, moment)
    }
}

fn filled(outline: Outline, glass: &Glass, showing: &Showing, moment: &Moment) -> Sight {
    let field = glass.facts.true_field_deg;
    let Outline { share_of_field, beam_over_ideal, most } = outline;
    let margin = margin(glass, showing, moment);
    let detail = detail(glass, showing, moment);
    let parts = match detail {
        Detail::Pair { split, .. } => match split {
            Split::No => 0.1,
            Split::InSteadyMoments => 0.6,
            Split::NeedsPower => 0.4,
            Split::Yes => 1.0,
        },
        Detail::None | Detail::Disc { .. } => 1.0,
    };
    // What nobody measured counts half.
    let seen = margin.map_or(0.5, |over| (over / PLAIN_MAG).clamp(0.0, 1.0));
    Sight {
        share_of_field,
        fit: fit(share_of_field),
        beam_over_ideal,
        margin,
        detail,
        drift_s: field.map(|deg| drift_s(deg, moment.direction.dec_deg)),
        worth: most * seen * parts,
    }
}

/// How near a beam comes to the ideal one, 0–1: nothing beyond 2½ times off.
pub(super) fn nearness(beam_over_ideal: f64) -> f64 {
    let off = beam_over_ideal.ln() / 2.5_f64.ln();
    (1.0 - off * off).max(0.0).powi(2)
}

fn fit(share: Option<f64>) -> Fit {
    match share {
        None => Fit::NotKnown,
        Some(share) if share > 1.0 => Fit::TooLarge,
        Some(share) if share * AIR_AROUND > 1.0 => Fit::Tight,
        Some(_) => Fit::WithAir,
    }
}

/// The sky turns a field's width in this time at a declination, s; near a pole it takes hours, and
/// this says at most a day.
fn drift_s(field_deg: f64, dec_deg: f64) -> f64 {
    let rate = SIDEREAL_RATE_ARCSEC_PER_S * dec_deg.to_radians().cos();
    (field_deg * 3600.0 / rate).min(86_164.0)
}

/// How large it is, degrees; nothing where nobody knows. A pair counts with its distance.
#[must_use]
pub fn size_deg(showing: &Showing) -> Option<f64> {
    match showing.target {
        Target::Body(_) => showing.looks.map(|looks| looks.diameter_arcsec / 3600.0),
        Target::Object(object) => match object.pair {
            Some(pair) => Some(pair.separation_arcsec / 3600.0),
            None => object.major_arcmin.map(|minutes| minutes / 60.0),
        },
    }
}

/// By how many magnitudes something stands over the threshold of seeing.
fn margin(glass: &Glass, showing: &Showing, moment: &Moment) -> Option<f64> {
    let eyepiece = glass.eyepiece();
    let limit = || eyepiece.faintest_star(moment.sky, moment.extinction);
    match showing.target {
        Target::Body(Body::Moon) => Some(PLAIN_MAG * 4.0),
        Target::Body(_) => Some(limit() - showing.looks?.magnitude?),
        Target::Object(object) => match object.pair {
            Some(pair) => Some(limit() - pair.fainter),
            None => object_margin(&eyepiece, object, moment.sky, moment.extinction),
        },
    }
}

/// By how many magnitudes a glow stands over the threshold; `None` where its light or its size is
/// not known. A cluster's stars help beyond that.
#[must_use]
pub fn object_margin(
    eyepiece: &Eyepiece,
    object: &Object,
    sky: f64,
    extinction: f64,
) -> Option<f64> {
    let (brightness, area) = (object.surface_brightness()?, object.area()?);
    let whole = eyepiece.margin(sky, extinction, brightness, area);
    Some(match object.kind {
        // They shine in the middle: half the light in a third of the diameter.
        Kind::Galaxy | Kind::Globular => {
            let gain = 2.5 * (0.5_f64 * 9.0).log10();
            whole.max(eyepiece.margin(sky, extinction, brightness - gain, area / 9.0))
        }
        _ => whole,
    })
}

fn detail(glass: &Glass, showing: &Showing, moment: &Moment) -> Detail {
    match showing.target {
        Target::Body(_) => match showing.looks {
            Some(looks) => Detail::Disc {
                looks_arcmin: looks.diameter_arcsec * glass.facts.magnification / 60.0,
                details_across: looks.diameter_arcsec / finest(glass, moment),
            },
            None => Detail::None,
        },
        Target::Object(object) => object.pair.map_or(Detail::None, |pair| Detail::Pair {
            looks_arcsec: pair.separation_arcsec * glass.facts.magnification,
            split: split(glass, pair, moment),
        }),
    }
}

/// The finest detail that telescope and air show together, arcseconds: the Dawes limit and the
/// seeing added as independent blurs.
fn finest(glass: &Glass, moment: &Moment) -> f64 {
    limits::dawes_limit(glass.aperture).arcsec().hypot(moment.seeing_arcsec)
}

/// On a usual night pairs part down to telescope and air together; in steady moments, in which the
/// air smears half as much (common practice, no source), down to the Dawes limit.
fn split(glass: &Glass, pair: Pair, moment: &Moment) -> Split {
    let apart = pair.separation_arcsec;
    let dawes = limits::dawes_limit(glass.aperture).arcsec();
    let steady = apart >= dawes.max(moment.seeing_arcsec / 2.0);
    let usual = apart >= finest(glass, moment);
    match (usual, steady) {
        (false, false) => Split::No,
        _ if apart * glass.facts.magnification < EASY_SPLIT_ARCSEC => Split::NeedsPower,
        (false, true) => Split::InSteadyMoments,
        (true, _) => Split::Yes,
    }
}
