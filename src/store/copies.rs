//! The folder of copies that the service makes by itself: which are there, and how old.

use std::collections::BTreeSet;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

use jiff::Timestamp;
use jiff::tz::TimeZone;

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

/// How many copies are kept: the newest of each of so many days, weeks and months.
///
/// Days without a copy don't count, so a machine that was off for a month loses nothing by it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Kept {
    /// Days.
    pub days: usize,
    /// Weeks, from Monday (ISO 8601).
    pub weeks: usize,
    /// Months.
    pub months: usize,
}

/// The copies that need not be kept any longer; `copies` are sorted by time.
#[must_use]
pub fn to_let_go(copies: &[(Timestamp, PathBuf)], kept: Kept) -> Vec<PathBuf> {
    let date = |at: &Timestamp| at.to_zoned_datetime(TimeZone::UTC).date();
    let week = |at: &Timestamp| {
        let week = date(at).iso_week_date();
        (week.year(), week.week())
    };
    let month = |at: &Timestamp| (date(at).year(), date(at).month());
    let mut wanted = BTreeSet::new();
    wanted.extend(newest_of_each(copies, kept.days, date));
    wanted.extend(newest_of_each(copies, kept.weeks, week));
    wanted.extend(newest_of_each(copies, kept.months, month));
    let old = copies.iter().filter(|(at, _)| !wanted.contains(at));
    old.map(|(_, path)| path.clone()).collect()
}

/// When the newest copy of each of the last so many spans was made.
fn newest_of_each<S: PartialEq>(
    copies: &[(Timestamp, PathBuf)],
    spans: usize,
    span_of: impl Fn(&Timestamp) -> S,
) -> Vec<Timestamp> {
    let mut newest: Vec<(S, Timestamp)> = Vec::new();
    for (at, _) in copies.iter().rev() {
        let span = span_of(at);
        if newest.last().is_none_or(|(last, _)| *last != span) {
            newest.push((span, *at));
        }
    }
    newest.into_iter().take(spans).map(|(_, at)| at).collect()
}

/// Where the copies are, if any are made, and what kept the last one from being made. Clones share
/// it.
#[derive(Clone, Debug, Default)]
pub struct Copies {
    folder: Option<Arc<Path>>,
    trouble: Arc<Mutex<Option<String>>>,
}

impl Copies {
    /// In this folder.
    #[must_use]
    pub fn in_folder(folder: &Path) -> Self {
        Self { folder: Some(folder.into()), trouble: Arc::default() }
    }

    /// The folder; none where no copies are made.
    #[must_use]
    pub fn folder(&self) -> Option<&Path> {
        self.folder.as_deref()
    }

    /// When the newest was made, and its size in bytes.
    #[must_use]
    pub fn newest(&self) -> Option<(Timestamp, u64)> {
        let (made, path) = copies_in(self.folder()?).ok()?.pop()?;
        Some((made, std::fs::metadata(path).ok()?.len()))
    }

    /// Notes how the last try went: what kept it from being made, or nothing.
    pub fn went(&self, trouble: Option<String>) {
        *self.trouble.lock().unwrap_or_else(PoisonError::into_inner) = trouble;
    }

    /// What kept the last copy from being made.
    #[must_use]
    pub fn trouble(&self) -> Option<String> {
        self.trouble.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::ToSpan as _;

    #[test]
    fn two_years_of_copies_come_down_to_days_weeks_and_months() {
        let kept = Kept { days: 7, weeks: 4, months: 6 };
        let start: Timestamp = "2024-01-01T03:00:00Z".parse().unwrap();
        let mut copies = Vec::new();
        for day in 0..730 {
            let at = start + (24 * day).hours();
            copies.push((at, PathBuf::from(stamp(at))));
            let old = to_let_go(&copies, kept);
            copies.retain(|(_, path)| !old.contains(path));
        }
        // 730 days after 1 January 2024 is Tuesday, 30 December 2025; counted on a calendar.
        let left: Vec<String> =
            copies.iter().map(|(at, _)| at.strftime("%m-%d").to_string()).collect();
        assert_eq!(
            left,
            [
                "07-31", "08-31", "09-30", "10-31", "11-30", "12-14", "12-21", "12-24", "12-25",
                "12-26", "12-27", "12-28", "12-29", "12-30"
            ]
        );
    }

    #[test]
    fn a_machine_that_was_off_keeps_what_it_has() {
        let kept = Kept { days: 3, weeks: 0, months: 0 };
        let days = ["2026-01-01T03:00:00Z", "2026-01-02T03:00:00Z", "2026-05-09T03:00:00Z"];
        let copies: Vec<_> =
            days.iter().map(|at| (at.parse().unwrap(), PathBuf::from(at))).collect();
        assert_eq!(to_let_go(&copies, kept), Vec::<PathBuf>::new());
        let kept = Kept { days: 2, ..kept };
        assert_eq!(to_let_go(&copies, kept), [PathBuf::from("2026-01-01T03:00:00Z")]);
    }
}
