//! Everything a report is computed from, read in one go.

use std::collections::HashMap;

use jiff::civil::Date;
use sqlx::SqliteConnection;

use super::candidate_store::{BuyingError, candidates, sales};
use super::classes::{Class, fold};
use super::history::{self, Busy, Evening};
use crate::eye::Observer;
use crate::kit::purchase::{Glassware, Offer, Sale, Want};
use crate::kit::{ShelfTelescope, SunFilter};
use crate::lending::LendingError;
use crate::people::{self, MemberId, MemberState, PeopleError};
use crate::shelf::{self, Facts as ItemFacts, ItemId, ShelfError};
use crate::store::{Store, StoreError};
use crate::web::clock::Clock;
use crate::web::secret::{hash, hex};

/// Shares of telescopes in the demand add up to this.
const TELESCOPE_SHARES: i64 = 1000;

/// A piece by tag and name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Named {
    /// The tag on it.
    pub tag: String,
    /// Its name.
    pub name: String,
}

impl Named {
    fn of(facts: &ItemFacts) -> Self {
        Self { tag: facts.tag.to_string(), name: facts.name.to_string() }
    }
}

/// Something on offer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OnOffer {
    /// Its number on the list.
    pub id: i64,
    /// What the club calls it.
    pub name: String,
    /// "used", where that is said.
    pub condition: String,
    /// Its figures in words.
    pub figures: String,
}

