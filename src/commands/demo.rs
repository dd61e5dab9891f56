//! `demo`: a fresh copy of the invented club.

use std::io::Write as _;
use std::net::SocketAddr;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Args;
use jiff::civil::Date;

use super::running::{Failure, Running, open_or_create};
use crate::app::AppState;
use crate::demo::{self, DemoAccount};
use crate::web::clock::Clock;
use crate::web::secret;
use crate::web::site::Site;

/// Options of `demo`.
#[derive(Debug, Args)]
pub struct Options {
    /// Folder for the demo's data; empty or missing. A new temporary one without it.
    #[arg(long, env = "BORROWED_LIGHT_DATA")]
    data: Option<PathBuf>,
    /// Address and port to listen on.
    #[arg(long, env = "BORROWED_LIGHT_LISTEN", default_value = "127.0.0.1:8420")]
    listen: SocketAddr,
    /// The day that the club's calendar shows, such as 2026-06-05.
    #[arg(long, env = "BORROWED_LIGHT_TODAY")]
    today: Option<Date>,
}

/// Runs `demo`.
///
/// # Errors
/// The folder holds something already, the address is taken, or the demo can't be set up.
pub async fn run(options: Options) -> Result<ExitCode, Failure> {
    let folder = match options.data {
        Some(folder) => empty(folder)?,
        None => temporary()?,
    };
    let failed = |error: &dyn std::fmt::Display| Failure::Failed(error.to_string());
    let zone = demo::time_zone().map_err(|error| failed(&error))?;
    let mut clock = Clock::system(zone);
    if let Some(today) = options.today {
        clock = clock.pinned_to(today);
    }
    // The address first: a demo that can't be reached need not be set up.
    let running = Running::listen(options.listen).await?;
    let store = open_or_create(&folder).await?;
    let accounts = demo::fill(&store, &clock).await.map_err(|error| failed(&error))?;
    let base_url = format!("http://{}", running.address());
    write_access(&folder, &base_url, &accounts)?;
    println!("{} is open at {base_url}", demo::CLUB_NAME);
    println!("Sign in with one of these addresses and the password: {}", demo::PASSWORD);
    for account in &accounts {
        println!("  {:<14} {:<34} {}", account.role.as_str(), account.email, account.name);
    }
    println!("The data and demo-access.json (with API tokens) are in {}", folder.display());
    println!("Stop with Ctrl-C.");
    let site = Site::new(demo::CLUB_NAME);
    running.until_stopped(AppState::new(store, clock, site)).await?;
    Ok(ExitCode::SUCCESS)
}

fn empty(folder: PathBuf) -> Result<PathBuf, Failure> {
    match std::fs::read_dir(&folder) {
        Ok(mut entries) => match entries.next() {
            None => Ok(folder),
            Some(_) => Err(Failure::WrongUse(format!(
                "{} is not empty; give an empty or a new folder, so that nothing is lost",
                folder.display()
            ))),
        },
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(folder),
        Err(error) => Err(Failure::WrongUse(format!(
            "{} can't be used as a folder: {error}",
            folder.display()
        ))),
    }
}

fn temporary() -> Result<PathBuf, Failure> {
    let random: [u8; 6] =
        secret::random_bytes().map_err(|error| Failure::Failed(error.to_string()))?;
    Ok(std::env::temp_dir().join(format!("borrowed-light-demo-{}", secret::hex(&random))))
}

/// Writes who can sign in and how, for programs; readable by the owner alone.
fn write_access(folder: &Path, base_url: &str, accounts: &[DemoAccount]) -> Result<(), Failure> {
    use std::os::unix::fs::OpenOptionsExt as _;
    let accounts: Vec<_> = accounts
        .iter()
        .map(|account| {
            serde_json::json!({
                "role": account.role.as_str(),
                "email": account.email,
                "password": demo::PASSWORD,
                "token": account.token,
            })
        })
        .collect();
    let text = serde_json::json!({ "base_url": base_url, "accounts": accounts });
    let path = folder.join("demo-access.json");
    let written = std::fs::OpenOptions::new()
        .write(true)
        .create(true)
        .truncate(true)
        .mode(0o600)
        .open(&path)
        .and_then(|mut file| writeln!(file, "{text:#}"));
    written
        .map_err(|error| Failure::Failed(format!("{} can't be written: {error}", path.display())))
}
