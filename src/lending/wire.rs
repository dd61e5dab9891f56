//! Reservations and loans as programs see them.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::handing::{Back, Condition};
use super::machine::LineState;
use super::night::{Night, Nights, NotNights};
use super::reading::Whole;
use crate::shelf::ItemId;
use crate::web::problem::{Fault, Problem};

/// What to reserve.
#[derive(Debug, Clone, Deserialize, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ReservationWish {
    /// The numbers of the items; one named twice counts once.
    #[schema(max_items = 100)]
    pub items: Vec<i64>,
    /// The date of the first evening.
    #[schema(format = "date")]
    pub first_night: String,
    /// The date of the last evening.
    #[schema(format = "date")]
    pub last_night: String,
    /// For whom; without it, for the token's owner.
    #[serde(default)]
    pub member: Option<i64>,
    /// Whether anything is to be used while the Sun is up: then every telescope needs its filter
    /// in the same reservation.
    #[serde(default)]
    pub daylight: bool,
    /// The number of the observing site where it will be used; without it, the club's usual one.
    #[serde(default)]
    pub site: Option<i64>,
}

/// Other items or other nights.
#[derive(Debug, Clone, Deserialize, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ReservationChange {
    /// The numbers of all items it shall have.
    #[schema(max_items = 100)]
    pub items: Vec<i64>,
    /// The date of the first evening.
    #[schema(format = "date")]
    pub first_night: String,
    /// The date of the last evening.
    #[schema(format = "date")]
    pub last_night: String,
}

/// Reads both nights, naming the field that can't be used.
///
/// # Errors
/// 422 with a pointer.
pub fn nights(first: &str, last: &str) -> Result<Nights, Problem> {
    Nights::parse(first, last).map_err(|says| {
        let pointer = match says {
            NotNights::First(_) => "/first_night",
            _ => "/last_night",
        };
        Problem::out_of_range(vec![Fault::at(pointer, says.to_string())])
    })
}

/// A word on why, where there is something to say.
#[derive(Debug, Clone, Default, Deserialize, Serialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct WithReason {
    /// Why; at most 1,000 characters.
    pub reason: String,
}

/// What a hand-over notes. The quartermaster who sends it says by it that the borrower signed and
/// acknowledged the cautions as they stand.
#[derive(Debug, Clone, Default, Deserialize, Serialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct HandOverNote {
    /// What is taken along; without it, everything. The rest is free again.
    pub items: Option<Vec<i64>>,
    /// The name signed with; without it, the borrower's.
    pub signed_name: Option<String>,
    /// The version of the cautions that was acknowledged. Needed for use by day.
    pub cautions_version: Option<u32>,
    /// Who answers for a borrower who may be under eighteen.
    pub guardian: Option<String>,
    /// Who stood by, where somebody hands over to themself.
    pub witness: Option<String>,
    /// Anything worth noting.
    pub note: String,
}

/// What is brought back.
#[derive(Debug, Clone, Default, Deserialize, Serialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct ReturnNote {
    /// The pieces; without it, everything that is out, in good condition.
    pub items: Option<Vec<ReturnedPiece>>,
}

/// A piece that comes back.
#[derive(Debug, Clone, Deserialize, Serialize, ToSchema)]
#[serde(untagged, expecting = "Give an item's number, or an object with `item` and `condition`")]
pub enum ReturnedPiece {
    /// The item's number: it is in good condition.
    Good(i64),
    /// The item with its condition.
    With(ReturnedWith),
}

/// A piece that comes back, with its condition.
#[derive(Debug, Clone, Deserialize, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ReturnedWith {
    /// The item's number.
    #[serde(alias = "id")]
    pub item: i64,
    /// In what condition; without it, good.
    #[serde(default = "good")]
    pub condition: ConditionWord,
    /// What was seen.
    #[serde(default)]
    pub note: String,
}

/// In what condition a piece came back.
#[derive(Debug, Clone, Copy, Deserialize, Serialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum ConditionWord {
    /// As it went out.
    Good,
    /// To be cleaned first.
    Dirty,
    /// Something is broken.
    Damaged,
    /// Something is missing.
    Incomplete,
}

fn good() -> ConditionWord {
    ConditionWord::Good
}

impl From<ReturnedPiece> for Back {
    fn from(piece: ReturnedPiece) -> Self {
        match piece {
            ReturnedPiece::Good(item) => {
                Self { item: ItemId(item), condition: Condition::Good, note: String::new() }
            }
            ReturnedPiece::With(ReturnedWith { item, condition, note }) => {
                let condition = match condition {
                    ConditionWord::Good => Condition::Good,
                    ConditionWord::Dirty => Condition::Dirty,
                    ConditionWord::Damaged => Condition::Damaged,
                    ConditionWord::Incomplete => Condition::Incomplete,
                };
                Self { item: ItemId(item), condition, note }
            }
        }
    }
}

