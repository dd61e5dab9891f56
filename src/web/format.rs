//! Numbers and dates as people read them: rounded, with their unit, never breaking apart.
//!
//! For eyes only. The API gives full precision and units in its field names.

use jiff::civil::Date;

/// Keeps a number and its unit on one line.
const TIE: char = '\u{a0}';

/// Rounds to at most `places` decimals and drops trailing noughts: `9.50` reads `9.5`.
fn trimmed(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    if !text.contains('.') {
        return text;
    }
    let short = text.trim_end_matches('0').trim_end_matches('.');
    if short == "-0" { "0".into() } else { short.into() }
}

/// A magnification: `49×`, or `8.4×` below ten.
///
/// ```
/// assert_eq!(borrowed_light::web::format::power(48.76), "49×");
/// ```
#[must_use]
pub fn power(times: f64) -> String {
    if times < 9.95 { format!("{}×", trimmed(times, 1)) } else { format!("{times:.0}×") }
}

/// A length in millimetres to one decimal: `25 mm`, `9.5 mm`.
#[must_use]
pub fn millimetres(mm: f64) -> String {
    format!("{}{TIE}mm", trimmed(mm, 1))
}

/// An exit pupil in millimetres: one decimal from 1 mm on, two below, where hundredths matter.
///
/// ```
/// assert_eq!(borrowed_light::web::format::exit_pupil(0.402), "0.40\u{a0}mm");
/// ```
#[must_use]
pub fn exit_pupil(mm: f64) -> String {
    if mm < 0.995 { format!("{mm:.2}{TIE}mm") } else { format!("{mm:.1}{TIE}mm") }
}

/// A true field in degrees: `1.07°`, `0.19°`.
#[must_use]
pub fn field(degrees: f64) -> String {
    format!("{}°", trimmed(degrees, 2))
}

/// A focal ratio: `f/6`, `f/4.5`.
#[must_use]
pub fn focal_ratio(ratio: f64) -> String {
    format!("f/{}", trimmed(ratio, 1))
}

/// How long something takes, in minutes and seconds: `4 min 15 s`.
#[must_use]
pub fn duration(seconds: f64) -> String {
    let whole = seconds.round().max(0.0) as u64;
    match (whole / 60, whole % 60) {
        (0, s) => format!("{s}{TIE}s"),
        (m, 0) => format!("{m}{TIE}min"),
        (m, s) => format!("{m}{TIE}min {s}{TIE}s"),
    }
}

/// A share as whole per cent: `0.2425` reads `24%`.
#[must_use]
pub fn per_cent(share: f64) -> String {
    format!("{:.0}%", share * 100.0)
}

/// A mass in grams, shown in kilograms from one kilogram on: `830 g`, `27.5 kg`.
#[must_use]
pub fn mass(grams: f64) -> String {
    if grams < 1000.0 {
        format!("{grams:.0}{TIE}g")
    } else {
        format!("{}{TIE}kg", trimmed(grams / 1000.0, 1))
    }
}

/// A Barlow's factor: `2×`, `2.25×`.
#[must_use]
pub fn factor(times: f64) -> String {
    format!("{}×", trimmed(times, 2))
}

/// A night by its evening: `Friday 5 June 2026`.
#[must_use]
pub fn night(date: Date) -> String {
    date.strftime("%A %-d %B %Y").to_string()
}

/// Some nights, without saying month or year twice: `Friday 5 to Sunday 7 June 2026`.
///
/// ```
/// use borrowed_light::web::format::nights;
/// use jiff::civil::date;
///
/// assert_eq!(nights(date(2026, 6, 5), date(2026, 6, 7)), "Friday 5 to Sunday 7 June 2026");
/// ```
#[must_use]
pub fn nights(first: Date, last: Date) -> String {
    if first == last {
        return night(first);
    }
    let start = if first.year() != last.year() {
        night(first)
    } else if first.month() == last.month() {
        first.strftime("%A %-d").to_string()
    } else {
        first.strftime("%A %-d %B").to_string()
    };
    format!("{start} to {}", night(last))
}

