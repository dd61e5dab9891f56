//! What the table of each kind holds between the name and the year.

use sqlx::SqliteConnection;

use super::item::{AssetTag, ItemId, Record};
use super::model::{
    FilterFigures, FilterKind, Heights, Helpers, Mount, TelescopeFigures, TubeDiameter,
    TubeDiameters,
};
use super::store::{self, ShelfError};
use super::table::Tabular;
use super::write::stored_obstruction;
use crate::optics::{
    Aperture, ApparentField, Barlow, BarlowFactor, BarlowKind, Barrel, EyeRelief, Eyepiece,
    EyepieceFocalLength, EyepieceSpec, FieldStop, Layout, Mass, Obstruction, OpticalClass,
    Telescope, TelescopeError, TelescopeFocalLength, TelescopeSpec, Tracking, Travel,
};
use crate::sheet::{Cell, Cells};

impl Tabular for TelescopeFigures {
    const COLUMNS: &'static [&'static str] = &[
        "asset_tag",
        "name",
        "layout",
        "aperture_mm",
        "focal_length_mm",
        "central_obstruction_mm",
        "tube_outer_diameter_mm",
        "focuser_barrel_mm",
        "focuser_travel_mm",
        "balance_limit_g",
        "mount",
        "tracking",
        "total_mass_g",
        "heaviest_part_mass_g",
        "eyepiece_height_min_mm",
        "eyepiece_height_max_mm",
        "helpers",
        "acquired_year",
        "state",
        "notes",
    ];

    fn read(cells: &mut Cells<'_>) -> Option<Self> {
        let mounts: Vec<&str> = Mount::ALL.iter().map(|mount| mount.as_str()).collect();
        let mount = cells.word("mount", &mounts, Mount::parse);
        let total_mass = cells.number("total_mass_g", Mass::new);
        let heaviest_part = cells.number("heaviest_part_mass_g", Mass::new);
        let helpers = cells.whole("helpers", Helpers::new);
        let tube = cells.number("tube_outer_diameter_mm", TubeDiameter::new);
        let low = cells.number("eyepiece_height_min_mm", Heights::check);
        let high = cells.number("eyepiece_height_max_mm", Heights::check);
        let eyepiece_height = Heights::new(low, high)
            .map_err(|says| cells.fault(Some("eyepiece_height_min_mm"), says))
            .ok();
        let optics = read_telescope(cells)?;
        let eyepiece_height = eyepiece_height?;
        Some(Self { optics, mount, total_mass, heaviest_part, eyepiece_height, helpers, tube })
    }

    fn cells(&self) -> Vec<Cell<'_>> {
        let optics = &self.optics;
        vec![
            Cell::Text(optics.layout().as_str()),
            Cell::Number(optics.aperture().mm()),
            Cell::Number(optics.focal_length().mm()),
            stored_obstruction(self).into(),
            self.tube.map(TubeDiameter::mm).into(),
            optics.focuser().map(Barrel::mm).into(),
            optics.focuser_travel().map(Travel::mm).into(),
            optics.balance_limit().map(Mass::g).into(),
            self.mount.map(Mount::as_str).into(),
            Cell::yes_or_no(optics.tracking().map(|tracking| tracking == Tracking::Tracks)),
            self.total_mass.map(Mass::g).into(),
            self.heaviest_part.map(Mass::g).into(),
            self.eyepiece_height.min_mm().into(),
            self.eyepiece_height.max_mm().into(),
            self.helpers.map(|helpers| i64::from(helpers.count())).into(),
        ]
    }

    async fn all(conn: &mut SqliteConnection) -> Result<Vec<Record<Self>>, ShelfError> {
        store::telescopes(conn).await
    }

    async fn this(
        conn: &mut SqliteConnection,
        item: ItemId,
    ) -> Result<Option<Record<Self>>, ShelfError> {
        store::telescope(conn, item).await
    }

    async fn these(
        conn: &mut SqliteConnection,
        items: &[ItemId],
    ) -> Result<Vec<Record<Self>>, ShelfError> {
        store::these_telescopes(conn, items).await
    }
}

