//! `/desk/rules/pieces/{id}`: what the club asks for one piece, and who was shown how to use it.

use askama::Template;
use askama_web::WebTemplate;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

use super::door::tonight;
use super::model::LendingError;
use super::rules::ItemRule;
use super::rules_pages;
use super::rules_store::{forget_training, item_rules, note_training, put_item_rule, shown_to};
use crate::audit::{Subject, note};
use crate::people::access::SignedIn;
use crate::people::{self, MemberId, MemberState};
use crate::shelf::{self, AssetTag, ItemId, ItemName};
use crate::store::Store;
use crate::web::body::{Form, Path, Query};
use crate::web::clock::Clock;
use crate::web::field::{Choice, Field};
use crate::web::format;
use crate::web::frame::{Frame, Place};
use crate::web::problem::Problem;

/// Somebody who was shown how to use the piece.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shown {
    /// The member's number.
    pub id: i64,
    /// Their name.
    pub name: String,
    /// "Friday 5 June 2026".
    pub day: String,
}

/// The rules of one piece.
#[derive(Template, WebTemplate)]
#[template(path = "lending/piece_rule.html")]
pub struct PieceRulePage {
    /// The frame.
    pub frame: Frame,
    /// The piece's number.
    pub id: i64,
    /// Its tag.
    pub tag: String,
    /// Its name.
    pub name: String,
    /// What is asked for.
    pub rule: ItemRule,
    /// Who was shown.
    pub shown: Vec<Shown>,
    /// Who was not.
    pub members: Vec<Choice>,
    /// Good news to show once.
    pub notice: Option<&'static str>,
    /// What stands in the way.
    pub refusal: Option<&'static str>,
}

async fn named(conn: &mut sqlx::SqliteConnection, id: i64) -> Result<ItemName, Problem> {
    let found = shelf::names(conn, &[ItemId(id)]).await.map_err(LendingError::from)?;
    found.into_iter().next().ok_or_else(|| {
        Problem::not_found("There is no such piece on the shelf.")
            .next("Find it by its tag.")
            .way("Rules of lending", "/desk/rules")
    })
}

async fn page(store: &Store, who: &SignedIn, id: i64) -> Result<PieceRulePage, Problem> {
    let mut conn = store.reader().acquire().await?;
    let item = named(&mut conn, id).await?;
    let rule = item_rules(&mut conn, &[item.id]).await?.remove(&item.id).unwrap_or_default();
    let all = people::members(&mut conn).await?;
    let mut shown = Vec::new();
    for (member, day) in shown_to(&mut conn, item.id).await? {
        let name = all.iter().find(|one| one.id == member).map(|one| one.facts.name.to_string());
        shown.push(Shown {
            id: member.0,
            name: name.unwrap_or_default(),
            day: format::night(day.evening()),
        });
    }
    let mut members: Vec<Choice> = all
        .iter()
        .filter(|one| one.facts.state == MemberState::Active)
        .filter(|one| !shown.iter().any(|shown| shown.id == one.id.0))
        .map(|one| Choice::new(one.id.to_string(), one.facts.name.to_string()))
        .collect();
    members.sort_by(|a, b| a.label.cmp(&b.label));
    Ok(PieceRulePage {
        frame: who
            .visit
            .frame(format!("Rules for {}", item.tag))
            .at(Place::Desk)
            .returning_to(format!("/desk/rules/pieces/{id}")),
        id,
        tag: item.tag.to_string(),
        name: item.name,
        rule,
        shown,
        members,
        notice: None,
        refusal: None,
    })
}

/// What the address says was just done.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct Told {
    done: String,
}

/// `GET /desk/rules/pieces/{id}`
///
/// # Errors
/// 404 where there is no such piece.
pub async fn look(
    State(store): State<Store>,
    who: SignedIn,
    Path(id): Path<i64>,
    Query(told): Query<Told>,
) -> Result<PieceRulePage, Problem> {
    let notice = match told.done.as_str() {
        "rule" => Some("The rules of this piece are kept."),
        "shown" => Some("It is noted."),
        "forgotten" => Some("The note is taken back."),
        _ => None,
    };
    Ok(PieceRulePage { notice, ..page(&store, &who, id).await? })
}

/// The form of the rules.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct TypedRule {
    approval: String,
    training: String,
    age: String,
    care: String,
}

fn done(id: i64, what: &str) -> Response {
    Redirect::to(&format!("/desk/rules/pieces/{id}?done={what}")).into_response()
}

