//! One row's cells, each read into what it should be.

use std::fmt::Display;

use jiff::civil::Date;

use super::fault::Faults;
use super::number::{parse_number, parse_whole, quoted};

/// A row of a file: its line and the text of its cells.
#[derive(Debug)]
pub(super) struct RawRow {
    pub(super) line: u64,
    pub(super) cells: Vec<String>,
}

/// One row while it is read. Bad cells are noted and read as nothing.
#[derive(Debug)]
pub struct Cells<'a> {
    pub(super) header: &'a [&'static str],
    pub(super) row: &'a RawRow,
    pub(super) faults: &'a mut Faults,
}

impl Cells<'_> {
    /// The line on which the row begins.
    pub fn line(&self) -> u64 {
        self.row.line
    }

    /// The cell's text without blanks around it; empty when the file has no such column.
    pub fn text(&self, column: &str) -> &str {
        let place = self.header.iter().position(|one| *one == column);
        place.and_then(|place| self.row.cells.get(place)).map_or("", String::as_str)
    }

    /// Notes that something is wrong with a cell, or with the row.
    pub fn fault(&mut self, column: Option<&'static str>, says: impl Display) {
        self.faults.add(Some(self.row.line), column, says.to_string());
    }

    /// The cell's value; none when it is empty or bad.
    pub fn optional<T, E: Display>(
        &mut self,
        column: &'static str,
        read: impl FnOnce(&str) -> Result<T, E>,
    ) -> Option<T> {
        let text = self.text(column);
        if text.is_empty() {
            return None;
        }
        match read(text) {
            Ok(value) => Some(value),
            Err(says) => {
                let says = says.to_string();
                self.fault(Some(column), says);
                None
            }
        }
    }

    /// The cell's value; none, noted, when it is empty or bad.
    pub fn needed<T, E: Display>(
        &mut self,
        column: &'static str,
        read: impl FnOnce(&str) -> Result<T, E>,
    ) -> Option<T> {
        if self.text(column).is_empty() {
            self.fault(Some(column), "This cell must not be empty.");
            return None;
        }
        self.optional(column, read)
    }

    /// A number, made into a quantity.
    pub fn number<T, E: Display>(
        &mut self,
        column: &'static str,
        make: impl FnOnce(f64) -> Result<T, E>,
    ) -> Option<T> {
        self.optional(column, |text| number_in(column, text, make))
    }

    /// A number that must be there, made into a quantity.
    pub fn needed_number<T, E: Display>(
        &mut self,
        column: &'static str,
        make: impl FnOnce(f64) -> Result<T, E>,
    ) -> Option<T> {
        self.needed(column, |text| number_in(column, text, make))
    }

    /// A whole number, made into something.
    pub fn whole<T, E: Display>(
        &mut self,
        column: &'static str,
        make: impl FnOnce(i64) -> Result<T, E>,
    ) -> Option<T> {
        self.optional(column, |text| make(parse_whole(text)?).map_err(|says| says.to_string()))
    }

    /// One of a few words.
    pub fn word<T>(
        &mut self,
        column: &'static str,
        words: &[&str],
        parse: impl FnOnce(&str) -> Option<T>,
    ) -> Option<T> {
        self.optional(column, |text| word_in(text, words, parse))
    }

    /// One of a few words that must be there.
    pub fn needed_word<T>(
        &mut self,
        column: &'static str,
        words: &[&str],
        parse: impl FnOnce(&str) -> Option<T>,
    ) -> Option<T> {
        self.needed(column, |text| word_in(text, words, parse))
    }

    /// "yes" or "no".
    pub fn yes_or_no(&mut self, column: &'static str) -> Option<bool> {
        self.word(column, &["yes", "no"], |text| match text {
            "yes" => Some(true),
            "no" => Some(false),
            _ => None,
        })
    }

    /// A date, written `YYYY-MM-DD`.
    pub fn date(&mut self, column: &'static str) -> Option<Date> {
        self.optional(column, |text| {
            let written = Some(text).filter(|text| text.len() == 10 && text.as_bytes()[4] == b'-');
            let date = written.and_then(|text| text.parse::<Date>().ok());
            date.filter(|date| (1000..=9999).contains(&date.year())).ok_or_else(|| {
                format!(
                    "{} is not a date: write it as year, month and day, like 2026-06-05.",
                    quoted(text)
                )
            })
        })
    }
}

fn number_in<T, E: Display>(
    column: &str,
    text: &str,
    make: impl FnOnce(f64) -> Result<T, E>,
) -> Result<T, String> {
    make(parse_number(column, text)?).map_err(|says| says.to_string())
}

fn word_in<T>(
    text: &str,
    words: &[&str],
    parse: impl FnOnce(&str) -> Option<T>,
) -> Result<T, String> {
    let folded = text.to_ascii_lowercase();
    parse(&folded)
        .ok_or_else(|| format!("{} is not one of these: {}.", quoted(text), words.join(", ")))
}
