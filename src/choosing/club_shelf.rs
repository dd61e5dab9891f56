//! The club's shelf as the kit core takes it: figures only, in the order of the items' numbers.

use std::collections::HashMap;

use crate::kit::{self, Fitted, Own, ShelfTelescope, SunFilter};
use crate::lending::{SunDays, has_sound_filter};
use crate::optics::{Barlow, ComaCorrector, Eyepiece};
use crate::profile::OwnCase;
use crate::sheet::{Name, Notes};
use crate::shelf::{
    AccessoryRecord, AssetTag, BarlowRecord, EyepieceRecord, Facts, Heights, ItemId, ItemState,
    Record, Shelf, TelescopeFigures, TelescopeRecord,
};

/// Items with their figures beside them; positions agree.
#[derive(Debug, Clone, Default)]
pub struct ClubShelf {
    /// Telescopes, by number.
    pub telescopes: Vec<TelescopeRecord>,
    /// Eyepieces, by number.
    pub eyepieces: Vec<EyepieceRecord>,
    /// Barlows, by number.
    pub barlows: Vec<BarlowRecord>,
    /// The corrector in each telescope: such telescopes stand behind the others once more.
    correctors: Vec<Option<AccessoryRecord>>,
    scopes: Vec<ShelfTelescope>,
    glass: Vec<Eyepiece>,
    lenses: Vec<Barlow>,
    own: Own,
}

/// Whether this is a member's own thing, which has no number on the club's shelf: its number in
/// the case is below zero here, so that it can never be taken for one of the club's.
#[must_use]
pub fn is_own(id: ItemId) -> bool {
    id.0 < 0
}

impl ClubShelf {
    /// Lays out a shelf whose solar filters have to be sound on these days.
    #[must_use]
    pub fn of(shelf: Shelf, days: SunDays) -> Self {
        let Shelf { mut telescopes, mut eyepieces, mut barlows, filters, mut correctors } = shelf;
        telescopes.sort_by_key(|item| item.id.0);
        eyepieces.sort_by_key(|item| item.id.0);
        barlows.sort_by_key(|item| item.id.0);
        correctors.sort_by_key(|item| item.id.0);
        let scopes = telescopes
            .iter()
            .map(|item| {
                let sound = has_sound_filter(item, &filters, days);
                let filter = if sound { SunFilter::Verified } else { SunFilter::Missing };
                ShelfTelescope::plain(item.figures.optics, filter)
            })
            .collect();
        let glass = eyepieces.iter().map(|item| item.figures).collect();
        let lenses = barlows.iter().map(|item| item.figures).collect();
        let without = vec![None; telescopes.len()];
        let mut laid = Self {
            telescopes,
            eyepieces,
            barlows,
            correctors: without,
            scopes,
            glass,
            lenses,
            own: Own::default(),
        };
        laid.fit(&correctors);
        laid
    }

    /// Puts each corrector into each telescope that it fits. Of several that are alike the first
    /// stands for all.
    fn fit(&mut self, correctors: &[AccessoryRecord]) {
        let mut known: Vec<ComaCorrector> = Vec::new();
        for record in correctors {
            let Some(corrector) = record.figures.corrector() else { continue };
            if known.contains(&corrector) {
                continue;
            }
            known.push(corrector);
            let alike = |other: &&AccessoryRecord| other.figures.corrector() == Some(corrector);
            let copies = correctors.iter().filter(alike).count();
            for telescope in 0..self.telescopes.len() {
                let one = &self.scopes[telescope];
                // In a telescope that has one already none fits.
                if let Some(spec) = one.spec.with_corrector(&corrector) {
                    let fitted = Some(Fitted { telescope, copies, mass: corrector.mass });
                    self.scopes.push(ShelfTelescope { spec, fitted, ..one.clone() });
                    self.telescopes.push(self.telescopes[telescope].clone());
                    self.correctors.push(Some(record.clone()));
                }
            }
        }
    }

