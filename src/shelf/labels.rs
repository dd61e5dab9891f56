//! Sheets of labels: tag, name and a code that opens the piece's page.

use qrcode::{Color, EcLevel, QrCode};

use super::pdf::{self, Cut, Drawing, POINTS};

/// A sheet of labels by what it measures, in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sheet {
    /// Its name in the form.
    pub id: &'static str,
    /// What the reader sees.
    pub label: &'static str,
    page: (f64, f64),
    columns: usize,
    rows: usize,
    cell: (f64, f64),
    /// From the left edge, and from the top.
    margin: (f64, f64),
    /// From one label's corner to the next one's.
    pitch: (f64, f64),
}

const A4: (f64, f64) = (210.0, 297.0);
const LETTER: (f64, f64) = (215.9, 279.4);

/// The sheets that are offered. The sizes are those in which stationers sell label sheets; common
/// practice, no source.
pub const SHEETS: &[Sheet] = &[
    Sheet {
        id: "a4-21",
        label: "A4, 21 labels of 63.5 × 38.1 mm",
        page: A4,
        columns: 3,
        rows: 7,
        cell: (63.5, 38.1),
        margin: (7.25, 15.15),
        pitch: (66.0, 38.1),
    },
    Sheet {
        id: "a4-24",
        label: "A4, 24 labels of 70 × 37 mm",
        page: A4,
        columns: 3,
        rows: 8,
        cell: (70.0, 37.0),
        margin: (0.0, 0.5),
        pitch: (70.0, 37.0),
    },
    Sheet {
        id: "a4-65",
        label: "A4, 65 labels of 38.1 × 21.2 mm",
        page: A4,
        columns: 5,
        rows: 13,
        cell: (38.1, 21.2),
        margin: (4.75, 10.7),
        pitch: (40.6, 21.2),
    },
    Sheet {
        id: "letter-30",
        label: "Letter, 30 labels of 2.625 × 1 inch",
        page: LETTER,
        columns: 3,
        rows: 10,
        cell: (66.675, 25.4),
        margin: (4.7625, 12.7),
        pitch: (69.85, 25.4),
    },
    Sheet {
        id: "letter-10",
        label: "Letter, 10 labels of 4 × 2 inches",
        page: LETTER,
        columns: 2,
        rows: 5,
        cell: (101.6, 50.8),
        margin: (3.96875, 12.7),
        pitch: (106.3625, 50.8),
    },
];

impl Sheet {
    /// The sheet of this name, or the first.
    pub fn named(id: &str) -> &'static Self {
        SHEETS.iter().find(|sheet| sheet.id == id).unwrap_or(&SHEETS[0])
    }

    /// How many labels are on one.
    pub fn count(&self) -> usize {
        self.columns * self.rows
    }

    /// The lower left corner of a label, in points.
    fn corner(&self, at: usize) -> (f64, f64) {
        let (column, row) = (at % self.columns, at / self.columns % self.rows);
        let x = self.margin.0 + column as f64 * self.pitch.0;
        let top = self.margin.1 + row as f64 * self.pitch.1;
        (x * POINTS, (self.page.1 - top - self.cell.1) * POINTS)
    }
}

/// How high a capital letter is, as a share of the type's size: about that in every cut; common
/// practice, no source.
const CAPITAL: f64 = 0.72;

/// What stands on one label.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Label {
    /// The tag.
    pub tag: String,
    /// The piece's name.
    pub name: String,
    /// The address of its page, for the code.
    pub address: String,
}

/// The sheets as a file, leaving the first `skip` places of the first one empty.
pub fn print(sheet: &Sheet, club: &str, labels: &[Label], skip: usize) -> Vec<u8> {
    let skip = skip.min(sheet.count() - 1);
    let mut pages = Vec::new();
    for (at, label) in labels.iter().enumerate() {
        let place = at + skip;
        if pages.is_empty() || place.is_multiple_of(sheet.count()) {
            pages.push(Drawing::default());
        }
        if let Some(page) = pages.last_mut() {
            draw(page, sheet, place, club, label);
        }
    }
    if pages.is_empty() {
        pages.push(Drawing::default());
    }
    pdf::file("Labels", (sheet.page.0 * POINTS, sheet.page.1 * POINTS), &pages)
}

fn draw(page: &mut Drawing, sheet: &Sheet, place: usize, club: &str, label: &Label) {
    let (x, y) = sheet.corner(place);
    let (width, height) = (sheet.cell.0 * POINTS, sheet.cell.1 * POINTS);
    // What prints within two millimetres of the edge is cut off by the die or the printer.
    let rest = 2.0 * POINTS;
    page.clip(x, y, width, height);
    let side = (height - 2.0 * rest).min(width * 0.45);
    let low = y + (height - side) / 2.0;
    let border = code(page, &label.address, (x + rest, low), side);
    // The words stand level with the dark part of the code.
    let (top, bottom) = (low + side - border, low + border);
    let left = x + rest + side + rest / 2.0;
    let room = x + width - rest - left;
    let large = (height * 0.17).clamp(8.0, 24.0);
    let tag_size = large.min(fitting(&label.tag, room, Cut::Bold));
    let mut foot = top - tag_size * CAPITAL;
    page.text(left, foot, tag_size, Cut::Bold, &label.tag);
    let size = (height * 0.085).clamp(5.5, 12.0);
    foot -= size * 0.2;
    let most = ((foot - y - rest) / (size * 1.2)) as usize;
    for line in wrapped(&label.name, room, size).iter().take(most.max(1)) {
        foot -= size * 1.2;
        page.text(left, foot, size, Cut::Regular, line);
    }
    let small = size.min(fitting(club, room, Cut::Regular)) * 0.9;
    if foot - bottom > small * 1.3 {
        page.text(left, bottom, small, Cut::Regular, club);
    }
    page.unclip();
}

