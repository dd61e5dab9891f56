//! Base 32 without padding (RFC 4648, section 6): how apps take a secret that is typed.

const LETTERS: &[u8; 32] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZ234567";

/// Writes bytes in base 32.
pub(super) fn encode(bytes: &[u8]) -> String {
    let mut text = String::with_capacity(bytes.len().div_ceil(5) * 8);
    let (mut held, mut bits) = (0_u32, 0);
    for byte in bytes {
        held = (held << 8) | u32::from(*byte);
        bits += 8;
        while bits >= 5 {
            bits -= 5;
            text.push(letter(held >> bits));
        }
        held &= (1 << bits) - 1;
    }
    if bits > 0 {
        text.push(letter(held << (5 - bits)));
    }
    text
}

fn letter(five_bits: u32) -> char {
    char::from(LETTERS[(five_bits & 31) as usize])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_vectors_of_rfc_4648_section_10_hold() {
        for (bytes, text) in [
            ("", ""),
            ("f", "MY"),
            ("fo", "MZXQ"),
            ("foo", "MZXW6"),
            ("foob", "MZXW6YQ"),
            ("fooba", "MZXW6YTB"),
            ("foobar", "MZXW6YTBOI"),
        ] {
            assert_eq!(encode(bytes.as_bytes()), text);
        }
    }
}
