//! Planning a public night afresh, on its page.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};

use super::keeping::keep;
use super::model::{Finder, NightId};
use super::night_page::Refusal;
use super::night_pages::{Sent, lead_act, page, refused, text, version};
use super::planning::{draft, ground};
use super::store;
use crate::audit::{self, Subject};
use crate::choosing::desk;
use crate::people::access::SignedIn;
use crate::store::Store;
use crate::web::body::{Form, Path};
use crate::web::clock::Clock;
use crate::web::problem::Problem;
use crate::web::site::Site;

/// `POST /public-nights/{id}/plan`: every station afresh.
///
/// # Errors
/// 404 where there is none, 503 while too many search.
pub async fn plan(
    State(db): State<Store>,
    State(clock): State<Clock>,
    State(site): State<Site>,
    who: SignedIn,
    Path(id): Path<i64>,
    Form(sent): Form<Sent>,
) -> Result<Response, Problem> {
    let act = lead_act(&who.account, &clock)?;
    let mut conn = db.reader().acquire().await?;
    let night = store::night(&mut conn, NightId(id)).await?;
    let ground = ground(&mut conn, &night, clock.today()).await?;
    drop(conn);
    let capped = !text(&sent, "capped").is_empty();
    let finder = if capped { Finder::Capped } else { Finder::Open };
    let drafted = desk::search(move |budget, _| draft(&ground, finder, budget.search)).await?;
    let drafted = match drafted {
        Ok(drafted) => drafted,
        Err(why) => {
            let mut page = page((&db, &clock, &site), &who, &night).await?;
            page.refusal = Some(Refusal { says: vec![why.to_string()], put_away: None });
            return Ok((StatusCode::CONFLICT, page).into_response());
        }
    };
    let mut tx = db.write().await?;
    // Planned for the night as it was read; whoever changed it meanwhile is asked again.
    let mut night = night;
    if night.version == version(&sent) {
        night.stations = drafted.stations;
        night.told = drafted.told;
    } else {
        night.version = -1;
    }
    match keep(&mut tx, &clock, night, &act).await {
        Ok(_) => {
            let subject = Subject::of("public night", id);
            audit::note(&mut tx, who.actor(), "public night planned", subject, "").await?;
            tx.commit().await?;
            Ok(Redirect::to(&format!("/public-nights/{id}?done=planned#plan")).into_response())
        }
        Err(why) => {
            drop(tx);
            refused((&db, &clock, &site), &who, NightId(id), why, None).await
        }
    }
}
