//! Purchases over HTTP.

use axum::extract::State;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::candidate::{COLUMNS, Candidate, MOST_CANDIDATES, read_cells};
use super::candidate_pages::too_many;
use super::candidate_store::{Kept, candidates, put_candidate, same_name};
use super::job_store::{self, Job, State as JobState};
use super::pages::known_job;
use super::report::Report;
use super::worker;
use crate::audit::{Subject, note};
use crate::people::access::ApiCaller;
use crate::shelf::Worth;
use crate::store::Store;
use crate::web::body::{Json, Path};
use crate::web::clock::Clock;
use crate::web::problem::{Fault, Problem, ProblemDocument};
use crate::web::refusals::{NoToken, Unreadable};

/// Asks for a report.
#[derive(Debug, Clone, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct PurchaseWish {
    /// What may be spent, in hundredths of the club's money.
    #[schema(minimum = 0, maximum = 100_000_000)]
    pub budget_cents: i64,
}

/// A report, or how far it has come.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub struct PurchaseAnswer {
    /// Its number.
    pub id: i64,
    /// What may be spent, in hundredths.
    pub budget_cents: i64,
    /// `waiting`, `running`, `done`, `cancelled` or `failed`.
    pub state: &'static str,
    /// How far it has come, 0 to 1.
    pub done: f64,
    /// The sentence for the minutes, when it is done.
    pub minutes: Option<String>,
    /// The report, when it is done and one was asked for.
    pub report: Option<Report>,
}

impl PurchaseAnswer {
    fn of(job: Job) -> Self {
        let report = job.report.map(|mut report| {
            report.gaining_classes.clear();
            report
        });
        Self {
            id: job.id,
            budget_cents: job.budget_cents,
            state: job.state.as_str(),
            done: job.thousandths as f64 / 1000.0,
            minutes: report.as_ref().map(Report::minutes),
            report,
        }
    }
}

/// Reports, the newest first, without their figures.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub struct PurchasesAnswer {
    /// The reports.
    pub purchases: Vec<PurchaseAnswer>,
}

/// Something that could be bought. A name that is on the list already changes that entry.
#[derive(Debug, Clone, Default, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct CandidateBody {
    /// Its number; given by the service.
    pub id: Option<i64>,
    /// What the club calls it.
    #[schema(required = true, min_length = 1, max_length = 120)]
    pub name: String,
    /// `eyepiece`, `barlow` or `corrector`; a corrector needs a barrel.
    #[schema(required = true, pattern = "^(eyepiece|barlow|corrector)$")]
    pub piece: String,
    /// What one costs, in hundredths.
    #[schema(minimum = 0, maximum = 100_000_000)]
    pub price_cents: i64,
    /// `new` or `used`.
    #[schema(pattern = "^(new|used)?$")]
    pub condition: Option<String>,
    /// How many one would buy at most, 1 to 9; 1 where left out.
    #[schema(minimum = 1, maximum = 9)]
    pub most: Option<i64>,
    /// Focal length of an eyepiece.
    #[schema(minimum = 1.5, maximum = 100)]
    pub focal_length_mm: Option<f64>,
    /// Apparent field of an eyepiece.
    #[schema(minimum = 15, maximum = 130)]
    pub apparent_field_deg: Option<f64>,
    /// Field stop of an eyepiece.
    #[schema(minimum = 1, maximum = 60)]
    pub field_stop_mm: Option<f64>,
    /// Eye relief of an eyepiece.
    #[schema(minimum = 0, maximum = 60)]
    pub eye_relief_mm: Option<f64>,
    /// Barrel; a corrector needs one.
    #[schema(schema_with = crate::shelf::barrel_described)]
    pub barrel_mm: Option<f64>,
    /// How an eyepiece is built.
    #[schema(pattern = "^(two_lens|three_element|four_element|wide_field)?$")]
    pub optical_class: Option<String>,
    /// Mass.
    #[schema(minimum = 1, maximum = 200_000)]
    pub mass_g: Option<f64>,
    /// Factor of a Barlow, 1.01 to 6, or of a corrector, 0.5 to 2.
    #[schema(minimum = 0.5, maximum = 6)]
    pub factor: Option<f64>,
    /// Kind of a Barlow, `plain` or `telecentric`.
    #[schema(pattern = "^(plain|telecentric)?$")]
    pub kind: Option<String>,
}

