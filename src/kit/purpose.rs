//! What a good kit is for: the general mix, for when no real sky is asked about.
//!
//! Ideal exit pupils by kind are `common practice, no source`: planets and tight doubles
//! 0.7–1.3 mm, the Moon 0.8–2, planetary nebulae 1–1.5, globulars and galaxies 1.5–2.5, open
//! clusters as they fit, large nebulae 3–6. The purposes stand close together on the axis of
//! power, so that a gap in a kit costs something wherever it falls. Weights and sizes are our own
//! choice, written here to be argued with.

use super::choose::LANES;
use super::rules::Usage;

/// The weights of a mix add up to this.
pub const WEIGHT_SUM: u32 = 1024;

/// What one kit is held against: at most this many purposes, those without weight unused.
pub type Mix = [Purpose; LANES];

/// The general mix, where no real sky is asked about.
#[must_use]
pub fn general(usage: Usage) -> &'static Mix {
    match usage {
        Usage::Night => &NIGHT,
        Usage::Day => &DAY,
        Usage::Sun => &SUN,
    }
}

/// What decides how well a view serves a purpose, apart from its exit pupil.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Kind {
    /// Finding and sweeping: the field is the thing.
    Sweep = 0,
    /// Large nebulae and open clusters: field and light.
    Wide = 1,
    /// Galaxies and globulars: light.
    Faint = 2,
    /// Lunar detail and planetary nebulae: some of everything.
    Detail = 3,
    /// Planets and close doubles: resolution.
    Sharp = 4,
}

impl Kind {
    /// All of them, from the widest to the finest.
    pub const ALL: [Self; KINDS] =
        [Self::Sweep, Self::Wide, Self::Faint, Self::Detail, Self::Sharp];
}

/// How many kinds there are.
pub(crate) const KINDS: usize = 5;

impl Kind {
    /// What a view of this kind is good for, as a person would say it.
    #[must_use]
    pub fn in_words(self) -> &'static str {
        match self {
            Self::Sweep => "finding and sweeping",
            Self::Wide => "large nebulae and open clusters",
            Self::Faint => "galaxies and globular clusters",
            Self::Detail => "lunar detail and planetary nebulae",
            Self::Sharp => "planets and close double stars",
        }
    }
}

/// One thing an observer wants to look at or do.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Purpose {
    /// Stable name, used by programs.
    pub id: &'static str,
    /// What it is, for people.
    pub name: &'static str,
    /// What decides how well it is served.
    pub kind: Kind,
    /// Exit pupil that serves it best, mm.
    pub ideal_exit_pupil_mm: f64,
    /// How large it is on the sky, degrees; zero for a point.
    pub size_deg: f64,
    /// Share of the whole, in 1/1024.
    pub weight: u32,
}

const fn purpose(
    id: &'static str,
    name: &'static str,
    kind: Kind,
    ideal_exit_pupil_mm: f64,
    size_deg: f64,
    weight: u32,
) -> Purpose {
    Purpose { id, name, kind, ideal_exit_pupil_mm, size_deg, weight }
}

