//! Which rooms and which outside crates a source file refers to.

use crate::tokens::Token;

/// What a file reaches for.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct References {
    /// Rooms of this crate, named by `crate::…`, `borrowed_light::…` or enough `super::`.
    pub rooms: Vec<String>,
    /// First segments of paths into other crates, with the second where there is one: `std::time`.
    pub outside: Vec<String>,
}

/// Reads the references of a file that is the module `module` of the crate: `["optics", "view"]`.
///
/// `outsiders` are the names that count as other crates.
pub fn read(tokens: &[Token], module: &[String], outsiders: &[String]) -> References {
    let mut found = References::default();
    // Brace depths at which inline modules were opened: `super` counts them too.
    let mut inline: Vec<usize> = Vec::new();
    let mut depth = 0;
    let mut at = 0;
    while at < tokens.len() {
        match &tokens[at] {
            Token::Mark('{') => depth += 1,
            Token::Mark('}') => {
                if inline.last() == Some(&depth) {
                    inline.pop();
                }
                depth = depth.saturating_sub(1);
            }
            Token::Word(word)
                if word == "mod" && matches!(tokens.get(at + 2), Some(Token::Mark('{'))) =>
            {
                depth += 1;
                inline.push(depth);
                at += 2;
            }
            Token::Word(word) if starts_path(tokens, at) => {
                at = path(tokens, at, word, module.len() + inline.len(), outsiders, &mut found);
                continue;
            }
            _ => {}
        }
        at += 1;
    }
    for list in [&mut found.rooms, &mut found.outside] {
        list.sort();
        list.dedup();
    }
    found
}

/// Whether a path starts at this word: nothing leads into it, and `::` or, in a `use`, the end
/// of the item follows.
fn starts_path(tokens: &[Token], at: usize) -> bool {
    let led = at > 0 && matches!(tokens[at - 1], Token::Colons | Token::Mark('.'));
    // `use ::name` and `<::name` start at the colons.
    let rooted = led && matches!(tokens[at - 1], Token::Colons) && {
        at < 2
            || !matches!(&tokens[at - 2], Token::Word(w) if w != "use")
                && tokens[at - 2] != Token::Mark('>')
    };
    let leads = matches!(tokens.get(at + 1), Some(Token::Colons));
    let used = at > 0 && matches!(&tokens[at - 1], Token::Word(w) if w == "use");
    (!led || rooted) && (leads || used)
}

/// Reads one path, groups included; gives the index after what it understood.
fn path(
    tokens: &[Token],
    at: usize,
    first: &str,
    depth: usize,
    outsiders: &[String],
    found: &mut References,
) -> usize {
    let mut supers = usize::from(first == "super");
    let mut next = at + 1;
    while first == "super" && followed_by(tokens, next, "super") {
        supers += 1;
        next += 2;
    }
    let at_the_door =
        ["crate", "borrowed_light"].contains(&first) || (supers > 0 && supers == depth);
    if at_the_door {
        for segments in branches(tokens, next) {
            found.rooms.extend(segments.into_iter().next());
        }
    } else if outsiders.iter().any(|name| name == first) {
        let branches = branches(tokens, next);
        found.outside.push(first.into());
        for second in branches.into_iter().filter_map(|segments| segments.into_iter().next()) {
            found.outside.push(format!("{first}::{second}"));
        }
    }
    // What stands inside a group is read by the loop again; only a group at the door is
    // misread there, and harmlessly: its names carry no `crate`.
    next
}

fn followed_by(tokens: &[Token], at: usize, word: &str) -> bool {
    tokens.get(at) == Some(&Token::Colons)
        && matches!(tokens.get(at + 1), Some(Token::Word(found)) if found == word)
}

/// The first segments that follow here: one for `::name`, several for `::{a, b::{c, d}}`.
fn branches(tokens: &[Token], at: usize) -> Vec<Vec<String>> {
    if tokens.get(at) != Some(&Token::Colons) {
        return Vec::new();
    }
    match tokens.get(at + 1) {
        Some(Token::Word(word)) => vec![vec![word.clone()]],
        Some(Token::Mark('{')) => group(tokens, at + 2),
        _ => Vec::new(),
    }
}

fn group(tokens: &[Token], mut at: usize) -> Vec<Vec<String>> {
    let mut names = Vec::new();
    let mut depth = 1;
    let mut expecting = true;
    while depth > 0 {
        match tokens.get(at) {
            None => break,
            Some(Token::Mark('{')) => depth += 1,
            Some(Token::Mark('}')) => depth -= 1,
            Some(Token::Mark(',')) if depth == 1 => expecting = true,
            Some(Token::Word(word)) if depth == 1 && expecting => {
                names.push(vec![word.clone()]);
                expecting = false;
            }
            _ => {}
        }
        at += 1;
    }
    names
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tokens::cut;

    fn of(source: &str, module: &str) -> References {
        let module: Vec<String> = module.split("::").map(String::from).collect();
        read(&cut(source), &module, &["std".into(), "axum".into()])
    }

    #[test]
    fn every_way_to_name_a_room_is_seen() {
        for source in [
            "use crate::kit::Solver;",
            "use crate::{kit::Solver, optics};",
            "fn f(x: &crate::kit::Solver) {}",
            "fn f() { borrowed_light::kit::go() }",
            "use super::super::kit;",
            "use super::super::{kit, optics::View};",
            "mod tests { use super::super::super::kit; }",
            "pub(crate) use crate::kit;",
            "fn f() -> Vec<crate::kit::A> { <crate::kit::A as B>::c() }",
        ] {
            assert!(of(source, "optics::view").rooms.contains(&"kit".to_owned()), "{source}");
        }
    }

    #[test]
    fn a_neighbour_in_the_same_room_is_no_other_room() {
        for source in
            ["use super::kit;", "mod tests { use super::super::kit; }", "// crate::kit::x"]
        {
            assert_eq!(of(source, "optics::view"), References::default(), "{source}");
        }
    }

    #[test]
    fn other_crates_are_seen_in_use_lines_and_in_the_middle_of_code() {
        for source in [
            "use std::time::Instant;",
            "use std::{fmt, time::{Duration, Instant}};",
            "fn f() { std::time::Instant::now(); }",
            "fn f() { ::std::time::Instant::now(); }",
            "use ::std::time;",
        ] {
            assert!(of(source, "optics").outside.contains(&"std::time".to_owned()), "{source}");
        }
        assert_eq!(of("use axum;", "optics").outside, ["axum"]);
        assert_eq!(
            of("let axum = self.axum; x::axum::y();", "optics").outside,
            Vec::<String>::new()
        );
    }
}
