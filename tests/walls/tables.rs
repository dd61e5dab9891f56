//! Which database tables a file's SQL touches, and which tables the migrations make.

use crate::tokens::{Token, cut};

/// Words after which SQL names a table.
const BEFORE_A_TABLE: [&str; 5] = ["from", "join", "into", "update", "table"];

/// Words that may stand between such a word and the name.
const BETWEEN: [&str; 10] =
    ["if", "not", "exists", "or", "ignore", "replace", "rollback", "abort", "fail", "only"];

/// Tables named in the SQL of these tokens' string literals; code under `#[cfg(test)]` is left
/// out, because a test may prepare another room's rows.
pub fn in_code(tokens: &[Token], known: &[String]) -> Vec<String> {
    let mut found: Vec<String> = without_test_modules(tokens)
        .into_iter()
        .filter_map(|token| if let Token::Text(text) = token { Some(text) } else { None })
        .flat_map(|text| in_sql(text))
        .filter(|name| known.contains(name))
        .collect();
    found.sort();
    found.dedup();
    found
}

/// Tables made by `CREATE TABLE` in a migration.
pub fn made_by(migration: &str) -> Vec<String> {
    let words = sql_words(migration);
    let mut made = Vec::new();
    for (at, pair) in words.windows(2).enumerate() {
        if pair[0] == "create" && ["table", "virtual"].contains(&pair[1].as_str()) {
            let name = words[at + 1..].iter().find(|w| {
                !["table", "virtual"].contains(&w.as_str()) && !BETWEEN.contains(&w.as_str())
            });
            made.extend(name.cloned());
        }
    }
    made
}

fn in_sql(text: &str) -> Vec<String> {
    let words = sql_words(text);
    let mut found = Vec::new();
    for (at, word) in words.iter().enumerate() {
        let mut rest = words[at + 1..].iter().skip_while(|w| BETWEEN.contains(&w.as_str()));
        if BEFORE_A_TABLE.contains(&word.as_str()) {
            found.extend(rest.next().cloned());
            // A list: `FROM item, telescope`.
            while rest.next().is_some_and(|w| w == ",") {
                found.extend(rest.next().cloned());
            }
        }
    }
    found
}

/// Lower-case words and commas, without SQL comments and quotes.
fn sql_words(text: &str) -> Vec<String> {
    let mut words = Vec::new();
    for line in text.replace("\\n", "\n").lines() {
        let line = line.split("--").next().unwrap_or_default();
        let mut word = String::new();
        for c in line.chars().chain([' ']) {
            if c.is_alphanumeric() || c == '_' {
                word.extend(c.to_lowercase());
                continue;
            }
            if !word.is_empty() {
                words.push(std::mem::take(&mut word));
            }
            if c == ',' {
                words.push(",".into());
            }
        }
    }
    words
}

fn without_test_modules(tokens: &[Token]) -> Vec<&Token> {
    let opening = cut("#[cfg(test)]");
    let mut kept = Vec::new();
    let mut at = 0;
    while at < tokens.len() {
        if tokens[at..].starts_with(&opening) {
            at = end_of_item(tokens, at + opening.len());
        } else {
            kept.push(&tokens[at]);
            at += 1;
        }
    }
    kept
}

/// Names of the modules that are declared `#[cfg(test)] mod name;`.
pub fn test_modules(tokens: &[Token]) -> Vec<String> {
    let opening = cut("#[cfg(test)]");
    let mut names = Vec::new();
    for at in 0..tokens.len() {
        if !tokens[at..].starts_with(&opening) {
            continue;
        }
        let item = &tokens[at + opening.len()..end_of_item(tokens, at + opening.len())];
        let place = item.iter().position(|token| *token == Token::Word("mod".into()));
        if let (Some(place), Some(Token::Mark(';'))) = (place, item.last())
            && let Some(Token::Word(name)) = item.get(place + 1)
        {
            names.push(name.clone());
        }
    }
    names
}

/// Index after the item that starts here: its closing brace, or its semicolon.
fn end_of_item(tokens: &[Token], mut at: usize) -> usize {
    let mut depth = 0;
    while at < tokens.len() {
        match tokens[at] {
            Token::Mark('{') => depth += 1,
            Token::Mark('}') if depth == 1 => return at + 1,
            Token::Mark('}') => depth -= 1,
            Token::Mark(';') if depth == 0 => return at + 1,
            _ => {}
        }
        at += 1;
    }
    at
}

#[cfg(test)]
mod tests {
    use super::*;

    fn known() -> Vec<String> {
        ["item", "member", "telescope"].map(String::from).to_vec()
    }

    #[test]
    fn tables_are_seen_in_every_kind_of_statement() {
        for source in [
            r#"query!("SELECT name FROM member WHERE id = ?", id)"#,
            r##"query!(r#"SELECT 1 FROM item i JOIN member AS m ON m.id = i.id"#)"##,
            r#"query("insert or ignore into member (id) values (1)")"#,
            r#"query("UPDATE member SET name = ?")"#,
            r#"query("DELETE FROM \"member\"")"#,
            r#"query("SELECT 1 FROM item, member")"#,
        ] {
            assert!(in_code(&cut(source), &known()).contains(&"member".to_owned()), "{source}");
        }
    }

    #[test]
    fn prose_and_tests_touch_no_table() {
        for source in [
            r#"let text = "a letter for the member";"#,
            r#"#[cfg(test)] mod tests { fn f() { query("DELETE FROM member") } }"#,
            r#"let sql = "SELECT 1 -- FROM member";"#,
        ] {
            assert_eq!(in_code(&cut(source), &known()), Vec::<String>::new(), "{source}");
        }
    }

    #[test]
    fn migrations_tell_which_tables_they_make() {
        let sql = "CREATE TABLE item (id INTEGER);\n-- CREATE TABLE not_me\ncreate table if not exists \"member\" (x);";
        assert_eq!(made_by(sql), ["item", "member"]);
    }
}
