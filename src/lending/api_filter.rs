//! Which reservations or loans a program asks for, and which of them it may see.

use serde::Deserialize;

use super::door::may_see;
use super::model::ReservationState;
use super::reading::Wanted;
use crate::people::MemberId;
use crate::people::access::ApiCaller;
use crate::people::rights::Deed;
use crate::web::problem::{Fault, Problem};

/// Which reservations to list.
#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Filter {
    member: Option<i64>,
    state: Option<String>,
    before: Option<i64>,
    limit: Option<i64>,
}

impl Filter {
    /// What this caller may see of what was asked for.
    pub(super) fn wanted(&self, caller: &ApiCaller) -> Result<Wanted, Problem> {
        let everybody = caller.account.roles.may(Deed::RunDesk);
        let member = match self.member.map(MemberId) {
            Some(member) if !may_see(&caller.account, member) => {
                return Err(Problem::not_found("There is no such member, or not for you to see."));
            }
            Some(member) => Some(member),
            None if everybody => None,
            // Whoever is no member has no reservations: no member has this number.
            None => Some(caller.account.member.unwrap_or(MemberId(-1))),
        };
        let state = match self.state.as_deref() {
            None => Vec::new(),
            Some(word) => vec![ReservationState::parse(word).ok_or_else(|| {
                let says = "This is no state of a reservation: leave it out, or choose one.";
                Problem::out_of_range(vec![Fault::at("/state", says)])
            })?],
        };
        let most = self.limit.unwrap_or(50);
        if !(1..=200).contains(&most) {
            let says = "At most 200 at a time, and at least one.";
            return Err(Problem::out_of_range(vec![Fault::at("/limit", says)]));
        }
        Ok(Wanted { member, states: state, below: self.before, with_loan: false, most })
    }
}
