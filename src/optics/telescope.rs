//! A telescope's specification.

use super::{
    Aperture, Barrel, FocalRatio, Mass, Obstruction, ObstructionRatio, TelescopeFocalLength,
    Travel, quantity::plain,
};

/// How a telescope gathers its light.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Layout {
    /// Lenses only; nothing stands in the beam.
    Refractor,
    /// A parabolic main mirror and a small flat one.
    Newtonian,
    /// A folded telescope with a thin corrector plate.
    SchmidtCassegrain,
    /// A folded telescope with a deep meniscus lens.
    MaksutovCassegrain,
    /// Another design.
    Other,
    /// Nobody has written it down.
    Unknown,
}

impl Layout {
    /// Every layout, in the order in which a form offers them.
    pub const ALL: [Self; 6] = [
        Self::Refractor,
        Self::Newtonian,
        Self::SchmidtCassegrain,
        Self::MaksutovCassegrain,
        Self::Other,
        Self::Unknown,
    ];

    /// The name on the wire and in files.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Refractor => "refractor",
            Self::Newtonian => "newtonian",
            Self::SchmidtCassegrain => "schmidt_cassegrain",
            Self::MaksutovCassegrain => "maksutov_cassegrain",
            Self::Other => "other",
            Self::Unknown => "unknown",
        }
    }

    /// Reads a wire name; `None` when it is not one.
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|layout| layout.as_str() == name)
    }

    /// Whether nothing stands in the beam by design.
    pub const fn is_unobstructed(self) -> bool {
        matches!(self, Self::Refractor)
    }

    /// Whether the image is that of a paraboloid, so that coma grows off the middle.
    pub const fn is_paraboloid(self) -> bool {
        matches!(self, Self::Newtonian)
    }
}

/// Whether the mount follows the sky.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Tracking {
    /// A motor keeps the object in the field.
    Tracks,
    /// The object drifts through the field and the observer nudges.
    StandsStill,
}

/// The facts from which a [`Telescope`] is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TelescopeSpec {
    /// The optical design.
    pub layout: Layout,
    /// The clear diameter.
    pub aperture: Aperture,
    /// The telescope's own focal length.
    pub focal_length: TelescopeFocalLength,
    /// The central obstruction's diameter, when known. A refractor has none.
    pub obstruction: Option<Obstruction>,
    /// The widest barrel the focuser takes, when known.
    pub focuser: Option<Barrel>,
    /// How far the focuser can still move, when known.
    pub focuser_travel: Option<Travel>,
    /// The heaviest load the focuser or the balance takes, when known.
    pub balance_limit: Option<Mass>,
    /// Whether the mount follows the sky, when known.
    pub tracking: Option<Tracking>,
}

impl TelescopeSpec {
    /// A specification of which only the necessary is known.
    pub const fn new(
        layout: Layout,
        aperture: Aperture,
        focal_length: TelescopeFocalLength,
    ) -> Self {
        Self {
            layout,
            aperture,
            focal_length,
            obstruction: None,
            focuser: None,
            focuser_travel: None,
            balance_limit: None,
            tracking: None,
        }
    }
}

/// Why a telescope's facts cannot be true together.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum TelescopeError {
    /// The obstruction would cover the whole aperture.
    #[error(
        "The central obstruction ({} mm) must be smaller than the aperture ({} mm): please check both.",
        plain(.obstruction.mm()), plain(.aperture.mm())
    )]
    ObstructionTooWide {
        /// The obstruction given.
        obstruction: Obstruction,
        /// The aperture given.
        aperture: Aperture,
    },
    /// A refractor has nothing in its beam.
    #[error(
        "A refractor has no central obstruction, but {} mm was given: leave it empty or choose another layout.",
        plain(.0.mm())
    )]
    RefractorObstructed(Obstruction),
    /// The focal ratio is outside 1–100.
    #[error(
        "Aperture and focal length make f/{:.2}, and no telescope is outside f/1 to f/100: please check both.",
        .0.number()
    )]
    FocalRatio(FocalRatio),
}

/// A telescope whose facts agree with one another.
///
/// Two telescopes are equal when every fact is, so a telescope serves as its own folding key.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Telescope {
    layout: Layout,
    aperture: Aperture,
    focal_length: TelescopeFocalLength,
    obstruction: Option<Obstruction>,
    focuser: Option<Barrel>,
    focuser_travel: Option<Travel>,
    balance_limit: Option<Mass>,
    tracking: Option<Tracking>,
    pub(super) coma: MirrorComa,
}

/// What becomes of the coma of a parabolic mirror.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum MirrorComa {
    /// It grows off the middle.
    AsItIs,
    /// A corrector takes it away.
    TakenAway,
}

impl Telescope {
    /// Checks that the facts agree with one another.
    ///
    /// # Errors
    /// [`TelescopeError`] when the obstruction is not smaller than the aperture, a refractor
    /// has one, or the focal ratio is outside 1–100.
    pub fn new(spec: TelescopeSpec) -> Result<Self, TelescopeError> {
        let TelescopeSpec {
            layout,
            aperture,
            focal_length,
            obstruction,
            focuser,
            focuser_travel,
            balance_limit,
            tracking,
        } = spec;
        let obstruction = match obstruction {
            Some(given) if layout.is_unobstructed() && given.mm() > 0.0 => {
                return Err(TelescopeError::RefractorObstructed(given));
            }
            Some(obstruction) if obstruction.mm() >= aperture.mm() => {
                return Err(TelescopeError::ObstructionTooWide { obstruction, aperture });
            }
            None if layout.is_unobstructed() => Some(Obstruction::known(0.0)),
            given => given,
        };
        let ratio = focal_length.mm() / aperture.mm();
        if !(1.0..=100.0).contains(&ratio) {
            return Err(TelescopeError::FocalRatio(FocalRatio::computed(ratio)));
        }
        Ok(Self {
            layout,
            aperture,
            focal_length,
            obstruction,
            focuser,
            focuser_travel,
            balance_limit,
            tracking,
            coma: MirrorComa::AsItIs,
        })
    }

