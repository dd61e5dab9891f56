//! The kit card on paper.

use super::card_pages::{CardKit, CardPage};
use crate::lending::cautions;
use crate::observing::plan::NightShown;
use crate::shelf::pdf::{self, Cut, Drawing, POINTS};

/// A4, in points.
const PAGE: (f64, f64) = (210.0 * POINTS, 297.0 * POINTS);

/// Kept free on each side, in points.
const MARGIN: f64 = 15.0 * POINTS;

/// The height of a line over that of its letters.
const LEADING: f64 = 1.32;

/// The card as a file.
pub(super) fn card(page: &CardPage) -> Vec<u8> {
    let mut sheet = Sheet::new();
    sheet.line(18.0, Cut::Bold, 0.0, "Kit card");
    sheet.words(
        10.0,
        Cut::Regular,
        0.0,
        &format!("{}. Bring it back on {}.", page.nights, page.due),
    );
    if page.daylight {
        let sun = cautions::about(cautions::Topic::Sun).short;
        sheet.words(10.0, Cut::Bold, 0.0, &format!("For use by day: {sun}"));
    }
    for kit in &page.kits {
        kit_on(&mut sheet, kit);
    }
    sheet.heading("Pack it all again");
    for (tag, name) in &page.pieces {
        sheet.box_and(&format!("{tag}  {name}"));
    }
    sheet.heading("Take care");
    sheet.words(9.0, Cut::Regular, 0.0, cautions::FIRST);
    for caution in &page.cautions {
        sheet.words(9.0, Cut::Regular, 8.0, &format!("– {}", caution.short));
    }
    if !page.plan.is_empty() {
        // The first page is for the whole loan, the next for its nights.
        sheet.turn();
        sheet.heading("What to look at");
        if let Some(site) = &page.site {
            sheet.words(
                9.0,
                Cut::Regular,
                0.0,
                &format!("At {site}, in the order in which things stand best."),
            );
        }
        for night in &page.plan {
            night_on(&mut sheet, night);
        }
    }
    pdf::file("Kit card", PAGE, &sheet.done())
}

fn kit_on(sheet: &mut Sheet, kit: &CardKit) {
    sheet.heading(&format!("{} {}", kit.tag, kit.name));
    sheet.words(9.0, Cut::Regular, 0.0, &kit.summary);
    for view in &kit.views {
        let row = &view.row;
        let barlow = row.barlow.as_deref().map_or_else(String::new, |with| format!(" {with}"));
        let first = format!("{}   {} {}{barlow}", row.power, view.tag, row.eyepiece);
        sheet.keep_together(2);
        sheet.words(10.0, Cut::Bold, 0.0, &first);
        let mut says = format!("Exit pupil {}, true field {}.", row.exit_pupil, row.true_field);
        if !row.good_for.is_empty() {
            says = format!("For {}. {says}", row.good_for);
        }
        for reason in &row.reasons {
            says = format!("{says} {}", reason.text);
        }
        sheet.words(9.0, Cut::Regular, 12.0, &says);
    }
    for one in &kit.avoid {
        let why = one.reasons.first().map_or("", |reason| reason.text.as_str());
        sheet.words(9.0, Cut::Regular, 0.0, &format!("Better not {}: {why}", one.what));
    }
    for caution in &kit.cautions {
        sheet.words(9.0, Cut::Bold, 0.0, caution);
    }
}

fn night_on(sheet: &mut Sheet, night: &NightShown) {
    // A night's stops are not torn apart where a page has room for them.
    let stops = u8::try_from(night.stops.len()).unwrap_or(u8::MAX);
    sheet.keep_together(stops.saturating_mul(2).saturating_add(4).min(50));
    sheet.gap(3.0);
    sheet.line(11.0, Cut::Bold, 0.0, &night.title);
    sheet.words(9.0, Cut::Regular, 0.0, &night.darkness);
    for (at, stop) in night.stops.iter().enumerate() {
        sheet.keep_together(2);
        let first = format!("{}. {}: {}", at + 1, stop.name, stop.through);
        sheet.words(9.5, Cut::Bold, 0.0, &first);
        sheet.words(9.0, Cut::Regular, 12.0, &format!("{}. {}", stop.kind, stop.when));
    }
}

/// Pages that fill from the top.
struct Sheet {
    done: Vec<Drawing>,
    page: Drawing,
    y: f64,
}

