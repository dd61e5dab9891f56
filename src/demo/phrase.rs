//! A pass phrase made up for one demo: easy to type on a phone, not worth guessing.

use crate::web::secret::{NoRandomness, random_bytes};

/// 64 words, so that six bits choose one.
const WORDS: [&str; 64] = [
    "acorn", "amber", "anchor", "apple", "april", "arrow", "barley", "basin", "beacon", "birch",
    "bramble", "bridge", "candle", "cedar", "chalk", "cherry", "clover", "copper", "cricket",
    "daisy", "dapple", "ember", "fennel", "fern", "finch", "flint", "garden", "ginger", "harbour",
    "hazel", "heron", "honey", "ivory", "jasper", "juniper", "kettle", "ladder", "lantern",
    "linden", "maple", "marble", "meadow", "millet", "nettle", "oatmeal", "orchard", "otter",
    "pebble", "pepper", "plover", "quarry", "quince", "raven", "river", "saddle", "sorrel",
    "thistle", "timber", "tulip", "velvet", "walnut", "wicket", "willow", "yarrow",
];

/// Five words of six random bits each, with hyphens between.
///
/// # Errors
/// The operating system gave no random bytes.
pub fn pass_phrase() -> Result<String, NoRandomness> {
    let bytes = random_bytes::<5>()?;
    let words: Vec<&str> =
        bytes.iter().filter_map(|byte| WORDS.get(usize::from(byte % 64)).copied()).collect();
    Ok(words.join("-"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::people::password::{FEWEST, Password};

    #[test]
    fn a_phrase_is_always_long_enough_and_never_the_same_word_only() {
        let shortest = WORDS.iter().map(|word| word.len()).min().unwrap_or(0);
        assert!(5 * shortest + 4 >= FEWEST);
        let mut words = WORDS.to_vec();
        words.dedup();
        assert_eq!(words.len(), 64);
        assert!(Password::choose(&pass_phrase().unwrap(), &[]).is_ok());
    }
}
