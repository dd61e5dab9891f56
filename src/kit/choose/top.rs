//! The best few of many.

use super::MAX_SLOTS;

/// The `slots` largest earnings, kept sorted from large to small.
pub(super) struct Top {
    earn: [i64; MAX_SLOTS],
    who: [u32; MAX_SLOTS],
    len: usize,
    room: usize,
}

impl Top {
    pub(super) fn new(room: usize) -> Self {
        Self { earn: [0; MAX_SLOTS], who: [0; MAX_SLOTS], len: 0, room }
    }

    /// The smallest earning a newcomer replaces: zero while there is room.
    #[inline]
    pub(super) fn bar(&self) -> i64 {
        if self.len < self.room { 0 } else { self.earn[self.room - 1] }
    }

    #[inline]
    pub(super) fn offer(&mut self, earn: i64, who: u32) {
        if earn <= self.bar() {
            return;
        }
        let mut at = if self.len < self.room { self.len } else { self.room - 1 };
        while at > 0 && self.earn[at - 1] < earn {
            self.earn[at] = self.earn[at - 1];
            self.who[at] = self.who[at - 1];
            at -= 1;
        }
        self.earn[at] = earn;
        self.who[at] = who;
        if self.len < self.room {
            self.len += 1;
        }
    }

    #[inline]
    pub(super) fn sum(&self) -> i64 {
        self.earn[..self.len].iter().sum()
    }

    pub(super) fn members(&self) -> &[u32] {
        &self.who[..self.len]
    }
}
