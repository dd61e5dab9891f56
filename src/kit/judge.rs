//! The nine rules at work: each is one function from a view to a [`Finding`].
//!
//! The solver reads only the standing (see [`super::screen`]), so the same code judges ten million
//! views and explains one.

use super::bench::{Bench, Relief};
use super::rules::{Assessment, Detail, Fact, Finding, Rule, Standing, SunFilter, Usage};
use crate::eye::light::WIDEST_EXIT_PUPIL_MM;
use crate::eye::{Glasses, Light, ReliefReason};
use crate::optics::{
    self, ApparentField, Barlow, Barrel, Eyepiece, FocalRatio, Layout, Mass, ObstructionRatio,
    Travel, View,
};

impl Bench<'_> {
    /// Judges one view by all nine rules.
    #[must_use]
    pub fn assess(&self, eyepiece: &Eyepiece, barlow: Option<&Barlow>) -> Assessment {
        let view = View::of(self.telescope, eyepiece, barlow);
        Assessment {
            findings: [
                self.fits(eyepiece.barrel(), barlow),
                self.beam_in_pupil(&view),
                self.thin_beam(&view),
                self.ceiling(&view),
                self.relief.judge(view.exit_pupil().mm(), eyepiece),
                self.focus(eyepiece, barlow),
                self.field_edge(&view, eyepiece),
                self.balance(eyepiece, barlow),
                self.sun(),
            ],
        }
    }

    /// What becomes of the beam at the pupil. An obstruction that is not recorded counts as none:
    /// the rule on the pupil says so.
    #[inline]
    pub(super) fn light(&self, view: &View) -> Light {
        let obstruction = self.obstruction.unwrap_or(ObstructionRatio::CLEAR);
        Light::at(self.telescope.aperture(), view.exit_pupil(), self.pupil.typical, obstruction)
    }

    #[inline]
    pub(super) fn fits(&self, own: Option<Barrel>, barlow: Option<&Barlow>) -> Finding {
        let focuser = self.telescope.focuser();
        let found = |standing, detail| Finding {
            rule: Rule::Fits,
            standing,
            value: own.map(Barrel::mm),
            limit: focuser.map(Barrel::mm),
            detail,
        };
        if let Some(barlow) = barlow
            && let (Some(barrel), Some(into)) = (barlow.barrel, focuser)
            && !barrel.fits_into(into)
        {
            return found(Standing::Unsuitable, Detail::BarlowTooWide { into });
        }
        let hole = barlow.map_or(focuser, |barlow| barlow.barrel);
        if let (Some(own), Some(into)) = (own, hole)
            && !own.fits_into(into)
        {
            let detail = Detail::EyepieceTooWide { into, barlow: barlow.is_some() };
            return found(Standing::Unsuitable, detail);
        }
        if own.is_none() {
            found(Standing::NotKnown, Detail::Missing(Fact::EyepieceBarrel))
        } else if focuser.is_none() {
            found(Standing::NotKnown, Detail::Missing(Fact::FocuserBarrel))
        } else if hole.is_none() {
            found(Standing::NotKnown, Detail::Missing(Fact::BarlowBarrel))
        } else if own != hole || hole != focuser {
            found(Standing::Suits, Detail::GoesInWithAdapter)
        } else {
            found(Standing::Suits, Detail::GoesIn)
        }
    }

    #[inline]
    pub(super) fn beam_in_pupil(&self, view: &View) -> Finding {
        let beam = view.exit_pupil().mm();
        let typical = self.pupil.typical.mm();
        let found = |standing, limit, detail| Finding {
            rule: Rule::Pupil,
            standing,
            value: Some(beam),
            limit: Some(limit),
            detail,
        };
        if let Some(obstruction) = self.obstruction {
            let ratio = obstruction.fraction();
            let share = ratio * beam / typical;
            if ratio > 0.0 && beam > WIDEST_EXIT_PUPIL_MM {
                let detail = Detail::TooWideForAnObstruction;
                return found(Standing::Unsuitable, WIDEST_EXIT_PUPIL_MM, detail);
            }
            // The beam at which the shadow would take a share of the pupil.
            let beam_at = |share: f64| share * typical / ratio;
            let last = self.settings.shadow_last_share;
            if share > last {
                return found(Standing::Unsuitable, beam_at(last), Detail::Shadow { share });
            }
            let noticed = self.settings.shadow_noticed_share;
            if share > noticed && beam <= typical {
                return found(Standing::Compromise, beam_at(noticed), Detail::Shadow { share });
            }
        }
        if beam > typical {
            let light = self.light(view);
            let detail = Detail::LightLost {
                loss: light.loss(),
                effective_aperture_mm: light.effective_aperture_mm(),
            };
            return found(Standing::Compromise, typical, detail);
        }
        match self.easy_beam_mm {
            Some((_, widest)) if beam > widest => {
                return found(Standing::Compromise, widest, Detail::WideForFirstTimers);
            }
            _ => {}
        }
        if self.obstruction.is_none() {
            found(Standing::NotKnown, typical, Detail::Missing(Fact::Obstruction))
        } else if !self.pupil_known {
            found(Standing::NotKnown, typical, Detail::Missing(Fact::Age))
        } else {
            let some_eyes_smaller = beam > self.pupil.low.mm();
            found(Standing::Suits, typical, Detail::BeamFits { some_eyes_smaller })
        }
    }

    #[inline]
    pub(super) fn thin_beam(&self, view: &View) -> Finding {
        let beam = view.exit_pupil().mm();
        let settings = self.settings;
        let found = |standing, limit, detail| Finding {
            rule: Rule::ThinBeam,
            standing,
            value: Some(beam),
            limit: Some(limit),
            detail,
        };
        if beam < settings.thinnest_beam_mm {
            return found(Standing::Unsuitable, settings.thinnest_beam_mm, Detail::BeamThin);
        }
        if beam < settings.thin_beam_mm {
            return found(Standing::Compromise, settings.thin_beam_mm, Detail::BeamThin);
        }
        match self.easy_beam_mm {
            Some((thinnest, _)) if beam < thinnest => {
                found(Standing::Compromise, thinnest, Detail::ThinForFirstTimers)
            }
            _ => found(Standing::Suits, settings.thin_beam_mm, Detail::BeamThickEnough),
        }
    }

    #[inline]
    pub(super) fn ceiling(&self, view: &View) -> Finding {
        let power = view.magnification().times();
        let found = |standing, limit, detail| Finding {
            rule: Rule::Ceiling,
            standing,
            value: Some(power),
            limit: Some(limit),
            detail,
        };
        // Of two limits the smaller decides, and the sentence names the one that did.
        let tighter = |aperture: f64, seeing: f64| {
            if seeing < aperture {
                (seeing, Detail::PowerForSeeing)
            } else {
                (aperture, Detail::PowerForAperture)
            }
        };
        let (last, beyond) = tighter(self.aperture_power.1, self.seeing_power.1);
        if power > last {
            return found(Standing::Unsuitable, last, beyond);
        }
        let (fine, above) = tighter(self.aperture_power.0, self.seeing_power.0);
        if power > fine {
            return found(Standing::Compromise, fine, above);
        }
        found(Standing::Suits, fine, Detail::PowerFine)
    }

    #[inline]
    pub(super) fn focus(&self, eyepiece: &Eyepiece, barlow: Option<&Barlow>) -> Finding {
        let found = |standing, value: Option<f64>, limit: Option<f64>, detail| Finding {
            rule: Rule::Focus,
            standing,
            value,
            limit,
            detail,
        };
        let takes_off = self.relief.glasses == Glasses::TakesOff;
        let Some(sphere) = self.sphere else {
            return if takes_off {
                found(Standing::NotKnown, None, None, Detail::Missing(Fact::Sphere))
            } else {
                found(Standing::Suits, None, None, Detail::FocusNoMatter)
            };
        };
        if matches!(self.relief.glasses, Glasses::KeepsOn | Glasses::NotKnown) {
            return found(Standing::Suits, None, None, Detail::FocusNoMatter);
        }
        let shift_mm = optics::focus::focus_shift_mm(eyepiece, barlow, sphere);
        let value = Some(shift_mm.abs());
        let Some(travel) = self.telescope.focuser_travel().map(Travel::mm) else {
            return found(Standing::NotKnown, value, None, Detail::Missing(Fact::FocuserTravel));
        };
        // Nobody knows where in its travel the focus lies; the middle is the fair guess.
        let spare = travel / 2.0;
        if shift_mm.abs() <= spare {
            found(Standing::Suits, value, Some(spare), Detail::FocusReached)
        } else if shift_mm.abs() <= travel {
            found(Standing::Compromise, value, Some(spare), Detail::FocusShort { shift_mm })
        } else {
            found(Standing::Unsuitable, value, Some(travel), Detail::FocusShort { shift_mm })
        }
    }

    /// Share of the field's width that is clean of coma; none where that is not known.
    #[inline]
    pub(super) fn coma_free_share(&self, eyepiece: &Eyepiece) -> Option<f64> {
        match self.telescope.layout() {
            Layout::Unknown => None,
            _ if self.telescope.shows_coma() => {
                let mirror: FocalRatio = self.focal_ratio;
                Some(optics::coma::coma_free_share(mirror, apparent_field(eyepiece)?))
            }
            _ => Some(1.0),
        }
    }

    #[inline]
    fn field_edge(&self, view: &View, eyepiece: &Eyepiece) -> Finding {
        let found = |standing, value: Option<f64>, limit: Option<f64>, detail| Finding {
            rule: Rule::FieldEdge,
            standing,
            value,
            limit,
            detail,
        };
        let ratio = view.effective_focal_ratio().number();
        if let Some(class) = eyepiece.class()
            && ratio < class.fastest_focal_ratio()
        {
            let limit = Some(class.fastest_focal_ratio());
            let detail = Detail::ClassForRatio { class, ratio };
            return found(Standing::Compromise, Some(ratio), limit, detail);
        }
        let least = Some(self.settings.clean_field_share);
        let not_known = |fact| found(Standing::NotKnown, None, None, Detail::Missing(fact));
        match self.coma_free_share(eyepiece) {
            Some(clean_share) if clean_share < self.settings.clean_field_share => {
                let detail = Detail::Coma { clean_share };
                found(Standing::Compromise, Some(clean_share), least, detail)
            }
            _ if eyepiece.class().is_none() => not_known(Fact::OpticalClass),
            Some(share) => found(Standing::Suits, Some(share), least, Detail::EdgeFine),
            None if self.telescope.layout() == Layout::Unknown => not_known(Fact::Layout),
            None => not_known(Fact::Field),
        }
    }

    #[inline]
    pub(super) fn balance(&self, eyepiece: &Eyepiece, barlow: Option<&Barlow>) -> Finding {
        let found = |standing, value: Option<f64>, limit: Option<f64>, detail| Finding {
            rule: Rule::Balance,
            standing,
            value,
            limit,
            detail,
        };
        let mut mass = eyepiece.mass().map(Mass::g);
        if let Some(barlow) = barlow {
            mass = mass.and_then(|mass| Some(mass + barlow.mass?.g()));
        }
        let Some(limit) = self.telescope.balance_limit().map(Mass::g) else {
            return found(Standing::NotKnown, mass, None, Detail::Missing(Fact::BalanceLimit));
        };
        let Some(mass) = mass else {
            return found(Standing::NotKnown, None, Some(limit), Detail::Missing(Fact::Mass));
        };
        let last = limit * self.settings.balance_tolerance;
        if mass > last {
            found(Standing::Unsuitable, Some(mass), Some(last), Detail::Heavy)
        } else if mass > limit {
            found(Standing::Compromise, Some(mass), Some(limit), Detail::Heavy)
        } else {
            found(Standing::Suits, Some(mass), Some(limit), Detail::Carried)
        }
    }

    #[inline]
    pub(super) fn sun(&self) -> Finding {
        let (standing, detail) = match (self.usage, self.sun_filter) {
            (Usage::Night, _) => (Standing::Suits, Detail::NightOnly),
            (_, SunFilter::Verified) => (Standing::Suits, Detail::FilterVerified),
            (_, SunFilter::Missing) => (Standing::Blocked, Detail::NoFilter),
        };
        Finding { rule: Rule::Sun, standing, value: None, limit: None, detail }
    }
}

