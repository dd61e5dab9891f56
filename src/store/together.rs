//! Several short writes that are made durable by one commit.
//!
//! The first of them began the transaction, and each later one's part of it can be undone alone. Nobody
//! is told that theirs is kept before all of it is on the disk. If the disk refuses, nobody's is.

use std::borrow::Cow;
use std::error::Error;
use std::future::Future;

use sqlx::error::{DatabaseError, ErrorKind};
use sqlx::sqlite::SqliteConnection;
use sqlx_core::transaction::TransactionManager as _;
use tokio::sync::watch;

use super::writer::Transactions;

/// SQLite's code for a disk that refused (sqlite.org/rescode.html), which is what ends a transaction
/// that nobody ended.
const IOERR: &str = "10";

/// Those who wait for the same commit.
#[derive(Debug)]
pub(super) struct Group {
    outcome: watch::Sender<Option<Result<(), Refusal>>>,
    /// Somebody left in the middle of their part.
    untidy: bool,
}

impl Default for Group {
    fn default() -> Self {
        Self { outcome: watch::Sender::new(None), untidy: false }
    }
}

impl Group {
    /// Waits for the commit.
    pub(super) fn settled(&self) -> impl Future<Output = sqlx::Result<()>> + use<> {
        let mut outcome = self.outcome.subscribe();
        async move {
            match outcome.wait_for(Option::is_some).await {
                Ok(told) => match &*told {
                    Some(Err(refusal)) => Err(refusal.clone().into()),
                    _ => Ok(()),
                },
                // The service ends.
                Err(_) => Err(sqlx::Error::WorkerCrashed),
            }
        }
    }

    /// Notes that somebody left without an end to their part.
    pub(super) fn is_untidy(&mut self) {
        self.untidy = true;
    }

    /// Undoes what somebody left, wherever they stood.
    ///
    /// # Errors
    /// The whole transaction is gone.
    pub(super) async fn tidy(&mut self, connection: &mut SqliteConnection) -> sqlx::Result<()> {
        if self.untidy {
            undo(connection).await?;
            self.untidy = false;
        }
        Ok(())
    }

    /// Commits, and tells everybody how that went.
    pub(super) async fn settle(mut self, connection: &mut SqliteConnection) {
        let mut done = self.tidy(connection).await;
        if done.is_ok() {
            done = Transactions::commit(connection).await;
        }
        if done.is_err() {
            Transactions::start_rollback(connection);
        }
        self.tell(done.map_err(|error| Refusal::of(&error)));
    }

    /// Tells everybody that nothing was kept.
    pub(super) fn is_lost(&self) {
        self.tell(Err(Refusal::ended()));
    }

    fn tell(&self, outcome: Result<(), Refusal>) {
        self.outcome.send_replace(Some(outcome));
    }
}

/// From here on, what a part writes can be undone alone.
pub(super) async fn begin_parts(connection: &mut SqliteConnection) -> sqlx::Result<()> {
    sqlx::query("SAVEPOINT part").execute(connection).await.map(drop)
}

/// Ends a part, whose writes are the group's now, and begins the next one.
pub(super) async fn next_part(connection: &mut SqliteConnection) -> sqlx::Result<()> {
    sqlx::query("RELEASE part; SAVEPOINT part").execute(connection).await.map(drop)
}

/// Undoes the part that was begun last.
async fn undo(connection: &mut SqliteConnection) -> sqlx::Result<()> {
    if sqlx::query("ROLLBACK TO part").execute(&mut *connection).await.is_ok() {
        return Ok(());
    }
    // Either it was given up between its end and the next one's beginning, or an error of the disk has
    // undone the whole transaction. Only then can another one begin.
    if sqlx::query("BEGIN").execute(&mut *connection).await.is_err() {
        return begin_parts(connection).await;
    }
    sqlx::query("ROLLBACK").execute(connection).await?;
    Err(Refusal::ended().into())
}

/// Why nothing of a group was kept, for each of them.
#[derive(Clone, Debug)]
struct Refusal {
    code: Option<String>,
    message: String,
}

impl Refusal {
    fn of(error: &sqlx::Error) -> Self {
        let code = error.as_database_error().and_then(DatabaseError::code).map(Cow::into_owned);
        Self { code, message: error.to_string() }
    }

    fn ended() -> Self {
        Self { code: Some(IOERR.into()), message: "the transaction was undone".into() }
    }
}

impl std::fmt::Display for Refusal {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.message)
    }
}

impl Error for Refusal {}

impl DatabaseError for Refusal {
    fn message(&self) -> &str {
        &self.message
    }

    fn code(&self) -> Option<Cow<'_, str>> {
        self.code.as_deref().map(Cow::Borrowed)
    }

    fn kind(&self) -> ErrorKind {
        ErrorKind::Other
    }

    fn as_error(&self) -> &(dyn Error + Send + Sync + 'static) {
        self
    }

    fn as_error_mut(&mut self) -> &mut (dyn Error + Send + Sync + 'static) {
        self
    }

    fn into_error(self: Box<Self>) -> Box<dyn Error + Send + Sync + 'static> {
        self
    }
}
