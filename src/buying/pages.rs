//! `/buying`: what to buy next, for whoever decides for the club.

use axum::extract::State;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use jiff::Timestamp;
use serde::Deserialize;
use sqlx::SqliteConnection;

use super::candidate_store::{BuyingError, candidates, put_sale, sales};
use super::classes::Key;
use super::facts::{FactsError, observers};
use super::job_store::{self, Job, State as JobState};
use super::page::{ForSale, Line, OverviewPage, ProgressPage, ReportPage};
use super::paper;
use super::report::{Report, money};
use super::worker;
use crate::audit::{Subject, note};
use crate::people;
use crate::people::access::SignedIn;
use crate::people::rights::Deed;
use crate::sheet::{Cell, SheetWriter};
use crate::shelf::{self, AccessoryKind, AssetTag, ItemName, ItemState, Kind, Worth};
use crate::store::Store;
use crate::web::body::{Form, Path};
use crate::web::clock::Clock;
use crate::web::field::Field;
use crate::web::frame::Place;
use crate::web::problem::Problem;
use crate::web::site::Site;

impl From<BuyingError> for Problem {
    fn from(error: BuyingError) -> Self {
        match error {
            BuyingError::Store(error) => error.into(),
            BuyingError::Database(error) => error.into(),
            BuyingError::Unreadable(..) => Self::internal(&error),
        }
    }
}

impl From<FactsError> for Problem {
    fn from(error: FactsError) -> Self {
        Self::internal(&error)
    }
}

/// The form of `POST /buying/reports` and `POST /buying/sales`.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct MoneyForm {
    budget: String,
    tag: String,
    price: String,
}

/// "5 June 2026".
fn day(at: i64, clock: &Clock) -> String {
    Timestamp::from_second(at).map_or_else(
        |_| String::new(),
        |at| at.to_zoned_datetime(clock.zone().clone()).strftime("%-d %B %Y").to_string(),
    )
}

fn line(job: &Job, clock: &Clock) -> Line {
    let says = match job.state {
        JobState::Waiting => "waits for its turn".to_owned(),
        JobState::Running => format!("at {} per cent", job.thousandths / 10),
        JobState::Done => "ready".to_owned(),
        JobState::Cancelled => "stopped".to_owned(),
        JobState::Failed => "broke off".to_owned(),
    };
    let label = format!("{}, for {}", day(job.asked_at, clock), money(job.budget_cents));
    Line { id: job.id, label, says }
}

async fn overview(store: &Store, clock: &Clock, who: &SignedIn) -> Result<OverviewPage, Problem> {
    let mut tx = store.reader().begin().await?;
    let names = shelf::all_names(&mut tx).await?;
    let sales = sales(&mut tx)
        .await?
        .into_iter()
        .filter_map(|(item, price)| {
            let name = names.iter().find(|name| name.id == item)?;
            Some(ForSale {
                tag: name.tag.to_string(),
                name: name.name.clone(),
                price: price.to_string(),
            })
        })
        .collect();
    let jobs = job_store::jobs(&mut tx).await?;
    let newest = job_store::newest_report(&mut tx).await?;
    let budget = jobs.first().map_or_else(|| "400".to_owned(), |job| money(job.budget_cents));
    Ok(OverviewPage {
        frame: who.visit.frame("What to buy next").at(Place::Buying).returning_to("/buying"),
        notice: None,
        budget: Field::of(budget),
        candidates: candidates(&mut tx).await?.len(),
        sales,
        tag: Field::default(),
        price: Field::default(),
        newest: newest.and_then(|job| Some((job.id, job.report?.minutes()))),
        lines: jobs.iter().map(|job| line(job, clock)).collect(),
    })
}

/// `GET /buying`
///
/// # Errors
/// The database could not be read.
pub async fn look(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
) -> Result<OverviewPage, Problem> {
    overview(&store, &clock, &who).await
}

/// `POST /buying/reports`: asks for a report.
///
/// # Errors
/// The database could not answer. What is wrong with the budget is said on the page.
pub async fn ask(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Form(form): Form<MoneyForm>,
) -> Result<Response, Problem> {
    let Ok(budget) = Worth::parse(&form.budget) else {
        let says = "Write what may be spent as a number, like 400 or 399.50.";
        let budget = Field::refused(form.budget, says);
        let page = OverviewPage { budget, ..overview(&store, &clock, &who).await? };
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
    };
    let mut tx = store.write().await?;
    let id = job_store::ask(&mut tx, budget.cents(), clock.seconds()).await?;
    let about = Subject::of("purchase report", id);
    note(&mut tx, who.actor(), "purchase report asked", about, &budget.to_string()).await?;
    tx.commit().await?;
    worker::wake();
    Ok(Redirect::to(&format!("/buying/reports/{id}")).into_response())
}

