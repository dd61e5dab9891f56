//! What a visitor gets of one target through one eyepiece, and what that is worth.
//!
//! The worth is a product of terms of our own choice, each of which obeys common sense:
//!
//! * delight: the Moon and the great planets first, then by rank, pairs of stars less; and the altitude,
//!   because less air is never worse, and what is bright minds it less;
//! * the beam against the ideal one, drawn into the 2–5 mm that a first-timer finds (common practice,
//!   no source), the thing in the field with air around it, pairs that part: as in [`crate::kit::sight`];
//! * seen at once: full at [`AT_ONCE_MAG`] over the threshold, because nobody has learnt to look;
//! * a disc that looks like one: full at [`PLAIN_DISC_ARCMIN`] across;
//! * drift: `t/(t + 60 s)` where the mount stands still, and less near the zenith, where a telescope
//!   without a motor turns on its heel;
//! * steps for children, and 0.85 for each compromise of the rules.

use super::WORTH_UNITS;
use super::height::{Posture, Reach};
use crate::kit::plan::KitGlass;
use crate::kit::real_sky::purposes_of;
use crate::kit::sight::{Detail, Moment, PLAIN_MAG, Sight, Split, nearness, sight};
use crate::sky::Body;
use crate::sky::catalogue::Kind;
use crate::sky::tonight::{Showing, Target};

/// So far over the threshold of seeing, everybody sees it at once, magnitudes.
pub const AT_ONCE_MAG: f64 = 2.0 * PLAIN_MAG;

/// A disc that looks so wide, arcminutes, is one to everybody: as wide as the Moon to the bare eye.
pub const PLAIN_DISC_ARCMIN: f64 = 30.0;

/// Above this altitude a telescope without a motor is hard to nudge, degrees. Common practice, no source.
const NEAR_ZENITH_DEG: f64 = 80.0;

/// The Sun's diameter, degrees: 0.527 to 0.545 over the year.
const SUN_DEG: f64 = 0.533;

/// The beam that shows the whole Sun best, mm: as in the mix for the Sun.
const SUN_BEAM_MM: f64 = 2.0;

/// The beams that make an image easy to find and hold, mm.
const EASY_BEAM_MM: [f64; 2] = [2.0, 5.0];

/// What can be shown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Showable {
    /// Something of the night.
    Sky(Showing),
    /// The Sun, behind a filter.
    Sun,
}

impl Showable {
    /// Its name with what people call it.
    #[must_use]
    pub fn name(&self) -> String {
        match self {
            Self::Sky(showing) => showing.target.full_name(),
            Self::Sun => "the Sun".to_owned(),
        }
    }
}

/// What a visitor gets.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Look {
    /// The numbers of the view.
    pub facts: crate::kit::story::ViewFacts,
    /// What the view shows of it; nothing for the Sun.
    pub sight: Option<Sight>,
    /// Where it stands.
    pub altitude_deg: f64,
    /// How long it takes across the field, s; none where the mount follows or the field is not known.
    pub drift_s: Option<f64>,
    /// Whether the mount follows.
    pub tracks: bool,
    /// The eyepiece's height and who reaches it, where that is known.
    pub reach: Option<Reach>,
    /// How good it is, 0–1.
    pub worth: f64,
}

impl Look {
    /// The worth in the problem's units: what can be shown at all counts at least one.
    #[must_use]
    pub fn units(&self) -> u32 {
        // A worth lies between 0 and 1.
        ((self.worth * f64::from(WORTH_UNITS)).round() as u32).min(WORTH_UNITS)
    }
}

/// How much a crowd likes something, 0–1: nothing pleases like the Moon, Jupiter and Saturn; then by
/// rank, and a pair of stars is soon seen. Our own choice.
pub(super) fn delight(showing: &Showing) -> f64 {
    let by_rank = 0.1 + 0.7 * f64::from(showing.rank().min(3)) / 3.0;
    match showing.target {
        Target::Body(_) if showing.rank() >= 3 => 1.0,
        Target::Object(object) if object.kind == Kind::Double => 0.7 * by_rank,
        _ => by_rank,
    }
}

