//! The one clock: made once, handed to whoever needs the time.

use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};

use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};

/// Tells the instant and the club's date.
///
/// The instant serves sessions and logs. The date serves the calendar, and can be pinned so that a
/// demonstration shows the same nights whenever it runs.
///
/// ```
/// use borrowed_light::web::clock::Clock;
///
/// let clock = Clock::system(jiff::tz::TimeZone::UTC).pinned_to(jiff::civil::date(2026, 6, 5));
/// assert_eq!(clock.today(), jiff::civil::date(2026, 6, 5));
/// ```
#[derive(Clone, Debug)]
pub struct Clock {
    source: Source,
    zone: TimeZone,
    pinned: Option<Date>,
}

#[derive(Clone, Debug)]
enum Source {
    System,
    /// Seconds since 1970, moved by hand: for tests.
    Set(Arc<AtomicI64>),
}

impl Clock {
    /// The machine's clock, read in the club's time zone.
    #[must_use]
    pub fn system(zone: TimeZone) -> Self {
        Self { source: Source::System, zone, pinned: None }
    }

    /// A clock that stands still until [`Clock::advance`] moves it: for tests. Clones share the
    /// time.
    #[must_use]
    pub fn standing_at(instant: Timestamp, zone: TimeZone) -> Self {
        let seconds = Arc::new(AtomicI64::new(instant.as_second()));
        Self { source: Source::Set(seconds), zone, pinned: None }
    }

    /// The same clock with its date pinned; instants go on.
    #[must_use]
    pub fn pinned_to(mut self, date: Date) -> Self {
        self.pinned = Some(date);
        self
    }

    /// Moves a standing clock on. The machine's clock can't be moved; there it does nothing.
    pub fn advance(&self, by: SignedDuration) {
        if let Source::Set(seconds) = &self.source {
            seconds.fetch_add(by.as_secs(), Ordering::SeqCst);
        }
    }

    /// The present instant.
    #[must_use]
    pub fn now(&self) -> Timestamp {
        match &self.source {
            Source::System => Timestamp::now(),
            Source::Set(seconds) => {
                Timestamp::from_second(seconds.load(Ordering::SeqCst)).unwrap_or_default()
            }
        }
    }

    /// The present instant in whole seconds since 1970, as the database keeps it.
    #[must_use]
    pub fn seconds(&self) -> i64 {
        self.now().as_second()
    }

    /// Today's date at the club, or the date it is pinned to.
    #[must_use]
    pub fn today(&self) -> Date {
        self.pinned.unwrap_or_else(|| self.now().to_zoned_datetime(self.zone.clone()).date())
    }

    /// The club's time zone.
    #[must_use]
    pub fn zone(&self) -> &TimeZone {
        &self.zone
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn the_date_is_the_clubs_own() {
        let late: Timestamp = "2026-06-05T23:30:00Z".parse().unwrap();
        let london = Clock::standing_at(late, TimeZone::get("Europe/London").unwrap());
        let utc = Clock::standing_at(late, TimeZone::UTC);
        assert_eq!((london.today(), utc.today()), (date(2026, 6, 6), date(2026, 6, 5)));
    }

    #[test]
    fn a_pinned_date_does_not_stop_the_instants() {
        let start: Timestamp = "2026-06-05T12:00:00Z".parse().unwrap();
        let clock = Clock::standing_at(start, TimeZone::UTC).pinned_to(date(2030, 1, 1));
        clock.clone().advance(SignedDuration::from_hours(48));
        assert_eq!(clock.seconds() - start.as_second(), 48 * 3600);
        assert_eq!(clock.today(), date(2030, 1, 1));
    }
}
