//! `account`: who can sign in.

use std::process::ExitCode;

use clap::{Args, Subcommand};
use jiff::tz::TimeZone;

use super::running::{Failure, open_existing};
use super::tables::Data;
use crate::people::Email;
use crate::people::invite::{InviteError, invite};
use crate::people::rights::Role;
use crate::sheet::Name;
use crate::web::clock::Clock;
use crate::web::site::Site;

/// What `account` can do.
#[derive(Debug, Subcommand)]
pub enum Deed {
    /// Print a link with which somebody chooses a password; it works once, within seven days.
    Invite(InviteOptions),
}

/// Options of `account invite`.
#[derive(Debug, Args)]
pub struct InviteOptions {
    /// Their e-mail address, with which they will sign in.
    #[arg(long, value_parser = Email::new)]
    email: Email,
    /// What they are to the club: member, quartermaster, outreach or admin.
    #[arg(long, value_parser = read_role)]
    role: Role,
    /// Their name; without it, that of the member with this address.
    #[arg(long, value_parser = Name::new)]
    name: Option<Name>,
    /// The address that browsers use.
    #[arg(long, env = "BORROWED_LIGHT_PUBLIC_URL", default_value = "http://127.0.0.1:8420")]
    public_url: String,
    #[command(flatten)]
    data: Data,
}

fn read_role(word: &str) -> Result<Role, String> {
    Role::parse(word).ok_or_else(|| {
        format!("there is no such role; choose one of {}", Role::ALL.map(Role::as_str).join(", "))
    })
}

/// Runs `account`.
///
/// # Errors
/// The database can't be used.
pub async fn run(deed: Deed) -> Result<ExitCode, Failure> {
    let Deed::Invite(options) = deed;
    // Refuses what serve would refuse, before anything is stored.
    Site::new("").at(&options.public_url).map_err(|error| Failure::WrongUse(error.to_string()))?;
    let store = open_existing(&options.data.data).await?;
    let clock = Clock::system(TimeZone::UTC);
    let mut tx = store.write().await?;
    let name = options.name.as_ref().map(Name::as_str);
    let link =
        invite(&mut tx, &clock, &options.email, options.role, name).await.map_err(|error| {
            match error {
                InviteError::Store(error) => error.into(),
                other => Failure::Failed(other.to_string()),
            }
        })?;
    tx.commit().await?;
    store.close().await;
    println!("{}/setup/{}", options.public_url.trim_end_matches('/'), link.reveal());
    Ok(ExitCode::SUCCESS)
}
