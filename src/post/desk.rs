//! Letters as people see them: on their reader's page, and on the desk of who keeps the post.

use jiff::Timestamp;
use sqlx::SqliteConnection;

use super::letter::{Letter, Part, Reader};
use super::outbox::{USEFUL, reader_of};
use crate::people::MemberId;
use crate::store::{StoreError, WriteTx};
use crate::web::clock::Clock;

/// Where a letter is on its way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// To be sent when its time comes.
    Waiting,
    /// Being handed to the mail server at this moment.
    Sending,
    /// The mail server took it.
    Sent,
    /// Not to be sent: no address, not wanted, or too late. It stays on the page.
    Kept,
    /// The mail server will not take it.
    Refused,
    /// Handed over, but the answer stayed out: a person decides.
    Unclear,
}

impl State {
    fn parse(word: &str) -> Self {
        match word {
            "waiting" => Self::Waiting,
            "sending" => Self::Sending,
            "sent" => Self::Sent,
            "refused" => Self::Refused,
            "unclear" => Self::Unclear,
            _ => Self::Kept,
        }
    }
}

/// A letter as its reader's page shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShownLetter {
    /// Its number.
    pub id: i64,
    /// What it is about.
    pub subject: String,
    /// What it says.
    pub parts: Vec<Part>,
    /// When it was written.
    pub written: Timestamp,
    /// Where it is on its way.
    pub state: State,
    /// Whether it went to their guardian.
    pub to_guardian: bool,
}

/// Which letters about somebody's matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Letters {
    /// Those to themselves.
    ToThem,
    /// Also those to their guardian.
    AndToGuardian,
}

/// The newest letters to somebody: to their account and to the member it belongs to, and where
/// wanted those about this member to their guardian. Those whose time has not come yet are left
/// out.
///
/// # Errors
/// The database could not answer.
pub async fn letters_of(
    conn: &mut SqliteConnection,
    clock: &Clock,
    account: Option<i64>,
    member: Option<MemberId>,
    (which, most): (Letters, u32),
) -> Result<Vec<ShownLetter>, StoreError> {
    let (member, now) = (member.map(|id| id.0), clock.seconds());
    let to_guardian = which == Letters::AndToGuardian;
    let rows = sqlx::query!(
        r#"SELECT id AS "id!", subject AS "subject!", body AS "body!",
                  not_before AS "not_before!: i64", state AS "state!",
                  to_guardian AS "to_guardian!: bool"
           FROM letter
           WHERE (account_id = ?1 OR member_id = ?2) AND not_before <= ?3
             AND (to_guardian = 0 OR ?4)
           ORDER BY not_before DESC, id DESC LIMIT ?5"#,
        account,
        member,
        now,
        to_guardian,
        most
    )
    .fetch_all(conn)
    .await?;
    Ok(rows
        .into_iter()
        .map(|row| ShownLetter {
            id: row.id,
            subject: row.subject,
            parts: Letter::parts_of(&row.body),
            written: Timestamp::from_second(row.not_before).unwrap_or_default(),
            state: State::parse(&row.state),
            to_guardian: row.to_guardian,
        })
        .collect())
}

/// A letter that needs a person's decision.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Troubled {
    /// Its number.
    pub id: i64,
    /// Whom it is for.
    pub to: Reader,
    /// What it is about.
    pub subject: String,
    /// When it was written.
    pub written: Timestamp,
    /// Whether it was refused or its fate is unclear.
    pub state: State,
    /// Why.
    pub reason: String,
}

/// Letters that were refused or whose fate is unclear, the newest first.
///
/// # Errors
/// The database could not answer.
pub async fn in_trouble(
    conn: &mut SqliteConnection,
    most: u32,
) -> Result<Vec<Troubled>, StoreError> {
    let rows = sqlx::query!(
        r#"SELECT id AS "id!", member_id, account_id, to_guardian AS "to_guardian: bool", subject,
                  created_at, state, reason
           FROM letter WHERE state IN ('refused', 'unclear') ORDER BY id DESC LIMIT ?1"#,
        most
    )
    .fetch_all(conn)
    .await?;
    Ok(rows
        .into_iter()
        .map(|row| Troubled {
            id: row.id,
            to: reader_of(row.member_id, row.account_id, row.to_guardian),
            subject: row.subject,
            written: Timestamp::from_second(row.created_at).unwrap_or_default(),
            state: State::parse(&row.state),
            reason: row.reason.unwrap_or_default(),
        })
        .collect())
}

