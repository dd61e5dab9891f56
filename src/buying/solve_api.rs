//! The best purchase from pieces that are sent; nothing is stored.

use std::time::Duration;

use axum::extract::State;
use axum::response::IntoResponse;
use serde::Serialize;
use utoipa::ToSchema;

use crate::choosing::api::{sound, written};
use crate::choosing::desk;
use crate::choosing::wire::Id;
use crate::choosing::wire::purchase_request::PurchaseRequest;
use crate::choosing::wire::schemas::{BarlowBody, EyepieceBody, ObserverBody, TelescopeBody};
use crate::kit::Settings;
use crate::kit::purchase::{
    Demand, Glassware, Lowest, Offer, Origin, Rows, Scene, Search, Stock, Terms, Want, in_ones,
};
use crate::web::body::JsonText;
use crate::web::clock::Clock;
use crate::web::problem::{Problem, ProblemDocument};
use crate::web::refusals::NoToken;

/// Largest body: 1 MB.
pub const LIMIT: usize = 1024 * 1024;

/// How long the search may take before it answers with its gap.
const LONGEST: Duration = Duration::from_secs(20);

/// A piece that is not there yet, with its price.
#[derive(Debug, Clone, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct OfferBody {
    /// The id of an eyepiece or a Barlow of this request.
    pub id: Id,
    /// What it costs, a whole number.
    #[schema(minimum = 0, maximum = 100_000_000)]
    pub price: i64,
}

/// Asks for the best purchase.
#[derive(Debug, Clone, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = PurchaseRequest)]
pub struct PurchaseBody {
    /// Who looks; each counts as one.
    #[schema(max_items = 40)]
    pub observers: Vec<ObserverBody>,
    /// Telescopes that are there.
    #[schema(max_items = 40)]
    pub telescopes: Vec<TelescopeBody>,
    /// Eyepieces, there or offered, each with an id of its own.
    #[schema(max_items = 200)]
    pub eyepieces: Vec<EyepieceBody>,
    /// Barlows, there or offered, each with an id of its own.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(max_items = 200)]
    pub barlows: Option<Vec<BarlowBody>>,
    /// Which of them are offered, and at what price; all others are there.
    #[schema(max_items = 200)]
    pub offers: Vec<OfferBody>,
    /// What may be spent, a whole number.
    #[schema(minimum = 0, maximum = 100_000_000)]
    pub budget: i64,
    /// Most eyepieces in a kit; 5 where left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 8)]
    pub max_eyepieces: Option<usize>,
}

/// The best purchase.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub struct PurchaseChoice {
    /// What to buy.
    pub buy: Vec<Id>,
    /// What it costs.
    pub spent: i64,
    /// Sum over all observers and telescopes of the best kit's value.
    pub value: f64,
    /// The same without a purchase.
    pub value_before: f64,
    /// Whether no other purchase is better.
    pub proven_optimal: bool,
    /// The largest possible improvement where that is not proven.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub gap: Option<f64>,
}

/// Chooses the best purchase under a budget, with the proof that none is better: the sum over all
/// observers and telescopes of the best kit that each gets.
///
/// Nothing is stored. Coma correctors are not weighed here, only in the club's own reports: send what a
/// corrector makes of a telescope as that telescope. Where twenty seconds are not enough for the proof, `proven_optimal` is false
/// and `gap` says how much better a purchase could be at most.
///
/// # Errors
/// 400 for what is not JSON, 413 for more than 1 MB, 422 with a pointer for every field that can't
/// be used, 503 when too many ask at once.
#[utoipa::path(
    post,
    path = "/api/v1/purchases/solve",
    tag = "buying",
    request_body(content = PurchaseBody, content_type = "application/json"),
    responses(
        (status = 200, description = "The best purchase", body = PurchaseChoice, content_type = "application/json"),
        (status = 400, description = "Not JSON", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 413, description = "More than 1 MB", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 415, description = "Another content type than JSON", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 422, description = "Fields that can't be used, each with its pointer", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 503, description = "Too many ask at once; try again soon", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken,
    )
)]
pub async fn solve(
    State(clock): State<Clock>,
    JsonText(text): JsonText,
) -> Result<impl IntoResponse, Problem> {
    let this_year = clock.today().year();
    let request: PurchaseRequest = desk::off_thread(move || sound(&text, this_year)).await??;
    desk::search_within(LONGEST, move |budget, _| {
        let answer = choose(&request, &mut || !(budget.search)());
        answer.ok_or_else(Problem::busy).and_then(|answer| written(&answer))
    })
    .await?
}

fn choose(request: &PurchaseRequest, go_on: &mut dyn FnMut() -> bool) -> Option<PurchaseChoice> {
    let settings = Settings::default();
    let pieces: Vec<(&Id, Glassware)> = request
        .eyepieces
        .iter()
        .map(|(id, one)| (id, Glassware::Eyepiece(*one)))
        .chain(request.barlows.iter().map(|(id, one)| (id, Glassware::Barlow(*one))))
        .collect();
    let price = |id: &Id| request.offers.iter().find(|offer| offer.id == *id).map(|one| one.price);
    let (mut owned, mut offers, mut offered) = (Vec::new(), Vec::new(), Vec::new());
    for (id, glass) in pieces {
        match price(id) {
            Some(price) => {
                offers.push(Offer { glass, price, most: 1 });
                offered.push(id);
            }
            None => owned.push(glass),
        }
    }
    let wants: Vec<Want> = (0..request.telescopes.len())
        .flat_map(|telescope| {
            (0..request.questions.len()).map(move |question| Want {
                telescope,
                question,
                scene: 0,
                weight: 1,
            })
        })
        .collect();
    let scenes = [Scene::default()];
    let demand = Demand {
        telescopes: &request.telescopes,
        questions: &request.questions,
        scenes: &scenes,
        wants: &wants,
    };
    let terms = Terms { slots: request.max_eyepieces, shared: true, threads: 1 };
    let stock = Stock::new(&owned, &offers, &[]);
    let mut rows =
        Rows::build(stock, &demand, &settings, terms, Lowest::NothingTaken, &mut |_| go_on())?;
    let before = rows.value(&rows.stock().least());
    let best = Search::run(&mut rows, request.budget, &[], &mut |_| go_on());
    let buy = rows
        .stock()
        .lots(&best.taken)
        .filter_map(|(_, lot)| match lot.origin {
            Origin::Offered(at) => Some(offered[at].clone()),
            Origin::Kept(_) => None,
        })
        .collect();
    let proven = best.is_proven();
    Some(PurchaseChoice {
        buy,
        spent: best.spent,
        value: in_ones(best.value),
        value_before: in_ones(before),
        proven_optimal: proven,
        gap: (!proven).then(|| in_ones(best.bound - best.value)),
    })
}
