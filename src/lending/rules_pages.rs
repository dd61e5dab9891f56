//! `/desk/rules`: what the club allows, the nights on which it lends nothing, and what it keeps back.

use askama::Template;
use askama_web::WebTemplate;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

use super::blocks::{self, BlockId};
use super::door::tonight;
use super::model::{LendingError, NotReserved};
use super::night::{Night, Nights};
use super::risk_letters::settle;
use super::rules::{ItemRule, Rules};
use super::rules_form::{NightsForm, RulesForm, TypedNights, TypedRules};
use super::rules_store::{close_night, open_night, put_rules, ruled_items, rules, touching};
use crate::audit::{Subject, note};
use crate::people::access::SignedIn;
use crate::shelf::{self, AssetTag, ItemId};
use crate::store::{Store, WriteTx};
use crate::web::body::{Form, Path, Query};
use crate::web::clock::Clock;
use crate::web::field::{Field, Slip, slips};
use crate::web::format;
use crate::web::frame::{Frame, Place};
use crate::web::problem::Problem;

/// Some nights off, in a row and for one reason.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NightsOff {
    /// "Friday 5 to Sunday 7 June 2026".
    pub label: String,
    /// The first, as a form sends it.
    pub first: String,
    /// The last.
    pub last: String,
    /// Why.
    pub reason: String,
    /// Reservations that have such a night all the same.
    pub touched: Vec<i64>,
}

/// Pieces kept back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Kept {
    /// The block's number.
    pub id: i64,
    /// The nights.
    pub label: String,
    /// The pieces.
    pub tags: Vec<String>,
    /// Why.
    pub reason: String,
}

/// A piece with rules of its own.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ruled {
    /// Its number.
    pub id: i64,
    /// Its tag.
    pub tag: String,
    /// Its name.
    pub name: String,
    /// "Needs approval. One night to look after it."
    pub says: String,
}

/// `/desk/rules`
#[derive(Template, WebTemplate)]
#[template(path = "lending/rules.html")]
pub struct RulesPage {
    /// The frame.
    pub frame: Frame,
    /// Good news to show once.
    pub notice: Option<String>,
    /// What stands in the way.
    pub refusal: Option<String>,
    /// The rules for everybody.
    pub form: RulesForm,
    /// Nights on which nothing is lent.
    pub off: Vec<NightsOff>,
    /// The form for more of them.
    pub closing: NightsForm,
    /// Pieces kept back.
    pub kept: Vec<Kept>,
    /// The form for more of them.
    pub keeping: NightsForm,
    /// Pieces with rules of their own.
    pub ruled: Vec<Ruled>,
    /// The tag of a piece that is to get some.
    pub tag: Field,
}

impl RulesPage {
    fn slips(&self) -> Vec<Slip> {
        let mut all = self.form.slips();
        let (off, kept) = (&self.closing, &self.keeping);
        all.extend(slips([
            ("off-from", &off.from),
            ("off-to", &off.to),
            ("off-reason", &off.reason),
            ("keep-tags", &kept.tags),
            ("keep-from", &kept.from),
            ("keep-to", &kept.to),
            ("keep-reason", &kept.reason),
            ("tag", &self.tag),
        ]));
        all
    }
}

/// A piece's rules in words.
pub(super) fn in_words(rule: ItemRule) -> String {
    let mut says = Vec::new();
    if rule.needs_approval {
        says.push("A quartermaster has to agree.".to_owned());
    }
    if rule.needs_training {
        says.push("Only for those who were shown how.".to_owned());
    }
    if rule.asks_age {
        says.push("Asks for age.".to_owned());
    }
    if let Ok(nights @ 1..) = usize::try_from(rule.turnaround_nights) {
        let nights = format::sentence_case(&format::count(nights, "night", "nights"));
        says.push(format!("{nights} to look after it when it is back."));
    }
    if says.is_empty() { "No rules of its own.".into() } else { says.join(" ") }
}

