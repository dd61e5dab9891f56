//! Starting the server, telling it to stop, and leaving the database tidy.

use std::net::SocketAddr;
use std::os::unix::fs::DirBuilderExt as _;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use axum::Router;
use tokio::net::TcpListener;
use tokio::signal::unix::{Signal, SignalKind, signal};
use tokio::task::JoinHandle;

use super::tending::Tending;
use crate::app::{AppState, app};
use crate::club::ClubError;
use crate::post::MailServer;
use crate::store::{Store, StoreError};
use crate::web::server::{Ending, Entrance, Limits, serve};
use crate::web::tls::Tls;

/// Why a command could not do its work.
#[derive(Debug, thiserror::Error)]
pub enum Failure {
    /// The command was given something it can't use, and never will: what is in a file or folder may
    /// be better at the next try.
    #[error("{0}")]
    WrongUse(String),
    /// The answer is no, or the work failed.
    #[error("{0}")]
    Failed(String),
    /// The database could not be used.
    #[error(transparent)]
    Store(#[from] StoreError),
}

impl Failure {
    /// The exit status that says so to scripts.
    #[must_use]
    pub fn exit_code(&self) -> ExitCode {
        match self {
            Self::WrongUse(_) => ExitCode::from(2),
            Self::Failed(_) | Self::Store(_) => ExitCode::FAILURE,
        }
    }
}

impl From<ClubError> for Failure {
    fn from(error: ClubError) -> Self {
        match error {
            ClubError::Database(error) => Self::Store(error.into()),
            other @ ClubError::Unreadable(_) => Self::Failed(other.to_string()),
        }
    }
}

impl From<sqlx::Error> for Failure {
    fn from(error: sqlx::Error) -> Self {
        Self::Store(error.into())
    }
}

/// The database's file inside a data folder.
#[must_use]
pub fn database_in(folder: &Path) -> PathBuf {
    folder.join("club.sqlite")
}

/// Makes a folder for nobody but its owner, where it is missing: what is in it is the members'
/// business.
///
/// # Errors
/// It can't be made.
pub fn make_folder(folder: &Path) -> Result<(), Failure> {
    let made = std::fs::DirBuilder::new().recursive(true).mode(0o700).create(folder);
    made.map_err(|error| {
        Failure::Failed(format!(
            "the folder {} can't be made: {error}; name another one",
            folder.display()
        ))
    })
}

/// Opens the database of a data folder, making both where they are missing.
///
/// # Errors
/// The folder can't be made, or the database can't be used.
pub async fn open_or_create(folder: &Path) -> Result<Store, Failure> {
    make_folder(folder)?;
    Ok(Store::open(&database_in(folder)).await?)
}

/// Opens the database of a data folder that is there already.
///
/// # Errors
/// There is none, or it can't be used.
pub async fn open_existing(folder: &Path) -> Result<Store, Failure> {
    let file = database_in(folder);
    if !file.is_file() {
        return Err(Failure::WrongUse(format!(
            "there is no club in {}: name its folder with --data, or make one with \
             `borrowed-light serve`",
            folder.display()
        )));
    }
    Ok(Store::open(&file).await?)
}

/// A server that listens and waits for its signal to stop.
pub struct Running {
    listener: TcpListener,
    address: SocketAddr,
    signals: Signals,
    tls: Option<Tls>,
}

impl Running {
    /// Takes the address. From now on a signal to stop is heard and obeyed once the server runs.
    ///
    /// # Errors
    /// Somebody else has the address, it is not this machine's, or the system doesn't let us
    /// listen to signals.
    pub async fn listen(address: SocketAddr) -> Result<Self, Failure> {
        let fault = |error: std::io::Error| {
            Failure::Failed(format!(
                "can't listen on {address}: {error}; choose another address with --listen"
            ))
        };
        let listener = TcpListener::bind(address).await.map_err(fault)?;
        let address = listener.local_addr().map_err(fault)?;
        let signals = Signals::new()
            .map_err(|error| Failure::Failed(format!("can't listen to signals: {error}")))?;
        Ok(Self { listener, address, signals, tls: None })
    }

    /// The same with TLS on every connection, where there is a certificate.
    #[must_use]
    pub fn with_tls(self, tls: Option<Tls>) -> Self {
        Self { tls, ..self }
    }

    /// The address it listens on, with the port that the system gave.
    #[must_use]
    pub fn address(&self) -> SocketAddr {
        self.address
    }

    /// How browsers begin the address.
    #[must_use]
    pub fn scheme(&self) -> &'static str {
        if self.tls.is_some() { "https" } else { "http" }
    }

    /// Serves one club and does its work until SIGTERM or SIGINT, finishes what is under way,
    /// tidies the database.
    pub async fn until_stopped(
        self,
        state: AppState,
        mail: Option<MailServer>,
        copying: Option<JoinHandle<()>>,
    ) {
        let (state, tending) = Tending::begin(state, mail, copying);
        self.serve(app(state)).await;
        tending.end().await;
    }

    /// Answers until SIGTERM or SIGINT and finishes what is under way. A second signal ends the
    /// process at once.
    pub async fn serve(self, app: Router) {
        let mut signals = self.signals;
        let (tell, told) = tokio::sync::oneshot::channel::<()>();
        tokio::spawn(async move {
            signals.next().await;
            // The server may have ended by itself; then nobody needs to be told.
            let _ = tell.send(());
            signals.next().await;
            std::process::exit(130);
        });
        let stop = async {
            if told.await.is_ok() {
                tracing::info!("stopping: finishing what is under way");
            }
        };
        let entrance = match self.tls {
            Some(tls) => Entrance::with_tls(self.listener, tls),
            None => self.listener.into(),
        };
        let ending = serve(entrance, app, Limits::default(), stop).await;
        if let Ending::CutOff(connections) = ending {
            tracing::warn!(connections, "connections were cut off");
        }
    }
}

struct Signals {
    terminate: Signal,
    interrupt: Signal,
}

impl Signals {
    fn new() -> std::io::Result<Self> {
        Ok(Self {
            terminate: signal(SignalKind::terminate())?,
            interrupt: signal(SignalKind::interrupt())?,
        })
    }

    async fn next(&mut self) {
        tokio::select! {
            _ = self.terminate.recv() => {}
            _ = self.interrupt.recv() => {}
        }
    }
}
