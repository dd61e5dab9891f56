//! A telescope set up for one question: everything that no eyepiece changes, worked out once.

use super::purpose::Mix;
use super::rules::{Question, SunFilter, Usage};
use super::settings::Settings;
use crate::eye::glasses::SLIGHT_BLUR_FACTOR;
use crate::eye::light::{self, WIDEST_EXIT_PUPIL_MM};
use crate::eye::{Glasses, PupilRange, ReliefNeed, cylinder_hiding_exit_pupil};
use crate::optics::limits;
use crate::optics::{ExitPupil, FocalRatio, ObstructionRatio, Seeing, Sphere, Telescope, Tracking};

/// Everything about one telescope and one question that no eyepiece changes, worked out once.
#[derive(Debug, Clone)]
pub struct Bench<'a> {
    pub(super) telescope: &'a Telescope,
    pub(super) settings: &'a Settings,
    pub(super) sun_filter: SunFilter,
    pub(super) usage: Usage,
    pub(super) mix: Mix,
    pub(super) seeing: Option<Seeing>,
    pub(super) focal_ratio: FocalRatio,
    pub(super) obstruction: Option<ObstructionRatio>,
    pub(super) pupil: PupilRange,
    pub(super) pupil_known: bool,
    /// The beams a first-timer holds easily, mm.
    pub(super) easy_beam_mm: Option<(f64, f64)>,
    pub(super) relief: Relief,
    pub(super) sphere: Option<Sphere>,
    pub(super) tracks: bool,
    /// Power on most nights and on rare ones, by aperture.
    pub(super) aperture_power: (f64, f64),
    /// Power that this seeing shows comfortably and at all; infinite where no seeing is given.
    pub(super) seeing_power: (f64, f64),
}

/// What eye relief is needed, by how wide the beam is against the observer's cylinder. No telescope
/// changes it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Relief {
    pub(super) glasses: Glasses,
    /// The widest beam in which the cylinder does not blur, mm; infinite without one, and zero
    /// where nobody knows.
    pub(super) hidden_below_mm: f64,
    /// By [`Relief::zone`].
    needs: [ReliefNeed; 3],
}

impl Relief {
    pub(super) fn of(question: &Question, settings: &Settings) -> Self {
        let observer = &question.observer;
        let cylinder = observer.prescription().cylinder;
        let hidden_below_mm = cylinder.map_or(0.0, |one| cylinder_hiding_exit_pupil(one).mm());
        let needs = zone_ends(hidden_below_mm)
            .map(|beam_mm| observer.relief_needed(ExitPupil::computed(beam_mm), &settings.relief));
        Self { glasses: observer.glasses, hidden_below_mm, needs }
    }

    /// Whether the cylinder stays hidden in this beam, shows slightly, or shows: 0, 1 or 2. Within
    /// one zone every beam needs the same relief.
    #[inline]
    pub(super) fn zone(&self, beam_mm: f64) -> usize {
        let [hidden, slight, _] = zone_ends(self.hidden_below_mm);
        usize::from(beam_mm > hidden) + usize::from(beam_mm > slight)
    }

    /// The widest beam of each zone, mm.
    pub(super) fn zone_ends(&self) -> [f64; 3] {
        zone_ends(self.hidden_below_mm)
    }

    #[inline]
    pub(super) fn at(&self, beam_mm: f64) -> &ReliefNeed {
        &self.needs[self.zone(beam_mm)]
    }
}

fn zone_ends(hidden_below_mm: f64) -> [f64; 3] {
    [hidden_below_mm, hidden_below_mm * SLIGHT_BLUR_FACTOR, f64::INFINITY]
}

