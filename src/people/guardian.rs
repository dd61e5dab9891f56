//! Who signs for whom: members of age for themselves, a guardian for the young.

use jiff::civil::Date;
use sqlx::SqliteConnection;

use super::member::{Email, MemberId};
use super::member_store::{PeopleError, member_eye};
use crate::store::{Fault, WriteTx};

/// Who stands up for a young member.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Guardian {
    /// The adult's name.
    pub name: String,
    /// Where they want to be reminded; none where nowhere. For the member and the letters alone.
    pub email: Option<Email>,
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
        /// Whether they may have turned 18 this year, so that a paper settles it.
        in_between: bool,
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
    Ok(Standing::Minor { guardian: guardian(conn, id).await?, in_between })
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
        "SELECT name, email, consented_on, recorded_by FROM guardian WHERE member_id = ?",
        id.0
    )
    .fetch_optional(conn)
    .await?;
    row.map(|row| {
        let consented_on = row.consented_on.parse().map_err(|_| {
            PeopleError::Unreadable(id.0, "the day of the guardian's consent is wrong.".into())
        })?;
        let email =
            row.email.map(|text| Email::new(&text)).transpose().map_err(|_| {
                PeopleError::Unreadable(id.0, "the guardian's address is none.".into())
            })?;
        Ok(Guardian { name: row.name, email, consented_on, recorded_by: row.recorded_by })
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
    let email = guardian.email.as_ref().map(Email::as_str);
    sqlx::query!(
        "INSERT INTO guardian (member_id, name, email, consented_on, recorded_by, recorded_at)
         VALUES (?, ?, ?, ?, ?, ?)
         ON CONFLICT (member_id) DO UPDATE SET
             name = excluded.name, email = excluded.email, consented_on = excluded.consented_on,
             recorded_by = excluded.recorded_by, recorded_at = excluded.recorded_at",
        id.0,
        guardian.name,
        email,
        day,
        guardian.recorded_by,
        now
    )
    .execute(&mut **tx)
    .await
    .map_err(not_there)?;
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
}
