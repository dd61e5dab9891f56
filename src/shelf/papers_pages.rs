//! `/shelf/{tag}/papers`: whose a piece is, what it is worth, where it lives, and what always
//! leaves with it.

use std::collections::BTreeMap;

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use sqlx::SqliteConnection;

use super::asked::{Asked, PAPERS, SET};
use super::edit_pages::form_page;
use super::form::PieceForm;
use super::history::{Hand, changes};
use super::item::Kind;
use super::page::EditPage;
use super::papers::{MOST_PARTS, Papers, Worth, papers, put_papers, set_text};
use super::piece_pages::named;
use super::store::{ItemName, version_of};
use crate::audit::{self, Subject};
use crate::people::access::SignedIn;
use crate::people::{self, MemberId, MemberState, names};
use crate::store::Store;
use crate::web::body::{Form, Path};
use crate::web::clock::Clock;
use crate::web::field::Choice;
use crate::web::problem::Problem;

type Sent = BTreeMap<String, String>;

fn asked_of(kind: Kind) -> impl Iterator<Item = &'static Asked> {
    PAPERS.iter().chain(SET.iter().filter(move |_| kind == Kind::Telescope))
}

/// Members who can own or keep a piece: those of today, and whoever is written there already.
async fn members(conn: &mut SqliteConnection, stored: &Papers) -> Result<Vec<Choice>, Problem> {
    let all = people::members(conn).await?;
    let there = |id: MemberId| stored.owner == Some(id) || stored.custodian == Some(id);
    let kept = all
        .into_iter()
        .filter(|one| one.facts.state == MemberState::Active || there(one.id))
        .map(|one| Choice::new(one.id.to_string(), one.facts.name.to_string()));
    let mut kept: Vec<Choice> = kept.collect();
    kept.sort_by(|one, two| one.label.cmp(&two.label));
    Ok(kept)
}

async fn stored(
    conn: &mut SqliteConnection,
    item: &ItemName,
) -> Result<(PieceForm, i64, Vec<Choice>), Problem> {
    let papers = papers(conn, item.id).await?;
    let members = members(conn, &papers).await?;
    let mut sent: Sent =
        papers.fields().into_iter().map(|(field, text)| (field.to_owned(), text)).collect();
    if item.kind == Kind::Telescope {
        sent.insert("set".to_owned(), set_text(conn, item.id).await?);
    }
    let form = PieceForm::of_list(item.kind, asked_of(item.kind), &members, &sent);
    Ok((form, version_of(conn, item.id).await?, members))
}

fn page(who: &SignedIn, item: &ItemName, form: PieceForm, version: i64) -> EditPage {
    let (title, back) = (format!("{}: owner, value, place", item.tag), item.tag.page());
    let action = format!("{back}/papers");
    let page = form_page(who, title, (back, item.name.clone()), action, form);
    EditPage { version: Some(version), ..page }
}

/// `GET /shelf/{tag}/papers`
///
/// # Errors
/// 404 where nothing bears this tag, or the database could not be read.
pub async fn form(
    State(store): State<Store>,
    who: SignedIn,
    Path(tag): Path<String>,
) -> Result<EditPage, Problem> {
    let mut tx = store.reader().begin().await?;
    let item = named(&mut tx, &tag).await?;
    let (form, version, _) = stored(&mut tx, &item).await?;
    Ok(page(&who, &item, form, version))
}

/// `POST /shelf/{tag}/papers`
///
/// # Errors
/// 404 where nothing bears this tag, or the database refused.
pub async fn save(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(tag): Path<String>,
    Form(sent): Form<Sent>,
) -> Result<Response, Problem> {
    let mut tx = store.write().await?;
    let item = named(&mut tx, &tag).await?;
    let (now, present, members) = stored(&mut tx, &item).await?;
    let mut form = PieceForm::of_list(item.kind, asked_of(item.kind), &members, &sent);
    let seen = sent.get("version").and_then(|text| text.trim().parse().ok()).unwrap_or(0);
    if seen != present {
        let changes = changes(&mut tx, item.id, seen, i64::MAX).await?;
        let crossings = form.meet(&now, &changes);
        let by = changes.iter().find_map(|change| change.by);
        let other = names::of_accounts(&mut tx, by).await?.into_values().next().unwrap_or_default();
        if !crossings.is_empty() {
            let page = EditPage { other, crossings, ..page(&who, &item, form, present) };
            return Ok((StatusCode::CONFLICT, page).into_response());
        }
    }
    let Some((papers, set)) = read(&mut form) else {
        let page = page(&who, &item, form, present);
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
    };
    let hand = Hand::of(who.account.id, clock.seconds());
    let place = (item.id, item.kind, present);
    if put_papers(&mut tx, hand, place, &papers, &set).await? {
        let subject = Subject::of("item", item.id.0);
        audit::note(&mut tx, who.actor(), "item changed", subject, item.tag.as_str()).await?;
        tx.commit().await?;
    }
    Ok(Redirect::to(&format!("{}?done=saved", item.tag.page())).into_response())
}

/// Reads the form; refused entries are marked. `None` where at least one is.
fn read(form: &mut PieceForm) -> Option<(Papers, Vec<String>)> {
    for (column, most) in [("donor", 120), ("serial", 60), ("place", 120)] {
        if form.text(column).chars().count() > most {
            form.refuse(column, format!("That is longer than {most} characters: shorten it."));
        }
    }
    let member = |text: &str| text.parse().ok().map(MemberId);
    let mut papers = Papers {
        owner: member(form.text("owner")),
        donor: form.text("donor").to_owned(),
        serial: form.text("serial").to_owned(),
        place: form.text("place").to_owned(),
        custodian: member(form.text("custodian")),
        ..Papers::default()
    };
    let day = form.text("bought_on").to_owned();
    if !day.is_empty() {
        match day.parse::<jiff::civil::Date>() {
            Ok(day) if (1600..=2200).contains(&day.year()) => papers.bought_on = Some(day),
            _ => form.refuse("bought_on", "Write the day as year, month and day, like 2026-06-05."),
        }
    }
    let value = form.text("value").to_owned();
    if !value.is_empty() {
        match Worth::parse(&value) {
            Ok(worth) => papers.value = Some(worth),
            Err(why) => form.refuse("value", why.to_string()),
        }
    }
    let lines = form.text("set").lines().map(str::trim).filter(|line| !line.is_empty());
    let set: Vec<String> = lines.map(str::to_owned).collect();
    if set.len() > MOST_PARTS {
        form.refuse("set", "A set has at most 40 parts: put some of them on one line.");
    } else if set.iter().any(|what| what.chars().count() > 120) {
        form.refuse("set", "One of the lines is longer than 120 characters: shorten it.");
    }
    form.slips().is_empty().then_some((papers, set))
}
