//! `/public-nights/{id}/afterwards`: what was counted, what worked, what broke.

use std::collections::BTreeMap;

use askama::Template;
use askama_web::WebTemplate;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};

use super::after::{self, Afterwards, suggestions};
use super::model::{NightId, PublicNight};
use super::night_pages::{Sent, text};
use super::store;
use crate::audit::{self, Subject};
use crate::people::access::SignedIn;
use crate::sheet::seen_of;
use crate::shelf::care::{self, LONGEST_FINDING};
use crate::shelf::{self, Hand, ItemId, ItemName, ItemState};
use crate::store::Store;
use crate::web::body::{Form, Path};
use crate::web::clock::Clock;
use crate::web::field::{Field, Slip, slips};
use crate::web::frame::{Frame, Place};
use crate::web::problem::Problem;

/// Longest words about what worked, in characters.
const LONGEST: usize = 2_000;

/// A field for a number or a text, with its name in the form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Asked {
    /// Its name in the form.
    pub id: String,
    /// What the reader sees.
    pub label: String,
    /// What was typed.
    pub field: Field,
}

/// The form.
#[derive(Template, WebTemplate)]
#[template(path = "public_night/afterwards.html")]
pub struct AfterPage {
    /// The frame.
    pub frame: Frame,
    /// The night's page.
    pub back: String,
    /// What the night is called.
    pub night: String,
    /// How many came.
    pub visitors: Field,
    /// The longest wait, minutes.
    pub wait: Field,
    /// Looks, station by station.
    pub stations: Vec<Asked>,
    /// What worked.
    pub worked: Field,
    /// What would be better.
    pub better: Field,
    /// What was seen of each piece that broke.
    pub pieces: Vec<Asked>,
    /// What this says about the next.
    pub suggestions: Vec<String>,
}

impl AfterPage {
    /// What is wrong with it.
    #[must_use]
    pub fn slips(&self) -> Vec<Slip> {
        let first = [("visitors", &self.visitors), ("wait", &self.wait)];
        let stations = self.stations.iter().map(|one| (&*one.id, &one.field));
        let words = [("worked", &self.worked), ("better", &self.better)];
        let pieces = self.pieces.iter().map(|one| (&*one.id, &one.field));
        slips(first.into_iter().chain(stations).chain(words).chain(pieces))
    }
}

fn page(
    who: &SignedIn,
    night: &PublicNight,
    pieces: &[ItemName],
    kept: Option<&Afterwards>,
    sent: Option<&Sent>,
) -> AfterPage {
    let field =
        |id: &str, kept: String| Field::of(sent.map_or(kept, |sent| text(sent, id).to_owned()));
    let number = |number: Option<u32>| number.map_or_else(String::new, |one| one.to_string());
    let back = format!("/public-nights/{}", night.id);
    AfterPage {
        frame: who
            .visit
            .frame("Afterwards")
            .at(Place::PublicNights)
            .returning_to(format!("{back}/afterwards")),
        back,
        night: night.occasion.name.to_string(),
        visitors: field("visitors", number(kept.map(|kept| kept.visitors))),
        wait: field("wait", number(kept.and_then(|kept| kept.longest_wait_min))),
        stations: night
            .stations
            .iter()
            .map(|station| {
                let id = format!("looks-{}", station.number);
                let looks = kept.and_then(|kept| kept.counted.get(&station.number).copied());
                let name = pieces.iter().find(|piece| piece.id == station.telescope);
                let name = name.map_or_else(String::new, |piece| format!(", {}", piece.name));
                Asked {
                    label: format!("Station {}{name}", station.number),
                    field: field(&id, number(looks)),
                    id,
                }
            })
            .collect(),
        worked: field("worked", kept.map_or_else(String::new, |kept| kept.worked.clone())),
        better: field("better", kept.map_or_else(String::new, |kept| kept.better.clone())),
        pieces: pieces
            .iter()
            .map(|piece| {
                let id = format!("broke-{}", piece.id);
                let seen = kept.and_then(|kept| kept.broke.get(&piece.id).cloned());
                Asked {
                    label: format!("{} {}", piece.tag, piece.name),
                    field: field(&id, seen.unwrap_or_default()),
                    id,
                }
            })
            .collect(),
        suggestions: kept.map(|kept| suggestions(night, kept)).unwrap_or_default(),
    }
}

/// `GET /public-nights/{id}/afterwards`
///
/// # Errors
/// 404 where there is none.
pub async fn form(
    State(db): State<Store>,
    who: SignedIn,
    Path(id): Path<i64>,
) -> Result<AfterPage, Problem> {
    let mut conn = db.reader().acquire().await?;
    let night = store::night(&mut conn, NightId(id)).await?;
    let kept = after::afterwards(&mut conn, night.id).await?;
    let pieces =
        shelf::names(&mut conn, &night.pieces()).await.map_err(|e| Problem::internal(&e))?;
    Ok(page(&who, &night, &pieces, kept.as_ref(), None))
}

