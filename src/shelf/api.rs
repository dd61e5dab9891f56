//! The shelf over HTTP: lists, single items, adding and changing them.

use axum::extract::State;
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::Deserialize;
use serde_json::{Map, Value, json};

use super::accessory::AccessoryFigures;
use super::bodies::{
    AccessoryItem, AccessoryPage, BarlowItem, BarlowPage, EyepieceItem, EyepiecePage, FilterItem,
    FilterPage, TelescopeItem, TelescopePage,
};
use super::browse::{Browsed, browse};
use super::finding::{Wanted, next_tag};
use super::history::Hand;
use super::item::{AssetTag, ItemId, Record};
use super::model::{FilterFigures, TelescopeFigures};
use super::store::ShelfError;
use super::table::Tabular;
use super::{fields, write};
use crate::audit::{Actor, Subject, note};
use crate::lending::Nights;
use crate::optics::{Barlow, Eyepiece};
use crate::people::access::ApiCaller;
use crate::store::Store;
use crate::web::body::{Json, Path, Query};
use crate::web::clock::Clock;
use crate::web::kinds::Kind as ProblemKind;
use crate::web::problem::{Fault, Problem, ProblemDocument};

/// Items in a list where nothing else is asked for.
const USUAL_PAGE: usize = 50;
/// The most items in one list.
const LARGEST_PAGE: usize = 200;
/// The longest text that is searched for, in characters.
const LONGEST_WISH: usize = 200;

/// What a list may be asked.
#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Asked {
    q: Option<String>,
    free_from: Option<String>,
    free_to: Option<String>,
    fits: Option<String>,
    after: Option<String>,
    limit: Option<String>,
}

impl Asked {
    /// The wish, the nights on which items must be free, and how many to list.
    fn checked<T: Tabular>(&self) -> Result<(Wanted, Option<Nights>, usize), Problem> {
        let mut faults = Vec::new();
        let mut fault = |field: &str, says: String| {
            faults.push(Fault::at(format!("/{field}"), says));
        };
        let limit = match self.limit.as_deref().map(str::parse::<usize>) {
            None => USUAL_PAGE,
            Some(Ok(limit)) if (1..=LARGEST_PAGE).contains(&limit) => limit,
            Some(_) => {
                fault("limit", format!("Give a whole number from 1 to {LARGEST_PAGE}."));
                USUAL_PAGE
            }
        };
        let fits = self.fits.as_deref().and_then(|fits| {
            let id = fits.parse().ok().map(ItemId);
            if id.is_none() {
                fault("fits", "Give the number (`id`) of a telescope.".to_owned());
            }
            id
        });
        let after = self.after.as_deref().and_then(|after| {
            AssetTag::new(after).map_err(|error| fault("after", error.to_string())).ok()
        });
        let words = self.q.clone().unwrap_or_default();
        if words.chars().count() > LONGEST_WISH {
            fault("q", format!("Give at most {LONGEST_WISH} characters."));
        }
        let nights = match (self.free_from.as_deref(), self.free_to.as_deref()) {
            (None, None) => None,
            (Some(one), None) | (None, Some(one)) => Some((one, one)),
            (Some(first), Some(last)) => Some((first, last)),
        };
        let nights = nights.and_then(|(first, last)| {
            Nights::parse(first, last).map_err(|error| fault("free_from", error.to_string())).ok()
        });
        if !faults.is_empty() {
            return Err(Problem::out_of_range(faults)
                .next("Correct the values that are named behind the ? of the address."));
        }
        let kind = Some(T::KIND);
        let wanted = Wanted { words, kind, fits, after, ..Wanted::default() };
        Ok((wanted, nights, limit))
    }
}

async fn list<T: Tabular>(store: &Store, asked: &Asked) -> Result<Response, Problem> {
    let (wanted, nights, limit) = asked.checked::<T>()?;
    let mut tx = store.reader().begin().await?;
    let Browsed { items, next, .. } = browse(&mut tx, wanted, nights, limit).await?;
    let ids: Vec<ItemId> = items.iter().map(|item| item.id).collect();
    let records = T::these(&mut tx, &ids).await?;
    let items: Vec<Map<String, Value>> = records.iter().map(fields::write).collect();
    let next = next.map(|tag| tag.to_string());
    Ok(Json(json!({ "items": items, "next": next })).into_response())
}

