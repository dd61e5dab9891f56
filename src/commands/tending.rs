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
    copying: Option<JoinHandle<()>>,
}

impl Tending {
    /// Begins it. The state that comes back knows the way to the mail server. `copying` is what
    /// makes the daily copies, and ends with the rest.
    #[must_use]
    pub fn begin(
        state: AppState,
        mail: Option<MailServer>,
        copying: Option<JoinHandle<()>>,
    ) -> (AppState, Self) {
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
        (state, Self { store, tell, sending, chores, reports, copying })
    }

    /// Lets everything under way finish but a copy, which is thrown away on the next start, then
    /// folds the log in and closes the database.
    pub async fn end(self) {
        if let Some(copying) = self.copying {
            copying.abort();
            // That it broke off is what was asked for.
            let _ = copying.await;
        }
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

#[cfg(test)]
mod tests {
    use jiff::tz::TimeZone;

    use super::*;
    use crate::web::clock::Clock;
    use crate::web::site::Site;

    #[tokio::test]
    async fn nothing_goes_on_copying_a_club_that_has_ended() {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(&folder.path().join("club.sqlite")).await.unwrap();
        let clock = Clock::standing_at("2026-06-05T12:00:00Z".parse().unwrap(), TimeZone::UTC);
        let (alive, mut seen) = oneshot::channel::<()>();
        let copying = tokio::spawn(async move {
            let _alive = alive;
            std::future::pending::<()>().await;
        });
        let state = AppState::new(store, clock, Site::default());
        let (_, tending) = Tending::begin(state, None, Some(copying));
        tending.end().await;
        assert_eq!(seen.try_recv(), Err(oneshot::error::TryRecvError::Closed));
    }
}
