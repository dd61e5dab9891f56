//! Which pieces suit an observer's eyes, by the judge that judges kits.

use std::collections::HashSet;

use sqlx::SqliteConnection;

use super::item::ItemId;
use super::store::{self, ShelfError};
use crate::kit::{Bench, Question, Settings, SunFilter, Verdict};
use crate::optics::{Eyepiece, Telescope};

/// Whose eyes pieces must suit, and in which telescopes.
#[derive(Debug, Clone)]
pub struct Eyes {
    question: Question,
    telescopes: Vec<Telescope>,
    eyepieces: Vec<Eyepiece>,
}

impl Eyes {
    /// These eyes at this telescope, or at any that is in service.
    ///
    /// # Errors
    /// The database could not answer, or a row makes no sense.
    pub async fn at(
        conn: &mut SqliteConnection,
        question: Question,
        telescope: Option<ItemId>,
    ) -> Result<Self, ShelfError> {
        let telescopes = match telescope {
            Some(id) => store::these_telescopes(conn, &[id]).await?,
            None => store::telescopes_in_service(conn).await?,
        };
        let eyepieces = store::eyepieces_in_service(conn).await?;
        let mut telescopes: Vec<Telescope> =
            telescopes.iter().map(|item| item.figures.optics).collect();
        telescopes.sort_unstable();
        telescopes.dedup();
        let mut glass: Vec<Eyepiece> = Vec::new();
        let mut known = HashSet::new();
        for item in eyepieces {
            if known.insert(item.figures.fold_key()) {
                glass.push(item.figures);
            }
        }
        Ok(Self { question, telescopes, eyepieces: glass })
    }

    /// Those of these pieces that suit: an eyepiece that a rule forbids in none of the telescopes
    /// that come into question, a telescope in which some eyepiece may be used. Other kinds have
    /// nothing to do with eyes.
    ///
    /// # Errors
    /// The database could not answer, or a row makes no sense.
    pub async fn suits(
        &self,
        conn: &mut SqliteConnection,
        items: &[ItemId],
    ) -> Result<HashSet<ItemId>, ShelfError> {
        let settings = Settings::default();
        let usable = |telescope: &Telescope, eyepiece: &Eyepiece| {
            // Of the Sun nobody asks here.
            let bench = Bench::new(telescope, SunFilter::Missing, &self.question, &settings);
            bench.assess(eyepiece, None).verdict() != Verdict::Unsuitable
        };
        let mut kept: HashSet<ItemId> = items.iter().copied().collect();
        for item in store::these_eyepieces(conn, items).await? {
            if !self.telescopes.iter().any(|one| usable(one, &item.figures)) {
                kept.remove(&item.id);
            }
        }
        for item in store::these_telescopes(conn, items).await? {
            if !self.eyepieces.iter().any(|one| usable(&item.figures.optics, one)) {
                kept.remove(&item.id);
            }
        }
        Ok(kept)
    }
}