impl Relief {
    /// The rule on eye relief.
    pub(super) fn judge(&self, beam_mm: f64, eyepiece: &Eyepiece) -> Finding {
        let need = self.at(beam_mm);
        let found = |standing, detail| Finding {
            rule: Rule::EyeRelief,
            standing,
            value: eyepiece.relief().map(optics::EyeRelief::mm),
            limit: Some(match standing {
                Standing::Unsuitable => need.floor.mm(),
                _ => need.comfortable.mm(),
            }),
            detail,
        };
        let Some(relief) = eyepiece.relief() else {
            return found(Standing::NotKnown, Detail::Missing(Fact::EyeRelief));
        };
        let standing = if relief >= need.comfortable {
            Standing::Suits
        } else if relief >= need.floor {
            Standing::Compromise
        } else {
            Standing::Unsuitable
        };
        let hidden_below_mm = self.hidden_below_mm;
        match need.reason {
            ReliefReason::BareEye => {
                let blurred = hidden_below_mm > 0.0 && beam_mm > hidden_below_mm;
                if blurred && standing == Standing::Suits {
                    let detail = Detail::AstigmatismShows { hidden_below_mm };
                    return found(Standing::Compromise, detail);
                }
                found(standing, Detail::BareRelief)
            }
            ReliefReason::CylinderHidden { .. } => {
                let detail = Detail::GlassesMayComeOff { hidden_below_mm, a_little_blur: false };
                found(standing, detail)
            }
            ReliefReason::CylinderNearlyHidden { .. } if standing == Standing::Compromise => {
                let detail = Detail::GlassesMayComeOff { hidden_below_mm, a_little_blur: true };
                found(standing, detail)
            }
            _ if self.glasses == Glasses::NotKnown && standing == Standing::Suits => {
                found(Standing::NotKnown, Detail::Missing(Fact::Glasses))
            }
            _ => found(standing, Detail::GlassesRelief),
        }
    }

