//! What past weekends tell: what is out on a usual one, and what is hard to get.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use jiff::ToSpan as _;
use jiff::civil::{Date, Weekday};
use sqlx::SqliteConnection;

use super::facts::{FactsError, Named};
use crate::kit::purchase::Scene;
use crate::lending::wait_list::{Wanted, places};
use crate::lending::{self, Night, Nights};
use crate::shelf::ItemId;

/// How many past weekends are looked at.
const WEEKENDS: i32 = 26;

/// What is out on one weekend of so many is hard to get (`common practice, no source`).
const HARD: usize = 3;

/// The most pieces that are named as hard to get.
const NAMED: usize = 12;

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

/// What was out on one weekend.
#[derive(Debug, Clone, Default)]
pub(super) struct Weekend {
    /// Items, by number.
    items: BTreeSet<ItemId>,
    /// Glass, by position.
    owned: Vec<usize>,
    /// Telescopes, by position.
    telescopes: BTreeSet<usize>,
}

/// What was spoken for on each of the last Saturdays. In a club that lent nothing before them they
/// begin with the first loan: what lies before it says nothing of a usual weekend.
pub(super) async fn weekends_out(
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
    let mut by_night: BTreeMap<Date, BTreeSet<ItemId>> = BTreeMap::new();
    for (item, night) in lending::taken_by_item(conn, &all, nights).await? {
        by_night.entry(night.evening()).or_default().insert(item);
    }
    let there = |of: &[ItemId], items: &BTreeSet<ItemId>| -> Vec<usize> {
        of.iter().enumerate().filter(|(_, id)| items.contains(id)).map(|(at, _)| at).collect()
    };
    let begun = if lending::has_lent_before(conn, from).await? {
        first
    } else {
        let Some(begun) = by_night.keys().next().copied() else { return Ok(Vec::new()) };
        begun
    };
    let mut weekends = Vec::new();
    for back in (0..WEEKENDS).rev() {
        let saturday = last.saturating_sub((7 * back).days());
        if saturday < begun {
            continue;
        }
        let items = by_night.get(&saturday).cloned().unwrap_or_default();
        weekends.push(Weekend {
            owned: there(owned, &items),
            telescopes: there(telescopes, &items).into_iter().collect(),
            items,
        });
    }
    Ok(weekends)
}

/// Three kinds of evening: the middle of each third of the weekends by how much was out; the same
/// one only once.
pub(super) fn evenings(weekends: &[Weekend]) -> Vec<Evening> {
    let mut order: Vec<&Weekend> = weekends.iter().collect();
    order.sort_by_key(|weekend| weekend.owned.len());
    let mut evenings: Vec<Evening> = Vec::new();
    for third in [1, 3, 5] {
        let Some(weekend) = order.get(order.len() * third / 6) else { continue };
        let scene = Scene { away: weekend.owned.clone() };
        let says = match scene.away.len() {
            0 => "everything in store".to_owned(),
            1 => "one piece of glass out".to_owned(),
            many => format!("{many} pieces of glass out"),
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

/// Pieces that are often out, or waited for, the hardest to get first.
pub(super) async fn busy(
    conn: &mut SqliteConnection,
    weekends: &[Weekend],
    all: &[(ItemId, &Named)],
) -> Result<Vec<Busy>, FactsError> {
    let mut waiting: HashMap<ItemId, usize> = HashMap::new();
    for wait in places(conn).await? {
        if let Wanted::Pieces(items) = wait.wanted {
            for item in items {
                *waiting.entry(item).or_default() += 1;
            }
        }
    }
    let mut busy: Vec<Busy> = all
        .iter()
        .map(|(item, named)| Busy {
            piece: (*named).clone(),
            weekends: weekends.iter().filter(|weekend| weekend.items.contains(item)).count(),
            waiting: waiting.get(item).copied().unwrap_or(0),
        })
        .filter(|one| {
            let often = one.weekends > 1 && one.weekends * HARD >= weekends.len();
            often || one.waiting > 0
        })
        .collect();
    busy.sort_by_key(|one| std::cmp::Reverse((one.weekends + HARD * one.waiting, one.weekends)));
    busy.truncate(NAMED);
    Ok(busy)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn weekend(owned: &[usize]) -> Weekend {
        Weekend { owned: owned.to_vec(), ..Weekend::default() }
    }

    #[test]
    fn each_third_of_the_weekends_has_its_evening_and_like_ones_are_one() {
        let quiet = vec![weekend(&[]); 6];
        let evenings = |weekends: &[Weekend]| -> Vec<(usize, u32)> {
            super::evenings(weekends).iter().map(|one| (one.scene.away.len(), one.thirds)).collect()
        };
        assert_eq!(evenings(&[]), [(0, 1)]);
        assert_eq!(evenings(&quiet), [(0, 3)]);
        let busy = [weekend(&[0, 1, 2]), weekend(&[4]), weekend(&[])];
        assert_eq!(evenings(&busy), [(0, 1), (1, 1), (3, 1)]);
        assert_eq!(super::evenings(&busy)[2].says, "3 pieces of glass out");
    }
}
