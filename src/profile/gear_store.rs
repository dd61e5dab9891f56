//! Members' own things in the database. Every statement names the owner, so that nobody reaches
//! another's.

use sqlx::SqliteConnection;

use super::gear::{Draft, GearKind, MOST_OF_A_KIND, Own, OwnCase};
use crate::optics::{
    Barrel, Eyepiece, EyepieceSpec, Layout, OpticalClass, OutOfRange, Telescope, TelescopeSpec,
    Tracking,
};
use crate::people::MemberId;
use crate::sheet::Name;
use crate::store::{StoreError, WriteTx};

/// Why somebody's own case could not answer or take a change.
#[derive(Debug, thiserror::Error)]
pub enum GearError {
    /// The database answered with an error.
    #[error("the database could not answer: {0}")]
    Database(#[from] sqlx::Error),
    /// The store could not begin or finish.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// A stored row makes no sense.
    #[error("A member's own {0} can't be read from the database.")]
    Unreadable(&'static str),
    /// There is no such thing in this case.
    #[error("There is no such thing in your case.")]
    NotThere,
    /// It was changed since it was read.
    #[error("It was changed meanwhile.")]
    Stale,
    /// The case is full.
    #[error("Your case holds {MOST_OF_A_KIND} of these, which is the most: remove one first.")]
    Full,
}

struct TelescopeRow {
    id: i64,
    version: i64,
    name: String,
    layout: String,
    aperture_mm: f64,
    focal_length_mm: f64,
    central_obstruction_mm: Option<f64>,
    focuser_barrel_mm: Option<f64>,
    focuser_travel_mm: Option<f64>,
    balance_limit_g: Option<f64>,
    tracking: Option<i64>,
}

struct EyepieceRow {
    id: i64,
    version: i64,
    name: String,
    focal_length_mm: f64,
    apparent_field_deg: Option<f64>,
    field_stop_mm: Option<f64>,
    eye_relief_mm: Option<f64>,
    usable_eye_relief_mm: Option<f64>,
    barrel_mm: Option<f64>,
    optical_class: Option<String>,
    mass_g: Option<f64>,
}

fn maybe<T: TryFrom<f64, Error = E>, E>(value: Option<f64>) -> Result<Option<T>, ()> {
    value.map(T::try_from).transpose().map_err(|_| ())
}

fn made<T: TryFrom<f64, Error = OutOfRange>>(value: f64) -> Result<T, ()> {
    T::try_from(value).map_err(|_| ())
}

impl TryFrom<TelescopeRow> for Own<Telescope> {
    type Error = GearError;

    fn try_from(row: TelescopeRow) -> Result<Self, GearError> {
        let read = || {
            let figures = Telescope::new(TelescopeSpec {
                layout: Layout::parse(&row.layout).ok_or(())?,
                aperture: made(row.aperture_mm)?,
                focal_length: made(row.focal_length_mm)?,
                obstruction: maybe(row.central_obstruction_mm)?,
                focuser: maybe::<Barrel, _>(row.focuser_barrel_mm)?,
                focuser_travel: maybe(row.focuser_travel_mm)?,
                balance_limit: maybe(row.balance_limit_g)?,
                tracking: row.tracking.map(|tracks| {
                    if tracks == 0 { Tracking::StandsStill } else { Tracking::Tracks }
                }),
            })
            .map_err(|_| ())?;
            let name = Name::new(&row.name).map_err(|_| ())?;
            Ok::<_, ()>(Self { id: row.id, version: row.version, name, figures })
        };
        read().map_err(|()| GearError::Unreadable("telescope"))
    }
}

impl TryFrom<EyepieceRow> for Own<Eyepiece> {
    type Error = GearError;

    fn try_from(row: EyepieceRow) -> Result<Self, GearError> {
        let read = || {
            let class = match row.optical_class.as_deref() {
                None => None,
                Some(word) => Some(OpticalClass::parse(word).ok_or(())?),
            };
            let figures = Eyepiece::new(EyepieceSpec {
                focal_length: made(row.focal_length_mm)?,
                apparent_field: maybe(row.apparent_field_deg)?,
                field_stop: maybe(row.field_stop_mm)?,
                eye_relief: maybe(row.eye_relief_mm)?,
                usable_relief: maybe(row.usable_eye_relief_mm)?,
                barrel: maybe::<Barrel, _>(row.barrel_mm)?,
                class,
                mass: maybe(row.mass_g)?,
            })
            .map_err(|_| ())?;
            let name = Name::new(&row.name).map_err(|_| ())?;
            Ok::<_, ()>(Self { id: row.id, version: row.version, name, figures })
        };
        read().map_err(|()| GearError::Unreadable("eyepiece"))
    }
}

/// Everything this member owns.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn own_case(conn: &mut SqliteConnection, member: MemberId) -> Result<OwnCase, GearError> {
    let telescopes = sqlx::query_as!(
        TelescopeRow,
        "SELECT id, version, name, layout, aperture_mm, focal_length_mm, central_obstruction_mm,
                focuser_barrel_mm, focuser_travel_mm, balance_limit_g, tracking
         FROM own_telescope WHERE member_id = ? ORDER BY id",
        member.0
    )
    .fetch_all(&mut *conn)
    .await?;
    let eyepieces = sqlx::query_as!(
        EyepieceRow,
        "SELECT id, version, name, focal_length_mm, apparent_field_deg, field_stop_mm,
                eye_relief_mm, usable_eye_relief_mm, barrel_mm, optical_class, mass_g
         FROM own_eyepiece WHERE member_id = ? ORDER BY id",
        member.0
    )
    .fetch_all(conn)
    .await?;
    Ok(OwnCase {
        telescopes: telescopes.into_iter().map(Own::try_from).collect::<Result<_, _>>()?,
        eyepieces: eyepieces.into_iter().map(Own::try_from).collect::<Result<_, _>>()?,
    })
}

async fn room_for_one(tx: &mut WriteTx, member: MemberId, kind: GearKind) -> Result<(), GearError> {
    let there = match kind {
        GearKind::Telescope => {
            sqlx::query_scalar!("SELECT count(*) FROM own_telescope WHERE member_id = ?", member.0)
                .fetch_one(&mut **tx)
                .await?
        }
        GearKind::Eyepiece => {
            sqlx::query_scalar!("SELECT count(*) FROM own_eyepiece WHERE member_id = ?", member.0)
                .fetch_one(&mut **tx)
                .await?
        }
    };
    if there < MOST_OF_A_KIND { Ok(()) } else { Err(GearError::Full) }
}

/// Puts a telescope into a member's case: a new one, or in place of one that is still as it was
/// read (its number and version).
///
/// # Errors
/// [`GearError`].
pub async fn put_telescope(
    tx: &mut WriteTx,
    member: MemberId,
    place: Option<(i64, i64)>,
    draft: &Draft<Telescope>,
) -> Result<(), GearError> {
    let name = draft.name.as_str();
    let spec = draft.figures.spec();
    let (layout, aperture) = (spec.layout.as_str(), spec.aperture.mm());
    let focal_length = spec.focal_length.mm();
    let obstruction = spec.obstruction.map(crate::optics::Obstruction::mm);
    let focuser = spec.focuser.map(Barrel::mm);
    let travel = spec.focuser_travel.map(crate::optics::Travel::mm);
    let balance = spec.balance_limit.map(crate::optics::Mass::g);
    let tracking = spec.tracking.map(|tracking| i64::from(tracking == Tracking::Tracks));
    let Some((id, version)) = place else {
        room_for_one(tx, member, GearKind::Telescope).await?;
        sqlx::query!(
            "INSERT INTO own_telescope (member_id, name, layout, aperture_mm, focal_length_mm,
                 central_obstruction_mm, focuser_barrel_mm, focuser_travel_mm, balance_limit_g,
                 tracking)
             VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
            member.0,
            name,
            layout,
            aperture,
            focal_length,
            obstruction,
            focuser,
            travel,
            balance,
            tracking
        )
        .execute(&mut **tx)
        .await?;
        return Ok(());
    };
    let changed = sqlx::query!(
        "UPDATE own_telescope SET name = ?, layout = ?, aperture_mm = ?, focal_length_mm = ?,
             central_obstruction_mm = ?, focuser_barrel_mm = ?, focuser_travel_mm = ?,
             balance_limit_g = ?, tracking = ?, version = version + 1
         WHERE id = ? AND member_id = ? AND version = ?",
        name,
        layout,
        aperture,
        focal_length,
        obstruction,
        focuser,
        travel,
        balance,
        tracking,
        id,
        member.0,
        version
    )
    .execute(&mut **tx)
    .await?;
    if changed.rows_affected() == 1 { Ok(()) } else { Err(GearError::Stale) }
}

