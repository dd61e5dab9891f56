//! Several clubs from one server: a folder of folders, each with the name of its host and a
//! database of its own.
//!
//! A folder that comes is opened, one that goes is closed, and one that can't be opened is tried
//! again, while the others go on.

use std::collections::BTreeMap;
use std::io::Write as _;
use std::net::SocketAddr;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;
use std::time::Duration;

use tokio::net::TcpListener;
use tokio::signal::unix::{Signal, SignalKind, signal};
use tokio::task::{JoinHandle, JoinSet};

use super::running::{Failure, Running, make_folder, open_or_create};
use super::serve::{Opening, warn_of_plain, watch};
use super::tending::Tending;
use crate::app::AppState;
use crate::app::hosts::Hosts;
use crate::app::watching::figures_of_clubs;
use crate::people::password::Hasher;
use crate::post::MailServer;
use crate::web::site::Site;

/// How often the folder is looked through.
const LOOK_EVERY: Duration = Duration::from_secs(10);

/// A file of this name in a club's folder closes the club until it is gone.
const CLOSED: &str = "closed";

/// The first line of a file of this name in a club's folder is the address that its letters come
/// from, in the place of everybody's.
const SENDER: &str = "sender";

/// Where the clubs are.
pub(super) struct Options {
    pub(super) folder: PathBuf,
    /// The address that browsers use, with a star for the host.
    pub(super) public: Option<String>,
    pub(super) mail: Option<MailServer>,
}

/// Runs `serve --clubs`.
///
/// # Errors
/// The folder can't be used. What is wrong with a single club is told and stops no other.
pub(super) async fn run(
    options: Options,
    opening: Opening,
    running: Running,
    figures: Option<TcpListener>,
) -> Result<ExitCode, Failure> {
    let address = running.address();
    let addresses = Addresses::new(options.public.as_deref(), address)?;
    make_folder(&options.folder)?;
    if !address.ip().is_loopback() && !addresses.secure {
        warn_of_plain(address);
    }
    let hangup = signal(SignalKind::hangup())
        .map_err(|error| Failure::Failed(format!("can't listen to signals: {error}")))?;
    println!(
        "The clubs in {} are lent for at {}://{address}",
        options.folder.display(),
        running.scheme()
    );
    let hosts = Hosts::default();
    if let Some(listener) = figures {
        watch(listener, figures_of_clubs(hosts.clone()));
    }
    let mut keeper = Keeper {
        folder: options.folder,
        mail: options.mail,
        shared: Arc::new(Shared { addresses, opening, hasher: Hasher::default() }),
        hosts: hosts.clone(),
        open: BTreeMap::new(),
        trouble: BTreeMap::new(),
    };
    keeper.look().await;
    if keeper.open.is_empty() && keeper.trouble.is_empty() {
        println!(
            "There is no club in it yet: make a folder in it with the name of a host, such as {}",
            keeper.folder.join("lend.example.org").display()
        );
    }
    let (stop, stopped) = tokio::sync::oneshot::channel::<()>();
    let keeping = tokio::spawn(keeper.go_on(hangup, stopped));
    running.serve(hosts.router()).await;
    drop(stop);
    if let Err(error) = keeping.await {
        tracing::error!(%error, "the clubs were not closed in order");
    }
    Ok(ExitCode::SUCCESS)
}

/// How browsers reach the clubs.
struct Addresses {
    /// With a star for the host.
    public: Option<String>,
    secure: bool,
    port: u16,
}

impl Addresses {
    fn new(public: Option<&str>, listening: SocketAddr) -> Result<Self, Failure> {
        let port = listening.port();
        let Some(public) = public else {
            return Ok(Self { public: None, secure: false, port });
        };
        let addresses = Self { public: Some(public.to_owned()), secure: false, port };
        let tried = addresses.public_of("lend.example.org").unwrap_or_default();
        match Site::new("").at(&tried) {
            Ok(site) if has_a_bare_star(public) => {
                Ok(Self { secure: site.is_secure(), ..addresses })
            }
            _ => Err(Failure::WrongUse(format!(
                "“{public}” does not fit several clubs: write a star for the name of each one's \
                 host, such as --public-url https://*"
            ))),
        }
    }

    fn public_of(&self, host: &str) -> Option<String> {
        self.public.as_ref().map(|address| address.replacen('*', host, 1))
    }
}

/// Whether a star stands for the whole name of the host, and nothing but a port follows it.
fn has_a_bare_star(public: &str) -> bool {
    let rest = public.split_once("//*").map(|(_, rest)| rest.trim_end_matches('/'));
    rest.is_some_and(|rest| rest.is_empty() || rest.starts_with(':'))
}