    /// Comfort at the eye: from 0.7 at the least relief to 1 at 5 mm beyond the comfortable one.
    pub(super) fn comfort(&self, beam_mm: f64, eyepiece: &Eyepiece) -> f32 {
        let need = self.at(beam_mm);
        let Some(relief) = eyepiece.relief() else { return 0.7 };
        let (relief, least, comfortable) = (relief.mm(), need.floor.mm(), need.comfortable.mm());
        let comfort = if relief >= comfortable {
            0.92 + 0.08 * ((relief - comfortable) / 5.0).min(1.0)
        } else {
            0.7 + 0.22 * ((relief - least) / (comfortable - least)).max(0.0)
        };
        comfort as f32
    }
}

/// The apparent field, or what the field stop and the focal length make of it; never more than the
/// barrel lets through.
fn apparent_field(eyepiece: &Eyepiece) -> Option<ApparentField> {
    let focal_length = eyepiece.focal_length().mm();
    let through = |width_mm: f64| (width_mm / focal_length).to_degrees();
    let claimed = match (eyepiece.apparent_field(), eyepiece.field_stop()) {
        (Some(apparent), _) => apparent.deg(),
        (None, Some(stop)) => through(stop.mm()),
        (None, None) => return None,
    };
    let passes = eyepiece.barrel().map_or(f64::INFINITY, |one| through(one.largest_field_stop()));
    // Long eyepieces in narrow barrels show less than any claim may say; they show no coma either.
    ApparentField::new(claimed.min(passes).clamp(ApparentField::LOW, ApparentField::HIGH)).ok()
}

#[cfg(test)]
mod tests;
