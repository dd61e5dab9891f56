//! Moves the demo club to the present: by whole weeks, so that nights keep their day of the week.

use jiff::civil::{Date, Weekday, date};
use jiff::{Span, ToSpan as _};

use super::DemoError;

/// Columns that hold dates.
const DATES: [&str; 4] = ["first_night", "last_night", "last_light_test", "joined"];
/// Columns that hold years and move with people's age.
const YEARS: [&str; 1] = ["birth_year"];

/// The Friday that the files are written as of.
#[must_use]
pub const fn reference_friday() -> Date {
    date(2026, 6, 5)
}

/// How far the club's dates move.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shift {
    weeks: i32,
    years: i16,
}

impl Shift {
    /// The shift that makes the reference weekend the one that begins today or next.
    ///
    /// # Errors
    /// `today` is at the end of all dates.
    pub fn to_the_present(today: Date) -> Result<Self, DemoError> {
        let unmovable = |error: jiff::Error| DemoError::Date(error.to_string());
        let to_friday = today.weekday().until(Weekday::Friday);
        let friday = today.checked_add(Span::new().days(to_friday)).map_err(unmovable)?;
        let days = friday.since(reference_friday()).map_err(unmovable)?.get_days();
        Ok(Self { weeks: days / 7, years: friday.year() - reference_friday().year() })
    }

    /// The reference Friday, moved.
    ///
    /// # Errors
    /// It would lie past the end of all dates.
    pub fn friday(&self) -> Result<Date, DemoError> {
        reference_friday()
            .checked_add(Span::new().weeks(self.weeks))
            .map_err(|error| DemoError::Date(error.to_string()))
    }

    /// Moves every date and birth year in a CSV file.
    ///
    /// # Errors
    /// The file is no CSV, or something in a date's column is no date.
    pub fn apply(self, text: &str) -> Result<Vec<u8>, DemoError> {
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let mut writer = csv::Writer::from_writer(Vec::new());
        let headers = reader.headers()?.clone();
        writer.write_record(&headers)?;
        for record in reader.records() {
            let record = record?;
            let mut cells = Vec::with_capacity(record.len());
            for (name, cell) in headers.iter().zip(&record) {
                cells.push(self.cell(name, cell)?);
            }
            writer.write_record(&cells)?;
        }
        writer.into_inner().map_err(|error| DemoError::Date(error.to_string()))
    }

    fn cell(self, name: &str, cell: &str) -> Result<String, DemoError> {
        let wrong = || DemoError::Date(format!("{name} is {cell}"));
        if cell.is_empty() {
            Ok(String::new())
        } else if DATES.contains(&name) {
            let date: Date = cell.parse().map_err(|_| wrong())?;
            let moved = date.checked_add(self.weeks.weeks()).map_err(|_| wrong())?;
            Ok(moved.to_string())
        } else if YEARS.contains(&name) {
            let year: i16 = cell.parse().map_err(|_| wrong())?;
            Ok(year.saturating_add(self.years).to_string())
        } else {
            Ok(cell.to_owned())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn moved(today: Date, text: &str) -> String {
        let bytes = Shift::to_the_present(today).unwrap().apply(text).unwrap();
        String::from_utf8(bytes).unwrap()
    }

    #[test]
    fn on_the_reference_friday_nothing_moves() {
        let text = "name,first_night,birth_year\nA,2026-06-05,1958\n";
        assert_eq!(moved(reference_friday(), text), text);
    }

    #[test]
    fn the_reference_weekend_becomes_the_next_one() {
        let text = "first_night,last_night\n2026-06-05,2026-06-07\n";
        for today in [date(2026, 11, 21), date(2026, 11, 25), date(2026, 11, 27)] {
            assert_eq!(moved(today, text), "first_night,last_night\n2026-11-27,2026-11-29\n");
        }
        assert_eq!(
            moved(date(2026, 11, 28), text),
            "first_night,last_night\n2026-12-04,2026-12-06\n"
        );
        assert_eq!(
            moved(date(2020, 2, 29), text),
            "first_night,last_night\n2020-03-06,2020-03-08\n"
        );
    }

    #[test]
    fn people_keep_their_age_and_unknown_things_stay_unknown() {
        let text = "birth_year,joined,acquired_year\n1958,1989-10-06,2009\n,,2009\n";
        let later = moved(date(2027, 6, 4), text);
        assert_eq!(later, "birth_year,joined,acquired_year\n1959,1990-10-05,2009\n,,2009\n");
    }

    #[test]
    fn what_is_no_date_is_named() {
        let shift = Shift::to_the_present(reference_friday()).unwrap();
        let error = shift.apply("joined\nsoon\n").unwrap_err();
        assert_eq!(error.to_string(), "a date of the demo club can't be moved: joined is soon");
    }
}
