//! What pieces cost a kit, and identical pieces folded into one.

use std::collections::HashMap;

use super::Solver;
use crate::kit::choose::burden;
use crate::kit::shelf::Fitted;
use crate::kit::worth::VALUE_UNIT;
use crate::optics::{Barlow, Eyepiece, Mass};

/// Carrying one more piece, in units of 2⁻³⁰: 0.004.
pub(crate) const CARRY: i32 = 4_294_967;

/// What the absence of the only copy takes from others, in units of 2⁻³⁰: 0.002.
const SCARCE: i32 = 2_147_484;

/// What each piece on the shelf costs a kit, by position.
#[derive(Debug, Clone, PartialEq)]
pub struct Costs {
    /// Telescopes, each with the corrector in it.
    pub telescopes: Vec<f64>,
    /// Eyepieces.
    pub eyepieces: Vec<f64>,
    /// Barlows.
    pub barlows: Vec<f64>,
}

fn spread<K: std::hash::Hash + Eq + Clone>(
    keys: impl Iterator<Item = K>,
    into: &mut [f64],
    cost: impl Fn(usize) -> i32,
) {
    let keys: Vec<K> = keys.collect();
    let mut copies: HashMap<K, usize> = HashMap::new();
    for key in &keys {
        *copies.entry(key.clone()).or_default() += 1;
    }
    for (key, into) in keys.iter().zip(into) {
        *into = f64::from(cost(copies.get(key).copied().unwrap_or(1))) * VALUE_UNIT;
    }
}

impl Solver<'_> {
    /// What each piece costs: telescopes, eyepieces, Barlows, by position on the shelf.
    #[must_use]
    pub fn costs(&self) -> Costs {
        let mut costs = Costs {
            telescopes: vec![0.0; self.shelf.telescopes.len()],
            eyepieces: vec![0.0; self.shelf.eyepieces.len()],
            barlows: vec![0.0; self.shelf.barlows.len()],
        };
        let keys = self
            .shelf
            .telescopes
            .iter()
            .enumerate()
            .map(|(at, one)| (at < self.own.telescopes, one.fold_key()));
        spread(keys, &mut costs.telescopes, scarcity);
        // The cost of carrying stays; of what nobody misses there is no other.
        costs.telescopes.iter_mut().take(self.own.telescopes).for_each(|cost| *cost = 0.0);
        let carried = |copies| CARRY + scarcity(copies);
        for (cost, one) in costs.telescopes.iter_mut().zip(self.shelf.telescopes) {
            *cost +=
                one.fitted.map_or(0.0, |fitted| f64::from(carried(fitted.copies)) * VALUE_UNIT);
        }
        spread(self.shelf.eyepieces.iter().map(Eyepiece::fold_key), &mut costs.eyepieces, carried);
        let own = f64::from(CARRY) * VALUE_UNIT;
        costs.eyepieces.iter_mut().take(self.own.eyepieces).for_each(|cost| *cost = own);
        spread(self.shelf.barlows.iter().map(Barlow::fold_key), &mut costs.barlows, carried);
        costs.barlows.iter_mut().take(self.own.barlows).for_each(|cost| *cost = own);
        costs
    }
}

/// A group of identical pieces.
#[derive(Debug, Clone, Copy)]
pub(super) struct Piece {
    /// Position of the first of them.
    pub(super) first: usize,
    /// How many there are.
    pub(super) copies: usize,
    /// What one costs, with the tie-break.
    pub(super) burden: i64,
}

pub(super) fn fold<K: std::hash::Hash + Eq>(keys: impl Iterator<Item = K>) -> Vec<(usize, usize)> {
    let mut seen: HashMap<K, usize> = HashMap::new();
    let mut groups: Vec<(usize, usize)> = Vec::new();
    for (at, key) in keys.enumerate() {
        match seen.entry(key) {
            std::collections::hash_map::Entry::Occupied(group) => groups[*group.get()].1 += 1,
            std::collections::hash_map::Entry::Vacant(place) => {
                place.insert(groups.len());
                groups.push((at, 1));
            }
        }
    }
    groups
}

/// What others miss while one of so many copies is out, in units of 2⁻³⁰.
pub(crate) fn scarcity(copies: usize) -> i32 {
    SCARCE / i32::try_from(copies).unwrap_or(i32::MAX).max(1)
}

/// What a corrector in a telescope burdens: a piece like any other.
pub(super) fn fitted_burden(fitted: &Fitted) -> i64 {
    burden(CARRY + scarcity(fitted.copies), tie_mass(fitted.mass.map(Mass::g)))
}

fn tie_mass(mass_g: Option<f64>) -> u32 {
    mass_g.map_or(UNKNOWN_MASS_G, |mass| mass.round() as u32)
}

/// Masses that nobody recorded count as heavy in a tie.
const UNKNOWN_MASS_G: u32 = 65_535;

pub(super) fn pieces(
    groups: Vec<(usize, usize)>,
    mass_g: impl Fn(usize) -> Option<f64>,
) -> Vec<Piece> {
    groups
        .into_iter()
        .map(|(first, copies)| {
            let mass = tie_mass(mass_g(first));
            Piece { first, copies, burden: burden(CARRY + scarcity(copies), mass) }
        })
        .collect()
}
