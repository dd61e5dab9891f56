//! Planning a public night afresh, on its page.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};

use super::keeping::keep;
use super::model::{Finder, NightId};
use super::night_page::Refusal;
use super::night_pages::{Did, Sent, lead_act, page, settle, text, version};
use super::planning::{draft, ground};
use super::store;
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
            let (says, way) = (vec![why.to_string()], why.way(&night));
            page.refusal = Some(Refusal { says, put_away: None, way });
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
    let outcome = keep(&mut tx, &clock, night, &act).await;
    let did = Did::the("public night planned", "?done=planned#plan");
    settle((&db, &clock, &site), &who, id, (tx, outcome), did).await
}
