//! The figures of each kind of item.

use jiff::civil::Date;

use super::accessory::AccessoryRecord;
use super::item::{AssetTag, ItemId, Record, named};
use crate::optics::{Barlow, Barrel, Eyepiece, Mass, Telescope};

/// A telescope on the shelf.
pub type TelescopeRecord = Record<TelescopeFigures>;
/// An eyepiece on the shelf; its mass is in its figures.
pub type EyepieceRecord = Record<Eyepiece>;
/// A Barlow on the shelf; its mass is in its figures.
pub type BarlowRecord = Record<Barlow>;
/// A filter on the shelf.
pub type FilterRecord = Record<FilterFigures>;

named! {
    /// What a telescope stands on.
    Mount {
        /// A turntable with a rocking tube on the ground.
        Dobsonian = "dobsonian",
        /// A small one that needs a table.
        Tabletop = "tabletop",
        /// Up-down and left-right on a tripod.
        Altazimuth = "altazimuth",
        /// One axis along the Earth's.
        Equatorial = "equatorial",
    }
}

/// What is known of a telescope with its mount.
#[derive(Debug, Clone, PartialEq)]
pub struct TelescopeFigures {
    /// The glass, the focuser and whether the mount follows the sky.
    pub optics: Telescope,
    /// What it stands on, when known.
    pub mount: Option<Mount>,
    /// Everything that goes to the field, when known.
    pub total_mass: Option<Mass>,
    /// The heaviest part to be lifted in one piece, when known.
    pub heaviest_part: Option<Mass>,
    /// How high the eyepiece stands, when known.
    pub eyepiece_height: Heights,
    /// People needed besides the borrower, when known.
    pub helpers: Option<Helpers>,
    /// The outer diameter of the tube where a front filter goes over it, when measured.
    pub tube: Option<TubeDiameter>,
}

/// The eyepiece's lowest and highest place above the ground, mm; either may be unknown.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Heights {
    min_mm: Option<f64>,
    max_mm: Option<f64>,
}

impl Heights {
    /// The highest eyepiece accepted, mm.
    pub const HIGH_MM: f64 = 10_000.0;

    /// Checks one of the two on its own.
    ///
    /// # Errors
    /// [`NotAHeight::OutOfRange`] outside 0–10,000 mm.
    pub fn check(mm: f64) -> Result<f64, NotAHeight> {
        if (0.0..=Self::HIGH_MM).contains(&mm) {
            Ok(mm + 0.0)
        } else {
            Err(NotAHeight::OutOfRange { given: mm })
        }
    }

    /// Checks both together.
    ///
    /// # Errors
    /// [`NotAHeight`] when one is outside 0–10,000 mm or the lowest is above the highest.
    pub fn new(min_mm: Option<f64>, max_mm: Option<f64>) -> Result<Self, NotAHeight> {
        let min_mm = min_mm.map(Self::check).transpose()?;
        let max_mm = max_mm.map(Self::check).transpose()?;
        match (min_mm, max_mm) {
            (Some(min), Some(max)) if min > max => Err(NotAHeight::UpsideDown { min, max }),
            _ => Ok(Self { min_mm, max_mm }),
        }
    }

    /// The lowest place, mm.
    pub const fn min_mm(self) -> Option<f64> {
        self.min_mm
    }

    /// The highest place, mm.
    pub const fn max_mm(self) -> Option<f64> {
        self.max_mm
    }
}

/// Why heights cannot be the eyepiece's.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum NotAHeight {
    /// Outside 0–10,000 mm.
    #[error("The eyepiece's height must be between 0 and 10000 mm, but {given} was given.")]
    OutOfRange {
        /// The height given, mm.
        given: f64,
    },
    /// The lowest place is above the highest.
    #[error(
        "The eyepiece's lowest place ({min} mm) is above its highest ({max} mm): please check both."
    )]
    UpsideDown {
        /// The lowest place, mm.
        min: f64,
        /// The highest place, mm.
        max: f64,
    },
}

/// People needed besides the borrower, 0–20.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Helpers(u8);

impl Helpers {
    /// The largest number accepted.
    pub const HIGH: u8 = 20;

    /// Checks a number of people.
    ///
    /// # Errors
    /// [`TooManyHelpers`] outside 0–20.
    pub fn new(count: i64) -> Result<Self, TooManyHelpers> {
        u8::try_from(count)
            .ok()
            .filter(|count| *count <= Self::HIGH)
            .map(Self)
            .ok_or(TooManyHelpers { given: count })
    }

    /// How many.
    pub const fn count(self) -> u8 {
        self.0
    }
}

/// More helpers than any telescope needs, or fewer than none.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("The number of helpers must be between 0 and 20, but {given} was given.")]
pub struct TooManyHelpers {
    /// The number given.
    pub given: i64,
}

named! {
    /// What a filter is for.
    FilterKind {
        /// Goes over the front of the telescope and is the only kind with which one may look at
        /// the Sun.
        SolarFullAperture = "solar_full_aperture",
        /// Dims the Moon.
        Moon = "moon",
        /// Lets through the light of nebulae.
        Nebula = "nebula",
        /// Coloured glass for planets.
        Colour = "colour",
        /// Turns to dim.
        Polarising = "polarising",
    }
}