/// Lets a letter in trouble be sent again. Says whether there was one.
///
/// # Errors
/// The database could not answer.
pub async fn send_again(tx: &mut WriteTx, clock: &Clock, id: i64) -> Result<bool, StoreError> {
    let now = clock.seconds();
    let until = now + USEFUL;
    let done = sqlx::query!(
        "UPDATE letter SET state = 'waiting', next_at = ?2, not_after = ?3, reason = NULL,
                           settled_at = NULL, attempts = 0
         WHERE id = ?1 AND state IN ('refused', 'unclear')",
        id,
        now,
        until
    )
    .execute(&mut **tx)
    .await?;
    Ok(done.rows_affected() == 1)
}

/// Leaves a letter in trouble as it is, on its reader's page. Says whether there was one.
///
/// # Errors
/// The database could not answer.
pub async fn leave_it(tx: &mut WriteTx, clock: &Clock, id: i64) -> Result<bool, StoreError> {
    let now = clock.seconds();
    let done = sqlx::query!(
        "UPDATE letter SET state = 'kept', settled_at = ?2
         WHERE id = ?1 AND state IN ('refused', 'unclear')",
        id,
        now
    )
    .execute(&mut **tx)
    .await?;
    Ok(done.rows_affected() == 1)
}

/// How many letters are where.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    /// To be sent now or when their time comes.
    pub waiting: i64,
    /// Taken by the mail server.
    pub sent: i64,
    /// Refused or unclear.
    pub in_trouble: i64,
}

/// Counts the letters.
///
/// # Errors
/// The database could not answer.
pub async fn tally(conn: &mut SqliteConnection) -> Result<Tally, StoreError> {
    let row = sqlx::query!(
        r#"SELECT count(*) FILTER (WHERE state IN ('waiting', 'sending')) AS "waiting!: i64",
                  count(*) FILTER (WHERE state = 'sent') AS "sent!: i64",
                  count(*) FILTER (WHERE state IN ('refused', 'unclear')) AS "in_trouble!: i64"
           FROM letter"#
    )
    .fetch_one(conn)
    .await?;
    Ok(Tally { waiting: row.waiting, sent: row.sent, in_trouble: row.in_trouble })
}

/// Whether somebody asked for essential letters only.
///
/// # Errors
/// The database could not answer.
pub async fn is_quiet(conn: &mut SqliteConnection, account: i64) -> Result<bool, StoreError> {
    let found = sqlx::query_scalar!(
        r#"SELECT EXISTS (SELECT 1 FROM letter_quiet WHERE account_id = ?1) AS "found: bool""#,
        account
    )
    .fetch_one(conn)
    .await?;
    Ok(found)
}

/// Which letters somebody wants by mail.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wanted {
    /// Every letter.
    All,
    /// Those that others wait on.
    EssentialOnly,
}

/// Notes which letters somebody wants by mail. All of them stay on their page.
///
/// # Errors
/// The database could not answer.
pub async fn want(
    tx: &mut WriteTx,
    clock: &Clock,
    account: i64,
    wanted: Wanted,
) -> Result<(), StoreError> {
    let now = clock.seconds();
    match wanted {
        Wanted::All => {
            sqlx::query!("DELETE FROM letter_quiet WHERE account_id = ?1", account)
                .execute(&mut **tx)
                .await?
        }
        Wanted::EssentialOnly => {
            sqlx::query!(
                "INSERT INTO letter_quiet (account_id, since) VALUES (?1, ?2)
                 ON CONFLICT DO NOTHING",
                account,
                now
            )
            .execute(&mut **tx)
            .await?
        }
    };
    Ok(())
}

/// Takes away every letter to an account, and what it wished about letters, as when it is erased.
///
/// # Errors
/// The database could not answer.
pub async fn forget_account(tx: &mut WriteTx, account: i64) -> Result<(), StoreError> {
    sqlx::query!("DELETE FROM letter WHERE account_id = ?1", account).execute(&mut **tx).await?;
    sqlx::query!("DELETE FROM letter_quiet WHERE account_id = ?1", account)
        .execute(&mut **tx)
        .await?;
    Ok(())
}

/// Takes away every letter to a member, as when they are erased.
///
/// # Errors
/// The database could not answer.
pub async fn forget_member(tx: &mut WriteTx, member: MemberId) -> Result<(), StoreError> {
    sqlx::query!("DELETE FROM letter WHERE member_id = ?1", member.0).execute(&mut **tx).await?;
    Ok(())
}