/// What every club is opened with.
struct Shared {
    addresses: Addresses,
    opening: Opening,
    /// One for all: each hash takes memory.
    hasher: Hasher,
}

impl Shared {
    async fn open(&self, host: &str, data: &Path) -> Result<Opened, Failure> {
        let store = open_or_create(data).await?;
        let here = format!("http://{host}:{}", self.addresses.port);
        let public = self.addresses.public_of(host);
        let mut opening = self.opening.clone();
        opening.backups = opening.backups.of_club(host);
        let (state, copying) = opening.welcome(store, data, public.as_deref(), &here).await?;
        Ok((AppState { hasher: self.hasher.clone(), ..state }, copying))
    }
}

/// A club and what makes its copies.
type Opened = (AppState, Option<JoinHandle<()>>);

/// A club that is served, and what its letters come from.
struct Served {
    tending: Tending,
    sender: Option<String>,
}

/// How a club's letters are sent.
struct Mailing {
    /// What its folder says.
    sender: Option<String>,
    server: Option<MailServer>,
}

/// Opens and closes clubs as their folders come and go.
struct Keeper {
    folder: PathBuf,
    mail: Option<MailServer>,
    shared: Arc<Shared>,
    hosts: Hosts,
    open: BTreeMap<String, Served>,
    /// What keeps a club from being opened as its folder says, told once.
    trouble: BTreeMap<String, String>,
}

impl Keeper {
    /// Goes on until the server ends, then closes every club.
    async fn go_on(mut self, mut hangup: Signal, stop: tokio::sync::oneshot::Receiver<()>) {
        let mut look = tokio::time::interval(LOOK_EVERY);
        tokio::pin!(stop);
        loop {
            tokio::select! {
                _ = &mut stop => break,
                _ = look.tick() => {}
                _ = hangup.recv() => {}
            }
            self.look().await;
        }
        let mut ends: JoinSet<()> =
            std::mem::take(&mut self.open).into_values().map(|one| one.tending.end()).collect();
        while ends.join_next().await.is_some() {}
    }

    /// Looks through the folder once.
    async fn look(&mut self) {
        let there = match clubs_in(&self.folder) {
            Ok(there) => there,
            Err(error) => {
                tracing::error!(%error, "the folder of the clubs can't be read; what is open stays open");
                return;
            }
        };
        let is_wanted = |host: &str| there.get(host) == Some(&Folder::Open);
        // Nobody comes in any more before the work on what is closed or gone is ended.
        for host in there.keys().filter(|host| !is_wanted(host)) {
            self.hosts.shut(host);
        }
        self.hosts.keep_only(|host| there.contains_key(host));
        self.trouble.retain(|host, _| is_wanted(host));
        let mut mailings = BTreeMap::new();
        for host in there.keys().filter(|host| is_wanted(host)) {
            match self.mailing(host) {
                Ok(mailing) => {
                    if self.open.contains_key(host) {
                        self.trouble.remove(host);
                    }
                    mailings.insert(host.clone(), mailing);
                }
                Err(why) => self.put_off(host.clone(), why),
            }
        }
        // A club with another sender than before is closed for a moment; one whose sender can't be
        // used goes on as it was.
        let stays = |host: &str, served: &Served| {
            is_wanted(host) && mailings.get(host).is_none_or(|new| new.sender == served.sender)
        };
        for (host, served) in self.open.extract_if(.., |host, served| !stays(host, served)) {
            if is_wanted(&host) {
                self.hosts.shut(&host);
            }
            served.tending.end().await;
            tracing::info!(host, "a club is closed");
        }
        let mut opening = JoinSet::new();
        for host in mailings.keys().filter(|host| !self.open.contains_key(*host)).cloned() {
            let (shared, data) = (Arc::clone(&self.shared), self.folder.join(&host));
            opening.spawn(async move {
                let opened = shared.open(&host, &data).await;
                (host, opened)
            });
        }
        while let Some(opened) = opening.join_next().await {
            match opened {
                Ok((host, Ok(opened))) => {
                    let mailing = mailings.remove(&host);
                    let nobodys = Mailing { sender: None, server: None };
                    self.welcome(host, opened, mailing.unwrap_or(nobodys));
                }
                Ok((host, Err(failure))) => self.put_off(host, failure.to_string()),
                Err(error) => tracing::error!(%error, "a club was not opened"),
            }
        }
    }

