//! `demo`: a fresh copy of the invented club, ready to be looked at.

use std::fs;
use std::io::Write as _;
use std::net::{Ipv4Addr, SocketAddr};
use std::os::unix::fs::{DirBuilderExt as _, OpenOptionsExt as _};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Args;
use jiff::civil::Date;
use jiff::tz::TimeZone;

use super::mail::MailOptions;
use super::running::{Failure, Running, open_or_create};
use crate::app::AppState;
use crate::demo::{self, Access, AccessFile};
use crate::web::clock::Clock;
use crate::web::secret::{hex, random_bytes};
use crate::web::site::Site;

/// Name of the file that holds every ready sign-in.
const ACCESS_FILE: &str = "demo-access.json";

/// Options of `demo`.
#[derive(Debug, Args)]
pub struct Options {
    /// Address and port to listen on; port 0 takes any that is free. Without it 127.0.0.1:8420, or
    /// any free port where that one is taken.
    #[arg(long, env = "BORROWED_LIGHT_LISTEN")]
    listen: Option<SocketAddr>,
    /// Folder for the demo's data, empty or missing; without it a temporary one that is cleared
    /// away in the end.
    #[arg(long, env = "BORROWED_LIGHT_DATA")]
    data: Option<PathBuf>,
    /// The date that the club's clock is set to, at noon, such as 2026-06-05; without it, the
    /// machine's time.
    #[arg(long, env = "BORROWED_LIGHT_TODAY")]
    today: Option<Date>,
    #[command(flatten)]
    mail: MailOptions,
}

/// A folder that is cleared away when the demo ends, if it was made for it.
struct Folder {
    path: PathBuf,
    temporary: bool,
}

impl Drop for Folder {
    fn drop(&mut self) {
        if self.temporary
            && let Err(error) = fs::remove_dir_all(&self.path)
        {
            eprintln!("The temporary folder {} is left behind: {error}", self.path.display());
        }
    }
}

/// Runs `demo`.
///
/// # Errors
/// The folder is not empty, the address is taken, or the database can't be used.
pub async fn run(options: Options) -> Result<ExitCode, Failure> {
    let mail = options.mail.server()?;
    let folder = match options.data {
        Some(path) => given(path)?,
        None => temporary()?,
    };
    let zone = TimeZone::get(demo::ZONE).map_err(|error| Failure::Failed(error.to_string()))?;
    let clock = Clock::system(zone);
    let clock = match options.today {
        Some(date) => clock.set_to(date),
        None => clock,
    };
    let running = listen(options.listen).await?;
    let store = open_or_create(&folder.path).await?;
    let accounts =
        demo::fill(&store, &clock).await.map_err(|error| Failure::Failed(error.to_string()))?;
    let base_url = format!("http://{}", running.address());
    let file = AccessFile { base_url: &base_url, today: clock.today(), accounts: &accounts };
    write_access(&folder.path, &file).map_err(|error| {
        Failure::Failed(format!(
            "{ACCESS_FILE} can't be written to {}: {error}; give another folder with --data",
            folder.path.display()
        ))
    })?;
    greet(&base_url, &accounts, &folder);
    let site = Site::new(demo::CLUB).listening_at(&base_url);
    running.until_stopped(AppState::new(store, clock, site), mail, None).await;
    Ok(ExitCode::SUCCESS)
}

async fn listen(wanted: Option<SocketAddr>) -> Result<Running, Failure> {
    if let Some(address) = wanted {
        return Running::listen(address).await;
    }
    let at = |port| SocketAddr::from((Ipv4Addr::LOCALHOST, port));
    match Running::listen(at(8420)).await {
        Ok(running) => Ok(running),
        Err(_) => Running::listen(at(0)).await,
    }
}

/// The folder that was asked for, which nothing must be in.
fn given(path: PathBuf) -> Result<Folder, Failure> {
    let folder = Folder { path, temporary: false };
    match fs::read_dir(&folder.path).map(Iterator::count) {
        Ok(1..) => Err(Failure::WrongUse(format!(
            "{} is not empty, and the demo overwrites nothing: give a folder that is empty or \
             not there yet",
            folder.path.display()
        ))),
        Ok(0) => Ok(folder),
        Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(folder),
        Err(error) => Err(Failure::WrongUse(format!(
            "{} can't be used as a folder: {error}; give another one with --data",
            folder.path.display()
        ))),
    }
}

fn temporary() -> Result<Folder, Failure> {
    let failed = |error: &dyn std::fmt::Display| {
        Failure::Failed(format!("no temporary folder can be made: {error}; give one with --data"))
    };
    let digits = random_bytes::<6>().map_err(|error| failed(&error))?;
    let path = std::env::temp_dir().join(format!("borrowed-light-demo-{}", hex(&digits)));
    fs::DirBuilder::new().mode(0o700).create(&path).map_err(|error| failed(&error))?;
    Ok(Folder { path, temporary: true })
}

/// Writes the sign-ins for nobody but the owner, whole from the first moment it can be seen.
fn write_access(folder: &Path, file: &AccessFile<'_>) -> std::io::Result<()> {
    let partial = folder.join(format!("{ACCESS_FILE}.partial"));
    let mut out = fs::OpenOptions::new().write(true).create_new(true).mode(0o600).open(&partial)?;
    serde_json::to_writer_pretty(&mut out, file)?;
    out.write_all(b"\n")?;
    out.sync_all()?;
    fs::rename(partial, folder.join(ACCESS_FILE))
}

fn greet(base_url: &str, accounts: &[Access], folder: &Folder) {
    println!("{} lends its telescopes at {base_url}\n", demo::CLUB);
    if let Some(first) = accounts.first() {
        println!("Sign in as one of these, each with the password  {}\n", first.password);
    }
    for one in accounts {
        println!("  {:<14} {:<32} {}", one.role, one.email, one.name);
    }
    let cleared = if folder.temporary { " (cleared away when the demo ends)" } else { "" };
    println!(
        "\nThe demo asks nobody for a second factor; in earnest, whoever looks after the club needs \
         one.\nTokens for the API are in {}{cleared}\nStop it with Ctrl+C.",
        folder.path.join(ACCESS_FILE).display()
    );
}
