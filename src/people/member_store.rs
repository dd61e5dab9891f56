//! The members' list in the database, and one member's eyes at a time.

use jiff::civil::Date;
use sqlx::SqliteConnection;

use super::member::{
    BirthYear, Email, EyeRecord, MemberFacts, MemberId, MemberNumber, MemberRecord, MemberState,
    WrittenCylinder,
};
use crate::eye::Glasses;
use crate::optics::{EyeRelief, PupilDiameter, Sphere};
use crate::sheet::Name;
use crate::store::{Fault, StoreError, WriteTx};

/// Why the members' list could not answer or take a change.
#[derive(Debug, thiserror::Error)]
pub enum PeopleError {
    /// The database answered with an error.
    #[error("the database could not answer: {0}")]
    Database(#[from] sqlx::Error),
    /// The store could not begin or finish.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// A stored row makes no sense. Says which, but nothing of its contents.
    #[error("Member {0} can't be read from the database: {1}")]
    Unreadable(i64, String),
    /// Another member has this number.
    #[error("Another member has the number {0}: choose one that is free.")]
    NumberTaken(MemberNumber),
    /// Another member has this address.
    #[error("Another member has this e-mail address: give each member one of their own.")]
    EmailTaken,
    /// There is no such member.
    #[error("There is no such member.")]
    NotThere,
    /// Somebody changed the member since they were read.
    #[error("The member was changed meanwhile: read again before you change.")]
    Stale,
}

pub(super) struct StoredMember {
    pub id: i64,
    version: i64,
    member_number: String,
    name: String,
    email: Option<String>,
    joined: Option<String>,
    state: String,
}

impl TryFrom<StoredMember> for MemberRecord {
    type Error = PeopleError;

    fn try_from(row: StoredMember) -> Result<Self, PeopleError> {
        let id = row.id;
        let unreadable = |what: &str| PeopleError::Unreadable(id, format!("the {what} is wrong."));
        Ok(Self {
            id: MemberId(id),
            version: row.version,
            facts: MemberFacts {
                number: MemberNumber::new(&row.member_number).map_err(|_| unreadable("number"))?,
                name: Name::new(&row.name).map_err(|_| unreadable("name"))?,
                email: row
                    .email
                    .map(|email| Email::new(&email))
                    .transpose()
                    .map_err(|_| unreadable("e-mail address"))?,
                joined: row
                    .joined
                    .map(|date| date.parse::<Date>())
                    .transpose()
                    .map_err(|_| unreadable("date of joining"))?,
                state: MemberState::parse(&row.state).ok_or_else(|| unreadable("state"))?,
            },
        })
    }
}

struct EyeRow {
    birth_year: Option<i64>,
    glasses: Option<String>,
    sphere_d: Option<f64>,
    cylinder_d: Option<f64>,
    measured_pupil_mm: Option<f64>,
    relief_floor_mm: Option<f64>,
}

impl EyeRow {
    fn read(self, id: MemberId) -> Result<EyeRecord, PeopleError> {
        // What is wrong with it stays unsaid: it may be somebody's prescription.
        let unreadable =
            |what: &str| PeopleError::Unreadable(id.0, format!("the {what} is wrong."));
        let glasses = match self.glasses.as_deref() {
            None => None,
            Some(text) => Some(Glasses::parse(text).ok_or_else(|| unreadable("use of glasses"))?),
        };
        Ok(EyeRecord {
            birth_year: maybe(self.birth_year, BirthYear::new, || unreadable("birth year"))?,
            glasses,
            sphere: maybe(self.sphere_d, Sphere::new, || unreadable("sphere"))?,
            cylinder: maybe(self.cylinder_d, WrittenCylinder::new, || unreadable("cylinder"))?,
            measured_pupil: maybe(self.measured_pupil_mm, PupilDiameter::new, || {
                unreadable("measured pupil")
            })?,
            relief_floor: maybe(self.relief_floor_mm, EyeRelief::new, || {
                unreadable("smallest eye relief")
            })?,
        })
    }
}

fn maybe<N, T, E>(
    stored: Option<N>,
    make: impl FnOnce(N) -> Result<T, E>,
    otherwise: impl FnOnce() -> PeopleError,
) -> Result<Option<T>, PeopleError> {
    stored.map(make).transpose().map_err(|_| otherwise())
}

/// Gives the ways of finding members. The statements differ in their tails only.
macro_rules! member_query {
    ($tail:literal $(, $arg:expr)*) => {
        sqlx::query_as!(
            StoredMember,
            "SELECT id, version, member_number, name, email, joined, state FROM member " + $tail
            $(, $arg)*
        )
    };
}

/// All members by name, those who have left too. Nothing about their eyes.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn members(conn: &mut SqliteConnection) -> Result<Vec<MemberRecord>, PeopleError> {
    member_rows(conn).await?.into_iter().map(MemberRecord::try_from).collect()
}

pub(super) async fn member_rows(conn: &mut SqliteConnection) -> sqlx::Result<Vec<StoredMember>> {
    member_query!("ORDER BY name COLLATE NOCASE, id").fetch_all(conn).await
}

/// One member, if there is such a one. Nothing about their eyes.
///
/// # Errors
/// The database could not answer, or the row makes no sense.
pub async fn member(
    conn: &mut SqliteConnection,
    id: MemberId,
) -> Result<Option<MemberRecord>, PeopleError> {
    let row = member_query!("WHERE id = ?", id.0).fetch_optional(conn).await?;
    row.map(MemberRecord::try_from).transpose()
}