/// Items as a sentence lists them: `a, b and c`.
#[must_use]
pub fn list<S: AsRef<str>>(items: &[S]) -> String {
    match items {
        [] => String::new(),
        [only] => only.as_ref().into(),
        [before @ .., last] => {
            let before: Vec<&str> = before.iter().map(AsRef::as_ref).collect();
            format!("{} and {}", before.join(", "), last.as_ref())
        }
    }
}

/// Bytes in units of a thousand: "13.2 MB".
#[must_use]
pub fn bytes(bytes: i64) -> String {
    let units = ["bytes", "kB", "MB", "GB", "TB"];
    #[allow(clippy::cast_precision_loss, reason = "shown to one decimal")]
    let mut size = bytes.max(0) as f64;
    let mut unit = 0;
    while size >= 999.95 && unit + 1 < units.len() {
        size /= 1000.0;
        unit += 1;
    }
    let decimals = usize::from(unit > 0);
    format!("{size:.decimals$} {}", units[unit])
}

/// A count with its noun, in words up to ten: `one eyepiece`, `four eyepieces`, `12 eyepieces`.
#[must_use]
pub fn count(number: usize, one: &str, many: &str) -> String {
    const WORDS: [&str; 11] =
        ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];
    let noun = if number == 1 { one } else { many };
    WORDS.get(number).map_or_else(|| format!("{number} {noun}"), |word| format!("{word} {noun}"))
}

/// A sentence's first letter made large: `four eyepieces` reads `Four eyepieces`.
#[must_use]
pub fn sentence_case(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn whole_numbers_lose_their_noughts_and_others_keep_one_decimal() {
        assert_eq!(millimetres(25.0), "25\u{a0}mm");
        assert_eq!(millimetres(9.5), "9.5\u{a0}mm");
        assert_eq!(millimetres(100.0), "100\u{a0}mm");
        assert_eq!(trimmed(-0.04, 1), "0");
        assert_eq!(focal_ratio(4.5), "f/4.5");
    }

    #[test]
    fn powers_show_tenths_only_where_they_matter() {
        assert_eq!(power(8.44), "8.4×");
        assert_eq!(power(9.97), "10×");
        assert_eq!(power(315.789), "316×");
    }

    #[test]
    fn thin_beams_are_told_in_hundredths() {
        assert_eq!(exit_pupil(0.69), "0.69\u{a0}mm");
        assert_eq!(exit_pupil(4.16735), "4.2\u{a0}mm");
        assert_eq!(exit_pupil(1.0), "1.0\u{a0}mm");
    }

    #[test]
    fn drift_is_told_in_minutes_and_seconds() {
        assert_eq!(duration(255.2487), "4\u{a0}min 15\u{a0}s");
        assert_eq!(duration(45.4), "45\u{a0}s");
        assert_eq!(duration(119.9), "2\u{a0}min");
    }

    #[test]
    fn masses_change_unit_at_a_kilogram() {
        assert_eq!(mass(999.0), "999\u{a0}g");
        assert_eq!(mass(27_500.0), "27.5\u{a0}kg");
    }

    #[test]
    fn nights_repeat_neither_month_nor_year() {
        assert_eq!(nights(date(2026, 6, 5), date(2026, 6, 5)), "Friday 5 June 2026");
        assert_eq!(
            nights(date(2026, 7, 31), date(2026, 8, 2)),
            "Friday 31 July to Sunday 2 August 2026"
        );
        assert_eq!(
            nights(date(2026, 12, 31), date(2027, 1, 1)),
            "Thursday 31 December 2026 to Friday 1 January 2027"
        );
    }

    #[test]
    fn lists_and_counts_read_as_sentences() {
        assert_eq!(list(&["a", "b", "c"]), "a, b and c");
        assert_eq!(list::<&str>(&[]), "");
        assert_eq!(count(1, "eyepiece", "eyepieces"), "one eyepiece");
        assert_eq!(count(12, "eyepiece", "eyepieces"), "12 eyepieces");
        assert_eq!(sentence_case("élan"), "Élan");
    }
}