    /// How a club's letters are sent: from everybody's address, or from its own. Without a mail
    /// server nobody writes any, so it does not matter what its folder says.
    fn mailing(&self, host: &str) -> Result<Mailing, String> {
        let Some(server) = self.mail.clone() else {
            return Ok(Mailing { sender: None, server: None });
        };
        let path = self.folder.join(host).join(SENDER);
        let sender = match std::fs::read_to_string(&path) {
            Ok(text) => text.lines().next().map(str::trim).unwrap_or_default().to_owned(),
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => String::new(),
            Err(error) => return Err(format!("{} can't be read: {error}", path.display())),
        };
        let sender = (!sender.is_empty()).then_some(sender);
        let server = match &sender {
            Some(from) => {
                server.sending_as(from).map_err(|why| format!("in {}: {why}", path.display()))?
            }
            None => server,
        };
        Ok(Mailing { sender, server: Some(server) })
    }

    fn welcome(&mut self, host: String, (state, copying): Opened, mailing: Mailing) {
        let (state, tending) = Tending::begin(state, mailing.server, copying);
        tracing::info!(host, "a club is open");
        self.hosts.open(&host, state);
        self.trouble.remove(&host);
        self.open.insert(host, Served { tending, sender: mailing.sender });
    }

    /// Tells why a club can't be as its folder says. One that is open goes on as it was.
    fn put_off(&mut self, host: String, why: String) {
        let goes = if self.open.contains_key(&host) {
            "goes on as it was"
        } else {
            self.hosts.shut(&host);
            "is not served"
        };
        if self.trouble.get(&host) != Some(&why) {
            // Where nobody can be told, the others still go on.
            let _ = writeln!(std::io::stderr(), "borrowed-light: {host} {goes}: {why}");
            tracing::error!(host, why, goes, "a club is in trouble; tried again every few seconds");
            self.trouble.insert(host, why);
        }
    }
}

/// How a club's folder stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Folder {
    Open,
    /// A file in it says so.
    Closed,
}

/// The hosts whose folders are there.
fn clubs_in(folder: &Path) -> std::io::Result<BTreeMap<String, Folder>> {
    let mut clubs = BTreeMap::new();
    for entry in std::fs::read_dir(folder)? {
        let entry = entry?;
        let (name, path) = (entry.file_name(), entry.path());
        if let Some(host) = name.to_str().filter(|name| is_host(name))
            && path.is_dir()
        {
            let is_closed = path.join(CLOSED).exists();
            clubs.insert(host.to_owned(), if is_closed { Folder::Closed } else { Folder::Open });
        }
    }
    Ok(clubs)
}

/// Whether this is the name of a host, in small letters (RFC 1123, section 2.1).
fn is_host(name: &str) -> bool {
    let label = |label: &str| {
        (1..=63).contains(&label.len())
            && label.bytes().all(|b| matches!(b, b'a'..=b'z' | b'0'..=b'9' | b'-'))
            && !label.starts_with('-')
            && !label.ends_with('-')
    };
    name.len() <= 253 && name.split('.').all(label)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn folders_with_names_of_hosts_are_clubs_and_may_be_closed() {
        let folder = tempfile::tempdir().unwrap();
        for name in ["lend.example.org", "north.example.org", "Notes", ".trash", "a..b", "-a"] {
            std::fs::create_dir(folder.path().join(name)).unwrap();
        }
        std::fs::write(folder.path().join("file.example.org"), "").unwrap();
        std::fs::write(folder.path().join("north.example.org/closed"), "").unwrap();
        let clubs: Vec<(String, Folder)> = clubs_in(folder.path()).unwrap().into_iter().collect();
        let told = |host: &str, folder| (host.to_owned(), folder);
        let (lend, north) = ("lend.example.org", "north.example.org");
        assert_eq!(clubs, [told(lend, Folder::Open), told(north, Folder::Closed)]);
    }

    #[test]
    fn the_star_of_the_public_address_is_each_clubs_host() {
        let at: SocketAddr = "127.0.0.1:8420".parse().unwrap();
        let addresses = Addresses::new(Some("https://*:8443"), at).unwrap();
        assert!(addresses.secure);
        assert_eq!(addresses.public_of("a.example").as_deref(), Some("https://a.example:8443"));
        for bad in [
            "https://lend.example.org",
            "*",
            "ftp://*",
            "https://*/lend",
            "https://*.example.org",
            "https://*lend:8443",
            "https://*:8443/lend",
        ] {
            assert!(Addresses::new(Some(bad), at).is_err(), "{bad}");
        }
    }
}
