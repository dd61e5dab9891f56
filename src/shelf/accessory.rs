//! Whatever is lent besides telescopes and what goes into them: diagonals, coma correctors, power
//! packs, cases, finders and the rest.

use sqlx::SqliteConnection;

use super::doubts::{Doubt, Doubtful, doubt};
use super::item::{ItemId, Kind, Record, named};
use super::store::{self, ShelfError};
use super::table::Tabular;
use super::words::{Wordy, barrel_words};
use super::write::Figures;
use crate::optics::{Barrel, ComaCorrector, CorrectorFactor, Mass};
use crate::sheet::{Cell, Cells};
use crate::web::format;

/// An accessory on the shelf.
pub type AccessoryRecord = Record<AccessoryFigures>;

named! {
    /// What an accessory is.
    AccessoryKind {
        /// Turns the light so that one looks in from the side.
        Diagonal = "diagonal",
        /// Takes the flare from the edge of a fast mirror's field.
        ComaCorrector = "coma_corrector",
        /// A battery.
        PowerPack = "power_pack",
        /// A case or bag.
        Case = "case",
        /// Points the telescope.
        Finder = "finder",
        /// Anything else.
        Other = "other",
    }
}

impl AccessoryKind {
    /// The word in a sentence.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Diagonal => "diagonal",
            Self::ComaCorrector => "coma corrector",
            Self::PowerPack => "power pack",
            Self::Case => "case",
            Self::Finder => "finder",
            Self::Other => "accessory",
        }
    }
}

/// A number with the range in which an accessory of any make has it.
macro_rules! ranged {
    ($(#[$doc:meta])* $name:ident, $get:ident, $low:literal, $high:literal, $what:literal) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq)]
        pub struct $name(f64);

        impl $name {
            /// The least accepted.
            pub const LOW: f64 = $low;
            /// The most accepted.
            pub const HIGH: f64 = $high;

            /// Checks a number.
            ///
            /// # Errors
            /// [`NotAnAccessory::OutOfRange`] outside the range.
            pub fn new(given: f64) -> Result<Self, NotAnAccessory> {
                let (what, low, high) = ($what, Self::LOW, Self::HIGH);
                if (low..=high).contains(&given) {
                    Ok(Self(given))
                } else {
                    Err(NotAnAccessory::OutOfRange { what, low, high, given })
                }
            }

            /// The number.
            pub const fn $get(self) -> f64 {
                self.0
            }
        }
    };
}

ranged! {
    /// How far the light travels inside an accessory, 1–500 mm.
    LightPath, mm, 1.0, 500.0, "light path"
}
ranged! {
    /// What a power pack holds, 1–5,000 Wh.
    Capacity, wh, 1.0, 5000.0, "capacity"
}

/// Why figures are no accessory's.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum NotAnAccessory {
    /// A number outside its range.
    #[error("The {what} must be between {low} and {high}, but {given} was given.")]
    OutOfRange {
        /// Which number.
        what: &'static str,
        /// The least accepted.
        low: f64,
        /// The most accepted.
        high: f64,
        /// What was given.
        given: f64,
    },
    /// A factor of something that changes no focal length.
    #[error("Only a coma corrector has a factor: leave it empty, or choose another kind.")]
    FactorOfWhat,
    /// A capacity of something without a battery.
    #[error("Only a power pack has a capacity: leave it empty, or choose another kind.")]
    CapacityOfWhat,
}

/// What is known of an accessory.
#[derive(Debug, Clone, PartialEq)]
pub struct AccessoryFigures {
    /// What it is.
    pub kind: AccessoryKind,
    /// The barrel that goes into the focuser.
    pub barrel: Option<Barrel>,
    /// How far the light travels inside it.
    pub light_path: Option<LightPath>,
    /// Of a coma corrector, how it changes the focal length.
    pub factor: Option<CorrectorFactor>,
    /// Of a power pack, what it holds.
    pub capacity: Option<Capacity>,
    /// The mass, when known.
    pub mass: Option<Mass>,
}

impl AccessoryFigures {
    /// Checks what belongs together.
    ///
    /// # Errors
    /// [`NotAnAccessory`] for a factor or a capacity of something else.
    pub fn checked(self) -> Result<Self, NotAnAccessory> {
        match self.kind {
            kind if self.factor.is_some() && kind != AccessoryKind::ComaCorrector => {
                Err(NotAnAccessory::FactorOfWhat)
            }
            kind if self.capacity.is_some() && kind != AccessoryKind::PowerPack => {
                Err(NotAnAccessory::CapacityOfWhat)
            }
            _ => Ok(self),
        }
    }
}

impl AccessoryFigures {
    /// The coma corrector that it is; none where it is something else.
    pub fn corrector(&self) -> Option<ComaCorrector> {
        (self.kind == AccessoryKind::ComaCorrector).then_some(ComaCorrector {
            factor: self.factor,
            barrel: self.barrel,
            mass: self.mass,
        })
    }
}

impl Figures for AccessoryFigures {
    const KIND: Kind = Kind::Accessory;

    fn mass(&self) -> Option<Mass> {
        self.mass
    }

    async fn put(&self, conn: &mut SqliteConnection, id: ItemId) -> Result<(), ShelfError> {
        let kind = self.kind.as_str();
        let barrel = self.barrel.map(Barrel::mm);
        let path = self.light_path.map(LightPath::mm);
        let factor = self.factor.map(CorrectorFactor::times);
        let capacity = self.capacity.map(Capacity::wh);
        sqlx::query!(
            "INSERT INTO accessory (item_id, kind, barrel_mm, light_path_mm, factor, capacity_wh)
             VALUES (?, ?, ?, ?, ?, ?)
             ON CONFLICT (item_id) DO UPDATE SET
                 kind = excluded.kind, barrel_mm = excluded.barrel_mm,
                 light_path_mm = excluded.light_path_mm, factor = excluded.factor,
                 capacity_wh = excluded.capacity_wh",
            id.0,
            kind,
            barrel,
            path,
            factor,
            capacity
        )
        .execute(conn)
        .await?;
        Ok(())
    }
}

