//! Columns and options that can never matter to a want are dropped before the search.
//!
//! With prices `λ` for the purposes and `μ` for a place in the kit, no kit is worth more than
//! `offset + Σλ + slots·μ + Σ (earned above λ − cost − μ)⁺` over what is there. A column that is
//! forced into the kit changes this sum by what it earns less; where the sum then stays below what
//! the want has anyway, the column is in no best kit, whatever is bought (reduced-cost fixing, as
//! in [`crate::kit::choose`]).

use super::bound::{Level, Pricing};
use super::memo::Memo;
use super::rows::{Row, Rows};
use super::value::Scratch;
use crate::kit::choose::{Prices, above};

/// Steps on the prices of one option with everything there.
const STEPS: usize = 40;

impl Rows {
    /// Drops what never matters. Answers with the want's value where nothing for sale changes it.
    pub(super) fn fix(&self, row: &mut Row) -> Option<i64> {
        let most = self.stock.most();
        let mut scratch = Scratch::default();
        let floor = self.row_value(row, &self.lowest, &mut scratch);
        let mut pricing = Pricing::default();
        let mut options = std::mem::take(&mut row.options);
        let mut highest = floor;
        let mut last = Prices::none();
        options.retain_mut(|option| {
            // What an option is worth with everything there, it is never worth more.
            let mut known = last;
            let all = self.option_value(row, option, &most, floor, &mut known, &mut scratch);
            let Some(value) = all else { return false };
            highest = highest.max(value);
            last = known;
            option.prices = known.worths();
            let level = Level { taken: &most, share: None, target: value };
            let bound = self.lower(row, option, &level, STEPS, &mut pricing);
            let prices = option.prices;
            option.columns.retain(|column| {
                let copies = self.copies(row.scene, column.group(), &most);
                let cost = super::rows::piece_cost(copies, self.terms.shared);
                let earned = i64::from(above(&column.worths, &prices)) - i64::from(cost);
                bound.value + (earned - bound.place).min(0) >= floor
            });
            option.columns.shrink_to_fit();
            true
        });
        options.shrink_to_fit();
        row.options = options;
        if self.lowest == self.stock.least() {
            row.floor = floor;
        }
        row.depends = (0..self.stock.open.len() as u32)
            .filter(|at| {
                let group = self.stock.open[*at as usize];
                row.options.iter().any(|option| {
                    option.fitted().any(|fitted| fitted == group)
                        || option.columns.iter().any(|column| column.group() == group)
                })
            })
            .collect();
        if row.depends.is_empty() {
            return Some(floor);
        }
        let nothing = self.stock.least();
        let least = self.row_value(row, &nothing, &mut scratch);
        if highest == least {
            return Some(least);
        }
        // Both ends are known from the start.
        row.memo.insert(Memo::key(&row.depends, &nothing), least);
        row.memo.insert(Memo::key(&row.depends, &most), highest);
        None
    }
}