/// Closed nights in rows with the same reason.
fn runs(rules: &Rules) -> Vec<(Nights, String)> {
    let mut runs: Vec<(Night, Night, String)> = Vec::new();
    for (night, reason) in &rules.closed {
        match runs.last_mut() {
            Some((_, last, same)) if last.next() == Some(*night) && same == reason => {
                *last = *night;
            }
            _ => runs.push((*night, *night, reason.clone())),
        }
    }
    runs.into_iter()
        .filter_map(|(first, last, reason)| Some((Nights::new(first, last).ok()?, reason)))
        .collect()
}

pub(super) fn label(nights: Nights) -> String {
    format::nights(nights.first().evening(), nights.last().evening())
}

/// The page as it stands.
///
/// # Errors
/// The database could not answer.
pub(super) async fn page(
    store: &Store,
    clock: &Clock,
    who: &SignedIn,
) -> Result<RulesPage, Problem> {
    let tonight = tonight(clock)?;
    let mut conn = store.reader().acquire().await?;
    let rules = rules(&mut conn, tonight).await?;
    let mut off = Vec::new();
    for (nights, reason) in runs(&rules) {
        let touched = touching(&mut conn, nights).await?;
        off.push(NightsOff {
            label: label(nights),
            first: nights.first().to_string(),
            last: nights.last().to_string(),
            reason,
            touched: touched.into_iter().map(|id| id.0).collect(),
        });
    }
    let kept = blocks::blocks(&mut conn, tonight).await?.into_iter().map(|block| Kept {
        id: block.id.0,
        label: label(block.nights),
        tags: block.tags.iter().map(ToString::to_string).collect(),
        reason: block.reason,
    });
    let ruled = ruled_items(&mut conn).await?.into_iter().map(|(item, rule)| Ruled {
        id: item.id.0,
        tag: item.tag.to_string(),
        name: item.name,
        says: in_words(rule),
    });
    Ok(RulesPage {
        frame: who.visit.frame("Rules of lending").at(Place::Desk).returning_to("/desk/rules"),
        notice: None,
        refusal: None,
        form: RulesForm::of(&rules),
        off,
        closing: NightsForm::default(),
        kept: kept.collect(),
        keeping: NightsForm::default(),
        ruled: ruled.collect(),
        tag: Field::default(),
    })
}

/// What the address says was just done.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct Told {
    done: String,
}

/// `GET /desk/rules`
///
/// # Errors
/// The database could not answer.
pub async fn look(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Query(told): Query<Told>,
) -> Result<RulesPage, Problem> {
    let says = match told.done.as_str() {
        "rules" => Some("The rules are kept. They hold for what is asked for from now on."),
        "off" => Some("Nothing is lent on these nights. What was promised before still stands."),
        "on" => Some("The club lends on these nights again."),
        "kept" => Some("The pieces are kept back."),
        "back" => Some("The pieces can be borrowed again."),
        _ => None,
    };
    Ok(RulesPage { notice: says.map(Into::into), ..page(&store, &clock, &who).await? })
}

fn done(what: &str) -> Response {
    Redirect::to(&format!("/desk/rules?done={what}")).into_response()
}

async fn noted(
    mut tx: WriteTx,
    clock: &Clock,
    who: &SignedIn,
    deed: &'static str,
) -> Result<(), Problem> {
    // Other rules may free nights that somebody waits for.
    settle(&mut tx, clock, tonight(clock)?).await?;
    note(&mut tx, who.actor(), deed, Subject::NONE, "").await?;
    Ok(tx.commit().await?)
}

/// `POST /desk/rules`
///
/// # Errors
/// The database could not answer.
pub async fn save(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Form(typed): Form<TypedRules>,
) -> Result<Response, Problem> {
    let wanted = match typed.check() {
        Ok(wanted) => wanted,
        Err(form) => {
            let page = RulesPage { form: *form, ..page(&store, &clock, &who).await? };
            return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
        }
    };
    let mut tx = store.write().await?;
    if put_rules(&mut tx, &wanted).await? {
        noted(tx, &clock, &who, "lending rules changed").await?;
        return Ok(done("rules"));
    }
    drop(tx);
    let mut page = page(&store, &clock, &who).await?;
    let version = page.form.version;
    page.form = RulesForm { version, ..RulesForm::of(&wanted) };
    page.refusal = Some(
        "Somebody else changed the rules meanwhile. Your figures are still in the form: look them over and keep them again."
            .into(),
    );
    Ok((StatusCode::CONFLICT, page).into_response())
}

