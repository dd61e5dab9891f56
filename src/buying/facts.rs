//! Everything a report is computed from, read in one go.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use jiff::ToSpan as _;
use jiff::civil::{Date, Weekday};
use sqlx::SqliteConnection;

use super::candidate_store::{BuyingError, candidates, sales};
use super::classes::{Class, fold};
use crate::eye::Observer;
use crate::kit::purchase::{Glassware, Offer, Sale, Scene, Want};
use crate::kit::{ShelfTelescope, SunFilter};
use crate::lending::of_piece::use_of_all;
use crate::lending::wait_list::{Wanted, places};
use crate::lending::{self, LendingError, Night, Nights};
use crate::people::{self, MemberId, MemberState, PeopleError};
use crate::shelf::{self, Facts as ItemFacts, ItemId, ShelfError};
use crate::store::{Store, StoreError};
use crate::web::clock::Clock;
use crate::web::secret::{hash, hex};

/// How many past weekends tell what is out on a usual one.
const WEEKENDS: i32 = 26;

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

/// How often a piece was out, and who waits for it.
#[derive(Debug, Clone, PartialEq)]
pub struct Busy {
    /// Which.
    pub piece: Named,
    /// On how many of the weekends looked at it was spoken for.
    pub weekends: usize,
    /// How many wait for it.
    pub waiting: usize,
}

/// A kind of evening.
#[derive(Debug, Clone, PartialEq)]
pub struct Evening {
    /// In words.
    pub says: String,
    /// What is out.
    pub scene: Scene,
    /// Telescopes, by position, that are out too.
    pub telescopes_out: BTreeSet<usize>,
    /// For how many thirds of the weekends it stands.
    pub thirds: u32,
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
    /// Eyepieces and Barlows in service.
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
    /// A mark that differs where anything does.
    #[must_use]
    pub fn mark(&self) -> String {
        hex(&hash(&format!("{self:?}")))
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
    telescopes.sort_by_key(|item| item.id.0);
    eyepieces.sort_by_key(|item| item.id.0);
    barlows.sort_by_key(|item| item.id.0);
    let owned: Vec<(ItemId, Named, Glassware)> = eyepieces
        .iter()
        .map(|item| (item.id, Named::of(&item.facts), Glassware::Eyepiece(item.figures)))
        .chain(
            barlows
                .iter()
                .map(|item| (item.id, Named::of(&item.facts), Glassware::Barlow(item.figures))),
        )
        .collect();
    let telescope_ids: Vec<ItemId> = telescopes.iter().map(|item| item.id).collect();
    let owned_ids: Vec<ItemId> = owned.iter().map(|one| one.0).collect();
    let place: HashMap<ItemId, usize> =
        owned_ids.iter().enumerate().map(|(at, id)| (*id, at)).collect();

    let weekends = weekends_out(conn, clock.today(), &telescope_ids, &owned_ids).await?;
    let mut busy = busy(conn, &weekends, &owned, &place).await?;
    busy.truncate(12);
    let evenings = evenings(&weekends);
    let used: HashMap<ItemId, i64> = use_of_all(conn, clock.seconds())
        .await?
        .into_iter()
        .map(|one| (one.item, one.nights))
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
        telescope_names: telescopes.iter().map(|item| Named::of(&item.facts)).collect(),
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

/// What was out on one weekend, by position.
struct Weekend {
    owned: Vec<usize>,
    telescopes: BTreeSet<usize>,
}

/// What was spoken for on each of the last Saturdays.
async fn weekends_out(
    conn: &mut SqliteConnection,
    today: Date,
    telescopes: &[ItemId],
    owned: &[ItemId],
) -> Result<Vec<Weekend>, FactsError> {
    let back = today.weekday().since(Weekday::Saturday);
    let last = today.saturating_sub(i32::from(back).days());
    let first = last.saturating_sub((7 * (WEEKENDS - 1)).days());
    let (Ok(from), Ok(to)) = (Night::new(first), Night::new(last)) else { return Ok(Vec::new()) };
    let Ok(nights) = Nights::new(from, to) else { return Ok(Vec::new()) };
    let all: Vec<ItemId> = telescopes.iter().chain(owned).copied().collect();
    let mut by_night: BTreeMap<Night, Vec<ItemId>> = BTreeMap::new();
    for (item, night) in lending::taken_by_item(conn, &all, nights).await? {
        if night.evening().weekday() == Weekday::Saturday {
            by_night.entry(night).or_default().push(item);
        }
    }
    let at = |of: &[ItemId], id: &ItemId| of.iter().position(|one| one == id);
    let mut weekends: Vec<Weekend> = by_night
        .into_values()
        .map(|items| Weekend {
            owned: items.iter().filter_map(|id| at(owned, id)).collect(),
            telescopes: items.iter().filter_map(|id| at(telescopes, id)).collect(),
        })
        .collect();
    while weekends.len() < WEEKENDS.unsigned_abs() as usize {
        weekends.push(Weekend { owned: Vec::new(), telescopes: BTreeSet::new() });
    }
    Ok(weekends)
}

/// Three kinds of evening: the middle of each third of the weekends by how much was out; the same
/// one only once.
fn evenings(weekends: &[Weekend]) -> Vec<Evening> {
    let mut order: Vec<&Weekend> = weekends.iter().collect();
    order.sort_by_key(|weekend| weekend.owned.len());
    let mut evenings: Vec<Evening> = Vec::new();
    for third in [1, 3, 5] {
        let Some(weekend) = order.get(order.len() * third / 6) else { continue };
        let mut away = weekend.owned.clone();
        away.sort_unstable();
        let scene = Scene { away };
        let says = match scene.away.len() {
            0 => "everything in store".to_owned(),
            1 => "one eyepiece or Barlow out".to_owned(),
            many => format!("{many} eyepieces and Barlows out"),
        };
        let telescopes_out = weekend.telescopes.clone();
        let alike =
            |known: &&mut Evening| known.scene == scene && known.telescopes_out == telescopes_out;
        match evenings.iter_mut().find(alike) {
            Some(known) => known.thirds += 1,
            None => evenings.push(Evening { says, scene, telescopes_out, thirds: 1 }),
        }
    }
    if evenings.is_empty() {
        evenings.push(Evening {
            says: "everything in store".into(),
            scene: Scene::default(),
            telescopes_out: BTreeSet::new(),
            thirds: 1,
        });
    }
    evenings
}

/// Pieces that are out most, or waited for.
async fn busy(
    conn: &mut SqliteConnection,
    weekends: &[Weekend],
    owned: &[(ItemId, Named, Glassware)],
    place: &HashMap<ItemId, usize>,
) -> Result<Vec<Busy>, FactsError> {
    let mut waiting: HashMap<usize, usize> = HashMap::new();
    for wait in places(conn).await? {
        if let Wanted::Pieces(items) = wait.wanted {
            for at in items.iter().filter_map(|item| place.get(item)) {
                *waiting.entry(*at).or_default() += 1;
            }
        }
    }
    let mut busy: Vec<Busy> = owned
        .iter()
        .enumerate()
        .map(|(at, (_, named, _))| Busy {
            piece: named.clone(),
            weekends: weekends.iter().filter(|weekend| weekend.owned.contains(&at)).count(),
            waiting: waiting.get(&at).copied().unwrap_or(0),
        })
        .filter(|one| one.weekends >= 3 || one.waiting > 0)
        .collect();
    busy.sort_by_key(|one| std::cmp::Reverse((one.weekends + 3 * one.waiting, one.weekends)));
    Ok(busy)
}
