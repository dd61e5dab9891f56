//! Reading the shelf.
//!
//! Every function takes a connection, so that several can see the same moment: begin a transaction
//! on [`Store::reader`](crate::store::Store::reader) where that matters.

use sqlx::SqliteConnection;

use super::accessory::{AccessoryKind, AccessoryRecord};
use super::item::{AssetTag, ItemId, ItemState, Kind};
use super::model::{BarlowRecord, EyepieceRecord, FilterRecord, Shelf, TelescopeRecord};
use super::rows::{AccessoryRow, BarlowRow, EyepieceRow, FilterRow, TelescopeRow, Unreadable};
use crate::store::StoreError;

/// Why the shelf could not answer or take a change.
#[derive(Debug, thiserror::Error)]
pub enum ShelfError {
    /// The database answered with an error.
    #[error("the database could not answer: {0}")]
    Database(#[from] sqlx::Error),
    /// The store could not begin or finish.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// A stored row makes no sense.
    #[error(transparent)]
    Unreadable(#[from] Unreadable),
    /// The calendar could not say what is free.
    #[error("the calendar could not answer: {0}")]
    Calendar(String),
    /// The members' list could not say who is who.
    #[error("the members' list could not answer: {0}")]
    Members(String),
    /// Another item bears this tag.
    #[error("Another item bears the tag {0}: choose a tag that is free.")]
    TagTaken(AssetTag),
    /// There is no such item of this kind.
    #[error("There is no such item.")]
    NotThere,
    /// Somebody changed the item since it was read.
    #[error("The item was changed meanwhile: read it again before you change it.")]
    Stale,
    /// A filter names a telescope that is not on the shelf.
    #[error("There is no telescope with the tag {0}: give the tag of one on the shelf.")]
    UnknownTelescope(AssetTag),
}

/// Gives each kind its five ways of being read. The statements differ in their tails only.
macro_rules! kind_reader {
    ($row:ident, $record:ident, $select:literal,
     $many:ident, $one:ident, $in_service:ident, $these:ident, $rows:ident) => {
        #[doc = concat!("All ", stringify!($many), " of the club, by tag, whatever their state.")]
        ///
        /// # Errors
        /// The database could not answer, or a row makes no sense.
        pub async fn $many(conn: &mut SqliteConnection) -> Result<Vec<$record>, ShelfError> {
            let rows = $rows(conn).await?;
            Ok(rows.into_iter().map($record::try_from).collect::<Result<_, _>>()?)
        }

        #[doc = concat!("The ", stringify!($many), " that can be lent at all, by tag.")]
        ///
        /// # Errors
        /// The database could not answer, or a row makes no sense.
        pub async fn $in_service(conn: &mut SqliteConnection) -> Result<Vec<$record>, ShelfError> {
            let rows = sqlx::query_as!(
                $row,
                $select + "WHERE i.state = 'in_service' ORDER BY i.asset_tag"
            )
            .fetch_all(conn)
            .await?;
            Ok(rows.into_iter().map($record::try_from).collect::<Result<_, _>>()?)
        }

        #[doc = concat!("One ", stringify!($one), ", if there is such a one.")]
        ///
        /// # Errors
        /// The database could not answer, or the row makes no sense.
        pub async fn $one(
            conn: &mut SqliteConnection,
            id: ItemId,
        ) -> Result<Option<$record>, ShelfError> {
            let row = sqlx::query_as!($row, $select + "WHERE i.id = ?", id.0)
                .fetch_optional(conn)
                .await?;
            Ok(row.map($record::try_from).transpose()?)
        }

        #[doc = concat!("Those ", stringify!($many), " among these items, by tag.")]
        ///
        /// # Errors
        /// The database could not answer, or a row makes no sense.
        pub async fn $these(
            conn: &mut SqliteConnection,
            items: &[ItemId],
        ) -> Result<Vec<$record>, ShelfError> {
            let ids = id_list(items);
            let rows = sqlx::query_as!(
                $row,
                $select + "WHERE i.id IN (SELECT value FROM json_each(?)) ORDER BY i.asset_tag",
                ids
            )
            .fetch_all(conn)
            .await?;
            Ok(rows.into_iter().map($record::try_from).collect::<Result<_, _>>()?)
        }

        pub(super) async fn $rows(conn: &mut SqliteConnection) -> sqlx::Result<Vec<$row>> {
            sqlx::query_as!($row, $select + "ORDER BY i.asset_tag").fetch_all(conn).await
        }
    };
}

kind_reader! {
    TelescopeRow, TelescopeRecord,
    "SELECT i.id, i.version, i.asset_tag, i.name, i.state, i.mass_g, i.acquired_year, i.notes,
            t.layout, t.aperture_mm, t.focal_length_mm, t.central_obstruction_mm,
            t.focuser_barrel_mm, t.focuser_travel_mm, t.balance_limit_g, t.mount, t.tracking,
            t.heaviest_part_mass_g, t.eyepiece_height_min_mm, t.eyepiece_height_max_mm, t.helpers,
            t.tube_outer_diameter_mm
     FROM telescope t JOIN item i ON i.id = t.item_id ",
    telescopes, telescope, telescopes_in_service, these_telescopes, telescope_rows
}

kind_reader! {
    EyepieceRow, EyepieceRecord,
    "SELECT i.id, i.version, i.asset_tag, i.name, i.state, i.mass_g, i.acquired_year, i.notes,
            e.focal_length_mm, e.apparent_field_deg, e.field_stop_mm, e.eye_relief_mm,
            e.usable_eye_relief_mm, e.barrel_mm, e.optical_class
     FROM eyepiece e JOIN item i ON i.id = e.item_id ",
    eyepieces, eyepiece, eyepieces_in_service, these_eyepieces, eyepiece_rows
}

kind_reader! {
    BarlowRow, BarlowRecord,
    "SELECT i.id, i.version, i.asset_tag, i.name, i.state, i.mass_g, i.acquired_year, i.notes,
            b.factor, b.barrel_mm, b.kind
     FROM barlow b JOIN item i ON i.id = b.item_id ",
    barlows, barlow, barlows_in_service, these_barlows, barlow_rows
}

kind_reader! {
    FilterRow, FilterRecord,
    "SELECT i.id, i.version, i.asset_tag, i.name, i.state, i.mass_g, i.acquired_year, i.notes,
            f.kind, f.barrel_mm, telescope.asset_tag AS \"fits_telescope?\",
            f.fits_outer_diameter_min_mm, f.fits_outer_diameter_max_mm, f.last_light_test,
            f.damaged
     FROM filter f JOIN item i ON i.id = f.item_id
     LEFT JOIN item telescope ON telescope.id = f.fits_telescope_id ",
    filters, filter, filters_in_service, these_filters, filter_rows
}

kind_reader! {
    AccessoryRow, AccessoryRecord,
    "SELECT i.id, i.version, i.asset_tag, i.name, i.state, i.mass_g, i.acquired_year, i.notes,
            a.kind, a.barrel_mm, a.light_path_mm, a.factor, a.capacity_wh
     FROM accessory a JOIN item i ON i.id = a.item_id ",
    accessories, accessory, accessories_in_service, these_accessories, accessory_rows
}

/// The next telescopes behind this tag, by tag, at most so many; from the first one on for "".
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn telescopes_after(
    conn: &mut SqliteConnection,
    tag: &str,
    most: usize,
) -> Result<Vec<TelescopeRecord>, ShelfError> {
    let most = i64::try_from(most).unwrap_or(i64::MAX);
    let ids = sqlx::query_scalar!(
        "SELECT id FROM item WHERE kind = 'telescope' AND asset_tag > ? ORDER BY asset_tag LIMIT ?",
        tag,
        most
    )
    .fetch_all(&mut *conn)
    .await?;
    let ids: Vec<ItemId> = ids.into_iter().map(ItemId).collect();
    these_telescopes(conn, &ids).await
}

/// Everything the club has that shows the sky, whatever its state.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn shelf(conn: &mut SqliteConnection) -> Result<Shelf, ShelfError> {
    Ok(Shelf {
        telescopes: telescopes(conn).await?,
        eyepieces: eyepieces(conn).await?,
        barlows: barlows(conn).await?,
        filters: filters(conn).await?,
        correctors: correctors(accessories(conn).await?),
    })
}

/// Everything that can be lent at all.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn shelf_in_service(conn: &mut SqliteConnection) -> Result<Shelf, ShelfError> {
    Ok(Shelf {
        telescopes: telescopes_in_service(conn).await?,
        eyepieces: eyepieces_in_service(conn).await?,
        barlows: barlows_in_service(conn).await?,
        filters: filters_in_service(conn).await?,
        correctors: correctors(accessories_in_service(conn).await?),
    })
}

