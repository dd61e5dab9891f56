//! The shelf's lists on paper: values and use, for the insurance and the annual meeting.

use super::pdf::{self, Cut, Drawing, POINTS};

/// A column: its heading, where it begins and how wide it is, in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Column {
    /// What stands above it.
    pub heading: &'static str,
    /// From the left edge, mm.
    pub from_mm: f64,
    /// How wide it is, mm.
    pub width_mm: f64,
    /// Where the last digit of its numbers ends, mm from its left edge; none in a column of words.
    pub digits_end_mm: Option<f64>,
}

impl Column {
    /// A column of words.
    pub const fn words(heading: &'static str, from_mm: f64, width_mm: f64) -> Self {
        Self { heading, from_mm, width_mm, digits_end_mm: None }
    }

    /// A column of numbers, which end where their heading does.
    pub const fn numbers(heading: &'static str, from_mm: f64, end_mm: f64) -> Self {
        Self { heading, from_mm, width_mm: end_mm + 1.0, digits_end_mm: Some(end_mm) }
    }

    /// Where a cell begins, mm.
    fn begins(&self, text: &str) -> f64 {
        match self.digits_end_mm {
            Some(end) => self.from_mm + (end - number_width(text) * SIZE / POINTS).max(0.0),
            None => self.from_mm,
        }
    }
}

/// How wide a number is, as a share of the type's size: digits and the dash 0.556, the point 0.278
/// (the typeface's metrics, from memory).
fn number_width(text: &str) -> f64 {
    text.chars().map(|letter| if letter == '.' { 0.278 } else { 0.556 }).sum()
}

/// A list to be printed.
#[derive(Clone, Debug, PartialEq)]
pub struct List {
    /// What stands on top.
    pub title: String,
    /// What it comes to, and of which day it is.
    pub says: Vec<String>,
    /// The columns.
    pub columns: &'static [Column],
    /// The rows, in the order of the columns.
    pub rows: Vec<Vec<String>>,
}

/// A4, mm.
const PAGE_MM: (f64, f64) = (210.0, 297.0);
const MARGIN_MM: f64 = 15.0;
const LINE_MM: f64 = 5.2;
const SIZE: f64 = 8.5;

/// Paper of A4 with the list on as many pages as it takes, each with its number.
pub fn print(list: &List) -> Vec<u8> {
    let head_mm = 14.0 + LINE_MM * list.says.len() as f64;
    let room =
        |above: f64| ((PAGE_MM.1 - 2.0 * MARGIN_MM - above - 2.0 * LINE_MM) / LINE_MM) as usize;
    let (first, other) = (room(head_mm), room(0.0));
    let (on_first, rest) = list.rows.split_at(first.min(list.rows.len()));
    let mut parts = vec![on_first];
    parts.extend(rest.chunks(other.max(1)));
    let count = parts.len();
    let pages: Vec<Drawing> = parts
        .iter()
        .enumerate()
        .map(|(at, rows)| {
            let mut page = Drawing::default();
            let mut down = MARGIN_MM;
            if at == 0 {
                line(&mut page, MARGIN_MM, down + 6.0, 16.0, Cut::Bold, &list.title);
                down += 12.0;
                for says in &list.says {
                    line(&mut page, MARGIN_MM, down, SIZE + 1.0, Cut::Regular, says);
                    down += LINE_MM;
                }
                down += 2.0;
            }
            for column in list.columns {
                line(&mut page, column.from_mm, down, SIZE, Cut::Bold, column.heading);
            }
            page.fill(
                MARGIN_MM * POINTS,
                (PAGE_MM.1 - down - 1.6) * POINTS,
                (PAGE_MM.0 - 2.0 * MARGIN_MM) * POINTS,
                0.6,
            );
            for cells in *rows {
                down += LINE_MM;
                row(&mut page, list.columns, down, cells);
            }
            let number = format!("{} of {count}", at + 1);
            line(&mut page, MARGIN_MM, PAGE_MM.1 - 8.0, 7.5, Cut::Regular, &number);
            page
        })
        .collect();
    pdf::file(&list.title, (PAGE_MM.0 * POINTS, PAGE_MM.1 * POINTS), &pages)
}

fn line(page: &mut Drawing, from_mm: f64, down_mm: f64, size: f64, cut: Cut, text: &str) {
    page.text(from_mm * POINTS, (PAGE_MM.1 - down_mm) * POINTS, size, cut, text);
}

/// Each cell inside its own column, whatever its length.
fn row(page: &mut Drawing, columns: &[Column], down_mm: f64, cells: &[String]) {
    for (column, text) in columns.iter().zip(cells) {
        let foot = (PAGE_MM.1 - down_mm) * POINTS;
        page.clip(column.from_mm * POINTS, foot - 3.0, column.width_mm * POINTS, 14.0);
        page.text(column.begins(text) * POINTS, foot, SIZE, Cut::Regular, text);
        page.unclip();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const COLUMNS: &[Column] =
        &[Column::words("Tag", 15.0, 25.0), Column::words("Name", 42.0, 100.0)];

    fn of(rows: usize) -> String {
        let list = List {
            title: "What it is worth".into(),
            says: vec!["All together 340.".into()],
            columns: COLUMNS,
            rows: (0..rows).map(|at| vec![format!("E-{at:04}"), "(a) \\ glass".into()]).collect(),
        };
        String::from_utf8_lossy(&print(&list)).into_owned()
    }

    fn hex(text: &str) -> String {
        crate::web::secret::hex(text.as_bytes()).to_uppercase()
    }

    #[test]
    fn numbers_end_under_each_other() {
        let column = Column::numbers("Value", 100.0, 12.0);
        let end = |text: &str| column.begins(text) + number_width(text) * SIZE / POINTS;
        for text in ["2400.00", "390.50", "0", "–"] {
            assert!((end(text) - 112.0).abs() < 1e-9, "{text}");
        }
        assert!(column.begins("9999999999999999.00") >= 100.0, "none begins in another column");
        assert!((Column::words("Tag", 15.0, 25.0).begins("12") - 15.0).abs() < 1e-9);
    }

    #[test]
    fn every_row_stands_on_some_page_once_and_every_page_has_its_heading() {
        for rows in [0, 1, 45, 46, 47, 48, 49, 50, 51, 200] {
            let text = of(rows);
            let pages = text.matches("/Type /Page ").count();
            assert_eq!(text.matches(&hex("Name")).count(), pages, "{rows}");
            for at in 0..rows {
                assert_eq!(text.matches(&hex(&format!("E-{at:04}"))).count(), 1, "{rows}: {at}");
            }
            // No foot of a line stands below the page number.
            let low = text.lines().filter_map(|line| line.split(" Tf ").nth(1));
            let feet = low.filter_map(|rest| rest.split(' ').nth(1)?.parse::<f64>().ok());
            assert!(feet.fold(f64::MAX, f64::min) >= 8.0 * POINTS - 0.01, "{rows}");
        }
        assert_eq!(of(1).matches("/Type /Page ").count(), 1);
        assert!(of(200).matches("/Type /Page ").count() >= 4);
    }
}
