//! The nine rules: may this observer use this view?
//!
//! Here are the words: questions, rules, standings, verdicts, findings. Each rule answers with a
//! [`Finding`]: how the view stands, the value and the limit it was held against, and the detail
//! from which [`super::explain`] makes a sentence. The judging itself is in [`super::bench`].

use std::sync::Arc;

use super::purpose::{self, Mix};
use crate::eye::Observer;
use crate::optics::{Barrel, OpticalClass, Seeing};

/// What the observer means to do with the telescope.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Usage {
    /// Under the night sky.
    #[default]
    Night,
    /// On land, while the Sun is up.
    Day,
    /// On the Sun itself.
    Sun,
}

/// Whether a verified full-aperture front filter goes with the telescope.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum SunFilter {
    /// None, or none whose fit and light test are recorded.
    #[default]
    Missing,
    /// A full-aperture front filter recorded as fitting this telescope, tested in time, undamaged.
    Verified,
}

/// Who asks, under which sky, for what.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// The observer's eye and comfort.
    pub observer: Observer,
    /// The seeing, when somebody knows it.
    pub seeing: Option<Seeing>,
    /// Night, day or the Sun.
    pub usage: Usage,
    /// What will be up on the nights asked about; without it, and by day, the general mix counts.
    pub tonight: Option<Arc<Mix>>,
}

impl Question {
    /// The purposes that a kit is to serve.
    #[must_use]
    pub fn mix(&self) -> &Mix {
        match &self.tonight {
            Some(mix) if self.usage == Usage::Night => mix,
            _ => purpose::general(self.usage),
        }
    }
}

/// How one rule stands, from best to worst.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Standing {
    /// Nothing speaks against it.
    Suits,
    /// Not known, because a fact is missing.
    NotKnown,
    /// Usable, with a drawback.
    Compromise,
    /// Not to be used.
    Unsuitable,
    /// Forbidden: a safety gate.
    Blocked,
}

impl Standing {
    /// The word shown to people and programs.
    #[must_use]
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Suits => "suits",
            Self::NotKnown => "not_known",
            Self::Compromise => "compromise",
            Self::Unsuitable => "unsuitable",
            Self::Blocked => "blocked",
        }
    }
}

/// The verdict on a whole view: that of its worst rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// Use it freely.
    Suits,
    /// Use it, knowing the drawback.
    Compromise,
    /// Leave it on the shelf.
    Unsuitable,
}

impl Verdict {
    /// The word shown to people and programs.
    #[must_use]
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Suits => "suits",
            Self::Compromise => "compromise",
            Self::Unsuitable => "unsuitable",
        }
    }
}

/// The nine rules, in the order in which they are told.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Rule {
    /// The barrels go into each other.
    Fits,
    /// The exit pupil against the observer's own.
    Pupil,
    /// The beam is not too thin.
    ThinBeam,
    /// The power is within what aperture and seeing carry.
    Ceiling,
    /// The eye can be where the image is.
    EyeRelief,
    /// The focus can be reached without glasses.
    Focus,
    /// The edge of the field is clean enough.
    FieldEdge,
    /// The telescope carries the weight.
    Balance,
    /// The Sun cannot hurt anyone.
    Sun,
}

impl Rule {
    /// All rules, in order.
    pub const ALL: [Self; 9] = [
        Self::Fits,
        Self::Pupil,
        Self::ThinBeam,
        Self::Ceiling,
        Self::EyeRelief,
        Self::Focus,
        Self::FieldEdge,
        Self::Balance,
        Self::Sun,
    ];

    /// The name programs see.
    #[must_use]
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Fits => "fits",
            Self::Pupil => "pupil",
            Self::ThinBeam => "thin_beam",
            Self::Ceiling => "ceiling",
            Self::EyeRelief => "eye_relief",
            Self::Focus => "focus",
            Self::FieldEdge => "field_edge",
            Self::Balance => "balance",
            Self::Sun => "sun",
        }
    }

    /// Whether a missing fact makes the view a compromise at best (rules 1 to 5).
    fn needs_its_facts(self) -> bool {
        self <= Self::EyeRelief
    }
}

/// What one rule found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Finding {
    /// The rule.
    pub rule: Rule,
    /// How the view stands.
    pub standing: Standing,
    /// The number that was judged, in the rule's unit; none where it is not a matter of number.
    pub value: Option<f64>,
    /// The limit it was held against.
    pub limit: Option<f64>,
    /// What the sentence is about.
    pub detail: Detail,
}

impl Finding {
    /// How far the value is on the good side of the limit; negative beyond it.
    #[must_use]
    pub fn margin(&self) -> Option<f64> {
        let (value, limit) = (self.value?, self.limit?);
        let larger_is_better =
            matches!(self.rule, Rule::ThinBeam | Rule::EyeRelief | Rule::FieldEdge);
        Some(if larger_is_better { value - limit } else { limit - value })
    }
}

