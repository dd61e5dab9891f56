//! Writing a table.

use std::io::Write;

use jiff::civil::Date;

/// One cell to be written.
#[derive(Debug, Clone, Copy)]
pub enum Cell<'a> {
    /// Nothing is known.
    Empty,
    /// Words; guarded so that no spreadsheet takes them for a formula.
    Text(&'a str),
    /// A number, written with as many digits as it takes to read it back unchanged.
    Number(f64),
    /// A whole number.
    Whole(i64),
    /// A date, written `YYYY-MM-DD`.
    Date(Date),
}

impl<'a> From<&'a str> for Cell<'a> {
    fn from(text: &'a str) -> Self {
        Self::Text(text)
    }
}

impl<'a> From<Option<&'a str>> for Cell<'a> {
    fn from(text: Option<&'a str>) -> Self {
        text.map_or(Self::Empty, Self::Text)
    }
}

impl From<Option<f64>> for Cell<'_> {
    fn from(number: Option<f64>) -> Self {
        number.map_or(Self::Empty, Self::Number)
    }
}

impl From<Option<i64>> for Cell<'_> {
    fn from(number: Option<i64>) -> Self {
        number.map_or(Self::Empty, Self::Whole)
    }
}

impl Cell<'_> {
    /// "yes", "no" or nothing.
    pub fn yes_or_no(answer: Option<bool>) -> Self {
        answer.map_or(Self::Empty, |yes| Self::Text(if yes { "yes" } else { "no" }))
    }

    /// A date or nothing.
    pub fn date(date: Option<Date>) -> Self {
        date.map_or(Self::Empty, Self::Date)
    }

    fn written(self) -> String {
        match self {
            Self::Text(text) => with_guard(text),
            other => other.plain(),
        }
    }

    /// The cell as a person would type it, without the guard against formulas.
    pub fn plain(self) -> String {
        match self {
            Self::Empty => String::new(),
            Self::Text(text) => text.to_owned(),
            Self::Number(number) => number.to_string(),
            Self::Whole(number) => number.to_string(),
            Self::Date(date) => date.to_string(),
        }
    }
}

/// Characters with which a spreadsheet begins a formula, or that make it look further.
const RISKY: [char; 6] = ['=', '+', '-', '@', '\t', '\r'];

fn begins_risky(text: &str) -> bool {
    text.trim_start_matches('\'').starts_with(RISKY)
}

/// Puts an apostrophe before a text that a spreadsheet would run as a formula.
pub(crate) fn with_guard(text: &str) -> String {
    if begins_risky(text) { format!("'{text}") } else { text.to_owned() }
}

/// Takes the apostrophe away again.
pub(crate) fn without_guard(text: &str) -> &str {
    match text.strip_prefix('\'') {
        Some(rest) if begins_risky(rest) => rest,
        _ => text,
    }
}

/// A table being written: RFC 4180, UTF-8, lines ended by CR LF.
pub struct SheetWriter<W: Write> {
    csv: csv::Writer<W>,
}

impl<W: Write> SheetWriter<W> {
    /// Begins a table by its header.
    ///
    /// # Errors
    /// The output refused.
    pub fn new(
        output: W,
        columns: impl IntoIterator<Item = &'static str>,
    ) -> std::io::Result<Self> {
        let mut csv =
            csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(output);
        csv.write_record(columns)?;
        Ok(Self { csv })
    }

    /// Writes one row, in the order of the header.
    ///
    /// # Errors
    /// The output refused, or the row is not as long as the header.
    pub fn row<'c>(&mut self, cells: impl IntoIterator<Item = Cell<'c>>) -> std::io::Result<()> {
        Ok(self.csv.write_record(cells.into_iter().map(Cell::written))?)
    }

    /// Hands everything to the output.
    ///
    /// # Errors
    /// The output refused.
    pub fn finish(mut self) -> std::io::Result<()> {
        self.csv.flush()
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn formulas_are_guarded_and_numbers_are_not() {
        let mut out = Vec::new();
        let mut sheet = SheetWriter::new(&mut out, ["a", "b", "c", "d", "e"]).unwrap();
        let cells = [
            Cell::Text("=1+1"),
            Cell::Text("@here"),
            Cell::Number(-2.25),
            Cell::Text("say \"no\", twice"),
            Cell::Empty,
        ];
        sheet.row(cells).unwrap();
        sheet.finish().unwrap();
        let expected = "a,b,c,d,e\r\n'=1+1,'@here,-2.25,\"say \"\"no\"\", twice\",\r\n";
        assert_eq!(String::from_utf8(out).unwrap(), expected);
    }

    proptest! {
        #[test]
        fn what_is_guarded_reads_back_as_it_was(text in "['=+@\t\r -]{0,4}.{0,6}") {
            let guarded = with_guard(&text);
            prop_assert!(!guarded.starts_with(RISKY));
            prop_assert_eq!(without_guard(&guarded), text.as_str());
        }
    }
}
