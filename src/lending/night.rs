//! The night: what the club counts lending in.

use std::fmt;
use std::str::FromStr;

use jiff::ToSpan;
use jiff::civil::Date;

/// One night, named by the date of its evening at the club: the night of 14 March ends on the
/// morning of 15 March. A date, never an instant; it lasts from noon to noon.
///
/// ```
/// use borrowed_light::lending::Night;
/// let night: Night = "2026-03-14".parse()?;
/// assert_eq!(night.to_string(), "2026-03-14");
/// assert_eq!(night.next().map(|n| n.to_string()).as_deref(), Some("2026-03-15"));
/// # Ok::<(), borrowed_light::lending::NotANight>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Night(Date);

/// A text or date that is no night. `Display` says how to write one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NotANight {
    /// Not written as year, month and day.
    #[error("Write the night as year, month and day, like 2026-06-05.")]
    Form,
    /// Written well, but the calendar has no such day.
    #[error("The calendar has no such day: please check month and day.")]
    NoSuchDay,
    /// Outside the years the club's calendar covers.
    #[error("The night must be between 1900-01-01 and 2199-12-31.")]
    TooFar,
}

impl Night {
    /// The first year of the club's calendar.
    pub const FIRST_YEAR: i16 = 1900;
    /// The last year of the club's calendar.
    pub const LAST_YEAR: i16 = 2199;

    /// The night whose evening has this date.
    ///
    /// # Errors
    /// [`NotANight::TooFar`] outside 1900–2199.
    pub fn new(evening: Date) -> Result<Self, NotANight> {
        if (Self::FIRST_YEAR..=Self::LAST_YEAR).contains(&evening.year()) {
            Ok(Self(evening))
        } else {
            Err(NotANight::TooFar)
        }
    }

    /// The date of its evening.
    pub const fn evening(self) -> Date {
        self.0
    }

    /// The date of its morning.
    pub fn morning(self) -> Date {
        self.0.saturating_add(1.day())
    }

    /// The night so many nights later, or earlier when negative; `None` past the calendar's end.
    pub fn later(self, nights: i32) -> Option<Self> {
        self.0.checked_add(nights.days()).ok().and_then(|date| Self::new(date).ok())
    }

    /// The night after; `None` at the calendar's end.
    pub fn next(self) -> Option<Self> {
        self.later(1)
    }
}

impl fmt::Display for Night {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.0.year(), self.0.month(), self.0.day())
    }
}

impl FromStr for Night {
    type Err = NotANight;

    /// Reads `YYYY-MM-DD` and nothing else.
    fn from_str(text: &str) -> Result<Self, NotANight> {
        let bytes = text.as_bytes();
        let form = bytes.len() == 10
            && bytes.iter().enumerate().all(|(at, byte)| match at {
                4 | 7 => *byte == b'-',
                _ => byte.is_ascii_digit(),
            });
        if !form {
            return Err(NotANight::Form);
        }
        Self::new(text.parse().map_err(|_| NotANight::NoSuchDay)?)
    }
}

/// A run of nights, both ends included: at least one, at most [`Nights::LONGEST`].
///
/// ```
/// use borrowed_light::lending::Nights;
/// let weekend = Nights::parse("2026-06-05", "2026-06-07")?;
/// assert_eq!(weekend.count(), 3);
/// assert_eq!(weekend.iter().last().map(|n| n.to_string()).as_deref(), Some("2026-06-07"));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Nights {
    first: Night,
    last: Night,
}

/// Why two nights are not a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum NotNights {
    /// The first night cannot be read.
    #[error("The first night can't be read. {0}")]
    First(NotANight),
    /// The last night cannot be read.
    #[error("The last night can't be read. {0}")]
    Last(NotANight),
    /// The last night comes before the first.
    #[error("The last night ({last}) comes before the first ({first}): please swap them.")]
    Backwards {
        /// The first night given.
        first: Night,
        /// The last night given.
        last: Night,
    },
    /// Longer than the longest run.
    #[error("That is {0} nights, and 366 is the most: please choose fewer.")]
    TooLong(i32),
}

impl Nights {
    /// The most nights in one run, so that no single request can write without bound.
    pub const LONGEST: i32 = 366;

    /// Checks a run.
    ///
    /// # Errors
    /// [`NotNights`] when the ends are the wrong way round or more than 366 nights apart.
    pub fn new(first: Night, last: Night) -> Result<Self, NotNights> {
        if last < first {
            return Err(NotNights::Backwards { first, last });
        }
        let nights = Self { first, last };
        match nights.count() {
            count if count > Self::LONGEST => Err(NotNights::TooLong(count)),
            _ => Ok(nights),
        }
    }

    /// Reads both ends as `YYYY-MM-DD` and checks the run.
    ///
    /// # Errors
    /// [`NotNights`], saying which end cannot be read or what is wrong with both.
    pub fn parse(first: &str, last: &str) -> Result<Self, NotNights> {
        let first = first.parse().map_err(NotNights::First)?;
        Self::new(first, last.parse().map_err(NotNights::Last)?)
    }