/// The story behind a finding.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Detail {
    /// Goes straight in.
    GoesIn,
    /// Goes in with an adapter.
    GoesInWithAdapter,
    /// The eyepiece is wider than the hole it has to go into.
    EyepieceTooWide {
        /// The hole: the Barlow's or the focuser's.
        into: Barrel,
        /// Whether the hole is the Barlow's.
        barlow: bool,
    },
    /// The Barlow is wider than the focuser.
    BarlowTooWide {
        /// The focuser.
        into: Barrel,
    },
    /// A fact is missing.
    Missing(Fact),
    /// The beam fits the eye.
    BeamFits {
        /// Whether it is wider than the eyes at the small end of the range.
        some_eyes_smaller: bool,
    },
    /// The iris cuts the beam.
    LightLost {
        /// Share of the light lost.
        loss: f64,
        /// The aperture that still counts, mm.
        effective_aperture_mm: f64,
    },
    /// Beyond the widest beam, with a central obstruction.
    TooWideForAnObstruction,
    /// The secondary's shadow takes a share of the eye's pupil.
    Shadow {
        /// Share of the pupil's width.
        share: f64,
    },
    /// Wider than a first-timer holds easily.
    WideForFirstTimers,
    /// Thick enough.
    BeamThickEnough,
    /// Thin.
    BeamThin,
    /// Thinner than a first-timer holds easily.
    ThinForFirstTimers,
    /// Within what most nights carry.
    PowerFine,
    /// More than the aperture carries on most nights.
    PowerForAperture,
    /// More than this seeing carries.
    PowerForSeeing,
    /// Relief without glasses.
    BareRelief,
    /// Relief with glasses on.
    GlassesRelief,
    /// Glasses can come off: the beam hides the cylinder.
    GlassesMayComeOff {
        /// The widest exit pupil that hides it, mm.
        hidden_below_mm: f64,
        /// Whether the beam is a little wider than that.
        a_little_blur: bool,
    },
    /// Without glasses, this beam shows the eye's astigmatism.
    AstigmatismShows {
        /// The widest exit pupil that hides it, mm.
        hidden_below_mm: f64,
    },
    /// The focuser reaches.
    FocusReached,
    /// Nothing to reach: glasses stay on, or there is no sphere.
    FocusNoMatter,
    /// The focuser may not reach.
    FocusShort {
        /// Travel wanted inward (negative) or outward, mm.
        shift_mm: f64,
    },
    /// The edge is as good as it gets.
    EdgeFine,
    /// The optical class is simple for this focal ratio.
    ClassForRatio {
        /// The class.
        class: OpticalClass,
        /// The focal ratio it works at.
        ratio: f64,
    },
    /// The mirror's coma shows.
    Coma {
        /// Share of the field's width that is clean.
        clean_share: f64,
    },
    /// Carried well.
    Carried,
    /// Heavy.
    Heavy,
    /// Night use.
    NightOnly,
    /// A verified filter is there.
    FilterVerified,
    /// By day or at the Sun, without a verified filter.
    NoFilter,
}

/// A fact that is not recorded.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fact {
    /// The eyepiece's barrel.
    EyepieceBarrel,
    /// The Barlow's barrel.
    BarlowBarrel,
    /// The telescope's focuser barrel.
    FocuserBarrel,
    /// The telescope's central obstruction.
    Obstruction,
    /// The observer's age.
    Age,
    /// The eyepiece's eye relief.
    EyeRelief,
    /// Whether the observer wears glasses at the eyepiece.
    Glasses,
    /// The focuser's travel.
    FocuserTravel,
    /// The observer's sphere.
    Sphere,
    /// The eyepiece's optical class.
    OpticalClass,
    /// The telescope's layout.
    Layout,
    /// The eyepiece's field.
    Field,
    /// The eyepiece's mass.
    Mass,
    /// What the telescope's balance takes.
    BalanceLimit,
}

/// The findings of all rules on one view.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Assessment {
    /// In the order of [`Rule::ALL`].
    pub findings: [Finding; 9],
}

impl Assessment {
    /// The verdict of the worst rule.
    #[must_use]
    pub fn verdict(&self) -> Verdict {
        let mut worst = Verdict::Suits;
        for finding in &self.findings {
            worst = worst.max(verdict_of(finding.rule, finding.standing));
        }
        worst
    }

    /// The finding of one rule.
    #[must_use]
    pub fn of(&self, rule: Rule) -> &Finding {
        &self.findings[rule as usize]
    }

    /// The worst finding; the first of equals.
    #[must_use]
    pub fn worst(&self) -> &Finding {
        let mut worst = &self.findings[0];
        for finding in &self.findings[1..] {
            if finding.standing > worst.standing {
                worst = finding;
            }
        }
        worst
    }
}

/// What one rule's standing makes of a view.
#[must_use]
pub fn verdict_of(rule: Rule, standing: Standing) -> Verdict {
    match standing {
        Standing::NotKnown if rule.needs_its_facts() => Verdict::Compromise,
        Standing::Suits | Standing::NotKnown => Verdict::Suits,
        Standing::Compromise => Verdict::Compromise,
        Standing::Unsuitable | Standing::Blocked => Verdict::Unsuitable,
    }
}
