//! The main question over HTTP, on the club's own shelf.

use std::collections::BTreeMap;

use axum::extract::State;
use axum::response::IntoResponse;
use serde::Serialize;
use utoipa::ToSchema;

use super::api;
use super::club_shelf::{ClubShelf, is_own};
use super::discreet::Telling;
use super::pages::{Whose, member_question};
use super::search::{self, Ask, AskedEyes, Obstacle, SearchError};
use super::wire::answers::KitsAnswer;
use super::wire::requests::Rack;
use super::wire::search_request::{SearchBody, SearchRequest, WhoseEyes};
use super::wire::{Explain, Id, SolveRequest};
use super::{desk, solution};
use crate::kit::Settings;
use crate::lending::Nights;
use crate::observing::outlook::SkyAnswer;
use crate::observing::sites::SiteId;
use crate::people::access::ApiCaller;
use crate::shelf::{Facts, ItemId};
use crate::store::Store;
use crate::web::body::JsonText;
use crate::web::clock::Clock;
use crate::web::problem::{Problem, ProblemDocument};
use crate::web::refusals::NoToken;

/// The best kits that are free, and where there is none, why and when there will be.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
pub struct SearchAnswer {
    /// The nights asked about.
    pub nights: NightsAnswer,
    /// The kits, as for pieces that a caller sends; ids are the club's item numbers.
    #[serde(flatten)]
    pub found: KitsAnswer,
    /// Tags and names of the items that the answer speaks of.
    pub items: Vec<ItemAnswer>,
    /// What stands in the way, where there is no kit: a rule, or what is promised to someone.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub in_the_way: Option<InTheWay>,
    /// Later nights on which it would work, where there is no kit.
    pub next_nights: Vec<OtherNightsAnswer>,
    /// The sky the kits were chosen for, and what that changed; missing by day, and where the club
    /// has not said where it observes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sky: Option<SkyAnswer>,
}

/// A stretch of nights.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct NightsAnswer {
    /// The date of the first evening.
    #[schema(format = "date")]
    pub first_night: String,
    /// The date of the last evening.
    #[schema(format = "date")]
    pub last_night: String,
}

impl From<Nights> for NightsAnswer {
    fn from(nights: Nights) -> Self {
        Self { first_night: nights.first().to_string(), last_night: nights.last().to_string() }
    }
}

/// An item by its number, with what people call it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct ItemAnswer {
    /// The item's number, or `own-` and a number for a thing of the member's own.
    pub id: Id,
    /// The tag on it.
    pub asset_tag: String,
    /// Its name.
    pub name: String,
    /// Whether it is the member's own and nobody has to fetch it.
    pub own: bool,
}

/// What stands in the way.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct InTheWay {
    /// `closed` where the club lends nothing on these nights, `rules` where nothing the club owns
    /// suits, `loans` where it is out.
    pub what: &'static str,
    /// The nights on which the club lends nothing.
    pub closed: Vec<ClosedAnswer>,
    /// Pieces of the best kit that are promised, and when; never to whom.
    pub promised: Vec<PromisedAnswer>,
}

/// A night on which the club lends nothing.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct ClosedAnswer {
    /// The evening's date.
    #[schema(format = "date")]
    pub night: String,
    /// Why, as the club wrote it; may be empty.
    pub reason: String,
}

/// A promised piece.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct PromisedAnswer {
    /// The tag on it.
    pub asset_tag: String,
    /// Its name.
    pub name: String,
    /// When it is promised.
    pub nights: NightsAnswer,
}

/// Later nights.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, ToSchema)]
pub struct OtherNightsAnswer {
    /// When.
    pub nights: NightsAnswer,
    /// The best kit's telescope then.
    pub telescope: String,
}

/// Chooses the best kits among what is free on all those nights.
///
/// A member may ask for themself; staff may ask for any member. A described observer is stored
/// nowhere. Where nothing suits, the answer says whether a rule or a loan stands in the way and
/// names later nights on which it would work.
///
/// # Errors
/// 404 for a member who is not there or not the caller's to ask for, 422 with a pointer for every
/// field that can't be used.
#[utoipa::path(
    post,
    path = "/api/v1/kits/search",
    tag = "choosing",
    request_body(content = SearchBody, content_type = "application/json", description = "Who looks and when"),
    responses(
        (status = 200, description = "The best kits, best first", body = SearchAnswer, content_type = "application/json"),
        (status = 400, description = "Not JSON", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 404, description = "No such member, or not yours to ask for", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 413, description = "More than 64 kB", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 415, description = "Another content type than JSON", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 422, description = "Fields that can't be used, each with its pointer", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 503, description = "Too many ask at once; try again soon", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken,
    )
)]
pub async fn search(
    State(store): State<Store>,
    State(clock): State<Clock>,
    caller: ApiCaller,
    JsonText(text): JsonText,
) -> Result<impl IntoResponse, Problem> {
    let request: SearchRequest = api::sound(&text, clock.today().year())?;
    let whose = match request.whose {
        WhoseEyes::Member(id) => member_question(&store, &clock, &caller.account, id, None).await?,
        WhoseEyes::Described(question) => Whose::nobodys("these eyes", *question),
    };
    if whose.telling == Telling::Discreetly && request.explain == Explain::Matrix {
        return Err(Problem::not_yours(
            "The matrix would tell more of this member's eyes than choosing needs.",
        )
        .next("Ask without it, or describe an observer."));
    }
    let ask = Ask {
        question: whose.question,
        nights: request.nights,
        site: request.site.map(SiteId),
        telescope: request.telescope.map(ItemId),
        max_eyepieces: request.max_eyepieces,
        limit: request.limit,
        own: whose.own,
        telling: whose.telling,
        eyes: AskedEyes::Described,
    };
    api::written(&find(&store, &ask, request.explain).await?)
}

