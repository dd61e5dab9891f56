//! The pages for looking after the shelf as a whole.

use askama::Template;
use askama_web::WebTemplate;

use super::item::Kind;
use super::labels::SHEETS;
use super::preview::Preview;
use crate::web::field::{Choice, Field};
use crate::web::frame::Frame;

/// Something that waits to be done to a piece.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Waiting {
    /// The piece's page.
    pub address: String,
    /// The tag on it.
    pub tag: String,
    /// Its name.
    pub name: String,
    /// What is to be done, and since when.
    pub says: String,
}

/// `/stock`
#[derive(Template, WebTemplate)]
#[template(path = "shelf/stock.html")]
pub struct StockPage {
    /// The frame.
    pub frame: Frame,
    /// What waits.
    pub waiting: Vec<Waiting>,
}

/// Tables besides those of the kinds, by their word and name.
const OTHER_TABLES: [(&str, &str); 3] =
    [("papers", "Papers and sets"), ("upkeep", "Upkeep"), ("inspections", "Inspections")];

impl StockPage {
    fn tables() -> Vec<(String, &'static str)> {
        let of = |kind: &Kind| (format!("/stock/tables/{}.csv", kind.as_str()), kind.plural());
        let more = OTHER_TABLES.map(|(word, label)| (format!("/stock/tables/{word}.csv"), label));
        Kind::ALL.iter().map(of).chain(more).collect()
    }
}

/// A piece in a table of figures.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Counted {
    /// The piece's page.
    pub address: String,
    /// The tag on it.
    pub tag: String,
    /// Its name.
    pub name: String,
    /// The figures, in the order of the columns.
    pub figures: Vec<String>,
}

/// `/stock/use` and `/stock/values`
#[derive(Template, WebTemplate)]
#[template(path = "shelf/counted.html")]
pub struct CountedPage {
    /// The frame.
    pub frame: Frame,
    /// What it comes to, in a sentence.
    pub says: String,
    /// The columns after the piece.
    pub columns: Vec<&'static str>,
    /// The pieces.
    pub pieces: Vec<Counted>,
    /// How many more there are, all of which stand in the file.
    pub more: usize,
    /// The address of the next page; none where the rest stands in the file only.
    pub next: Option<String>,
    /// The same as a file.
    pub file: &'static str,
}

impl CountedPage {
    /// The same on paper.
    fn paper(&self) -> String {
        self.file.replace(".csv", ".pdf")
    }
}

/// `/stock/labels`
#[derive(Template, WebTemplate)]
#[template(path = "shelf/labels.html")]
pub struct LabelsPage {
    /// The frame.
    pub frame: Frame,
    /// The tags to print, as typed.
    pub tags: Field,
    /// The chosen kind.
    pub kind: String,
}

impl LabelsPage {
    fn sheets() -> Vec<Choice> {
        SHEETS.iter().map(|sheet| Choice::new(sheet.id, sheet.label)).collect()
    }

    fn kinds() -> Vec<Choice> {
        Kind::ALL.iter().map(|kind| Choice::new(kind.as_str(), kind.plural())).collect()
    }
}

/// `/stock/import`
#[derive(Template, WebTemplate)]
#[template(path = "shelf/import.html")]
pub struct ImportPage {
    /// The frame.
    pub frame: Frame,
    /// The kind that the table is of.
    pub kind: String,
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
}

impl ImportPage {
    fn kinds() -> Vec<Choice> {
        let kinds = Kind::ALL.iter().map(|kind| Choice::new(kind.as_str(), kind.plural()));
        let written = OTHER_TABLES.iter().map(|(word, name)| Choice::new(*word, *name));
        kinds.chain(written).collect()
    }
}

#[cfg(test)]
pub(crate) mod samples {
    use super::*;
    use crate::gallery::{Sample, signed_in};
    use crate::people::rights::Role;
    use crate::shelf::preview::Would;
    use crate::web::frame::{Place, Scheme};

    const TYPED: &str = "\"><script>alert(1)</script>";

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let frame = |title: &str| {
            signed_in(title, scheme, "Ottilie Marchbanks", &[Role::Quartermaster]).at(Place::Shelf)
        };
        let waiting = vec![Waiting {
            address: "/shelf/T-001".into(),
            tag: "T-001".into(),
            name: TYPED.into(),
            says: "Collimate it: was due on 1 May 2026".into(),
        }];
        let counted = |pieces: Vec<Counted>, more| CountedPage {
            frame: frame("How much things are used"),
            says: "Two pieces went out.".into(),
            columns: vec!["Loans", "Nights", "Last seen"],
            pieces,
            more,
            next: (more > 0).then(|| "/stock/use?nights=30&after=T-001".into()),
            file: "/stock/use.csv",
        };
        let piece = Counted {
            address: "/shelf/T-001".into(),
            tag: "T-001".into(),
            name: TYPED.into(),
            figures: vec!["12".into(), "30".into(), "5 June 2026".into()],
        };
        let import = || ImportPage {
            frame: frame("Take in a table"),
            kind: "eyepiece".into(),
            table: String::new(),
            faults: Vec::new(),
            refused: None,
            preview: None,
            seen: String::new(),
            notice: None,
        };
        let would = |changes: &[&str]| Would {
            line: 2,
            what: format!("E-031 {TYPED}"),
            changes: changes.iter().map(ToString::to_string).collect(),
        };
        let preview = Preview {
            added: vec![would(&[])],
            changed: vec![would(&["Eye relief: nothing becomes 17 mm"])],
            dropped: vec![format!("E-031 {TYPED}")],
            unchanged: 3,
            unnamed: 1,
        };
        vec![
            Sample::of("stock", &StockPage { frame: frame("Looking after the shelf"), waiting }),
            Sample::of("stock-calm", &StockPage { frame: frame("Shelf"), waiting: Vec::new() }),
            Sample::of("counted", &counted(vec![piece], 12)),
            Sample::of("counted-none", &counted(Vec::new(), 0)),
            Sample::of(
                "labels",
                &LabelsPage {
                    frame: frame("Labels"),
                    tags: Field::refused(TYPED, "Nothing on the shelf bears this tag."),
                    kind: String::new(),
                },
            ),
            Sample::of("import", &import()),
            Sample::of(
                "import-preview",
                &ImportPage { preview: Some(preview), table: TYPED.into(), ..import() },
            ),
            Sample::of(
                "import-same",
                &ImportPage { preview: Some(Preview::default()), ..import() },
            ),
            Sample::of(
                "import-refused",
                &ImportPage {
                    refused: Some("One thing is wrong.".into()),
                    faults: vec![format!("line 2, name: {TYPED}")],
                    table: TYPED.into(),
                    ..import()
                },
            ),
            Sample::of(
                "import-taken",
                &ImportPage { notice: Some("The table is taken in.".into()), ..import() },
            ),
        ]
    }
}
