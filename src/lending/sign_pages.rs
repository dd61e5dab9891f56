//! `/mine/{id}/sign`: signing for a loan before it is handed over, on a device of one's own.

use std::collections::BTreeMap;

use askama::Template;
use askama_web::WebTemplate;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};

use super::booking::needs_guardian;
use super::cautions::{self, Caution};
use super::desk_forms::text;
use super::door::{desk_act, no_such_reservation, note, tonight, visible};
use super::letters::ask_to_sign;
use super::machine::LineState;
use super::model::{ReservationId, ReservationState};
use super::reading::Whole;
use super::shown::{ReservationShown, cautions_of};
use super::signature::{Signature, Strokes, Way, put_signature, signature};
use crate::people::access::SignedIn;
use crate::store::Store;
use crate::web::body::{Form, Path};
use crate::web::clock::Clock;
use crate::web::field::{Field, Slip, slips};
use crate::web::frame::{Frame, Place};
use crate::web::problem::Problem;

/// The page on which a borrower signs.
#[derive(Template, WebTemplate)]
#[template(path = "lending/sign.html")]
pub struct SignPage {
    /// The frame.
    pub frame: Frame,
    /// The reservation.
    pub one: ReservationShown,
    /// The cautions to be acknowledged.
    pub cautions: Vec<&'static Caution>,
    /// The name.
    pub name: Field,
    /// Who answers for the loan, where somebody has to.
    pub guardian: Option<Field>,
    /// What was drawn.
    pub strokes: String,
    /// Whether the cautions are ticked.
    pub acknowledged: Field,
    /// Whether it is signed already, as things stand.
    pub signed: bool,
}

impl SignPage {
    fn slips(&self) -> Vec<Slip> {
        let mut all = slips([("acknowledged", &self.acknowledged), ("signed_name", &self.name)]);
        if let Some(guardian) = &self.guardian {
            all.extend(slips([("guardian", guardian)]));
        }
        all
    }
}

async fn mine(
    conn: &mut sqlx::SqliteConnection,
    who: &SignedIn,
    id: i64,
) -> Result<Whole, Problem> {
    let whole = visible(conn, &who.account, ReservationId(id)).await?;
    if who.account.member != Some(whole.member) {
        return Err(no_such_reservation());
    }
    if !matches!(whole.state, ReservationState::Confirmed | ReservationState::Ready) {
        return Err(Problem::conflict(format!(
            "This reservation is {}, so there is nothing to sign now.",
            whole.state.words()
        ))
        .way("To the reservation", format!("/mine/{id}")));
    }
    Ok(whole)
}

async fn page(
    conn: &mut sqlx::SqliteConnection,
    clock: &Clock,
    who: &SignedIn,
    whole: &Whole,
) -> Result<SignPage, Problem> {
    let id = whole.id;
    let items = whole.items(LineState::Planned);
    let known = signature(conn, id).await?.filter(|known| known.holds_for(&items));
    let guardian = needs_guardian(conn, whole.member, &items, whole.nights.first()).await?;
    let name = known.as_ref().map_or_else(|| who.account.name.clone(), |known| known.name.clone());
    let answers = known.as_ref().and_then(|known| known.guardian.clone()).unwrap_or_default();
    Ok(SignPage {
        frame: who
            .visit
            .frame("Sign for the loan")
            .at(Place::Mine)
            .returning_to(format!("/mine/{id}/sign")),
        one: ReservationShown::of(whole, tonight(clock)?),
        cautions: cautions_of(whole),
        name: Field::of(name),
        guardian: guardian.then(|| Field::of(answers)),
        strokes: known.as_ref().map(|known| known.strokes.path()).unwrap_or_default(),
        acknowledged: Field::default(),
        signed: known.is_some(),
    })
}

