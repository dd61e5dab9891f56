//! The page where the second factor is set up and looked after.

use askama::Template;
use askama_web::WebTemplate;

use super::qr::Picture;
use crate::profile::section::Section;
use crate::web::field::{Field, Slip, slips};
use crate::web::frame::Frame;

/// What the page is about at the moment.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Stage {
    /// None is in force.
    Without,
    /// A secret is shown and waits for its first code.
    Fresh {
        /// The secret for a camera; none where it would not fit.
        picture: Option<Picture>,
        /// The secret for typing.
        typed: String,
    },
    /// It is in force.
    With {
        /// Codes on paper that are still good.
        paper_codes: i64,
    },
    /// Fresh codes on paper, shown once.
    Paper {
        /// The codes.
        codes: Vec<String>,
    },
}

/// Whether somebody can choose to do without.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// It is their choice.
    Choice,
    /// They look after the club and must have it.
    Must,
}

/// `/account/second-factor`
#[derive(Template, WebTemplate)]
#[template(path = "people/second_factor.html")]
pub struct SecondFactorPage {
    /// The frame.
    pub frame: Frame,
    /// Where the row of links stands.
    pub section: Section,
    /// What it is about.
    pub stage: Stage,
    /// Whether it is a choice.
    pub need: Need,
    /// Whether the password is asked for before it begins.
    pub asks_password: bool,
    /// What is wrong with the password.
    pub password: Field,
    /// What is wrong with the code.
    pub code: Field,
}

impl SecondFactorPage {
    fn must(&self) -> bool {
        self.need == Need::Must
    }

    fn slips(&self) -> Vec<Slip> {
        slips([("password", &self.password), ("code", &self.code)])
    }
}

/// It in every stage.
#[cfg(test)]
pub(crate) mod samples {
    use super::{Need, Picture, SecondFactorPage, Stage};
    use crate::gallery::{Sample, frame};
    use crate::profile::section::Section;
    use crate::web::field::Field;
    use crate::web::frame::Scheme;

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let page = |stage, need| SecondFactorPage {
            frame: frame("Second factor", scheme),
            section: Section::Doors,
            stage,
            need,
            asks_password: true,
            password: Field::default(),
            code: Field::default(),
        };
        let fresh = || Stage::Fresh {
            picture: Picture::of(
                "otpauth://totp/Windmill%20Hill%20Astronomers:ines%40example.org?\
                 secret=GEZDGNBVGY3TQOJQGEZDGNBVGY3TQOJQ&issuer=Windmill%20Hill%20Astronomers",
            ),
            typed: "GEZD GNBV GY3T QOJQ GEZD GNBV GY3T QOJQ".into(),
        };
        let paper = Stage::Paper {
            codes: (0..10).map(|n| format!("k7q{n}-2xw9-h4tm-0b5r-vd8n-{n}jcz")).collect(),
        };
        vec![
            Sample::of("second-without", &page(Stage::Without, Need::Choice)),
            Sample::of("second-must", &page(Stage::Without, Need::Must)),
            Sample::of("second-fresh", &page(fresh(), Need::Must)),
            Sample::of(
                "second-fresh-refused",
                &SecondFactorPage {
                    code: Field::refused("", "That code is not right: check the phone's clock."),
                    ..page(fresh(), Need::Choice)
                },
            ),
            Sample::of("second-with", &page(Stage::With { paper_codes: 9 }, Need::Choice)),
            Sample::of("second-with-must", &page(Stage::With { paper_codes: 0 }, Need::Must)),
            Sample::of("second-paper", &page(paper, Need::Must)),
        ]
    }
}