/// The night until which a loan is kept.
#[derive(Debug, Clone, Deserialize, Serialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Extension {
    /// The date of the new last evening.
    #[schema(format = "date")]
    pub last_night: String,
}

/// A piece of a reservation.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub struct LineAnswer {
    /// The item's number.
    pub item: i64,
    /// The tag on it.
    pub asset_tag: String,
    /// Its name.
    pub name: String,
    /// `planned`, `out`, `returned` or `missing`.
    pub state: &'static str,
    /// In what condition it came back.
    pub condition: Option<&'static str>,
}

/// A reservation.
#[derive(Debug, Clone, Serialize, ToSchema)]
#[schema(as = Reservation)]
pub struct ReservationAnswer {
    /// Its number.
    pub id: i64,
    /// The number of the member it is for.
    pub member: i64,
    /// `requested`, `confirmed`, `ready`, `declined`, `cancelled`, `no_show`, `out` or `closed`.
    pub state: &'static str,
    /// The numbers of its items.
    pub items: Vec<i64>,
    /// Its items with what people call them.
    pub lines: Vec<LineAnswer>,
    /// The date of the first evening.
    #[schema(format = "date")]
    pub first_night: String,
    /// The date of the last evening.
    #[schema(format = "date")]
    pub last_night: String,
    /// Whether anything is to be used while the Sun is up.
    pub daylight: bool,
    /// The number of the observing site; null for the club's usual one.
    pub site: Option<i64>,
    /// The number of the loan, once it is handed over.
    pub loan: Option<i64>,
    /// Counts the changes.
    pub version: i64,
}

/// A loan: a reservation that was handed over.
#[derive(Debug, Clone, Serialize, ToSchema)]
#[schema(as = Loan)]
pub struct LoanAnswer {
    /// Its number.
    pub id: i64,
    /// The number of its reservation.
    pub reservation: i64,
    /// The number of the member who has it.
    pub member: i64,
    /// `out` or `closed`.
    pub state: &'static str,
    /// The numbers of its items.
    pub items: Vec<i64>,
    /// Its items, each with where it is.
    pub lines: Vec<LineAnswer>,
    /// The date of the first evening.
    #[schema(format = "date")]
    pub first_night: String,
    /// The date of the last evening: it is due back when that night is over.
    #[schema(format = "date")]
    pub due_night: String,
    /// Whether something is out after its due night.
    pub overdue: bool,
    /// When it was handed over.
    #[schema(format = "date-time")]
    pub handed_over_at: String,
    /// The version of the cautions that the borrower acknowledged.
    pub cautions_version: i64,
    /// Counts the changes.
    pub version: i64,
}

/// Reservations, the newest first.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub struct ReservationsAnswer {
    /// The reservations.
    pub reservations: Vec<ReservationAnswer>,
    /// Send it as `before` for the ones before these; null at the end.
    pub next: Option<i64>,
}

/// Loans, the newest first.
#[derive(Debug, Clone, Serialize, ToSchema)]
pub struct LoansAnswer {
    /// The loans.
    pub loans: Vec<LoanAnswer>,
    /// Send it as `before` for the ones before these; null at the end.
    pub next: Option<i64>,
}

fn lines(whole: &Whole) -> (Vec<i64>, Vec<LineAnswer>) {
    let lines: Vec<LineAnswer> = whole
        .lines
        .iter()
        .map(|line| LineAnswer {
            item: line.item.id.0,
            asset_tag: line.item.tag.to_string(),
            name: line.item.name.clone(),
            state: line.state.as_str(),
            condition: line.condition.map(Condition::as_str),
        })
        .collect();
    (lines.iter().map(|line| line.item).collect(), lines)
}

impl From<&Whole> for ReservationAnswer {
    fn from(whole: &Whole) -> Self {
        let (items, lines) = lines(whole);
        Self {
            id: whole.id.0,
            member: whole.member.0,
            state: whole.state.as_str(),
            items,
            lines,
            first_night: whole.nights.first().to_string(),
            last_night: whole.nights.last().to_string(),
            daylight: whole.daylight,
            site: whole.site.map(|site| site.0),
            loan: whole.loan.as_ref().map(|loan| loan.id.0),
            version: whole.version,
        }
    }
}

impl LoanAnswer {
    /// The loan of a reservation; `None` before its hand-over.
    pub fn of(whole: &Whole, tonight: Night) -> Option<Self> {
        let loan = whole.loan.as_ref()?;
        let (items, lines) = lines(whole);
        let handed = jiff::Timestamp::from_second(loan.handed_at).unwrap_or_default();
        Some(Self {
            id: loan.id.0,
            reservation: whole.id.0,
            member: whole.member.0,
            state: whole.state.as_str(),
            items,
            lines,
            first_night: whole.nights.first().to_string(),
            due_night: whole.nights.last().to_string(),
            overdue: whole.is_overdue(tonight) && !whole.items(LineState::Out).is_empty(),
            handed_over_at: handed.to_string(),
            cautions_version: loan.cautions_version,
            version: whole.version,
        })
    }
}
