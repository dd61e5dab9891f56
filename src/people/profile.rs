//! All that a member says of their eyes: what choosing counts with, and beside it which eye looks,
//! what the other one needs, and who else may open the figures.

use std::fmt;

use jiff::civil::Date;
use sqlx::SqliteConnection;

use super::member::{EyeRecord, MemberId, WrittenCylinder};
use super::member_store::{PeopleError, member_eye};
use crate::eye::Glasses;
use crate::optics::{EyeRelief, PupilDiameter, Sphere};
use crate::store::{Fault, WriteTx};

/// One of the two eyes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Side {
    /// The right one.
    Right,
    /// The left one.
    Left,
}

impl Side {
    /// Both, in the order of a prescription's lines.
    pub const ALL: [Self; 2] = [Self::Right, Self::Left];

    /// The name on the wire and in the database.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Right => "right",
            Self::Left => "left",
        }
    }

    /// Reads such a name; `None` when it is not one.
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|side| side.as_str() == name)
    }
}

/// What the optician wrote for one eye. `Debug` shows nothing of it.
#[derive(Clone, Copy, PartialEq, Default)]
pub struct Written {
    /// Near- or far-sight.
    pub sphere: Option<Sphere>,
    /// Astigmatism.
    pub cylinder: Option<WrittenCylinder>,
}

impl Written {
    /// Whether nothing is written.
    pub fn is_empty(&self) -> bool {
        self.sphere.is_none() && self.cylinder.is_none()
    }
}

impl fmt::Debug for Written {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Written").finish_non_exhaustive()
    }
}

/// Who may open the figures, besides the member.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Sharing {
    /// Nobody: quartermasters see only what choosing needs.
    #[default]
    Nobody,
    /// Quartermasters too. Of a member under age, nobody all the same.
    Quartermasters,
}

/// All that a member says of their eyes. `Debug` shows nothing of it.
#[derive(Clone, Copy, PartialEq, Default)]
pub struct Profile {
    /// What choosing counts with: age, glasses, the looking eye's prescription, comfort.
    pub eyes: EyeRecord,
    /// Which eye looks, when said.
    pub looking: Option<Side>,
    /// What the other eye needs.
    pub other: Written,
    /// Who else may open it.
    pub sharing: Sharing,
}

impl Profile {
    /// What is written for the looking eye.
    pub fn looking_eye(&self) -> Written {
        Written { sphere: self.eyes.sphere, cylinder: self.eyes.cylinder }
    }

    /// What is written for this eye; nothing as long as nobody said which eye looks.
    pub fn of(&self, side: Side) -> Written {
        match self.looking {
            Some(looking) if looking == side => self.looking_eye(),
            Some(_) => self.other,
            None => Written::default(),
        }
    }
}

impl fmt::Debug for Profile {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Profile").finish_non_exhaustive()
    }
}

/// A member's profile with its version, which is 0 before anything was said.
///
/// Sensitive: ask only for the member themselves, or for staff who may.
///
/// # Errors
/// [`PeopleError::NotThere`], the database could not answer, or the row makes no sense.
pub async fn profile(
    conn: &mut SqliteConnection,
    id: MemberId,
) -> Result<(Profile, i64), PeopleError> {
    let eyes = member_eye(conn, id).await?;
    let row = sqlx::query!(
        "SELECT looking_eye, other_sphere_d, other_cylinder_d, shared, version
         FROM member_eye WHERE member_id = ?",
        id.0
    )
    .fetch_optional(conn)
    .await?;
    let Some(row) = row else { return Ok((Profile { eyes, ..Profile::default() }, 0)) };
    let unreadable = || PeopleError::Unreadable(id.0, "the profile is wrong.".into());
    let looking = match row.looking_eye.as_deref() {
        None => None,
        Some(name) => Some(Side::parse(name).ok_or_else(unreadable)?),
    };
    let other = Written {
        sphere: row.other_sphere_d.map(Sphere::new).transpose().map_err(|_| unreadable())?,
        cylinder: row
            .other_cylinder_d
            .map(WrittenCylinder::new)
            .transpose()
            .map_err(|_| unreadable())?,
    };
    let sharing = if row.shared == 1 { Sharing::Quartermasters } else { Sharing::Nobody };
    Ok((Profile { eyes, looking, other, sharing }, row.version))
}

