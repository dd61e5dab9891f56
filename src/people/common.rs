//! Passwords that are guessed first.
//!
//! The 30,000 most common ones of the frequency list that the `zxcvbn` crate 3.1.1 carries
//! (`PASSWORDS` in `frequency_lists.rs`, MIT, see `common-passwords.licence.txt`), each lower-cased
//! and kept as the first six bytes of its SHA-256, sorted. So nobody has to read them, and a
//! password that isn't listed is taken for one in 2^48 / 30,000 cases.

use sha2::{Digest as _, Sha256};

static LIST: &[u8] = include_bytes!("common-passwords.bin");

/// Bytes kept of each hash.
const WIDTH: usize = 6;
/// The shortest piece that a password is cut into.
const SHORTEST: usize = 3;

/// Whether a text, lower case and without spaces, is one of them.
#[must_use]
pub(super) fn is_listed(text: &str) -> bool {
    let hash = Sha256::digest(text.as_bytes());
    let wanted = &hash[..WIDTH];
    let (mut low, mut high) = (0, LIST.len() / WIDTH);
    while low < high {
        let middle = usize::midpoint(low, high);
        let Some(found) = LIST.get(middle * WIDTH..(middle + 1) * WIDTH) else { return false };
        match found.cmp(wanted) {
            std::cmp::Ordering::Equal => return true,
            std::cmp::Ordering::Less => low = middle + 1,
            std::cmp::Ordering::Greater => high = middle,
        }
    }
    false
}

/// Whether a text is one of them, or two of them put together. Few common ones have fifteen
/// characters; two of them have, and are guessed as soon.
#[must_use]
pub(super) fn is_common(text: &str) -> bool {
    is_listed(text)
        || text.char_indices().any(|(at, _)| {
            let (one, other) = text.split_at(at);
            let long = |piece: &str| piece.chars().count() >= SHORTEST;
            long(one) && long(other) && is_listed(one) && is_listed(other)
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_list_is_whole_and_sorted() {
        assert_eq!(LIST.len(), 30_000 * WIDTH);
        assert!(LIST.chunks(WIDTH).is_sorted_by(|one, next| one < next));
    }

    #[test]
    fn common_ones_are_found_alone_and_in_pairs() {
        for known in ["123456", "password", "1qaz2wsx3edc4rfv", "123456789987654321", "iloveyou"] {
            assert!(is_listed(known), "{known}");
        }
        for pair in ["passwordpassword", "password123456789", "sunshineprincess"] {
            assert!(!is_listed(pair) && is_common(pair), "{pair}");
        }
    }

    #[test]
    fn phrases_are_not_taken_for_common_ones() {
        for phrase in
            ["thefirsteveningstar", "anchor-barley-heron-quince-otter", "øæåéüñßþðçêîôûà", ""]
        {
            assert!(!is_common(phrase), "{phrase}");
        }
    }
}
