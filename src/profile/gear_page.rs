//! The pages of one's own case: what is in it, and one thing of it.

use askama::Template;
use askama_web::WebTemplate;

use super::gear::GearKind;
use super::gear_entries::Entry;
use super::gear_form::GearForm;
use super::observer_page::Changed;
use super::section::Section;
use crate::web::frame::Frame;

/// A thing as the list shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GearRow {
    /// What its owner calls it.
    pub name: String,
    /// Its figures in a few words.
    pub detail: String,
    /// Its page.
    pub address: String,
}

/// `/account/gear`
#[derive(Template, WebTemplate)]
#[template(path = "profile/gear.html")]
pub struct GearPage {
    /// The frame.
    pub frame: Frame,
    /// Where this page stands among those about oneself.
    pub section: Section,
    /// Telescopes.
    pub telescopes: Vec<GearRow>,
    /// Eyepieces.
    pub eyepieces: Vec<GearRow>,
    /// Good news to show once.
    pub notice: Option<String>,
}

/// `/account/gear/{kind}/{id}` and `/account/gear/{kind}/new`
#[derive(Template, WebTemplate)]
#[template(path = "profile/gear_piece.html")]
pub struct GearPiecePage {
    /// The frame.
    pub frame: Frame,
    /// Where this page stands among those about oneself.
    pub section: Section,
    /// The form.
    pub form: GearForm,
    /// Where the form is sent.
    pub action: String,
    /// The version that the reader saw; none for something new.
    pub version: Option<i64>,
    /// What somebody saved meanwhile, where the form came too late.
    pub changed: Vec<Changed>,
    /// What stands in the way, whatever is typed.
    pub refused: Option<String>,
}

impl GearPiecePage {
    fn one(&self) -> &'static str {
        self.form.kind.one()
    }

    fn opening(&self) -> &'static str {
        match self.form.kind {
            GearKind::Telescope => {
                "With it we can show what its own eyepieces and the club's give you in it, beside what you could borrow."
            }
            GearKind::Eyepiece => {
                "The next kit is chosen around it: what you have already, you needn't borrow."
            }
        }
    }
}

#[cfg(test)]
pub(crate) mod samples {
    use std::collections::BTreeMap;

    use super::*;
    use crate::gallery::{Sample, frame};
    use crate::web::frame::Scheme;

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let list = |telescopes: Vec<GearRow>, eyepieces: Vec<GearRow>| GearPage {
            frame: frame("My own case", scheme),
            section: Section::Gear,
            telescopes,
            eyepieces,
            notice: None,
        };
        let row = |name: &str, detail: &str| GearRow {
            name: name.into(),
            detail: detail.into(),
            address: "/account/gear/eyepieces/1".into(),
        };
        let piece = |form: GearForm, version| GearPiecePage {
            frame: frame("One of my own", scheme),
            section: Section::Gear,
            action: "/account/gear/eyepieces/1".into(),
            form,
            version,
            changed: Vec::new(),
            refused: None,
        };
        let sent = BTreeMap::from([
            ("name".to_owned(), "<script>alert(1)</script>".to_owned()),
            ("focal_length_mm".to_owned(), "much".to_owned()),
        ]);
        let mut wrong = GearForm::typed(GearKind::Eyepiece, &sent);
        assert!(wrong.eyepiece().is_none());
        let changed =
            vec![Changed { label: "Barrel", kept: "nothing".into(), typed: "50.8".into() }];
        let refused = Some("Your case holds 50 of these.".to_owned());
        vec![
            Sample::of("gear-none", &list(Vec::new(), Vec::new())),
            Sample::of(
                "gear",
                &GearPage {
                    notice: Some("Saved.".into()),
                    ..list(
                        vec![row("My table-top", "130 mm at f/5")],
                        vec![row("\"><script>alert(1)</script>", "25 mm")],
                    )
                },
            ),
            Sample::of("gear-new-telescope", &piece(GearForm::empty(GearKind::Telescope), None)),
            Sample::of(
                "gear-piece-refused",
                &GearPiecePage { refused, ..piece(wrong.clone(), Some(2)) },
            ),
            Sample::of("gear-piece-stale", &GearPiecePage { changed, ..piece(wrong, Some(2)) }),
        ]
    }
}
