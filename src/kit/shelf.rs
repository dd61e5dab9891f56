//! What may be chosen from, and what an answer is.

use super::rules::SunFilter;
use crate::optics::{Barlow, Eyepiece, Mass, Telescope};

/// A telescope on the shelf; with a corrector in it, it stands there once more.
#[derive(Debug, Clone, PartialEq)]
pub struct ShelfTelescope {
    /// Its optics, those of the corrector included.
    pub spec: Telescope,
    /// Whether a verified solar filter goes with it.
    pub sun_filter: SunFilter,
    /// The corrector in it.
    pub fitted: Option<Fitted>,
}

/// A corrector in a telescope: one more piece to carry, which others may miss.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fitted {
    /// Position of the same telescope without it; an answer has one kit for both.
    pub telescope: usize,
    /// How many such correctors there are.
    pub copies: usize,
    /// The corrector's mass, when known.
    pub mass: Option<Mass>,
}

/// Two telescopes of the same key are told apart by no rule and no cost.
pub(super) type FoldKey = (Telescope, SunFilter, Option<(usize, Option<Mass>)>);

impl ShelfTelescope {
    /// A telescope as it is.
    #[must_use]
    pub fn plain(spec: Telescope, sun_filter: SunFilter) -> Self {
        Self { spec, sun_filter, fitted: None }
    }

    pub(super) fn fold_key(&self) -> FoldKey {
        let fitted = self.fitted.map(|fitted| (fitted.copies, fitted.mass));
        (self.spec.fold_key(), self.sun_filter, fitted)
    }
}

/// What may be chosen from. Ties go to the piece that stands earlier, so pass pieces in the order
/// of their ids.
#[derive(Debug, Clone, Copy)]
pub struct Shelf<'a> {
    /// Telescopes.
    pub telescopes: &'a [ShelfTelescope],
    /// Eyepieces.
    pub eyepieces: &'a [Eyepiece],
    /// Barlows.
    pub barlows: &'a [Barlow],
}

/// How many pieces at the front of the shelf are the observer's own: carrying one is felt as any
/// piece is, but nobody else misses it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Own {
    /// The first so many telescopes. A corrector fitted in one is told by its copies.
    pub telescopes: usize,
    /// The first so many eyepieces.
    pub eyepieces: usize,
    /// The first so many Barlows.
    pub barlows: usize,
}

/// How large a kit may be and how many are wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Wanted {
    /// Most eyepieces in a kit, 1 to 8.
    pub max_eyepieces: usize,
    /// Whether a Barlow may be in a kit.
    pub barlow: bool,
    /// How many telescopes' kits to answer with, at most.
    pub limit: usize,
}

/// One telescope with its best eyepieces.
#[derive(Debug, Clone, PartialEq)]
pub struct Kit {
    /// Position in [`Shelf::telescopes`].
    pub telescope: usize,
    /// Positions in [`Shelf::eyepieces`], ascending.
    pub eyepieces: Vec<usize>,
    /// Position in [`Shelf::barlows`].
    pub barlow: Option<usize>,
    /// Worth to all purposes less the pieces' costs.
    pub value: f64,
}

/// How much of the answer is proven.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Proof {
    /// No kit on the shelf is better.
    Optimal,
    /// The budget ended first; no kit is better by more than this.
    BudgetSpent {
        /// The largest possible improvement on the best kit.
        gap: f64,
    },
}

/// The answer: the best kit per telescope, best first.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// At most [`Wanted::limit`] kits.
    pub kits: Vec<Kit>,
    /// Whether they are proven.
    pub proof: Proof,
}
