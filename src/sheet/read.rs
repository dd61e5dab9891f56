//! Reading a table: bytes to rows, rows to values, every fault gathered on the way.

use super::cells::{Cells, RawRow};
use super::fault::{Faults, Refused};
use super::number::quoted;
use super::write::without_guard;

/// The most rows in one file.
pub const MOST_ROWS: usize = 20_000;
/// The most bytes in one file.
pub const MOST_BYTES: usize = 32 * 1024 * 1024;
/// The most bytes in one cell.
pub const MOST_CELL_BYTES: usize = 8 * 1024;

/// The columns a table has.
#[derive(Debug, Clone, Copy)]
pub struct Columns {
    /// Columns that must be there.
    pub needed: &'static [&'static str],
    /// Columns that may be missing, but only all together.
    pub together: &'static [&'static str],
}

impl Columns {
    /// A table all of whose columns must be there.
    pub const fn all(needed: &'static [&'static str]) -> Self {
        Self { needed, together: &[] }
    }

    fn find(&self, name: &str) -> Option<&'static str> {
        self.iter().find(|column| column.eq_ignore_ascii_case(name))
    }

    fn iter(&self) -> impl Iterator<Item = &'static str> {
        self.needed.iter().chain(self.together).copied()
    }
}

/// A table that has been taken apart into cells.
#[derive(Debug)]
pub struct Sheet {
    /// For each cell of a row, the column it belongs to.
    header: Vec<&'static str>,
    rows: Vec<RawRow>,
    faults: Faults,
}

/// A value with the line of the file it came from.
#[derive(Debug, Clone, PartialEq)]
pub struct Lined<T> {
    /// The line on which the row begins, counted from 1.
    pub line: u64,
    /// What the row says.
    pub value: T,
}

impl Sheet {
    /// Takes the bytes of a file apart (RFC 4180, UTF-8 with or without a byte order mark, header
    /// row first).
    ///
    /// # Errors
    /// [`Refused`] when the file is too large, has no header, or its header names other columns.
    pub fn take_apart(bytes: &[u8], columns: Columns) -> Result<Self, Refused> {
        if bytes.len() > MOST_BYTES {
            return Err(Refused::whole(
                "The file is larger than 32 MB, which is more than one import takes: please split it.",
            ));
        }
        if bytes.starts_with(b"\xff\xfe") || bytes.starts_with(b"\xfe\xff") {
            return Err(Refused::whole("The file is UTF-16, not UTF-8: save it as UTF-8."));
        }
        let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
        let mut reader =
            csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(bytes);
        let mut record = csv::ByteRecord::new();
        let next = |reader: &mut csv::Reader<&[u8]>, record: &mut csv::ByteRecord| {
            reader.read_byte_record(record).map_err(|error| {
                Refused::whole(format!("The file can't be read as a table: {error}."))
            })
        };
        if !next(&mut reader, &mut record)? {
            return Err(Refused::whole(format!(
                "The file is empty: its first line must name the columns: {}.",
                join(columns.iter())
            )));
        }
        let mut faults = Faults::default();
        let header = read_header(&record, columns)?;
        let mut lines = LineCounter { bytes, at: 0, line: 1 };
        let mut rows = Vec::new();
        while next(&mut reader, &mut record)? {
            let line = lines.line_of(record.position());
            if rows.len() == MOST_ROWS {
                return Err(Refused::whole(format!(
                    "The file has more than {MOST_ROWS} rows, which is the most for one import: please split it."
                )));
            }
            if let Some(row) = read_row(&record, line, &header, &mut faults) {
                rows.push(row);
            }
        }
        Ok(Self { header, rows, faults })
    }

    /// Whether the file has this column.
    pub fn has(&self, column: &str) -> bool {
        self.header.contains(&column)
    }