/// Replaces a profile that still is as it was read: `version` is the one that was seen. Answers the
/// new version.
///
/// # Errors
/// [`PeopleError::Stale`], [`PeopleError::NotThere`], or the database refused.
pub async fn replace_profile(
    tx: &mut WriteTx,
    id: MemberId,
    version: i64,
    profile: &Profile,
) -> Result<i64, PeopleError> {
    let eyes = &profile.eyes;
    let birth_year = eyes.birth_year.map(|year| i64::from(year.year()));
    let glasses = eyes.glasses.map(Glasses::as_str);
    let sphere = eyes.sphere.map(Sphere::dioptres);
    let cylinder = eyes.cylinder.map(WrittenCylinder::dioptres);
    let pupil = eyes.measured_pupil.map(PupilDiameter::mm);
    let relief = eyes.relief_floor.map(EyeRelief::mm);
    let looking = profile.looking.map(Side::as_str);
    let other_sphere = profile.other.sphere.map(Sphere::dioptres);
    let other_cylinder = profile.other.cylinder.map(WrittenCylinder::dioptres);
    let shared = i64::from(profile.sharing == Sharing::Quartermasters);
    if version == 0 {
        let first = sqlx::query!(
            "INSERT INTO member_eye (member_id, version) VALUES (?, 1)
             ON CONFLICT (member_id) DO NOTHING",
            id.0
        )
        .execute(&mut **tx)
        .await
        .map_err(|error| match Fault::of(&error) {
            Some(Fault::Reference) => PeopleError::NotThere,
            _ => error.into(),
        })?;
        if first.rows_affected() == 0 {
            return Err(PeopleError::Stale);
        }
    }
    let seen = version.max(1);
    let next = version + 1;
    let changed = sqlx::query!(
        "UPDATE member_eye SET
             birth_year = ?, glasses = ?, sphere_d = ?, cylinder_d = ?, measured_pupil_mm = ?,
             relief_floor_mm = ?, looking_eye = ?, other_sphere_d = ?, other_cylinder_d = ?,
             shared = ?, version = ?
         WHERE member_id = ? AND version = ?",
        birth_year,
        glasses,
        sphere,
        cylinder,
        pupil,
        relief,
        looking,
        other_sphere,
        other_cylinder,
        shared,
        next,
        id.0,
        seen
    )
    .execute(&mut **tx)
    .await?;
    if changed.rows_affected() == 1 { Ok(next) } else { Err(PeopleError::Stale) }
}

/// Who stands up for a young member.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Guardian {
    /// The adult's name.
    pub name: String,
    /// The day they consented.
    pub consented_on: Date,
    /// The account that wrote it down.
    pub recorded_by: i64,
}

/// Whether somebody signs for themselves on a day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Standing {
    /// Surely 18 or older, by birth year or by a paper that somebody saw.
    Adult,
    /// Perhaps not: a guardian signs, and nobody else sees a prescription.
    Minor {
        /// Who signs; none as long as nobody has consented.
        guardian: Option<Guardian>,
    },
    /// No birth year is known. Counts as a minor only for what minors may not borrow.
    AgeNotKnown,
}

impl Standing {
    /// Whether a guardian has to sign.
    pub fn is_minor(&self) -> bool {
        matches!(self, Self::Minor { .. })
    }
}

/// Whether somebody born in that year is surely 18 all through `year`: only the year of birth is
/// known, so the 18th birthday has surely passed one year later.
pub fn surely_adult(birth_year: i16, year: i16) -> bool {
    i32::from(year) - i32::from(birth_year) >= 19
}

/// Whether this member signs for themselves on `day`.
///
/// # Errors
/// [`PeopleError::NotThere`], the database could not answer, or a row makes no sense.
pub async fn standing(
    conn: &mut SqliteConnection,
    id: MemberId,
    day: Date,
) -> Result<Standing, PeopleError> {
    let eyes = member_eye(conn, id).await?;
    let Some(birth) = eyes.birth_year else { return Ok(Standing::AgeNotKnown) };
    if surely_adult(birth.year(), day.year()) {
        return Ok(Standing::Adult);
    }
    let in_between = i32::from(day.year()) - i32::from(birth.year()) == 18;
    if in_between && adult_proof(conn, id).await?.is_some_and(|seen| seen <= day) {
        return Ok(Standing::Adult);
    }
    Ok(Standing::Minor { guardian: guardian(conn, id).await? })
}

