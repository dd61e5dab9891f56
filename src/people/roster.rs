//! Members and accounts side by side, as those who look after people see them. Nothing about eyes.

use std::collections::HashMap;

use super::member::MemberId;
use super::rights::Roles;
use super::session::read_roles;
use crate::store::{Store, StoreError};

/// So many people stand on a page.
pub const PER_PAGE: usize = 25;
/// So many accounts at most are meant by part of a name.
const MOST_CALLED: i64 = 200;

/// Somebody: a member, an account, or both.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Key {
    /// Somebody with an account.
    Account(i64),
    /// A member without one.
    Member(MemberId),
}

impl Key {
    /// The person's page.
    #[must_use]
    pub fn page(self) -> String {
        match self {
            Self::Account(id) => format!("/people/{id}"),
            Self::Member(id) => format!("/people/members/{id}"),
        }
    }

    /// As it stands in an address: `a12`, `m7`.
    #[must_use]
    pub fn word(self) -> String {
        match self {
            Self::Account(id) => format!("a{id}"),
            Self::Member(id) => format!("m{id}"),
        }
    }
}

/// Whom to list.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Show {
    /// Everybody.
    #[default]
    All,
    /// Those who work for the club.
    Staff,
    /// Members who can't sign in yet.
    WithoutAccount,
    /// Accounts that are switched off, and members who have left.
    Gone,
}

impl Show {
    /// All choices, with their words.
    pub const CHOICES: [(Show, &'static str); 4] = [
        (Show::All, "Everybody"),
        (Show::Staff, "Who works for the club"),
        (Show::WithoutAccount, "Can't sign in yet"),
        (Show::Gone, "Left or switched off"),
    ];

    /// As it stands in an address.
    #[must_use]
    pub fn as_str(self) -> &'static str {
        match self {
            Self::All => "all",
            Self::Staff => "staff",
            Self::WithoutAccount => "without",
            Self::Gone => "gone",
        }
    }

    /// Reads such a word; what is unknown shows everybody.
    #[must_use]
    pub fn parse(word: &str) -> Self {
        Self::CHOICES
            .into_iter()
            .map(|(show, _)| show)
            .find(|show| show.as_str() == word)
            .unwrap_or_default()
    }
}

/// A person of the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Listed {
    /// Who.
    pub key: Key,
    /// The name.
    pub name: String,
    /// The number on the card, for members.
    pub number: Option<String>,
    /// The address for signing in, or else for mail.
    pub email: Option<String>,
    /// Whether a member has left.
    pub left: bool,
    /// What the account may do; nothing without an account.
    pub roles: Roles,
    /// Whether the account is switched off.
    pub disabled: bool,
    /// Whether a password has been chosen.
    pub can_sign_in: bool,
}

