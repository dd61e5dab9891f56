//! Forms that bring photos along: read part by part as they arrive, each photo written anew before
//! the next one is read, so that no more than one is in the memory.

use std::collections::BTreeMap;
use std::time::Duration;

use axum::extract::multipart::{Field as Part, MultipartError};
use axum::extract::{FromRequest, Multipart, Request};
use axum::http::{StatusCode, header};
use tokio::sync::Semaphore;

use super::picture::{self, MOST_BYTES, NotAPicture, Picture};
use crate::web::body::Form;
use crate::web::kinds::Kind;
use crate::web::problem::Problem;

/// The most photos in one form.
pub const MOST_AT_ONCE: usize = 8;

/// The largest such form, bytes.
pub const LIMIT: usize = MOST_AT_ONCE * MOST_BYTES / 2;

/// The longest text of a field, bytes.
const MOST_TEXT: usize = 64 * 1024;

/// Photos that are unpacked side by side: each may take a quarter of a gigabyte.
static DARKROOM: Semaphore = Semaphore::const_new(1);

/// How long a photo waits for its turn.
const PATIENCE: Duration = Duration::from_secs(20);

/// What a form holds. It may also come without photos, as plain forms do.
///
/// Refusals: 413 for a photo or a form that is too large, 400 for what breaks off.
#[derive(Debug, Default)]
pub struct PhotoForm {
    /// The fields, as they were typed.
    pub fields: BTreeMap<String, String>,
    /// The photos, each with the name of its field.
    pub pictures: Vec<(String, Picture)>,
    /// Why one of the photos can't be taken; then none of them should be.
    pub wrong: Option<String>,
}

impl PhotoForm {
    /// The photos of one field.
    pub fn of_field(&mut self, name: &str) -> Vec<Picture> {
        let (taken, left) =
            std::mem::take(&mut self.pictures).into_iter().partition(|one| one.0 == name);
        self.pictures = left;
        let taken: Vec<(String, Picture)> = taken;
        taken.into_iter().map(|(_, picture)| picture).collect()
    }
}

impl<S: Send + Sync> FromRequest<S> for PhotoForm {
    type Rejection = Problem;

    async fn from_request(request: Request, state: &S) -> Result<Self, Problem> {
        let kind = request.headers().get(header::CONTENT_TYPE);
        if kind.is_none_or(|kind| !kind.as_bytes().starts_with(b"multipart/form-data")) {
            let Form(fields) = Form::from_request(request, state).await?;
            return Ok(Self { fields, ..Self::default() });
        }
        let mut parts = Multipart::from_request(request, state)
            .await
            .map_err(|_| Problem::malformed("The form that was sent can't be read."))?;
        let mut form = Self::default();
        while let Some(part) = parts.next_field().await.map_err(|error| broken(&error))? {
            form.take(part).await?;
        }
        Ok(form)
    }
}

impl PhotoForm {
    async fn take(&mut self, part: Part<'_>) -> Result<(), Problem> {
        let name = part.name().unwrap_or_default().to_owned();
        let Some(file) = part.file_name().map(str::to_owned) else {
            let bytes = read(part, MOST_TEXT).await?;
            let text = String::from_utf8(bytes)
                .map_err(|_| Problem::malformed("The form that was sent can't be read."))?;
            self.fields.insert(name, text);
            return Ok(());
        };
        let bytes = read(part, MOST_BYTES).await?;
        // A field of which nothing was chosen comes as a file without a name and content.
        if bytes.is_empty() || self.wrong.is_some() {
            return Ok(());
        }
        if self.pictures.len() == MOST_AT_ONCE {
            self.wrong = Some(format!("Send at most {MOST_AT_ONCE} photos at once."));
            return Ok(());
        }
        match developed(bytes).await? {
            Ok(picture) => self.pictures.push((name, picture)),
            Err(why) => {
                let file: String = file.chars().filter(|c| !c.is_control()).take(60).collect();
                self.wrong = Some(format!("“{file}” can't be taken: {why}"));
            }
        }
        Ok(())
    }
}

fn broken(error: &MultipartError) -> Problem {
    if error.status() == StatusCode::PAYLOAD_TOO_LARGE {
        return too_large();
    }
    Problem::malformed("The photos broke off before their end.")
        .next("Go back and send them again.")
}

fn too_large() -> Problem {
    let (one, all) = (MOST_BYTES / 1024 / 1024, LIMIT / 1024 / 1024);
    Problem::new(
        Kind::TooLarge,
        format!("A photo may have at most {one} MB, all of a form together {all} MB."),
    )
    .next("Go back and send fewer of them at once, or take them with a lower resolution.")
}

/// Reads a part as it arrives and stops where it grows too large.
async fn read(mut part: Part<'_>, most: usize) -> Result<Vec<u8>, Problem> {
    let mut bytes = Vec::new();
    while let Some(chunk) = part.chunk().await.map_err(|error| broken(&error))? {
        if bytes.len() + chunk.len() > most {
            return Err(too_large());
        }
        bytes.extend_from_slice(&chunk);
    }
    Ok(bytes)
}

/// Writes a photo anew, away from the threads that serve connections and one at a time.
async fn developed(bytes: Vec<u8>) -> Result<Result<Picture, NotAPicture>, Problem> {
    let Ok(Ok(turn)) = tokio::time::timeout(PATIENCE, DARKROOM.acquire()).await else {
        return Err(Problem::busy());
    };
    let work = tokio::task::spawn_blocking(move || {
        let _turn = turn;
        picture::read(&bytes)
    });
    work.await.map_err(|broke| Problem::internal(&broke))
}