impl Tabular for AccessoryFigures {
    const COLUMNS: &'static [&'static str] = &[
        "asset_tag",
        "name",
        "kind",
        "barrel_mm",
        "light_path_mm",
        "factor",
        "capacity_wh",
        "mass_g",
        "acquired_year",
        "state",
        "notes",
    ];

    fn read(cells: &mut Cells<'_>) -> Option<Self> {
        let kinds: Vec<&str> = AccessoryKind::ALL.iter().map(|kind| kind.as_str()).collect();
        let kind = cells.needed_word("kind", &kinds, AccessoryKind::parse);
        let barrel = cells.number("barrel_mm", Barrel::try_from);
        let light_path = cells.number("light_path_mm", LightPath::new);
        let factor = cells.number("factor", CorrectorFactor::new);
        let capacity = cells.number("capacity_wh", Capacity::new);
        let mass = cells.number("mass_g", Mass::new);
        Self { kind: kind?, barrel, light_path, factor, capacity, mass }
            .checked()
            .map_err(|says| {
                let column =
                    if says == NotAnAccessory::FactorOfWhat { "factor" } else { "capacity_wh" };
                cells.fault(Some(column), says);
            })
            .ok()
    }

    fn cells(&self) -> Vec<Cell<'_>> {
        vec![
            Cell::Text(self.kind.as_str()),
            self.barrel.map(Barrel::mm).into(),
            self.light_path.map(LightPath::mm).into(),
            self.factor.map(CorrectorFactor::times).into(),
            self.capacity.map(Capacity::wh).into(),
            self.mass.map(Mass::g).into(),
        ]
    }

    async fn all(conn: &mut SqliteConnection) -> Result<Vec<Record<Self>>, ShelfError> {
        store::accessories(conn).await
    }

    async fn this(
        conn: &mut SqliteConnection,
        item: ItemId,
    ) -> Result<Option<Record<Self>>, ShelfError> {
        store::accessory(conn, item).await
    }

    async fn these(
        conn: &mut SqliteConnection,
        items: &[ItemId],
    ) -> Result<Vec<Record<Self>>, ShelfError> {
        store::these_accessories(conn, items).await
    }
}

impl Wordy for AccessoryFigures {
    fn summary(&self) -> String {
        let mut words = vec![format::sentence_case(self.kind.word())];
        words.extend(self.factor.map(|factor| format::factor(factor.times())));
        words.extend(self.capacity.map(|capacity| format!("{:.0} Wh", capacity.wh())));
        words.extend(self.barrel.map(|one| format!("{} barrel", format::millimetres(one.mm()))));
        words.join(", ")
    }

    fn more_words(&self) -> Vec<String> {
        let also = match self.kind {
            AccessoryKind::Diagonal => "star diagonal mirror prism",
            AccessoryKind::ComaCorrector => "coma corrector",
            AccessoryKind::PowerPack => "power pack battery accumulator",
            AccessoryKind::Case => "case bag box",
            AccessoryKind::Finder => "finder red dot finderscope",
            AccessoryKind::Other => "",
        };
        vec!["accessory".to_owned(), also.to_owned(), barrel_words(self.barrel).to_owned()]
    }
}

impl Doubtful for AccessoryFigures {
    fn doubts(&self) -> Vec<Doubt> {
        let mut doubts = Vec::new();
        if self.kind == AccessoryKind::ComaCorrector && self.factor.is_none() {
            doubts.push(doubt(
                "factor",
                "A coma corrector changes the focal length a little: write 1 if it does not, or what its maker says.",
            ));
        }
        // What flies with passengers ends at 100 Wh without asking, 160 Wh with; common practice,
        // no source.
        if self.capacity.is_some_and(|capacity| capacity.wh() > 2000.0) {
            doubts.push(doubt(
                "capacity_wh",
                "That is a very large battery: were ampere-hours or milliampere-hours written for watt-hours?",
            ));
        }
        doubts
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn accessory(kind: AccessoryKind) -> AccessoryFigures {
        AccessoryFigures {
            kind,
            barrel: None,
            light_path: None,
            factor: None,
            capacity: None,
            mass: None,
        }
    }

    #[test]
    fn figures_belong_to_what_has_them() {
        let factor = CorrectorFactor::new(1.15).ok();
        let capacity = Capacity::new(84.0).ok();
        let corrector = AccessoryFigures { factor, ..accessory(AccessoryKind::ComaCorrector) };
        assert!(corrector.clone().checked().is_ok());
        let case = AccessoryFigures { kind: AccessoryKind::Case, ..corrector };
        assert_eq!(case.checked(), Err(NotAnAccessory::FactorOfWhat));
        let pack = AccessoryFigures { capacity, ..accessory(AccessoryKind::PowerPack) };
        assert_eq!(pack.summary(), "Power pack, 84 Wh");
        let finder = AccessoryFigures { kind: AccessoryKind::Finder, ..pack };
        assert_eq!(finder.checked(), Err(NotAnAccessory::CapacityOfWhat));
        assert!(CorrectorFactor::new(2.1).is_err() && LightPath::new(f64::NAN).is_err());
    }
}