/// `POST /buying/sales`: puts a piece up for sale, or takes it back where the price is empty.
///
/// # Errors
/// The database could not answer. What is wrong is said on the page.
pub async fn sell(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Form(form): Form<MoneyForm>,
) -> Result<Response, Problem> {
    let (mut tag, mut price) = (Field::of(&*form.tag), Field::of(&*form.price));
    let mut tx = store.write().await?;
    let piece = match AssetTag::new(form.tag.trim()) {
        Ok(wanted) => shelf::tagged(&mut tx, &wanted).await?,
        Err(_) => None,
    };
    let sells = match &piece {
        Some(item) => can_be_sold(&mut tx, item).await?,
        None => false,
    };
    let piece = piece.filter(|_| sells);
    if piece.is_none() {
        tag.refuse("No eyepiece, Barlow or coma corrector on the shelf bears this tag.");
    }
    let worth = match form.price.trim() {
        "" => None,
        text => Worth::parse(text).map_err(|why| price.refuse(why.to_string())).ok(),
    };
    let (Some(piece), None, None) = (piece, &tag.error, &price.error) else {
        drop(tx);
        let page = OverviewPage { tag, price, ..overview(&store, &clock, &who).await? };
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
    };
    put_sale(&mut tx, piece.id, worth).await?;
    let deed = if worth.is_some() { "piece put up for sale" } else { "piece not for sale" };
    let detail = worth.map_or_else(String::new, |worth| worth.to_string());
    note(&mut tx, who.actor(), deed, Subject::of("item", piece.id.0), &detail).await?;
    tx.commit().await?;
    Ok(Redirect::to("/buying#sales").into_response())
}

/// Whether a piece is of a kind that is bought and sold for views.
async fn can_be_sold(conn: &mut SqliteConnection, item: &ItemName) -> Result<bool, Problem> {
    Ok(match item.kind {
        Kind::Eyepiece | Kind::Barlow => true,
        Kind::Accessory => shelf::these_accessories(conn, &[item.id]).await?.iter().any(|one| {
            let is_corrector = one.figures.kind == AccessoryKind::ComaCorrector;
            is_corrector && one.facts.state == ItemState::InService
        }),
        Kind::Telescope | Kind::Filter => false,
    })
}

pub(super) async fn known_job(store: &Store, id: i64) -> Result<Job, Problem> {
    let mut conn = store.reader().acquire().await?;
    job_store::job(&mut conn, id).await?.ok_or_else(|| {
        Problem::not_found("There is no such report.").way("What to buy next", "/buying")
    })
}

async fn known_report(store: &Store, id: i64) -> Result<Report, Problem> {
    known_job(store, id).await?.report.ok_or_else(|| {
        Problem::not_found("This report is not ready.")
            .next("Look how far it has come.")
            .way("The report", format!("/buying/reports/{id}"))
    })
}

/// `GET /buying/reports/{id}`
///
/// # Errors
/// 404 where there is none, or the database could not be read.
pub async fn report(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
) -> Result<Response, Problem> {
    let job = known_job(&store, id).await?;
    let back = format!("/buying/reports/{id}");
    let frame = who.visit.frame("What to buy next").at(Place::Buying).returning_to(back);
    if let Some(report) = job.report {
        let names = if who.account.roles.may(Deed::SeeNeeds) {
            Some(who_gains(&store, &clock, &report).await?)
        } else {
            None
        };
        return Ok(ReportPage { frame, id, report, names }.into_response());
    }
    let says = match job.state {
        JobState::Waiting => "It waits for its turn; one report is made at a time.".to_owned(),
        JobState::Running if job.stage.is_empty() => "It begins.".to_owned(),
        JobState::Running => format!("{}.", job.stage),
        JobState::Cancelled => "Somebody stopped it.".to_owned(),
        JobState::Failed => "It broke off. The log of the service says why.".to_owned(),
        JobState::Done => String::new(),
    };
    Ok(ProgressPage {
        frame,
        id,
        budget: money(job.budget_cents),
        open: job.state.is_open(),
        says,
        per_cent: job.thousandths / 10,
    }
    .into_response())
}