    /// Whether stars flare off the middle: in a paraboloid without a corrector.
    pub const fn shows_coma(&self) -> bool {
        self.layout.is_paraboloid() && matches!(self.coma, MirrorComa::AsItIs)
    }

    /// The facts, for changing one and checking again.
    pub const fn spec(&self) -> TelescopeSpec {
        TelescopeSpec {
            layout: self.layout,
            aperture: self.aperture,
            focal_length: self.focal_length,
            obstruction: self.obstruction,
            focuser: self.focuser,
            focuser_travel: self.focuser_travel,
            balance_limit: self.balance_limit,
            tracking: self.tracking,
        }
    }

    /// The optical design.
    pub const fn layout(&self) -> Layout {
        self.layout
    }

    /// The clear diameter.
    pub const fn aperture(&self) -> Aperture {
        self.aperture
    }

    /// The telescope's own focal length.
    pub const fn focal_length(&self) -> TelescopeFocalLength {
        self.focal_length
    }

    /// Focal length over aperture, without a Barlow.
    pub fn focal_ratio(&self) -> FocalRatio {
        FocalRatio::computed(self.focal_length.mm() / self.aperture.mm())
    }

    /// The central obstruction's diameter; `Some(0)` for a refractor, `None` when not known.
    pub const fn obstruction(&self) -> Option<Obstruction> {
        self.obstruction
    }

    /// The obstruction's share of the aperture's diameter; `None` when not known.
    pub fn obstruction_ratio(&self) -> Option<ObstructionRatio> {
        self.obstruction.map(|o| ObstructionRatio::computed(o.mm() / self.aperture.mm()))
    }

    /// The widest barrel the focuser takes.
    pub const fn focuser(&self) -> Option<Barrel> {
        self.focuser
    }

    /// How far the focuser can still move.
    pub const fn focuser_travel(&self) -> Option<Travel> {
        self.focuser_travel
    }

    /// The heaviest load the focuser or the balance takes.
    pub const fn balance_limit(&self) -> Option<Mass> {
        self.balance_limit
    }

    /// Whether the mount follows the sky.
    pub const fn tracking(&self) -> Option<Tracking> {
        self.tracking
    }

    /// A value that is equal (and hashes alike) for telescopes that no rule can tell apart.
    #[must_use]
    pub const fn fold_key(&self) -> Self {
        *self
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::optics::testing::newtonian;

    fn obstruction(mm: f64) -> Obstruction {
        Obstruction::new(mm).unwrap()
    }

    #[test]
    fn an_obstruction_must_leave_some_aperture() {
        let spec =
            |mm| TelescopeSpec { obstruction: Some(obstruction(mm)), ..newtonian(200.0, 1000.0) };
        assert!(Telescope::new(spec(199.9)).is_ok());
        let refused = Telescope::new(spec(200.0)).unwrap_err();
        assert_eq!(
            refused.to_string(),
            "The central obstruction (200 mm) must be smaller than the aperture (200 mm): \
             please check both."
        );
    }

    #[test]
    fn a_refractor_is_known_to_be_clear_and_cannot_be_obstructed() {
        let spec = TelescopeSpec { layout: Layout::Refractor, ..newtonian(80.0, 480.0) };
        let silent = Telescope::new(spec).unwrap();
        let stated =
            Telescope::new(TelescopeSpec { obstruction: Some(obstruction(0.0)), ..spec }).unwrap();
        assert_eq!(silent.obstruction_ratio(), Some(ObstructionRatio::CLEAR));
        assert_eq!(silent.fold_key(), stated.fold_key());
        let refused =
            Telescope::new(TelescopeSpec { obstruction: Some(obstruction(20.0)), ..spec });
        assert!(matches!(refused, Err(TelescopeError::RefractorObstructed(_))));
    }

    #[test]
    fn an_unknown_obstruction_stays_unknown() {
        assert_eq!(Telescope::new(newtonian(200.0, 1000.0)).unwrap().obstruction_ratio(), None);
    }

    #[test]
    fn swapped_or_absurd_lengths_show_in_the_focal_ratio() {
        let refused = Telescope::new(newtonian(1219.0, 203.2)).unwrap_err();
        assert_eq!(
            refused.to_string(),
            "Aperture and focal length make f/0.17, and no telescope is outside f/1 to f/100: \
             please check both."
        );
        assert!(Telescope::new(newtonian(30.0, 3000.0)).is_ok());
        assert!(Telescope::new(newtonian(30.0, 3001.0)).is_err());
    }

    #[test]
    fn a_telescope_gives_back_the_facts_it_was_made_of() {
        let spec = TelescopeSpec {
            obstruction: Some(obstruction(58.0)),
            focuser: Some(Barrel::Wide),
            focuser_travel: Some(Travel::new(40.0).unwrap()),
            balance_limit: Some(Mass::new(700.0).unwrap()),
            tracking: Some(Tracking::StandsStill),
            ..newtonian(254.0, 1200.0)
        };
        assert_eq!(Telescope::new(spec).unwrap().spec(), spec);
    }

    #[test]
    fn every_layout_reads_back_its_own_name() {
        for layout in Layout::ALL {
            assert_eq!(Layout::parse(layout.as_str()), Some(layout));
        }
        assert_eq!(Layout::parse("Newtonian"), None);
    }
}