fn correctors(mut accessories: Vec<AccessoryRecord>) -> Vec<AccessoryRecord> {
    accessories.retain(|item| item.figures.kind == AccessoryKind::ComaCorrector);
    accessories
}

/// An item by name only: enough to speak of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ItemName {
    /// Its number.
    pub id: ItemId,
    /// Its kind.
    pub kind: Kind,
    /// The code on its label.
    pub tag: AssetTag,
    /// What the club calls it.
    pub name: String,
    /// Whether it can be lent.
    pub state: ItemState,
}

pub(super) struct NameRow {
    pub id: i64,
    pub kind: String,
    pub asset_tag: String,
    pub name: String,
    pub state: String,
}

impl TryFrom<NameRow> for ItemName {
    type Error = Unreadable;

    fn try_from(row: NameRow) -> Result<Self, Unreadable> {
        let NameRow { id, kind, asset_tag, name, state } = row;
        let unreadable = |why: &str| Unreadable { tag: asset_tag.clone(), why: why.to_owned() };
        Ok(Self {
            id: ItemId(id),
            kind: Kind::parse(&kind).ok_or_else(|| unreadable("its kind is not known."))?,
            tag: AssetTag::new(&asset_tag).map_err(|error| unreadable(&error.to_string()))?,
            name,
            state: ItemState::parse(&state).ok_or_else(|| unreadable("its state is not known."))?,
        })
    }
}