/// The member with this number, if there is one. Nothing about their eyes.
///
/// # Errors
/// The database could not answer, or the row makes no sense.
pub async fn member_by_number(
    conn: &mut SqliteConnection,
    number: &MemberNumber,
) -> Result<Option<MemberRecord>, PeopleError> {
    let number = number.as_str();
    let row = member_query!("WHERE member_number = ?", number).fetch_optional(conn).await?;
    row.map(MemberRecord::try_from).transpose()
}

/// What is known of one member's age and eyes; nothing known is a record without answers.
///
/// Sensitive: ask only for the member themselves, or for staff who may.
///
/// # Errors
/// [`PeopleError::NotThere`], the database could not answer, or the row makes no sense.
pub async fn member_eye(
    conn: &mut SqliteConnection,
    id: MemberId,
) -> Result<EyeRecord, PeopleError> {
    let row = sqlx::query_as!(
        EyeRow,
        "SELECT birth_year, glasses, sphere_d, cylinder_d, measured_pupil_mm, relief_floor_mm
         FROM member LEFT JOIN member_eye ON member_eye.member_id = member.id
         WHERE member.id = ?",
        id.0
    )
    .fetch_optional(conn)
    .await?;
    row.ok_or(PeopleError::NotThere)?.read(id)
}

/// Adds a member.
///
/// # Errors
/// [`PeopleError::NumberTaken`], [`PeopleError::EmailTaken`], or the database refused.
pub async fn add_member(tx: &mut WriteTx, facts: &MemberFacts) -> Result<MemberId, PeopleError> {
    let (number, name) = (facts.number.as_str(), facts.name.as_str());
    let email = facts.email.as_ref().map(Email::as_str);
    let joined = facts.joined.map(|date| date.to_string());
    let state = facts.state.as_str();
    let id = sqlx::query_scalar!(
        "INSERT INTO member (member_number, name, email, joined, state) VALUES (?, ?, ?, ?, ?)
         RETURNING id",
        number,
        name,
        email,
        joined,
        state
    )
    .fetch_one(&mut **tx)
    .await
    .map_err(|error| taken(error, facts))?;
    Ok(MemberId(id))
}

/// Replaces what the list says of a member who is still as they were read: `version` is the one
/// that was seen. Answers the new version.
///
/// # Errors
/// [`PeopleError::Stale`], [`PeopleError::NotThere`], [`PeopleError::NumberTaken`],
/// [`PeopleError::EmailTaken`], or the database refused.
pub async fn replace_member(
    tx: &mut WriteTx,
    id: MemberId,
    version: i64,
    facts: &MemberFacts,
) -> Result<i64, PeopleError> {
    let (number, name) = (facts.number.as_str(), facts.name.as_str());
    let email = facts.email.as_ref().map(Email::as_str);
    let joined = facts.joined.map(|date| date.to_string());
    let state = facts.state.as_str();
    let changed = sqlx::query_scalar!(
        "UPDATE member SET member_number = ?, name = ?, email = ?, joined = ?, state = ?,
                version = version + 1
         WHERE id = ? AND version = ? RETURNING version",
        number,
        name,
        email,
        joined,
        state,
        id.0,
        version
    )
    .fetch_optional(&mut **tx)
    .await
    .map_err(|error| taken(error, facts))?;
    match changed {
        Some(version) => Ok(version),
        None if member(tx, id).await?.is_some() => Err(PeopleError::Stale),
        None => Err(PeopleError::NotThere),
    }
}

/// Replaces what is known of a member's age and eyes.
///
/// # Errors
/// [`PeopleError::NotThere`], or the database refused.
pub async fn put_member_eye(
    tx: &mut WriteTx,
    id: MemberId,
    eye: &EyeRecord,
) -> Result<(), PeopleError> {
    let birth_year = eye.birth_year.map(|year| i64::from(year.year()));
    let glasses = eye.glasses.map(Glasses::as_str);
    let sphere = eye.sphere.map(Sphere::dioptres);
    let cylinder = eye.cylinder.map(WrittenCylinder::dioptres);
    let pupil = eye.measured_pupil.map(PupilDiameter::mm);
    let relief = eye.relief_floor.map(EyeRelief::mm);
    sqlx::query!(
        "INSERT INTO member_eye
             (member_id, birth_year, glasses, sphere_d, cylinder_d, measured_pupil_mm,
              relief_floor_mm)
         VALUES (?, ?, ?, ?, ?, ?, ?)
         ON CONFLICT (member_id) DO UPDATE SET
             birth_year = excluded.birth_year, glasses = excluded.glasses,
             sphere_d = excluded.sphere_d, cylinder_d = excluded.cylinder_d,
             measured_pupil_mm = excluded.measured_pupil_mm,
             relief_floor_mm = excluded.relief_floor_mm, version = member_eye.version + 1",
        id.0,
        birth_year,
        glasses,
        sphere,
        cylinder,
        pupil,
        relief
    )
    .execute(&mut **tx)
    .await
    .map_err(|error| match Fault::of(&error) {
        Some(Fault::Reference) => PeopleError::NotThere,
        _ => error.into(),
    })?;
    Ok(())
}

fn taken(error: sqlx::Error, facts: &MemberFacts) -> PeopleError {
    if Fault::is_taken(&error, "member.member_number") {
        PeopleError::NumberTaken(facts.number.clone())
    } else if Fault::is_taken(&error, "member.email") {
        PeopleError::EmailTaken
    } else {
        error.into()
    }
}