/// Members whose class gains noticeably, by name.
async fn who_gains(store: &Store, clock: &Clock, report: &Report) -> Result<Vec<String>, Problem> {
    let mut tx = store.reader().begin().await?;
    let mut names = Vec::new();
    for (member, observer) in observers(&mut tx, clock.today().year()).await? {
        if report.gaining_classes.contains(&Key::of(&observer).word())
            && let Some(record) = people::member(&mut tx, member).await?
        {
            names.push(record.facts.name.to_string());
        }
    }
    Ok(names)
}

/// `POST /buying/reports/{id}/cancel`
///
/// # Errors
/// 404 where there is none, or the database could not answer.
pub async fn cancel(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
) -> Result<Redirect, Problem> {
    known_job(&store, id).await?;
    let mut tx = store.write().await?;
    if job_store::end(&mut tx, id, JobState::Cancelled, clock.seconds()).await? {
        let about = Subject::of("purchase report", id);
        note(&mut tx, who.actor(), "purchase report stopped", about, "").await?;
    }
    tx.commit().await?;
    Ok(Redirect::to(&format!("/buying/reports/{id}")))
}

/// `GET /buying/reports/{id}/paper.pdf`: for the committee.
///
/// # Errors
/// 404 where it is not ready, or the database could not be read.
pub async fn pdf(
    State(store): State<Store>,
    State(site): State<Site>,
    _: SignedIn,
    Path(id): Path<i64>,
) -> Result<Response, Problem> {
    let report = known_report(&store, id).await?;
    let headers = [
        (header::CONTENT_TYPE, "application/pdf".to_owned()),
        (header::CONTENT_DISPOSITION, format!("inline; filename=\"purchase-{id}.pdf\"")),
        (header::CACHE_CONTROL, "no-store".to_owned()),
    ];
    Ok((headers, paper::paper(site.club.as_ref(), &report)).into_response())
}

/// `GET /buying/reports/{id}/table.csv`: the choice under each budget.
///
/// # Errors
/// 404 where it is not ready, or the database could not be read.
pub async fn table(
    State(store): State<Store>,
    _: SignedIn,
    Path(id): Path<i64>,
) -> Result<Response, Problem> {
    let report = known_report(&store, id).await?;
    let bytes = written(&report).map_err(|why| Problem::internal(&why))?;
    Ok(csv(&format!("purchase-{id}.csv"), bytes))
}

pub(super) fn csv(name: &str, bytes: Vec<u8>) -> Response {
    let headers = [
        (header::CONTENT_TYPE, "text/csv; charset=utf-8".to_owned()),
        (header::CONTENT_DISPOSITION, format!("attachment; filename=\"{name}\"")),
        (header::CACHE_CONTROL, "no-store".to_owned()),
    ];
    (headers, bytes).into_response()
}

fn written(report: &Report) -> std::io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let columns = [
        "budget",
        "spent",
        "value",
        "value_today",
        "gap",
        "proven",
        "deed",
        "what",
        "count",
        "price",
    ];
    let mut sheet = SheetWriter::new(&mut bytes, columns)?;
    for point in &report.points {
        let (budget, spent) = (money(point.budget_cents.cast_signed()), money(point.spent_cents));
        let mut row = |deed: &str, what: &str, count: i64, price: String| {
            sheet.row([
                Cell::Text(&budget),
                Cell::Text(&spent),
                Cell::Number(point.value),
                Cell::Number(report.today),
                Cell::Number(point.gap()),
                Cell::yes_or_no(Some(point.proven_optimal)),
                Cell::Text(deed),
                Cell::Text(what),
                Cell::Whole(count),
                Cell::Text(&price),
            ])
        };
        for one in &point.buy {
            let count = i64::try_from(one.count).unwrap_or(i64::MAX);
            row("buy", &one.name, count, money(one.price_cents))?;
        }
        for one in &point.sell {
            row(
                "sell",
                &format!("{} {}", one.piece.tag, one.piece.name),
                1,
                money(one.price_cents),
            )?;
        }
        if point.buy.is_empty() && point.sell.is_empty() {
            row("nothing", "", 0, String::new())?;
        }
    }
    sheet.finish()?;
    Ok(bytes)
}