async fn one<T: Tabular>(store: &Store, id: i64) -> Result<Record<T>, Problem> {
    let mut conn = store.reader().acquire().await?;
    T::these(&mut conn, &[ItemId(id)]).await?.pop().ok_or_else(not_there::<T>)
}

fn not_there<T: Tabular>() -> Problem {
    Problem::not_found(format!("There is no {} of this number.", T::KIND.word()))
        .next("Ask for the list, and take a number from there.")
}

fn told<T: Tabular>(status: StatusCode, record: &Record<T>) -> Response {
    let tag = [(header::ETAG, format!("\"{}\"", record.version))];
    (status, tag, Json(fields::write(record))).into_response()
}

async fn add<T: Tabular>(
    store: &Store,
    (hand, who): (Hand, &Actor),
    mut sent: Map<String, Value>,
    list: &str,
) -> Result<Response, Problem> {
    let mut tx = store.write().await?;
    if sent.get("asset_tag").is_none_or(Value::is_null) {
        let tag = next_tag(&mut tx, T::KIND).await?;
        sent.insert("asset_tag".to_owned(), tag.as_str().into());
    }
    let draft = fields::read::<T>(sent, None).map_err(Problem::out_of_range)?;
    let id = write::add(&mut tx, hand, &draft).await.map_err(refused)?;
    note(&mut tx, who, "item added", Subject::of("item", id.0), draft.facts.tag.as_str()).await?;
    tx.commit().await?;
    let record = one::<T>(store, id.0).await?;
    let mut response = told(StatusCode::CREATED, &record);
    if let Ok(place) = format!("{list}/{id}").parse() {
        response.headers_mut().insert(header::LOCATION, place);
    }
    Ok(response)
}

async fn replace<T: Tabular>(
    store: &Store,
    (hand, who): (Hand, &Actor),
    id: i64,
    headers: &HeaderMap,
    mut sent: Map<String, Value>,
) -> Result<Response, Problem> {
    let mut tx = store.write().await?;
    let there = T::these(&mut tx, &[ItemId(id)]).await?.pop().ok_or_else(not_there::<T>)?;
    must_match(headers, there.version)?;
    if sent.get("asset_tag").is_none_or(Value::is_null) {
        sent.insert("asset_tag".to_owned(), there.facts.tag.as_str().into());
    }
    let draft =
        fields::read::<T>(sent, Some((id, there.version))).map_err(Problem::out_of_range)?;
    write::replace(&mut tx, hand, there.id, there.version, &draft).await.map_err(refused)?;
    note(&mut tx, who, "item changed", Subject::of("item", id), draft.facts.tag.as_str()).await?;
    tx.commit().await?;
    Ok(told(StatusCode::OK, &one::<T>(store, id).await?))
}

/// Whether a change says that it is based on this version (RFC 9110, 13.1.1: tags are compared
/// strongly, and `*` is whatever is there).
fn must_match(headers: &HeaderMap, version: i64) -> Result<(), Problem> {
    let mut any = false;
    for line in headers.get_all(header::IF_MATCH) {
        any = true;
        let line = line.to_str().unwrap_or_default();
        let own = format!("\"{version}\"");
        if line.split(',').map(str::trim).any(|tag| tag == "*" || tag == own) {
            return Ok(());
        }
    }
    Err(if any {
        Problem::new(ProblemKind::Stale, "Somebody changed this item since you read it.")
    } else {
        Problem::new(
            ProblemKind::ConditionNeeded,
            "A change must say which version it is based on.",
        )
        .next("Read the item, and send its ETag back as If-Match.")
    })
}

