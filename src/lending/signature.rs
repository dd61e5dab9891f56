//! Signatures: a drawn line or a typed name, for the pieces and the cautions that were shown.

use std::fmt::Write as _;

use sqlx::SqliteConnection;

use super::cautions;
use super::model::{LendingError, ReservationId};
use crate::people::MemberId;
use crate::shelf::{ItemId, id_list};
use crate::store::WriteTx;

/// The box that is drawn in, in its own units.
pub const BOX: (u16, u16) = (600, 200);

/// The most points of one signature.
const MOST_POINTS: usize = 2500;

/// Lines drawn by hand: what was written to us, checked and written anew.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Strokes(Vec<Vec<(u16, u16)>>);

impl Strokes {
    /// Reads a path such as `M10 20L11 21L13 24`; `None` where it is none, is too long or leaves
    /// its box.
    ///
    /// ```
    /// use borrowed_light::lending::signature::Strokes;
    ///
    /// assert_eq!(Strokes::parse("M10 20L11 21M5 5L6 6").unwrap().path(), "M10 20L11 21M5 5L6 6");
    /// assert!(Strokes::parse("").unwrap().is_empty());
    /// assert!(Strokes::parse("M10 20L601 0").is_none());
    /// assert!(Strokes::parse("L1 1").is_none());
    /// assert!(Strokes::parse("<script>").is_none());
    /// ```
    #[must_use]
    pub fn parse(path: &str) -> Option<Self> {
        let mut lines: Vec<Vec<(u16, u16)>> = Vec::new();
        let mut points = 0;
        let mut rest = path;
        while let Some(letter) = rest.chars().next() {
            let begins = match letter {
                'M' => true,
                'L' => false,
                _ => return None,
            };
            let body = rest.get(1..)?;
            let end = body.find(['M', 'L']).unwrap_or(body.len());
            let (x, y) = body.get(..end)?.split_once(' ')?;
            let (x, y): (u16, u16) = (x.parse().ok()?, y.parse().ok()?);
            points += 1;
            if x > BOX.0 || y > BOX.1 || points > MOST_POINTS {
                return None;
            }
            if begins {
                lines.push(Vec::new());
            }
            lines.last_mut()?.push((x, y));
            rest = body.get(end..)?;
        }
        Some(Self(lines))
    }

    /// Whether nothing was drawn: a dot is nothing.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.iter().all(|line| line.len() < 2)
    }

    /// The path, as a picture draws it.
    #[must_use]
    pub fn path(&self) -> String {
        let mut path = String::new();
        for line in &self.0 {
            for (at, (x, y)) in line.iter().enumerate() {
                // Writing to a String cannot fail.
                let _ = write!(path, "{}{x} {y}", if at == 0 { 'M' } else { 'L' });
            }
        }
        path
    }
}

/// Where somebody signed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// Before whoever handed over.
    Desk,
    /// Alone, on a page of their own.
    Link,
}

impl Way {
    const fn as_str(self) -> &'static str {
        match self {
            Self::Desk => "desk",
            Self::Link => "link",
        }
    }
}

/// A signature under a reservation.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Signature {
    /// The name signed with.
    pub name: String,
    /// Who answers for a borrower who may be under age.
    pub guardian: Option<String>,
    /// What was drawn; may be empty.
    pub strokes: Strokes,
    /// Where.
    pub way: Way,
    /// The pieces it is for.
    pub items: Vec<ItemId>,
    /// The version of the cautions that was shown.
    pub cautions_version: u32,
    /// When, seconds since 1970.
    pub signed_at: i64,
}

impl Signature {
    /// Whether it holds for these pieces and the cautions as they stand.
    #[must_use]
    pub fn holds_for(&self, items: &[ItemId]) -> bool {
        self.cautions_version == cautions::VERSION
            && items.iter().all(|item| self.items.contains(item))
    }
}

/// The signature under a reservation, if there is one.
///
/// # Errors
/// The database could not answer, or the row makes no sense.
pub async fn signature(
    conn: &mut SqliteConnection,
    id: ReservationId,
) -> Result<Option<Signature>, LendingError> {
    let row = sqlx::query!(
        "SELECT name, guardian, strokes, way, items, cautions_version, signed_at
         FROM signature WHERE reservation_id = ?",
        id.0
    )
    .fetch_optional(conn)
    .await?;
    let Some(row) = row else { return Ok(None) };
    let unreadable =
        |why: &str| LendingError::unreadable(format!("The signature under reservation {id}"), why);
    let items: Vec<i64> = serde_json::from_str(&row.items)
        .map_err(|_| unreadable("its pieces are not a list of numbers."))?;
    Ok(Some(Signature {
        name: row.name,
        guardian: row.guardian,
        strokes: Strokes::parse(&row.strokes).ok_or_else(|| unreadable("its lines are broken."))?,
        way: if row.way == "link" { Way::Link } else { Way::Desk },
        items: items.into_iter().map(ItemId).collect(),
        cautions_version: u32::try_from(row.cautions_version).unwrap_or(0),
        signed_at: row.signed_at,
    }))
}

/// Keeps a signature, in place of the one before.
///
/// # Errors
/// The database refused.
pub async fn put_signature(
    tx: &mut WriteTx,
    id: ReservationId,
    signature: &Signature,
) -> Result<(), LendingError> {
    let (strokes, way) = (signature.strokes.path(), signature.way.as_str());
    let guardian: Option<String> = signature
        .guardian
        .as_deref()
        .map(|name| name.trim().chars().take(120).collect())
        .filter(|name: &String| !name.is_empty());
    let (items, version) = (id_list(&signature.items), i64::from(signature.cautions_version));
    sqlx::query!(
        "INSERT INTO signature
            (reservation_id, name, guardian, strokes, way, items, cautions_version, signed_at)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)
         ON CONFLICT (reservation_id) DO UPDATE SET name = ?2, guardian = ?3, strokes = ?4,
            way = ?5, items = ?6, cautions_version = ?7, signed_at = ?8",
        id.0,
        signature.name,
        guardian,
        strokes,
        way,
        items,
        version,
        signature.signed_at
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// The signatures of a member: reservation, name, lines and when.
///
/// # Errors
/// The database could not answer.
pub async fn signatures_of(
    conn: &mut SqliteConnection,
    member: MemberId,
) -> Result<Vec<(ReservationId, String, String, i64)>, LendingError> {
    let rows = sqlx::query!(
        "SELECT whole.id AS \"id!\", signature.name, signature.strokes, signature.signed_at
         FROM reservation AS whole JOIN signature ON signature.reservation_id = whole.id
         WHERE whole.member_id = ? ORDER BY whole.id",
        member.0
    )
    .fetch_all(conn)
    .await?;
    let told = rows.into_iter();
    Ok(told.map(|row| (ReservationId(row.id), row.name, row.strokes, row.signed_at)).collect())
}

/// Empties what names a member who is erased: signatures, and who signed or answered for loans.
///
/// # Errors
/// The database refused.
pub async fn forget_member(tx: &mut WriteTx, member: MemberId) -> Result<(), LendingError> {
    sqlx::query!(
        "DELETE FROM signature
         WHERE reservation_id IN (SELECT id FROM reservation WHERE member_id = ?)",
        member.0
    )
    .execute(&mut **tx)
    .await?;
    sqlx::query!(
        "UPDATE loan SET signed_name = 'erased', guardian = NULL, witness = NULL, note = ''
         WHERE reservation_id IN (SELECT id FROM reservation WHERE member_id = ?)",
        member.0
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}
