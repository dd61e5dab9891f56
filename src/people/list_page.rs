//! The page that takes the club's list of members in.

use askama::Template;
use askama_web::WebTemplate;

use crate::sheet::Preview;
use crate::web::frame::Frame;

/// `/people/import`
#[derive(Template, WebTemplate)]
#[template(path = "people/list.html")]
pub struct ListPage {
    /// The frame.
    pub frame: Frame,
    /// The table as it was sent.
    pub table: String,
    /// What is wrong with it, line by line.
    pub faults: Vec<String>,
    /// One sentence above the faults.
    pub refused: Option<String>,
    /// What it would do.
    pub preview: Option<Preview>,
    /// The mark of that preview, sent back with the order to do it.
    pub seen: String,
    /// Good news to show once.
    pub notice: Option<String>,
    /// Whether the list has just been taken in.
    pub taken: bool,
    /// Columns of the table.
    pub columns: String,
}

#[cfg(test)]
pub(crate) mod samples {
    use super::*;
    use crate::gallery::{Sample, signed_in};
    use crate::people::rights::Role;
    use crate::sheet::Would;
    use crate::web::frame::{Place, Scheme};

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let page = || ListPage {
            frame: signed_in("The club’s list", scheme, "Ada Quill", &[Role::Admin])
                .at(Place::People),
            table: String::new(),
            faults: Vec::new(),
            refused: None,
            preview: None,
            seen: String::new(),
            notice: None,
            taken: false,
            columns: "member_number,name,email,joined,state".into(),
        };
        let would = |what: &str, changes: &[&str]| Would {
            line: 7,
            what: what.into(),
            changes: changes.iter().map(ToString::to_string).collect(),
        };
        let preview = Preview {
            added: vec![would("M-140 \"><script>alert(1)</script>", &[])],
            changed: vec![would("M-102 Ines Aldous", &["E-mail address: none becomes a@b"])],
            unchanged: 30,
            unnamed: 1,
            ..Preview::default()
        };
        vec![
            Sample::of("list", &page()),
            Sample::of(
                "list-preview",
                &ListPage { preview: Some(preview), seen: "0f3a".into(), ..page() },
            ),
            Sample::of(
                "list-same",
                &ListPage {
                    preview: Some(Preview { unchanged: 32, ..Preview::default() }),
                    ..page()
                },
            ),
            Sample::of(
                "list-refused",
                &ListPage {
                    refused: Some("One thing is wrong, so nothing was stored.".into()),
                    faults: vec!["line 7, email: <script>alert(1)</script>".into()],
                    table: "\"><script>alert(1)</script>".into(),
                    ..page()
                },
            ),
            Sample::of(
                "list-taken",
                &ListPage {
                    notice: Some("2 added, 1 changed, 30 as they were.".into()),
                    taken: true,
                    ..page()
                },
            ),
        ]
    }
}
