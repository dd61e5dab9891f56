//! A place where the club observes.

use crate::club::Zone;
use crate::optics::Seeing;
use crate::optics::quantity::{no_hint, quantity};
use crate::sheet::Name;
use crate::sky::{Horizon, Site};

quantity! {
    /// Brightness of the moonless zenith, 14–22.5 V magnitudes per square arcsecond: 18 over a
    /// town, 21.5 far from all light.
    SkyBrightness, mag, "sky brightness", "magnitudes per square arcsecond", 14.0..=22.5, no_hint
}

impl SkyBrightness {
    /// How dark that is, in a few words (common practice, no source).
    #[must_use]
    pub fn in_words(self) -> &'static str {
        match self.mag() {
            mag if mag < 18.5 => "a town's bright sky",
            mag if mag < 20.0 => "the sky at the edge of a town",
            mag if mag < 21.0 => "a country sky",
            mag if mag < 21.5 => "a dark country sky",
            _ => "a sky far from all light",
        }
    }
}

/// A place where the club observes.
#[derive(Debug, Clone, PartialEq)]
pub struct ObservingSite {
    /// What it is called.
    pub name: Name,
    /// Where it is.
    pub place: Site,
    /// Whose clocks count there.
    pub zone: Zone,
    /// How dark it is.
    pub sky: SkyBrightness,
    /// What trees, roofs and hills hide.
    pub horizon: Horizon,
    /// How steady its air usually is, where somebody knows.
    pub seeing: Option<Seeing>,
}

/// Whether a site is where the club usually observes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Usually {
    /// It is.
    Here,
    /// It is one of the others.
    Elsewhere,
}

/// A site's number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SiteId(pub i64);

impl std::fmt::Display for SiteId {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.0.fmt(f)
    }
}

/// A site as it is kept.
#[derive(Debug, Clone, PartialEq)]
pub struct KeptSite {
    /// Its number.
    pub id: SiteId,
    /// Which version of it this is.
    pub version: i64,
    /// Whether the club usually observes there.
    pub usually: Usually,
    /// The site.
    pub site: ObservingSite,
}
