//! How the service stands: in figures for programs that watch over it, on a listener of its own,
//! and in words for administrators.

use askama::Template;
use askama_web::WebTemplate;
use axum::Router;
use axum::extract::State;
use axum::http::header;
use axum::response::{IntoResponse, Response};
use axum::routing::get;

use super::hosts::Hosts;
use super::state::AppState;
use crate::people::access::SignedIn;
use crate::post;
use crate::store::{Keeping, Size, StoreError};
use crate::web::format;
use crate::web::frame::Frame;
use crate::web::measures::{self, Standing};
use crate::web::problem::Problem;

/// What the format calls itself (`OpenMetrics` 1.0, section 4.1).
const OPEN_METRICS: &str = "application/openmetrics-text; version=1.0.0; charset=utf-8";

/// The service of figures: `/metrics` and nothing else, for a listener that only the machine itself
/// or its watcher reaches.
pub fn figures(state: AppState) -> Router {
    Router::new().route("/metrics", get(metrics)).with_state(state)
}

/// The same for several clubs, each under the name of its host. A club whose database does not
/// answer is left out.
pub fn figures_of_clubs(hosts: Hosts) -> Router {
    Router::new().route("/metrics", get(metrics_of_clubs)).with_state(hosts)
}

async fn metrics_of_clubs(State(hosts): State<Hosts>) -> Response {
    let mut all = Vec::new();
    for (host, state) in hosts.served() {
        if let Ok(standing) = standing(&state).await {
            all.push((host, standing));
        }
    }
    told_to_watchers(measures::text_of_hosts(&all))
}

async fn metrics(State(state): State<AppState>) -> Response {
    match standing(&state).await {
        Ok(standing) => told_to_watchers(measures::text(&standing)),
        Err(problem) => problem.into_response(),
    }
}

fn told_to_watchers(text: Result<String, std::fmt::Error>) -> Response {
    match text {
        Ok(text) => ([(header::CONTENT_TYPE, OPEN_METRICS)], text).into_response(),
        Err(error) => Problem::internal(&error).into_response(),
    }
}

async fn standing(state: &AppState) -> Result<Vec<Standing>, Problem> {
    let size = state.store.size().await?;
    let mut conn = state.store.reader().acquire().await.map_err(StoreError::from)?;
    let letters = post::tally(&mut conn).await?;
    let in_line = i64::try_from(state.store.writers_waiting()).unwrap_or(i64::MAX);
    let mut all = vec![
        ("database_bytes", "Size of the database's file", size.bytes),
        ("database_free_bytes", "Of that, not in use", size.free_bytes),
        ("writers_waiting", "Reservations that stand in line for the database", in_line),
        ("letters_waiting", "Letters that are to be sent", letters.waiting),
        ("letters_in_trouble", "Letters that somebody has to look at", letters.in_trouble),
    ];
    if let Some(room) = state.store.room() {
        let room = i64::try_from(room).unwrap_or(i64::MAX);
        all.push(("disk_free_bytes", "Room left on the database's disk", room));
    }
    if let Some((made, _)) = state.copies.newest() {
        let age = state.clock.now().as_second() - made.as_second();
        all.push(("copy_age_seconds", "Age of the newest copy of the database", age));
    }
    Ok(all)
}

