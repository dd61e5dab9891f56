//! The body of a purchase to be chosen without anything being stored.

use serde::de::Deserializer;

use super::cells::{Cell, Record, whole};
use super::forms::{Filled, List, form};
use super::observers::ObserverIn;
use super::pieces::{BarlowIn, EyepieceIn, Id, TelescopeIn, id};
use super::read::{Element, Sink, Slot};
use super::requests::with_own_ids;
use crate::kit::solve::MOST_EYEPIECES;
use crate::kit::{Question, ShelfTelescope};
use crate::optics::{Barlow, Eyepiece};

/// Most observers in one request.
pub const MOST_OBSERVERS: usize = 40;

/// Most telescopes in one request.
pub const MOST_TELESCOPES: usize = 40;

/// Most eyepieces, and most Barlows.
pub const MOST_GLASS: usize = 200;

/// The highest price, and the highest budget.
pub const MOST_MONEY: usize = 100_000_000;

/// Eyepieces in a kit where the caller does not say how many.
const USUAL_EYEPIECES: usize = 5;

/// The fields of an offer.
pub const OFFER_FIELDS: [&str; 2] = ["id", "price"];

/// A piece that is not there yet, with its price.
#[derive(Debug, Clone, PartialEq)]
pub struct OfferIn {
    /// Which of the eyepieces and Barlows.
    pub id: Id,
    /// What it costs.
    pub price: u32,
}

impl Element for OfferIn {
    fn read<'de, D: Deserializer<'de>>(
        sink: &mut Sink,
        deserializer: D,
    ) -> Result<Option<Self>, D::Error> {
        let record = Record::read("an offer", &OFFER_FIELDS, sink, deserializer)?;
        let Some(record) = record else { return Ok(None) };
        let id = match id(&record, sink) {
            Slot::Read(id) => Some(id),
            Slot::Missing => {
                sink.fault_at("id", "This field is missing: every offer names its piece.");
                None
            }
            Slot::Faulty => None,
        };
        let price = record.required("price", sink, |price: f64| {
            let fits = price.fract() == 0.0 && (0.0..=MOST_MONEY as f64).contains(&price);
            if fits {
                Ok(price as u32)
            } else {
                Err(format!("A price is a whole number from 0 to {MOST_MONEY}."))
            }
        });
        Ok(id.zip(price).map(|(id, price)| Self { id, price }))
    }
}

/// Asks for the best purchase.
#[derive(Debug, Clone, PartialEq)]
pub struct PurchaseRequest {
    /// Who looks; each counts as one.
    pub questions: Vec<Question>,
    /// Telescopes that are there.
    pub telescopes: Vec<ShelfTelescope>,
    /// Eyepieces, there or offered.
    pub eyepieces: Vec<(Id, Eyepiece)>,
    /// Barlows, there or offered.
    pub barlows: Vec<(Id, Barlow)>,
    /// Which of them are offered.
    pub offers: Vec<OfferIn>,
    /// What may be spent.
    pub budget: u64,
    /// Most eyepieces in a kit.
    pub max_eyepieces: usize,
}

form! {
    /// The fields of a purchase.
    PURCHASE_FIELDS;
    PurchaseForm is "the body" {
        observers: Slot<List<ObserverIn, MOST_OBSERVERS>>,
        telescopes: Slot<List<TelescopeIn, MOST_TELESCOPES>>,
        eyepieces: Slot<List<EyepieceIn, MOST_GLASS>>,
        barlows: Slot<List<BarlowIn, MOST_GLASS>>,
        offers: Slot<List<OfferIn, MOST_GLASS>>,
        budget: Option<Cell>,
        max_eyepieces: Option<Cell>,
    }
}

impl Filled for PurchaseRequest {
    type Form = PurchaseForm;

    fn filled(form: PurchaseForm, sink: &mut Sink) -> Option<Self> {
        let observers = form.observers.needed("observers", "the body", sink);
        let telescopes = form.telescopes.needed("telescopes", "the body", sink);
        let eyepieces = form.eyepieces.needed("eyepieces", "the body", sink);
        let offers = form.offers.needed("offers", "the body", sink);
        let barlows = form.barlows.or_default();
        let budget = whole(form.budget.as_ref(), "budget", 0, MOST_MONEY, sink);
        if matches!(form.budget, None | Some(Cell::Null)) {
            sink.fault_at("budget", "This field is missing: the body needs it.");
        }
        let max_eyepieces =
            whole(form.max_eyepieces.as_ref(), "max_eyepieces", 1, MOST_EYEPIECES, sink);
        let (Some(observers), Some(telescopes), Some(eyepieces), Some(barlows), Some(offers)) =
            (observers, telescopes, eyepieces, barlows, offers)
        else {
            return None;
        };
        for (list, count, most) in [
            ("observers", observers.count, MOST_OBSERVERS),
            ("telescopes", telescopes.count, MOST_TELESCOPES),
            ("eyepieces", eyepieces.count, MOST_GLASS),
            ("barlows", barlows.count, MOST_GLASS),
            ("offers", offers.count, MOST_GLASS),
        ] {
            if count > most {
                sink.fault_at(list, format!("At most {most} go into one request: send fewer."));
            }
        }
        let mut names = std::collections::HashSet::new();
        let mut across = Some(&mut names);
        let eyepieces = with_own_ids("eyepieces", eyepieces.items, &mut across, sink);
        let barlows = with_own_ids("barlows", barlows.items, &mut across, sink);
        let mut seen: Vec<&Id> = Vec::new();
        for (at, offer) in &offers.items {
            let known = eyepieces.iter().map(|one| &one.0).chain(barlows.iter().map(|one| &one.0));
            if !known.into_iter().any(|id| *id == offer.id) {
                let says = "No eyepiece or Barlow has this id: offer what is in the lists.";
                sink.fault_in("offers", *at, "id", says);
            } else if seen.contains(&&offer.id) {
                sink.fault_in("offers", *at, "id", "This piece is offered twice: keep one.");
            }
            seen.push(&offer.id);
        }
        Some(Self {
            questions: observers.items.into_iter().map(|(_, one)| one.0).collect(),
            telescopes: telescopes.items.into_iter().map(|(_, one)| one.spec).collect(),
            eyepieces,
            barlows,
            offers: offers.items.into_iter().map(|(_, one)| one).collect(),
            budget: budget.unwrap_or(0) as u64,
            max_eyepieces: max_eyepieces.unwrap_or(USUAL_EYEPIECES),
        })
    }
}
