//! What is remembered of a row: the value of its best kit in each state met so far.

use std::collections::HashMap;

/// Values by state.
#[derive(Debug, Clone, Default)]
pub(super) struct Memo {
    values: HashMap<Key, i64>,
}

/// The part of a state on which a row depends. Few lots are taken in most states, and nearly all
/// in the others, so a key names those that are off the nearer end: some bytes instead of hundreds.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(super) struct Key(Box<[u16]>);

impl Memo {
    /// The key of a state for a row that depends on these positions.
    pub(super) fn key(depends: &[u32], taken: &[u8]) -> Key {
        let counts = depends.iter().map(|at| u16::from(taken[*at as usize]));
        // The count that most positions have is left out and stands in front.
        let (mut none, mut one) = (0_usize, 0_usize);
        for count in counts.clone() {
            none += usize::from(count == 0);
            one += usize::from(count == 1);
        }
        let usual = u16::from(one > none);
        let mut key = Vec::with_capacity(1 + 2 * (depends.len() - none.max(one)));
        key.push(usual);
        for (place, count) in counts.enumerate() {
            if count != usual {
                key.extend([place as u16, count]);
            }
        }
        Key(key.into_boxed_slice())
    }

    pub(super) fn get(&self, key: &Key) -> Option<i64> {
        self.values.get(key).copied()
    }

    pub(super) fn insert(&mut self, key: Key, value: i64) {
        self.values.insert(key, value);
    }

    pub(super) fn len(&self) -> usize {
        self.values.len()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::HashSet;

    #[test]
    fn states_share_a_key_where_a_row_sees_no_difference_and_only_there() {
        // Every state of five positions with up to two lots, for a row that looks at three.
        let depends = [0, 2, 3];
        let mut states: Vec<Vec<u8>> = vec![Vec::new()];
        for _ in 0..5 {
            states = states
                .iter()
                .flat_map(|state| (0..3).map(|count| [state.as_slice(), &[count]].concat()))
                .collect();
        }
        let keys: HashSet<Key> = states.iter().map(|state| Memo::key(&depends, state)).collect();
        assert_eq!(keys.len(), 27);
        for state in &states {
            let other = [state[0], 2 - state[1], state[2], state[3], 1];
            assert_eq!(Memo::key(&depends, state), Memo::key(&depends, &other));
        }
    }
}
