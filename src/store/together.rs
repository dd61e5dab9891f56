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

/// SQLite's code for a disk that refused (sqlite.org/rescode.html), which is what mostly ends a
/// transaction that nobody ended.
const IOERR: &str = "10";
/// SQLite's code for a part that was not begun, among other words that it can't follow.
const NO_SUCH_PART: &str = "1";

/// Those who wait for the same commit.
#[derive(Debug)]
pub(super) struct Group {
    outcome: watch::Sender<Option<Result<(), Refusal>>>,
    left: Left,
}

/// What whoever left in the middle of their part may have left behind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Left {
    Nothing,
    /// Writes to be undone.
    Writes,
    /// Perhaps a transaction that isn't the group's.
    Another,
}

impl Default for Group {
    fn default() -> Self {
        Self { outcome: watch::Sender::new(None), left: Left::Nothing }
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
        if self.left == Left::Nothing {
            self.left = Left::Writes;
        }
    }

    /// Undoes what somebody left, wherever they stood.
    ///
    /// # Errors
    /// The whole transaction is gone, or may be: then nothing on this connection is to be kept.
    pub(super) async fn tidy(&mut self, connection: &mut SqliteConnection) -> sqlx::Result<()> {
        match self.left {
            Left::Nothing => return Ok(()),
            Left::Writes => {}
            Left::Another => return Err(Refusal::ended().into()),
        }
        let undone = sqlx::query("ROLLBACK TO part").execute(&mut *connection).await;
        if let Err(error) = undone {
            // Either it was given up between its end and the next one's beginning, or an error of the
            // disk has undone the whole transaction. Only then can another one begin. Whoever gives up
            // waiting for the answer leaves it unknown, and all are refused.
            self.left = Left::Another;
            let code = error.as_database_error().and_then(DatabaseError::code);
            if code.as_deref() != Some(NO_SUCH_PART)
                || sqlx::query("BEGIN").execute(&mut *connection).await.is_ok()
            {
                return Err(Refusal::ended().into());
            }
            self.left = Left::Writes;
            sqlx::query("SAVEPOINT part").execute(connection).await?;
        }
        self.left = Left::Nothing;
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

/// What begins a transaction of which a group may come: with a first part that can be undone alone.
pub(super) const BEGIN: &str = "BEGIN IMMEDIATE; SAVEPOINT part";

/// Ends a part, whose writes are the group's now, and begins the next one.
///
/// # Errors
/// The transaction is gone.
pub(super) async fn next_part(connection: &mut SqliteConnection) -> sqlx::Result<()> {
    sqlx::query("RELEASE part; SAVEPOINT part").execute(connection).await.map(drop)
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
