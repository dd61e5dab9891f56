//! What there is, what may be bought and what may be sold, folded by specification.

use std::collections::HashMap;

use crate::optics::{Barlow, ComaCorrector, Eyepiece};

/// A piece of glass that goes into the focuser, alone or with others.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Glassware {
    /// An eyepiece.
    Eyepiece(Eyepiece),
    /// A Barlow.
    Barlow(Barlow),
    /// A coma corrector.
    Corrector(ComaCorrector),
}

/// Something for sale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Offer {
    /// What it is.
    pub glass: Glassware,
    /// What one costs, in the smallest unit of money.
    pub price: u32,
    /// How many one would buy at most.
    pub most: u8,
}

/// Something of one's own that could go.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sale {
    /// Its position among the pieces owned.
    pub owned: usize,
    /// What it would bring, in the smallest unit of money.
    pub price: u32,
}

/// Where a lot comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Origin {
    /// Owned, by position, and kept where the lot is taken; sold where it is not.
    Kept(usize),
    /// Offered, by position, and bought where the lot is taken.
    Offered(usize),
}

/// One piece that may or may not be there afterwards.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Lot {
    /// What taking it costs.
    pub price: u32,
    /// Where it comes from.
    pub origin: Origin,
}

/// All pieces of one specification.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// What they are.
    pub glass: Glassware,
    /// How many stay whatever is decided.
    pub permanent: usize,
    /// What may be taken, from the cheapest on.
    pub lots: Vec<Lot>,
}

/// Everything folded.
#[derive(Debug, Clone, PartialEq)]
pub struct Stock {
    /// By specification, in order of first mention: owned pieces, then offers.
    pub groups: Vec<Group>,
    /// The groups with lots.
    pub open: Vec<usize>,
    /// The group of each owned piece.
    pub group_of: Vec<usize>,
    /// What all sales together would bring.
    pub sales: u64,
}

impl Stock {
    /// Folds what is owned, offered and for sale. A piece owned can be sold once.
    #[must_use]
    pub fn new(owned: &[Glassware], offers: &[Offer], sales: &[Sale]) -> Self {
        let mut known: HashMap<Glassware, usize> = HashMap::new();
        let mut groups: Vec<Group> = Vec::new();
        let mut place = |groups: &mut Vec<Group>, glass: Glassware| {
            *known.entry(glass).or_insert_with(|| {
                groups.push(Group { glass, permanent: 0, lots: Vec::new() });
                groups.len() - 1
            })
        };
        let mut group_of = Vec::with_capacity(owned.len());
        let mut brings = 0;
        for (at, glass) in owned.iter().enumerate() {
            let group = place(&mut groups, *glass);
            group_of.push(group);
            match sales.iter().find(|sale| sale.owned == at) {
                Some(sale) => {
                    brings += u64::from(sale.price);
                    let lot = Lot { price: sale.price, origin: Origin::Kept(at) };
                    groups[group].lots.push(lot);
                }
                None => groups[group].permanent += 1,
            }
        }
        for (at, offer) in offers.iter().enumerate() {
            let group = place(&mut groups, offer.glass);
            let lot = Lot { price: offer.price, origin: Origin::Offered(at) };
            groups[group].lots.extend(std::iter::repeat_n(lot, usize::from(offer.most)));
        }
        for group in &mut groups {
            group.lots.sort_unstable();
            group.lots.truncate(usize::from(u8::MAX));
        }
        let open = (0..groups.len()).filter(|at| !groups[*at].lots.is_empty()).collect();
        Self { groups, open, group_of, sales: brings }
    }

    /// Nothing bought and everything for sale sold.
    #[must_use]
    pub fn least(&self) -> super::Taken {
        vec![0; self.open.len()]
    }

    /// Everything bought and nothing sold.
    #[must_use]
    pub fn most(&self) -> super::Taken {
        self.open.iter().map(|at| self.groups[*at].lots.len() as u8).collect()
    }

    /// Nothing bought and nothing sold. Where an offer is cheaper than a sale brings, pieces of one
    /// specification are told apart by number only, so the count is right.
    #[must_use]
    pub fn today(&self) -> super::Taken {
        let kept = |lot: &&Lot| matches!(lot.origin, Origin::Kept(_));
        self.open.iter().map(|at| self.groups[*at].lots.iter().filter(kept).count() as u8).collect()
    }

    /// The lots taken.
    pub fn lots<'a>(&'a self, taken: &'a [u8]) -> impl Iterator<Item = (usize, &'a Lot)> {
        self.open.iter().zip(taken).flat_map(|(group, count)| {
            self.groups[*group].lots.iter().take(usize::from(*count)).map(|lot| (*group, lot))
        })
    }

    /// What the lots taken cost, sales that do not happen included.
    #[must_use]
    pub fn price(&self, taken: &[u8]) -> i64 {
        self.lots(taken).map(|(_, lot)| i64::from(lot.price)).sum()
    }

    /// What leaves the purse: purchases less sales.
    #[must_use]
    pub fn spent(&self, taken: &[u8]) -> i64 {
        self.price(taken) - self.sales.cast_signed()
    }
}
