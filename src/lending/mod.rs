//! Nights, reservations and loans.

pub mod api;
mod api_answer;
mod api_filter;
mod api_once;
pub mod blocks;
pub mod booking;
mod broken;
pub mod calendar;
pub mod calendar_pages;
pub mod cautions;
pub mod cautions_page;
pub mod check;
mod condition;
mod custody;
mod desk_forms;
pub mod desk_pages;
#[cfg(test)]
pub(crate) mod desk_samples;
pub mod desk_sheet;
pub mod door;
pub mod feed;
pub mod feed_pages;
pub mod feed_store;
mod form_once;
mod guardian_letters;
pub mod handing;
mod keeping;
pub mod letters;
mod likeness;
mod limits;
pub mod loan_api;
pub mod machine;
mod making_room;
pub mod mine_list_pages;
pub mod mine_pages;
mod model;
mod night;
pub mod of_piece;
pub mod once;
pub mod openings;
pub mod piece_rule_pages;
#[cfg(test)]
pub(crate) mod plan_tests;
pub mod reading;
pub mod reports;
pub mod reserve_pages;
pub mod risk;
pub mod risk_letters;
pub mod rounds;
pub mod rules;
mod rules_form;
pub mod rules_pages;
#[cfg(test)]
pub(crate) mod rules_samples;
pub mod rules_store;
mod shown;
pub mod sign_pages;
pub mod signature;
mod store;
pub mod story;
mod sun;
pub mod swap_pages;
mod table;
#[cfg(test)]
mod tests;
#[cfg(test)]
mod use_tests;
pub mod wait_list;
pub mod waiting;
pub mod waiting_api;
pub mod waiting_desk;
pub mod waiting_pages;
pub mod wire;

pub use booking::{cancel, cancel_future, reserve};
pub use feed_store::forget_account;
pub use handing::{item_in_custody, member_has_custody};
pub use keeping::{Act, take_step};
pub use making_room::make_room;
pub use model::{
    Clash, LendingError, NotInService, NotReserved, Origin, Promise, Reservation, ReservationId,
    ReservationState, Wish,
};
pub use night::{Night, Nights, NotANight, NotNights};
pub use openings::{closed_on, spoken_for_each};
pub use shown::cautions_of;
pub use store::{
    free_items, free_on, has_lent_before, promises, reservations, taken_by_item, taken_nights,
};
pub use story::Doer;
pub use sun::{
    Flaw, SunDays, Unfiltered, flaw as filter_flaw, has_sound_filter, made_for as filter_made_for,
};
pub use table::{
    RESERVATION_COLUMNS, ReservationRow, read_reservations, take_reservations_in,
    write_reservations,
};
