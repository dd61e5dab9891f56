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

/// A row of the list, with what it is sorted by.
struct Found {
    id: i64,
    kind: String,
    asset_tag: String,
    name: String,
    state: String,
    name_key: String,
    size: f64,
}

impl Found {
    fn key(&self, order: Order) -> String {
        match order {
            Order::Tag => String::new(),
            Order::Name => self.name_key.clone(),
            Order::Size => self.size.to_string(),
        }
    }
}

/// What every order asks alike, as the statement takes it.
struct Asked<'a> {
    fits: Option<i64>,
    kind: Option<&'static str>,
    states: String,
    /// The words, where the statement itself looks for them.
    words: Option<&'a str>,
    /// The tag after which the page begins; empty for the first page.
    after: &'a str,
    most: i64,
}

impl<'a> Asked<'a> {
    fn of(wanted: &'a Wanted, words: Option<&'a str>, most: usize) -> Self {
        Self {
            fits: wanted.fits.map(|id| id.0),
            kind: wanted.kind.map(Kind::as_str),
            states: wanted.state_list(),
            words,
            after: wanted.after.as_ref().map_or("", AssetTag::as_str),
            most: i64::try_from(most).unwrap_or(i64::MAX),
        }
    }
}

/// The rows of a list: what was asked, where the items `i` come from, where the page begins, in what
/// order, and what stands after [`Asked`] in the statement.
macro_rules! list {
    ($conn:expr, $asked:expr, $from:literal, $begins:literal, $order:literal $(, $arg:expr)*) => {
        sqlx::query_as!(
            Found,
            r#"SELECT i.id, i.kind, i.asset_tag, i.name, i.state,
                      lower(i.name) AS "name_key!: String", i.size AS "size!: f64"
               FROM "# + $from + r#"
               LEFT JOIN eyepiece e ON e.item_id = i.id
               LEFT JOIN barlow b ON b.item_id = i.id
               LEFT JOIN filter f ON f.item_id = i.id
               LEFT JOIN accessory a ON a.item_id = i.id
               LEFT JOIN telescope t ON t.item_id = ?1
               WHERE (?2 IS NULL OR i.kind = ?2)
                 AND (?3 = '[]' OR i.state IN (SELECT value FROM json_each(?3)))
                 AND (?1 IS NULL OR CASE i.kind
                        WHEN 'filter' THEN f.fits_telescope_id = ?1 OR f.barrel_mm IS NOT NULL
                             OR (f.fits_telescope_id IS NULL AND t.tube_outer_diameter_mm
                                 BETWEEN f.fits_outer_diameter_min_mm AND f.fits_outer_diameter_max_mm)
                        WHEN 'telescope' THEN 0
                        ELSE coalesce(coalesce(e.barrel_mm, b.barrel_mm, a.barrel_mm)
                                      <= t.focuser_barrel_mm, 1) END)
                 AND "# + $begins + " ORDER BY " + $order + " LIMIT ?6",
            $asked.fits,
            $asked.kind,
            $asked.states,
            $asked.words,
            $asked.after,
            $asked.most
            $(, $arg)*
        )
        .fetch_all($conn)
        .await
    };
}

/// As many pieces as are sorted after they were found by their words. Where more have the words, the
/// list is walked in its order instead, and has its page long before its end.
const FEW: i64 = 1000;

/// The first items that meet the wish, in its order, at most so many.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn find(
    conn: &mut SqliteConnection,
    wanted: &Wanted,
    most: usize,
) -> Result<Vec<ItemName>, ShelfError> {
    let found = find_with_keys(conn, wanted, most).await?;
    Ok(found.into_iter().map(|(item, _)| item).collect())
}

