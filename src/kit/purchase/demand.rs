//! Who wants what: classes of observers, telescopes, evenings, and how much each counts.

use crate::kit::{Question, ShelfTelescope};

/// One kind of evening: what of the club's things is out already.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Scene {
    /// Owned pieces, by position, that somebody else has.
    pub away: Vec<usize>,
}

/// One class of observers at one telescope on one kind of evening.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Want {
    /// The telescope, by position.
    pub telescope: usize,
    /// The question that these observers ask, by position.
    pub question: usize,
    /// The evening, by position.
    pub scene: usize,
    /// How much it counts.
    pub weight: u32,
}

/// Everything that is wanted.
#[derive(Debug, Clone, Copy)]
pub struct Demand<'a> {
    /// Telescopes as they are; what correctors make of them is tried in each.
    pub telescopes: &'a [ShelfTelescope],
    /// What is asked, one question for each class of observers.
    pub questions: &'a [Question],
    /// Kinds of evening.
    pub scenes: &'a [Scene],
    /// What is wanted; weights together below 2²⁴.
    pub wants: &'a [Want],
}
