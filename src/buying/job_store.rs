//! Long computations in the database: asked, watched, stopped, gone on with after a restart.

use sqlx::SqliteConnection;

use super::candidate_store::BuyingError;
use super::report::{Point, Report};
use crate::store::WriteTx;

/// How a computation stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum State {
    /// Its turn has not come.
    Waiting,
    /// It is being computed.
    Running,
    /// Its report is there.
    Done,
    /// Somebody stopped it.
    Cancelled,
    /// It broke.
    Failed,
}

impl State {
    const ALL: [Self; 5] =
        [Self::Waiting, Self::Running, Self::Done, Self::Cancelled, Self::Failed];

    /// The word in the database and for programs.
    #[must_use]
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Waiting => "waiting",
            Self::Running => "running",
            Self::Done => "done",
            Self::Cancelled => "cancelled",
            Self::Failed => "failed",
        }
    }

    /// Whether it is still to end.
    #[must_use]
    pub fn is_open(self) -> bool {
        matches!(self, Self::Waiting | Self::Running)
    }
}

/// One computation.
#[derive(Debug, Clone, PartialEq)]
pub struct Job {
    /// Its number.
    pub id: i64,
    /// What may be spent, in hundredths.
    pub budget_cents: i64,
    /// How it stands.
    pub state: State,
    /// When it was asked for, seconds since 1970.
    pub asked_at: i64,
    /// What it does just now.
    pub stage: String,
    /// How far it has come.
    pub thousandths: i64,
    /// Its report, where it is done and was asked for.
    pub report: Option<Report>,
}

struct Row {
    id: i64,
    budget_cents: i64,
    state: String,
    asked_at: i64,
    stage: String,
    thousandths: i64,
    report: Option<String>,
}

impl Row {
    fn read(self) -> Result<Job, BuyingError> {
        let what = format!("Report {}", self.id);
        let state = State::ALL.into_iter().find(|state| state.as_str() == self.state);
        let state = state
            .ok_or_else(|| BuyingError::Unreadable(what.clone(), "its state is wrong".into()))?;
        let report = match self.report {
            Some(text) => Some(
                serde_json::from_str(&text)
                    .map_err(|why| BuyingError::Unreadable(what, why.to_string()))?,
            ),
            None => None,
        };
        Ok(Job {
            id: self.id,
            budget_cents: self.budget_cents,
            state,
            asked_at: self.asked_at,
            stage: self.stage,
            thousandths: self.thousandths,
            report,
        })
    }
}

/// Asks for a computation; where one with the same budget is open already, that one.
///
/// # Errors
/// The database refused.
pub async fn ask(tx: &mut WriteTx, budget_cents: i64, now: i64) -> Result<i64, BuyingError> {
    let open = sqlx::query_scalar!(
        "SELECT id FROM purchase_job
         WHERE state IN ('waiting', 'running') AND budget_cents = ? ORDER BY id",
        budget_cents
    )
    .fetch_optional(&mut **tx)
    .await?;
    if let Some(id) = open {
        return Ok(id);
    }
    let id = sqlx::query_scalar!(
        "INSERT INTO purchase_job (budget_cents, asked_at) VALUES (?, ?) RETURNING id",
        budget_cents,
        now
    )
    .fetch_one(&mut **tx)
    .await?;
    Ok(id)
}

/// The latest computations without their reports, newest first.
///
/// # Errors
/// The database could not answer.
pub async fn jobs(conn: &mut SqliteConnection) -> Result<Vec<Job>, BuyingError> {
    let rows = sqlx::query_as!(
        Row,
        "SELECT id, budget_cents, state, asked_at, stage, thousandths, NULL AS \"report?: String\"
         FROM purchase_job ORDER BY id DESC LIMIT 30"
    )
    .fetch_all(conn)
    .await?;
    rows.into_iter().map(Row::read).collect()
}

/// One computation with its report.
///
/// # Errors
/// The database could not answer, or the report can't be read.
pub async fn job(conn: &mut SqliteConnection, id: i64) -> Result<Option<Job>, BuyingError> {
    let row = sqlx::query_as!(
        Row,
        "SELECT id, budget_cents, state, asked_at, stage, thousandths, report
         FROM purchase_job WHERE id = ?",
        id
    )
    .fetch_optional(conn)
    .await?;
    row.map(Row::read).transpose()
}

/// The newest report.
///
/// # Errors
/// The database could not answer, or the report can't be read.
pub async fn newest_report(conn: &mut SqliteConnection) -> Result<Option<Job>, BuyingError> {
    let row = sqlx::query_as!(
        Row,
        "SELECT id, budget_cents, state, asked_at, stage, thousandths, report
         FROM purchase_job WHERE state = 'done' ORDER BY id DESC LIMIT 1"
    )
    .fetch_optional(conn)
    .await?;
    row.map(Row::read).transpose()
}

