//! The folder of copies that the service makes by itself: which are there, and how old.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use jiff::Timestamp;

/// The copy's file name for an instant: sorts by time, says so in UTC.
#[must_use]
pub fn stamp(instant: Timestamp) -> String {
    instant.strftime("%Y-%m-%dT%H%M%SZ").to_string()
}

/// Our own copies in a folder, oldest first; other files in it are somebody else's.
///
/// # Errors
/// The folder can't be read.
pub fn copies_in(folder: &Path) -> io::Result<Vec<(Timestamp, PathBuf)>> {
    let mut copies = Vec::new();
    for entry in std::fs::read_dir(folder)? {
        let path = entry?.path();
        let made = path
            .file_name()
            .and_then(|name| name.to_str())
            .and_then(|name| name.strip_prefix("club-")?.strip_suffix(".sqlite"))
            .and_then(|made| {
                Timestamp::strptime("%Y-%m-%dT%H%M%S%z", made.replace('Z', "+0000")).ok()
            });
        if let Some(made) = made {
            copies.push((made, path));
        }
    }
    copies.sort();
    Ok(copies)
}

/// Where the copies are, if any are made. Clones share it.
#[derive(Clone, Debug, Default)]
pub struct Copies(Option<Arc<Path>>);

impl Copies {
    /// In this folder.
    #[must_use]
    pub fn in_folder(folder: &Path) -> Self {
        Self(Some(folder.into()))
    }

    /// The folder; none where no copies are made.
    #[must_use]
    pub fn folder(&self) -> Option<&Path> {
        self.0.as_deref()
    }

    /// When the newest was made, and its size in bytes.
    #[must_use]
    pub fn newest(&self) -> Option<(Timestamp, u64)> {
        let (made, path) = copies_in(self.folder()?).ok()?.pop()?;
        Some((made, std::fs::metadata(path).ok()?.len()))
    }
}
