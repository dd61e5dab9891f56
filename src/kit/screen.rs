//! The same rules for the solver, which asks ten million times and wants no sentence.
//!
//! Most of each rule's answer depends on a part of the view only, so it is worked out once for that
//! part: on the beam for all eyepieces of one focal length ([`Beam`]), on the eyepiece for all
//! telescopes ([`Glance`]), on the telescope with a Barlow for all eyepieces ([`Lookout`]). A test
//! holds what is put together from them against the rules themselves.

use super::bench::{Bench, Relief};
use super::rules::{Finding, Verdict, verdict_of};
use crate::optics::{Barlow, Barrel, Eyepiece, Mass, OpticalClass, View};

/// What the solver needs of all rules on a view that may be used: how well.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Screen {
    /// Rules other than the edge of field that make the view a compromise.
    pub(crate) compromises: u8,
    /// Comfort at the eye, 0 to 1.
    pub(crate) comfort: f32,
    /// Share of the field's width that is clean to its edge.
    pub(crate) clean_share: f32,
    /// Share of the light that the iris loses.
    pub(crate) light_loss: f32,
}

/// Compromises, or [`FORBIDDEN`]: what one rule or several have to say.
type Vote = u8;

/// More compromises than there are rules: votes add up, and a sum from here on forbids.
const FORBIDDEN: Vote = 32;

fn vote(finding: &Finding) -> Vote {
    match verdict_of(finding.rule, finding.standing) {
        Verdict::Suits => 0,
        Verdict::Compromise => 1,
        Verdict::Unsuitable => FORBIDDEN,
    }
}

/// A beam that no rule forbids: what all eyepieces of one focal length share.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Beam {
    compromises: Vote,
    /// Of the observer's cylinder.
    zone: u8,
    light_loss: f32,
}

/// What the rules need of one eyepiece, whatever the telescope.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Glance {
    /// Where its focal length stands in the solver's list.
    pub(crate) focal_length: u32,
    /// On eye relief, by zone of the observer's cylinder.
    relief: [Vote; 3],
    barrel: u8,
    class: u8,
    /// By zone too.
    comfort: [f32; 3],
    /// In grams; not a number where it is not known, so that no limit is exceeded.
    mass_g: f64,
}

impl Glance {
    pub(super) fn of(relief: &Relief, eyepiece: &Eyepiece, focal_length: u32) -> Self {
        let ends = relief.zone_ends();
        Self {
            focal_length,
            relief: ends.map(|beam_mm| vote(&relief.judge(beam_mm, eyepiece))),
            barrel: eyepiece.barrel().map_or(0, |barrel| 1 + barrel as u8),
            class: eyepiece.class().map_or(0, |class| 1 + class as u8),
            comfort: ends.map(|beam_mm| relief.comfort(beam_mm, eyepiece)),
            mass_g: known_or_nan(eyepiece.mass()),
        }
    }
}

fn known_or_nan(mass: Option<Mass>) -> f64 {
    mass.map_or(f64::NAN, Mass::g)
}

/// Clean share of the field where the eyepiece's class is not known. `common practice, no source`.
const CLEAN_SHARE_OF_UNKNOWN_CLASS: f64 = 0.7;

/// What the rules need of a telescope with a Barlow or without, whatever the eyepiece.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Lookout {
    /// By the eyepiece's barrel, the unknown one first.
    fits: [Vote; 4],
    /// Share of the field that the class keeps clean; by class, the unknown one first.
    clean: [f32; 5],
    barlow_mass_g: f64,
    /// Where a heavier mass is a compromise, and where it is forbidden, g.
    balance_g: (f64, f64),
}

impl Lookout {
    /// All rules together on a beam that an eyepiece makes here; none where one forbids it.
    /// `coma_free` is [`Bench::coma_free`].
    #[inline]
    pub(crate) fn screen(&self, beam: Beam, glance: &Glance, coma_free: f32) -> Option<Screen> {
        let zone = usize::from(beam.zone) % 3;
        let mass_g = glance.mass_g + self.barlow_mass_g;
        let balance = Vote::from(mass_g > self.balance_g.0)
            + FORBIDDEN * Vote::from(mass_g > self.balance_g.1);
        let compromises = beam.compromises
            + glance.relief[zone]
            + self.fits[usize::from(glance.barrel) % 4]
            + balance;
        let class = usize::from(glance.class).min(self.clean.len() - 1);
        (compromises < FORBIDDEN).then(|| Screen {
            compromises,
            comfort: glance.comfort[zone],
            clean_share: self.clean[class].min(coma_free),
            light_loss: beam.light_loss,
        })
    }
}

impl Bench<'_> {
    /// All rules on one view: `None` where any of them forbids it.
    pub(crate) fn screen(&self, eyepiece: &Eyepiece, barlow: Option<&Barlow>) -> Option<Screen> {
        let beam = self.screen_beam(eyepiece, barlow)?;
        let glance = Glance::of(&self.relief, eyepiece, 0);
        self.lookout(barlow).screen(beam, &glance, self.coma_free(eyepiece))
    }

    /// The rules on the beam. Of the eyepiece only its focal length counts, of the Barlow only its
    /// factor.
    pub(crate) fn screen_beam(&self, eyepiece: &Eyepiece, barlow: Option<&Barlow>) -> Option<Beam> {
        let view = View::of(self.telescope, eyepiece, barlow);
        let compromises = vote(&self.thin_beam(&view))
            + vote(&self.ceiling(&view))
            + vote(&self.beam_in_pupil(&view))
            + vote(&self.focus(eyepiece, barlow))
            + vote(&self.sun());
        (compromises < FORBIDDEN).then(|| Beam {
            compromises,
            zone: self.relief.zone(view.exit_pupil().mm()) as u8,
            light_loss: self.light(&view).loss() as f32,
        })
    }

    /// The rules on barrels, balance and class, before the eyepiece is known.
    pub(crate) fn lookout(&self, barlow: Option<&Barlow>) -> Lookout {
        let [a, b, c] = Barrel::ALL;
        let factor = barlow.map_or(1.0, |barlow| barlow.factor.times());
        let ratio = self.telescope.focal_length().mm() * factor / self.telescope.aperture().mm();
        let share = |class: OpticalClass| (ratio / class.fastest_focal_ratio()).min(1.0) as f32;
        let [two, three, four, wide] = OpticalClass::ALL.map(share);
        let limit_g = self.telescope.balance_limit().map_or(f64::INFINITY, Mass::g);
        Lookout {
            fits: [None, Some(a), Some(b), Some(c)].map(|own| vote(&self.fits(own, barlow))),
            clean: [CLEAN_SHARE_OF_UNKNOWN_CLASS as f32, two, three, four, wide],
            barlow_mass_g: barlow.map_or(0.0, |barlow| known_or_nan(barlow.mass)),
            balance_g: (limit_g, limit_g * self.settings.balance_tolerance),
        }
    }

    /// Share of the field's width that the telescope's coma leaves clean; all of it where that is
    /// not known.
    pub(crate) fn coma_free(&self, eyepiece: &Eyepiece) -> f32 {
        self.coma_free_share(eyepiece).unwrap_or(1.0) as f32
    }
}

#[cfg(test)]
mod tests;
