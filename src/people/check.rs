//! What is wrong with the members' rows, whoever wrote them.

use sqlx::SqliteConnection;

use super::guardian::guardian;
use super::member::{MemberId, MemberRecord};
use super::member_store::{PeopleError, member_eye, member_rows};

/// One line for each member whose row makes no sense. Says which fact is wrong, never what it says.
///
/// # Errors
/// The database could not answer.
pub async fn faults(conn: &mut SqliteConnection) -> Result<Vec<String>, PeopleError> {
    let mut faults = Vec::new();
    for row in member_rows(conn).await? {
        let id = MemberId(row.id);
        faults.extend(MemberRecord::try_from(row).err().map(|error| error.to_string()));
        match member_eye(conn, id).await {
            Ok(_) => {}
            Err(error @ PeopleError::Unreadable(..)) => faults.push(error.to_string()),
            Err(error) => return Err(error),
        }
        match guardian(conn, id).await {
            Ok(_) => {}
            Err(error @ PeopleError::Unreadable(..)) => faults.push(error.to_string()),
            Err(error) => return Err(error),
        }
    }
    Ok(faults)
}
