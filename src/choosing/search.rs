//! The main question on the club's own shelf: what is free, what suits, and if nothing does, what
//! stands in the way and when it would work.

use std::sync::Arc;

use jiff::civil::Date;
use sqlx::SqliteConnection;

use super::club_shelf::ClubShelf;
use super::desk::{self, Unfinished};
use super::discreet::Telling;
use super::solution::Budget;
use crate::kit::solve::Alternative;
use crate::kit::story::{Nothing, Story};
use crate::kit::{Answer, Kit, Proof, Question, Settings, Solver, Usage, Wanted};
use crate::lending::rules_store::rules;
use crate::lending::{self, LendingError, Night, Nights, Promise, SunDays};
use crate::observing::outlook::{self, ClubSky};
use crate::observing::sites::{SiteError, SiteId};
use crate::profile::OwnCase;
use crate::shelf::{self, ItemId};
use crate::store::Store;

/// How many weekends ahead are tried when nothing suits.
const WEEKS_AHEAD: i32 = 8;

/// How many other nights are offered.
const MOST_OTHER_NIGHTS: usize = 3;

/// What is asked of the club's shelf.
#[derive(Debug, Clone)]
pub struct Ask {
    /// Who looks, under which sky.
    pub question: Question,
    /// On which nights.
    pub nights: Nights,
    /// Where; the club's usual site where nothing is said.
    pub site: Option<SiteId>,
    /// In this telescope only.
    pub telescope: Option<ItemId>,
    /// Most eyepieces in the kit.
    pub max_eyepieces: usize,
    /// Most telescopes in the answer.
    pub limit: usize,
    /// What the observer owns.
    pub own: OwnCase,
    /// To whom the answer speaks.
    pub telling: Telling,
    /// Whose eyes, as far as an address may say.
    pub eyes: AskedEyes,
}

/// Whose eyes are asked about, as far as an address may say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AskedEyes {
    /// A member's, by number.
    Member(i64),
    /// Anyone's.
    Anyone,
    /// Somebody's who was described: that belongs in no address.
    Described,
}

impl Ask {
    /// How large a kit may be and how many are wanted.
    #[must_use]
    pub fn wanted(&self) -> Wanted {
        Wanted { max_eyepieces: self.max_eyepieces, barlow: true, limit: self.limit }
    }
}

