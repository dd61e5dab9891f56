//! Inviting somebody: an account with a role and a one-time link to choose its password.

use super::account::{self, AccountError, NewAccount};
use super::member::{Email, MemberRecord, MemberState};
use super::rights::{Role, Roles};
use super::{PeopleError, members, setup};
use crate::audit::{Actor, Subject, note};
use crate::store::{StoreError, WriteTx};
use crate::web::clock::Clock;
use crate::web::problem::Problem;
use crate::web::secret::{NoRandomness, Secret};

/// Why nobody was invited.
#[derive(Debug, thiserror::Error)]
pub enum InviteError {
    /// The account could not be made.
    #[error(transparent)]
    Account(#[from] AccountError),
    /// The members' list could not answer.
    #[error(transparent)]
    People(#[from] PeopleError),
    /// The database could not be used.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// No randomness for the link.
    #[error(transparent)]
    Randomness(#[from] NoRandomness),
}

/// For the command line: makes the account if there is none with this address, gives it the role, and makes the link
/// that sets its password, in place of any earlier one. The account belongs to the member with
/// the same address, if there is one.
///
/// # Errors
/// The database could not be used.
pub async fn invite(
    tx: &mut WriteTx,
    clock: &Clock,
    email: &Email,
    role: Role,
    name: Option<&str>,
) -> Result<Secret, InviteError> {
    let id = if let Some(id) = account::by_email(tx, email).await? {
        account::give_role(tx, id, role).await?;
        id
    } else {
        let member = members(tx).await?.into_iter().find(|member| {
            let own = member.facts.email.as_ref();
            own.is_some_and(|own| own.as_str().eq_ignore_ascii_case(email.as_str()))
        });
        let before_at = email.as_str().split('@').next().unwrap_or("");
        let name =
            name.or(member.as_ref().map(|member| member.facts.name.as_str())).unwrap_or(before_at);
        let roles =
            if member.is_some() { Roles::of([Role::Member, role]) } else { Roles::of([role]) };
        let member = member.as_ref().map(|member| member.id);
        account::add(tx, clock, &NewAccount { member, name, email, roles: &roles }).await?
    };
    let link = Secret::random()?;
    setup::invite(tx, clock, id, &link).await?;
    let who = Actor::command(clock);
    note(tx, &who, "role given", Subject::of("account", id), role.as_str()).await?;
    note_link(tx, &who, "invitation made", id).await?;
    Ok(link)
}

/// A link that was made for somebody.
#[derive(Clone, Debug)]
pub struct Invitation {
    /// Their account.
    pub account: i64,
    /// Their name.
    pub name: String,
    /// The address they sign in with.
    pub email: String,
    /// The link's secret part.
    pub link: Secret,
    /// Until when it holds, in seconds since 1970.
    pub until: i64,
}

/// Notes that a link was made, never what it says.
pub(super) async fn note_link(
    tx: &mut WriteTx,
    who: &Actor,
    deed: &'static str,
    account: i64,
) -> Result<(), StoreError> {
    note(tx, who, deed, Subject::of("account", account), "").await
}

/// Makes an account and a link for somebody new, unless the address has an account already: then
/// says so, since another link for it is made on that person's page.
///
/// # Errors
/// The database could not be used.
pub async fn invite_newcomer(
    tx: &mut WriteTx,
    clock: &Clock,
    who: &Actor,
    email: &Email,
    name: Option<&str>,
    roles: &Roles,
) -> Result<Result<Invitation, String>, Problem> {
    if account::by_email(tx, email).await?.is_some() {
        return Ok(Err(
            "There is an account with this address already; find it in the list of people.".into(),
        ));
    }
    let member = members(tx).await?.into_iter().find(|member| {
        let own = member.facts.email.as_ref();
        own.is_some_and(|own| own.as_str().eq_ignore_ascii_case(email.as_str()))
    });
    if let Some(member) = &member
        && account::of_member(tx, member.id).await?.is_some()
    {
        return Ok(Err("The member with this address has an account already, under another \
                       address; find them in the list of people."
            .into()));
    }
    let listed = member.as_ref().map(|member| member.facts.name.as_str());
    let before_at = email.as_str().split('@').next().unwrap_or("");
    let name = name.or(listed).unwrap_or(before_at);
    let new = NewAccount { member: member.as_ref().map(|member| member.id), name, email, roles };
    Ok(Ok(make(tx, clock, who, &new).await?))
}

/// Makes an account and a link for a member of the club's list.
///
/// # Errors
/// 409 for somebody who has left, has no address or has an account, or the database could not be
/// used.
pub async fn invite_member(
    tx: &mut WriteTx,
    clock: &Clock,
    who: &Actor,
    member: &MemberRecord,
) -> Result<Invitation, Problem> {
    let cannot = |why: &str| {
        Problem::conflict(why.to_owned())
            .next("Look at the person’s page, or put the club’s list right first.")
            .way("People", "/people")
    };
    if member.facts.state == MemberState::Left {
        return Err(cannot("This member has left."));
    }
    let Some(email) = &member.facts.email else {
        return Err(cannot("The club’s list has no e-mail address for this member."));
    };
    if account::of_member(tx, member.id).await?.is_some()
        || account::by_email(tx, email).await?.is_some()
    {
        return Err(cannot("There is an account for this member or this address already."));
    }
    let roles = Roles::of([Role::Member]);
    let name = member.facts.name.as_str();
    let new = NewAccount { member: Some(member.id), name, email, roles: &roles };
    make(tx, clock, who, &new).await
}

async fn make(
    tx: &mut WriteTx,
    clock: &Clock,
    who: &Actor,
    new: &NewAccount<'_>,
) -> Result<Invitation, Problem> {
    let id = account::add(tx, clock, new).await.map_err(|error| match error {
        AccountError::EmailTaken => Problem::conflict(AccountError::EmailTaken.to_string()),
        AccountError::Store(error) => error.into(),
    })?;
    for role in new.roles.iter() {
        note(tx, who, "role given", Subject::of("account", id), role.as_str()).await?;
    }
    let link = Secret::random()?;
    let until = setup::invite(tx, clock, id, &link).await?;
    note_link(tx, who, "invitation made", id).await?;
    Ok(Invitation {
        account: id,
        name: new.name.to_owned(),
        email: new.email.as_str().to_owned(),
        link,
        until,
    })
}