/// What the air leaves of it, 0–1: of faint things nothing is lost above 60°, of bright ones above 30°,
/// and the Moon is as good at 20°. Our own choice.
pub(super) fn through_air(altitude_deg: f64, showable: &Showable) -> f64 {
    let enough: f64 = match showable {
        Showable::Sky(Showing { target: Target::Body(Body::Moon), .. }) => 20.0,
        Showable::Sky(showing) if !showing.target.is_bright() => 60.0,
        Showable::Sky(_) | Showable::Sun => 30.0,
    };
    (altitude_deg.to_radians().sin() / enough.to_radians().sin()).clamp(0.0, 1.0)
}

/// What steps leave of it where children come.
fn within_reach(reach: Option<Reach>) -> f64 {
    match reach {
        None => 0.9,
        Some(reach) if reach.beyond_children => 0.7,
        Some(reach) => match (reach.adults, reach.child_step_mm) {
            (Posture::SomeStep | Posture::AllStep, _) => 0.8,
            (_, Some(_)) => 0.92,
            (_, None) => 1.0,
        },
    }
}

/// Whether steps count: they do where children come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Steps {
    Count,
    Ignore,
}

/// Judges one look.
pub(super) fn judge(
    glass: &KitGlass,
    showable: &Showable,
    moment: &Moment,
    tracks: bool,
    steps: Steps,
    reach: Option<Reach>,
) -> Look {
    let facts = glass.glass.facts;
    let altitude_deg = moment.direction.altitude_deg;
    let (sight, shown, drift_s) = match showable {
        Showable::Sky(showing) => {
            let sight = sight(&glass.glass, showing, moment);
            (Some(sight), delight(showing) * sky(glass, showing, &sight), sight.drift_s)
        }
        Showable::Sun => {
            let room = facts
                .true_field_deg
                .map_or(0.7, |field| (field / (1.4 * SUN_DEG)).min(1.0).powi(2));
            (None, room * nearness(facts.exit_pupil_mm / SUN_BEAM_MM), facts.drift_time_s)
        }
    };
    let drift_s = drift_s.filter(|_| !tracks);
    let follow = match (tracks, drift_s) {
        (true, _) => 1.0,
        (false, Some(drift)) => drift / (drift + 60.0),
        (false, None) => 0.4,
    };
    let heel = if !tracks && altitude_deg > NEAR_ZENITH_DEG { 0.7 } else { 1.0 };
    let steps = match steps {
        Steps::Count => within_reach(reach),
        Steps::Ignore => 1.0,
    };
    let worth = shown * through_air(altitude_deg, showable) * follow * heel * steps * glass.ease;
    Look { facts, sight, altitude_deg, drift_s, tracks, reach, worth }
}

/// Beam, room, seen at once, disc and pair.
fn sky(glass: &KitGlass, showing: &Showing, sight: &Sight) -> f64 {
    let facts = &glass.glass.facts;
    let wanted = purposes_of(showing).first().map_or(2.0, |(one, _)| one.ideal_exit_pupil_mm);
    let [thin, wide] = EASY_BEAM_MM;
    let widest = facts.eye_pupil.typical.mm();
    let thinnest = glass.glass.aperture.mm() / facts.comfortable_power_ceiling;
    let ideal = wanted.clamp(thin, wide).max(thinnest).min(widest);
    let beam = nearness(facts.exit_pupil_mm / ideal);
    let room = sight.share_of_field.map_or(0.7, |share| (1.0 / (1.4 * share)).min(1.0).powi(2));
    // The first half magnitude shows more than the last.
    let seen = sight.margin.map_or(0.5, |over| (over / AT_ONCE_MAG).clamp(0.0, 1.0).sqrt());
    let detail = match sight.detail {
        Detail::None => 1.0,
        Detail::Disc { looks_arcmin, .. } => (looks_arcmin / PLAIN_DISC_ARCMIN).min(1.0),
        Detail::Pair { split, .. } => match split {
            Split::No => 0.05,
            Split::NeedsPower | Split::InSteadyMoments => 0.3,
            Split::Yes => 1.0,
        },
    };
    beam * room * seen * detail
}
