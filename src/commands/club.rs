//! `club`: what the club is called, and where its nights begin.

use std::process::ExitCode;

use clap::Args;

use super::running::{Failure, database_in, open_or_create};
use super::tables::Data;
use crate::club::{Club, Zone, club, put_club};
use crate::sheet::Name;

/// Options of `club`.
#[derive(Debug, Args)]
pub struct Options {
    /// What it is called from now on.
    #[arg(long, value_parser = Name::new)]
    name: Option<Name>,
    /// Its time zone from now on, such as Europe/London.
    #[arg(long, value_parser = Zone::new)]
    time_zone: Option<Zone>,
    #[command(flatten)]
    data: Data,
}

const NEW: &str = "there is no club yet: give it both --name and --time-zone";

/// Runs `club`: changes what is given and prints what holds. A service that runs shows it after its
/// next start.
///
/// # Errors
/// The database can't be used, or a new club lacks its name or zone.
pub async fn run(options: Options) -> Result<ExitCode, Failure> {
    let whole = options.name.is_some() && options.time_zone.is_some();
    if !whole && !database_in(&options.data.data).is_file() {
        return Err(Failure::WrongUse(NEW.into()));
    }
    let store = open_or_create(&options.data.data).await?;
    let mut tx = store.write().await?;
    let changes = options.name.is_some() || options.time_zone.is_some();
    let whole = match (club(&mut tx).await?, options.name, options.time_zone) {
        (Some(club), name, zone) => {
            Club { name: name.unwrap_or(club.name), zone: zone.unwrap_or(club.zone) }
        }
        (None, Some(name), Some(zone)) => Club { name, zone },
        (None, ..) => return Err(Failure::WrongUse(NEW.into())),
    };
    if changes {
        put_club(&mut tx, &whole).await?;
    }
    tx.commit().await?;
    store.close().await;
    println!("{}, {}", whole.name.as_str(), whole.zone.name());
    Ok(ExitCode::SUCCESS)
}
