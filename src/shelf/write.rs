//! Putting items on the shelf and changing them.

use jiff::civil::Date;
use sqlx::SqliteConnection;

use super::history::{self, Hand};
use super::item::{AssetTag, Draft, Facts, ItemId, ItemState, Kind, Record};
use super::kinds::for_kind;
use super::model::{FilterFigures, Mount, TelescopeFigures, TubeDiameter};
use super::papers::papers;
use super::store::{ShelfError, names};
use super::table::Tabular;
use super::words::{Wordy, spelled};
use crate::optics::{
    ApparentField, Barlow, BarlowKind, Barrel, EyeRelief, Eyepiece, FieldStop, Mass, Obstruction,
    OpticalClass, Tracking, Travel,
};
use crate::store::{Fault, WriteTx};

/// The figures of one kind of item, and how they are stored.
pub trait Figures: Clone + PartialEq + Send + Sync {
    /// The kind they belong to.
    const KIND: Kind;

    /// The mass of the whole item.
    fn mass(&self) -> Option<Mass>;

    /// Stores them for an item, over what was there before.
    fn put(
        &self,
        conn: &mut SqliteConnection,
        id: ItemId,
    ) -> impl Future<Output = Result<(), ShelfError>> + Send;
}

/// Puts a new item on the shelf.
///
/// # Errors
/// [`ShelfError::TagTaken`], [`ShelfError::UnknownTelescope`], or the database refused.
pub async fn add<T: Tabular>(
    tx: &mut WriteTx,
    hand: Hand,
    draft: &Draft<T>,
) -> Result<ItemId, ShelfError> {
    let Facts { tag, name, state, acquired, notes } = &draft.facts;
    let (kind, mass) = (T::KIND.as_str(), draft.figures.mass().map(Mass::g));
    let (tag_text, name, state, notes) =
        (tag.as_str(), name.as_str(), state.as_str(), notes.as_str());
    let year = acquired.map(|year| i64::from(year.year()));
    let id = sqlx::query_scalar!(
        "INSERT INTO item (kind, asset_tag, name, state, mass_g, acquired_year, notes)
         VALUES (?, ?, ?, ?, ?, ?, ?) RETURNING id",
        kind,
        tag_text,
        name,
        state,
        mass,
        year,
        notes
    )
    .fetch_one(&mut **tx)
    .await
    .map_err(|error| tag_taken(error, tag))?;
    let id = ItemId(id);
    draft.figures.put(tx, id).await?;
    file_words(tx, id, draft).await?;
    history::note_added(tx, hand, id, tag_text).await?;
    Ok(id)
}

/// Replaces an item that is still as it was read: `version` is the one that was seen. Answers the
/// new version.
///
/// # Errors
/// [`ShelfError::Stale`] when it changed meanwhile, [`ShelfError::NotThere`] when there is no such
/// item of this kind, [`ShelfError::TagTaken`], [`ShelfError::UnknownTelescope`], or the database
/// refused.
pub async fn replace<T: Tabular>(
    tx: &mut WriteTx,
    hand: Hand,
    id: ItemId,
    version: i64,
    draft: &Draft<T>,
) -> Result<i64, ShelfError> {
    let before = T::this(tx, id).await?.ok_or(ShelfError::NotThere)?;
    let Facts { tag, name, state, acquired, notes } = &draft.facts;
    let (kind, mass) = (T::KIND.as_str(), draft.figures.mass().map(Mass::g));
    let (tag_text, name, state, notes) =
        (tag.as_str(), name.as_str(), state.as_str(), notes.as_str());
    let year = acquired.map(|year| i64::from(year.year()));
    let changed = sqlx::query_scalar!(
        "UPDATE item SET asset_tag = ?, name = ?, state = ?, mass_g = ?, acquired_year = ?,
                notes = ?, version = version + 1
         WHERE id = ? AND kind = ? AND version = ? RETURNING version",
        tag_text,
        name,
        state,
        mass,
        year,
        notes,
        id.0,
        kind,
        version
    )
    .fetch_optional(&mut **tx)
    .await
    .map_err(|error| tag_taken(error, tag))?;
    // It was there a moment ago, and nobody else writes meanwhile.
    let changed = changed.ok_or(ShelfError::Stale)?;
    draft.figures.put(tx, id).await?;
    file_words(tx, id, draft).await?;
    let Draft { facts, figures } = draft.clone();
    let after = Record { id, version: changed, facts, figures };
    history::note_changed(tx, hand, &before, &after).await?;
    Ok(changed)
}

/// Says whether a piece can be lent, whatever its kind, the way every change is written: with its
/// history and its words.
///
/// # Errors
/// [`ShelfError::NotThere`], or the database refused.
pub async fn put_state(
    tx: &mut WriteTx,
    hand: Hand,
    id: ItemId,
    state: ItemState,
) -> Result<(), ShelfError> {
    let item = names(tx, &[id]).await?.pop().ok_or(ShelfError::NotThere)?;
    for_kind!(item.kind, T => put_condition::<T>(tx, hand, id, state, None).await)
}

