//! What every page shares: title, colour scheme, navigation and who is signed in.
//!
//! A page struct holds a [`Frame`] in a field named `frame` and its template starts with
//! `{% extends "frame.html" %}`; the template then fills the block `main`.
//!
//! ```
//! use borrowed_light::web::frame::{Frame, Place, Scheme};
//!
//! let frame = Frame::new("Telescopes", Scheme::from_cookie(Some("red")))
//!     .at(Place::Telescopes)
//!     .club("Windmill Hill Astronomers")
//!     .signed_in("Ines Aldous")
//!     .returning_to("/telescopes");
//! assert_eq!(frame.scheme.as_str(), "red");
//! ```

use super::field::Field;

/// The colours a page is drawn in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Scheme {
    /// Nothing chosen: light, or dark where the device asks for dark.
    #[default]
    Auto,
    /// Dark ink on a light ground.
    Light,
    /// Light ink on a dark ground.
    Dark,
    /// Long-wavelength light only, for eyes adapted to the dark.
    Red,
}

impl Scheme {
    /// The three that a reader can choose, in the order of their buttons.
    pub const CHOICES: [Scheme; 3] = [Scheme::Light, Scheme::Dark, Scheme::Red];
    /// Name of the cookie that remembers the choice.
    pub const COOKIE: &'static str = "scheme";

    /// Reads the value of the `scheme` cookie; anything unknown counts as not chosen.
    #[must_use]
    pub fn from_cookie(value: Option<&str>) -> Self {
        value.and_then(Self::parse).unwrap_or_default()
    }

    /// Reads `light`, `dark` or `red`.
    #[must_use]
    pub fn parse(word: &str) -> Option<Self> {
        Self::CHOICES.into_iter().find(|scheme| scheme.as_str() == word)
    }

    /// The word in the cookie, in the form and in the page's `data-scheme`.
    #[must_use]
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Auto => "auto",
            Self::Light => "light",
            Self::Dark => "dark",
            Self::Red => "red",
        }
    }

    /// The word on the button.
    #[must_use]
    pub fn label(self) -> &'static str {
        match self {
            Self::Auto => "Auto",
            Self::Light => "Light",
            Self::Dark => "Dark",
            Self::Red => "Red",
        }
    }

    /// Whether the page must hold nothing but red on black.
    #[must_use]
    pub fn is_red(self) -> bool {
        self == Self::Red
    }

    /// The `color-scheme` that stops a browser from flashing white before the styles arrive.
    #[must_use]
    pub fn browser_scheme(self) -> &'static str {
        match self {
            Self::Auto => "light dark",
            Self::Light => "light",
            Self::Dark | Self::Red => "dark",
        }
    }
}

/// An entry of the main navigation.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Place {
    /// Choosing a kit.
    Kits,
    /// The telescopes on the shelf.
    Telescopes,
    /// Everything on the shelf.
    Shelf,
    /// One's own reservations and loans.
    Mine,
    /// The quartermaster's desk.
    Desk,
    /// Public nights.
    PublicNights,
    /// Where the club observes.
    Sites,
    /// What the club could buy.
    Buying,
    /// Explanations and cautions.
    Help,
    /// What is kept of oneself.
    Me,
    /// Members and their accounts.
    People,
    /// A page that belongs to none of them.
    #[default]
    Elsewhere,
}

impl Place {
    /// The words of the link.
    #[must_use]
    pub fn label(self) -> &'static str {
        match self {
            Self::Kits => "Find a kit",
            Self::Telescopes => "Telescopes",
            Self::Shelf => "The shelf",
            Self::Mine => "My loans",
            Self::Desk => "The desk",
            Self::PublicNights => "Public nights",
            Self::Sites => "Sites",
            Self::Buying => "Buying",
            Self::Help => "Help",
            Self::Me => "About me",
            Self::People => "People",
            Self::Elsewhere => "",
        }
    }

    /// Where the link leads.
    #[must_use]
    pub fn address(self) -> &'static str {
        match self {
            Self::Telescopes => "/telescopes",
            Self::Shelf => "/shelf",
            Self::Mine => "/mine",
            Self::Desk => "/desk",
            Self::PublicNights => "/public-nights",
            Self::Sites => "/sites",
            Self::Buying => "/buying",
            Self::Help => "/help",
            Self::Me => "/account/observer",
            Self::People => "/people",
            Self::Kits | Self::Elsewhere => "/",
        }
    }
}

/// What the frame around every page needs to know.
#[derive(Clone, Debug, Default)]
pub struct Frame {
    /// The page's title, without the product's name.
    pub title: String,
    /// The club's name, shown beside the product's; empty when not known.
    pub club: String,
    /// Colours.
    pub scheme: Scheme,
    /// Name of whoever is signed in.
    pub person: Option<String>,
    /// The entries of the main navigation that this person gets, in order.
    pub places: Vec<Place>,
    /// Which entry of the navigation is marked as current.
    pub place: Place,
    /// Path and query that a change of scheme comes back to. A page that answers a POST gives
    /// the address of the form instead.
    pub return_path: String,
    /// The session's token, put into every form as a hidden field named `form_token`.
    pub form_token: Option<String>,
}

