//! Latitudes and longitudes as people write them.

/// Degrees from `52.31`, `52,31 N`, `-2.12`, `2° 7′ 12″ W` or `52 18 36`: decimal, or degrees,
/// minutes and seconds; a letter or a minus says which side. `None` where it is neither.
///
/// ```
/// use borrowed_light::observing::coordinate::degrees;
///
/// assert_eq!(degrees("2° 7′ 12″ W"), Some(-2.12));
/// assert_eq!(degrees("52,5"), Some(52.5));
/// assert_eq!(degrees("52 75"), None);
/// ```
#[must_use]
pub fn degrees(text: &str) -> Option<f64> {
    let text = text.trim().replace('−', "-").replace(',', ".").to_uppercase();
    let (text, side) = match text.chars().last()? {
        'N' | 'E' => (&text[..text.len() - 1], Some(1.0)),
        'S' | 'W' => (&text[..text.len() - 1], Some(-1.0)),
        _ => (text.as_str(), None),
    };
    let (text, sign) = match (text.trim().strip_prefix('-'), side) {
        (Some(rest), None) => (rest, -1.0),
        (Some(_), Some(_)) => return None,
        (None, side) => (text.trim(), side.unwrap_or(1.0)),
    };
    let is_mark = |sign: char| sign.is_whitespace() || "°′″'\"".contains(sign);
    let parts: Vec<&str> = text.split(is_mark).filter(|part| !part.is_empty()).collect();
    let plain = |part: &&str| part.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.');
    if parts.is_empty() || parts.len() > 3 || !parts.iter().all(plain) {
        return None;
    }
    let numbers: Vec<f64> = parts.iter().map_while(|part| part.parse().ok()).collect();
    if numbers.len() != parts.len() || numbers[1..].iter().any(|part| *part >= 60.0) {
        return None;
    }
    let sum = numbers.iter().rev().fold(0.0, |sum, part| sum / 60.0 + part);
    Some(sign * sum)
}

/// Degrees with the side: `52.31° N, 2.12° W`.
///
/// ```
/// use borrowed_light::observing::coordinate::written;
///
/// assert_eq!(written(52.31, -2.12), "52.31° N, 2.12° W");
/// ```
#[must_use]
pub fn written(latitude_deg: f64, longitude_deg: f64) -> String {
    let part = |deg: f64, sides: [char; 2]| {
        let side = sides[usize::from(deg < 0.0)];
        format!("{:.2}° {side}", deg.abs())
    };
    format!("{}, {}", part(latitude_deg, ['N', 'S']), part(longitude_deg, ['E', 'W']))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn coordinates_are_read_as_people_write_them() {
        for (text, deg) in [
            ("52.31", 52.31),
            (" −2,12 ", -2.12),
            ("52° 18′ 36″ N", 52.31),
            ("52 18 36", 52.31),
            ("2°7.2' w", -2.12),
            ("0 S", 0.0),
            ("33 s", -33.0),
        ] {
            let read = degrees(text).unwrap_or(f64::NAN);
            assert!((read - deg).abs() < 1e-9, "{text}: {read}");
        }
        for text in ["", "N", "far north", "52 75", "1 2 3 4", "-2 W", "5e1", "inf", "NaN", "1.2.3"]
        {
            assert_eq!(degrees(text), None, "{text}");
        }
    }
}