/// A whole number; an empty field is none.
fn whole(field: &mut Field, most: u32) -> Option<u32> {
    let typed = field.value.trim();
    if typed.is_empty() {
        return None;
    }
    let read = typed.parse().ok().filter(|number| *number <= most);
    if read.is_none() {
        field.refuse(format!("Write a whole number, at most {most}."));
    }
    read
}

fn read(page: &mut AfterPage, night: &PublicNight) -> Option<Afterwards> {
    let visitors = whole(&mut page.visitors, 5_000);
    if page.visitors.value.trim().is_empty() {
        page.visitors.refuse("Write how many came; a guess will do.");
    }
    let longest_wait_min = whole(&mut page.wait, 600);
    let mut counted = BTreeMap::new();
    for (asked, station) in page.stations.iter_mut().zip(&night.stations) {
        if let Some(looks) = whole(&mut asked.field, 5_000) {
            counted.insert(station.number, looks);
        }
    }
    for field in [&mut page.worked, &mut page.better] {
        if field.value.chars().count() > LONGEST {
            field.refuse("That is more than 2000 characters: keep to what matters.");
        }
    }
    let mut broke = BTreeMap::new();
    for asked in &mut page.pieces {
        let seen = seen_of(&asked.field.value).trim().to_owned();
        let item = asked.id.strip_prefix("broke-").and_then(|id| id.parse().ok()).map(ItemId);
        if seen.chars().count() > LONGEST_FINDING {
            asked.field.refuse("That is more than 1000 characters: keep to what matters.");
        } else if let (false, Some(item)) = (seen.is_empty(), item) {
            broke.insert(item, seen);
        }
    }
    page.slips().is_empty().then_some(())?;
    Some(Afterwards {
        visitors: visitors?,
        counted,
        longest_wait_min,
        worked: page.worked.value.trim().to_owned(),
        better: page.better.value.trim().to_owned(),
        broke,
    })
}

/// `POST /public-nights/{id}/afterwards`. What broke waits for an inspection from now on.
///
/// # Errors
/// 404 where there is none.
pub async fn save(
    State(db): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
    Form(sent): Form<Sent>,
) -> Result<Response, Problem> {
    let mut tx = db.write().await?;
    let night = store::night(&mut tx, NightId(id)).await?;
    let before = after::afterwards(&mut tx, night.id).await?;
    let pieces = shelf::names(&mut tx, &night.pieces()).await.map_err(|e| Problem::internal(&e))?;
    let mut page = page(&who, &night, &pieces, before.as_ref(), Some(&sent));
    let Some(noted) = read(&mut page, &night) else {
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
    };
    let hand = Hand::of(who.account.id, clock.seconds());
    for (item, seen) in &noted.broke {
        let known = before.as_ref().and_then(|before| before.broke.get(item));
        if known == Some(seen) {
            continue;
        }
        let piece = pieces.iter().find(|piece| piece.id == *item);
        let in_service = piece.is_some_and(|piece| piece.state == ItemState::InService);
        let state = if in_service {
            shelf::put_state(&mut tx, hand, *item, ItemState::NeedsInspection)
                .await
                .map_err(|error| Problem::internal(&error))?;
            ItemState::NeedsInspection
        } else {
            piece.map_or(ItemState::NeedsInspection, |piece| piece.state)
        };
        care::note_inspection(&mut tx, hand, *item, (clock.today(), seen, state))
            .await
            .map_err(|error| Problem::internal(&error))?;
    }
    after::put(&mut tx, night.id, &noted, clock.seconds()).await?;
    let subject = Subject::of("public night", id);
    audit::note(&mut tx, who.actor(), "public night looked back on", subject, "").await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/public-nights/{id}/afterwards")).into_response())
}

#[cfg(test)]
pub(crate) fn samples(scheme: crate::web::frame::Scheme) -> Vec<crate::gallery::Sample> {
    use crate::gallery::{Sample, signed_in};
    use crate::people::rights::Role;
    let asked = |id: &str, field: Field| Asked {
        id: id.into(),
        label: "Station 1, \"><script>alert(1)</script>".into(),
        field,
    };
    let page = |visitors: Field, suggestions: Vec<String>| AfterPage {
        frame: signed_in("Afterwards", scheme, "Adaeze Okonjo-Hart", &[Role::Outreach])
            .at(Place::PublicNights)
            .returning_to("/public-nights/1/afterwards"),
        back: "/public-nights/1".into(),
        night: "Moon over the school".into(),
        visitors,
        wait: Field::of("25"),
        stations: vec![asked("looks-1", Field::of("70"))],
        worked: Field::of("The Moon."),
        better: Field::default(),
        pieces: vec![asked("broke-7", Field::default())],
        suggestions,
    };
    vec![
        Sample::of(
            "public-night-after",
            &page(Field::of("120"), vec!["Plan the next for 120.".into()]),
        ),
        Sample::of(
            "public-night-after-wrong",
            &page(Field::refused("<script>alert(1)</script>", "Write a whole number."), Vec::new()),
        ),
    ]
}
