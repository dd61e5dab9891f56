//! The best piece in place of another: what leaves the rest of a reservation worth the most.

use std::collections::HashSet;

use sqlx::SqliteConnection;

use super::club_shelf::ClubShelf;
use super::desk;
use super::pages::member_question;
use super::solution::Budget;
use crate::kit::{Question, Settings, Solver, Wanted};
use crate::lending::reading::Whole;
use crate::lending::rules_store::rules;
use crate::lending::{self, SunDays, filter_flaw, filter_made_for};
use crate::people::access::Account;
use crate::shelf::{
    self, AccessoryRecord, FilterKind, FilterRecord, ItemId, ItemState, Kind, Shelf,
};
use crate::store::Store;
use crate::web::clock::Clock;
use crate::web::format;
use crate::web::problem::Problem;

/// A piece that would do instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Replacement {
    /// Its number.
    pub id: i64,
    /// Its tag.
    pub tag: String,
    /// Its name.
    pub name: String,
    /// How the kit compares then; empty where that can't be said.
    pub says: String,
}

/// What is compared: the rest of the reservation, the piece itself and what is free.
struct Case {
    question: Question,
    days: SunDays,
    everything: Shelf,
    rest: HashSet<ItemId>,
    item: ItemId,
    candidates: Vec<ItemId>,
}

/// The best piece of the same kind that is free on a reservation's nights, for its borrower's eyes;
/// none where nothing free makes a kit with the rest. `taken` are not to be offered again.
///
/// # Errors
/// The database could not answer, or the borrower is not this account's to ask for.
pub async fn best(
    store: &Store,
    clock: &Clock,
    account: &Account,
    whole: &Whole,
    item: ItemId,
    taken: &[ItemId],
) -> Result<Option<Replacement>, Problem> {
    let whose = member_question(store, clock, account, whole.member.0, None).await?;
    let mut conn = store.reader().acquire().await?;
    let everything = shelf::shelf(&mut conn).await?;
    let free = lending::free_on(&mut conn, whole.nights).await?.ids();
    let busy: HashSet<ItemId> = lending::spoken_for_each(&mut conn, &free, whole.nights)
        .await?
        .into_iter()
        .filter(|(_, night)| whole.nights.contains(*night))
        .map(|(item, _)| item)
        .collect();
    let names = shelf::names(&mut conn, &free).await?;
    let Some(line) = whole.lines.iter().find(|line| line.item.id == item) else { return Ok(None) };
    let candidates: Vec<ItemId> = names
        .iter()
        .filter(|name| name.kind == line.item.kind && name.state == ItemState::InService)
        .map(|name| name.id)
        .filter(|id| !busy.contains(id) && !taken.contains(id))
        .collect();
    let candidates = alike(&mut conn, item, candidates).await?;
    let light_test_months = rules(&mut conn, whole.nights.first()).await?.light_test_months;
    drop(conn);
    let case = Case {
        question: whose.question,
        days: SunDays {
            today: clock.today(),
            last: whole.nights.last().morning(),
            light_test_months,
        },
        rest: whole.lines.iter().map(|line| line.item.id).filter(|id| *id != item).collect(),
        everything,
        item,
        candidates,
    };
    let kind = line.item.kind;
    let found = desk::search(move |budget, _| case.best(kind, &budget)).await?;
    Ok(found.and_then(|(id, says)| {
        let name = names.into_iter().find(|name| name.id == id)?;
        Some(Replacement { id: id.0, tag: name.tag.to_string(), name: name.name, says })
    }))
}

/// Of accessories only those of the same sort as the planned one.
async fn alike(
    conn: &mut SqliteConnection,
    item: ItemId,
    candidates: Vec<ItemId>,
) -> Result<Vec<ItemId>, Problem> {
    let Some(planned) = shelf::accessory(conn, item).await? else { return Ok(candidates) };
    let (kind, barrel) = (planned.figures.kind, planned.figures.barrel);
    let others = shelf::these_accessories(conn, &candidates).await?;
    let same = |one: &&AccessoryRecord| one.figures.kind == kind && one.figures.barrel == barrel;
    Ok(others.iter().filter(same).map(|one| one.id).collect())
}