/// `GET /mine/{id}/sign`
///
/// # Errors
/// 404 where it is not there or somebody else's, 409 where there is nothing to sign.
pub async fn form(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
) -> Result<SignPage, Problem> {
    let mut conn = store.reader().acquire().await?;
    let whole = mine(&mut conn, &who, id).await?;
    page(&mut conn, &clock, &who, &whole).await
}

/// `POST /mine/{id}/sign`
///
/// # Errors
/// 404 where it is not there or somebody else's, 409 where there is nothing to sign.
pub async fn sign(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
    Form(typed): Form<BTreeMap<String, String>>,
) -> Result<Response, Problem> {
    let mut tx = store.write().await?;
    let whole = mine(&mut tx, &who, id).await?;
    let mut page = page(&mut tx, &clock, &who, &whole).await?;
    let name: String = text(&typed, "signed_name").chars().take(120).collect();
    let guardian: String = text(&typed, "guardian").chars().take(120).collect();
    let strokes = Strokes::parse(&text(&typed, "strokes")).unwrap_or_default();
    page.name = Field::of(&*name);
    page.strokes = strokes.path();
    if name.is_empty() {
        page.name.refuse("Write the name you sign with.");
    }
    if let Some(field) = &mut page.guardian {
        *field = Field::of(&*guardian);
        if guardian.is_empty() {
            field.refuse("Write the name of the adult who answers for the loan.");
        }
    }
    let shown = text(&typed, "cautions_version") == cautions::VERSION.to_string();
    if !typed.contains_key("acknowledged") || !shown {
        page.acknowledged.refuse("Read the cautions and tick that you will keep to them.");
    }
    if !page.slips().is_empty() {
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
    }
    let signature = Signature {
        name,
        guardian: page.guardian.map(|field| field.value),
        strokes,
        way: Way::Link,
        items: whole.items(LineState::Planned),
        cautions_version: cautions::VERSION,
        signed_at: clock.seconds(),
    };
    put_signature(&mut tx, whole.id, &signature).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/mine/{id}?done=signed")).into_response())
}

/// `POST /desk/{id}/ask-to-sign`: a letter that leads the borrower to the page.
///
/// # Errors
/// 404 where there is no such reservation, 409 where there is nothing to sign.
pub async fn ask(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
) -> Result<Response, Problem> {
    let mut tx = store.write().await?;
    let whole = visible(&mut tx, &who.account, ReservationId(id)).await?;
    let act = desk_act(&who.account, &clock)?;
    if !matches!(whole.state, ReservationState::Confirmed | ReservationState::Ready) {
        return Err(Problem::conflict(format!(
            "This reservation is {}, so there is nothing to sign now.",
            whole.state.words()
        ))
        .way("To the reservation", format!("/desk/{id}")));
    }
    ask_to_sign(&mut tx, &clock, &whole, act.tonight).await?;
    note(&mut tx, (&who.account, who.actor()), whole.member, "asked to sign", whole.id).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/desk/{id}?asked=yes")).into_response())
}

/// The page with sample values.
#[cfg(test)]
pub(crate) mod samples {
    use super::*;
    use crate::gallery::{Sample, frame};
    use crate::lending::shown::sample;
    use crate::web::frame::Scheme;

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let page = |refused: bool| SignPage {
            frame: frame("Sign for the loan", scheme).at(Place::Mine),
            one: sample(ReservationState::Confirmed, "Confirmed", false),
            cautions: cautions::ALL.iter().collect(),
            name: if refused {
                Field::refused("", "Write the name you sign with.")
            } else {
                Field::of("Ines Aldous")
            },
            guardian: refused.then(|| Field::refused("", "Write the name of the adult.")),
            strokes: "M60 140L90 60L120 150L160 70L210 120L260 90L330 130L420 100".into(),
            acknowledged: if refused {
                Field::refused("", "Read the cautions and tick that you will keep to them.")
            } else {
                Field::default()
            },
            signed: !refused,
        };
        vec![Sample::of("sign", &page(false)), Sample::of("sign-refused", &page(true))]
    }
}
