//! What no cell may say: the club is invented, and its gear has no maker.

use super::files::Club;

/// Columns of plain words, in which a model number would stand out.
const WORDS: [&str; 2] = ["name", "notes"];

/// Cells with marks, addresses, model numbers, or characters that spreadsheets trip over.
pub fn word_faults(club: &Club) -> Vec<String> {
    let mut faults = Vec::new();
    for row in club.rows() {
        for (column, text) in row.cells() {
            let mut fault = |what: &str| faults.push(row.fault(format_args!("{column}: {what}")));
            if text.contains(['®', '™', '©', '℠']) {
                fault("a mark of trade or copyright");
            }
            if text.contains("://") || text.contains("www.") {
                fault("an address on the web");
            }
            if text.contains('@') && column != "email" {
                fault("an address of somebody");
            }
            if text.contains(char::is_control) || text.trim() != text || text.contains("  ") {
                fault("stray spaces or control characters");
            }
            if text.starts_with(['=', '+', '-', '@']) && text.parse::<f64>().is_err() {
                fault("begins like a formula");
            }
            if WORDS.contains(&column) {
                if text.split(|c: char| !c.is_alphanumeric() && c != '-').any(is_model_number) {
                    fault("looks like a model number");
                }
                if text.chars().count() > 90 {
                    fault("long");
                }
            }
        }
    }
    faults
}

/// Capitals and figures in one word, or a word in capitals; our own tags and "A" apart.
fn is_model_number(word: &str) -> bool {
    let own_tag = word.split_once('-').is_some_and(|(kind, number)| {
        ["T", "E", "B", "F"].contains(&kind) && number.bytes().all(|b| b.is_ascii_digit())
    });
    let capitals = word.chars().filter(|c| c.is_uppercase()).count();
    let figures = word.contains(|c: char| c.is_ascii_digit());
    !own_tag && ((figures && capitals > 0) || (capitals > 1 && !word.contains('-')))
}
