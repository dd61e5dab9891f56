//! Putting a piece on the shelf and changing what is written of it.

use std::collections::BTreeMap;

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

use super::doubts::Doubtful;
use super::doubts_page::doubted;
use super::finding::next_tag;
use super::form::PieceForm;
use super::history::{Hand, changes};
use super::item::{ItemState, Kind};
use super::kinds::for_kind;
use super::page::EditPage;
use super::piece_pages::named;
use super::store::{ItemName, ShelfError};
use super::table::Tabular;
use super::write;
use crate::audit::{self, Subject};
use crate::people::access::SignedIn;
use crate::people::names;
use crate::store::{Store, WriteTx};
use crate::web::body::{Form, Path, Query};
use crate::web::clock::Clock;
use crate::web::frame::Place;
use crate::web::headers::MayAsk;
use crate::web::problem::Problem;

type Sent = BTreeMap<String, String>;

/// Which piece a new one is like.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Like {
    like: String,
}

pub(super) fn kind_of(word: &str) -> Result<Kind, Problem> {
    Kind::parse(word).ok_or_else(|| {
        Problem::not_found("The shelf holds no such kind of thing.")
            .next("Choose a kind on the shelf's page.")
            .way("The shelf", "/shelf")
    })
}

/// A page whose form of a piece goes to this address; `back` is the page before it and its name.
pub(super) fn form_page(
    who: &SignedIn,
    title: String,
    back: (String, String),
    action: String,
    form: PieceForm,
) -> EditPage {
    EditPage {
        frame: who.visit.frame(title).at(Place::Shelf).returning_to(&*action),
        form,
        action,
        back,
        version: None,
        other: String::new(),
        crossings: Vec::new(),
        doubts: None,
        looked_over_at: String::new(),
    }
}

fn new_page(who: &SignedIn, kind: Kind, form: PieceForm) -> EditPage {
    let title = format!("{} for the shelf", kind.new_one());
    let action = format!("/stock/new/{}", kind.as_str());
    let page = form_page(who, title, ("/shelf".into(), "The shelf".into()), action, form);
    EditPage { looked_over_at: looked_over_at(kind), ..page }
}

fn looked_over_at(kind: Kind) -> String {
    format!("/stock/new/{}/doubts", kind.as_str())
}

fn edit_page(who: &SignedIn, item: &ItemName, form: PieceForm, version: i64) -> EditPage {
    let (title, back) = (format!("Change {}", item.tag), item.tag.page());
    let action = format!("{back}/edit");
    let page = form_page(who, title, (back, item.name.clone()), action, form);
    EditPage { version: Some(version), looked_over_at: looked_over_at(item.kind), ..page }
}

/// `GET /stock/new/{kind}`
///
/// # Errors
/// 404 for another kind, or the database could not be read.
pub async fn new(
    State(store): State<Store>,
    who: SignedIn,
    Path(kind): Path<String>,
    Query(Like { like }): Query<Like>,
) -> Result<(MayAsk, EditPage), Problem> {
    let kind = kind_of(&kind)?;
    let mut tx = store.reader().begin().await?;
    let mut form = PieceForm::empty(kind);
    if !like.is_empty() {
        let item = named(&mut tx, &like).await?;
        if item.kind == kind {
            form = for_kind!(kind, T => stored::<T>(&mut tx, &item).await?.0);
        }
    }
    let tag = next_tag(&mut tx, kind).await?;
    form.put("asset_tag", tag.as_str());
    Ok((MayAsk, new_page(&who, kind, form)))
}

/// `POST /stock/new/{kind}`
///
/// # Errors
/// 404 for another kind, or the database refused.
pub async fn add(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(kind): Path<String>,
    Form(sent): Form<Sent>,
) -> Result<Response, Problem> {
    let kind = kind_of(&kind)?;
    let form = PieceForm::typed(kind, &sent);
    let hand = Hand::of(who.account.id, clock.seconds());
    for_kind!(kind, T => add_one::<T>(&store, hand, &who, form, &sent).await)
}

async fn add_one<T: Tabular + Doubtful>(
    store: &Store,
    hand: Hand,
    who: &SignedIn,
    mut form: PieceForm,
    sent: &Sent,
) -> Result<Response, Problem> {
    let Some(draft) = form.draft::<T>(ItemState::InService) else {
        return Ok(refused(new_page(who, T::KIND, form)));
    };
    if sent.contains_key("check") {
        let page = new_page(who, T::KIND, form);
        return Ok(looked_over(page, &draft.figures));
    }
    let mut tx = store.write().await?;
    match write::add(&mut tx, hand, &draft).await {
        Ok(id) => {
            let tag = &draft.facts.tag;
            let subject = Subject::of("item", id.0);
            audit::note(&mut tx, who.actor(), "item added", subject, tag.as_str()).await?;
            tx.commit().await?;
            Ok(Redirect::to(&format!("{}?done=added", tag.page())).into_response())
        }
        Err(error) => {
            said(&mut form, error)?;
            Ok(refused(new_page(who, T::KIND, form)))
        }
    }
}

