//! The pages of stock-taking.

use askama::Template;
use askama_web::WebTemplate;

use super::count::Outcome;
use crate::web::field::Field;
use crate::web::frame::Frame;

/// A piece in a count.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CountRow {
    /// The piece's page.
    pub address: String,
    /// The tag on it.
    pub tag: String,
    /// Its name.
    pub name: String,
    /// Where it lives, or what else helps to find it.
    pub says: String,
}

/// A count that is over, in the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Past {
    /// Its page.
    pub address: String,
    /// "5 June 2026".
    pub day: String,
    /// Who answers for it.
    pub signed: String,
}

/// The count that is under way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Going {
    /// When and by whom it was begun.
    pub begun: String,
    /// How far it has come, in a sentence.
    pub tally: String,
    /// The tag that was typed.
    pub tag: Field,
    /// What was just counted.
    pub just: Option<String>,
    /// What was not seen yet.
    pub waiting: Vec<CountRow>,
    /// How many more there are.
    pub more: usize,
    /// The signature.
    pub signed_name: Field,
}

/// `/stock/count`
#[derive(Template, WebTemplate)]
#[template(path = "shelf/count.html")]
pub struct CountPage {
    /// The frame.
    pub frame: Frame,
    /// The count that is under way.
    pub going: Option<Going>,
    /// Those that are over.
    pub past: Vec<Past>,
}

/// `/stock/count/{id}`
#[derive(Template, WebTemplate)]
#[template(path = "shelf/counted_record.html")]
pub struct RecordPage {
    /// The frame.
    pub frame: Frame,
    /// When, and who answers for it.
    pub says: String,
    /// How it came out, group by group.
    pub groups: Vec<(Outcome, Vec<CountRow>)>,
}

#[cfg(test)]
pub(crate) mod samples {
    use super::*;
    use crate::gallery::{Sample, signed_in};
    use crate::people::rights::Role;
    use crate::web::frame::{Place, Scheme};

    const TYPED: &str = "\"><script>alert(1)</script>";

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let frame = |title: &str| {
            signed_in(title, scheme, "Ottilie Marchbanks", &[Role::Quartermaster]).at(Place::Shelf)
        };
        let row = || CountRow {
            address: "/shelf/T-001".into(),
            tag: "T-001".into(),
            name: TYPED.into(),
            says: format!("Back wall {TYPED}"),
        };
        let past = vec![Past {
            address: "/stock/count/1".into(),
            day: "5 June 2026".into(),
            signed: TYPED.into(),
        }];
        let going = |waiting: Vec<CountRow>, tag: Field| Going {
            begun: "Begun on 5 June 2026 by Ottilie Marchbanks.".into(),
            tally: "Two of three pieces are accounted for.".into(),
            tag,
            just: Some(format!("E-031 {TYPED}")),
            more: waiting.len() * 12,
            waiting,
            signed_name: Field::refused(TYPED, "Write your name."),
        };
        let page = |going: Option<Going>, past: Vec<Past>| CountPage {
            frame: frame("Taking stock"),
            going,
            past,
        };
        let wrong = Field::refused(TYPED, "Nothing on the shelf bears this tag.");
        let groups = vec![(Outcome::NotFound, vec![row()]), (Outcome::There, Vec::new())];
        vec![
            Sample::of("count-none", &page(None, Vec::new())),
            Sample::of("count-past", &page(None, past.clone())),
            Sample::of("count-going", &page(Some(going(vec![row()], wrong)), past)),
            Sample::of("count-all", &page(Some(going(Vec::new(), Field::default())), Vec::new())),
            Sample::of(
                "count-record",
                &RecordPage {
                    frame: frame("Count of 5 June 2026"),
                    says: format!("Signed by {TYPED}."),
                    groups,
                },
            ),
        ]
    }
}
