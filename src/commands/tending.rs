//! What goes on beside the requests of one club: letters, chores, reports.

use std::time::Duration;

use tokio::sync::oneshot;
use tokio::task::JoinHandle;

use crate::app::{AppState, chores};
use crate::buying;
use crate::post::MailServer;
use crate::store::Store;

/// How long the letter that is under way may take in the end.
const LAST_LETTER: Duration = Duration::from_secs(5);

/// The work on one club's database, begun and not ended yet.
#[derive(Debug)]
pub struct Tending {
    store: Store,
    tell: Vec<oneshot::Sender<()>>,
    sending: Option<JoinHandle<()>>,
    chores: JoinHandle<()>,
    reports: JoinHandle<()>,
}

impl Tending {
    /// Begins it. The state that comes back knows the way to the mail server.
    #[must_use]
    pub fn begin(state: AppState, mail: Option<MailServer>) -> (AppState, Self) {
        let (state, worker) = match mail.map(|server| state.clone().with_mail(server)) {
            Some((state, worker)) => (state, Some(worker)),
            None => (state, None),
        };
        let mut tell = Vec::new();
        let mut told = || {
            let (say, said) = oneshot::channel::<()>();
            tell.push(say);
            // An error means that the server is gone, which is the same.
            async { drop(said.await) }
        };
        let sending = worker.map(|worker| tokio::spawn(worker.run(told())));
        let chores = tokio::spawn(chores::run(state.clone(), told()));
        let (store, clock) = (state.store.clone(), state.clock.clone());
        let reports = tokio::spawn(buying::worker::run(store.clone(), clock, told()));
        (state, Self { store, tell, sending, chores, reports })
    }

    /// Lets everything under way finish, then folds the log in and closes the database.
    pub async fn end(self) {
        drop(self.tell);
        if let Err(error) = self.chores.await {
            tracing::error!(%error, "the daily chores broke off");
        }
        if let Err(error) = self.reports.await {
            tracing::error!(%error, "the reports on purchases broke off");
        }
        if let Some(sending) = self.sending
            && tokio::time::timeout(LAST_LETTER, sending).await.is_err()
        {
            tracing::warn!("a letter was left on its way to the mail server");
        }
        self.store.close().await;
    }
}
