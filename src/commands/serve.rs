//! `serve`: the real thing.

use std::net::{IpAddr, SocketAddr};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::time::Duration;

use axum::Router;
use clap::Args;
use jiff::tz::TimeZone;
use tokio::net::TcpListener;
use tokio::task::JoinHandle;

use super::clubs;
use super::keeping::{BackupOptions, Backups};
use super::mail::MailOptions;
use super::running::{Failure, Running, open_or_create};
use super::tls::{TlsOptions, keep_fresh};
use crate::app::AppState;
use crate::app::watching::figures as figures_of;
use crate::club::{Club, NoSuchZone, Zone, club, put_club};
use crate::people::setup;
use crate::sheet::{BadText, Name};
use crate::store::Store;
use crate::web::clock::Clock;
use crate::web::paced::Pace;
use crate::web::secret::Secret;
use crate::web::server::{Limits, serve};
use crate::web::site::Site;

/// Options of `serve`.
#[derive(Debug, Args)]
#[command(next_line_help = true)]
pub struct Options {
    /// Folder of the club's data, made on the first start.
    #[arg(
        long,
        env = "BORROWED_LIGHT_DATA",
        value_name = "FOLDER",
        default_value = "borrowed-light-data"
    )]
    data: PathBuf,
    /// Folder of several clubs instead: in it one folder for each, with the name of its host, such
    /// as lend.example.org. A new folder becomes a club within seconds, without a restart.
    #[arg(long, env = "BORROWED_LIGHT_CLUBS", value_name = "FOLDER")]
    clubs: Option<PathBuf>,
    /// Address and port to listen on.
    #[arg(
        long,
        env = "BORROWED_LIGHT_LISTEN",
        value_name = "ADDRESS",
        default_value = "127.0.0.1:8420"
    )]
    listen: SocketAddr,
    /// The address that browsers use, such as <https://lend.example.org>; with several clubs
    /// <https://*>, where the star stands for the name of each club's host.
    #[arg(long, env = "BORROWED_LIGHT_PUBLIC_URL", value_name = "ADDRESS")]
    public_url: Option<String>,
    /// Address of a proxy whose word on the client's address is believed; may be given again.
    #[arg(
        long,
        env = "BORROWED_LIGHT_TRUSTED_PROXY",
        value_name = "ADDRESS",
        value_delimiter = ','
    )]
    trusted_proxy: Vec<IpAddr>,
    #[command(flatten)]
    firsts: Firsts,
    /// Address and port for figures in the open metrics format, for a program that watches over the
    /// service. Without it there are none. Anybody who reaches it can read them: keep it on this
    /// machine, or on a network of your own.
    #[arg(long, env = "BORROWED_LIGHT_METRICS", value_name = "ADDRESS")]
    metrics: Option<SocketAddr>,
    /// How many seconds a request may take, its body included. Only for those who try out what
    /// happens then.
    #[arg(long, hide = true, default_value = "60",
          value_parser = clap::value_parser!(u64).range(1..))]
    request_seconds: u64,
    #[command(flatten)]
    tls: TlsOptions,
    #[command(flatten)]
    mail: MailOptions,
    #[command(flatten)]
    backups: BackupOptions,
}

/// What is written down when a club is served for the first time.
#[derive(Clone, Debug, Args)]
pub(super) struct Firsts {
    /// The club's name, written down on the first start.
    #[arg(long, env = "BORROWED_LIGHT_CLUB", value_name = "NAME",
          default_value = "Our astronomy club",
          value_parser = read_name)]
    club: Name,
    /// The club's time zone, such as Europe/London, written down on the first start; without it,
    /// this machine's.
    #[arg(long, env = "BORROWED_LIGHT_TIME_ZONE", value_name = "ZONE",
          value_parser = Zone::new)]
    time_zone: Option<Zone>,
}

fn read_name(text: &str) -> Result<Name, BadText> {
    Name::new(text)
}

/// How clubs are opened, one or several.
#[derive(Clone, Debug)]
pub(super) struct Opening {
    pub(super) firsts: Firsts,
    pub(super) proxies: Vec<IpAddr>,
    pub(super) backups: BackupOptions,
    /// How long a request may take.
    pub(super) longest: Duration,
}

