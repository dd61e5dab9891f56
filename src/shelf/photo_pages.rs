//! Photos of a piece: added and removed by whoever looks after the shelf, seen by everybody who is
//! signed in.

use axum::extract::State;
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};

use super::history::Hand;
use super::photo_form::PhotoForm;
use super::photos::{MOST_OF_ONE, Occasion, Size, add_photos, photo_bytes, remove_photo};
use super::piece_pages::{Told, named, page_of};
use crate::audit::{self, Subject};
use crate::people::access::SignedIn;
use crate::store::Store;
use crate::web::body::Path;
use crate::web::clock::Clock;
use crate::web::problem::Problem;

/// What a piece with its fill of photos is told.
pub(super) fn no_room() -> String {
    format!("A piece has at most {MOST_OF_ONE} photos: remove some of the old ones first.")
}

/// `POST /shelf/{tag}/photos`
///
/// # Errors
/// 404 where nothing bears this tag, 413 for photos that are too large, or the database refused.
pub async fn add(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(tag): Path<String>,
    mut form: PhotoForm,
) -> Result<Response, Problem> {
    let pictures = form.of_field("photo");
    let mut wrong = form.wrong;
    if wrong.is_none() && pictures.is_empty() {
        wrong = Some("Take a photo or choose one first.".to_owned());
    }
    let mut tx = store.write().await?;
    let item = named(&mut tx, &tag).await?;
    let hand = Hand::of(who.account.id, clock.seconds());
    let place = (Occasion::Shelf, None);
    if wrong.is_none() && !add_photos(&mut tx, hand, item.id, place, &pictures).await? {
        wrong = Some(no_room());
    }
    if wrong.is_some() {
        drop(tx);
        let mut page = page_of(&store, &clock, &who, &tag, &Told::default()).await?;
        page.photos.wrong = wrong;
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
    }
    let detail = format!("{}: {}", item.tag, pictures.len());
    let subject = Subject::of("item", item.id.0);
    audit::note(&mut tx, who.actor(), "photos added", subject, &detail).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("{}?done=photos#photos", item.tag.page())).into_response())
}

/// `POST /shelf/{tag}/photos/{id}/remove`
///
/// # Errors
/// 404 where nothing bears this tag or it has no such photo, or the database refused.
pub async fn remove(
    State(store): State<Store>,
    who: SignedIn,
    Path((tag, id)): Path<(String, i64)>,
) -> Result<Response, Problem> {
    let mut tx = store.write().await?;
    let item = named(&mut tx, &tag).await?;
    if !remove_photo(&mut tx, item.id, id).await? {
        return Err(
            Problem::not_found("This photo is no longer there.").way("The piece", item.tag.page())
        );
    }
    let detail = format!("{}: photo {id}", item.tag);
    let subject = Subject::of("item", item.id.0);
    audit::note(&mut tx, who.actor(), "photo removed", subject, &detail).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("{}?done=photo-gone#photos", item.tag.page())).into_response())
}

/// `GET /photos/{id}/{size}`: kept by the reader's own browser only, and never asked for again,
/// because a number is never used twice.
///
/// # Errors
/// 404 where there is no such photo, or the database could not be read.
pub async fn get(
    State(store): State<Store>,
    Path((id, size)): Path<(i64, String)>,
    headers: HeaderMap,
) -> Result<Response, Problem> {
    let gone = || Problem::not_found("There is no such photo.").way("The shelf", "/shelf");
    let size = Size::parse(&size).ok_or_else(gone)?;
    let mut conn = store.reader().acquire().await?;
    let bytes = photo_bytes(&mut conn, id, size).await?.ok_or_else(gone)?;
    let tag = format!("\"photo-{id}-{}\"", size.as_str());
    let known = headers.get(header::IF_NONE_MATCH).is_some_and(|value| value == tag.as_str());
    let kept = [
        (header::CACHE_CONTROL, "private, max-age=31536000, immutable".to_owned()),
        (header::ETAG, tag),
    ];
    if known {
        return Ok((StatusCode::NOT_MODIFIED, kept).into_response());
    }
    Ok((kept, [(header::CONTENT_TYPE, "image/jpeg")], bytes).into_response())
}
