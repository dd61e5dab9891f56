//! `/buying/mine`: what to buy next for one's own telescope.

use std::time::Duration;

use askama::Template;
use askama_web::WebTemplate;
use axum::extract::State;
use serde::Deserialize;

use super::candidate_store::candidates;
use super::mine::Case;
use crate::choosing::desk;
use crate::kit::{Question, ShelfTelescope, SunFilter, Usage};
use crate::people;
use crate::people::access::SignedIn;
use crate::profile::own_case;
use crate::profile::whose::own_member;
use crate::shelf::{self, Worth};
use crate::store::Store;
use crate::web::body::Query;
use crate::web::clock::Clock;
use crate::web::field::Field;
use crate::web::frame::{Frame, Place};
use crate::web::problem::Problem;

/// What stands after the question mark.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct Asked {
    budget: String,
}

/// An eyepiece of a set in one telescope.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InSet {
    /// What it is.
    pub what: String,
    /// "152×, exit pupil 1.3 mm".
    pub view: String,
    /// Whether it would be bought.
    pub new: bool,
}

/// A set for one telescope.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Set {
    /// The telescope.
    pub telescope: String,
    /// Value, in points.
    pub points: String,
    /// Its eyepieces from low to high power.
    pub pieces: Vec<InSet>,
}

/// Something to buy, and what to try before.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Advice {
    /// What to buy.
    pub what: String,
    /// Why: price, or what it adds.
    pub says: String,
    /// A piece of the club's to try: tag, name, address of its free nights.
    pub attempt: Option<(String, String, String)>,
}

/// `/buying/mine`
#[derive(Template, WebTemplate)]
#[template(path = "buying/mine.html")]
pub struct MinePage {
    /// The frame.
    pub frame: Frame,
    /// The budget as typed.
    pub budget: Field,
    /// Whether there is an own telescope.
    pub has_telescope: bool,
    /// Sets of today.
    pub today: Vec<Set>,
    /// What to buy from the club's list under the budget.
    pub buy: Vec<Advice>,
    /// What it costs.
    pub cost: String,
    /// Whether the choice is proven.
    pub proven: bool,
    /// How many candidates the club's list has.
    pub candidates: usize,
    /// Sets with that.
    pub then: Vec<Set>,
    /// What would make the set whole, whatever is for sale.
    pub wishes: Vec<Advice>,
}

/// `GET /buying/mine`
///
/// # Errors
/// 404 for an account of nobody on the list, 503 when too many ask at once, or the database could
/// not be read.
pub async fn look(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Query(asked): Query<Asked>,
) -> Result<MinePage, Problem> {
    let member = own_member(&who.account)?;
    let mut tx = store.reader().begin().await?;
    let case = own_case(&mut tx, member).await?;
    let eyes = people::member_eye(&mut tx, member).await?;
    let candidates = candidates(&mut tx).await?;
    let club = shelf::eyepieces_in_service(&mut tx).await?;
    drop(tx);
    let mut budget = Field::of(asked.budget.trim());
    let money = match budget.value.as_str() {
        "" => {
            budget.value = "200".into();
            20_000
        }
        text => match Worth::parse(text) {
            Ok(worth) => worth.cents().unsigned_abs(),
            Err(why) => {
                budget.refuse(why.to_string());
                0
            }
        },
    };
    let observer = eyes.observer(clock.today().year());
    let case = Case {
        question: Question { observer, seeing: None, usage: Usage::Night, tonight: None },
        telescopes: case
            .telescopes
            .iter()
            .map(|own| {
                let telescope = ShelfTelescope::plain(own.figures, SunFilter::Missing);
                (own.name.to_string(), telescope)
            })
            .collect(),
        owned: case.eyepieces.iter().map(|own| (own.name.to_string(), own.figures)).collect(),
        candidates,
        club,
        budget: money,
    };
    let frame = who.visit.frame("My next eyepiece").at(Place::Me).returning_to("/buying/mine");
    let page = MinePage {
        frame,
        budget,
        has_telescope: !case.telescopes.is_empty(),
        today: Vec::new(),
        buy: Vec::new(),
        cost: String::new(),
        proven: true,
        candidates: case.candidates.len(),
        then: Vec::new(),
        wishes: Vec::new(),
    };
    if !page.has_telescope {
        return Ok(page);
    }
    let worked = desk::search_within(Duration::from_secs(6), move |budget, _| {
        case.work(&|| !(budget.telling)())
    })
    .await?;
    let worked = worked.ok_or_else(Problem::busy)?;
    Ok(MinePage {
        today: worked.today,
        buy: worked.buy,
        cost: worked.cost,
        proven: worked.proven,
        then: worked.then,
        wishes: worked.wishes,
        ..page
    })
}
