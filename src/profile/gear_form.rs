//! The form of a thing of one's own, from what was typed to figures, nothing lost on the way.

use std::collections::BTreeMap;
use std::fmt::Display;

use super::gear::{Draft, GearKind, Own, OwnCase};
use super::gear_entries::{Entry, entries};
use crate::optics::{
    Aperture, ApparentField, Barrel, EyeRelief, Eyepiece, EyepieceFocalLength, EyepieceSpec,
    FieldStop, Layout, Mass, Obstruction, OpticalClass, Telescope, TelescopeFocalLength,
    TelescopeSpec, Tracking, Travel,
};
use crate::sheet::Name;
use crate::web::field::{Field, Slip, number, slips};

/// The form as a page shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GearForm {
    /// What it describes.
    pub kind: GearKind,
    /// Everything it asks, in order.
    pub entries: Vec<Entry>,
}

impl GearForm {
    /// An empty form.
    #[must_use]
    pub fn empty(kind: GearKind) -> Self {
        Self { kind, entries: entries(kind) }
    }

    /// The form as it was sent.
    #[must_use]
    pub fn typed(kind: GearKind, sent: &BTreeMap<String, String>) -> Self {
        let mut form = Self::empty(kind);
        for entry in &mut form.entries {
            let Some(value) = sent.get(entry.id()) else { continue };
            match entry {
                Entry::Text { field, .. } => field.value.clone_from(value),
                Entry::Pick { chosen, options, .. } => {
                    if options.iter().any(|option| option.value == *value) {
                        chosen.clone_from(value);
                    }
                }
            }
        }
        form
    }

    /// The form that shows this thing of a case, with its version.
    #[must_use]
    pub fn of(kind: GearKind, case: &OwnCase, id: i64) -> Option<(Self, i64)> {
        match kind {
            GearKind::Telescope => {
                let own = case.telescopes.iter().find(|own| own.id == id)?;
                Some((Self::of_telescope(own), own.version))
            }
            GearKind::Eyepiece => {
                let own = case.eyepieces.iter().find(|own| own.id == id)?;
                Some((Self::of_eyepiece(own), own.version))
            }
        }
    }

    fn of_telescope(own: &Own<Telescope>) -> Self {
        let spec = own.figures.spec();
        let sent = [
            ("name", Some(own.name.to_string())),
            ("layout", Some(spec.layout.as_str().to_owned())),
            ("aperture_mm", Some(spec.aperture.mm().to_string())),
            ("focal_length_mm", Some(spec.focal_length.mm().to_string())),
            ("focuser_barrel_mm", spec.focuser.map(|one| one.mm().to_string())),
            ("central_obstruction_mm", spec.obstruction.map(|one| one.mm().to_string())),
            (
                "tracking",
                spec.tracking.map(|one| if one == Tracking::Tracks { "yes" } else { "no" }.into()),
            ),
            ("focuser_travel_mm", spec.focuser_travel.map(|one| one.mm().to_string())),
            ("balance_limit_g", spec.balance_limit.map(|one| one.g().to_string())),
        ];
        Self::typed(GearKind::Telescope, &kept(sent))
    }

    fn of_eyepiece(own: &Own<Eyepiece>) -> Self {
        let spec = own.figures.spec();
        let sent = [
            ("name", Some(own.name.to_string())),
            ("focal_length_mm", Some(spec.focal_length.mm().to_string())),
            ("barrel_mm", spec.barrel.map(|one| one.mm().to_string())),
            ("apparent_field_deg", spec.apparent_field.map(|one| one.deg().to_string())),
            ("eye_relief_mm", spec.eye_relief.map(|one| one.mm().to_string())),
            ("usable_eye_relief_mm", spec.usable_relief.map(|one| one.mm().to_string())),
            ("optical_class", spec.class.map(|one| one.as_str().to_owned())),
            ("field_stop_mm", spec.field_stop.map(|one| one.mm().to_string())),
            ("mass_g", spec.mass.map(|one| one.g().to_string())),
        ];
        Self::typed(GearKind::Eyepiece, &kept(sent))
    }

    fn chosen(&self, id: &str) -> &str {
        self.entries
            .iter()
            .find_map(|entry| match entry {
                Entry::Pick { id: own, chosen, .. } if *own == id => Some(chosen.as_str()),
                _ => None,
            })
            .unwrap_or_default()
    }