/// `POST /desk/rules/off`: nights on which nothing is lent.
///
/// # Errors
/// The database could not answer.
pub async fn close(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Form(typed): Form<TypedNights>,
) -> Result<Response, Problem> {
    let mut form = typed.form();
    let (nights, reason) = (typed.nights(&mut form), typed.reason(&mut form));
    let (Some(nights), Some(reason)) = (nights, reason) else {
        let page = RulesPage { closing: form, ..page(&store, &clock, &who).await? };
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
    };
    let mut tx = store.write().await?;
    for night in nights.iter() {
        close_night(&mut tx, night, &reason).await?;
    }
    noted(tx, &clock, &who, "nights without lending set").await?;
    Ok(done("off"))
}

/// `POST /desk/rules/on`: the club lends again.
///
/// # Errors
/// 400 where the nights can't be read.
pub async fn open(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Form(typed): Form<TypedNights>,
) -> Result<Response, Problem> {
    let nights = Nights::parse(typed.from.trim(), typed.to.trim())
        .map_err(|why| Problem::malformed(why.to_string()))?;
    let mut tx = store.write().await?;
    for night in nights.iter() {
        open_night(&mut tx, night).await?;
    }
    noted(tx, &clock, &who, "nights without lending lifted").await?;
    Ok(done("on"))
}

/// The pieces with these tags; otherwise the field says which there are not.
async fn tagged(tx: &mut WriteTx, field: &mut Field) -> Result<Vec<ItemId>, LendingError> {
    let mut items = Vec::new();
    let mut unknown = Vec::new();
    let typed = field.value.clone();
    for word in typed.split([',', ' ', ';']).filter(|word| !word.is_empty()).take(100) {
        let found = match AssetTag::new(&word.to_uppercase()) {
            Ok(tag) => shelf::tagged(tx, &tag).await?,
            Err(_) => None,
        };
        match found {
            Some(item) => items.push(item.id),
            None => unknown.push(word.to_owned()),
        }
    }
    if !unknown.is_empty() {
        let unknown = format::list(&unknown);
        field.refuse(format!("Nothing on the shelf bears the tag {unknown}: check the label."));
    } else if items.is_empty() {
        field.refuse("Name at least one piece by its tag, like T-001.");
    }
    Ok(items)
}

/// `POST /desk/rules/keep`: pieces that the club keeps back.
///
/// # Errors
/// The database could not answer.
pub async fn keep(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Form(typed): Form<TypedNights>,
) -> Result<Response, Problem> {
    let mut form = typed.form();
    let mut tx = store.write().await?;
    let items = tagged(&mut tx, &mut form.tags).await?;
    let (nights, reason) = (typed.nights(&mut form), typed.reason(&mut form));
    let mut refusal = None;
    if let (Some(nights), Some(reason), None) = (nights, reason, &form.tags.error) {
        let now = clock.seconds();
        match blocks::keep_back(&mut tx, &items, nights, &reason, now).await {
            Ok(_) => {
                noted(tx, &clock, &who, "pieces kept back").await?;
                return Ok(done("kept"));
            }
            Err(NotReserved::Failed(error)) => return Err(error.into()),
            Err(why) => refusal = Some(why.to_string()),
        }
    }
    drop(tx);
    let status =
        if refusal.is_some() { StatusCode::CONFLICT } else { StatusCode::UNPROCESSABLE_ENTITY };
    let page = RulesPage { keeping: form, refusal, ..page(&store, &clock, &who).await? };
    Ok((status, page).into_response())
}

/// `POST /desk/rules/keep/{id}/back`
///
/// # Errors
/// 404 where there is no such block.
pub async fn back(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
) -> Result<Response, Problem> {
    let mut tx = store.write().await?;
    if !blocks::give_back(&mut tx, BlockId(id)).await? {
        return Err(Problem::not_found("These pieces are not kept back any more.")
            .way("Rules of lending", "/desk/rules"));
    }
    noted(tx, &clock, &who, "pieces given back").await?;
    Ok(done("back"))
}
