//! What stands in the way of writing, remembered until a write goes through again.

use std::sync::{Arc, Mutex, PoisonError};

use super::fault::{Fault, told};

/// The last refusal of the disk, for whoever looks after the service. Clones share it.
#[derive(Clone, Debug, Default)]
pub(super) struct Trouble(Arc<Mutex<Option<String>>>);

impl Trouble {
    /// Notes what the disk refused; anything else is its writer's own business.
    pub(super) fn note(&self, error: &sqlx::Error) {
        let disk = [Fault::Busy, Fault::Full, Fault::ReadOnly, Fault::Disk, Fault::Corrupt];
        if Fault::of(error).is_some_and(|fault| disk.contains(&fault)) {
            self.set(Some(told(error)));
        }
    }

    /// A write went through.
    pub(super) fn over(&self) {
        self.set(None);
    }

    /// What it is, if anything.
    pub(super) fn now(&self) -> Option<String> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    fn set(&self, trouble: Option<String>) {
        *self.0.lock().unwrap_or_else(PoisonError::into_inner) = trouble;
    }
}
