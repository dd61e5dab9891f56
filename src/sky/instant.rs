//! Instants, and the three ways of counting them.
//!
//! UTC is what clocks show. TT runs evenly and is what the planets keep. UT1 is the Earth's own
//! turning.

use super::earth_turning;

/// Seconds of a day.
pub(super) const DAY_S: f64 = 86_400.0;

/// Julian date of the beginning of 1970.
const UNIX_JD: f64 = 2_440_587.5;

/// TT is this far ahead of atomic time, s.
const TT_AHEAD_OF_TAI: f64 = 32.184;

/// Seconds since 1970 at which TAI − UTC grew, and what it has been since, s: the IERS's
/// Bulletin C. The civil scale is extended evenly beyond both ends: before 1972, when UTC was
/// steered in another way, by 10 s, and after the last announced leap second by 37 s.
const LEAP_SECONDS: [(f64, f64); 28] = [
    (63_072_000.0, 10.0),
    (78_796_800.0, 11.0),
    (94_694_400.0, 12.0),
    (126_230_400.0, 13.0),
    (157_766_400.0, 14.0),
    (189_302_400.0, 15.0),
    (220_924_800.0, 16.0),
    (252_460_800.0, 17.0),
    (283_996_800.0, 18.0),
    (315_532_800.0, 19.0),
    (362_793_600.0, 20.0),
    (394_329_600.0, 21.0),
    (425_865_600.0, 22.0),
    (489_024_000.0, 23.0),
    (567_993_600.0, 24.0),
    (631_152_000.0, 25.0),
    (662_688_000.0, 26.0),
    (709_948_800.0, 27.0),
    (741_484_800.0, 28.0),
    (773_020_800.0, 29.0),
    (820_454_400.0, 30.0),
    (867_715_200.0, 31.0),
    (915_148_800.0, 32.0),
    (1_136_073_600.0, 33.0),
    (1_230_768_000.0, 34.0),
    (1_341_100_800.0, 35.0),
    (1_435_708_800.0, 36.0),
    (1_483_228_800.0, 37.0),
];

/// A point in time, counted in UTC as computers do: seconds since 1970, leap seconds skipped.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Instant(f64);

/// An instant for which the sky is not known well enough.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("The sky is known here from 1950 to 2150: choose a date between.")]
pub struct OutOfTime;

impl Instant {
    /// 1949-12-31, so that every zone's first night of 1950 has an evening.
    const FIRST: f64 = -631_238_400.0;
    /// 2151-01-03.
    const LAST: f64 = 5_711_990_400.0;

    /// The instant this many seconds after the beginning of 1970, UTC.
    ///
    /// # Errors
    /// [`OutOfTime`] before 1950 and after 2150.
    pub fn from_unix_seconds(seconds: f64) -> Result<Self, OutOfTime> {
        if (Self::FIRST..=Self::LAST).contains(&seconds) {
            Ok(Self(seconds))
        } else {
            Err(OutOfTime)
        }
    }

    /// Seconds since 1970, UTC.
    #[must_use]
    pub fn unix_seconds(self) -> f64 {
        self.0
    }

    /// So many seconds later.
    #[must_use]
    pub fn later(self, seconds: f64) -> Self {
        Self(self.0 + seconds)
    }

    /// Seconds from another instant to this one.
    #[must_use]
    pub fn since(self, earlier: Self) -> f64 {
        self.0 - earlier.0
    }

    /// TT − UTC, s.
    fn tt_ahead(self) -> f64 {
        let leap = LEAP_SECONDS.iter().rev().find(|(from, _)| self.0 >= *from);
        TT_AHEAD_OF_TAI + leap.map_or(10.0, |(_, seconds)| *seconds)
    }

    /// The year with its fraction, good to a day.
    #[must_use]
    pub fn year(self) -> f64 {
        1970.0 + self.0 / (365.2425 * DAY_S)
    }

    /// Julian date in TT, in two parts for precision.
    pub(super) fn tt(self) -> (f64, f64) {
        (UNIX_JD, (self.0 + self.tt_ahead()) / DAY_S)
    }

    /// Julian date in UT1, in two parts.
    pub(super) fn ut1(self) -> (f64, f64) {
        let lag = earth_turning::lag_s(self.year());
        (UNIX_JD, (self.0 + self.tt_ahead() - lag) / DAY_S)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tt_minus_utc(seconds: f64) -> f64 {
        Instant::from_unix_seconds(seconds).unwrap().tt_ahead()
    }

    #[test]
    fn the_last_leap_second_came_before_2017() {
        assert!((tt_minus_utc(1_483_228_799.0) - 68.184).abs() < 1e-9);
        assert!((tt_minus_utc(1_483_228_800.0) - 69.184).abs() < 1e-9);
    }

    /// J2000.0 is 2000-01-01 12:00 TT (IAU 1994 Resolution C7), which is 11:58:55.816 UTC.
    #[test]
    fn the_epoch_of_2000_is_noon_in_tt() {
        let (days, part) = Instant::from_unix_seconds(946_727_935.816).unwrap().tt();
        assert!((days + part - 2_451_545.0).abs() < 1e-9);
    }

    /// UTC is steered to keep UT1 within 0.9 s (ITU-R TF.460) since 1972.
    #[test]
    fn the_earths_turning_is_never_far_from_utc_since_1972() {
        for month in 0..650 {
            let instant = Instant::from_unix_seconds(63_072_000.0 + f64::from(month) * 2.63e6);
            let instant = instant.unwrap();
            let off = (instant.ut1().1 * DAY_S - instant.unix_seconds()).abs();
            assert!(off < 0.95, "month {month}: {off}");
        }
    }

    #[test]
    fn instants_outside_two_centuries_are_refused() {
        for seconds in [f64::NAN, f64::INFINITY, -1e12, 1e12] {
            assert_eq!(Instant::from_unix_seconds(seconds), Err(OutOfTime));
        }
    }
}