/// The same, each with the key that the next page begins after.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn find_with_keys(
    conn: &mut SqliteConnection,
    wanted: &Wanted,
    most: usize,
) -> Result<Vec<(ItemName, String)>, ShelfError> {
    let words = wanted.words.trim();
    let matching = match_of(words);
    if matching.is_none() && !words.is_empty() {
        return Ok(Vec::new());
    }
    let few = match &matching {
        Some(matching) => has_few(conn, matching).await?,
        None => false,
    };
    let rows = if few {
        found_by_words(conn, wanted, matching.as_deref(), most).await?
    } else {
        walked(conn, wanted, matching.as_deref(), most).await?
    };
    rows.into_iter()
        .map(|row| {
            let key = row.key(wanted.order);
            let Found { id, kind, asset_tag, name, state, .. } = row;
            let item = ItemName::try_from(NameRow { id, kind, asset_tag, name, state })?;
            Ok((item, key))
        })
        .collect()
}

async fn has_few(conn: &mut SqliteConnection, matching: &str) -> sqlx::Result<bool> {
    let most = FEW + 1;
    let count = sqlx::query_scalar!(
        r#"SELECT count(*) AS "count!: i64"
           FROM (SELECT rowid FROM item_text WHERE item_text MATCH ? LIMIT ?)"#,
        matching,
        most
    )
    .fetch_one(conn)
    .await?;
    Ok(count <= FEW)
}

/// Where a page in order of sizes begins; nothing is smaller than nothing.
fn after_size(wanted: &Wanted) -> f64 {
    wanted.after_key.parse().unwrap_or(-1.0)
}

/// The words first: few rows, sorted afterwards.
async fn found_by_words(
    conn: &mut SqliteConnection,
    wanted: &Wanted,
    matching: Option<&str>,
    most: usize,
) -> sqlx::Result<Vec<Found>> {
    let asked = Asked::of(wanted, matching, most);
    let (size, order) = (after_size(wanted), wanted.order.as_str());
    list!(
        conn,
        asked,
        "item_text CROSS JOIN item i ON i.id = item_text.rowid",
        "item_text MATCH ?4 AND CASE ?9 WHEN 'tag' THEN i.asset_tag > ?5
             WHEN 'name' THEN lower(i.name) > ?7 OR (lower(i.name) = ?7 AND i.asset_tag > ?5)
             ELSE i.size > ?8 OR (i.size = ?8 AND i.asset_tag > ?5) END",
        "CASE ?9 WHEN 'name' THEN lower(i.name) WHEN 'size' THEN i.size END, i.asset_tag",
        wanted.after_key,
        size,
        order
    )
}

/// The order first: rows as an index has them, until there are enough.
async fn walked(
    conn: &mut SqliteConnection,
    wanted: &Wanted,
    matching: Option<&str>,
    most: usize,
) -> sqlx::Result<Vec<Found>> {
    let asked = Asked::of(wanted, matching, most);
    match wanted.order {
        Order::Tag => list!(
            conn,
            asked,
            "item i",
            "i.asset_tag > ?5 AND (?4 IS NULL
                     OR +i.id IN (SELECT rowid FROM item_text WHERE item_text MATCH ?4))",
            "i.asset_tag"
        ),
        Order::Name => list!(
            conn,
            asked,
            "item i INDEXED BY item_by_name",
            "lower(i.name) >= ?7 AND (lower(i.name) > ?7 OR i.asset_tag > ?5) AND (?4 IS NULL
                     OR +i.id IN (SELECT rowid FROM item_text WHERE item_text MATCH ?4))",
            "lower(i.name), i.asset_tag",
            wanted.after_key
        ),
        Order::Size => {
            let size = after_size(wanted);
            list!(
                conn,
                asked,
                "item i INDEXED BY item_by_size",
                "i.size >= ?7 AND (i.size > ?7 OR i.asset_tag > ?5) AND (?4 IS NULL
                     OR +i.id IN (SELECT rowid FROM item_text WHERE item_text MATCH ?4))",
                "i.size, i.asset_tag",
                size
            )
        }
    }
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
