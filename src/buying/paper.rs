//! The report on paper, for the committee.

use super::classes::members_in_words;
use super::report::{Report, day, money, points, selling, shopping};
use crate::shelf::pdf::{Cut, Drawing, POINTS, file};
use crate::web::format;

/// A4 in points.
const PAGE: (f64, f64) = (210.0 * POINTS, 297.0 * POINTS);
const LEFT: f64 = 22.0 * POINTS;
const TOP: f64 = 270.0 * POINTS;
const FOOT: f64 = 20.0 * POINTS;

/// Letters on a line of text: the typeface is half as wide as high on average, a little less.
const LETTERS: usize = 104;

struct Paper {
    pages: Vec<Drawing>,
    y: f64,
}

impl Paper {
    fn new() -> Self {
        Self { pages: vec![Drawing::default()], y: TOP }
    }

    fn line(&mut self, size: f64, cut: Cut, text: &str) {
        if self.y < FOOT {
            self.pages.push(Drawing::default());
            self.y = TOP;
        }
        if let Some(page) = self.pages.last_mut() {
            page.text(LEFT, self.y, size, cut, text);
        }
        self.y -= size * 1.4;
    }

    fn heading(&mut self, text: &str) {
        self.y -= 8.0;
        // A heading never stands alone at the foot.
        if self.y < FOOT + 50.0 {
            self.y = FOOT - 1.0;
        }
        self.line(13.0, Cut::Bold, text);
        self.y -= 2.0;
    }

    fn text(&mut self, text: &str) {
        for line in broken(text, LETTERS) {
            self.line(10.0, Cut::Regular, &line);
        }
        self.y -= 3.0;
    }
}

/// Lines of at most so many letters, broken at blanks.
fn broken(text: &str, letters: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= letters => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

/// The whole paper as PDF.
pub(super) fn paper(club: &str, report: &Report) -> Vec<u8> {
    let mut paper = Paper::new();
    let title = format!("What to buy next: {club}");
    paper.line(18.0, Cut::Bold, "What to buy next");
    paper.line(10.0, Cut::Regular, &format!("{club}, {}", day(&report.made_on)));
    paper.heading("For the minutes");
    paper.text(&report.minutes());
    paper.heading("What the figures mean");
    paper.text(&format!(
        "Each of {} active members, folded into {} classes of like eyes, is given the best kit for each of {} telescopes, with or without a coma corrector: at most five eyepieces and one Barlow of what is in store. A kit is worth up to 100 points: how well it serves 24 purposes of a night, from sweeping to close double stars, less a little for each piece carried. The average counts telescopes by how much they are borrowed, on {} ({}).",
        report.members,
        report.classes,
        report.telescopes,
        format::count(report.evenings.len(), "kind of evening", "kinds of evening"),
        report.evenings.join("; "),
    ));
    paper.heading("Value for money");
    paper.text(&format!("Today the average is {} points.", points(report.today)));
    for point in &report.points {
        let mut deeds = Vec::new();
        if !point.buy.is_empty() {
            deeds.push(format!("buy {}", shopping(point)));
        }
        if !point.sell.is_empty() {
            deeds.push(format!("sell {}", selling(point)));
        }
        let deeds = if deeds.is_empty() { "leave it as it is".into() } else { deeds.join("; ") };
        let proof = if point.proven_optimal {
            "proven to be the best".to_owned()
        } else {
            format!("not proven: at most {} points better", points(point.gap()))
        };
        paper.text(&format!(
            "Up to {}: {} points, spending {}: {deeds} ({proof}).",
            money(point.budget_cents.cast_signed()),
            points(point.value),
            money(point.spent_cents),
        ));
    }
    gains(&mut paper, report);
    paper.heading("Today's shelf");
    paper.text(&format!(
        "In every telescope too short in eye relief: {}.",
        members_in_words(report.relief_too_short)
    ));
    if !report.sought.is_empty() {
        paper.heading("Hard to get");
    }
    for one in &report.sought {
        let says = one.in_words(report.weekends);
        paper.text(&format!("{} {}: {says}.", one.piece.tag, one.piece.name));
    }
    paper.heading("What may go");
    if report.idle_together.is_empty() {
        paper.text("Every piece is in somebody's best kit.");
    } else {
        let names: Vec<String> =
            report.idle_together.iter().map(|one| format!("{} {}", one.tag, one.name)).collect();
        paper.text(&format!(
            "These may all go together without taking anything from anybody's best kit: {}.",
            format::list(&names)
        ));
    }
    if !report.wishes.is_empty() {
        paper.heading("What would be ideal");
        for wish in &report.wishes {
            paper.text(&format!("{}: +{} points.", wish.in_words(), points(wish.gain)));
        }
    }
    file(&title, PAGE, &paper.pages)
}

fn gains(paper: &mut Paper, report: &Report) {
    paper.heading("Who gains");
    for gain in report.groups.iter().filter(|gain| gain.after - gain.before >= 0.0005) {
        paper.text(&format!(
            "{} ({}): from {} to {} points.",
            gain.what,
            members_in_words(gain.members),
            points(gain.before),
            points(gain.after)
        ));
    }
    let telescopes =
        report.by_telescope.iter().filter(|gain| gain.after - gain.before >= 0.0005).take(8);
    for gain in telescopes {
        paper.text(&format!(
            "{}: from {} to {} points.",
            gain.what,
            points(gain.before),
            points(gain.after)
        ));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_broken_at_blanks_and_nothing_is_lost() {
        let text = "Each of fifty members is given the best kit for each telescope";
        let lines = broken(text, 20);
        assert!(lines.iter().all(|line| line.chars().count() <= 20), "{lines:?}");
        assert_eq!(lines.join(" "), text);
    }
}