/// The same answer for whoever asks in another way.
///
/// # Errors
/// The database could not be read, or too many ask at once.
pub async fn find(store: &Store, ask: &Ask, explain: Explain) -> Result<SearchAnswer, SearchError> {
    let (ask, sky) = search::under_the_sky(store, ask).await?;
    let ask = &ask;
    let shelf = search::free_shelf(store, ask, ask.nights).await?;
    let body = SolveRequest {
        question: ask.question.clone(),
        telescopes: rack(shelf.telescopes.iter().map(|item| item.id), shelf.figures().telescopes),
        eyepieces: rack(shelf.eyepieces.iter().map(|item| item.id), shelf.figures().eyepieces),
        correctors: (0..shelf.telescopes.len())
            .map(|at| shelf.corrector(at).map(|item| written_id(item.id)))
            .collect(),
        barlows: rack(shelf.barlows.iter().map(|item| item.id), shelf.figures().barlows),
        wanted: ask.wanted(),
        explain,
    };
    let own = shelf.own();
    let mut found = desk::search(move |budget, threads| {
        solution::solve_with_own(&body, own, &Settings::default(), threads, budget)
    })
    .await?;
    ask.telling.veil(&mut found);
    let closed = search::closed_nights(store, ask.nights).await?;
    let obstacle = if found.kits.is_empty() || !closed.is_empty() {
        Some(search::obstacle(store, ask, closed).await?)
    } else {
        None
    };
    let sky = sky.as_ref().map(SkyAnswer::from);
    Ok(SearchAnswer { sky, ..answer(ask.nights, found, obstacle, &shelf) })
}

fn rack<T: Clone>(ids: impl Iterator<Item = ItemId>, specs: &[T]) -> Rack<T> {
    Rack { ids: ids.map(written_id).collect(), specs: specs.to_vec() }
}

/// The club's things by number, a member's own by their tag.
fn written_id(id: ItemId) -> Id {
    if is_own(id) { Id::Text(format!("own-{}", -id.0)) } else { Id::Number(id.0) }
}

fn answer(
    nights: Nights,
    found: KitsAnswer,
    obstacle: Option<Obstacle>,
    shelf: &ClubShelf,
) -> SearchAnswer {
    let telescopes = shelf.telescopes.iter().map(|item| (item.id, &item.facts));
    let eyepieces = shelf.eyepieces.iter().map(|item| (item.id, &item.facts));
    let barlows = shelf.barlows.iter().map(|item| (item.id, &item.facts));
    let correctors = (0..shelf.telescopes.len()).filter_map(|at| shelf.corrector(at));
    let correctors = correctors.map(|item| (item.id, &item.facts));
    let facts: BTreeMap<Id, (bool, &Facts)> = telescopes
        .chain(eyepieces)
        .chain(barlows)
        .chain(correctors)
        .map(|(id, facts)| (written_id(id), (is_own(id), facts)))
        .collect();
    let items = found
        .named()
        .into_iter()
        .filter_map(|id| {
            let (own, facts) = facts.get(&id)?;
            Some(ItemAnswer {
                asset_tag: facts.tag.to_string(),
                name: facts.name.to_string(),
                own: *own,
                id,
            })
        })
        .collect();
    let next_nights = obstacle.as_ref().map_or_else(Vec::new, |one| {
        one.other_nights
            .iter()
            .map(|(nights, telescope)| OtherNightsAnswer {
                nights: (*nights).into(),
                telescope: telescope.clone(),
            })
            .collect()
    });
    let in_the_way = obstacle.map(|one| InTheWay {
        what: match (one.closed.is_empty(), one.whole_shelf_gives_nothing) {
            (false, _) => "closed",
            (true, true) => "rules",
            (true, false) => "loans",
        },
        closed: one
            .closed
            .into_iter()
            .map(|(night, reason)| ClosedAnswer { night: night.to_string(), reason })
            .collect(),
        promised: one
            .promised
            .into_iter()
            .map(|(asset_tag, name, nights)| PromisedAnswer {
                asset_tag,
                name,
                nights: nights.into(),
            })
            .collect(),
    });
    SearchAnswer { nights: nights.into(), found, items, in_the_way, next_nights, sky: None }
}
