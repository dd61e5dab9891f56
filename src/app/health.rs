//! Whether the service lives, for whoever watches over it.

use axum::extract::State;

use crate::store::Store;
use crate::web::problem::Problem;

/// `GET /healthz`: the process lives.
pub async fn alive() -> &'static str {
    "alive\n"
}

/// `GET /readyz`: the database answers.
///
/// # Errors
/// 503 while it doesn't.
pub async fn ready(State(store): State<Store>) -> Result<&'static str, Problem> {
    match store.answers().await {
        Ok(()) => Ok("ready\n"),
        Err(error) => {
            tracing::error!(%error, "the database does not answer");
            Err(Problem::busy())
        }
    }
}
