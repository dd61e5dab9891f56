//! What a quartermaster notes of a piece in the store: its condition, an inspection, what has to be
//! done again and again.

use std::collections::BTreeMap;

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use jiff::civil::Date;

use super::care::{self, LONGEST_FINDING, NotARound, Round};
use super::history::Hand;
use super::item::ItemState;
use super::kinds::for_kind;
use super::photo_form::PhotoForm;
use super::photo_pages::no_room;
use super::photos::{Occasion, add_photos, has_room};
use super::piece_pages::{Told, named, page_of};
use super::store::ItemName;
use super::write;
use crate::audit::{self, Subject};
use crate::people::access::SignedIn;
use crate::sheet::seen_of;
use crate::store::{Store, WriteTx};
use crate::web::body::{Form, Path};
use crate::web::clock::Clock;
use crate::web::field::Field;
use crate::web::problem::Problem;

type Sent = BTreeMap<String, String>;

fn text(sent: &Sent, name: &str) -> String {
    sent.get(name).map(|text| seen_of(text).trim().to_owned()).unwrap_or_default()
}

/// A day that is over or today; an empty field is today.
fn day(sent: &Sent, name: &str, today: Date) -> Result<Date, Field> {
    let typed = text(sent, name);
    if typed.is_empty() {
        return Ok(today);
    }
    match typed.parse::<Date>() {
        Ok(day) if day <= today && day.year() >= 1900 => Ok(day),
        Ok(_) => Err(Field::refused(typed, "This day is not over yet, or long before the club.")),
        Err(_) => {
            Err(Field::refused(typed, "Write the day as year, month and day, like 2026-06-05."))
        }
    }
}

/// `POST /shelf/{tag}/condition`
///
/// # Errors
/// 404 where nothing bears this tag, or the database refused.
pub async fn condition(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(tag): Path<String>,
    mut form: PhotoForm,
) -> Result<Response, Problem> {
    let pictures = form.of_field("seen");
    let sent = form.fields;
    let mut tx = store.write().await?;
    let item = named(&mut tx, &tag).await?;
    let state = ItemState::parse(&text(&sent, "state")).unwrap_or(item.state);
    let finding = text(&sent, "finding");
    let light_test = sent.contains_key("light_test");
    let mut photo_wrong = form.wrong;
    if photo_wrong.is_none() && !has_room(&mut tx, item.id, pictures.len()).await? {
        photo_wrong = Some(no_room());
    }
    let mut wrong = None;
    if finding.chars().count() > LONGEST_FINDING {
        wrong = Some("The finding is longer than 1000 characters: keep to what matters.");
    } else if finding.is_empty() && state != item.state && state != ItemState::InService {
        wrong = Some("Say what was seen: whoever comes next will want to know why.");
    } else if finding.is_empty() && state == item.state && !light_test {
        wrong = Some("Write down what was seen, or choose another condition.");
    }
    let day = day(&sent, "day", clock.today());
    let (Ok(day), None, None) = (&day, wrong, &photo_wrong) else {
        drop(tx);
        let mut page = page_of(&store, &clock, &who, &tag, &Told::default()).await?;
        if let Some(part) = &mut page.care {
            state.as_str().clone_into(&mut part.chosen);
            part.finding = wrong
                .map_or_else(|| Field::of(&*finding), |wrong| Field::refused(&*finding, wrong));
            part.day = day.map_or_else(|field| field, |day| Field::of(day.to_string()));
            part.photo_wrong = photo_wrong;
            part.open = true;
        }
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
    };
    let hand = Hand::of(who.account.id, clock.seconds());
    let tested = light_test.then_some(*day);
    for_kind!(item.kind, T => write::put_condition::<T>(&mut tx, hand, item.id, state, tested).await?);
    let finding = match (finding.is_empty(), tested) {
        (true, Some(_)) => "Light test: no pinhole seen.".to_owned(),
        (true, None) => "Fit to be lent again.".to_owned(),
        (false, Some(_)) => format!("{finding} Light test: no pinhole seen."),
        (false, None) => finding,
    };
    let seen = care::note_inspection(&mut tx, hand, item.id, (*day, &finding, state)).await?;
    add_photos(&mut tx, hand, item.id, (Occasion::Inspection, Some(seen)), &pictures).await?;
    let subject = Subject::of("item", item.id.0);
    let detail = format!("{}: {}", item.tag, state.as_str());
    audit::note(&mut tx, who.actor(), "item looked over", subject, &detail).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("{}?done=condition", item.tag.page())).into_response())
}