    /// The first night.
    pub const fn first(self) -> Night {
        self.first
    }

    /// The last night.
    pub const fn last(self) -> Night {
        self.last
    }

    /// How many nights.
    pub fn count(self) -> i32 {
        // The calendar has fewer than 110,000 days.
        self.first.0.until(self.last.0).map_or(i32::MAX, |span| span.get_days().saturating_add(1))
    }

    /// Whether a night is one of them.
    pub fn contains(self, night: Night) -> bool {
        (self.first..=self.last).contains(&night)
    }

    /// Every night, first to last.
    pub fn iter(self) -> impl Iterator<Item = Night> {
        std::iter::successors(Some(self.first), |night| night.next())
            .take_while(move |night| *night <= self.last)
    }

    /// Joins single nights into the fewest runs, in order. Nights given twice count once.
    pub fn runs(nights: impl IntoIterator<Item = Night>) -> Vec<Self> {
        let mut sorted: Vec<Night> = nights.into_iter().collect();
        sorted.sort_unstable();
        let mut runs: Vec<Self> = Vec::new();
        for night in sorted {
            match runs.last_mut() {
                Some(run) if run.last == night => {}
                Some(run) if run.last.next() == Some(night) && run.count() < Self::LONGEST => {
                    run.last = night;
                }
                _ => runs.push(Self { first: night, last: night }),
            }
        }
        runs
    }
}

impl fmt::Display for Nights {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.first == self.last {
            self.first.fmt(f)
        } else {
            write!(f, "{} to {}", self.first, self.last)
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn night(text: &str) -> Night {
        text.parse().unwrap()
    }

    #[test]
    fn only_year_month_and_day_make_a_night() {
        for text in ["", "2026-6-5", "20260605", "05-06-2026", "2026-06-05T21:00", " 2026-06-05"] {
            assert_eq!(text.parse::<Night>(), Err(NotANight::Form), "{text}");
        }
        assert_eq!("2026-02-29".parse::<Night>(), Err(NotANight::NoSuchDay));
        assert_eq!("2026-13-01".parse::<Night>(), Err(NotANight::NoSuchDay));
        assert_eq!("1899-12-31".parse::<Night>(), Err(NotANight::TooFar));
        assert_eq!("2200-01-01".parse::<Night>(), Err(NotANight::TooFar));
    }

    #[test]
    fn a_night_ends_on_the_next_morning_in_a_leap_year_too() {
        assert_eq!(night("2028-02-28").morning().to_string(), "2028-02-29");
        assert_eq!(night("2028-02-28").later(2), Some(night("2028-03-01")));
        assert_eq!(night("2026-01-01").later(-1), Some(night("2025-12-31")));
        assert_eq!(night("2199-12-31").next(), None);
    }

    #[test]
    fn a_run_has_both_ends_and_at_most_366_nights() {
        assert_eq!(Nights::parse("2026-06-05", "2026-06-05").unwrap().count(), 1);
        assert_eq!(Nights::parse("2027-03-01", "2028-02-29").unwrap().count(), 366);
        assert_eq!(Nights::parse("2027-03-01", "2028-03-01"), Err(NotNights::TooLong(367)));
        assert!(matches!(
            Nights::parse("2026-06-07", "2026-06-05"),
            Err(NotNights::Backwards { .. })
        ));
        assert_eq!(Nights::parse("x", "2026-06-05"), Err(NotNights::First(NotANight::Form)));
        assert_eq!(Nights::parse("2026-06-05", "x"), Err(NotNights::Last(NotANight::Form)));
    }

    #[test]
    fn single_nights_join_into_runs() {
        let nights = ["2026-06-07", "2026-06-05", "2026-06-06", "2026-06-06", "2026-06-10"];
        let runs: Vec<String> =
            Nights::runs(nights.map(night)).iter().map(ToString::to_string).collect();
        assert_eq!(runs, ["2026-06-05 to 2026-06-07", "2026-06-10"]);
    }

    proptest! {
        #[test]
        fn a_run_counts_what_it_lists(start in 0..109_000_i32, length in 0..366_i32) {
            let first = night("1900-01-01").later(start).unwrap();
            let last = first.later(length).unwrap();
            let nights = Nights::new(first, last).unwrap();
            prop_assert_eq!(nights.iter().count(), length as usize + 1);
            prop_assert_eq!(nights.count(), length + 1);
            prop_assert_eq!(Nights::runs(nights.iter()), vec![nights]);
        }

        #[test]
        fn a_night_reads_back_as_written(start in 0..109_000_i32) {
            let one = night("1900-01-01").later(start).unwrap();
            prop_assert_eq!(one.to_string().parse::<Night>(), Ok(one));
        }
    }
}