impl<'a> Bench<'a> {
    /// Sets up one telescope for one question.
    #[must_use]
    pub fn new(
        telescope: &'a Telescope,
        sun_filter: SunFilter,
        question: &Question,
        settings: &'a Settings,
    ) -> Self {
        let observer = &question.observer;
        let aperture = telescope.aperture();
        let by_inch = |per_inch| limits::power_ceiling(aperture, per_inch).times();
        let by_seeing = |blur| {
            question
                .seeing
                .map_or(f64::INFINITY, |seeing| limits::seeing_limited_power(seeing, blur).times())
        };
        Self {
            telescope,
            settings,
            sun_filter,
            usage: question.usage,
            mix: *question.mix(),
            seeing: question.seeing,
            focal_ratio: telescope.focal_ratio(),
            obstruction: telescope.obstruction_ratio(),
            pupil: match question.usage {
                Usage::Night => observer.pupil(),
                Usage::Day | Usage::Sun => PupilRange::by_day(),
            },
            pupil_known: observer.pupil_is_known(),
            easy_beam_mm: observer
                .wanted_exit_pupil_mm()
                .map(|beams| (*beams.start(), *beams.end())),
            relief: Relief::of(question, settings),
            sphere: observer.prescription().sphere,
            tracks: telescope.tracking() == Some(Tracking::Tracks),
            aperture_power: (
                by_inch(settings.power_per_inch_most_nights),
                by_inch(settings.power_per_inch_rare_nights),
            ),
            seeing_power: (
                by_seeing(settings.seeing_blur_comfortable),
                by_seeing(settings.seeing_blur_last),
            ),
        }
    }

    /// The telescope, with what is fitted in it.
    #[must_use]
    pub fn telescope(&self) -> &'a Telescope {
        self.telescope
    }

    /// What the telescope is to be used for.
    #[must_use]
    pub fn usage(&self) -> Usage {
        self.usage
    }

    /// Whether the telescope follows the sky, where that is recorded.
    #[must_use]
    pub fn tracking(&self) -> Option<Tracking> {
        self.telescope.tracking()
    }

    /// The eye's pupil used throughout.
    #[must_use]
    pub fn pupil(&self) -> PupilRange {
        self.pupil
    }

    /// Lowest useful power: the beam as wide as the eye, and never beyond 7 mm.
    #[must_use]
    pub fn power_floor(&self) -> f64 {
        light::power_floor(self.telescope.aperture(), self.pupil.typical).times()
    }

    /// Highest power on the rare excellent night, or what the given seeing lets through.
    #[must_use]
    pub fn power_ceiling(&self) -> f64 {
        self.aperture_power.1.min(self.seeing_power.1)
    }

    /// Highest power on most nights, or what the given seeing shows comfortably.
    #[must_use]
    pub fn comfortable_power_ceiling(&self) -> f64 {
        self.aperture_power.0.min(self.seeing_power.0)
    }

    /// Eye relief that lets this observer be comfortable at this exit pupil, mm.
    #[must_use]
    pub fn relief_needed_mm(&self, exit_pupil_mm: f64) -> f64 {
        self.relief.at(exit_pupil_mm).comfortable.mm()
    }

    /// Whether the gate on the Sun is shut.
    pub(super) fn sun_is_blocked(&self) -> bool {
        self.usage != Usage::Night && self.sun_filter == SunFilter::Missing
    }

    /// Focal lengths that the rules on thin beams, on power and on wide beams do not forbid out of
    /// hand behind a Barlow of this factor, mm: a quick look before the rules themselves.
    pub(super) fn focal_lengths_mm(&self, factor: f64) -> std::ops::Range<f32> {
        let ratio = self.focal_ratio.number() * factor;
        let focal_length = self.telescope.focal_length().mm() * factor;
        let shortest =
            (ratio * self.settings.thinnest_beam_mm).max(focal_length / self.power_ceiling());
        let obstructed = self.obstruction.is_some_and(|share| share.fraction() > 0.0);
        let longest = if obstructed { ratio * WIDEST_EXIT_PUPIL_MM } else { f64::INFINITY };
        // A hair wider than the rules, so that rounding never decides here.
        (shortest * 0.999_99) as f32..(longest * 1.000_01) as f32
    }

    /// The widest beam that any eye is given, mm.
    pub(super) fn widest_beam_mm(&self) -> f64 {
        self.pupil.typical.mm().min(WIDEST_EXIT_PUPIL_MM)
    }
}
