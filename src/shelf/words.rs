//! Items in words: a line for people, and every word somebody might look for.

use super::model::{FilterFigures, FilterKind, Mount, TelescopeFigures};
use crate::optics::{Barlow, Barrel, Eyepiece, Layout, OpticalClass, Tracking};
use crate::web::format;

/// The figures of one kind in words.
pub trait Wordy {
    /// One line for people: "203 mm reflector on a rocker, f/6".
    fn summary(&self) -> String;

    /// Further words that people look for and the line lacks: inches, other names of the same.
    fn more_words(&self) -> Vec<String>;
}

/// A length as people look for it: "25mm", "25", "mm".
fn length(mm: f64) -> String {
    format!("{mm}mm {mm:.0}mm {mm} mm")
}

pub(super) fn barrel_words(barrel: Option<Barrel>) -> &'static str {
    match barrel {
        Some(Barrel::Wide) => "50.8mm 2 inch 2inch wide barrel",
        Some(Barrel::Standard) => "31.75mm 1.25 inch 1.25inch standard barrel",
        Some(Barrel::Narrow) => "24.5mm 0.965 inch narrow barrel",
        None => "",
    }
}

impl Wordy for TelescopeFigures {
    fn summary(&self) -> String {
        let optics = &self.optics;
        let layout = match optics.layout() {
            Layout::Refractor => "refractor",
            Layout::Newtonian => "reflector",
            Layout::SchmidtCassegrain => "Schmidt-Cassegrain",
            Layout::MaksutovCassegrain => "Maksutov-Cassegrain",
            Layout::Other | Layout::Unknown => "telescope",
        };
        let mount = self.mount.map_or("", |mount| match mount {
            Mount::Dobsonian => " on a rocker",
            Mount::Tabletop => " for a table",
            Mount::Altazimuth => " on a simple mount",
            Mount::Equatorial => " on an equatorial mount",
        });
        format!(
            "{:.0} mm {layout}{mount}, {}",
            optics.aperture().mm(),
            format::focal_ratio(optics.focal_ratio().number())
        )
    }

    fn more_words(&self) -> Vec<String> {
        let optics = &self.optics;
        let mut words = vec![
            "telescope".to_owned(),
            optics.layout().as_str().replace('_', " "),
            length(optics.aperture().mm()),
            format!("{:.0} inch", optics.aperture().mm() / 25.4),
            length(optics.focal_length().mm()),
            barrel_words(optics.focuser()).to_owned(),
        ];
        words.extend(self.mount.map(|mount| mount.as_str().to_owned()));
        if optics.tracking() == Some(Tracking::Tracks) {
            words.push("tracking follows the sky".to_owned());
        }
        words
    }
}

impl Wordy for Eyepiece {
    fn summary(&self) -> String {
        let mut words = vec![format::millimetres(self.focal_length().mm())];
        if let Some(field) = self.apparent_field() {
            words.push(format!("{:.0}° field", field.deg()));
        }
        if let Some(relief) = self.relief() {
            words.push(format!("{} eye relief", format::millimetres(relief.mm())));
        }
        words.join(", ")
    }

    fn more_words(&self) -> Vec<String> {
        let mut words = vec![
            "eyepiece".to_owned(),
            length(self.focal_length().mm()),
            barrel_words(self.barrel()).to_owned(),
        ];
        words.extend(self.class().map(|class| {
            let said = match class {
                OpticalClass::WideField => "wide field",
                OpticalClass::TwoLens => "two lens",
                OpticalClass::ThreeElement => "three element",
                OpticalClass::FourElement => "four element",
            };
            said.to_owned()
        }));
        words
    }
}

impl Wordy for Barlow {
    fn summary(&self) -> String {
        let times = format::factor(self.factor.times());
        match self.barrel {
            Some(barrel) => format!("{times}, {} barrel", format::millimetres(barrel.mm())),
            None => format!("{times}, barrel not known"),
        }
    }

    fn more_words(&self) -> Vec<String> {
        let times = self.factor.times();
        let mut words =
            vec![format!("barlow {times}x {times}×"), barrel_words(self.barrel).to_owned()];
        words.extend(self.kind.map(|kind| kind.as_str().to_owned()));
        words
    }
}

impl Wordy for FilterFigures {
    fn summary(&self) -> String {
        let kind = match self.kind {
            FilterKind::SolarFullAperture => "Solar filter for the front of a telescope",
            FilterKind::Moon => "Moon filter",
            FilterKind::Nebula => "Nebula filter",
            FilterKind::Colour => "Colour filter",
            FilterKind::Polarising => "Polarising filter",
        };
        if let Some(telescope) = &self.fits_telescope {
            return format!("{kind}, made for {telescope}");
        }
        match (self.barrel, self.fits_tube.min_mm(), self.fits_tube.max_mm()) {
            (Some(barrel), ..) => format!("{kind}, {} thread", format::millimetres(barrel.mm())),
            (None, Some(low), Some(high)) => {
                format!("{kind}, for tubes {low:.0} to {high:.0} mm wide")
            }
            _ => kind.to_owned(),
        }
    }

    fn more_words(&self) -> Vec<String> {
        let mut words = vec!["filter".to_owned(), barrel_words(self.barrel).to_owned()];
        match self.kind {
            FilterKind::SolarFullAperture => words.push("solar sun full aperture".to_owned()),
            other => words.push(other.as_str().to_owned()),
        }
        if self.damaged {
            words.push("damaged".to_owned());
        }
        words
    }
}

/// A text as the index takes it: decimals are one word, so that 25 does not find every 1.25 inch
/// barrel and 12.5 finds what 12,5 does.
pub(super) fn spelled(text: &str) -> String {
    let mut spelled = String::with_capacity(text.len());
    let mut before = ' ';
    let mut rest = text.chars().peekable();
    while let Some(letter) = rest.next() {
        let inside = before.is_ascii_digit() && rest.peek().is_some_and(char::is_ascii_digit);
        spelled.push(if inside && matches!(letter, '.' | ',') { 'p' } else { letter });
        before = letter;
    }
    spelled
}

/// What somebody typed, as a question to the full-text index: every word begun there must be
/// there. None when no letter or digit was typed.
///
/// Each word is quoted, so nothing that is typed can be taken for the index's own language.
pub(super) fn match_of(typed: &str) -> Option<String> {
    const MOST_WORDS: usize = 12;
    let words: Vec<String> = typed
        .split_whitespace()
        .filter(|word| word.chars().any(char::is_alphanumeric))
        .take(MOST_WORDS)
        .map(|word| format!("\"{}\"*", spelled(word).replace(['"', '\0'], "")))
        .collect();
    (!words.is_empty()).then(|| words.join(" "))
}

#[cfg(test)]
mod tests {
    use super::{match_of, spelled};

    #[test]
    fn decimals_are_one_word_whichever_mark_they_have() {
        assert_eq!(spelled("1.25 inch, 12,5 mm. T.1 3."), "1p25 inch, 12p5 mm. T.1 3.");
        assert_eq!(match_of("12,5"), Some("\"12p5\"*".into()));
    }

    #[test]
    fn whatever_is_typed_stays_a_list_of_quoted_words() {
        assert_eq!(match_of("E-03 wide"), Some("\"E-03\"* \"wide\"*".into()));
        assert_eq!(match_of("a\" OR b*"), Some("\"a\"* \"OR\"* \"b*\"*".into()));
        assert_eq!(match_of(" \" * - "), None);
    }
}