impl Sheet {
    fn new() -> Self {
        Self { done: Vec::new(), page: Drawing::default(), y: PAGE.1 - MARGIN }
    }

    fn done(mut self) -> Vec<Drawing> {
        self.done.push(self.page);
        self.done
    }

    fn turn(&mut self) {
        self.done.push(std::mem::take(&mut self.page));
        self.y = PAGE.1 - MARGIN;
    }

    /// Turns the page where fewer lines than this would fit.
    fn keep_together(&mut self, lines: u8) {
        if self.y - f64::from(lines) * 13.0 < MARGIN {
            self.turn();
        }
    }

    fn gap(&mut self, points: f64) {
        self.y -= points;
    }

    fn heading(&mut self, text: &str) {
        self.keep_together(4);
        self.gap(9.0);
        self.line(13.0, Cut::Bold, 0.0, text);
        self.page.fill(MARGIN, self.y - 1.0, PAGE.0 - 2.0 * MARGIN, 0.6);
        self.gap(4.0);
    }

    fn line(&mut self, size: f64, cut: Cut, indent: f64, text: &str) {
        self.y -= size * LEADING;
        if self.y < MARGIN {
            self.turn();
            self.y -= size * LEADING;
        }
        self.page.text(MARGIN + indent, self.y + size * 0.25, size, cut, text);
    }

    /// A text over as many lines as it takes.
    fn words(&mut self, size: f64, cut: Cut, indent: f64, text: &str) {
        let room = PAGE.0 - 2.0 * MARGIN - indent;
        for line in broken(text, room / size, cut) {
            self.line(size, cut, indent, &line);
        }
    }

    /// A box to tick and what it is for.
    fn box_and(&mut self, text: &str) {
        self.line(9.5, Cut::Regular, 16.0, text);
        let (x, y, side, stroke) = (MARGIN, self.y + 0.5, 9.0, 0.7);
        self.page.fill(x, y, side, stroke);
        self.page.fill(x, y + side - stroke, side, stroke);
        self.page.fill(x, y, stroke, side);
        self.page.fill(x + side - stroke, y, stroke, side);
    }
}

/// A text in lines no wider than `room`, in units of the letters' size.
fn broken(text: &str, room: f64, cut: Cut) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
        if width(&longer, cut) <= room || line.is_empty() {
            line = longer;
        } else {
            lines.push(std::mem::replace(&mut line, word.to_owned()));
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// How wide a text is, in units of the letters' size: the widths that the typeface's metrics give
/// for its regular cut (from memory), a little more for the bold one, and a wide letter's for what
/// is not among them.
fn width(text: &str, cut: Cut) -> f64 {
    let letter = |letter: char| match letter {
        'i' | 'j' | 'l' | '\'' | '|' => 0.222,
        ' ' | 'f' | 't' | 'I' | '.' | ',' | ':' | ';' | '!' | '/' => 0.278,
        'r' | '(' | ')' | '-' => 0.333,
        'c' | 'k' | 's' | 'v' | 'x' | 'y' | 'z' | 'J' => 0.5,
        'a'..='z' if letter != 'm' && letter != 'w' => 0.556,
        '0'..='9' | 'L' | '–' => 0.556,
        'F' | 'T' | 'Z' | '×' | '+' | '=' => 0.611,
        'A' | 'B' | 'E' | 'K' | 'P' | 'S' | 'V' | 'X' | 'Y' => 0.667,
        'C' | 'D' | 'H' | 'N' | 'R' | 'U' | 'w' => 0.722,
        'G' | 'O' | 'Q' => 0.778,
        _ => 0.9,
    };
    let sum: f64 = text.chars().map(letter).sum();
    match cut {
        Cut::Regular => sum,
        Cut::Bold => sum * 1.06,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn every_word_is_written_and_no_line_is_too_wide(text in "[a-zA-Z0-9 ,.]{0,300}") {
            let lines = broken(&text, 40.0, Cut::Regular);
            let words: Vec<&str> = text.split_whitespace().collect();
            let written: Vec<&str> = lines.iter().flat_map(|line| line.split(' ')).collect();
            prop_assert_eq!(words, written.into_iter().filter(|word| !word.is_empty()).collect::<Vec<_>>());
            for line in &lines {
                prop_assert!(width(line, Cut::Regular) <= 40.0 || !line.contains(' '));
            }
        }
    }
}
