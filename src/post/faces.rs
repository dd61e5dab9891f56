//! The two faces of a letter in the mail, made from the same pieces.

use askama::Template;

use super::letter::{Letter, Part};
use crate::web::site::Site;

/// What stands around a letter's own words.
#[derive(Clone, Debug)]
pub struct Opening<'a> {
    /// The reader's name.
    pub name: &'a str,
    /// Where the service stands, for links that work outside of it.
    pub site: &'a Site,
    /// Path of the page where fewer letters can be chosen; none in essential letters.
    pub quieter: Option<&'static str>,
}

impl Opening<'_> {
    /// Who writes.
    fn ending(&self) -> &str {
        if self.site.club.is_empty() { "Your club" } else { &self.site.club }
    }
}

#[derive(Template)]
#[template(path = "post/letter.txt")]
struct Plain<'a> {
    name: &'a str,
    parts: &'a [Part],
    opening: &'a Opening<'a>,
}

#[derive(Template)]
#[template(path = "post/letter.html")]
struct Html<'a> {
    name: &'a str,
    subject: &'a str,
    parts: &'a [Part],
    opening: &'a Opening<'a>,
}

impl Plain<'_> {
    fn link(&self, path: &str) -> String {
        self.opening.site.link(path)
    }
}

impl Html<'_> {
    fn link(&self, path: &str) -> String {
        self.opening.site.link(path)
    }
}

/// The plain text.
///
/// # Errors
/// The template failed.
pub fn plain(letter: &Letter, opening: &Opening<'_>) -> Result<String, askama::Error> {
    let text = Plain { name: opening.name, parts: &letter.parts, opening }.render()?;
    Ok(text.trim().to_owned() + "\n")
}

/// The HTML.
///
/// # Errors
/// The template failed.
pub fn html(letter: &Letter, opening: &Opening<'_>) -> Result<String, askama::Error> {
    Html { name: opening.name, subject: &letter.subject, parts: &letter.parts, opening }.render()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn letter() -> Letter {
        Letter::about("Your loan <is> due")
            .says("Two pieces are due & wanted.")
            .lists(["T-007 The <Orchard> 8-inch", "E-031"])
            .leads_to("See your loan", "/mine?loan=3&page=2")
    }

    #[test]
    fn both_faces_say_the_same() {
        let site = Site::new("Windmill Hill Astronomers").at("https://lend.example.org").unwrap();
        let opening = Opening { name: "Ines", site: &site, quieter: Some("/account/letters") };
        assert_eq!(
            plain(&letter(), &opening).unwrap(),
            "Dear Ines,\n\n\
             Two pieces are due & wanted.\n\n\
             - T-007 The <Orchard> 8-inch\n- E-031\n\n\
             See your loan:\nhttps://lend.example.org/mine?loan=3&page=2\n\n\
             Windmill Hill Astronomers\n\n\
             You can have only the letters that others wait on: \
             https://lend.example.org/account/letters\n"
        );
        let html = html(&letter(), &opening).unwrap();
        for words in [
            "Dear Ines,",
            "Two pieces are due &#38; wanted.",
            "<li>T-007 The &#60;Orchard&#62; 8-inch</li>",
            "href=\"https://lend.example.org/mine?loan=3&#38;page=2\"",
            "Windmill Hill Astronomers",
            "https://lend.example.org/account/letters",
        ] {
            assert!(html.contains(words), "{words}:\n{html}");
        }
        assert!(!html.contains("src="), "nothing is fetched when a letter is read");
    }

    #[test]
    fn an_essential_letter_offers_no_way_out_of_it() {
        let site = Site::new("Windmill Hill Astronomers");
        let opening = Opening { name: "Ines", site: &site, quieter: None };
        assert!(!plain(&letter(), &opening).unwrap().contains("only the letters"));
        assert!(!html(&letter(), &opening).unwrap().contains("only the letters"));
    }
}
