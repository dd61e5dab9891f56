//! Whole numbers that programs write with a point, such as `320.0`.

/// The same JSON text with every whole number written without point and exponent, and zero without a
/// sign; nothing where there is none to rewrite. What is no JSON may look like JSON afterwards.
///
/// JSON knows one kind of number, and JSON Schema counts `320.0` as an integer (draft 2020-12,
/// section 6.1.1 of the validation part), but the reader takes only `320` for one.
#[must_use]
pub(crate) fn plainly_written(text: &[u8]) -> Option<Vec<u8>> {
    let mut plain = Vec::with_capacity(text.len());
    let (mut at, mut changed) = (0, false);
    while let Some(byte) = text.get(at) {
        let end = match byte {
            b'"' => after_string(text, at),
            b'-' | b'0'..=b'9' => after_number(text, at),
            _ => at + 1,
        };
        let token = &text[at..end];
        match whole(token) {
            Some(number) => {
                plain.extend_from_slice(number.to_string().as_bytes());
                changed = true;
            }
            None => plain.extend_from_slice(token),
        }
        at = end;
    }
    changed.then_some(plain)
}

fn after_string(text: &[u8], begin: usize) -> usize {
    let mut at = begin + 1;
    while let Some(byte) = text.get(at) {
        match byte {
            b'\\' => at += 2,
            b'"' => return at + 1,
            _ => at += 1,
        }
    }
    text.len()
}

fn after_number(text: &[u8], begin: usize) -> usize {
    let is_part = |byte: &u8| matches!(byte, b'+' | b'-' | b'.' | b'e' | b'E' | b'0'..=b'9');
    begin + text[begin..].iter().take_while(|byte| is_part(byte)).count()
}

/// The whole number that a number with a point, an exponent or a sign before zero is, where it is
/// exact.
fn whole(token: &[u8]) -> Option<i64> {
    if token == b"-0" {
        return Some(0);
    }
    if token.first()? == &b'"' || !token.iter().any(|byte| matches!(byte, b'.' | b'e' | b'E')) {
        return None;
    }
    let number: f64 = std::str::from_utf8(token).ok()?.parse().ok()?;
    as_whole(number)
}

/// The whole number that a number is, where there is no doubt which.
#[must_use]
pub(crate) fn as_whole(number: f64) -> Option<i64> {
    /// Beyond it, not every whole number has a form of its own: 2⁵³.
    const EXACT: f64 = 9_007_199_254_740_992.0;
    (number.fract() == 0.0 && number.abs() < EXACT).then_some(number as i64)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rewritten(text: &str) -> Option<String> {
        plainly_written(text.as_bytes()).map(|plain| String::from_utf8(plain).unwrap())
    }

    #[test]
    fn whole_numbers_lose_their_point_and_nothing_else_changes() {
        let given =
            r#"{"a": 320.0, "b": [1e3, -2.50, -0.0, -0, 7], "c.0": "1.0 \\\"2.0", "d": 1.5}"#;
        let plain = r#"{"a": 320, "b": [1000, -2.50, 0, 0, 7], "c.0": "1.0 \\\"2.0", "d": 1.5}"#;
        assert_eq!(rewritten(given).as_deref(), Some(plain));
    }

    #[test]
    fn a_text_without_such_numbers_is_left_alone() {
        for text in [
            "{}",
            r#"{"a": 320, "b": 0.5, "c": "320.0", "-0": -1}"#,
            "1e300",
            "1e-3",
            "9007199254740993.0",
        ] {
            assert_eq!(rewritten(text), None, "{text}");
        }
    }
}
