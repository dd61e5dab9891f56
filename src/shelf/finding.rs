//! Finding items: by words, kind, state, what they fit and whom they suit.

use sqlx::SqliteConnection;

use super::item::{AssetTag, ItemId, ItemState, Kind, named};
use super::store::{ItemName, NameRow, ShelfError};
use super::words::match_of;

named! {
    /// In what order pieces are listed; pieces that are alike go by their tags.
    #[derive(Default)]
    Order {
        /// By tag.
        #[default]
        Tag = "tag",
        /// By name.
        Name = "name",
        /// By aperture, focal length or factor.
        Size = "size",
    }
}

/// What somebody looks for. Everything given must be met.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Wanted {
    /// Words, or beginnings of words, in any order.
    pub words: String,
    /// Only this kind.
    pub kind: Option<Kind>,
    /// Only in one of these states; empty for any.
    pub states: Vec<ItemState>,
    /// Only what goes into, or onto, this telescope. What a label does not say is not held against
    /// an eyepiece; a solar filter must be recorded as fitting.
    pub fits: Option<ItemId>,
    /// Leave out eyepieces that are known to have less eye relief than this, mm, or whose relief
    /// is not known.
    pub least_relief_mm: Option<f64>,
    /// In what order.
    pub order: Order,
    /// Only what comes after this tag.
    pub after: Option<AssetTag>,
    /// In other orders than by tag: the key of the piece with that tag.
    pub after_key: String,
}

impl Wanted {
    /// The states as a JSON list, the way one statement takes many.
    fn state_list(&self) -> String {
        let states: Vec<String> =
            self.states.iter().map(|state| format!("\"{}\"", state.as_str())).collect();
        format!("[{}]", states.join(","))
    }
}

/// The first items that meet the wish, by tag, at most so many.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn find(
    conn: &mut SqliteConnection,
    wanted: &Wanted,
    most: usize,
) -> Result<Vec<ItemName>, ShelfError> {
    let kind = wanted.kind.map(Kind::as_str);
    let after = wanted.after.as_ref().map_or("", AssetTag::as_str);
    let fits = wanted.fits.map(|id| id.0);
    let states = wanted.state_list();
    let most = i64::try_from(most).unwrap_or(i64::MAX);
    let words = wanted.words.trim();
    let rows = match match_of(words) {
        None if !words.is_empty() => Vec::new(),
        Some(matching) => {
            // The index goes first: it knows how few rows there are.
            sqlx::query_as!(
                NameRow,
                r#"SELECT i.id, i.kind, i.asset_tag, i.name, i.state
                   FROM item_text CROSS JOIN item i ON i.id = item_text.rowid
                   LEFT JOIN eyepiece e ON e.item_id = i.id
                   LEFT JOIN barlow b ON b.item_id = i.id
                   LEFT JOIN filter f ON f.item_id = i.id
                   LEFT JOIN accessory a ON a.item_id = i.id
                   LEFT JOIN telescope t ON t.item_id = ?1
                   WHERE item_text MATCH ?2 AND i.asset_tag > ?3
                     AND (?4 IS NULL OR i.kind = ?4)
                     AND (?5 = '[]' OR i.state IN (SELECT value FROM json_each(?5)))
                     AND (?1 IS NULL OR CASE i.kind
                            WHEN 'filter' THEN f.fits_telescope_id = ?1 OR f.barrel_mm IS NOT NULL
                                 OR (f.fits_telescope_id IS NULL AND t.tube_outer_diameter_mm
                                     BETWEEN f.fits_outer_diameter_min_mm AND f.fits_outer_diameter_max_mm)
                            WHEN 'telescope' THEN 0
                            ELSE coalesce(coalesce(e.barrel_mm, b.barrel_mm, a.barrel_mm)
                                          <= t.focuser_barrel_mm, 1) END)
                     AND (?6 IS NULL OR i.kind <> 'eyepiece'
                          OR coalesce(e.usable_eye_relief_mm, e.eye_relief_mm, -1) >= ?6)
                   ORDER BY i.asset_tag LIMIT ?7"#,
                fits,
                matching,
                after,
                kind,
                states,
                wanted.least_relief_mm,
                most
            )
            .fetch_all(conn)
            .await?
        }
        None => {
            sqlx::query_as!(
                NameRow,
                r#"SELECT i.id, i.kind, i.asset_tag, i.name, i.state
                   FROM item i
                   LEFT JOIN eyepiece e ON e.item_id = i.id
                   LEFT JOIN barlow b ON b.item_id = i.id
                   LEFT JOIN filter f ON f.item_id = i.id
                   LEFT JOIN accessory a ON a.item_id = i.id
                   LEFT JOIN telescope t ON t.item_id = ?1
                   WHERE i.asset_tag > ?2
                     AND (?3 IS NULL OR i.kind = ?3)
                     AND (?4 = '[]' OR i.state IN (SELECT value FROM json_each(?4)))
                     AND (?1 IS NULL OR CASE i.kind
                            WHEN 'filter' THEN f.fits_telescope_id = ?1 OR f.barrel_mm IS NOT NULL
                                 OR (f.fits_telescope_id IS NULL AND t.tube_outer_diameter_mm
                                     BETWEEN f.fits_outer_diameter_min_mm AND f.fits_outer_diameter_max_mm)
                            WHEN 'telescope' THEN 0
                            ELSE coalesce(coalesce(e.barrel_mm, b.barrel_mm, a.barrel_mm)
                                          <= t.focuser_barrel_mm, 1) END)
                     AND (?5 IS NULL OR i.kind <> 'eyepiece'
                          OR coalesce(e.usable_eye_relief_mm, e.eye_relief_mm, -1) >= ?5)
                   ORDER BY i.asset_tag LIMIT ?6"#,
                fits,
                after,
                kind,
                states,
                wanted.least_relief_mm,
                most
            )
            .fetch_all(conn)
            .await?
        }
    };
    Ok(rows.into_iter().map(ItemName::try_from).collect::<Result<_, _>>()?)
}

