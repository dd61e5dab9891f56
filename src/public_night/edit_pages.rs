//! A new public night, and changes of what the lead said of one.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};

use super::edit_page::EditPage;
use super::form::{NightForm, Typed};
use super::keeping::{NotKept, keep, put_away};
use super::model::{NightId, PublicNight};
use super::night_page::Refusal;
use super::night_pages::lead_act;
use super::store::{self, NightError};
use crate::audit::{self, Subject};
use crate::lending::NotReserved;
use crate::observing::sites::{self, KeptSite, Usually};
use crate::people::access::SignedIn;
use crate::store::Store;
use crate::web::body::{Form, Path};
use crate::web::clock::Clock;
use crate::web::field::Choice;
use crate::web::frame::Place;
use crate::web::problem::Problem;

fn page(
    who: &SignedIn,
    form: NightForm,
    sites: &[KeptSite],
    kept: Option<&PublicNight>,
) -> EditPage {
    let (title, action, back) = match kept {
        None => (
            "A new public night".to_owned(),
            "/public-nights".to_owned(),
            "/public-nights".to_owned(),
        ),
        Some(night) => {
            let back = format!("/public-nights/{}", night.id);
            (night.occasion.name.to_string(), format!("{back}/edit"), back)
        }
    };
    let here = if kept.is_some() { action.clone() } else { "/public-nights/new".into() };
    EditPage {
        frame: who.visit.frame(title).at(Place::PublicNights).returning_to(here),
        form,
        action,
        back,
        version: kept.map(|night| night.version),
        sites: sites
            .iter()
            .map(|kept| {
                let site = &kept.site;
                let label = format!("{}, {}", site.name, site.sky.in_words());
                Choice::new(kept.id.to_string(), label)
            })
            .collect(),
        refusal: None,
    }
}

/// `GET /public-nights/new`
///
/// # Errors
/// The database could not be read.
pub async fn new(State(db): State<Store>, who: SignedIn) -> Result<EditPage, Problem> {
    let mut conn = db.reader().acquire().await?;
    let sites = sites::sites(&mut conn).await?;
    let usual = sites.iter().find(|kept| kept.usually == Usually::Here);
    let form = NightForm::typed(&Typed {
        site: usual.map_or_else(String::new, |kept| kept.id.to_string()),
        starts: "20:00".into(),
        ends: "22:00".into(),
        stations: "4".into(),
        ..Typed::default()
    });
    Ok(page(&who, form, &sites, None))
}

/// `POST /public-nights`
///
/// # Errors
/// The database could not answer.
pub async fn add(
    State(db): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Form(typed): Form<Typed>,
) -> Result<Response, Problem> {
    let mut form = NightForm::typed(&typed);
    let mut tx = db.write().await?;
    let sites = sites::sites(&mut tx).await?;
    let Some(occasion) = form.check(&sites) else {
        let page = page(&who, form, &sites, None);
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
    };
    let id = store::add(&mut tx, &occasion, clock.seconds()).await?;
    let subject = Subject::of("public night", id.0);
    audit::note(&mut tx, who.actor(), "public night added", subject, "").await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/public-nights/{id}?done=saved")).into_response())
}

/// `GET /public-nights/{id}/edit`
///
/// # Errors
/// 404 where there is none.
pub async fn form(
    State(db): State<Store>,
    who: SignedIn,
    Path(id): Path<i64>,
) -> Result<EditPage, Problem> {
    let mut conn = db.reader().acquire().await?;
    let night = store::night(&mut conn, NightId(id)).await?;
    let sites = sites::sites(&mut conn).await?;
    Ok(page(&who, NightForm::of(&night.occasion), &sites, Some(&night)))
}

/// `POST /public-nights/{id}/edit`
///
/// # Errors
/// 404 where there is none, or the database could not answer.
pub async fn change(
    State(db): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
    Form(typed): Form<Typed>,
) -> Result<Response, Problem> {
    let act = lead_act(&who.account, &clock)?;
    let mut form = NightForm::typed(&typed);
    let mut tx = db.write().await?;
    let before = store::night(&mut tx, NightId(id)).await?;
    let sites = sites::sites(&mut tx).await?;
    let Some(occasion) = form.check(&sites) else {
        let page = page(&who, form, &sites, Some(&before));
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
    };
    let mut night = PublicNight { occasion, version: typed.version, ..before.clone() };
    let away = !typed.put_away.is_empty();
    if away {
        put_away(&mut night);
    }
    match keep(&mut tx, &clock, night, &act).await {
        Ok(_) => {
            let subject = Subject::of("public night", id);
            audit::note(&mut tx, who.actor(), "public night changed", subject, "").await?;
            tx.commit().await?;
            let done = if away { "put-away" } else { "saved" };
            Ok(Redirect::to(&format!("/public-nights/{id}?done={done}")).into_response())
        }
        Err(why) => {
            drop(tx);
            let refusal = match why {
                NotKept::Sun(shut) => Refusal {
                    says: shut.iter().map(ToString::to_string).collect(),
                    put_away: Some("change"),
                    way: None,
                },
                NotKept::Failed(NightError::Stale) => Refusal {
                    says: vec!["This public night was changed meanwhile, so nothing was saved yet. What you typed still stands below; save again and it counts.".to_owned()],
                    put_away: None,
                    way: None,
                },
                NotKept::Pieces(NotReserved::Failed(_))
                | NotKept::Failed(_)
                | NotKept::Site(_)
                | NotKept::Shelf(_) => return Err(why.into()),
                other => Refusal { says: vec![other.to_string()], put_away: None, way: None },
            };
            let page =
                EditPage { refusal: Some(refusal), ..page(&who, form, &sites, Some(&before)) };
            Ok((StatusCode::CONFLICT, page).into_response())
        }
    }
}