impl CandidateBody {
    fn of(kept: &Kept) -> Self {
        let texts = kept.candidate.texts();
        let text = |at: usize| Some(texts[at].clone()).filter(|text| !text.is_empty());
        let number = |at: usize| texts[at].parse().ok();
        Self {
            id: Some(kept.id),
            name: texts[0].clone(),
            piece: texts[1].clone(),
            price_cents: kept.candidate.price.cents(),
            condition: text(3),
            most: Some(i64::from(kept.candidate.most)),
            focal_length_mm: number(5),
            apparent_field_deg: number(6),
            field_stop_mm: number(7),
            eye_relief_mm: number(8),
            barrel_mm: number(9),
            optical_class: text(10),
            mass_g: number(11),
            factor: number(12),
            kind: text(13),
        }
    }

    fn read(&self) -> Result<Candidate, Problem> {
        let price = Worth::of_cents(self.price_cents).map_err(|why| {
            Problem::out_of_range(vec![Fault::at("/price_cents", why.to_string())])
        })?;
        let number = |value: Option<f64>| value.map_or_else(String::new, |value| value.to_string());
        let text = |value: &Option<String>| value.clone().unwrap_or_default();
        let cells = vec![
            self.name.trim().to_owned(),
            self.piece.clone(),
            price.to_string(),
            text(&self.condition),
            self.most.map_or_else(String::new, |most| most.to_string()),
            number(self.focal_length_mm),
            number(self.apparent_field_deg),
            number(self.field_stop_mm),
            number(self.eye_relief_mm),
            number(self.barrel_mm),
            text(&self.optical_class),
            number(self.mass_g),
            number(self.factor),
            text(&self.kind),
        ];
        read_cells(cells).map_err(|refused| {
            let pointer = |column: Option<&'static str>| match column {
                Some("price") => "/price_cents".to_owned(),
                Some(column) if COLUMNS.contains(&column) => format!("/{column}"),
                _ => String::new(),
            };
            let faults = refused.faults.into_iter();
            Problem::out_of_range(
                faults.map(|fault| Fault::at(pointer(fault.column), fault.says)).collect(),
            )
        })
    }
}

/// The list of candidates.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub struct CandidatesAnswer {
    /// The candidates by number.
    pub candidates: Vec<CandidateBody>,
}

/// The reports on purchases, the newest first.
///
/// # Errors
/// The database could not answer.
#[utoipa::path(
    get,
    path = "/api/v1/purchases",
    tag = "buying",
    responses(
        (status = 200, description = "The reports, without their figures", body = PurchasesAnswer, content_type = "application/json"),
        (status = 403, description = "Not yours to do", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken,
    )
)]
pub async fn list(State(store): State<Store>) -> Result<Json<PurchasesAnswer>, Problem> {
    let mut conn = store.reader().acquire().await?;
    let jobs = job_store::jobs(&mut conn).await?;
    Ok(Json(PurchasesAnswer { purchases: jobs.into_iter().map(PurchaseAnswer::of).collect() }))
}

/// Asks for a report, which is then made in the background, one at a time.
///
/// Where one with the same budget is being made already, that one is the answer.
///
/// # Errors
/// 422 for a budget out of range.
#[utoipa::path(
    post,
    path = "/api/v1/purchases",
    tag = "buying",
    request_body(content = PurchaseWish, content_type = "application/json"),
    responses(
        (status = 202, description = "Asked for; look at its address how far it has come", body = PurchaseAnswer, content_type = "application/json"),
        (status = 403, description = "A token that may only read, or not yours to do", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken, Unreadable,
    )
)]
pub async fn ask(
    State(store): State<Store>,
    State(clock): State<Clock>,
    caller: ApiCaller,
    Json(wish): Json<PurchaseWish>,
) -> Result<Response, Problem> {
    let budget = Worth::of_cents(wish.budget_cents)
        .map_err(|why| Problem::out_of_range(vec![Fault::at("/budget_cents", why.to_string())]))?;
    let mut tx = store.write().await?;
    let id = job_store::ask(&mut tx, budget.cents(), clock.seconds()).await?;
    let about = Subject::of("purchase report", id);
    note(&mut tx, caller.actor(), "purchase report asked", about, &budget.to_string()).await?;
    tx.commit().await?;
    worker::wake();
    let job = known_job(&store, id).await?;
    let address = [(header::LOCATION, format!("/api/v1/purchases/{id}"))];
    Ok((StatusCode::ACCEPTED, address, Json(PurchaseAnswer::of(job))).into_response())
}