/// Puts an eyepiece into a member's case, as [`put_telescope`] does a telescope.
///
/// # Errors
/// [`GearError`].
pub async fn put_eyepiece(
    tx: &mut WriteTx,
    member: MemberId,
    place: Option<(i64, i64)>,
    draft: &Draft<Eyepiece>,
) -> Result<(), GearError> {
    let name = draft.name.as_str();
    let spec = draft.figures.spec();
    let focal_length = spec.focal_length.mm();
    let field = spec.apparent_field.map(crate::optics::ApparentField::deg);
    let stop = spec.field_stop.map(crate::optics::FieldStop::mm);
    let relief = spec.eye_relief.map(crate::optics::EyeRelief::mm);
    let usable = spec.usable_relief.map(crate::optics::EyeRelief::mm);
    let barrel = spec.barrel.map(Barrel::mm);
    let class = spec.class.map(OpticalClass::as_str);
    let mass = spec.mass.map(crate::optics::Mass::g);
    let Some((id, version)) = place else {
        room_for_one(tx, member, GearKind::Eyepiece).await?;
        sqlx::query!(
            "INSERT INTO own_eyepiece (member_id, name, focal_length_mm, apparent_field_deg,
                 field_stop_mm, eye_relief_mm, usable_eye_relief_mm, barrel_mm, optical_class,
                 mass_g)
             VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
            member.0,
            name,
            focal_length,
            field,
            stop,
            relief,
            usable,
            barrel,
            class,
            mass
        )
        .execute(&mut **tx)
        .await?;
        return Ok(());
    };
    let changed = sqlx::query!(
        "UPDATE own_eyepiece SET name = ?, focal_length_mm = ?, apparent_field_deg = ?,
             field_stop_mm = ?, eye_relief_mm = ?, usable_eye_relief_mm = ?, barrel_mm = ?,
             optical_class = ?, mass_g = ?, version = version + 1
         WHERE id = ? AND member_id = ? AND version = ?",
        name,
        focal_length,
        field,
        stop,
        relief,
        usable,
        barrel,
        class,
        mass,
        id,
        member.0,
        version
    )
    .execute(&mut **tx)
    .await?;
    if changed.rows_affected() == 1 { Ok(()) } else { Err(GearError::Stale) }
}