/// Runs `serve`.
///
/// # Errors
/// The data can't be used, or the address is taken.
pub async fn run(options: Options) -> Result<ExitCode, Failure> {
    let mail = options.mail.server()?;
    let tls = options.tls.pair(options.public_url.as_deref())?;
    let opening = Opening {
        firsts: options.firsts,
        proxies: options.trusted_proxy,
        backups: options.backups,
        longest: Duration::from_secs(options.request_seconds),
    };
    let figures = async || match options.metrics {
        Some(address) => listen_for_watchers(address).await.map(Some),
        None => Ok(None),
    };
    if let Some(folder) = options.clubs {
        let clubs = clubs::Options { folder, public: options.public_url, mail };
        let running = Running::listen(options.listen).await?.with_tls(tls.clone());
        let figures = figures().await?;
        tls.map_or(Ok(()), keep_fresh)?;
        return clubs::run(clubs, opening, running, figures).await;
    }
    // Before anything is stored under an address that won't do.
    if let Some(address) = &options.public_url {
        Site::new("").at(address).map_err(|error| Failure::WrongUse(error.to_string()))?;
    }
    let store = open_or_create(&options.data).await?;
    let running = Running::listen(options.listen).await?.with_tls(tls.clone());
    let figures = figures().await?;
    let address = running.address();
    let here = format!("http://{address}");
    let (state, copying) =
        opening.welcome(store, &options.data, options.public_url.as_deref(), &here).await?;
    if !address.ip().is_loopback() && !state.site.is_secure() {
        warn_of_plain(address);
    }
    tls.map_or(Ok(()), keep_fresh)?;
    if let Some(listener) = figures {
        watch(listener, figures_of(state.clone()));
    }
    running.until_stopped(state, mail, copying).await;
    Ok(ExitCode::SUCCESS)
}

impl Opening {
    /// Reads or writes down who the club is, prints where it lives and, while nobody looks after
    /// it, the link for the first administrator; begins its copies, which go on until
    /// the task that comes back is ended.
    pub(super) async fn welcome(
        &self,
        store: Store,
        data: &Path,
        public: Option<&str>,
        here: &str,
    ) -> Result<(AppState, Option<JoinHandle<()>>), Failure> {
        let club = settle(&store, &self.firsts).await?;
        let site =
            Site::new(club.name.as_str()).behind(self.proxies.clone()).asking_staff_for_codes();
        let site = match public {
            Some(address) => {
                site.at(address).map_err(|error| Failure::WrongUse(error.to_string()))?
            }
            None => site,
        };
        let clock = Clock::system(club.zone.rules().clone());
        let base_url = public.unwrap_or(here).trim_end_matches('/').to_owned();
        println!("{} lends its telescopes at {base_url}", club.name.as_str());
        invite_first(&store, &clock, &base_url).await?;
        let state = AppState::new(store, clock.clone(), site.listening_at(&base_url))
            .with_longest(self.longest);
        let Some(backups) = Backups::of(self.backups.clone(), data) else {
            return Ok((state, None));
        };
        let state = state.with_copies(backups.place());
        Ok((state, Some(tokio::spawn(backups.go_on(clock)))))
    }
}

pub(super) fn warn_of_plain(address: SocketAddr) {
    eprintln!(
        "borrowed-light: passwords travel unprotected on {address}: put a proxy with TLS in front \
         and name its address with --public-url https://…, or give a certificate with --tls-cert"
    );
}

/// What the listener for watchers puts up with: one or two programs that ask now and then.
const WATCHERS: Limits = Limits {
    head: Duration::from_secs(5),
    pace: Pace { patience: Duration::from_secs(5), bytes_per_second: 1_000 },
    connections: 16,
    drain: Duration::from_secs(1),
};

/// Answers watchers. Ends with the server: nobody waits for figures.
pub(super) fn watch(listener: TcpListener, figures: Router) {
    tokio::spawn(serve(listener, figures, WATCHERS, std::future::pending()));
}

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
async fn settle(store: &Store, firsts: &Firsts) -> Result<Club, Failure> {
    let mut tx = store.write().await?;
    if let Some(club) = club(&mut tx).await? {
        return Ok(club);
    }
    let zone = match &firsts.time_zone {
        Some(zone) => zone.clone(),
        None => machines_zone().map_err(|error| {
            Failure::WrongUse(format!("{error} Give the club's own with --time-zone."))
        })?,
    };
    let club = Club { name: firsts.club.clone(), zone };
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