    /// The corrector in a telescope, where it stands here with one.
    #[must_use]
    pub fn corrector(&self, telescope: usize) -> Option<&AccessoryRecord> {
        self.correctors.get(telescope)?.as_ref()
    }

    /// The position of the telescope itself, whatever is fitted in it.
    #[must_use]
    pub fn itself(&self, telescope: usize) -> usize {
        self.scopes[telescope].fitted.map_or(telescope, |fitted| fitted.telescope)
    }

    /// How many telescopes there are, whatever could be fitted in them.
    #[must_use]
    pub fn telescope_count(&self) -> usize {
        self.scopes.iter().filter(|one| one.fitted.is_none()).count()
    }

    /// Puts a member's own things in front of the club's.
    #[must_use]
    pub fn with_own(mut self, case: &OwnCase) -> Self {
        let telescopes = case.telescopes.iter().filter_map(|own| {
            let figures = TelescopeFigures {
                optics: own.figures,
                mount: None,
                total_mass: None,
                heaviest_part: None,
                eyepiece_height: Heights::default(),
                helpers: None,
                tube: None,
            };
            own_record(own.id, &own.name, own.version, figures)
        });
        let eyepieces = case
            .eyepieces
            .iter()
            .filter_map(|own| own_record(own.id, &own.name, own.version, own.figures));
        let (telescopes, eyepieces): (Vec<TelescopeRecord>, Vec<EyepieceRecord>) =
            (telescopes.collect(), eyepieces.collect());
        self.own = Own { telescopes: telescopes.len(), eyepieces: eyepieces.len(), barlows: 0 };
        // Nobody has checked a filter of theirs.
        let scopes = telescopes
            .iter()
            .map(|item| ShelfTelescope::plain(item.figures.optics, SunFilter::Missing));
        for fitted in self.scopes.iter_mut().filter_map(|one| one.fitted.as_mut()) {
            fitted.telescope += telescopes.len();
        }
        self.scopes.splice(0..0, scopes);
        self.correctors.splice(0..0, vec![None; telescopes.len()]);
        self.glass.splice(0..0, eyepieces.iter().map(|item| item.figures));
        self.telescopes.splice(0..0, telescopes);
        self.eyepieces.splice(0..0, eyepieces);
        self
    }

    /// How many things in front are the member's own.
    #[must_use]
    pub fn own(&self) -> Own {
        self.own
    }

    /// The figures with none of the club's telescopes, for what one could do without a loan.
    #[must_use]
    pub fn own_telescopes(&self) -> kit::Shelf<'_> {
        kit::Shelf { telescopes: &self.scopes[..self.own.telescopes], ..self.figures() }
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
        let correctors = self.correctors.iter().flatten().map(|item| told(item.id, &item.facts));
        telescopes.chain(eyepieces).chain(barlows).chain(correctors).collect()
    }

    /// The same shelf with only this telescope on it, or none where it is not there.
    #[must_use]
    pub fn with_only(mut self, telescope: i64) -> Self {
        let mut keep = self.telescopes.iter().map(|item| item.id.0 == telescope);
        self.scopes.retain(|_| keep.next().unwrap_or(false));
        let mut keep = self.telescopes.iter().map(|item| item.id.0 == telescope);
        self.correctors.retain(|_| keep.next().unwrap_or(false));
        // Itself is the first of those that are left.
        for fitted in self.scopes.iter_mut().filter_map(|one| one.fitted.as_mut()) {
            fitted.telescope = 0;
        }
        self.telescopes.retain(|item| item.id.0 == telescope);
        self.own.telescopes = self.telescopes.iter().filter(|item| is_own(item.id)).count();
        self
    }
}

fn own_record<T>(id: i64, name: &Name, version: i64, figures: T) -> Option<Record<T>> {
    let facts = Facts {
        tag: AssetTag::new(&format!("own-{id}")).ok()?,
        name: name.clone(),
        state: ItemState::InService,
        acquired: None,
        notes: Notes::new("").ok()?,
    };
    Some(Record { id: ItemId(-id), version, facts, figures })
}