impl Case {
    fn best(&self, kind: Kind, budget: &Budget<'_>) -> Option<(ItemId, String)> {
        let corrector = self.everything.correctors.iter().any(|one| one.id == self.item);
        if kind == Kind::Accessory && !corrector {
            return Some((*self.candidates.first()?, "It is of the same sort.".into()));
        }
        if kind == Kind::Filter {
            return self.same_filter();
        }
        let planned = self.worth(self.item, budget);
        let mut best: Option<(ItemId, f64)> = None;
        for candidate in &self.candidates {
            let Some(worth) = self.worth(*candidate, budget) else { continue };
            if best.is_none_or(|(_, highest)| worth > highest) {
                best = Some((*candidate, worth));
            }
        }
        let (id, worth) = best?;
        let says = match planned {
            Some(planned) if planned > 0.0 && worth >= 0.995 * planned => {
                "The kit is as good with it as it was planned.".to_owned()
            }
            Some(planned) if planned > 0.0 => {
                format!(
                    "The kit is worth {} of what was planned.",
                    format::per_cent(worth / planned)
                )
            }
            _ => String::new(),
        };
        Some((id, says))
    }

    /// What the rest is worth together with a piece; none where they make no kit. Without a
    /// telescope among them, the nearest in focal length, aperture or factor counts.
    fn worth(&self, piece: ItemId, budget: &Budget<'_>) -> Option<f64> {
        let mut shelf = self.everything.clone();
        shelf.retain(|id| id == piece || self.rest.contains(&id));
        if shelf.telescopes.is_empty() || shelf.eyepieces.is_empty() {
            return self.nearness(piece);
        }
        let shelf = ClubShelf::of(shelf, self.days);
        let settings = Settings::default();
        let solver = Solver::new(shelf.figures(), &self.question, &settings);
        let limit = shelf.telescopes.len();
        let wanted = Wanted { max_eyepieces: 8, barlow: true, limit };
        let answer = solver.solve(wanted, 1, budget.search);
        let sum: f64 = answer.kits.iter().map(|kit| kit.value).sum();
        (!answer.kits.is_empty()).then_some(sum)
    }

    /// How near a piece is to the planned one: 1 for the same figure, less the further it is.
    fn nearness(&self, piece: ItemId) -> Option<f64> {
        let (planned, other) = (self.figure(self.item)?, self.figure(piece)?);
        Some(1.0 / (1.0 + (planned / other).ln().abs()))
    }

    fn figure(&self, id: ItemId) -> Option<f64> {
        let all = &self.everything;
        let eyepiece = all.eyepieces.iter().find(|item| item.id == id);
        let telescope = all.telescopes.iter().find(|item| item.id == id);
        let barlow = all.barlows.iter().find(|item| item.id == id);
        eyepiece
            .map(|item| item.figures.focal_length().mm())
            .or_else(|| telescope.map(|item| item.figures.optics.aperture().mm()))
            .or_else(|| barlow.map(|item| item.figures.factor.times()))
    }

    /// A filter of the same sort that goes where the planned one went; for the Sun, one that is
    /// sound for a telescope that the planned one was for.
    fn same_filter(&self) -> Option<(ItemId, String)> {
        let find = |id: ItemId| self.everything.filters.iter().find(|item| item.id == id);
        let planned = find(self.item)?;
        let solar = planned.figures.kind == FilterKind::SolarFullAperture;
        let fits = |id: &&ItemId| {
            find(**id).is_some_and(|other| {
                other.figures.kind == planned.figures.kind
                    && other.figures.barrel == planned.figures.barrel
                    && !other.figures.damaged
                    && (!solar || self.sound_instead(planned, other))
            })
        };
        let id = *self.candidates.iter().find(fits)?;
        Some((id, "It fits where the other one did.".into()))
    }

    fn sound_instead(&self, planned: &FilterRecord, other: &FilterRecord) -> bool {
        let telescopes = self.everything.telescopes.iter();
        let mut along = telescopes.filter(|one| self.rest.contains(&one.id));
        along.any(|one| {
            filter_made_for(planned, one)
                && filter_made_for(other, one)
                && filter_flaw(other, one, self.days).is_none()
        })
    }
}
