//! The club's shelf as the kit core takes it: figures only, in the order of the items' numbers.

use std::collections::HashMap;

use jiff::Span;
use jiff::civil::Date;

use crate::kit::{self, ShelfTelescope, SunFilter};
use crate::optics::{Barlow, Eyepiece};
use crate::shelf::{
    BarlowRecord, EyepieceRecord, Facts, FilterKind, FilterRecord, ItemId, Shelf, TelescopeRecord,
};

/// How long a solar filter's light test counts, in months. The club may want less.
const LIGHT_TEST_MONTHS: i64 = 12;

/// Items with their figures beside them; positions agree.
#[derive(Debug, Clone, Default)]
pub struct ClubShelf {
    /// Telescopes, by number.
    pub telescopes: Vec<TelescopeRecord>,
    /// Eyepieces, by number.
    pub eyepieces: Vec<EyepieceRecord>,
    /// Barlows, by number.
    pub barlows: Vec<BarlowRecord>,
    scopes: Vec<ShelfTelescope>,
    glass: Vec<Eyepiece>,
    lenses: Vec<Barlow>,
}

impl ClubShelf {
    /// Lays out a shelf whose solar filters have to be good until the morning after `last`.
    #[must_use]
    pub fn of(shelf: Shelf, last: Date) -> Self {
        let Shelf { mut telescopes, mut eyepieces, mut barlows, filters } = shelf;
        telescopes.sort_by_key(|item| item.id.0);
        eyepieces.sort_by_key(|item| item.id.0);
        barlows.sort_by_key(|item| item.id.0);
        let scopes = telescopes
            .iter()
            .map(|item| ShelfTelescope {
                spec: item.figures.optics,
                sun_filter: sun_filter_for(item, &filters, last),
            })
            .collect();
        let glass = eyepieces.iter().map(|item| item.figures).collect();
        let lenses = barlows.iter().map(|item| item.figures).collect();
        Self { telescopes, eyepieces, barlows, scopes, glass, lenses }
    }

    /// The figures, for the solver.
    #[must_use]
    pub fn figures(&self) -> kit::Shelf<'_> {
        kit::Shelf { telescopes: &self.scopes, eyepieces: &self.glass, barlows: &self.lenses }
    }

    /// Tag and name of every item, by number.
    #[must_use]
    pub fn names(&self) -> HashMap<i64, (String, String)> {
        let told =
            |id: ItemId, facts: &Facts| (id.0, (facts.tag.to_string(), facts.name.to_string()));
        let telescopes = self.telescopes.iter().map(|item| told(item.id, &item.facts));
        let eyepieces = self.eyepieces.iter().map(|item| told(item.id, &item.facts));
        let barlows = self.barlows.iter().map(|item| told(item.id, &item.facts));
        telescopes.chain(eyepieces).chain(barlows).collect()
    }

    /// The same shelf with only this telescope on it, or none where it is not there.
    #[must_use]
    pub fn with_only(mut self, telescope: i64) -> Self {
        let mut keep = self.telescopes.iter().map(|item| item.id.0 == telescope);
        self.scopes.retain(|_| keep.next().unwrap_or(false));
        self.telescopes.retain(|item| item.id.0 == telescope);
        self
    }
}

/// Whether one of the filters is recorded as fitting this telescope, was tested in time for
/// `last`, and is undamaged. A light test in the future proves nothing.
fn sun_filter_for(telescope: &TelescopeRecord, filters: &[FilterRecord], last: Date) -> SunFilter {
    let good = filters.iter().any(|filter| {
        let figures = &filter.figures;
        let tested = figures.last_light_test.is_some_and(|tested| {
            let oldest = last.checked_sub(Span::new().months(LIGHT_TEST_MONTHS));
            tested <= last && oldest.is_ok_and(|oldest| tested >= oldest)
        });
        figures.kind == FilterKind::SolarFullAperture
            && !figures.damaged
            && figures.fits_telescope.as_ref() == Some(&telescope.facts.tag)
            && tested
    });
    if good { SunFilter::Verified } else { SunFilter::Missing }
}
