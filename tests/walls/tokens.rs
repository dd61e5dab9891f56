//! Rust source cut into the few kinds of piece that the walls are read from.

/// A piece of source.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Token {
    /// A name or a keyword.
    Word(String),
    /// The text of a string literal, escapes left as they are.
    Text(String),
    /// `::`
    Colons,
    /// Any other character that is not space.
    Mark(char),
}

/// Cuts source into tokens; comments, lifetimes and character literals are dropped.
pub fn cut(source: &str) -> Vec<Token> {
    let chars: Vec<char> = source.chars().collect();
    let mut tokens = Vec::new();
    let mut at = 0;
    while at < chars.len() {
        let here = chars[at];
        let next = chars.get(at + 1).copied().unwrap_or(' ');
        match here {
            '/' if next == '/' => at = end_of_line(&chars, at),
            '/' if next == '*' => at = end_of_comment(&chars, at),
            '"' => at = string(&chars, at, &mut tokens),
            '\'' => at = quote(&chars, at),
            ':' if next == ':' => {
                tokens.push(Token::Colons);
                at += 2;
            }
            _ if here == 'r'
                && (next == '"' || next == '#')
                && raw_opening(&chars, at).is_some() =>
            {
                at = raw_string(&chars, at, &mut tokens);
            }
            _ if here.is_alphabetic() || here == '_' => {
                let start = at;
                while at < chars.len() && (chars[at].is_alphanumeric() || chars[at] == '_') {
                    at += 1;
                }
                let word: String = chars[start..at].iter().collect();
                // `br"…"`, `b"…"` and `c"…"`: the prefix is no word.
                if chars.get(at) != Some(&'"') || !["b", "c", "br", "cr"].contains(&word.as_str()) {
                    tokens.push(Token::Word(word));
                }
            }
            _ if here.is_whitespace() => at += 1,
            _ => {
                tokens.push(Token::Mark(here));
                at += 1;
            }
        }
    }
    tokens
}

fn end_of_line(chars: &[char], mut at: usize) -> usize {
    while at < chars.len() && chars[at] != '\n' {
        at += 1;
    }
    at
}

fn end_of_comment(chars: &[char], mut at: usize) -> usize {
    let mut depth = 0;
    while at < chars.len() {
        match (chars[at], chars.get(at + 1)) {
            ('/', Some('*')) => {
                depth += 1;
                at += 2;
            }
            ('*', Some('/')) => {
                depth -= 1;
                at += 2;
                if depth == 0 {
                    break;
                }
            }
            _ => at += 1,
        }
    }
    at
}

fn string(chars: &[char], at: usize, tokens: &mut Vec<Token>) -> usize {
    let mut end = at + 1;
    while end < chars.len() && chars[end] != '"' {
        end += if chars[end] == '\\' { 2 } else { 1 };
    }
    let end = end.min(chars.len());
    tokens.push(Token::Text(chars[at + 1..end].iter().collect()));
    end + 1
}

/// Skips a character literal; a lifetime is only its quote.
fn quote(chars: &[char], at: usize) -> usize {
    if chars.get(at + 1) == Some(&'\\') {
        let mut end = at + 3;
        while end < chars.len() && chars[end] != '\'' {
            end += 1;
        }
        return end + 1;
    }
    if chars.get(at + 2) == Some(&'\'') { at + 3 } else { at + 1 }
}

/// Number of hashes of a raw string that opens here.
fn raw_opening(chars: &[char], at: usize) -> Option<usize> {
    let hashes = chars[at + 1..].iter().take_while(|c| **c == '#').count();
    (chars.get(at + 1 + hashes) == Some(&'"')).then_some(hashes)
}

fn raw_string(chars: &[char], at: usize, tokens: &mut Vec<Token>) -> usize {
    let hashes = raw_opening(chars, at).unwrap_or(0);
    let start = at + 2 + hashes;
    let mut end = start;
    while end < chars.len() {
        let closes = chars[end] == '"'
            && chars[end + 1..].iter().take_while(|c| **c == '#').count() >= hashes;
        if closes {
            break;
        }
        end += 1;
    }
    tokens.push(Token::Text(chars[start..end.min(chars.len())].iter().collect()));
    end + 1 + hashes
}

#[test]
fn comments_and_characters_say_nothing_and_strings_keep_their_text() {
    #[allow(clippy::needless_raw_string_hashes)] // the text itself ends a shorter one
    let tokens = cut(r##"/* a /* nested */ one */ use a::b; // crate::c
        let x: &'static str = "it \"is\""; let y = '"'; let z = r#"raw "text""#; let q = '\'';"##);
    let words: Vec<&str> = tokens
        .iter()
        .filter_map(|token| if let Token::Word(word) = token { Some(word.as_str()) } else { None })
        .collect();
    assert_eq!(
        words,
        ["use", "a", "b", "let", "x", "static", "str", "let", "y", "let", "z", "let", "q"]
    );
    assert!(tokens.contains(&Token::Text(r#"it \"is\""#.into())));
    assert!(tokens.contains(&Token::Text("raw \"text\"".into())));
}
