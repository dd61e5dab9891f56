//! Numbers as people type them into cells.

/// Reads a plain number with a decimal point.
///
/// # Errors
/// A sentence that says how to write it: for a decimal comma, a unit behind the number (with the
/// number in the column's own unit, when it can be told), or something that is no number.
pub fn parse_number(column: &str, text: &str) -> Result<f64, String> {
    // Typeset minus signs come along when tables are copied from documents.
    let tidy = text.replace('\u{2212}', "-");
    let end = tidy
        .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ',' | '+' | '-')))
        .unwrap_or(tidy.len());
    let (number, rest) = tidy.split_at(end);
    let value =
        number.parse::<f64>().ok().filter(|_| number.ends_with(|c: char| c.is_ascii_digit()));
    match (value, rest.trim()) {
        (Some(value), "") => Ok(value),
        (Some(value), unit) => Err(with_unit(column, value, unit, text)),
        (None, _) => Err(not_a_number(number, text)),
    }
}

fn with_unit(column: &str, value: f64, unit: &str, text: &str) -> String {
    let factor = match (column.rsplit('_').next(), unit.to_ascii_lowercase().as_str()) {
        (Some("mm"), "mm" | "millimetres")
        | (Some("g"), "g" | "grams")
        | (Some("deg"), "°" | "deg" | "degrees")
        | (Some("d"), "d" | "dioptres") => Some(1.0),
        (Some("mm"), "in" | "inch" | "inches" | "\"" | "″" | "''") => Some(25.4),
        (Some("mm"), "cm") => Some(10.0),
        (Some("mm"), "m") | (Some("g"), "kg") => Some(1000.0),
        _ if column == "factor" && matches!(unit, "x" | "X" | "×") => Some(1.0),
        _ => None,
    };
    match factor {
        Some(factor) => {
            // Ten significant digits hide the noise of the conversion.
            let converted = (value * factor * 1e6).round() / 1e6;
            format!("Write the number alone, without its unit: is {converted} what you meant?")
        }
        None => not_a_number(text, text),
    }
}

fn not_a_number(number: &str, text: &str) -> String {
    let point = number.replacen(',', ".", 1);
    if number.contains(',') && point.parse::<f64>().is_ok() {
        format!("Write the decimal with a point: {point}.")
    } else {
        format!("{} is not a number: write one like 31.75.", quoted(text))
    }
}

/// Reads a whole number.
///
/// # Errors
/// A sentence that says how to write it.
pub fn parse_whole(text: &str) -> Result<i64, String> {
    text.parse().map_err(|_| format!("{} is not a whole number: write one like 12.", quoted(text)))
}

/// A cell's text fit for a message: short, on one line, in quotation marks.
pub(crate) fn quoted(text: &str) -> String {
    const SHOWN: usize = 40;
    let mut shown: String =
        text.chars().take(SHOWN).map(|c| if c.is_control() { ' ' } else { c }).collect();
    if text.chars().nth(SHOWN).is_some() {
        shown.push('…');
    }
    format!("“{shown}”")
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn plain_numbers_are_read_and_the_rest_is_explained() {
        assert_eq!(parse_number("aperture_mm", "203"), Ok(203.0));
        assert_eq!(parse_number("sphere_d", "-2.25"), Ok(-2.25));
        assert_eq!(parse_number("sphere_d", "+2"), Ok(2.0));
        assert_eq!(parse_number("sphere_d", "−2.25"), Ok(-2.25));
        let says = |column, text| parse_number(column, text).unwrap_err();
        assert_eq!(says("barrel_mm", "31,75"), "Write the decimal with a point: 31.75.");
        let unit = "Write the number alone, without its unit: is 203.2 what you meant?";
        for text in ["8 in", "8\"", "8 inches", "8″", "20.32 cm", "203.2mm"] {
            assert_eq!(says("aperture_mm", text), unit, "{text}");
        }
        assert!(says("mass_g", "1.2 kg").contains("1200"));
        assert!(says("factor", "2×").contains("is 2 what"));
        for text in
            ["NaN", "inf", "-inf", "1e999", "1e3", "twelve", "8 kg", "--8", "8.", "", "0x10"]
        {
            let says = says("aperture_mm", text);
            assert!(says.contains("is not a number: write one like 31.75."), "{text}: {says}");
        }
    }

    #[test]
    fn a_long_cell_is_shown_short() {
        assert_eq!(quoted("a\nb"), "“a b”");
        assert_eq!(quoted(&"x".repeat(50)), format!("“{}…”", "x".repeat(40)));
    }

    proptest! {
        #[test]
        fn any_text_is_read_or_explained(column in "[a-z_]{0,12}", text in any::<String>()) {
            match parse_number(&column, &text) {
                Ok(number) => prop_assert!(number.is_finite()),
                Err(says) => prop_assert!(!says.is_empty()),
            }
        }

        #[test]
        fn a_number_reads_back_as_written(number in -1e6..1e6_f64) {
            prop_assert_eq!(parse_number("x", &number.to_string()), Ok(number));
        }
    }
}
