//! All that a member says of their eyes: what choosing counts with, and beside it which eye looks,
//! what the other one needs, and who else may open the figures.

use std::fmt;

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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn debug_shows_nothing_of_a_profile() {
        let other = Written { sphere: Sphere::new(-3.75).ok(), cylinder: None };
        let profile = Profile { looking: Some(Side::Left), other, ..Profile::default() };
        assert_eq!(format!("{profile:?} {other:?}"), "Profile { .. } Written { .. }");
        assert_eq!(profile.of(Side::Right), other);
    }
}
