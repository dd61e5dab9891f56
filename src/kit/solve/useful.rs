//! Pieces worth trying: those that no other one beats in every way.

use super::Solver;
use crate::kit::bench::Bench;
use crate::kit::dominance;
use crate::kit::shelf::Wanted;
use crate::optics::Barlow;

/// What is worth trying, as folded positions.
#[derive(Debug, Clone)]
pub(super) struct Useful {
    /// In the order of the shelf.
    pub(super) eyepieces: Vec<usize>,
    /// Like beside like, so that one search's prices suit the next.
    pub(super) barlows: Vec<usize>,
}

impl Solver<'_> {
    /// Pieces that no other one beats in every way, whatever the telescope.
    pub(super) fn useful(&self, wanted: Wanted, banned: Option<usize>) -> Useful {
        Useful {
            eyepieces: self.useful_eyepieces(banned),
            barlows: if wanted.barlow { self.useful_barlows() } else { Vec::new() },
        }
    }

    /// Eyepieces that no other one of the same focal length beats in every way.
    fn useful_eyepieces(&self, banned: Option<usize>) -> Vec<usize> {
        let spec = |at: usize| &self.shelf.eyepieces[self.eyepieces[at].first];
        let length = |at: usize| spec(at).focal_length().mm();
        let mut order: Vec<usize> =
            (0..self.eyepieces.len()).filter(|at| Some(*at) != banned).collect();
        order.sort_by(|a, b| length(*a).total_cmp(&length(*b)).then(a.cmp(b)));
        let mut useful = Vec::new();
        for same in order.chunk_by(|a, b| length(*a).total_cmp(&length(*b)).is_eq()) {
            useful.extend(same.iter().copied().filter(|&at| {
                !same.iter().any(|&other| {
                    (self.eyepieces[other].burden, other) < (self.eyepieces[at].burden, at)
                        && dominance::never_worse(spec(other), spec(at))
                })
            }));
        }
        useful.sort_unstable();
        useful
    }

    pub(super) fn barlow_spec(&self, at: usize) -> &Barlow {
        &self.shelf.barlows[self.barlows[at].first]
    }

    /// Whether one Barlow is at most as much of a burden as another, and not the same.
    fn lighter(&self, one: usize, other: usize) -> bool {
        (self.barlows[one].burden, one) < (self.barlows[other].burden, other)
    }

    /// Barlows that no other one beats in every way.
    fn useful_barlows(&self) -> Vec<usize> {
        let mut useful: Vec<usize> = (0..self.barlows.len())
            .filter(|&at| {
                !(0..self.barlows.len()).any(|other| {
                    let (one, at_spec) = (self.barlow_spec(other), self.barlow_spec(at));
                    self.lighter(other, at) && dominance::never_worse_barlow(one, at_spec)
                })
            })
            .collect();
        useful.sort_by(|a, b| {
            let factor = |at: usize| self.barlow_spec(at).factor.times();
            let unknown = |at: usize| self.barlow_spec(at).barrel.is_none();
            let kinds = unknown(*a).cmp(&unknown(*b));
            factor(*a).total_cmp(&factor(*b)).then(kinds).then(a.cmp(b))
        });
        useful
    }

    /// Of the useful Barlows, those worth trying in this telescope: they go into its focuser, and
    /// where no balance limit is recorded, mass changes no verdict, so that the least burden of its
    /// kind is enough.
    pub(super) fn barlows_for(&self, bench: &Bench<'_>, useful: &Useful) -> Vec<usize> {
        let goes_in = |at: usize| match (self.barlow_spec(at).barrel, bench.telescope.focuser()) {
            (Some(own), Some(into)) => own.fits_into(into),
            _ => true,
        };
        let fitting: Vec<usize> =
            useful.barlows.iter().copied().filter(|at| goes_in(*at)).collect();
        if bench.telescope.balance_limit().is_some() {
            return fitting;
        }
        let kind = |at: usize| {
            let spec = self.barlow_spec(at);
            (spec.factor, spec.barrel)
        };
        let beaten =
            |at: usize| fitting.iter().any(|&one| kind(one) == kind(at) && self.lighter(one, at));
        fitting.iter().copied().filter(|at| !beaten(*at)).collect()
    }

    /// The Barlow that no member of a family beats: its widest barrel, its least mass and its least
    /// burden, were they found in one piece. A mass that is not known breaks no rule on balance.
    pub(super) fn ideal(&self, family: &[usize]) -> Option<(Barlow, i64)> {
        let mut ideal = *self.barlow_spec(*family.first()?);
        let mut burden = i64::MAX;
        for &at in family {
            let spec = self.barlow_spec(at);
            ideal.barrel = ideal.barrel.max(spec.barrel);
            ideal.mass = match (ideal.mass, spec.mass) {
                (Some(one), Some(other)) => Some(if other < one { other } else { one }),
                _ => None,
            };
            burden = burden.min(self.barlows[at].burden);
        }
        Some((ideal, burden))
    }

    /// Whether two Barlows do the same to every view, but for their barrels and masses.
    pub(super) fn related(&self, one: usize, other: usize) -> bool {
        let (one, other) = (self.barlow_spec(one), self.barlow_spec(other));
        one.factor == other.factor && one.barrel.is_some() == other.barrel.is_some()
    }
}
