//! The club's equipment: what there is, what is known of it and how it comes in and out as tables.

mod accessory;
pub mod api;
mod asked;
mod barrels;
mod belongings;
pub mod bodies;
mod browse;
pub mod care;
pub mod care_pages;
mod care_table;
pub mod check;
mod choosing_one;
pub mod count;
pub mod count_page;
pub mod count_pages;
mod described;
mod doubts;
pub mod doubts_page;
pub mod edit_pages;
mod fields;
mod finding;
mod form;
mod history;
pub mod import_pages;
mod item;
mod kinds;
mod labels;
pub mod labels_pages;
#[cfg(test)]
mod migration_tests;
mod model;
pub mod page;
pub mod pages;
mod paper_table;
mod papers;
pub mod papers_pages;
pub mod pdf;
pub mod photo_form;
pub mod photo_pages;
mod photos;
mod picture;
mod piece_coming;
mod piece_life;
pub mod piece_pages;
#[cfg(test)]
mod plan_tests;
mod preview;
mod rows;
mod standing;
pub mod stock_page;
pub mod stock_pages;
pub mod stock_paper_pages;
mod stock_pdf;
mod store;
mod suiting;
mod table;
mod tables;
#[cfg(test)]
mod tests;
mod uses;
mod words;
mod write;

pub use accessory::{
    AccessoryFigures, AccessoryKind, AccessoryRecord, Capacity, LightPath, NotAnAccessory,
};
pub(crate) use barrels::{
    barrel as barrel_described, focuser as focuser_described, holder as holder_described,
};
pub use browse::{Browsed, browse, browse_for};
pub use care_table::{
    INSPECTION_COLUMNS, UPKEEP_COLUMNS, read_inspections, read_upkeep, take_inspections_in,
    take_upkeep_in, write_inspections, write_upkeep,
};
pub use choosing_one::{MOST_TO_CHOOSE, NotOne, one_called, telescopes_to_choose};
pub use finding::{Order, Wanted, find, next_tag, tagged};
pub use history::{Change, Hand, changes};
pub(crate) use item::named;
pub use item::{AcquiredYear, AssetTag, Draft, Facts, ItemId, ItemState, Kind, NotAYear, Record};
pub use model::{
    BarlowRecord, EyepieceRecord, FilterFigures, FilterKind, FilterRecord, Heights, Helpers, Mount,
    NotAHeight, NotATube, Shelf, SolarFilterInEyepiece, TelescopeFigures, TelescopeRecord,
    TooManyHelpers, TubeDiameter, TubeDiameters,
};
pub use paper_table::{NotWritten, PAPER_COLUMNS, read_papers, take_papers_in, write_papers};
pub use papers::{
    NotAWorth, Papers, Worth, papers, pieces_of_member, put_papers, set_parts, these_papers,
};
pub use photos::{Occasion, Photo, Size, add_photos, photo_bytes, photos};
pub use picture::{NotAPicture, Picture, read as read_picture};
pub use preview::{Preview, Would};
pub use rows::Unreadable;
pub(crate) use store::id_list;
pub use store::{
    ItemName, ShelfError, accessories, accessories_in_service, accessory, all_names, barlow,
    barlows, barlows_in_service, eyepiece, eyepieces, eyepieces_in_service, filter, filters,
    filters_in_service, how_many_in_service, ids_in_service, names, out_of_service, shelf,
    shelf_in_service, telescope, telescopes, telescopes_after, telescopes_in_service,
    these_accessories, these_barlows, these_eyepieces, these_filters, these_telescopes,
};
pub use suiting::Eyes;
pub use table::{Tabular, read_table, take_in, write_table};
pub use uses::{After, Use, UseCount, Used, Written, all_used, count_used, most_used, written_use};
pub use words::Wordy;
pub use write::{Figures, add, put_state, replace};
