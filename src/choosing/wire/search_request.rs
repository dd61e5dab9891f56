//! The body of the question about the club's own shelf.

use serde::Serialize;
use utoipa::ToSchema;

use super::cells::{Cell, whole};
use super::forms::{Filled, form};
use super::observers::ObserverIn;
use super::read::{Sink, Slot};
use super::requests::{Explain, explain};
use super::schemas::ObserverBody;
use crate::kit::Question;
use crate::kit::solve::MOST_EYEPIECES;
use crate::lending::{Night, Nights};

/// Eyepieces in a kit where the caller does not say how many.
const USUAL_EYEPIECES: usize = 5;

/// Kits in an answer where the caller does not say how many.
const USUAL_LIMIT: usize = 5;

/// Most kits in an answer.
const MOST_KITS: usize = 1_000;

/// Whose eyes are meant.
#[derive(Debug, Clone, PartialEq)]
pub enum WhoseEyes {
    /// A member's, by number.
    Member(i64),
    /// Described in the body.
    Described(Box<Question>),
}

/// Asks for kits from the club's shelf.
#[derive(Debug, Clone, PartialEq)]
pub struct SearchRequest {
    /// Whose eyes.
    pub whose: WhoseEyes,
    /// On which nights.
    pub nights: Nights,
    /// Where, by the site's number.
    pub site: Option<i64>,
    /// In this telescope only.
    pub telescope: Option<i64>,
    /// Most eyepieces.
    pub max_eyepieces: usize,
    /// Most kits.
    pub limit: usize,
    /// What the answer explains.
    pub explain: Explain,
}

form! {
    /// The fields of a search.
    SEARCH_FIELDS;
    SearchForm is "the body" {
        member: Option<Cell>,
        observer: Slot<ObserverIn>,
        first_night: Option<Cell>,
        last_night: Option<Cell>,
        telescope: Option<Cell>,
        max_eyepieces: Option<Cell>,
        limit: Option<Cell>,
        explain: Option<Cell>,
        site: Option<Cell>,
    }
}

/// The body as the OpenAPI document describes it.
#[derive(Debug, Clone, Default, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = SearchKits, example = json!({"observer": {"age_years": 52, "glasses": "keeps_on"}, "first_night": "2026-06-05", "last_night": "2026-06-07"}))]
pub struct SearchBody {
    /// A member's number; or give `observer`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub member: Option<i64>,
    /// Who looks; or give `member`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub observer: Option<ObserverBody>,
    /// The date of the first evening at the club.
    #[schema(format = "date")]
    pub first_night: String,
    /// The date of the last evening; at most 366 nights.
    #[schema(format = "date")]
    pub last_night: String,
    /// Only this telescope, by number.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub telescope: Option<i64>,
    /// Most eyepieces in a kit.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 8)]
    pub max_eyepieces: Option<u8>,
    /// Most kits in the answer.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(minimum = 1, maximum = 1000)]
    pub limit: Option<u16>,
    /// `reasons` adds why each other eyepiece was left out, `matrix` the whole problem.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[schema(pattern = "^(reasons|matrix)$")]
    pub explain: Option<&'static str>,
    /// Under the sky of this observing site, by number; the club's usual one where it is not given
    /// or gone.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub site: Option<i64>,
}

impl Filled for SearchRequest {
    type Form = SearchForm;

    fn filled(form: SearchForm, sink: &mut Sink) -> Option<Self> {
        let member = number(form.member.as_ref(), "member", sink);
        let whose = match (form.observer, member) {
            (Slot::Missing, Some(member)) => Some(WhoseEyes::Member(member)),
            (Slot::Missing, None) => {
                if form.member.is_none() {
                    sink.fault_at("observer", "Say who looks: give `member` or `observer`.");
                }
                None
            }
            (Slot::Faulty, _) => None,
            (Slot::Read(_), Some(_)) => {
                sink.fault_at("observer", "Give `member` or `observer`, not both.");
                None
            }
            (Slot::Read(observer), None) => Some(WhoseEyes::Described(Box::new(observer.0))),
        };
        let first = night(form.first_night.as_ref(), "first_night", sink);
        let last = night(form.last_night.as_ref(), "last_night", sink);
        let nights = match (first, last) {
            (Some(first), Some(last)) => match Nights::new(first, last) {
                Ok(nights) => Some(nights),
                Err(refused) => {
                    sink.fault_at("last_night", refused.to_string());
                    None
                }
            },
            _ => None,
        };
        let site = number(form.site.as_ref(), "site", sink);
        let telescope = number(form.telescope.as_ref(), "telescope", sink);
        let max_eyepieces =
            whole(form.max_eyepieces.as_ref(), "max_eyepieces", 1, MOST_EYEPIECES, sink);
        let limit = whole(form.limit.as_ref(), "limit", 1, MOST_KITS, sink);
        let explain = explain(form.explain.as_ref(), sink);
        let (Some(whose), Some(nights)) = (whose, nights) else { return None };
        Some(Self {
            whose,
            nights,
            site,
            telescope,
            max_eyepieces: max_eyepieces.unwrap_or(USUAL_EYEPIECES),
            limit: limit.unwrap_or(USUAL_LIMIT),
            explain,
        })
    }
}

fn number(cell: Option<&Cell>, field: &str, sink: &mut Sink) -> Option<i64> {
    match cell {
        None | Some(Cell::Null) => None,
        Some(Cell::Whole(number)) => Some(*number),
        Some(_) => {
            sink.fault_at(field, "This must be a whole number.");
            None
        }
    }
}

fn night(cell: Option<&Cell>, field: &str, sink: &mut Sink) -> Option<Night> {
    match cell {
        None => {
            sink.fault_at(field, "This field is missing: the body needs it.");
            None
        }
        Some(Cell::Text(text)) if text.parse::<Night>().is_ok() => text.parse().ok(),
        Some(_) => {
            sink.fault_at(field, "A night is a date such as \"2026-06-05\".");
            None
        }
    }
}