/// Writes a piece's state and, of a solar filter, the day of a light test. What is so already is
/// not written again.
///
/// # Errors
/// [`ShelfError::NotThere`] when there is no such item of this kind, or the database refused.
pub(super) async fn put_condition<T: Tabular>(
    tx: &mut WriteTx,
    hand: Hand,
    id: ItemId,
    state: ItemState,
    tested: Option<Date>,
) -> Result<(), ShelfError> {
    let record = T::this(tx, id).await?.ok_or(ShelfError::NotThere)?;
    let mut draft = Draft { facts: record.facts.clone(), figures: record.figures.clone() };
    draft.facts.state = state;
    if let Some(day) = tested {
        draft.figures.light_tested(day);
    }
    if draft.facts != record.facts || draft.figures != record.figures {
        replace(tx, hand, id, record.version, &draft).await?;
    }
    Ok(())
}

/// Files an item under every word it may be looked for.
async fn file_words<T: Wordy>(
    tx: &mut WriteTx,
    id: ItemId,
    draft: &Draft<T>,
) -> Result<(), ShelfError> {
    let Facts { tag, name, state, acquired: _, notes } = &draft.facts;
    let (tag, name, notes) =
        (spelled(tag.as_str()), spelled(name.as_str()), spelled(notes.as_str()));
    let mut words = vec![draft.figures.summary(), state.as_str().replace('_', " ")];
    words.extend(draft.figures.more_words());
    let words = spelled(&words.join(" "));
    let place = spelled(&papers(tx, id).await?.place);
    sqlx::query!("DELETE FROM item_text WHERE rowid = ?", id.0).execute(&mut **tx).await?;
    sqlx::query!(
        "INSERT INTO item_text (rowid, tag, name, words, notes, place) VALUES (?, ?, ?, ?, ?, ?)",
        id.0,
        tag,
        name,
        words,
        notes,
        place
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

fn tag_taken(error: sqlx::Error, tag: &AssetTag) -> ShelfError {
    if Fault::is_taken(&error, "item.asset_tag") {
        ShelfError::TagTaken(tag.clone())
    } else {
        error.into()
    }
}

impl Figures for TelescopeFigures {
    const KIND: Kind = Kind::Telescope;

    fn mass(&self) -> Option<Mass> {
        self.total_mass
    }

    async fn put(&self, conn: &mut SqliteConnection, id: ItemId) -> Result<(), ShelfError> {
        let optics = &self.optics;
        let layout = optics.layout().as_str();
        let aperture = optics.aperture().mm();
        let focal_length = optics.focal_length().mm();
        let obstruction = stored_obstruction(self);
        let barrel = optics.focuser().map(Barrel::mm);
        let travel = optics.focuser_travel().map(Travel::mm);
        let balance = optics.balance_limit().map(Mass::g);
        let mount = self.mount.map(Mount::as_str);
        let tracking = optics.tracking().map(|tracking| i64::from(tracking == Tracking::Tracks));
        let part = self.heaviest_part.map(Mass::g);
        let (low, high) = (self.eyepiece_height.min_mm(), self.eyepiece_height.max_mm());
        let helpers = self.helpers.map(|helpers| i64::from(helpers.count()));
        let tube = self.tube.map(TubeDiameter::mm);
        sqlx::query!(
            "INSERT INTO telescope
                 (item_id, layout, aperture_mm, focal_length_mm, central_obstruction_mm,
                  focuser_barrel_mm, focuser_travel_mm, balance_limit_g, mount, tracking,
                  heaviest_part_mass_g, eyepiece_height_min_mm, eyepiece_height_max_mm, helpers,
                  tube_outer_diameter_mm)
             VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
             ON CONFLICT (item_id) DO UPDATE SET
                 layout = excluded.layout, aperture_mm = excluded.aperture_mm,
                 focal_length_mm = excluded.focal_length_mm,
                 central_obstruction_mm = excluded.central_obstruction_mm,
                 focuser_barrel_mm = excluded.focuser_barrel_mm,
                 focuser_travel_mm = excluded.focuser_travel_mm,
                 balance_limit_g = excluded.balance_limit_g, mount = excluded.mount,
                 tracking = excluded.tracking,
                 heaviest_part_mass_g = excluded.heaviest_part_mass_g,
                 eyepiece_height_min_mm = excluded.eyepiece_height_min_mm,
                 eyepiece_height_max_mm = excluded.eyepiece_height_max_mm,
                 helpers = excluded.helpers,
                 tube_outer_diameter_mm = excluded.tube_outer_diameter_mm",
            id.0,
            layout,
            aperture,
            focal_length,
            obstruction,
            barrel,
            travel,
            balance,
            mount,
            tracking,
            part,
            low,
            high,
            helpers,
            tube
        )
        .execute(conn)
        .await?;
        Ok(())
    }
}

/// The obstruction to be written down, mm: nothing for a refractor, which has none by design.
pub(super) fn stored_obstruction(figures: &TelescopeFigures) -> Option<f64> {
    let optics = &figures.optics;
    optics.obstruction().filter(|_| !optics.layout().is_unobstructed()).map(Obstruction::mm)
}

impl Figures for Eyepiece {
    const KIND: Kind = Kind::Eyepiece;

    fn mass(&self) -> Option<Mass> {
        self.mass()
    }

    async fn put(&self, conn: &mut SqliteConnection, id: ItemId) -> Result<(), ShelfError> {
        let focal_length = self.focal_length().mm();
        let field = self.apparent_field().map(ApparentField::deg);
        let stop = self.field_stop().map(FieldStop::mm);
        let relief = self.eye_relief().map(EyeRelief::mm);
        let usable = self.usable_relief().map(EyeRelief::mm);
        let barrel = self.barrel().map(Barrel::mm);
        let class = self.class().map(OpticalClass::as_str);
        sqlx::query!(
            "INSERT INTO eyepiece
                 (item_id, focal_length_mm, apparent_field_deg, field_stop_mm, eye_relief_mm,
                  usable_eye_relief_mm, barrel_mm, optical_class)
             VALUES (?, ?, ?, ?, ?, ?, ?, ?)
             ON CONFLICT (item_id) DO UPDATE SET
                 focal_length_mm = excluded.focal_length_mm,
                 apparent_field_deg = excluded.apparent_field_deg,
                 field_stop_mm = excluded.field_stop_mm, eye_relief_mm = excluded.eye_relief_mm,
                 usable_eye_relief_mm = excluded.usable_eye_relief_mm,
                 barrel_mm = excluded.barrel_mm, optical_class = excluded.optical_class",
            id.0,
            focal_length,
            field,
            stop,
            relief,
            usable,
            barrel,
            class
        )
        .execute(conn)
        .await?;
        Ok(())
    }
}

impl Figures for Barlow {
    const KIND: Kind = Kind::Barlow;

    fn mass(&self) -> Option<Mass> {
        self.mass
    }

    async fn put(&self, conn: &mut SqliteConnection, id: ItemId) -> Result<(), ShelfError> {
        let factor = self.factor.times();
        let barrel = self.barrel.map(Barrel::mm);
        let kind = self.kind.map(BarlowKind::as_str);
        sqlx::query!(
            "INSERT INTO barlow (item_id, factor, barrel_mm, kind) VALUES (?, ?, ?, ?)
             ON CONFLICT (item_id) DO UPDATE SET
                 factor = excluded.factor, barrel_mm = excluded.barrel_mm, kind = excluded.kind",
            id.0,
            factor,
            barrel,
            kind
        )
        .execute(conn)
        .await?;
        Ok(())
    }
}

impl Figures for FilterFigures {
    const KIND: Kind = Kind::Filter;

    fn mass(&self) -> Option<Mass> {
        self.mass
    }

    async fn put(&self, conn: &mut SqliteConnection, id: ItemId) -> Result<(), ShelfError> {
        let telescope = match &self.fits_telescope {
            None => None,
            Some(tag) => {
                let text = tag.as_str();
                let found = sqlx::query_scalar!(
                    "SELECT id FROM item WHERE asset_tag = ? AND kind = 'telescope'",
                    text
                )
                .fetch_optional(&mut *conn)
                .await?;
                Some(found.ok_or_else(|| ShelfError::UnknownTelescope(tag.clone()))?)
            }
        };
        let kind = self.kind.as_str();
        let barrel = self.barrel.map(Barrel::mm);
        let (low, high) = (self.fits_tube.min_mm(), self.fits_tube.max_mm());
        let test = self.last_light_test.map(|date| date.to_string());
        sqlx::query!(
            "INSERT INTO filter
                 (item_id, kind, barrel_mm, fits_telescope_id, fits_outer_diameter_min_mm,
                  fits_outer_diameter_max_mm, last_light_test, damaged)
             VALUES (?, ?, ?, ?, ?, ?, ?, ?)
             ON CONFLICT (item_id) DO UPDATE SET
                 kind = excluded.kind, barrel_mm = excluded.barrel_mm,
                 fits_telescope_id = excluded.fits_telescope_id,
                 fits_outer_diameter_min_mm = excluded.fits_outer_diameter_min_mm,
                 fits_outer_diameter_max_mm = excluded.fits_outer_diameter_max_mm,
                 last_light_test = excluded.last_light_test, damaged = excluded.damaged",
            id.0,
            kind,
            barrel,
            telescope,
            low,
            high,
            test,
            self.damaged
        )
        .execute(conn)
        .await?;
        Ok(())
    }
}