    fn field(&mut self, id: &str) -> Option<&mut Field> {
        self.entries.iter_mut().find_map(|entry| match entry {
            Entry::Text { id: own, field, .. } if *own == id => Some(field),
            _ => None,
        })
    }

    fn number<T, E: Display>(&mut self, id: &str, make: impl Fn(f64) -> Result<T, E>) -> Option<T> {
        number(self.field(id)?, make)
    }

    fn needed<T, E: Display>(&mut self, id: &str, make: impl Fn(f64) -> Result<T, E>) -> Option<T> {
        let field = self.field(id)?;
        if field.value.trim().is_empty() {
            field.refuse("This one is needed: nothing can be worked out without it.");
            return None;
        }
        number(field, make)
    }

    fn name(&mut self) -> Option<Name> {
        let field = self.field("name")?;
        Name::new(&field.value).map_err(|refused| field.refuse(refused.to_string())).ok()
    }

    fn barrel(&self, id: &str) -> Option<Barrel> {
        self.chosen(id).parse::<f64>().ok().and_then(|mm| Barrel::try_from(mm).ok())
    }

    /// What is wrong with it.
    #[must_use]
    pub fn slips(&self) -> Vec<Slip> {
        slips(self.entries.iter().filter_map(|entry| match entry {
            Entry::Text { id, field, .. } => Some((*id, field)),
            Entry::Pick { .. } => None,
        }))
    }

    /// How `kept`, which somebody saved meanwhile, differs from this: label, kept, typed.
    #[must_use]
    pub fn differences(&self, kept: &Self) -> Vec<(&'static str, String, String)> {
        let said = |text: String| if text.is_empty() { "nothing".to_owned() } else { text };
        self.entries
            .iter()
            .zip(&kept.entries)
            .map(|(typed, kept)| (typed.told(), kept.told()))
            .filter(|(typed, kept)| typed != kept)
            .map(|((label, typed), (_, kept))| (label, said(kept), said(typed)))
            .collect()
    }

    /// Reads a telescope; refused fields are marked. `None` where at least one is.
    pub fn telescope(&mut self) -> Option<Draft<Telescope>> {
        let name = self.name();
        let aperture = self.needed("aperture_mm", Aperture::new);
        let focal_length = self.needed("focal_length_mm", TelescopeFocalLength::new);
        let obstruction = self.number("central_obstruction_mm", Obstruction::new);
        let focuser_travel = self.number("focuser_travel_mm", Travel::new);
        let balance_limit = self.number("balance_limit_g", Mass::new);
        if !self.slips().is_empty() {
            return None;
        }
        let spec = TelescopeSpec {
            layout: Layout::parse(self.chosen("layout")).unwrap_or(Layout::Unknown),
            aperture: aperture?,
            focal_length: focal_length?,
            obstruction,
            focuser: self.barrel("focuser_barrel_mm"),
            focuser_travel,
            balance_limit,
            tracking: match self.chosen("tracking") {
                "yes" => Some(Tracking::Tracks),
                "no" => Some(Tracking::StandsStill),
                _ => None,
            },
        };
        match Telescope::new(spec) {
            Ok(figures) => Some(Draft { name: name?, figures }),
            Err(refused) => {
                self.field("aperture_mm")?.refuse(refused.to_string());
                None
            }
        }
    }

    /// Reads an eyepiece; refused fields are marked. `None` where at least one is.
    pub fn eyepiece(&mut self) -> Option<Draft<Eyepiece>> {
        let name = self.name();
        let focal_length = self.needed("focal_length_mm", EyepieceFocalLength::new);
        let apparent_field = self.number("apparent_field_deg", ApparentField::new);
        let eye_relief = self.number("eye_relief_mm", EyeRelief::new);
        let usable_relief = self.number("usable_eye_relief_mm", EyeRelief::new);
        let field_stop = self.number("field_stop_mm", FieldStop::new);
        let mass = self.number("mass_g", Mass::new);
        if !self.slips().is_empty() {
            return None;
        }
        let spec = EyepieceSpec {
            focal_length: focal_length?,
            apparent_field,
            field_stop,
            eye_relief,
            usable_relief,
            barrel: self.barrel("barrel_mm"),
            class: OpticalClass::parse(self.chosen("optical_class")),
            mass,
        };
        match Eyepiece::new(spec) {
            Ok(figures) => Some(Draft { name: name?, figures }),
            Err(refused) => {
                self.field("field_stop_mm")?.refuse(refused.to_string());
                None
            }
        }
    }
}

