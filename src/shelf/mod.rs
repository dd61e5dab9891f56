//! The club's equipment: what there is, what is known of it and how it comes in and out as tables.

mod item;
mod model;

pub use item::{
    AcquiredYear, AssetTag, Draft, Facts, ItemId, ItemState, Kind, LONGEST_NAME, LONGEST_NOTES,
    NotAYear, Record,
};
pub use model::{
    BarlowRecord, EyepieceRecord, FilterFigures, FilterKind, FilterRecord, Heights, Helpers, Mount,
    NotAHeight, NotATube, Shelf, SolarFilterInEyepiece, TelescopeFigures, TelescopeRecord,
    TooManyHelpers, TubeDiameters,
};