/// The day on which somebody saw a paper that shows this member to be 18.
///
/// # Errors
/// The database could not answer.
pub async fn adult_proof(
    conn: &mut SqliteConnection,
    id: MemberId,
) -> Result<Option<Date>, PeopleError> {
    let seen = sqlx::query_scalar!("SELECT seen_on FROM adult_proof WHERE member_id = ?", id.0)
        .fetch_optional(conn)
        .await?;
    Ok(seen.and_then(|day| day.parse().ok()))
}

/// The guardian of this member, if one has consented.
///
/// # Errors
/// The database could not answer, or the row makes no sense.
pub async fn guardian(
    conn: &mut SqliteConnection,
    id: MemberId,
) -> Result<Option<Guardian>, PeopleError> {
    let row = sqlx::query!(
        "SELECT name, consented_on, recorded_by FROM guardian WHERE member_id = ?",
        id.0
    )
    .fetch_optional(conn)
    .await?;
    row.map(|row| {
        let consented_on = row.consented_on.parse().map_err(|_| {
            PeopleError::Unreadable(id.0, "the day of the guardian's consent is wrong.".into())
        })?;
        Ok(Guardian { name: row.name, consented_on, recorded_by: row.recorded_by })
    })
    .transpose()
}

/// Writes down who stands up for a member, in place of whoever did before.
///
/// # Errors
/// [`PeopleError::NotThere`], or the database refused.
pub async fn put_guardian(
    tx: &mut WriteTx,
    id: MemberId,
    guardian: &Guardian,
    now: i64,
) -> Result<(), PeopleError> {
    let day = guardian.consented_on.to_string();
    sqlx::query!(
        "INSERT INTO guardian (member_id, name, consented_on, recorded_by, recorded_at)
         VALUES (?, ?, ?, ?, ?)
         ON CONFLICT (member_id) DO UPDATE SET
             name = excluded.name, consented_on = excluded.consented_on,
             recorded_by = excluded.recorded_by, recorded_at = excluded.recorded_at",
        id.0,
        guardian.name,
        day,
        guardian.recorded_by,
        now
    )
    .execute(&mut **tx)
    .await
    .map_err(not_there)?;
    Ok(())
}

/// Takes back a guardian's consent.
///
/// # Errors
/// The database refused.
pub async fn remove_guardian(tx: &mut WriteTx, id: MemberId) -> Result<(), PeopleError> {
    sqlx::query!("DELETE FROM guardian WHERE member_id = ?", id.0).execute(&mut **tx).await?;
    Ok(())
}

/// Writes down that somebody saw a paper showing this member to be 18.
///
/// # Errors
/// [`PeopleError::NotThere`], or the database refused.
pub async fn put_adult_proof(
    tx: &mut WriteTx,
    id: MemberId,
    seen_on: Date,
    recorded_by: i64,
) -> Result<(), PeopleError> {
    let day = seen_on.to_string();
    sqlx::query!(
        "INSERT INTO adult_proof (member_id, seen_on, recorded_by) VALUES (?, ?, ?)
         ON CONFLICT (member_id) DO UPDATE SET
             seen_on = excluded.seen_on, recorded_by = excluded.recorded_by",
        id.0,
        day,
        recorded_by
    )
    .execute(&mut **tx)
    .await
    .map_err(not_there)?;
    Ok(())
}

fn not_there(error: sqlx::Error) -> PeopleError {
    match Fault::of(&error) {
        Some(Fault::Reference) => PeopleError::NotThere,
        _ => error.into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_the_year_after_the_eighteenth_is_surely_adult() {
        assert!(!surely_adult(2008, 2026), "18 some time this year");
        assert!(surely_adult(2007, 2026));
        assert!(!surely_adult(2030, 2026), "a slip of the pen makes no adult");
    }

    #[test]
    fn debug_shows_nothing_of_a_profile() {
        let other = Written { sphere: Sphere::new(-3.75).ok(), cylinder: None };
        let profile = Profile { looking: Some(Side::Left), other, ..Profile::default() };
        assert_eq!(format!("{profile:?} {other:?}"), "Profile { .. } Written { .. }");
        assert_eq!(profile.of(Side::Right), other);
    }
}