fn kept<const N: usize>(sent: [(&str, Option<String>); N]) -> BTreeMap<String, String> {
    sent.into_iter().filter_map(|(id, value)| Some((id.to_owned(), value?))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::profile::gear_entries::{BARRELS, CLASSES, LAYOUTS};

    fn form(kind: GearKind, pairs: &[(&str, &str)]) -> GearForm {
        let sent = pairs.iter().map(|(k, v)| ((*k).to_owned(), (*v).to_owned())).collect();
        GearForm::typed(kind, &sent)
    }

    #[test]
    fn a_name_and_the_main_figures_are_enough() {
        let scope = [("name", "Mine"), ("aperture_mm", "130"), ("focal_length_mm", "650")];
        let draft = form(GearKind::Telescope, &scope).telescope().unwrap();
        assert_eq!(draft.figures.spec().layout, Layout::Unknown);
        let glass = [("name", "Mine"), ("focal_length_mm", "12,5")];
        let draft = form(GearKind::Eyepiece, &glass).eyepiece().unwrap();
        assert!((draft.figures.focal_length().mm() - 12.5).abs() < 1e-12);
        assert!(form(GearKind::Eyepiece, &[("name", "Mine")]).eyepiece().is_none());
    }

    #[test]
    fn what_is_shown_again_reads_as_the_same() {
        let pairs = [
            ("name", "Grandfather's"),
            ("layout", "newtonian"),
            ("aperture_mm", "114.5"),
            ("focal_length_mm", "900"),
            ("focuser_barrel_mm", "24.5"),
            ("central_obstruction_mm", "30"),
            ("tracking", "no"),
            ("focuser_travel_mm", "12"),
            ("balance_limit_g", "400"),
        ];
        let draft = form(GearKind::Telescope, &pairs).telescope().unwrap();
        let own = Own { id: 1, version: 4, name: draft.name.clone(), figures: draft.figures };
        let case = OwnCase { telescopes: vec![own], eyepieces: Vec::new() };
        let (mut shown, version) = GearForm::of(GearKind::Telescope, &case, 1).unwrap();
        assert_eq!((shown.telescope().unwrap(), version), (draft, 4));
        assert!(GearForm::of(GearKind::Eyepiece, &case, 1).is_none());
    }

    #[test]
    fn figures_that_contradict_each_other_are_refused_beside_a_field() {
        let pairs = [
            ("name", "Mine"),
            ("layout", "newtonian"),
            ("aperture_mm", "130"),
            ("focal_length_mm", "650"),
            ("central_obstruction_mm", "200"),
        ];
        let mut scope = form(GearKind::Telescope, &pairs);
        assert!(scope.telescope().is_none());
        assert_eq!(scope.slips().len(), 1);
        let pairs = [
            ("name", "Mine"),
            ("focal_length_mm", "25"),
            ("barrel_mm", "31.75"),
            ("field_stop_mm", "45"),
        ];
        let mut glass = form(GearKind::Eyepiece, &pairs);
        assert!(glass.eyepiece().is_none());
        assert_eq!(glass.slips()[0].field, "field_stop_mm");
    }

    #[test]
    fn every_choice_is_a_word_that_the_optics_know() {
        assert!(LAYOUTS.iter().all(|(word, _)| Layout::parse(word).is_some()));
        assert_eq!(LAYOUTS.len() + 1, Layout::ALL.len(), "all but not knowing");
        assert!(CLASSES.iter().all(|(word, _)| OpticalClass::parse(word).is_some()));
        assert_eq!(CLASSES.len(), OpticalClass::ALL.len());
        let mm = |word: &str| Barrel::try_from(word.parse::<f64>().unwrap()).unwrap().mm();
        assert!(BARRELS.iter().all(|(word, _)| mm(word).to_string() == *word));
    }
}
