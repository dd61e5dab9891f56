//! Inviting somebody: an account with a role and a one-time link to choose its password.

use super::account::{self, AccountError, NewAccount};
use super::member::Email;
use super::rights::{Role, Roles};
use super::{PeopleError, members, setup};
use crate::store::{StoreError, WriteTx};
use crate::web::clock::Clock;
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

/// Makes the account if there is none with this address, gives it the role, and makes the link
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
    Ok(link)
}
