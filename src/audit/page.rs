//! The page of the audit log.

use askama::Template;
use askama_web::WebTemplate;

use crate::web::field::{Choice, Field, Slip, slips};
use crate::web::frame::Frame;

/// An entry as the page shows it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct EntryRow {
    /// "Friday 5 June 2026, 12:00:07".
    pub when: String,
    /// The same for programs.
    pub instant: String,
    /// Who: a name, "Somebody not signed in", "The service".
    pub who: String,
    /// The person's page, if there is one.
    pub who_page: Option<String>,
    /// "with an access token"; empty for pages.
    pub how: &'static str,
    /// The deed, its first letter large.
    pub deed: String,
    /// The record it was done to, in words; empty for none.
    pub record: String,
    /// The record's page, if it has one here.
    pub record_page: Option<String>,
    /// More about it; empty for nothing.
    pub detail: String,
    /// From where; empty when not known.
    pub address: String,
}

/// `/audit`
#[derive(Template, WebTemplate)]
#[template(path = "audit/log.html")]
pub struct AuditPage {
    /// The frame.
    pub frame: Frame,
    /// Part of a name or an e-mail address.
    pub person: Field,
    /// The deed chosen.
    pub deed: String,
    /// All deeds there are.
    pub deeds: Vec<Choice>,
    /// A record: a kind, or kind and number.
    pub record: Field,
    /// First day.
    pub from: Field,
    /// Last day.
    pub to: Field,
    /// The entries, newest first.
    pub entries: Vec<EntryRow>,
    /// The address of the next page, if there are older entries.
    pub older: Option<String>,
    /// Whether anything is looked for at all.
    pub searching: bool,
}

impl AuditPage {
    fn slips(&self) -> Vec<Slip> {
        slips([("record", &self.record), ("from", &self.from), ("to", &self.to)])
    }
}

#[cfg(test)]
pub(crate) mod samples {
    use super::*;
    use crate::gallery::{Sample, signed_in};
    use crate::people::rights::Role;
    use crate::web::frame::{Place, Scheme};

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let page = |entries: Vec<EntryRow>| AuditPage {
            frame: signed_in("Audit log", scheme, "Ada Quill", &[Role::Admin]).at(Place::People),
            person: Field::default(),
            deed: String::new(),
            deeds: vec![Choice::new("role given", "Role given")],
            record: Field::default(),
            from: Field::default(),
            to: Field::default(),
            entries,
            older: None,
            searching: false,
        };
        let row = |who: &str, deed: &str| EntryRow {
            when: "Friday 5 June 2026, 12:00:07".into(),
            instant: "2026-06-05T12:00:07Z".into(),
            who: who.into(),
            who_page: Some("/people/3".into()),
            deed: deed.into(),
            record: "Ines Aldous".into(),
            record_page: Some("/people/7".into()),
            detail: "outreach".into(),
            address: "192.0.2.17".into(),
            ..EntryRow::default()
        };
        let stranger = EntryRow {
            who: "Somebody not signed in".into(),
            who_page: None,
            deed: "Sign-in failed".into(),
            record_page: None,
            detail: "\"><script>alert(1)</script>".into(),
            ..row("", "")
        };
        let refused = Field::refused("soon", "Write the day like 2026-06-05.");
        let full = || vec![row("Ada Quill", "Role given"), stranger.clone()];
        vec![
            Sample::of("audit", &page(full())),
            Sample::of(
                "audit-more",
                &AuditPage {
                    older: Some("/audit?before=1780660807.7".into()),
                    searching: true,
                    ..page(full())
                },
            ),
            Sample::of("audit-none", &AuditPage { searching: true, ..page(Vec::new()) }),
            Sample::of("audit-refused", &AuditPage { from: refused, ..page(Vec::new()) }),
        ]
    }
}