/// Why a search could not be made.
#[derive(Debug, thiserror::Error)]
pub enum SearchError {
    /// The calendar or the shelf could not be read.
    #[error(transparent)]
    Lending(#[from] LendingError),
    /// The shelf could not be read.
    #[error(transparent)]
    Shelf(#[from] shelf::ShelfError),
    /// The database could not be reached.
    #[error("the database could not answer: {0}")]
    Database(#[from] sqlx::Error),
    /// The club's site could not be read.
    #[error(transparent)]
    Site(#[from] SiteError),
    /// The search ended without an answer.
    #[error(transparent)]
    Unfinished(#[from] Unfinished),
}

/// A kit with its story.
#[derive(Debug, Clone)]
pub struct Told {
    /// The kit.
    pub kit: Kit,
    /// Its views and what they serve.
    pub story: Story,
    /// Other kits for the same telescope.
    pub alternatives: Vec<Alternative>,
}

/// What was found.
#[derive(Debug)]
pub struct Found {
    /// What is free on those nights.
    pub shelf: Arc<ClubShelf>,
    /// The best kit per telescope, best first, told.
    pub kits: Vec<Told>,
    /// Whether that is proven.
    pub proof: Proof,
    /// Telescopes, by position on the shelf, that give this observer nothing, and why.
    pub useless: Vec<(usize, Nothing)>,
    /// Set where there is no kit.
    pub obstacle: Option<Obstacle>,
    /// The sky the kits were chosen for, where the club has said where it observes.
    pub sky: Option<ClubSky>,
    /// The best kit of the same pieces for nights of which nothing is known.
    pub before: Option<Kit>,
}

/// What stands in the way of any kit, and when there would be one.
#[derive(Debug, Default)]
pub struct Obstacle {
    /// Nights on which the club lends nothing, each with its reason.
    pub closed: Vec<(Night, String)>,
    /// The kit one could have, were everything in store: by tag and name, with the nights each
    /// piece is promised.
    pub promised: Vec<(String, String, Nights)>,
    /// Whether even the whole shelf gives nothing, so that no loan is to blame.
    pub whole_shelf_gives_nothing: bool,
    /// Nights on which it works, with the best kit's telescope.
    pub other_nights: Vec<(Nights, String)>,
}

/// Answers the question.
///
/// # Errors
/// The database could not be read.
pub async fn search(store: &Store, asked: &Ask) -> Result<Found, SearchError> {
    let (ask, sky) = under_the_sky(store, asked).await?;
    let ask = &ask;
    let shelf = Arc::new(free_shelf(store, ask, ask.nights).await?);
    let mut found = solve(ask.clone(), Arc::clone(&shelf)).await?;
    if sky.is_some() {
        let one = Ask { limit: 1, ..asked.clone() };
        let before = solve(one, shelf).await?;
        found.before = before.kits.into_iter().next().map(|told| told.kit);
    }
    let closed = closed_nights(store, ask.nights).await?;
    if found.kits.is_empty() || !closed.is_empty() {
        found.obstacle = Some(obstacle(store, ask, closed).await?);
    }
    found.sky = sky;
    Ok(found)
}

/// The question with what will be up on its nights over the club's site; as it was by day, and
/// where the club has no site.
///
/// # Errors
/// The database could not be read.
pub async fn under_the_sky(
    store: &Store,
    ask: &Ask,
) -> Result<(Ask, Option<ClubSky>), SearchError> {
    let mut ask = ask.clone();
    if ask.question.usage != Usage::Night {
        return Ok((ask, None));
    }
    let evenings: Vec<Date> = ask.nights.iter().map(Night::evening).collect();
    let sky = outlook::over_the_club(store, ask.site, &evenings).await?;
    if let Some(sky) = &sky {
        ask.question.tonight = Some(Arc::new(sky.outlook.mix));
        ask.question.seeing = outlook::seeing_of(&ask.question, &sky.site);
    }
    Ok((ask, sky))
}

/// Everything that is free on these nights, and of the telescopes only the one asked about.
///
/// # Errors
/// The database could not be read.
pub async fn free_shelf(
    store: &Store,
    ask: &Ask,
    nights: Nights,
) -> Result<ClubShelf, SearchError> {
    let mut conn = store.reader().acquire().await?;
    // On nights on which the club lends nothing, nothing of the club's is free.
    let free = if lending::closed_on(&mut conn, nights).await?.is_empty() {
        lending::free_on(&mut conn, nights).await?
    } else {
        shelf::Shelf::default()
    };
    let days = sun_days(&mut conn, nights).await?;
    Ok(narrowed(ClubShelf::of(free, days), ask))
}

/// The days around these nights, under the club's rules; the morning after the last is one too.
async fn sun_days(conn: &mut SqliteConnection, nights: Nights) -> Result<SunDays, LendingError> {
    let light_test_months = rules(conn, nights.first()).await?.light_test_months;
    let (today, last) = (nights.first().evening(), nights.last().morning());
    Ok(SunDays { today, last, light_test_months })
}

fn narrowed(shelf: ClubShelf, ask: &Ask) -> ClubShelf {
    let shelf = shelf.with_own(&ask.own);
    match ask.telescope {
        Some(telescope) => shelf.with_only(telescope.0),
        None => shelf,
    }
}

async fn solve(ask: Ask, shelf: Arc<ClubShelf>) -> Result<Found, SearchError> {
    Ok(desk::search(move |budget, threads| found_on(&ask, &shelf, threads, budget)).await?)
}

/// The answer on one shelf.
#[must_use]
pub fn found_on(ask: &Ask, shelf: &Arc<ClubShelf>, threads: usize, budget: Budget<'_>) -> Found {
    let settings = Settings::default();
    let solver = Solver::new(shelf.figures(), &ask.question, &settings).with_own(shelf.own());
    let Answer { mut kits, proof } = solver.solve(ask.wanted(), threads, budget.search);
    // One's own telescope is always worth comparing with a loan.
    if shelf.own().telescopes > 0 && !kits.iter().any(|kit| kit.telescope < shelf.own().telescopes)
    {
        let own = Solver::new(shelf.own_telescopes(), &ask.question, &settings)
            .with_own(shelf.own())
            .solve(Wanted { limit: 1, ..ask.wanted() }, threads, budget.search);
        kits.extend(own.kits);
    }
    let served = |telescope: usize| kits.iter().any(|kit| shelf.itself(kit.telescope) == telescope);
    let useless = (0..shelf.telescopes.len())
        .filter(|telescope| shelf.itself(*telescope) == *telescope && !served(*telescope))
        .filter_map(|telescope| Some((telescope, solver.why_nothing(telescope)?)))
        .collect();
    let kits = kits
        .iter()
        .enumerate()
        .map(|(rank, kit)| Told {
            story: solver.story(kit),
            alternatives: if rank == 0 {
                solver.alternatives(kit, ask.wanted(), budget.telling)
            } else {
                Vec::new()
            },
            kit: kit.clone(),
        })
        .collect();
    Found {
        kits,
        proof,
        useless,
        obstacle: None,
        sky: None,
        before: None,
        shelf: Arc::clone(shelf),
    }
}

/// What stands in the way of any kit, and when there would be one.
///
/// # Errors
/// The database could not be read, or the search was not finished.
pub async fn obstacle(
    store: &Store,
    ask: &Ask,
    closed: Vec<(Night, String)>,
) -> Result<Obstacle, SearchError> {
    let mut conn = store.reader().acquire().await?;
    let everything = shelf::shelf_in_service(&mut conn).await?;
    let days = sun_days(&mut conn, ask.nights).await?;
    let whole = narrowed(ClubShelf::of(everything, days), ask);
    let one = Ask { limit: 1, ..ask.clone() };
    let whole = solve(one.clone(), Arc::new(whole)).await?;
    let Some(best) = whole.kits.first() else {
        return Ok(Obstacle { closed, whole_shelf_gives_nothing: true, ..Obstacle::default() });
    };
    let pieces = pieces_of(&whole.shelf, &best.kit);
    let ids: Vec<ItemId> = pieces.iter().map(|(id, ..)| *id).collect();
    let promises: Vec<Promise> = lending::promises(&mut conn, &ids, ask.nights).await?;
    drop(conn);
    let promised = promises
        .into_iter()
        .filter_map(|promise| {
            let (_, tag, name) = pieces.iter().find(|(id, ..)| *id == promise.item)?;
            Some((tag.clone(), name.clone(), promise.nights))
        })
        .collect();
    let mut other_nights = Vec::new();
    for week in 1..=WEEKS_AHEAD {
        let Some(nights) = moved(ask.nights, week * 7) else { break };
        if !closed_nights(store, nights).await?.is_empty() {
            continue;
        }
        let shelf = free_shelf(store, ask, nights).await?;
        let found = solve(one.clone(), Arc::new(shelf)).await?;
        if let Some(told) = found.kits.first() {
            let telescope = &found.shelf.telescopes[told.kit.telescope];
            other_nights.push((nights, telescope.facts.name.to_string()));
            if other_nights.len() == MOST_OTHER_NIGHTS {
                break;
            }
        }
    }
    Ok(Obstacle { closed, promised, whole_shelf_gives_nothing: false, other_nights })
}

/// The nights among these on which the club lends nothing, each with its reason; what is too long
/// or too early for its rules now is so in every week.
///
/// # Errors
/// The database could not be read.
pub async fn closed_nights(
    store: &Store,
    nights: Nights,
) -> Result<Vec<(Night, String)>, SearchError> {
    let mut conn = store.reader().acquire().await?;
    Ok(lending::closed_on(&mut conn, nights).await?)
}

fn pieces_of(shelf: &ClubShelf, kit: &Kit) -> Vec<(ItemId, String, String)> {
    let telescope = &shelf.telescopes[kit.telescope];
    let mut pieces =
        vec![(telescope.id, telescope.facts.tag.to_string(), telescope.facts.name.to_string())];
    if let Some(item) = shelf.corrector(kit.telescope) {
        pieces.push((item.id, item.facts.tag.to_string(), item.facts.name.to_string()));
    }
    for at in &kit.eyepieces {
        let item = &shelf.eyepieces[*at];
        pieces.push((item.id, item.facts.tag.to_string(), item.facts.name.to_string()));
    }
    if let Some(at) = kit.barlow {
        let item = &shelf.barlows[at];
        pieces.push((item.id, item.facts.tag.to_string(), item.facts.name.to_string()));
    }
    pieces
}

/// The same stretch of nights, so many nights later.
fn moved(nights: Nights, by: i32) -> Option<Nights> {
    Nights::new(nights.first().later(by)?, nights.last().later(by)?).ok()
}

/// The coming weekend, Friday to Sunday, and the one after: what most people ask about.
#[must_use]
pub fn weekends(today: Date) -> Vec<Nights> {
    let until_friday = i32::from(jiff::civil::Weekday::Friday.since(today.weekday()));
    // From Saturday on, the weekend has begun: what is left of it is still this weekend.
    let begun =
        matches!(today.weekday(), jiff::civil::Weekday::Saturday | jiff::civil::Weekday::Sunday);
    let Ok(tonight) = Night::new(today) else { return Vec::new() };
    let this = if begun {
        let left = i32::from(today.weekday() == jiff::civil::Weekday::Saturday);
        tonight.later(left).and_then(|last| Nights::new(tonight, last).ok())
    } else {
        tonight.later(until_friday).and_then(|first| Nights::new(first, first.later(2)?).ok())
    };
    let friday_after = if begun { until_friday } else { until_friday + 7 };
    let next =
        tonight.later(friday_after).and_then(|first| Nights::new(first, first.later(2)?).ok());
    this.into_iter().chain(next).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn told(today: Date) -> Vec<String> {
        weekends(today)
            .into_iter()
            .map(|nights| format!("{}/{}", nights.first(), nights.last()))
            .collect()
    }

    #[test]
    fn a_weekend_is_friday_to_sunday_and_what_is_left_of_one_that_has_begun() {
        // 5 June 2026 is a Friday.
        assert_eq!(told(date(2026, 6, 1)), ["2026-06-05/2026-06-07", "2026-06-12/2026-06-14"]);
        assert_eq!(told(date(2026, 6, 5)), ["2026-06-05/2026-06-07", "2026-06-12/2026-06-14"]);
        assert_eq!(told(date(2026, 6, 6)), ["2026-06-06/2026-06-07", "2026-06-12/2026-06-14"]);
        assert_eq!(told(date(2026, 6, 7)), ["2026-06-07/2026-06-07", "2026-06-12/2026-06-14"]);
        assert_eq!(told(date(2026, 6, 8)), ["2026-06-12/2026-06-14", "2026-06-19/2026-06-21"]);
    }
}
