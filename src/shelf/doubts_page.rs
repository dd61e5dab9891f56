//! What is worth another look about a piece, asked for while it is typed.

use std::collections::BTreeMap;

use askama::Template;
use askama_web::WebTemplate;

use super::doubts::Doubtful;
use super::edit_pages::kind_of;
use super::form::PieceForm;
use super::item::ItemState;
use super::kinds::for_kind;
use super::table::Tabular;
use crate::people::access::SignedIn;
use crate::web::body::{Form, Path};
use crate::web::problem::Problem;

/// A sentence about an entry of the form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Doubted {
    /// The entry, so that the sentence can link to it.
    pub column: &'static str,
    /// What it is called.
    pub label: &'static str,
    /// The sentence.
    pub says: String,
}

/// The part of the page that says it; empty where nothing is odd.
#[derive(Debug, PartialEq, Eq, Template, WebTemplate)]
#[template(
    source = "{%- import \"shelf/doubts.html\" as part -%}\
        {%- if !doubts.is_empty() -%}{% call part::list(doubts, refused) %}{% endcall %}{%- endif -%}",
    ext = "html"
)]
pub struct DoubtsPart {
    doubts: Vec<Doubted>,
    /// Whether it is more than odd.
    refused: bool,
}

/// What is odd about these figures, beside the entries of the form.
pub(super) fn doubted(form: &PieceForm, figures: &impl Doubtful) -> Vec<Doubted> {
    let beside = |column| Doubted { column, label: form.label(column), says: String::new() };
    let doubts = figures.doubts().into_iter();
    doubts.map(|doubt| Doubted { says: doubt.says, ..beside(doubt.column) }).collect()
}

/// `POST /stock/new/{kind}/doubts`: judges what is in the form so far, and stores nothing. What is
/// still empty is not spoken of.
///
/// # Errors
/// 404 for another kind.
pub async fn doubts(
    _who: SignedIn,
    Path(kind): Path<String>,
    Form(sent): Form<BTreeMap<String, String>>,
) -> Result<DoubtsPart, Problem> {
    let kind = kind_of(&kind)?;
    let form = PieceForm::typed(kind, &sent);
    Ok(for_kind!(kind, T => so_far::<T>(form)))
}

fn so_far<T: Tabular + Doubtful>(mut form: PieceForm) -> DoubtsPart {
    // The figures can be judged before the piece has a name.
    for column in ["asset_tag", "name"] {
        if form.text(column).is_empty() {
            form.put(column, "x");
        }
    }
    if let Some(draft) = form.draft::<T>(ItemState::InService) {
        return DoubtsPart { doubts: doubted(&form, &draft.figures), refused: false };
    }
    let typed = form.entries.iter().filter(|entry| !entry.field.value.trim().is_empty());
    let wrong = typed.filter_map(|entry| {
        let says = entry.field.error.clone()?;
        Some(Doubted { column: entry.asked.column, label: entry.asked.label, says })
    });
    DoubtsPart { doubts: wrong.collect(), refused: true }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::optics::Eyepiece;
    use crate::shelf::Kind;

    fn so_far(typed: &[(&str, &str)]) -> DoubtsPart {
        let sent = typed.iter().map(|(name, text)| ((*name).into(), (*text).into())).collect();
        super::so_far::<Eyepiece>(PieceForm::typed(Kind::Eyepiece, &sent))
    }

    #[test]
    fn an_unfinished_form_is_judged_by_what_is_in_it() {
        assert_eq!(so_far(&[]).render().unwrap(), "");
        assert_eq!(so_far(&[("apparent_field_deg", "82")]).render().unwrap(), "");
        // By hand: 30 mm · 82° · π/180 = 42.9 mm; a 31.75 mm barrel holds 27.5 mm.
        let wide =
            [("focal_length_mm", "30"), ("apparent_field_deg", "82"), ("barrel_mm", "31.75")];
        let odd = so_far(&wide);
        assert_eq!((odd.refused, odd.doubts.len()), (false, 1));
        let text = odd.render().unwrap();
        assert!(text.contains("<a href=\"#apparent_field_deg\">"), "{text}");
        assert!(text.contains("42.9") && text.contains("It can be saved as it is."), "{text}");
    }

    #[test]
    fn what_cannot_be_is_said_beside_its_entry_and_empty_entries_are_not() {
        let wrong = so_far(&[("mass_g", "<b>"), ("field_stop_mm", "12")]);
        assert_eq!(wrong.doubts.iter().map(|one| one.column).collect::<Vec<_>>(), ["mass_g"]);
        let text = wrong.render().unwrap();
        assert!(text.contains("can't be saved yet") && !text.contains("<b>"), "{text}");
    }
}