/// `POST /shelf/{tag}/upkeep`: something to be done again and again.
///
/// # Errors
/// 404 where nothing bears this tag, or the database refused.
pub async fn add_upkeep(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(tag): Path<String>,
    Form(sent): Form<Sent>,
) -> Result<Response, Problem> {
    let mut what = Field::of(text(&sent, "what"));
    if what.value.is_empty() || what.value.chars().count() > 120 {
        what.refuse("Say in a few words what is to be done: collimate it, say.");
    }
    let (mut months, mut loans) =
        (Field::of(text(&sent, "months")), Field::of(text(&sent, "loans")));
    let round = Round::new(whole(&mut months), whole(&mut loans));
    match round {
        Err(why @ NotARound::Loans) => loans.refuse(why.to_string()),
        Err(why) if months.error.is_none() && loans.error.is_none() => {
            months.refuse(why.to_string());
        }
        _ => {}
    }
    let fine = [&what, &months, &loans].iter().all(|field| field.error.is_none());
    let (Ok(round), true) = (round, fine) else {
        let mut page = page_of(&store, &clock, &who, &tag, &Told::default()).await?;
        if let Some(part) = &mut page.care {
            (part.what, part.months, part.loans) = (what, months, loans);
            part.upkeep_open = true;
        }
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
    };
    let mut tx = store.write().await?;
    let item = named(&mut tx, &tag).await?;
    care::add_upkeep(&mut tx, item.id, &what.value, round, clock.today()).await?;
    noted(tx, &who, &item, "upkeep added", &what.value).await
}

fn whole(field: &mut Field) -> Option<i64> {
    if field.value.is_empty() {
        return None;
    }
    let read = field.value.parse().ok();
    if read.is_none() {
        field.refuse("Write a whole number, or nothing.");
    }
    read
}

/// `POST /shelf/{tag}/upkeep/{id}`: it was done today, or needs doing no more.
///
/// # Errors
/// 404 where nothing bears this tag or there is nothing like it to be done, or the database refused.
pub async fn upkeep(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path((tag, id)): Path<(String, i64)>,
    Form(sent): Form<Sent>,
) -> Result<Response, Problem> {
    let mut tx = store.write().await?;
    let item = named(&mut tx, &tag).await?;
    let gone = || {
        Problem::not_found("This is no longer among what has to be done to the piece.")
            .way("The piece", item.tag.page())
    };
    let today = clock.today();
    if text(&sent, "do") == "drop" {
        let what = care::drop_upkeep(&mut tx, item.id, id).await?.ok_or_else(gone)?;
        return noted(tx, &who, &item, "upkeep dropped", &what).await;
    }
    let what = care::upkeep_done(&mut tx, item.id, id, today).await?.ok_or_else(gone)?;
    let hand = Hand::of(who.account.id, clock.seconds());
    let finding = format!("Done: {what}.");
    care::note_inspection(&mut tx, hand, item.id, (today, &finding, item.state)).await?;
    noted(tx, &who, &item, "upkeep done", &what).await
}

async fn noted(
    mut tx: WriteTx,
    who: &SignedIn,
    item: &ItemName,
    deed: &'static str,
    what: &str,
) -> Result<Response, Problem> {
    let detail = format!("{}: {what}", item.tag);
    audit::note(&mut tx, who.actor(), deed, Subject::of("item", item.id.0), &detail).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("{}?done=noted", item.tag.page())).into_response())
}