/// `POST /desk/rules/pieces/{id}`
///
/// # Errors
/// 404 where there is no such piece, 400 for nights that are not on the form.
pub async fn save(
    State(store): State<Store>,
    who: SignedIn,
    Path(id): Path<i64>,
    Form(typed): Form<TypedRule>,
) -> Result<Response, Problem> {
    let mut tx = store.write().await?;
    let item = named(&mut tx, id).await?;
    let nights = match typed.care.as_str() {
        "" => 0,
        text => text
            .parse()
            .ok()
            .filter(|nights| (0..=3).contains(nights))
            .ok_or_else(|| Problem::malformed("A piece is looked after for 0 to 3 nights."))?,
    };
    let rule = ItemRule {
        needs_approval: !typed.approval.is_empty(),
        needs_training: !typed.training.is_empty(),
        asks_age: !typed.age.is_empty(),
        turnaround_nights: nights,
    };
    put_item_rule(&mut tx, item.id, rule).await?;
    note(&mut tx, who.actor(), "rules of a piece changed", Subject::of("item", id), "").await?;
    tx.commit().await?;
    Ok(done(id, "rule"))
}

/// The form that names a member.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct TypedMember {
    member: String,
}

/// `POST /desk/rules/pieces/{id}/shown`: somebody was shown how to use it.
///
/// # Errors
/// 404 where there is no such piece.
pub async fn show(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
    Form(typed): Form<TypedMember>,
) -> Result<Response, Problem> {
    let mut tx = store.write().await?;
    let item = named(&mut tx, id).await?;
    let member = match typed.member.parse().map(MemberId) {
        Ok(member) => people::member(&mut tx, member).await?,
        Err(_) => None,
    };
    let Some(member) = member else {
        drop(tx);
        let refusal = Some("Choose a member of the club.");
        let page = PieceRulePage { refusal, ..page(&store, &who, id).await? };
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
    };
    note_training(&mut tx, item.id, member.id, tonight(&clock)?).await?;
    note(&mut tx, who.actor(), "training noted", Subject::of("member", member.id.0), "").await?;
    tx.commit().await?;
    Ok(done(id, "shown"))
}

/// `POST /desk/rules/pieces/{id}/forget`: they were not.
///
/// # Errors
/// 404 where there is no such piece, 400 for no member.
pub async fn forget(
    State(store): State<Store>,
    who: SignedIn,
    Path(id): Path<i64>,
    Form(typed): Form<TypedMember>,
) -> Result<Response, Problem> {
    let mut tx = store.write().await?;
    let item = named(&mut tx, id).await?;
    let member = typed
        .member
        .parse()
        .map(MemberId)
        .map_err(|_| Problem::malformed("No member was named: go back and try again."))?;
    forget_training(&mut tx, item.id, member).await?;
    note(&mut tx, who.actor(), "training taken back", Subject::of("member", member.0), "").await?;
    tx.commit().await?;
    Ok(done(id, "forgotten"))
}

/// What names a piece.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct Named {
    tag: String,
}

/// `GET /desk/rules/piece`: on to the rules of the piece with this tag.
///
/// # Errors
/// The database could not answer.
pub async fn find(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Query(named): Query<Named>,
) -> Result<Response, Problem> {
    let mut conn = store.reader().acquire().await?;
    let typed = named.tag.trim().to_uppercase();
    let found = match AssetTag::new(&typed) {
        Ok(tag) => shelf::tagged(&mut conn, &tag).await?,
        Err(_) => None,
    };
    drop(conn);
    if let Some(item) = found {
        return Ok(Redirect::to(&format!("/desk/rules/pieces/{}", item.id)).into_response());
    }
    let mut page = rules_pages::page(&store, &clock, &who).await?;
    let says = "Nothing on the shelf bears this tag: check the label.";
    page.tag = Field::refused(named.tag, says);
    Ok((StatusCode::NOT_FOUND, page).into_response())
}

/// The page with sample values.
#[cfg(test)]
pub(crate) mod samples {
    use super::*;
    use crate::gallery::{Sample, signed_in};
    use crate::people::rights::Role;
    use crate::web::frame::Scheme;

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let page = |shown: Vec<Shown>| PieceRulePage {
            frame: signed_in("Rules for T-007", scheme, "Ines Aldous", &[Role::Quartermaster])
                .at(Place::Desk),
            id: 7,
            tag: "T-007".into(),
            name: "Orchard 8-inch <script>alert(1)</script>".into(),
            rule: ItemRule {
                needs_approval: true,
                needs_training: !shown.is_empty(),
                asks_age: shown.is_empty(),
                turnaround_nights: 2,
            },
            members: vec![Choice::new("7", "Noor El-Bakri")],
            notice: shown.is_empty().then_some("The rules of this piece are kept."),
            refusal: (!shown.is_empty()).then_some("Choose a member of the club."),
            shown,
        };
        let ines = Shown { id: 8, name: "Ines Aldous".into(), day: "Friday 5 June 2026".into() };
        vec![
            Sample::of("piece-rule", &page(Vec::new())),
            Sample::of("piece-rule-shown", &page(vec![ines])),
        ]
    }
}