/// The names of these items, by number. Items that are not there are left out.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn names(
    conn: &mut SqliteConnection,
    items: &[ItemId],
) -> Result<Vec<ItemName>, ShelfError> {
    let ids = id_list(items);
    let rows = sqlx::query_as!(
        NameRow,
        "SELECT id, kind, asset_tag, name, state FROM item
         WHERE id IN (SELECT value FROM json_each(?)) ORDER BY id",
        ids
    )
    .fetch_all(conn)
    .await?;
    Ok(rows.into_iter().map(ItemName::try_from).collect::<Result<_, _>>()?)
}

/// Every piece that can't be lent now, by number.
///
/// # Errors
/// The database could not answer.
pub async fn out_of_service(conn: &mut SqliteConnection) -> Result<Vec<ItemId>, ShelfError> {
    let ids = sqlx::query_scalar!("SELECT id FROM item WHERE state <> 'in_service' ORDER BY id")
        .fetch_all(conn)
        .await?;
    Ok(ids.into_iter().map(ItemId).collect())
}

/// How many pieces of each of these kinds can be lent at all, in their order.
///
/// # Errors
/// The database could not answer.
pub async fn how_many_in_service<const KINDS: usize>(
    conn: &mut SqliteConnection,
    kinds: [Kind; KINDS],
) -> Result<[usize; KINDS], ShelfError> {
    let rows = sqlx::query!(
        r#"SELECT kind, count(*) AS "count!: i64" FROM item WHERE state = 'in_service' GROUP BY kind"#
    )
    .fetch_all(conn)
    .await?;
    Ok(kinds.map(|kind| {
        let row = rows.iter().find(|row| row.kind == kind.as_str());
        row.and_then(|row| usize::try_from(row.count).ok()).unwrap_or_default()
    }))
}

/// The version that a piece has now.
///
/// # Errors
/// [`ShelfError::NotThere`], or the database could not answer.
pub(super) async fn version_of(
    conn: &mut SqliteConnection,
    item: ItemId,
) -> Result<i64, ShelfError> {
    let version = sqlx::query_scalar!("SELECT version FROM item WHERE id = ?", item.0)
        .fetch_optional(conn)
        .await?;
    version.ok_or(ShelfError::NotThere)
}

/// The names of all items, by number.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn all_names(conn: &mut SqliteConnection) -> Result<Vec<ItemName>, ShelfError> {
    let rows =
        sqlx::query_as!(NameRow, "SELECT id, kind, asset_tag, name, state FROM item ORDER BY id")
            .fetch_all(conn)
            .await?;
    Ok(rows.into_iter().map(ItemName::try_from).collect::<Result<_, _>>()?)
}

/// The names of the items that are to be looked over before they can be lent, by number.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub(super) async fn to_inspect(conn: &mut SqliteConnection) -> Result<Vec<ItemName>, ShelfError> {
    // The first condition is the index's own.
    let rows = sqlx::query_as!(
        NameRow,
        "SELECT id, kind, asset_tag, name, state FROM item
         WHERE state <> 'in_service' AND state = 'needs_inspection' ORDER BY id"
    )
    .fetch_all(conn)
    .await?;
    Ok(rows.into_iter().map(ItemName::try_from).collect::<Result<_, _>>()?)
}

/// Every piece of a kind that can be lent at all, by number.
///
/// # Errors
/// The database could not answer.
pub async fn ids_in_service(
    conn: &mut SqliteConnection,
    kind: Kind,
) -> Result<Vec<ItemId>, ShelfError> {
    let kind = kind.as_str();
    let ids = sqlx::query_scalar!(
        "SELECT id FROM item WHERE state = 'in_service' AND kind = ? ORDER BY id",
        kind
    )
    .fetch_all(conn)
    .await?;
    Ok(ids.into_iter().map(ItemId).collect())
}

/// Numbers as a JSON list, the way one statement takes many.
pub(crate) fn id_list(items: &[ItemId]) -> String {
    let numbers: Vec<String> = items.iter().map(ToString::to_string).collect();
    format!("[{}]", numbers.join(","))
}
