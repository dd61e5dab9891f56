//! Starting the server, telling it to stop, and leaving the database tidy.

use std::net::SocketAddr;
use std::os::unix::fs::DirBuilderExt as _;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::time::Duration;

use tokio::net::TcpListener;
use tokio::signal::unix::{Signal, SignalKind, signal};

use crate::app::{AppState, app, chores};
use crate::buying;
use crate::club::ClubError;
use crate::post::MailServer;
use crate::store::{Store, StoreError};
use crate::web::server::{Ending, Limits, serve};

/// How long the letter that is under way may take in the end.
const LAST_LETTER: Duration = Duration::from_secs(5);

/// Why a command could not do its work.
#[derive(Debug, thiserror::Error)]
pub enum Failure {
    /// The command was given something it can't use.
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
        Ok(Self { listener, address, signals })
    }

    /// The address it listens on, with the port that the system gave.
    #[must_use]
    pub fn address(&self) -> SocketAddr {
        self.address
    }

    /// Serves and sends letters until SIGTERM or SIGINT, finishes what is under way, tidies the
    /// database. A second signal ends the process at once.
    pub async fn until_stopped(self, state: AppState, mail: Option<MailServer>) {
        let store = state.store.clone();
        let mut signals = self.signals;
        let (state, worker) = match mail.map(|server| state.clone().with_mail(server)) {
            Some((state, worker)) => (state, Some(worker)),
            None => (state, None),
        };
        let (tell_worker, told_worker) = tokio::sync::oneshot::channel::<()>();
        let sending = worker.map(|worker| {
            tokio::spawn(worker.run(async {
                // An error means that the server is gone, which is the same.
                let _ = told_worker.await;
            }))
        });
        let (tell_chores, told_chores) = tokio::sync::oneshot::channel::<()>();
        let chores = tokio::spawn(chores::run(state.clone(), async {
            // As above.
            let _ = told_chores.await;
        }));
        let (tell_reports, told_reports) = tokio::sync::oneshot::channel::<()>();
        let (reports_store, reports_clock) = (state.store.clone(), state.clock.clone());
        let reports = tokio::spawn(buying::worker::run(reports_store, reports_clock, async {
            // As above.
            let _ = told_reports.await;
        }));
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
        let ending = serve(self.listener, app(state), Limits::default(), stop).await;
        if let Ending::CutOff(connections) = ending {
            tracing::warn!(connections, "connections were cut off");
        }
        drop((tell_worker, tell_chores, tell_reports));
        if let Err(error) = chores.await {
            tracing::error!(%error, "the daily chores broke off");
        }
        if let Err(error) = reports.await {
            tracing::error!(%error, "the reports on purchases broke off");
        }
        if let Some(sending) = sending
            && tokio::time::timeout(LAST_LETTER, sending).await.is_err()
        {
            tracing::warn!("a letter was left on its way to the mail server");
        }
        store.close().await;
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