/// Why the facts could not be read.
#[derive(Debug, thiserror::Error)]
pub enum FactsError {
    /// The list of candidates.
    #[error(transparent)]
    Buying(#[from] BuyingError),
    /// The shelf.
    #[error(transparent)]
    Shelf(#[from] ShelfError),
    /// The loans.
    #[error(transparent)]
    Lending(#[from] LendingError),
    /// The members.
    #[error(transparent)]
    People(#[from] PeopleError),
    /// The database.
    #[error("the database could not answer: {0}")]
    Database(#[from] sqlx::Error),
    /// The store.
    #[error(transparent)]
    Store(#[from] StoreError),
}

/// Everything a report is computed from.
#[derive(Debug, Clone, PartialEq)]
pub struct Facts {
    /// The day.
    pub today: Date,
    /// What may be spent, in hundredths.
    pub budget: u64,
    /// Telescopes in service.
    pub telescopes: Vec<ShelfTelescope>,
    /// Their names.
    pub telescope_names: Vec<Named>,
    /// How much each counts, out of [`TELESCOPE_SHARES`].
    pub telescope_weights: Vec<u32>,
    /// Eyepieces, Barlows and coma correctors in service.
    pub owned: Vec<Glassware>,
    /// Their names.
    pub owned_names: Vec<Named>,
    /// Members in classes.
    pub classes: Vec<Class>,
    /// Kinds of evening.
    pub evenings: Vec<Evening>,
    /// How many past weekends the evenings stand for.
    pub weekends: usize,
    /// What is for sale.
    pub offers: Vec<Offer>,
    /// Its names.
    pub offer_names: Vec<OnOffer>,
    /// What could be sold.
    pub sales: Vec<Sale>,
    /// Pieces that are out most or waited for, the most first.
    pub busy: Vec<Busy>,
}

impl Facts {
    /// A mark that differs where anything does but the day, which alone changes no answer.
    #[must_use]
    pub fn mark(&self) -> String {
        let undated = Self { today: Date::ZERO, ..self.clone() };
        hex(&hash(&format!("{undated:?}")))
    }

    /// How many members are counted.
    #[must_use]
    pub fn members(&self) -> usize {
        self.classes.iter().map(|class| class.members).sum()
    }

    /// What all classes want of all telescopes on all evenings.
    #[must_use]
    pub fn wants(&self) -> Vec<Want> {
        let mut wants = Vec::new();
        for (scene, evening) in self.evenings.iter().enumerate() {
            for telescope in 0..self.telescopes.len() {
                if evening.telescopes_out.contains(&telescope) {
                    continue;
                }
                for (question, class) in self.classes.iter().enumerate() {
                    let weight =
                        self.telescope_weights[telescope] * class.members as u32 * evening.thirds;
                    wants.push(Want { telescope, question, scene, weight });
                }
            }
        }
        wants
    }
}

/// Reads everything.
///
/// # Errors
/// The database could not answer.
pub async fn facts(store: &Store, clock: &Clock, budget: u64) -> Result<Facts, FactsError> {
    let mut tx = store.reader().begin().await?;
    let conn = &mut *tx;
    let mut telescopes = shelf::telescopes_in_service(conn).await?;
    let mut eyepieces = shelf::eyepieces_in_service(conn).await?;
    let mut barlows = shelf::barlows_in_service(conn).await?;
    let mut correctors = shelf::accessories_in_service(conn).await?;
    telescopes.sort_by_key(|item| item.id.0);
    eyepieces.sort_by_key(|item| item.id.0);
    barlows.sort_by_key(|item| item.id.0);
    correctors.sort_by_key(|item| item.id.0);
    let eyepieces = eyepieces
        .iter()
        .map(|item| (item.id, Named::of(&item.facts), Glassware::Eyepiece(item.figures)));
    let barlows = barlows
        .iter()
        .map(|item| (item.id, Named::of(&item.facts), Glassware::Barlow(item.figures)));
    let correctors = correctors.iter().filter_map(|item| {
        let corrector = item.figures.corrector()?;
        Some((item.id, Named::of(&item.facts), Glassware::Corrector(corrector)))
    });
    let owned: Vec<(ItemId, Named, Glassware)> =
        eyepieces.chain(barlows).chain(correctors).collect();
    let telescope_ids: Vec<ItemId> = telescopes.iter().map(|item| item.id).collect();
    let owned_ids: Vec<ItemId> = owned.iter().map(|one| one.0).collect();
    let place: HashMap<ItemId, usize> =
        owned_ids.iter().enumerate().map(|(at, id)| (*id, at)).collect();

    let weekends = history::weekends_out(conn, clock.today(), &telescope_ids, &owned_ids).await?;
    let telescope_names: Vec<Named> =
        telescopes.iter().map(|item| Named::of(&item.facts)).collect();
    let all: Vec<(ItemId, &Named)> = telescope_ids
        .iter()
        .copied()
        .zip(&telescope_names)
        .chain(owned.iter().map(|one| (one.0, &one.1)))
        .collect();
    let busy = history::busy(conn, &weekends, &all).await?;
    let evenings = history::evenings(&weekends);
    let used: HashMap<ItemId, i64> = shelf::all_used(conn, clock.seconds())
        .await?
        .into_iter()
        .map(|one| (one.item.id, one.used.nights))
        .collect();
    let observers = observers(conn, clock.today().year()).await?;
    let classes = fold(&observers);
    let kept = candidates(conn).await?;
    let offers = kept
        .iter()
        .map(|kept| Offer {
            glass: kept.candidate.glass,
            price: u32::try_from(kept.candidate.price.cents()).unwrap_or(u32::MAX),
            most: kept.candidate.most,
        })
        .collect();
    let offer_names = kept
        .iter()
        .map(|kept| OnOffer {
            id: kept.id,
            name: kept.candidate.name.to_string(),
            condition: kept.candidate.condition.map_or("", |one| one.as_str()).to_owned(),
            figures: kept.candidate.in_words(),
        })
        .collect();
    let sales = sales(conn)
        .await?
        .into_iter()
        .filter_map(|(item, price)| {
            let price = u32::try_from(price.cents()).ok()?;
            Some(Sale { owned: *place.get(&item)?, price })
        })
        .collect();
    Ok(Facts {
        today: clock.today(),
        budget,
        telescope_weights: telescope_weights(&telescope_ids, &used, observers.len()),
        telescopes: telescopes
            .iter()
            .map(|item| ShelfTelescope::plain(item.figures.optics, SunFilter::Missing))
            .collect(),
        telescope_names,
        owned: owned.iter().map(|one| one.2).collect(),
        owned_names: owned.into_iter().map(|one| one.1).collect(),
        classes,
        evenings,
        weekends: weekends.len(),
        offers,
        offer_names,
        sales,
        busy,
    })
}

/// Active members with their eyes.
///
/// # Errors
/// The database could not answer.
pub async fn observers(
    conn: &mut SqliteConnection,
    year: i16,
) -> Result<Vec<(MemberId, Observer)>, PeopleError> {
    let mut all = Vec::new();
    for member in people::members(conn).await? {
        if member.facts.state == MemberState::Active {
            let eyes = people::member_eye(conn, member.id).await?;
            all.push((member.id, eyes.observer(year)));
        }
    }
    Ok(all)
}

/// Each telescope's share of the demand: by the nights it was out, and a little for each.
fn telescope_weights(
    telescopes: &[ItemId],
    used: &HashMap<ItemId, i64>,
    members: usize,
) -> Vec<u32> {
    // All weights together stay below 2²⁴: see the demand of a purchase.
    let shares = TELESCOPE_SHARES.min((1 << 22) / i64::try_from(members.max(1)).unwrap_or(1));
    let nights = |id: &ItemId| 2 + used.get(id).copied().unwrap_or(0).max(0);
    let all: i64 = telescopes.iter().map(nights).sum();
    let share = |id: &ItemId| u32::try_from(nights(id) * shares / all.max(1)).unwrap_or(1).max(1);
    telescopes.iter().map(share).collect()
}
