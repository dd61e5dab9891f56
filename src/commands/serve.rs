//! `serve`: the real thing.

use std::net::{IpAddr, SocketAddr};
use std::path::PathBuf;
use std::process::ExitCode;
use std::time::Duration;

use clap::Args;
use jiff::tz::TimeZone;
use tokio::net::TcpListener;

use super::keeping::{BackupOptions, Backups};
use super::mail::MailOptions;
use super::running::{Failure, Running, open_or_create};
use crate::app::AppState;
use crate::app::watching::figures as figures_of;
use crate::club::{Club, NoSuchZone, Zone, club, put_club};
use crate::people::setup;
use crate::sheet::{BadText, Name};
use crate::store::Store;
use crate::web::clock::Clock;
use crate::web::secret::Secret;
use crate::web::server::{Limits, serve};
use crate::web::site::Site;

/// Options of `serve`.
#[derive(Debug, Args)]
pub struct Options {
    /// Folder of the club's data, made on the first start.
    #[arg(long, env = "BORROWED_LIGHT_DATA", default_value = "borrowed-light-data")]
    data: PathBuf,
    /// Address and port to listen on.
    #[arg(long, env = "BORROWED_LIGHT_LISTEN", default_value = "127.0.0.1:8420")]
    listen: SocketAddr,
    /// The address that browsers use, such as <https://lend.example.org>, where a proxy stands in
    /// front.
    #[arg(long, env = "BORROWED_LIGHT_PUBLIC_URL")]
    public_url: Option<String>,
    /// Address of a proxy whose word on the client's address is believed; may be given again.
    #[arg(long, env = "BORROWED_LIGHT_TRUSTED_PROXY", value_delimiter = ',')]
    trusted_proxy: Vec<IpAddr>,
    /// The club's name, written down on the first start.
    #[arg(long, env = "BORROWED_LIGHT_CLUB", default_value = "Our astronomy club",
          value_parser = read_name)]
    club: Name,
    /// The club's time zone, such as Europe/London, written down on the first start; without it,
    /// this machine's.
    #[arg(long, env = "BORROWED_LIGHT_TIME_ZONE", value_parser = Zone::new)]
    time_zone: Option<Zone>,
    /// Address and port for figures in the open metrics format, for a program that watches over the
    /// service. Without it there are none. Anybody who reaches it can read them: keep it on this
    /// machine, or on a network of your own.
    #[arg(long, env = "BORROWED_LIGHT_METRICS")]
    metrics: Option<SocketAddr>,
    #[command(flatten)]
    mail: MailOptions,
    #[command(flatten)]
    backups: BackupOptions,
}

fn read_name(text: &str) -> Result<Name, BadText> {
    Name::new(text)
}

/// Runs `serve`.
///
/// # Errors
/// The data can't be used, or the address is taken.
pub async fn run(options: Options) -> Result<ExitCode, Failure> {
    let mail = options.mail.server()?;
    let store = open_or_create(&options.data).await?;
    let club = settle(&store, options.club, options.time_zone).await?;
    let mut site =
        Site::new(club.name.as_str()).behind(options.trusted_proxy).asking_staff_for_codes();
    if let Some(address) = &options.public_url {
        site = site.at(address).map_err(|error| Failure::WrongUse(error.to_string()))?;
    }
    let running = Running::listen(options.listen).await?;
    let figures = match options.metrics {
        Some(address) => Some(listen_for_watchers(address).await?),
        None => None,
    };
    let clock = Clock::system(club.zone.rules().clone());
    let address = running.address();
    let base_url = options
        .public_url
        .as_deref()
        .map_or_else(|| format!("http://{address}"), |url| url.trim_end_matches('/').to_owned());
    println!("{} lends its telescopes at {base_url}", club.name.as_str());
    if !address.ip().is_loopback() && !site.is_secure() {
        eprintln!(
            "borrowed-light: passwords travel unprotected on {address}: put a proxy with TLS in \
             front and name its address with --public-url https://…"
        );
    }
    invite_first(&store, &clock, &base_url).await?;
    let site = site.listening_at(&base_url);
    let mut state = AppState::new(store, clock.clone(), site);
    if let Some(backups) = Backups::of(options.backups, &options.data) {
        state = state.with_copies(backups.place());
        // Ends with the server; a copy that is under way then is thrown away on the next start.
        tokio::spawn(backups.go_on(clock));
    }
    if let Some(listener) = figures {
        let figures = figures_of(state.clone());
        // Ends with the server too: nobody waits for figures.
        tokio::spawn(serve(listener, figures, WATCHERS, std::future::pending()));
    }
    running.until_stopped(state, mail).await;
    Ok(ExitCode::SUCCESS)
}

/// What the listener for watchers puts up with: one or two programs that ask now and then.
const WATCHERS: Limits =
    Limits { head: Duration::from_secs(5), connections: 16, drain: Duration::from_secs(1) };

async fn listen_for_watchers(address: SocketAddr) -> Result<TcpListener, Failure> {
    let listener = TcpListener::bind(address).await.map_err(|error| {
        Failure::Failed(format!(
            "can't listen on {address}: {error}; choose another address with --metrics"
        ))
    })?;
    let address = listener.local_addr().unwrap_or(address);
    tracing::info!(%address, "figures for watchers are at /metrics");
    Ok(listener)
}

/// The club as it is written down; on the first start, writes it down.
async fn settle(store: &Store, name: Name, zone: Option<Zone>) -> Result<Club, Failure> {
    let mut tx = store.write().await?;
    if let Some(club) = club(&mut tx).await? {
        return Ok(club);
    }
    let zone = match zone {
        Some(zone) => zone,
        None => machines_zone().map_err(|error| {
            Failure::WrongUse(format!("{error} Give the club's own with --time-zone."))
        })?,
    };
    let club = Club { name, zone };
    put_club(&mut tx, &club).await?;
    tx.commit().await?;
    Ok(club)
}

fn machines_zone() -> Result<Zone, NoSuchZone> {
    Zone::new(TimeZone::system().iana_name().unwrap_or("UTC"))
}

/// While no administrator can sign in, prints a fresh link with which the first one is made.
async fn invite_first(store: &Store, clock: &Clock, base_url: &str) -> Result<(), Failure> {
    let link = Secret::random().map_err(|error| Failure::Failed(error.to_string()))?;
    let mut tx = store.write().await?;
    if setup::invite_first(&mut tx, clock, &link).await? {
        tx.commit().await?;
        println!(
            "\nNobody looks after it yet. With this link, good once and for seven days, the first \
             administrator sets a password:\n\n  {base_url}/setup/{}\n",
            link.reveal()
        );
    }
    Ok(())
}
