//! Loans as calendar programs read them (RFC 5545). Pure.
//!
//! A night is a date and a loan lasts whole days, so a loan's events have dates and no times, and no
//! time zone can move them. A public night has hours, told in UTC.

use std::fmt::Write as _;

use jiff::Timestamp;

use super::night::Nights;
use crate::web::secret::{hash, hex};

/// How sure an event is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sure {
    /// It waits for somebody's word.
    Tentative,
    /// It is settled.
    Confirmed,
    /// It does not take place.
    Cancelled,
}

/// When an event is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum When {
    /// Whole days: the nights of a loan.
    Nights(Nights),
    /// From one instant to another.
    Hours(Timestamp, Timestamp),
}

/// One event of a feed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// What it is in this service, the same for ever: "reservation 41".
    pub key: String,
    /// When it is.
    pub when: When,
    /// Where it is; may be empty.
    pub place: String,
    /// Counts its changes.
    pub sequence: i64,
    /// One line.
    pub summary: String,
    /// What a calendar shows on request; may be empty.
    pub description: String,
    /// The page about it; none where there is none.
    pub link: Option<String>,
    /// How sure it is.
    pub sure: Sure,
}

/// A whole feed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Feed {
    /// What a calendar program calls it.
    pub name: String,
    /// What sets this club apart from others; part of every event's identity.
    pub club: String,
    /// When it was written.
    pub now: Timestamp,
    /// Its events.
    pub entries: Vec<Entry>,
}

/// The most octets of a line, its end not counted (RFC 5545, section 3.1).
const LINE: usize = 75;

impl Feed {
    /// The feed as text.
    #[must_use]
    pub fn written(&self) -> String {
        let mut page = Page::default();
        page.line("BEGIN", "VCALENDAR");
        page.line("VERSION", "2.0");
        page.line("PRODID", "-//Borrowed Light//Lending//EN");
        page.line("CALSCALE", "GREGORIAN");
        page.text("NAME", &self.name);
        page.text("X-WR-CALNAME", &self.name);
        page.line("REFRESH-INTERVAL;VALUE=DURATION", "PT6H");
        for entry in &self.entries {
            self.event(&mut page, entry);
        }
        page.line("END", "VCALENDAR");
        page.0
    }

    fn event(&self, page: &mut Page, entry: &Entry) {
        let day = |date: jiff::civil::Date| date.strftime("%Y%m%d").to_string();
        let instant = |at: Timestamp| at.strftime("%Y%m%dT%H%M%SZ").to_string();
        page.line("BEGIN", "VEVENT");
        page.line("UID", &self.uid(&entry.key));
        page.line("DTSTAMP", &instant(self.now));
        match entry.when {
            When::Nights(nights) => {
                page.line("DTSTART;VALUE=DATE", &day(nights.first().evening()));
                // The end is the first day that is no longer part of it.
                page.line("DTEND;VALUE=DATE", &day(nights.last().morning()));
            }
            When::Hours(from, to) => {
                page.line("DTSTART", &instant(from));
                page.line("DTEND", &instant(to));
            }
        }
        page.line("SEQUENCE", &entry.sequence.to_string());
        page.text("SUMMARY", &entry.summary);
        if !entry.description.is_empty() {
            page.text("DESCRIPTION", &entry.description);
        }
        if !entry.place.is_empty() {
            page.text("LOCATION", &entry.place);
        }
        if let Some(link) = &entry.link {
            page.line("URL", link);
        }
        let sure = match entry.sure {
            Sure::Tentative => "TENTATIVE",
            Sure::Confirmed => "CONFIRMED",
            Sure::Cancelled => "CANCELLED",
        };
        page.line("STATUS", sure);
        // A telescope in the house keeps nobody from other appointments.
        let keeps_busy = matches!(entry.when, When::Hours(..));
        page.line("TRANSP", if keeps_busy { "OPAQUE" } else { "TRANSPARENT" });
        page.line("END", "VEVENT");
    }

    /// An identity that no other club's event has and that tells nothing (RFC 7986, section 5.3).
    fn uid(&self, key: &str) -> String {
        let mut id = hex(&hash(&format!("{}\n{key}", self.club)));
        id.truncate(32);
        for at in [20, 16, 12, 8] {
            id.insert(at, '-');
        }
        id
    }
}

