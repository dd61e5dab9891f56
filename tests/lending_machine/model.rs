//! The simple model of a calendar, a book of who has what and a table of allowed steps.

use std::collections::{BTreeMap, BTreeSet};

use borrowed_light::lending::machine::{EventKind, Hat};

/// Even numbers without a pattern; the same ones on every run. Constants of Knuth's MMIX
/// generator, from memory.
pub struct Dice(pub u64);

impl Dice {
    pub fn below(&mut self, sides: usize) -> usize {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % sides
    }

    pub fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[self.below(from.len())]
    }
}

/// What the model knows of one reservation.
#[derive(Clone)]
pub struct Simple {
    pub state: &'static str,
    pub lines: BTreeMap<i64, &'static str>,
    pub first: i32,
    pub last: i32,
    /// Not fetched, or cancelled by its owner when the first night had come.
    pub let_down: bool,
}

#[derive(Default)]
pub struct Model {
    pub reservations: BTreeMap<i64, Simple>,
    /// Who keeps an item on a night.
    pub calendar: BTreeMap<(i64, i32), i64>,
    /// In whose hands an item is.
    pub hands: BTreeMap<i64, i64>,
    pub idle: BTreeSet<i64>,
}

impl Model {
    pub fn free(&self, items: &[i64], first: i32, last: i32, own: i64) -> bool {
        items.iter().all(|item| {
            (first..=last)
                .all(|night| self.calendar.get(&(*item, night)).is_none_or(|holder| *holder == own))
        })
    }

    pub fn forget(&mut self, id: i64, items: &[i64], from: i32) {
        self.calendar.retain(|(item, night), holder| {
            *holder != id || !items.contains(item) || *night < from
        });
    }

    pub fn keep(&mut self, id: i64, items: &[i64], first: i32, last: i32) {
        for item in items {
            for night in first..=last {
                assert_eq!(self.calendar.insert((*item, night), id), None, "a double promise");
            }
        }
    }
}

/// The table of steps, written down a second time and apart from the first.
pub fn allowed(kind: EventKind, state: &str, hat: Hat) -> bool {
    use EventKind as K;
    let owner = matches!(hat, Hat::Owner);
    let desk = matches!(hat, Hat::Quartermaster);
    match kind {
        K::Approve | K::Decline => desk && state == "requested",
        K::Expire => hat == Hat::Timer && state == "requested",
        K::Change => {
            (owner || desk) && matches!(state, "requested" | "confirmed")
                || desk && state == "ready"
        }
        K::Cancel => (owner || desk) && matches!(state, "requested" | "confirmed" | "ready"),
        K::Prepare => desk && state == "confirmed",
        K::HandOver => desk && matches!(state, "confirmed" | "ready"),
        K::NoShow => (desk || hat == Hat::Timer) && matches!(state, "confirmed" | "ready"),
        K::Extend | K::Missing => (owner || desk) && state == "out",
        K::Return => desk && state == "out",
        _ => false,
    }
}