/// `GET /shelf/{tag}/edit`
///
/// # Errors
/// 404 where nothing bears this tag, or the database could not be read.
pub async fn form(
    State(store): State<Store>,
    who: SignedIn,
    Path(tag): Path<String>,
) -> Result<(MayAsk, EditPage), Problem> {
    let mut tx = store.reader().begin().await?;
    let item = named(&mut tx, &tag).await?;
    let (form, version) = for_kind!(item.kind, T => stored::<T>(&mut tx, &item).await?);
    Ok((MayAsk, edit_page(&who, &item, form, version)))
}

async fn stored<T: Tabular>(
    conn: &mut sqlx::SqliteConnection,
    item: &ItemName,
) -> Result<(PieceForm, i64), Problem> {
    let record = T::this(conn, item.id).await?.ok_or(ShelfError::NotThere)?;
    Ok((PieceForm::of(&record), record.version))
}

/// `POST /shelf/{tag}/edit`
///
/// # Errors
/// 404 where nothing bears this tag, or the database refused.
pub async fn change(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(tag): Path<String>,
    Form(sent): Form<Sent>,
) -> Result<Response, Problem> {
    let mut tx = store.write().await?;
    let item = named(&mut tx, &tag).await?;
    let hand = Hand::of(who.account.id, clock.seconds());
    for_kind!(item.kind, T => change_one::<T>(tx, hand, &who, &item, &sent).await)
}

async fn change_one<T: Tabular + Doubtful>(
    mut tx: WriteTx,
    hand: Hand,
    who: &SignedIn,
    item: &ItemName,
    sent: &Sent,
) -> Result<Response, Problem> {
    let mut form = PieceForm::typed(T::KIND, sent);
    let seen = sent.get("version").and_then(|text| text.trim().parse().ok()).unwrap_or(0);
    let (now, present) = stored::<T>(&mut tx, item).await?;
    if seen != present {
        let changes = changes(&mut tx, item.id, seen, i64::MAX).await?;
        let crossings = form.meet(&now, &changes);
        let by = changes.iter().find_map(|change| change.by);
        let other = names::of_accounts(&mut tx, by).await?.into_values().next();
        let page = edit_page(who, item, form, present);
        let page = EditPage { crossings, other: other.unwrap_or_default(), ..page };
        // The condition, say, is not on the form: nothing crossed that stands on it.
        if !page.crossings.is_empty() {
            return Ok((StatusCode::CONFLICT, MayAsk, page).into_response());
        }
        form = page.form;
    }
    let Some(draft) = form.draft::<T>(item.state) else {
        return Ok(refused(edit_page(who, item, form, present)));
    };
    if sent.contains_key("check") {
        let page = edit_page(who, item, form, present);
        return Ok(looked_over(page, &draft.figures));
    }
    let tag = &draft.facts.tag;
    if form == now {
        return Ok(Redirect::to(&item.tag.page()).into_response());
    }
    match write::replace(&mut tx, hand, item.id, present, &draft).await {
        Ok(_) => {
            let subject = Subject::of("item", item.id.0);
            audit::note(&mut tx, who.actor(), "item changed", subject, tag.as_str()).await?;
            tx.commit().await?;
            Ok(Redirect::to(&format!("{}?done=saved", tag.page())).into_response())
        }
        Err(error) => {
            said(&mut form, error)?;
            Ok(refused(edit_page(who, item, form, present)))
        }
    }
}

/// Puts a refusal of the database beside the entry that it is about.
fn said(form: &mut PieceForm, error: ShelfError) -> Result<(), Problem> {
    let column = match &error {
        ShelfError::TagTaken(_) => "asset_tag",
        ShelfError::UnknownTelescope(_) => "fits_telescope",
        _ => return Err(error.into()),
    };
    form.refuse(column, error.to_string());
    Ok(())
}

fn looked_over(page: EditPage, figures: &impl Doubtful) -> Response {
    let doubts = doubted(&page.form, figures);
    (MayAsk, EditPage { doubts: Some(doubts), ..page }).into_response()
}

fn refused(page: EditPage) -> Response {
    (StatusCode::UNPROCESSABLE_ENTITY, MayAsk, page).into_response()
}