fn read_telescope(cells: &mut Cells<'_>) -> Option<Telescope> {
    let layouts = Layout::ALL.map(Layout::as_str);
    let layout = cells.word("layout", &layouts, Layout::parse).unwrap_or(Layout::Unknown);
    let aperture = cells.needed_number("aperture_mm", Aperture::new);
    let focal_length = cells.needed_number("focal_length_mm", TelescopeFocalLength::new);
    let obstruction = cells.number("central_obstruction_mm", Obstruction::new);
    let focuser = cells.number("focuser_barrel_mm", Barrel::try_from);
    let focuser_travel = cells.number("focuser_travel_mm", Travel::new);
    let balance_limit = cells.number("balance_limit_g", Mass::new);
    let tracking = cells
        .yes_or_no("tracking")
        .map(|tracks| if tracks { Tracking::Tracks } else { Tracking::StandsStill });
    let telescope = Telescope::new(TelescopeSpec {
        layout,
        aperture: aperture?,
        focal_length: focal_length?,
        obstruction,
        focuser,
        focuser_travel,
        balance_limit,
        tracking,
    });
    telescope
        .map_err(|error| {
            let column = match error {
                TelescopeError::ObstructionTooWide { .. }
                | TelescopeError::RefractorObstructed(_) => "central_obstruction_mm",
                TelescopeError::FocalRatio(_) => "focal_length_mm",
            };
            cells.fault(Some(column), error);
        })
        .ok()
}

impl Tabular for Eyepiece {
    const COLUMNS: &'static [&'static str] = &[
        "asset_tag",
        "name",
        "focal_length_mm",
        "apparent_field_deg",
        "field_stop_mm",
        "eye_relief_mm",
        "usable_eye_relief_mm",
        "barrel_mm",
        "optical_class",
        "mass_g",
        "acquired_year",
        "state",
        "notes",
    ];

    fn read(cells: &mut Cells<'_>) -> Option<Self> {
        let classes = OpticalClass::ALL.map(OpticalClass::as_str);
        let focal_length = cells.needed_number("focal_length_mm", EyepieceFocalLength::new);
        let apparent_field = cells.number("apparent_field_deg", ApparentField::new);
        let field_stop = cells.number("field_stop_mm", FieldStop::new);
        let eye_relief = cells.number("eye_relief_mm", EyeRelief::new);
        let usable_relief = cells.number("usable_eye_relief_mm", EyeRelief::new);
        let barrel = cells.number("barrel_mm", Barrel::try_from);
        let class = cells.word("optical_class", &classes, OpticalClass::parse);
        let mass = cells.number("mass_g", Mass::new);
        Eyepiece::new(EyepieceSpec {
            focal_length: focal_length?,
            apparent_field,
            field_stop,
            eye_relief,
            usable_relief,
            barrel,
            class,
            mass,
        })
        .map_err(|error| cells.fault(Some("field_stop_mm"), error))
        .ok()
    }

    fn cells(&self) -> Vec<Cell<'_>> {
        vec![
            Cell::Number(self.focal_length().mm()),
            self.apparent_field().map(ApparentField::deg).into(),
            self.field_stop().map(FieldStop::mm).into(),
            self.eye_relief().map(EyeRelief::mm).into(),
            self.usable_relief().map(EyeRelief::mm).into(),
            self.barrel().map(Barrel::mm).into(),
            self.class().map(OpticalClass::as_str).into(),
            self.mass().map(Mass::g).into(),
        ]
    }

    async fn all(conn: &mut SqliteConnection) -> Result<Vec<Record<Self>>, ShelfError> {
        store::eyepieces(conn).await
    }

    async fn this(
        conn: &mut SqliteConnection,
        item: ItemId,
    ) -> Result<Option<Record<Self>>, ShelfError> {
        store::eyepiece(conn, item).await
    }

    async fn these(
        conn: &mut SqliteConnection,
        items: &[ItemId],
    ) -> Result<Vec<Record<Self>>, ShelfError> {
        store::these_eyepieces(conn, items).await
    }
}