/// What a refused change means to a program.
fn refused(error: ShelfError) -> Problem {
    match error {
        ShelfError::TagTaken(_) => Problem::conflict(error.to_string()),
        ShelfError::UnknownTelescope(_) => {
            Problem::out_of_range(vec![Fault::at("/fits_telescope", error.to_string())])
        }
        ShelfError::Stale => {
            Problem::new(ProblemKind::Stale, "Somebody changed this item since you read it.")
        }
        other => other.into(),
    }
}

/// The four addresses of one kind.
macro_rules! addresses {
    ($figures:ty, $item:ident, $page:ident, $list:literal, $single:literal,
     $listed:ident, $shown:ident, $added:ident, $replaced:ident,
     $many:literal, $a:literal) => {
        #[doc = concat!("Lists the club's ", $many, ", by tag.")]
        ///
        /// # Errors
        /// 422 for a value behind the ? that can't be used.
        #[utoipa::path(
            get,
            path = $list,
            tag = "shelf",
            params(
                ("q" = Option<String>, Query, description = "Words, or beginnings of words, from tag, name, notes and figures; all must be there", max_length = 200),
                ("free_from" = Option<String>, Query, description = "First of the nights on which it must be free (and in service)", format = "date"),
                ("free_to" = Option<String>, Query, description = "Last of those nights; the same night where left out", format = "date"),
                ("fits" = Option<i64>, Query, description = "Number of a telescope that it must fit"),
                ("after" = Option<String>, Query, description = "The `next` of the list before"),
                ("limit" = Option<i64>, Query, description = "How many; 50 where left out", minimum = 1, maximum = 200),
            ),
            responses(
                (status = 200, description = "Some of them", body = $page, content_type = "application/json"),
                (status = 400, description = "A parameter that is not known", body = ProblemDocument, content_type = "application/problem+json"),
                (status = 401, description = "No valid access token", body = ProblemDocument, content_type = "application/problem+json"),
                (status = 422, description = "A parameter that can't be used", body = ProblemDocument, content_type = "application/problem+json"),
            )
        )]
        pub async fn $listed(
            State(store): State<Store>,
            Query(asked): Query<Asked>,
        ) -> Result<Response, Problem> {
            list::<$figures>(&store, &asked).await
        }

        #[doc = concat!("Shows ", $a, "; its `ETag` is its version.")]
        ///
        /// # Errors
        /// 404 when there is none of this number.
        #[utoipa::path(
            get,
            path = $single,
            tag = "shelf",
            params(("id" = i64, Path, description = "Its number")),
            responses(
                (status = 200, description = "The item", body = $item, content_type = "application/json", headers(("ETag" = String, description = "The version, for If-Match"))),
                (status = 401, description = "No valid access token", body = ProblemDocument, content_type = "application/problem+json"),
                (status = 404, description = "Not there", body = ProblemDocument, content_type = "application/problem+json"),
            )
        )]
        pub async fn $shown(
            State(store): State<Store>,
            Path(id): Path<i64>,
        ) -> Result<Response, Problem> {
            Ok(told(StatusCode::OK, &one::<$figures>(&store, id).await?))
        }

        #[doc = concat!("Puts ", $a, " on the shelf. For the quartermaster.")]
        ///
        /// # Errors
        /// 409 when the tag is taken, 422 with a pointer for every field that can't be used.
        #[utoipa::path(
            post,
            path = $list,
            tag = "shelf",
            request_body(content = $item, content_type = "application/json"),
            responses(
                (status = 201, description = "It is on the shelf", body = $item, content_type = "application/json", headers(("ETag" = String, description = "The version, for If-Match"), ("Location" = String, description = "Its address"))),
                (status = 400, description = "Not JSON", body = ProblemDocument, content_type = "application/problem+json"),
                (status = 401, description = "No valid access token", body = ProblemDocument, content_type = "application/problem+json"),
                (status = 403, description = "Not yours to do, or a token that may only read", body = ProblemDocument, content_type = "application/problem+json"),
                (status = 409, description = "The tag is taken", body = ProblemDocument, content_type = "application/problem+json"),
                (status = 413, description = "More than 64 kB", body = ProblemDocument, content_type = "application/problem+json"),
                (status = 415, description = "Another content type than JSON", body = ProblemDocument, content_type = "application/problem+json"),
                (status = 422, description = "Fields that can't be used", body = ProblemDocument, content_type = "application/problem+json"),
            )
        )]
        pub async fn $added(
            State(store): State<Store>,
            State(clock): State<Clock>,
            caller: ApiCaller,
            Json(sent): Json<Map<String, Value>>,
        ) -> Result<Response, Problem> {
            let hand = Hand::of(caller.account.id, clock.seconds());
            add::<$figures>(&store, (hand, caller.actor()), sent, $list).await
        }

        #[doc = concat!("Replaces ", $a, " as it was read: fields that are left out are not known any more. Lend it no more by the state `retired`. For the quartermaster.")]
        ///
        /// # Errors
        /// 404 when it is not there, 412 when it changed since it was read, 428 without `If-Match`,
        /// 409 when the tag is taken, 422 with a pointer for every field that can't be used.
        #[utoipa::path(
            put,
            path = $single,
            tag = "shelf",
            params(
                ("id" = i64, Path, description = "Its number"),
                ("If-Match" = String, Header, description = "The ETag that it was read with"),
            ),
            request_body(content = $item, content_type = "application/json"),
            responses(
                (status = 200, description = "As it is now", body = $item, content_type = "application/json", headers(("ETag" = String, description = "The new version"))),
                (status = 400, description = "Not JSON", body = ProblemDocument, content_type = "application/problem+json"),
                (status = 401, description = "No valid access token", body = ProblemDocument, content_type = "application/problem+json"),
                (status = 403, description = "Not yours to do, or a token that may only read", body = ProblemDocument, content_type = "application/problem+json"),
                (status = 404, description = "Not there", body = ProblemDocument, content_type = "application/problem+json"),
                (status = 409, description = "The tag is taken", body = ProblemDocument, content_type = "application/problem+json"),
                (status = 412, description = "It changed since it was read", body = ProblemDocument, content_type = "application/problem+json"),
                (status = 413, description = "More than 64 kB", body = ProblemDocument, content_type = "application/problem+json"),
                (status = 415, description = "Another content type than JSON", body = ProblemDocument, content_type = "application/problem+json"),
                (status = 422, description = "Fields that can't be used", body = ProblemDocument, content_type = "application/problem+json"),
                (status = 428, description = "No If-Match was sent", body = ProblemDocument, content_type = "application/problem+json"),
            )
        )]
        pub async fn $replaced(
            State(store): State<Store>,
            State(clock): State<Clock>,
            caller: ApiCaller,
            Path(id): Path<i64>,
            headers: HeaderMap,
            Json(sent): Json<Map<String, Value>>,
        ) -> Result<Response, Problem> {
            let hand = Hand::of(caller.account.id, clock.seconds());
            replace::<$figures>(&store, (hand, caller.actor()), id, &headers, sent).await
        }
    };
}

addresses! {
    TelescopeFigures, TelescopeItem, TelescopePage, "/api/v1/telescopes", "/api/v1/telescopes/{id}",
    telescopes, telescope, add_telescope, replace_telescope, "telescopes", "a telescope"
}

addresses! {
    Eyepiece, EyepieceItem, EyepiecePage, "/api/v1/eyepieces", "/api/v1/eyepieces/{id}",
    eyepieces, eyepiece, add_eyepiece, replace_eyepiece, "eyepieces", "an eyepiece"
}

addresses! {
    Barlow, BarlowItem, BarlowPage, "/api/v1/barlows", "/api/v1/barlows/{id}",
    barlows, barlow, add_barlow, replace_barlow, "Barlows", "a Barlow"
}

addresses! {
    FilterFigures, FilterItem, FilterPage, "/api/v1/filters", "/api/v1/filters/{id}",
    filters, filter, add_filter, replace_filter, "filters", "a filter"
}

addresses! {
    AccessoryFigures, AccessoryItem, AccessoryPage, "/api/v1/accessories",
    "/api/v1/accessories/{id}", accessories, accessory, add_accessory, replace_accessory,
    "accessories", "an accessory"
}
