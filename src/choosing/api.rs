//! The two stateless questions over HTTP: judge these views, choose the best kits from these
//! pieces.

use axum::extract::State;
use axum::http::header::CONTENT_TYPE;
use axum::response::IntoResponse;
use serde::Serialize;

use super::evaluation;
use super::wire::answers::{KitsAnswer, ViewsAnswer};
use super::wire::read::{self, Element, Unreadable};
use super::wire::schemas::{EvaluateBody, SolveBody};
use super::wire::{EvaluateRequest, SolveRequest};
use super::{desk, solution};
use crate::kit::Settings;
use crate::web::body::JsonText;
use crate::web::clock::Clock;
use crate::web::json_fault;
use crate::web::kinds::Kind;
use crate::web::problem::{Problem, ProblemDocument};
use crate::web::refusals::NoToken;

/// Largest body of an evaluation: 2 MB.
pub const EVALUATE_LIMIT: usize = 2 * 1024 * 1024;

/// Largest body of a request for kits: 8 MB.
pub const SOLVE_LIMIT: usize = 8 * 1024 * 1024;

/// Judges views one by one: their numbers, a verdict, and what each of the nine rules found.
///
/// Nothing is stored. The answer has one view for each case, in the same order, in full double
/// precision.
///
/// # Errors
/// 400 for what is not JSON, 413 for more than 2 MB, 422 with a pointer for every field that can't
/// be used.
#[utoipa::path(
    post,
    path = "/api/v1/views/evaluate",
    tag = "choosing",
    request_body(
        content = EvaluateBody,
        content_type = "application/json",
        description = "An observer and at most 1,000 cases"
    ),
    responses(
        (status = 200, description = "One view for each case", body = ViewsAnswer, content_type = "application/json"),
        (status = 400, description = "Not JSON", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 413, description = "More than 2 MB", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 415, description = "Another content type than JSON", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 422, description = "Fields that can't be used, each with its pointer", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken,
    )
)]
pub async fn evaluate(
    State(clock): State<Clock>,
    JsonText(text): JsonText,
) -> Result<impl IntoResponse, Problem> {
    let this_year = clock.today().year();
    desk::off_thread(move || {
        let request: EvaluateRequest = sound(&text, this_year)?;
        written(&evaluation::evaluate(&request, &Settings::default()))
    })
    .await?
}

/// Chooses the best kit of each telescope from the pieces that are sent, with the proof that none
/// is better.
///
/// Nothing is stored. The answer does not depend on the order of the pieces. Where two seconds are
/// not enough for the proof, `proven_optimal` is false and `gap` says how much better a kit could
/// be at most.
///
/// # Errors
/// 400 for what is not JSON, 413 for more than 8 MB, 422 with a pointer for every field that can't
/// be used, 503 when too many ask at once.
#[utoipa::path(
    post,
    path = "/api/v1/kits/solve",
    tag = "choosing",
    request_body(
        content = SolveBody,
        content_type = "application/json",
        description = "An observer and at most 25,000 pieces"
    ),
    responses(
        (status = 200, description = "The best kits, best first", body = KitsAnswer, content_type = "application/json"),
        (status = 400, description = "Not JSON", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 413, description = "More than 8 MB", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 415, description = "Another content type than JSON", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 422, description = "Fields that can't be used, each with its pointer", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 503, description = "Too many ask at once; try again soon", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken,
    )
)]
pub async fn solve(
    State(clock): State<Clock>,
    JsonText(text): JsonText,
) -> Result<impl IntoResponse, Problem> {
    let this_year = clock.today().year();
    let request: SolveRequest = desk::off_thread(move || sound(&text, this_year)).await??;
    desk::search(move |budget, threads| {
        written(&solution::solve(&request, &Settings::default(), threads, budget))
    })
    .await?
}

pub(crate) fn sound<T: Element>(text: &[u8], this_year: i16) -> Result<T, Problem> {
    read::body(text, this_year).map_err(problem)
}

fn problem(unreadable: Unreadable) -> Problem {
    match unreadable {
        Unreadable::Malformed(error) => json_fault::malformed(&error),
        Unreadable::Faults { faults, more: 0 } => Problem::out_of_range(faults),
        Unreadable::Faults { faults, more } => {
            let all = faults.len() + more;
            let detail = format!(
                "{all} values can't be used as they are; the first {} are named.",
                faults.len()
            );
            faults.into_iter().fold(Problem::new(Kind::OutOfRange, detail), Problem::with)
        }
    }
}

pub(crate) fn written<T: Serialize>(answer: &T) -> Result<impl IntoResponse + use<T>, Problem> {
    let body = serde_json::to_vec(answer).map_err(|error| Problem::internal(&error))?;
    Ok(([(CONTENT_TYPE, "application/json")], body))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn faults_beyond_the_first_hundred_are_counted() {
        let faults = vec![crate::web::problem::Fault::at("/a", "Too small."); 100];
        let all = problem(Unreadable::Faults { faults, more: 9_900 });
        assert_eq!(all.status(), 422);
        assert_eq!(all.errors().len(), 100);
        assert_eq!(
            all.detail(),
            "10000 values can't be used as they are; the first 100 are named."
        );
    }
}