    /// Turns each row into a value. `read` gives none where a needed cell was bad; what is wrong
    /// is gathered by [`Cells`].
    ///
    /// # Errors
    /// [`Refused`] with every bad cell of the file.
    pub fn rows<T>(
        self,
        mut read: impl FnMut(&mut Cells<'_>) -> Option<T>,
    ) -> Result<Vec<Lined<T>>, Refused> {
        let Self { header, rows, mut faults } = self;
        let mut values = Vec::with_capacity(rows.len());
        for row in &rows {
            let mut cells = Cells { header: &header, row, faults: &mut faults };
            if let Some(value) = read(&mut cells) {
                values.push(Lined { line: row.line, value });
            }
        }
        faults.into_result().map(|()| values)
    }
}

/// Reads one row that comes from elsewhere than a file: a form, a program. `header` names the cells.
///
/// # Errors
/// Every bad cell.
pub fn read_one<T>(
    header: &[&'static str],
    cells: Vec<String>,
    read: impl FnOnce(&mut Cells<'_>) -> Option<T>,
) -> Result<T, Refused> {
    let mut faults = Faults::default();
    let row = RawRow { line: 1, cells };
    let value = read(&mut Cells { header, row: &row, faults: &mut faults });
    faults.into_result()?;
    // A reader that gives nothing has said why; this sentence stands for one that did not.
    value.ok_or_else(|| Refused::whole("It can't be read: please look at it again."))
}

/// Tells lines from byte offsets; the table reader's own count begins a row at the blank lines
/// before it.
struct LineCounter<'a> {
    bytes: &'a [u8],
    at: usize,
    line: u64,
}

impl LineCounter<'_> {
    fn line_of(&mut self, position: Option<&csv::Position>) -> u64 {
        let byte = position.map_or(0, csv::Position::byte);
        let target = usize::try_from(byte).unwrap_or(usize::MAX);
        while let Some(byte) = self.bytes.get(self.at) {
            let blank = matches!(byte, b'\r' | b'\n');
            if self.at >= target && !blank {
                break;
            }
            // A lone carriage return ends a line too; one before a newline does not count twice.
            let ends =
                *byte == b'\n' || (*byte == b'\r' && self.bytes.get(self.at + 1) != Some(&b'\n'));
            self.line += u64::from(ends);
            self.at += 1;
        }
        self.line
    }
}

fn join(names: impl IntoIterator<Item = &'static str>) -> String {
    names.into_iter().collect::<Vec<_>>().join(", ")
}

fn read_header(record: &csv::ByteRecord, columns: Columns) -> Result<Vec<&'static str>, Refused> {
    let mut faults = Faults::default();
    let mut header: Vec<&'static str> = Vec::new();
    for (place, cell) in record.iter().enumerate() {
        let name = String::from_utf8_lossy(cell);
        let name = name.trim();
        match columns.find(name) {
            Some(column) if header.contains(&column) => {
                faults.add(Some(1), Some(column), "This column is there twice: remove one.");
            }
            Some(column) => header.push(column),
            None if record.len() == 1 && name.contains([';', '\t']) => {
                return Err(Refused::whole(
                    "The cells seem to be separated by semicolons or tabs: save the file with commas between cells.",
                ));
            }
            None if name.is_empty() => faults.add(
                Some(1),
                None,
                format!("Column {} has no name: name it or remove it.", place + 1),
            ),
            None => faults.add(
                Some(1),
                None,
                format!(
                    "There is no column {}; the columns are: {}.",
                    quoted(name),
                    join(columns.iter())
                ),
            ),
        }
    }
    for column in columns.needed.iter().filter(|column| !header.contains(column)) {
        faults.add(
            Some(1),
            Some(column),
            "This column is missing: add it, even if it stays empty.",
        );
    }
    let some = columns.together.iter().any(|column| header.contains(column));
    for column in columns.together.iter().filter(|column| some && !header.contains(column)) {
        faults.add(
            Some(1),
            Some(column),
            format!(
                "This column is missing; these go together: {}.",
                join(columns.together.iter().copied())
            ),
        );
    }
    faults.into_result().map(|()| header)
}

/// Bytes of UTF-8 that no page can show; tabs and line ends are none of them.
const fn is_unseen(byte: u8) -> bool {
    matches!(byte, 0..=8 | 11 | 12 | 14..=31 | 127)
}

/// A text without characters that no page can show and no table takes in again.
///
/// ```
/// use borrowed_light::sheet::seen_of;
///
/// assert_eq!(seen_of("a dent\0,\n\tsmall"), "a dent,\n\tsmall");
/// ```
pub fn seen_of(text: &str) -> String {
    text.chars().filter(|letter| !u8::try_from(*letter).is_ok_and(is_unseen)).collect()
}

fn read_row(
    record: &csv::ByteRecord,
    line: u64,
    header: &[&'static str],
    faults: &mut Faults,
) -> Option<RawRow> {
    if record.len() != header.len() {
        faults.add(
            Some(line),
            None,
            format!(
                "This row has {} cells and the header has {}: is a comma too many, or a quotation mark missing?",
                record.len(),
                header.len()
            ),
        );
        return None;
    }
    let mut cells = Vec::with_capacity(header.len());
    let mut good = true;
    for (cell, column) in record.iter().zip(header) {
        if cell.len() > MOST_CELL_BYTES {
            faults.add(
                Some(line),
                Some(column),
                "This cell is far too long: is a quotation mark missing?",
            );
            good = false;
        } else if cell.iter().any(|byte| is_unseen(*byte)) {
            faults.add(
                Some(line),
                Some(column),
                "This cell holds an invisible control character: type it again.",
            );
            good = false;
        } else if let Ok(text) = std::str::from_utf8(cell) {
            cells.push(without_guard(text).trim().to_owned());
        } else {
            faults.add(Some(line), Some(column), "This cell is not UTF-8: save the file as UTF-8.");
            good = false;
        }
    }
    good.then_some(RawRow { line, cells })
}
