//! Which entries of the main navigation somebody gets.

use super::rights::{Deed, Roles};
use crate::web::frame::Place;

/// Every entry in the order of the navigation, each with the deed that its page asks for. An entry
/// is shown to those whose roles may do that.
pub const PLACES: [(Place, Deed); 11] = [
    (Place::Kits, Deed::Ask),
    (Place::Telescopes, Deed::Look),
    (Place::Shelf, Deed::Look),
    (Place::Mine, Deed::Borrow),
    (Place::PublicNights, Deed::Look),
    (Place::Desk, Deed::RunDesk),
    (Place::Sites, Deed::KeepSites),
    (Place::Buying, Deed::PlanPurchases),
    (Place::People, Deed::Invite),
    (Place::Me, Deed::Look),
    (Place::Help, Deed::Look),
];

/// The entries for somebody with these roles, in order.
#[must_use]
pub fn places_for(roles: &Roles) -> Vec<Place> {
    PLACES.into_iter().filter(|(_, deed)| roles.may(*deed)).map(|(place, _)| place).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn without_a_role_there_is_nowhere_to_go() {
        assert_eq!(places_for(&Roles::default()), []);
    }
}