/// Lines as RFC 5545 wants them.
#[derive(Default)]
struct Page(String);

impl Page {
    /// A line whose value needs no escaping; what could end a line is dropped.
    fn line(&mut self, name: &str, value: &str) {
        let value: String = value.chars().filter(|c| !c.is_control()).collect();
        self.folded(&format!("{name}:{value}"));
    }

    /// A line of text (RFC 5545, section 3.3.11).
    fn text(&mut self, name: &str, value: &str) {
        let mut escaped = String::with_capacity(value.len());
        for c in value.chars() {
            match c {
                '\\' | ';' | ',' => {
                    escaped.push('\\');
                    escaped.push(c);
                }
                '\n' => escaped.push_str("\\n"),
                c if c.is_control() => {}
                c => escaped.push(c),
            }
        }
        self.folded(&format!("{name}:{escaped}"));
    }

    /// Breaks a line before its 76th octet, never inside a character.
    fn folded(&mut self, line: &str) {
        let mut octets = 0;
        for c in line.chars() {
            if octets + c.len_utf8() > LINE {
                self.0.push_str("\r\n ");
                octets = 1;
            }
            // Writing to a String cannot fail.
            let _ = self.0.write_char(c);
            octets += c.len_utf8();
        }
        self.0.push_str("\r\n");
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn feed(summary: &str) -> Feed {
        Feed {
            name: "My loans".into(),
            club: "Windmill Hill Astronomers".into(),
            now: "2026-06-05T12:00:00Z".parse().unwrap(),
            entries: vec![Entry {
                key: "reservation 41".into(),
                when: When::Nights(Nights::parse("2026-06-29", "2026-06-30").unwrap()),
                place: String::new(),
                sequence: 2,
                summary: summary.into(),
                description: "T-007 Orchard\nE-031 25 mm".into(),
                link: Some("https://lend.example.org/mine/41".into()),
                sure: Sure::Confirmed,
            }],
        }
    }

    fn unfolded(text: &str) -> Vec<String> {
        text.replace("\r\n ", "").split("\r\n").map(String::from).collect()
    }

    #[test]
    fn the_end_is_the_day_after_the_last_night() {
        let lines = unfolded(&feed("Orchard").written());
        assert!(lines.contains(&"DTSTART;VALUE=DATE:20260629".to_owned()));
        assert!(lines.contains(&"DTEND;VALUE=DATE:20260701".to_owned()));
        assert!(lines.contains(&"DESCRIPTION:T-007 Orchard\\nE-031 25 mm".to_owned()));
    }

    #[test]
    fn one_event_keeps_its_identity_and_two_clubs_have_different_ones() {
        let one = feed("Orchard");
        let other = Feed { club: "Elsewhere".into(), ..one.clone() };
        assert_eq!(one.uid("reservation 41"), one.uid("reservation 41"));
        assert_ne!(one.uid("reservation 41"), one.uid("reservation 42"));
        assert_ne!(one.uid("reservation 41"), other.uid("reservation 41"));
        assert_eq!(one.uid("x").len(), 36);
    }

    proptest! {
        #[test]
        fn no_text_breaks_a_line_or_makes_one(summary in "\\PC{0,200}|[\\x00-\\x7f]{0,200}") {
            let written = feed(&summary).written();
            prop_assert!(written.ends_with("END:VCALENDAR\r\n"));
            for line in written.split("\r\n") {
                prop_assert!(line.len() <= LINE, "{line}");
                prop_assert!(!line.contains(['\r', '\n']));
            }
            let lines = unfolded(&written);
            prop_assert_eq!(lines.len(), unfolded(&feed("").written()).len());
            let back = lines.iter().find_map(|line| line.strip_prefix("SUMMARY:")).unwrap();
            let plain: String = summary.chars().filter(|c| *c == '\n' || !c.is_control()).collect();
            prop_assert_eq!(unescaped(back), plain);
        }
    }

    fn unescaped(text: &str) -> String {
        let mut plain = String::new();
        let mut chars = text.chars();
        while let Some(c) = chars.next() {
            let meant = if c == '\\' { chars.next().unwrap_or(c) } else { c };
            plain.push(if c == '\\' && meant == 'n' { '\n' } else { meant });
        }
        plain
    }
}