/// Takes a thing out of a member's case.
///
/// # Errors
/// [`GearError::NotThere`], or the database refused.
pub async fn remove(
    tx: &mut WriteTx,
    member: MemberId,
    kind: GearKind,
    id: i64,
) -> Result<(), GearError> {
    let gone = match kind {
        GearKind::Telescope => {
            sqlx::query!("DELETE FROM own_telescope WHERE id = ? AND member_id = ?", id, member.0)
                .execute(&mut **tx)
                .await?
        }
        GearKind::Eyepiece => {
            sqlx::query!("DELETE FROM own_eyepiece WHERE id = ? AND member_id = ?", id, member.0)
                .execute(&mut **tx)
                .await?
        }
    };
    if gone.rows_affected() == 1 { Ok(()) } else { Err(GearError::NotThere) }
}

/// Empties a member's case.
///
/// # Errors
/// The database refused.
pub async fn remove_all(tx: &mut WriteTx, member: MemberId) -> Result<(), GearError> {
    sqlx::query!("DELETE FROM own_telescope WHERE member_id = ?", member.0)
        .execute(&mut **tx)
        .await?;
    sqlx::query!("DELETE FROM own_eyepiece WHERE member_id = ?", member.0)
        .execute(&mut **tx)
        .await?;
    Ok(())
}
