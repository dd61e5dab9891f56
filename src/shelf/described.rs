//! Eyes that are described and nobody's: a span of age, and whether glasses stay on. In words,
//! because addresses are kept, logged and passed on, and figures about eyes have no place there.

use crate::eye::{Glasses, Observer};
use crate::kit::{Question, Usage};
use crate::optics::Age;
use crate::web::field::Choice;

/// A span of ages: its word in an address, its words on a page, and the oldest in it.
///
/// What suits the oldest suits the others: their pupils open wider (see the formula in `eye::pupil`).
/// The last one ends where that formula does.
const SPANS: [(&str, &str, u8); 4] = [
    ("young", "somebody under 30", 29),
    ("grown", "somebody of 30 to 49", 49),
    ("mature", "somebody of 50 to 69", 69),
    ("old", "somebody of 70 or more", 83),
];

/// What is added to the word of a span.
const WITH_GLASSES: &str = "-in-glasses";

fn says(span: &str, glasses: bool) -> String {
    if glasses { format!("{span} who keeps glasses on") } else { span.to_owned() }
}

/// All that can be chosen, with capital letters.
pub(super) fn choices() -> Vec<Choice> {
    let all = SPANS.iter().flat_map(|(word, span, _)| {
        [("", false), (WITH_GLASSES, true)].map(|(more, glasses)| {
            let label = crate::web::format::sentence_case(&says(span, glasses));
            Choice::new(format!("{word}{more}"), label)
        })
    });
    all.collect()
}

/// The words for such eyes, and the question about them; none for another word.
pub(super) fn described(word: &str) -> Option<(String, Question)> {
    let (span, glasses) = match word.strip_suffix(WITH_GLASSES) {
        Some(span) => (span, true),
        None => (word, false),
    };
    let (_, words, oldest) = SPANS.iter().find(|(one, _, _)| *one == span)?;
    let age = Age::new(f64::from(*oldest)).ok()?;
    let worn = if glasses { Glasses::KeepsOn } else { Glasses::None };
    let observer = Observer::person(age, worn);
    let question = Question { observer, seeing: None, usage: Usage::Night, tonight: None };
    Some((says(words, glasses), question))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_choice_is_understood_and_holds_no_figure_in_its_word() {
        let all = choices();
        assert_eq!(all.len(), 8);
        for choice in &all {
            assert!(!choice.value.contains(|letter: char| letter.is_ascii_digit()), "{choice:?}");
            let (says, _) = described(&choice.value).unwrap();
            assert_eq!(crate::web::format::sentence_case(&says), choice.label);
        }
        for other in ["", "anyone", "17", "ancient", "-in-glasses", "young-in-glasses-in-glasses"] {
            assert!(described(other).is_none(), "{other}");
        }
    }

    #[test]
    fn the_oldest_of_a_span_has_the_narrowest_pupil() {
        let pupil = |age: u8| {
            let age = Age::new(f64::from(age)).unwrap();
            Observer::person(age, Glasses::None).pupil().typical
        };
        let mut youngest = 16;
        for (word, _, oldest) in SPANS {
            for age in youngest..oldest {
                assert!(pupil(age).mm() >= pupil(oldest).mm(), "{word}: {age}");
            }
            youngest = oldest + 1;
        }
    }
}