/// Draws the code with four modules of rest around it, in which nothing else stands; answers how
/// wide that rest is.
fn code(page: &mut Drawing, text: &str, (x, y): (f64, f64), side: f64) -> f64 {
    let Ok(code) = QrCode::with_error_correction_level(text, EcLevel::M) else { return 0.0 };
    let width = code.width();
    let module = side / (width + 8) as f64;
    for (row, colors) in code.to_colors().chunks(width).enumerate() {
        let mut column = 0;
        while column < width {
            let dark = |color: &&Color| **color == Color::Dark;
            let run = colors[column..].iter().take_while(dark).count();
            if run > 0 {
                page.fill(
                    x + (column + 4) as f64 * module,
                    y + side - (row + 5) as f64 * module,
                    run as f64 * module,
                    module,
                );
            }
            column += run.max(1);
        }
    }
    4.0 * module
}

/// The mean width of a letter as a share of its size, on the safe side; what is wider all the same
/// is cut at the label's edge.
fn letter_width(cut: Cut) -> f64 {
    match cut {
        Cut::Regular => 0.54,
        Cut::Bold => 0.64,
    }
}

/// The largest size at which a line fits.
fn fitting(text: &str, room: f64, cut: Cut) -> f64 {
    room / (text.chars().count().max(1) as f64 * letter_width(cut))
}

fn wrapped(text: &str, room: f64, size: f64) -> Vec<String> {
    let most = (room / (size * letter_width(Cut::Regular))).max(1.0) as usize;
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= most => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_label_lies_on_its_sheet_and_none_on_another() {
        for sheet in SHEETS {
            let right = sheet.margin.0 + (sheet.columns - 1) as f64 * sheet.pitch.0 + sheet.cell.0;
            let bottom = sheet.margin.1 + (sheet.rows - 1) as f64 * sheet.pitch.1 + sheet.cell.1;
            assert!(right <= sheet.page.0 + 1e-9, "{}", sheet.id);
            assert!(bottom <= sheet.page.1 + 1e-9, "{}", sheet.id);
            assert!(sheet.pitch.0 >= sheet.cell.0 && sheet.pitch.1 >= sheet.cell.1);
            // The margins are alike on both sides, as on every sheet that is sold.
            assert!((sheet.page.0 - right - sheet.margin.0).abs() < 0.02, "{}", sheet.id);
            assert!((sheet.page.1 - bottom - sheet.margin.1).abs() < 0.02, "{}", sheet.id);
        }
    }

    #[test]
    fn labels_go_on_to_the_next_sheet_and_begin_where_one_is_left() {
        let label = |at: usize| Label {
            tag: format!("E-{at:03}"),
            name: "25 mm four-element, flat field".into(),
            address: format!("https://lend.example.org/shelf/E-{at:03}"),
        };
        let labels: Vec<Label> = (1..=22).map(label).collect();
        let pages = |skip: usize| {
            let bytes = print(Sheet::named("a4-21"), "Club", &labels, skip);
            let text: String = bytes.iter().map(|byte| char::from(*byte)).collect();
            text.matches("/Type /Page ").count()
        };
        assert_eq!((pages(0), pages(20), pages(999)), (2, 2, 2));
        assert_eq!(print(Sheet::named("camel"), "Club", &[], 0).first(), Some(&b'%'));
    }

    #[test]
    fn the_code_holds_the_dark_modules_of_the_address_and_no_others() {
        let text = "https://lend.example.org/shelf/E-031";
        let mut page = Drawing::default();
        code(&mut page, text, (10.0, 20.0), 100.0);
        let wanted = QrCode::with_error_correction_level(text, EcLevel::M).unwrap();
        let module = 100.0 / (wanted.width() + 8) as f64;
        let mut dark = vec![vec![false; wanted.width()]; wanted.width()];
        for line in format!("{page:?}").split("\\n").filter(|line| line.ends_with("re f")) {
            let line = line.trim_start_matches(|letter: char| !letter.is_ascii_digit());
            let numbers: Vec<f64> =
                line.split(' ').filter_map(|number| number.parse().ok()).collect();
            let column = ((numbers[0] - 10.0) / module).round() as usize - 4;
            let row = ((120.0 - numbers[1]) / module).round() as usize - 5;
            let run = (numbers[2] / module).round() as usize;
            dark[row][column..column + run].fill(true);
        }
        for (row, line) in dark.iter().enumerate() {
            for (column, is_dark) in line.iter().enumerate() {
                assert_eq!(*is_dark, wanted[(column, row)] == Color::Dark, "{column} {row}");
            }
        }
    }
}
