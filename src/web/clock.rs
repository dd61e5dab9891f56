//! The one clock: made once, handed to whoever needs the time.

use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};

use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};

/// Tells the instant and the club's date.
///
/// Instants and dates come from the same time, which can be set to another day, so that a
/// demonstration shows the same nights whenever it runs.
///
/// ```
/// use borrowed_light::web::clock::Clock;
///
/// let clock = Clock::system(jiff::tz::TimeZone::UTC).set_to(jiff::civil::date(2026, 6, 5));
/// assert_eq!(clock.today(), jiff::civil::date(2026, 6, 5));
/// assert!(clock.now().to_string().starts_with("2026-06-05T12:0"));
/// ```
#[derive(Clone, Debug)]
pub struct Clock {
    source: Source,
    zone: TimeZone,
}

#[derive(Clone, Debug)]
enum Source {
    System,
    /// The machine's clock, so many seconds later.
    Moved(SignedDuration),
    /// Seconds since 1970, moved by hand: for tests.
    Set(Arc<AtomicI64>),
}

impl Clock {
    /// The machine's clock, read in the club's time zone.
    #[must_use]
    pub fn system(zone: TimeZone) -> Self {
        Self { source: Source::System, zone }
    }

    /// A clock that stands still until [`Clock::advance`] moves it: for tests. Clones share the
    /// time.
    #[must_use]
    pub fn standing_at(instant: Timestamp, zone: TimeZone) -> Self {
        let seconds = Arc::new(AtomicI64::new(instant.as_second()));
        Self { source: Source::Set(seconds), zone }
    }

    /// The same clock set to noon of a date, from where it goes on.
    #[must_use]
    pub fn set_to(mut self, date: Date) -> Self {
        // At the ends of all dates there may be no such instant; then it stays as it is.
        let Ok(noon) = self.zone.to_timestamp(date.at(12, 0, 0, 0)) else { return self };
        match &self.source {
            Source::System | Source::Moved(_) => {
                self.source = Source::Moved(noon.duration_since(Timestamp::now()));
            }
            Source::Set(seconds) => seconds.store(noon.as_second(), Ordering::SeqCst),
        }
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
            Source::Moved(by) => Timestamp::now().checked_add(*by).unwrap_or_default(),
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

    /// The instant that others' clocks show, wherever this one is set: for what is agreed with
    /// machines outside, such as a phone's codes and the date of a mail.
    #[must_use]
    pub fn outside(&self) -> Timestamp {
        match &self.source {
            Source::Moved(_) => Timestamp::now(),
            _ => self.now(),
        }
    }

    /// Today's date at the club.
    #[must_use]
    pub fn today(&self) -> Date {
        self.now().to_zoned_datetime(self.zone.clone()).date()
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
    fn a_clock_that_is_set_shows_one_time_and_goes_on() {
        let zone = TimeZone::get("Pacific/Auckland").unwrap();
        let clock = Clock::system(zone.clone()).set_to(date(2030, 1, 1));
        let shown = clock.now().to_zoned_datetime(zone);
        assert_eq!((clock.today(), shown.hour()), (date(2030, 1, 1), 12));
        let off = clock.outside().duration_since(Timestamp::now()).as_secs();
        assert!(off.abs() < 5, "{off} s from the clocks outside");

        let start: Timestamp = "2026-06-05T12:00:00Z".parse().unwrap();
        let clock = Clock::standing_at(start, TimeZone::UTC).set_to(date(2030, 1, 1));
        clock.clone().advance(SignedDuration::from_hours(48));
        assert_eq!(clock.today(), date(2030, 1, 3));
    }
}