/// What is known of a filter.
#[derive(Debug, Clone, PartialEq)]
pub struct FilterFigures {
    /// What it is for.
    pub kind: FilterKind,
    /// The barrel it screws into; never for one that goes before the telescope.
    pub barrel: Option<Barrel>,
    /// The telescope it was made for, by its tag.
    pub fits_telescope: Option<AssetTag>,
    /// The outer diameters of the tubes it goes over.
    pub fits_tube: TubeDiameters,
    /// The day on which somebody last checked it for leaks of light.
    pub last_light_test: Option<Date>,
    /// Whether somebody noted damage.
    pub damaged: bool,
    /// The mass, when known.
    pub mass: Option<Mass>,
}

impl FilterFigures {
    /// Checks what belongs together.
    ///
    /// # Errors
    /// [`SolarFilterInEyepiece`] for a solar filter with a barrel.
    pub fn checked(self) -> Result<Self, SolarFilterInEyepiece> {
        match (self.kind, self.barrel) {
            (FilterKind::SolarFullAperture, Some(_)) => Err(SolarFilterInEyepiece),
            _ => Ok(self),
        }
    }
}

/// A solar filter that would screw into an eyepiece.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error(
    "A full-aperture solar filter goes over the front of the telescope and has no barrel. One that screws into an eyepiece can burst in the heat and must never be used."
)]
pub struct SolarFilterInEyepiece;

/// The outer diameter of a telescope's tube, 20–4,000 mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TubeDiameter(f64);

impl TubeDiameter {
    /// Checks a diameter, mm.
    ///
    /// # Errors
    /// [`NotATube::OutOfRange`] outside 20–4,000 mm.
    pub fn new(mm: f64) -> Result<Self, NotATube> {
        TubeDiameters::check(mm).map(Self)
    }

    /// The diameter, mm.
    pub const fn mm(self) -> f64 {
        self.0
    }
}

/// The range of outer tube diameters a filter goes over, mm; either end may be unknown.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct TubeDiameters {
    min_mm: Option<f64>,
    max_mm: Option<f64>,
}

impl TubeDiameters {
    /// The narrowest tube accepted, mm.
    pub const LOW_MM: f64 = 20.0;
    /// The widest tube accepted, mm.
    pub const HIGH_MM: f64 = 4000.0;

    /// Checks one of the two on its own.
    ///
    /// # Errors
    /// [`NotATube::OutOfRange`] outside 20–4,000 mm.
    pub fn check(mm: f64) -> Result<f64, NotATube> {
        if (Self::LOW_MM..=Self::HIGH_MM).contains(&mm) {
            Ok(mm)
        } else {
            Err(NotATube::OutOfRange { given: mm })
        }
    }

    /// Checks both together.
    ///
    /// # Errors
    /// [`NotATube`] when one is outside 20–4,000 mm or the narrowest is wider than the widest.
    pub fn new(min_mm: Option<f64>, max_mm: Option<f64>) -> Result<Self, NotATube> {
        let min_mm = min_mm.map(Self::check).transpose()?;
        let max_mm = max_mm.map(Self::check).transpose()?;
        match (min_mm, max_mm) {
            (Some(min), Some(max)) if min > max => Err(NotATube::WrongWayRound { min, max }),
            _ => Ok(Self { min_mm, max_mm }),
        }
    }

    /// The narrowest tube, mm.
    pub const fn min_mm(self) -> Option<f64> {
        self.min_mm
    }

    /// The widest tube, mm.
    pub const fn max_mm(self) -> Option<f64> {
        self.max_mm
    }

    /// Whether a tube lies in the range; an end that is not known is no obstacle.
    pub fn take(self, tube: TubeDiameter) -> bool {
        self.min_mm.is_none_or(|min| min <= tube.mm())
            && self.max_mm.is_none_or(|max| tube.mm() <= max)
    }
}

/// Why diameters cannot be those of a tube.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum NotATube {
    /// Outside 20–4,000 mm.
    #[error("The tube's outer diameter must be between 20 and 4000 mm, but {given} was given.")]
    OutOfRange {
        /// The diameter given, mm.
        given: f64,
    },
    /// The narrowest tube is wider than the widest.
    #[error(
        "The narrowest tube ({min} mm) is wider than the widest ({max} mm): please check both."
    )]
    WrongWayRound {
        /// The narrowest, mm.
        min: f64,
        /// The widest, mm.
        max: f64,
    },
}

/// Everything on the shelf, or the part of it that somebody asked for.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Shelf {
    /// The telescopes.
    pub telescopes: Vec<TelescopeRecord>,
    /// The eyepieces.
    pub eyepieces: Vec<EyepieceRecord>,
    /// The Barlows.
    pub barlows: Vec<BarlowRecord>,
    /// The filters.
    pub filters: Vec<FilterRecord>,
    /// The coma correctors.
    pub correctors: Vec<AccessoryRecord>,
}

impl Shelf {
    /// The numbers of all items, kind by kind.
    pub fn ids(&self) -> Vec<ItemId> {
        let telescopes = self.telescopes.iter().map(|item| item.id);
        let eyepieces = self.eyepieces.iter().map(|item| item.id);
        let barlows = self.barlows.iter().map(|item| item.id);
        let filters = self.filters.iter().map(|item| item.id);
        let correctors = self.correctors.iter().map(|item| item.id);
        telescopes.chain(eyepieces).chain(barlows).chain(filters).chain(correctors).collect()
    }

    /// Keeps only some of the items.
    pub fn retain(&mut self, keep: impl Fn(ItemId) -> bool) {
        self.telescopes.retain(|item| keep(item.id));
        self.eyepieces.retain(|item| keep(item.id));
        self.barlows.retain(|item| keep(item.id));
        self.filters.retain(|item| keep(item.id));
        self.correctors.retain(|item| keep(item.id));
    }
}