/// Takes the next computation in hand: one that a restart broke off, else the longest waiting.
///
/// # Errors
/// The database refused.
pub async fn take(tx: &mut WriteTx) -> Result<Option<Job>, BuyingError> {
    let row = sqlx::query_as!(
        Row,
        "UPDATE purchase_job SET state = 'running' WHERE id = (
             SELECT id FROM purchase_job WHERE state IN ('waiting', 'running')
             ORDER BY state = 'running' DESC, id LIMIT 1
         ) RETURNING id AS \"id!\", budget_cents, state, asked_at, stage, thousandths,
             report AS \"report?\""
    )
    .fetch_optional(&mut **tx)
    .await?;
    row.map(Row::read).transpose()
}

/// What was found before of this computation, if it was computed from the same facts. With other
/// facts everything kept is forgotten.
///
/// # Errors
/// The database refused, or what was kept can't be read.
pub async fn known(tx: &mut WriteTx, id: i64, mark: &str) -> Result<Vec<Point>, BuyingError> {
    sqlx::query!(
        "DELETE FROM purchase_point WHERE job_id = ?1
         AND NOT EXISTS (SELECT 1 FROM purchase_job WHERE id = ?1 AND mark = ?2)",
        id,
        mark
    )
    .execute(&mut **tx)
    .await?;
    sqlx::query!("UPDATE purchase_job SET mark = ? WHERE id = ?", mark, id)
        .execute(&mut **tx)
        .await?;
    let rows = sqlx::query_scalar!(
        "SELECT found FROM purchase_point WHERE job_id = ? ORDER BY budget_cents",
        id
    )
    .fetch_all(&mut **tx)
    .await?;
    rows.iter()
        .map(|text| {
            serde_json::from_str(text)
                .map_err(|why| BuyingError::Unreadable(format!("Report {id}"), why.to_string()))
        })
        .collect()
}

/// Keeps what was found of a computation that is not over.
///
/// # Errors
/// The database refused.
pub async fn keep(tx: &mut WriteTx, id: i64, found: &[Point]) -> Result<(), BuyingError> {
    for point in found {
        let budget = point.budget_cents.cast_signed();
        let text = serde_json::to_string(point)
            .map_err(|why| BuyingError::Unreadable(format!("Report {id}"), why.to_string()))?;
        sqlx::query!(
            "INSERT INTO purchase_point (job_id, budget_cents, found)
             SELECT ?1, ?2, ?3 WHERE EXISTS (
                 SELECT 1 FROM purchase_job WHERE id = ?1 AND state = 'running'
             )
             ON CONFLICT DO UPDATE SET found = ?3",
            id,
            budget,
            text
        )
        .execute(&mut **tx)
        .await?;
    }
    Ok(())
}

/// Notes how far it has come and what was found; false where somebody stopped it.
///
/// # Errors
/// The database refused.
pub async fn note(
    tx: &mut WriteTx,
    id: i64,
    stage: &str,
    thousandths: i64,
    found: &[Point],
) -> Result<bool, BuyingError> {
    keep(tx, id, found).await?;
    let done = sqlx::query!(
        "UPDATE purchase_job SET stage = ?, thousandths = ? WHERE id = ? AND state = 'running'",
        stage,
        thousandths,
        id
    )
    .execute(&mut **tx)
    .await?;
    Ok(done.rows_affected() > 0)
}

/// Keeps the report.
///
/// # Errors
/// The database refused.
pub async fn finish(
    tx: &mut WriteTx,
    id: i64,
    report: &Report,
    now: i64,
) -> Result<(), BuyingError> {
    let text = serde_json::to_string(report)
        .map_err(|why| BuyingError::Unreadable(format!("Report {id}"), why.to_string()))?;
    sqlx::query!(
        "UPDATE purchase_job SET state = 'done', report = ?, ended_at = ?, thousandths = 1000,
             stage = ''
         WHERE id = ? AND state = 'running'",
        text,
        now,
        id
    )
    .execute(&mut **tx)
    .await?;
    forget_points(tx, id).await
}

/// Ends a computation without a report; false where it had ended already.
///
/// # Errors
/// The database refused.
pub async fn end(tx: &mut WriteTx, id: i64, state: State, now: i64) -> Result<bool, BuyingError> {
    let state = state.as_str();
    let done = sqlx::query!(
        "UPDATE purchase_job SET state = ?, ended_at = ?
         WHERE id = ? AND state IN ('waiting', 'running')",
        state,
        now,
        id
    )
    .execute(&mut **tx)
    .await?;
    forget_points(tx, id).await?;
    Ok(done.rows_affected() > 0)
}

async fn forget_points(tx: &mut WriteTx, id: i64) -> Result<(), BuyingError> {
    sqlx::query!("DELETE FROM purchase_point WHERE job_id = ?", id).execute(&mut **tx).await?;
    Ok(())
}