/// One report, or how far it has come.
///
/// # Errors
/// 404 where there is none.
#[utoipa::path(
    get,
    path = "/api/v1/purchases/{id}",
    tag = "buying",
    params(("id" = i64, Path, description = "The report's number")),
    responses(
        (status = 200, description = "The report", body = PurchaseAnswer, content_type = "application/json"),
        (status = 403, description = "Not yours to do", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 404, description = "Not there", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken,
    )
)]
pub async fn one(
    State(store): State<Store>,
    Path(id): Path<i64>,
) -> Result<Json<PurchaseAnswer>, Problem> {
    Ok(Json(PurchaseAnswer::of(known_job(&store, id).await?)))
}

/// Stops a report that is being made. One that has ended stays as it is.
///
/// # Errors
/// 404 where there is none.
#[utoipa::path(
    post,
    path = "/api/v1/purchases/{id}/cancel",
    tag = "buying",
    params(("id" = i64, Path, description = "The report's number")),
    responses(
        (status = 200, description = "How it stands now", body = PurchaseAnswer, content_type = "application/json"),
        (status = 403, description = "A token that may only read, or not yours to do", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 404, description = "Not there", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken,
    )
)]
pub async fn cancel(
    State(store): State<Store>,
    State(clock): State<Clock>,
    caller: ApiCaller,
    Path(id): Path<i64>,
) -> Result<Json<PurchaseAnswer>, Problem> {
    known_job(&store, id).await?;
    let mut tx = store.write().await?;
    if job_store::end(&mut tx, id, JobState::Cancelled, clock.seconds()).await? {
        let about = Subject::of("purchase report", id);
        note(&mut tx, caller.actor(), "purchase report stopped", about, "").await?;
    }
    tx.commit().await?;
    Ok(Json(PurchaseAnswer::of(known_job(&store, id).await?)))
}

/// What could be bought.
///
/// # Errors
/// The database could not answer.
#[utoipa::path(
    get,
    path = "/api/v1/candidates",
    tag = "buying",
    responses(
        (status = 200, description = "The list", body = CandidatesAnswer, content_type = "application/json"),
        (status = 403, description = "Not yours to do", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken,
    )
)]
pub async fn candidates_list(
    State(store): State<Store>,
) -> Result<Json<CandidatesAnswer>, Problem> {
    let mut conn = store.reader().acquire().await?;
    let kept = candidates(&mut conn).await?;
    Ok(Json(CandidatesAnswer { candidates: kept.iter().map(CandidateBody::of).collect() }))
}

/// Puts something on the list of what could be bought, or changes the entry of that name.
///
/// # Errors
/// 409 where the list is full, 422 with a pointer for every field that can't be used.
#[utoipa::path(
    post,
    path = "/api/v1/candidates",
    tag = "buying",
    request_body(content = CandidateBody, content_type = "application/json"),
    responses(
        (status = 201, description = "On the list", body = CandidateBody, content_type = "application/json"),
        (status = 403, description = "A token that may only read, or not yours to do", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 409, description = "The list is full", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken, Unreadable,
    )
)]
pub async fn put(
    State(store): State<Store>,
    caller: ApiCaller,
    Json(body): Json<CandidateBody>,
) -> Result<Response, Problem> {
    let candidate = body.read()?;
    let mut tx = store.write().await?;
    let there = candidates(&mut tx).await?;
    let known = there.iter().any(|kept| same_name(&kept.candidate, &candidate));
    if !known && there.len() >= MOST_CANDIDATES {
        return Err(too_many());
    }
    let id = put_candidate(&mut tx, &candidate).await?;
    let deed = if known { "candidate changed" } else { "candidate added" };
    note(&mut tx, caller.actor(), deed, Subject::of("candidate", id), "").await?;
    tx.commit().await?;
    let answer = CandidateBody::of(&Kept { id, candidate });
    Ok((StatusCode::CREATED, Json(answer)).into_response())
}
