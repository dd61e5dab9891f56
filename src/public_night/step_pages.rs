//! What becomes of a public night: announced, cancelled, moved, its pieces reserved.

use axum::extract::State;
use axum::response::Response;

use super::keeping::{self, keep};
use super::model::{NightId, NightState};
use super::night_pages::{Did, Sent, lead_act, settle, text, version};
use super::store;
use crate::people::access::SignedIn;
use crate::store::Store;
use crate::web::body::{Form, Path};
use crate::web::clock::Clock;
use crate::web::problem::Problem;
use crate::web::site::Site;

/// `POST /public-nights/{id}/step`: announce, take back, cancel, held, or the rain date.
///
/// # Errors
/// 404 where there is none.
pub async fn step(
    State(db): State<Store>,
    State(clock): State<Clock>,
    State(site): State<Site>,
    who: SignedIn,
    Path(id): Path<i64>,
    Form(sent): Form<Sent>,
) -> Result<Response, Problem> {
    let act = lead_act(&who.account, &clock)?;
    let mut tx = db.write().await?;
    let mut night = store::night(&mut tx, NightId(id)).await?;
    night.version = version(&sent);
    let (deed, done, again) = match text(&sent, "step") {
        "announce" => {
            night.state = NightState::Announced;
            ("public night announced", "announced", Some("announce"))
        }
        "draft" => {
            night.state = NightState::Draft;
            ("public night taken back", "saved", Some("draft"))
        }
        "cancel" => {
            night.state = NightState::Cancelled;
            ("public night cancelled", "saved", Some("cancel"))
        }
        "held" => {
            night.state = NightState::Held;
            ("public night held", "saved", Some("held"))
        }
        "rain" => {
            if let Some(rain) = night.occasion.rain_date.take() {
                night.occasion.date = rain;
            }
            ("public night moved to its rain date", "saved", Some("rain"))
        }
        _ => return Err(Problem::malformed("There is no such step.")),
    };
    if !text(&sent, "put_away").is_empty() {
        keeping::put_away(&mut night);
    }
    let outcome = keep(&mut tx, &clock, night, &act).await;
    let did = Did { again, ..Did::the(deed, format!("?done={done}")) };
    settle((&db, &clock, &site), &who, id, (tx, outcome), did).await
}

/// `POST /public-nights/{id}/reserve`: every piece of the plan, or none.
///
/// # Errors
/// 404 where there is none.
pub async fn reserve(
    State(db): State<Store>,
    State(clock): State<Clock>,
    State(site): State<Site>,
    who: SignedIn,
    Path(id): Path<i64>,
    Form(sent): Form<Sent>,
) -> Result<Response, Problem> {
    let act = lead_act(&who.account, &clock)?;
    let mut tx = db.write().await?;
    let mut night = store::night(&mut tx, NightId(id)).await?;
    night.version = version(&sent);
    let release = !text(&sent, "release").is_empty();
    let outcome = if release {
        keeping::release(&mut tx, &clock, night, &act).await
    } else {
        let member = who.account.member.ok_or_else(|| {
            Problem::conflict("Your account belongs to nobody on the list of members, and pieces are handed over to a member.")
                .next("Ask an outreach lead or quartermaster who is a member to reserve them.")
        })?;
        keeping::reserve(&mut tx, &clock, night, member, &act).await
    };
    let did = if release {
        Did::the("public night's pieces given back", "?done=released")
    } else {
        Did::the("public night's pieces reserved", "?done=reserved")
    };
    settle((&db, &clock, &site), &who, id, (tx, outcome), did).await
}
