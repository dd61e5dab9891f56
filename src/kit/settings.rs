//! The limits a club may set, with the defaults of the trade.
//!
//! Every default here is `common practice, no source` unless its line says otherwise.

use crate::eye::ReliefLimits;
use crate::optics::Seeing;
use crate::optics::limits::{ApparentBlur, PowerPerInch};

/// What views are held against. A club changes these; an observer never loosens a safety gate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Settings {
    /// Power per inch of aperture that most nights carry, ×/inch.
    pub power_per_inch_most_nights: PowerPerInch,
    /// Power per inch of aperture that the rare excellent night carries, ×/inch.
    pub power_per_inch_rare_nights: PowerPerInch,
    /// The seeing disc, magnified, that is still comfortable to look at.
    pub seeing_blur_comfortable: ApparentBlur,
    /// The seeing disc, magnified, beyond which power shows nothing more.
    pub seeing_blur_last: ApparentBlur,
    /// Seeing assumed for worth when none is given.
    pub seeing_assumed: Seeing,
    /// Exit pupils under this are a compromise, mm.
    pub thin_beam_mm: f64,
    /// Exit pupils under this are unsuitable, mm.
    pub thinnest_beam_mm: f64,
    /// Share of the eye's pupil the secondary's shadow may take before it is noticed.
    pub shadow_noticed_share: f64,
    /// Share of the eye's pupil the secondary's shadow may take at all.
    pub shadow_last_share: f64,
    /// Share of the field's width that must be clean of coma for the edge to suit.
    pub clean_field_share: f64,
    /// Eye relief, with and without glasses.
    pub relief: ReliefLimits,
    /// How far over the balance limit a mass is still a compromise.
    pub balance_tolerance: f64,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            power_per_inch_most_nights: PowerPerInch::MOST_NIGHTS,
            power_per_inch_rare_nights: PowerPerInch::EXCELLENT_NIGHTS,
            seeing_blur_comfortable: ApparentBlur::COMFORTABLE,
            seeing_blur_last: ApparentBlur::LAST,
            seeing_assumed: Seeing::known(2.0),
            thin_beam_mm: 0.7,
            thinnest_beam_mm: 0.5,
            shadow_noticed_share: 1.0 / 3.0,
            shadow_last_share: 0.5,
            clean_field_share: 1.0 / 3.0,
            relief: ReliefLimits::default(),
            balance_tolerance: 1.5,
        }
    }
}