/// `/status`
#[derive(Template, WebTemplate)]
#[template(path = "app/status.html")]
pub struct StatusPage {
    /// The frame.
    pub frame: Frame,
    /// What an administrator should look at, each a sentence; none is good.
    pub cares: Vec<String>,
    /// Label and value.
    pub facts: Vec<(&'static str, String)>,
}

/// `GET /status`
///
/// # Errors
/// The database could not be read.
pub async fn status(State(state): State<AppState>, who: SignedIn) -> Result<StatusPage, Problem> {
    let size = state.store.size().await?;
    let keeping = state.store.keeping().await?;
    let mut conn = state.store.reader().acquire().await.map_err(StoreError::from)?;
    let letters = post::tally(&mut conn).await?;
    drop(conn);
    let mut cares = Vec::new();
    if let Some(trouble) = state.store.trouble() {
        cares.push(format!("The last change was not stored: {trouble}."));
    }
    cares.extend(tight(state.store.room(), size));
    let (copy, more) = copy(&state);
    cares.extend(more);
    if letters.in_trouble > 0 {
        let many = usize::try_from(letters.in_trouble).unwrap_or_default();
        cares.push(format!(
            "{} could not be sent: look at the post.",
            format::sentence_case(&format::count(many, "letter", "letters"))
        ));
    }
    cares.extend(state.post.trouble());
    let room = state.store.room().map_or_else(
        || "not known".into(),
        |room| format::bytes(i64::try_from(room).unwrap_or(i64::MAX)),
    );
    let mail = match state.post.server() {
        Some(server) => server.place(),
        None => "none: letters stand on their readers’ pages only".into(),
    };
    Ok(StatusPage {
        frame: who.visit.frame("How the service stands").returning_to("/status"),
        cares,
        facts: vec![
            ("Version", env!("CARGO_PKG_VERSION").into()),
            ("Database", told(size, &keeping)),
            ("Room on its disk", room),
            ("Newest copy", copy),
            ("Mail server", mail),
            ("Letters", format!("{} to be sent, {} sent", letters.waiting, letters.sent)),
            ("Time zone", state.clock.zone().iana_name().unwrap_or("UTC").into()),
            ("Address", state.site.link("/")),
        ],
    })
}

fn told(size: Size, keeping: &Keeping) -> String {
    format!(
        "{}, {} of it free; SQLite {}, {}, synchronous {}",
        format::bytes(size.bytes),
        format::bytes(size.free_bytes),
        keeping.sqlite,
        keeping.journal,
        keeping.synchronous
    )
}

/// Less room than this on the disk is a care, in bytes, besides twice the database: a copy of it and
/// the log must fit (common practice, no source).
const TIGHT: u64 = 64 * 1024 * 1024;

fn tight(room: Option<u64>, size: Size) -> Option<String> {
    let wanted = TIGHT + 2 * u64::try_from(size.bytes).unwrap_or_default();
    let room = room.filter(|room| *room < wanted)?;
    let told = format::bytes(i64::try_from(room).unwrap_or(i64::MAX));
    Some(format!(
        "Only {told} are left on the disk of the database: make room before nothing can be stored."
    ))
}

/// A copy may be so old before it is a care, in seconds: a day and the time to make one.
const OLD_COPY_S: i64 = 90_000;

fn copy(state: &AppState) -> (String, Vec<String>) {
    let Some(folder) = state.copies.folder() else {
        return (
            "none is made by itself".into(),
            vec!["No copies of the database are made: start the service with --backups.".into()],
        );
    };
    let mut cares: Vec<String> = state
        .copies
        .trouble()
        .map(|trouble| format!("The last copy of the database was not made: {trouble}."))
        .into_iter()
        .collect();
    let Some((made, bytes)) = state.copies.newest() else {
        cares.push(format!("There is no copy of the database in {} yet.", folder.display()));
        return ("none yet".into(), cares);
    };
    let age = state.clock.now().as_second() - made.as_second();
    let at = made.to_zoned_datetime(state.clock.zone().clone());
    let told = format!(
        "{}, {}, {}",
        format::night(at.date()),
        at.strftime("%H:%M"),
        format::bytes(i64::try_from(bytes).unwrap_or(i64::MAX))
    );
    let old = "The newest copy of the database is more than a day old.";
    if age > OLD_COPY_S {
        cares.push(old.into());
    }
    (told, cares)
}

#[cfg(test)]
pub(crate) mod samples {
    use super::*;
    use crate::gallery::{Sample, signed_in};
    use crate::people::rights::Role;
    use crate::web::frame::Scheme;

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let page = |cares: &[&str]| StatusPage {
            frame: signed_in("How the service stands", scheme, "Ada Quill", &[Role::Admin]),
            cares: cares.iter().map(ToString::to_string).collect(),
            facts: vec![
                ("Version", "0.1.0".into()),
                ("Database", "13.2 MB, 0.4 MB of it free".into()),
                ("Newest copy", "\"><script>alert(1)</script>".into()),
            ],
        };
        vec![
            Sample::of("status", &page(&[])),
            Sample::of(
                "status-cares",
                &page(&["Two letters could not be sent: look at the post.", "No copy yet."]),
            ),
        ]
    }
}