impl Tabular for Barlow {
    const COLUMNS: &'static [&'static str] = &[
        "asset_tag",
        "name",
        "factor",
        "barrel_mm",
        "kind",
        "mass_g",
        "acquired_year",
        "state",
        "notes",
    ];

    fn read(cells: &mut Cells<'_>) -> Option<Self> {
        let factor = cells.needed_number("factor", BarlowFactor::new);
        let barrel = cells.number("barrel_mm", Barrel::try_from);
        let kind = cells.word("kind", &BarlowKind::ALL.map(BarlowKind::as_str), BarlowKind::parse);
        let mass = cells.number("mass_g", Mass::new);
        Some(Self { factor: factor?, barrel, kind, mass })
    }

    fn cells(&self) -> Vec<Cell<'_>> {
        vec![
            Cell::Number(self.factor.times()),
            self.barrel.map(Barrel::mm).into(),
            self.kind.map(BarlowKind::as_str).into(),
            self.mass.map(Mass::g).into(),
        ]
    }

    async fn all(conn: &mut SqliteConnection) -> Result<Vec<Record<Self>>, ShelfError> {
        store::barlows(conn).await
    }

    async fn this(
        conn: &mut SqliteConnection,
        item: ItemId,
    ) -> Result<Option<Record<Self>>, ShelfError> {
        store::barlow(conn, item).await
    }

    async fn these(
        conn: &mut SqliteConnection,
        items: &[ItemId],
    ) -> Result<Vec<Record<Self>>, ShelfError> {
        store::these_barlows(conn, items).await
    }
}

impl Tabular for FilterFigures {
    const COLUMNS: &'static [&'static str] = &[
        "asset_tag",
        "name",
        "kind",
        "barrel_mm",
        "fits_telescope",
        "fits_outer_diameter_min_mm",
        "fits_outer_diameter_max_mm",
        "last_light_test",
        "damaged",
        "mass_g",
        "acquired_year",
        "state",
        "notes",
    ];

    fn read(cells: &mut Cells<'_>) -> Option<Self> {
        let kinds: Vec<&str> = FilterKind::ALL.iter().map(|kind| kind.as_str()).collect();
        let kind = cells.needed_word("kind", &kinds, FilterKind::parse);
        let barrel = cells.number("barrel_mm", Barrel::try_from);
        let fits_telescope = cells.optional("fits_telescope", AssetTag::new);
        let low = cells.number("fits_outer_diameter_min_mm", TubeDiameters::check);
        let high = cells.number("fits_outer_diameter_max_mm", TubeDiameters::check);
        let fits_tube = TubeDiameters::new(low, high)
            .map_err(|says| cells.fault(Some("fits_outer_diameter_min_mm"), says))
            .ok();
        let last_light_test = cells.date("last_light_test");
        let damaged = cells.yes_or_no("damaged").unwrap_or(false);
        let mass = cells.number("mass_g", Mass::new);
        let (kind, fits_tube) = (kind?, fits_tube?);
        Self { kind, barrel, fits_telescope, fits_tube, last_light_test, damaged, mass }
            .checked()
            .map_err(|says| cells.fault(Some("barrel_mm"), says))
            .ok()
    }

    fn cells(&self) -> Vec<Cell<'_>> {
        vec![
            Cell::Text(self.kind.as_str()),
            self.barrel.map(Barrel::mm).into(),
            self.fits_telescope.as_ref().map(AssetTag::as_str).into(),
            self.fits_tube.min_mm().into(),
            self.fits_tube.max_mm().into(),
            Cell::date(self.last_light_test),
            Cell::yes_or_no(Some(self.damaged)),
            self.mass.map(Mass::g).into(),
        ]
    }

    fn light_tested(&mut self, day: jiff::civil::Date) {
        if self.kind == FilterKind::SolarFullAperture {
            self.last_light_test = Some(day);
        }
    }

    fn made_for(&self) -> Option<(&'static str, &AssetTag)> {
        Some(("fits_telescope", self.fits_telescope.as_ref()?))
    }

    async fn all(conn: &mut SqliteConnection) -> Result<Vec<Record<Self>>, ShelfError> {
        store::filters(conn).await
    }

    async fn this(
        conn: &mut SqliteConnection,
        item: ItemId,
    ) -> Result<Option<Record<Self>>, ShelfError> {
        store::filter(conn, item).await
    }

    async fn these(
        conn: &mut SqliteConnection,
        items: &[ItemId],
    ) -> Result<Vec<Record<Self>>, ShelfError> {
        store::these_filters(conn, items).await
    }
}
