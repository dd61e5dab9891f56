//! The club's equipment: what there is, what is known of it and how it comes in and out as tables.

pub mod api;
mod asked;
pub mod bodies;
mod browse;
pub mod check;
mod doubts;
pub mod edit_pages;
mod fields;
mod finding;
mod form;
mod history;
mod item;
mod model;
pub mod page;
pub mod pages;
pub mod piece_pages;
mod rows;
mod standing;
mod store;
mod table;
mod tables;
#[cfg(test)]
mod tests;
mod words;
mod write;

pub use browse::{Browsed, browse};
pub use finding::{Order, Wanted, find, next_tag, tagged};
pub use history::{Change, Hand, changes};
pub(crate) use item::named;
pub use item::{AcquiredYear, AssetTag, Draft, Facts, ItemId, ItemState, Kind, NotAYear, Record};
pub use model::{
    BarlowRecord, EyepieceRecord, FilterFigures, FilterKind, FilterRecord, Heights, Helpers, Mount,
    NotAHeight, NotATube, Shelf, SolarFilterInEyepiece, TelescopeFigures, TelescopeRecord,
    TooManyHelpers, TubeDiameter, TubeDiameters,
};
pub use rows::Unreadable;
pub(crate) use store::id_list;
pub use store::{
    ItemName, ShelfError, all_names, barlow, barlows, barlows_in_service, eyepiece, eyepieces,
    eyepieces_in_service, filter, filters, filters_in_service, names, shelf, shelf_in_service,
    telescope, telescopes, telescopes_in_service, these_barlows, these_eyepieces, these_filters,
    these_telescopes,
};
pub use table::{Tabular, read_table, take_in, write_table};
pub use words::Wordy;
pub use write::{Figures, add, put_state, replace};