/// The first items that meet the wish in another order than by tag, each with its key, at most so
/// many.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn find_in_order(
    conn: &mut SqliteConnection,
    wanted: &Wanted,
    most: usize,
) -> Result<Vec<(ItemName, String)>, ShelfError> {
    let kind = wanted.kind.map(Kind::as_str);
    let after = wanted.after.as_ref().map_or("", AssetTag::as_str);
    let fits = wanted.fits.map(|id| id.0);
    let states = wanted.state_list();
    let order = wanted.order.as_str();
    let most = i64::try_from(most).unwrap_or(i64::MAX);
    let words = wanted.words.trim();
    let matching = match_of(words);
    if matching.is_none() && !words.is_empty() {
        return Ok(Vec::new());
    }
    let rows = sqlx::query!(
        r#"SELECT id AS "id!", kind AS "kind!", asset_tag AS "asset_tag!", name AS "name!",
                  state AS "state!", key AS "key!: String"
           FROM (
               SELECT i.id, i.kind, i.asset_tag, i.name, i.state,
                      CASE ?1 WHEN 'name' THEN lower(i.name)
                      ELSE printf('%010.3f', coalesce(own.aperture_mm, e.focal_length_mm, b.factor, 0))
                      END AS key
               FROM item i
               LEFT JOIN telescope own ON own.item_id = i.id
               LEFT JOIN eyepiece e ON e.item_id = i.id
               LEFT JOIN barlow b ON b.item_id = i.id
               LEFT JOIN filter f ON f.item_id = i.id
               LEFT JOIN accessory a ON a.item_id = i.id
               LEFT JOIN telescope t ON t.item_id = ?2
               WHERE (?3 IS NULL OR i.id IN (SELECT rowid FROM item_text WHERE item_text MATCH ?3))
                 AND (?4 IS NULL OR i.kind = ?4)
                 AND (?5 = '[]' OR i.state IN (SELECT value FROM json_each(?5)))
                 AND (?2 IS NULL OR CASE i.kind
                        WHEN 'filter' THEN f.fits_telescope_id = ?2 OR f.barrel_mm IS NOT NULL
                             OR (f.fits_telescope_id IS NULL AND t.tube_outer_diameter_mm
                                 BETWEEN f.fits_outer_diameter_min_mm AND f.fits_outer_diameter_max_mm)
                        WHEN 'telescope' THEN 0
                        ELSE coalesce(coalesce(e.barrel_mm, b.barrel_mm, a.barrel_mm)
                                      <= t.focuser_barrel_mm, 1) END)
           )
           WHERE key > ?6 OR (key = ?6 AND asset_tag > ?7)
           ORDER BY key, asset_tag LIMIT ?8"#,
        order,
        fits,
        matching,
        kind,
        states,
        wanted.after_key,
        after,
        most
    )
    .fetch_all(conn)
    .await?;
    rows.into_iter()
        .map(|row| {
            let (id, kind, asset_tag, name, state) =
                (row.id, row.kind, row.asset_tag, row.name, row.state);
            let item = ItemName::try_from(NameRow { id, kind, asset_tag, name, state })?;
            Ok((item, row.key))
        })
        .collect()
}

/// The item that bears this tag.
///
/// # Errors
/// The database could not answer, or its row makes no sense.
pub async fn tagged(
    conn: &mut SqliteConnection,
    tag: &AssetTag,
) -> Result<Option<ItemName>, ShelfError> {
    let tag = tag.as_str();
    let row = sqlx::query_as!(
        NameRow,
        "SELECT id, kind, asset_tag, name, state FROM item WHERE asset_tag = ?",
        tag
    )
    .fetch_optional(conn)
    .await?;
    Ok(row.map(ItemName::try_from).transpose()?)
}

/// The next free tag of a kind, in the club's way of writing them: a letter, a dash and a number.
///
/// # Errors
/// The database could not answer.
pub async fn next_tag(conn: &mut SqliteConnection, kind: Kind) -> Result<AssetTag, ShelfError> {
    let (letter, kind) = (kind.letter(), kind.as_str());
    let beginning = format!("{letter}-");
    let highest = sqlx::query!(
        r#"SELECT max(CAST(substr(asset_tag, 3) AS INTEGER)) AS "number: i64",
                  max(length(asset_tag)) AS "length: i64" FROM item
           WHERE kind = ?1 AND asset_tag >= ?2 AND asset_tag < ?2 || ':'
             AND NOT substr(asset_tag, 3) GLOB '*[^0-9]*' AND length(asset_tag) <= 10"#,
        kind,
        beginning
    )
    .fetch_one(&mut *conn)
    .await?;
    let mut number = highest.number.unwrap_or(0);
    // As many digits as the club already writes.
    let digits = highest.length.and_then(|length| usize::try_from(length - 2).ok()).unwrap_or(3);
    loop {
        number += 1;
        let text = format!("{letter}-{number:0digits$}");
        // Letters, digits and a dash are always a tag.
        let tag = AssetTag::new(&text).map_err(|error| {
            ShelfError::Unreadable(super::rows::Unreadable { tag: text, why: error.to_string() })
        })?;
        if tagged(conn, &tag).await?.is_none() {
            return Ok(tag);
        }
    }
}