/// People by name, at most [`PER_PAGE`], and whether there are more. `q` is part of a name, number
/// or e-mail address; `after` is the last one of the page before.
///
/// # Errors
/// The database could not answer.
pub async fn list(
    store: &Store,
    q: &str,
    show: Show,
    after: &str,
) -> Result<(Vec<Listed>, bool), StoreError> {
    let (q, show) = (q.trim().to_lowercase(), show.as_str());
    let limit = i64::try_from(PER_PAGE + 1).unwrap_or(i64::MAX);
    let rows = sqlx::query!(
        r#"WITH person AS (
               SELECT coalesce('a' || account.id, 'm' || member.id) AS key,
                      member.id AS member_id, account.id AS account_id, member.name AS name,
                      member.member_number AS number,
                      coalesce(account.email, member.email) AS email,
                      member.state <> 'active' AS gone, account.disabled_at AS disabled_at,
                      account.password_hash IS NOT NULL AS can_sign_in
               FROM member LEFT JOIN account ON account.member_id = member.id
               UNION ALL
               SELECT 'a' || id, NULL, id, name, NULL, email, 0, disabled_at,
                      password_hash IS NOT NULL
               FROM account WHERE member_id IS NULL
           ), listed AS (
               SELECT person.*, (SELECT group_concat(role, ' ') FROM account_role
                                 WHERE account_id = person.account_id) AS roles
               FROM person
           )
           SELECT key AS "key!: String", member_id AS "member_id: i64",
                  account_id AS "account_id: i64", name AS "name!: String",
                  number AS "number: String", email AS "email: String", gone AS "gone!: bool",
                  disabled_at IS NOT NULL AS "disabled!: bool",
                  can_sign_in AS "can_sign_in!: bool", roles AS "roles: String"
           FROM listed
           WHERE (?1 = '' OR instr(lower(name), ?1) > 0 OR instr(lower(email), ?1) > 0
                  OR instr(lower(number), ?1) > 0)
             AND CASE ?2
                 WHEN 'staff' THEN roles IS NOT NULL AND roles <> 'member'
                 WHEN 'without' THEN NOT gone AND NOT can_sign_in
                 WHEN 'gone' THEN gone OR disabled_at IS NOT NULL
                 ELSE 1 END
             AND (?3 = '' OR (name COLLATE NOCASE, key)
                  > (SELECT name, key FROM person AS last WHERE last.key = ?3))
           ORDER BY name COLLATE NOCASE, key LIMIT ?4"#,
        q,
        show,
        after,
        limit
    )
    .fetch_all(&mut *store.reader().acquire().await?)
    .await?;
    let more = rows.len() > PER_PAGE;
    let people = rows
        .into_iter()
        .take(PER_PAGE)
        .map(|row| Listed {
            key: match (row.account_id, row.member_id) {
                (Some(id), _) => Key::Account(id),
                (None, member) => Key::Member(MemberId(member.unwrap_or_default())),
            },
            name: row.name,
            number: row.number,
            email: row.email,
            left: row.gone,
            roles: read_roles(row.roles.as_deref()),
            disabled: row.disabled,
            can_sign_in: row.can_sign_in,
        })
        .collect();
    Ok((people, more))
}

/// How many people there are: members who have not left, and those who can sign in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Tally {
    /// Members who have not left.
    pub members: i64,
    /// Accounts with a password that are not switched off.
    pub can_sign_in: i64,
    /// Those who asked to join and wait for an answer.
    pub waiting: i64,
}

/// Counts them.
///
/// # Errors
/// The database could not answer.
pub async fn tally(store: &Store) -> Result<Tally, StoreError> {
    let row = sqlx::query!(
        r#"SELECT (SELECT count(*) FROM member WHERE state = 'active') AS "members!: i64",
                  (SELECT count(*) FROM account
                   WHERE password_hash IS NOT NULL AND disabled_at IS NULL) AS "active!: i64",
                  (SELECT count(*) FROM join_request) AS "waiting!: i64""#
    )
    .fetch_one(&mut *store.reader().acquire().await?)
    .await?;
    Ok(Tally { members: row.members, can_sign_in: row.active, waiting: row.waiting })
}

/// Accounts whose name or e-mail address holds this text.
///
/// # Errors
/// The database could not answer.
pub async fn accounts_called(store: &Store, text: &str) -> Result<Vec<i64>, StoreError> {
    let text = text.to_lowercase();
    let ids = sqlx::query_scalar!(
        r#"SELECT id AS "id!" FROM account
           WHERE instr(lower(name), ?1) > 0 OR instr(lower(email), ?1) > 0
           ORDER BY id LIMIT ?2"#,
        text,
        MOST_CALLED
    )
    .fetch_all(&mut *store.reader().acquire().await?)
    .await?;
    Ok(ids)
}

/// The names of these accounts; those that are gone are left out.
///
/// # Errors
/// The database could not answer.
pub async fn names_of(store: &Store, ids: &[i64]) -> Result<HashMap<i64, String>, StoreError> {
    let ids: Vec<String> = ids.iter().map(ToString::to_string).collect();
    let ids = format!("[{}]", ids.join(","));
    let rows = sqlx::query!(
        r#"SELECT id AS "id!", name FROM account
           WHERE id IN (SELECT value FROM json_each(?1))"#,
        ids
    )
    .fetch_all(&mut *store.reader().acquire().await?)
    .await?;
    Ok(rows.into_iter().map(|row| (row.id, row.name)).collect())
}