/// A night under the stars, whatever is up.
pub static NIGHT: Mix = [
    purpose("sweep-milky-way", "sweeping the Milky Way", Kind::Sweep, 6.0, 0.0, 50),
    purpose("sweep-fields", "star-hopping", Kind::Sweep, 5.0, 0.0, 50),
    purpose("sweep-finding", "finding faint things", Kind::Sweep, 4.2, 0.0, 50),
    purpose("wide-nebula-grand", "the grandest nebulae", Kind::Wide, 5.0, 2.2, 40),
    purpose("wide-cluster-grand", "the widest clusters", Kind::Wide, 4.2, 1.5, 40),
    purpose("wide-nebula", "large nebulae", Kind::Wide, 3.6, 1.0, 40),
    purpose("wide-cluster", "large open clusters", Kind::Wide, 3.0, 0.7, 40),
    purpose("wide-cluster-rich", "rich open clusters", Kind::Wide, 2.6, 0.4, 40),
    purpose("faint-galaxy-near", "the nearest galaxies", Kind::Faint, 2.5, 0.5, 44),
    purpose("faint-galaxy-large", "large galaxies", Kind::Faint, 2.2, 0.3, 44),
    purpose("faint-galaxy", "galaxies", Kind::Faint, 2.0, 0.15, 44),
    purpose("faint-globular-large", "large globulars", Kind::Faint, 1.8, 0.3, 44),
    purpose("faint-globular", "globulars", Kind::Faint, 1.65, 0.15, 44),
    purpose("faint-galaxy-small", "small galaxies", Kind::Faint, 1.5, 0.08, 44),
    purpose("detail-moon-whole", "the whole Moon", Kind::Detail, 2.0, 0.52, 42),
    purpose("detail-planetary-large", "large planetary nebulae", Kind::Detail, 1.5, 0.1, 42),
    purpose("detail-moon-seas", "the lunar seas", Kind::Detail, 1.35, 0.25, 42),
    purpose("detail-planetary-small", "small planetary nebulae", Kind::Detail, 1.1, 0.02, 42),
    purpose("detail-moon-craters", "lunar craters", Kind::Detail, 0.85, 0.1, 42),
    purpose("sharp-double-easy", "easy double stars", Kind::Sharp, 1.3, 0.02, 40),
    purpose("sharp-planet-first", "planets on most nights", Kind::Sharp, 1.1, 0.03, 40),
    purpose("sharp-planet-steady", "planets on steady nights", Kind::Sharp, 0.95, 0.03, 40),
    purpose("sharp-double", "close double stars", Kind::Sharp, 0.82, 0.01, 40),
    purpose("sharp-double-tight", "the closest double stars", Kind::Sharp, 0.7, 0.01, 40),
];

/// Fills a mix up.
pub(super) const UNUSED: Purpose = purpose("", "", Kind::Sharp, 1.0, 0.0, 0);

/// The Sun, through a full-aperture front filter only.
pub static SUN: Mix = {
    let mut mix = [UNUSED; LANES];
    mix[0] = purpose("sun-whole", "the whole Sun", Kind::Detail, 2.0, 0.53, 400);
    mix[1] = purpose("sun-groups", "groups of sunspots", Kind::Detail, 1.4, 0.2, 312);
    mix[2] = purpose("sun-spots", "single sunspots", Kind::Sharp, 1.0, 0.05, 312);
    mix
};

/// By day, the eye's pupil being small: landscape and birds, well away from the Sun.
pub static DAY: Mix = {
    let mut mix = [UNUSED; LANES];
    mix[0] = purpose("day-wide", "wide views by day", Kind::Sweep, 3.0, 0.0, 400);
    mix[1] = purpose("day-near", "closer views by day", Kind::Detail, 2.2, 0.5, 312);
    mix[2] = purpose("day-close", "close views by day", Kind::Detail, 1.5, 0.2, 312);
    mix
};

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_weights_of_every_mix_add_up() {
        for mix in [&NIGHT, &SUN, &DAY] {
            assert_eq!(mix.iter().map(|purpose| purpose.weight).sum::<u32>(), WEIGHT_SUM);
        }
    }

    #[test]
    fn the_night_leaves_no_gap_on_the_axis_of_power() {
        let mut ideals: Vec<f64> =
            NIGHT.iter().map(|purpose| purpose.ideal_exit_pupil_mm).collect();
        ideals.sort_by(f64::total_cmp);
        for pair in ideals.windows(2) {
            assert!(pair[1] / pair[0] <= 1.2 + 1e-12, "{} to {}", pair[0], pair[1]);
        }
    }

    #[test]
    fn no_two_purposes_of_a_mix_share_a_name() {
        for mix in [&NIGHT, &SUN, &DAY] {
            let mut ids: Vec<&str> =
                mix.iter().filter(|purpose| purpose.weight > 0).map(|p| p.id).collect();
            let count = ids.len();
            ids.sort_unstable();
            ids.dedup();
            assert_eq!(ids.len(), count);
        }
    }
}