impl Frame {
    /// A frame for a page with this title, in this scheme, for nobody, nowhere in particular.
    pub fn new(title: impl Into<String>, scheme: Scheme) -> Self {
        Self { title: title.into(), scheme, return_path: "/".into(), ..Self::default() }
    }

    /// Marks an entry of the navigation as current.
    #[must_use]
    pub fn at(mut self, place: Place) -> Self {
        self.place = place;
        self
    }

    /// Names the club.
    #[must_use]
    pub fn club(mut self, name: impl Into<String>) -> Self {
        self.club = name.into();
        self
    }

    /// Names the person who is signed in.
    #[must_use]
    pub fn signed_in(mut self, name: impl Into<String>) -> Self {
        self.person = Some(name.into());
        self
    }

    /// Gives the entries of the main navigation that the person who is signed in may use.
    #[must_use]
    pub fn offering(mut self, places: impl Into<Vec<Place>>) -> Self {
        self.places = places.into();
        self
    }

    /// Says where a change of scheme returns to.
    #[must_use]
    pub fn returning_to(mut self, path_and_query: impl Into<String>) -> Self {
        self.return_path = path_and_query.into();
        self
    }

    /// Puts a token into the page's forms.
    #[must_use]
    pub fn form_token(mut self, token: impl Into<String>) -> Self {
        self.form_token = Some(token.into());
        self
    }

    /// The `type` of a date field: a browser's own calendar may flash white, so in red light dates
    /// are typed as text; and a date that was refused is shown again as it was typed.
    #[must_use]
    pub fn date_kind(&self, field: &Field) -> &'static str {
        if self.scheme.is_red() || field.error.is_some() { "text" } else { "date" }
    }

    /// The address of a static file.
    #[must_use]
    pub fn file(&self, name: &str) -> String {
        super::files::address(name)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cookie_that_means_nothing_leaves_the_choice_to_the_device() {
        assert_eq!(Scheme::from_cookie(None), Scheme::Auto);
        assert_eq!(Scheme::from_cookie(Some("auto")), Scheme::Auto);
        assert_eq!(Scheme::from_cookie(Some("\"><script>")), Scheme::Auto);
    }

    #[test]
    fn every_choice_survives_its_cookie() {
        for scheme in Scheme::CHOICES {
            assert_eq!(Scheme::from_cookie(Some(scheme.as_str())), scheme);
        }
    }

    #[derive(askama::Template)]
    #[template(
        source = "{% extends \"frame.html\" %}{% block main %}<h1>{{ frame.title }}</h1>{% endblock %}",
        ext = "html"
    )]
    struct Bare {
        frame: Frame,
    }

    fn render(frame: Frame) -> String {
        askama::Template::render(&Bare { frame }).unwrap()
    }

    #[test]
    fn the_scheme_is_set_by_the_server_on_the_root_element() {
        let page = render(Frame::new("Kits", Scheme::Red));
        assert!(page.contains(r#"data-scheme="red""#));
        assert!(page.contains(r##"name="theme-color" content="#000000""##));
    }

    #[test]
    fn a_change_of_scheme_is_one_touch_away_and_comes_back_here() {
        let page = render(Frame::new("Kits", Scheme::Auto).returning_to("/telescopes?of=\"x\""));
        assert!(page.contains(r#"action="/scheme""#));
        assert!(page.contains(r#"name="return" value="/telescopes?of=&#34;x&#34;""#));
        for scheme in Scheme::CHOICES {
            assert!(page.contains(&format!(r#"value="{}" aria-pressed="false""#, scheme.as_str())));
        }
    }

    #[test]
    fn navigation_and_sign_out_are_for_those_who_are_signed_in() {
        let nobody = render(Frame::new("Sign in", Scheme::Auto));
        assert!(!nobody.contains("/sign-out") && !nobody.contains(r#"aria-label="Main""#));
        let somebody = render(
            Frame::new("Telescopes", Scheme::Auto)
                .signed_in("Ines <Aldous>")
                .offering([Place::Kits, Place::Telescopes])
                .at(Place::Telescopes)
                .form_token("once"),
        );
        assert!(somebody.contains("Ines &#60;Aldous&#62;"));
        assert!(somebody.contains(r#"href="/telescopes" aria-current="page""#));
        assert!(!somebody.contains(r#"<li><a href="/help">Help"#), "only what is offered");
        assert_eq!(somebody.matches(r#"name="form_token" value="once""#).count(), 2);
    }
}
