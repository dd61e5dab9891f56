//! Putting the options' bounds together to cuts (see [`super::bound`]).

use super::bound::{Level, Pricing};
use super::rows::{Choice, Row, Rows, piece_cost};
use super::stock::Lot;
use super::value::{BATCH, Scratch};
use crate::kit::choose::above;

/// A sum over single lots that no purchase's value exceeds.
#[derive(Debug, Clone)]
pub(super) struct Cut {
    pub(super) base: i64,
    /// By open group and lot.
    pub(super) lots: Vec<Vec<i64>>,
}

impl Cut {
    fn empty(base: i64, share: &[Vec<f64>]) -> Self {
        Self { base, lots: share.iter().map(|lots| vec![0; lots.len()]).collect() }
    }
}

impl Rows {
    /// A cut that holds between two states and is low at a mixture of states between them.
    ///
    /// `together` says how many lots may come together at most. None where `go_on`, asked every few
    /// rows, says no.
    pub(super) fn cut(
        &mut self,
        low: &[u8],
        high: &[u8],
        share: &[Vec<f64>],
        together: usize,
        steps: usize,
        go_on: &mut dyn FnMut() -> bool,
    ) -> Option<Cut> {
        let mut cut = Cut::empty(self.constant, share);
        let mut rows = std::mem::take(&mut self.each);
        let threads = self.terms.threads.max(1);
        let this = &*self;
        let mut whole = true;
        for batch in rows.chunks_mut(BATCH * threads) {
            whole = go_on();
            if !whole {
                break;
            }
            for part in this.parts(batch, &Span { low, high, share, together, steps }, threads) {
                cut.base += part.base;
                for (sum, more) in cut.lots.iter_mut().flatten().zip(part.lots.iter().flatten()) {
                    *sum += more;
                }
            }
        }
        self.each = rows;
        whole.then_some(cut)
    }

    /// The parts of a cut that come from these rows.
    fn parts(&self, rows: &mut [Row], span: &Span<'_>, threads: usize) -> Vec<Cut> {
        let work = |rows: &mut [Row]| {
            let mut part = Cut::empty(0, span.share);
            let (mut pricing, mut scratch) = (Pricing::default(), Scratch::default());
            for row in rows {
                self.add_row(row, span, &mut part, &mut pricing, &mut scratch);
            }
            part
        };
        if threads == 1 || rows.len() < BATCH {
            return vec![work(rows)];
        }
        let size = rows.len().div_ceil(threads);
        std::thread::scope(|scope| {
            let hands: Vec<_> =
                rows.chunks_mut(size).map(|rows| scope.spawn(|| work(rows))).collect();
            // A cut without some rows would be no bound.
            hands
                .into_iter()
                .map(|hand| hand.join().unwrap_or_else(|broken| std::panic::resume_unwind(broken)))
                .collect()
        })
    }

    fn add_row(
        &self,
        row: &mut Row,
        span: &Span<'_>,
        cut: &mut Cut,
        pricing: &mut Pricing,
        scratch: &mut Scratch,
    ) {
        let free = |at: &u32| span.high[*at as usize] > span.low[*at as usize];
        let lowest = self.remember(row, span.low, scratch);
        if !row.depends.iter().any(free) {
            cut.base += row.weight * lowest;
            return;
        }
        let highest = self.remember(row, span.high, scratch);
        if highest == lowest {
            cut.base += row.weight * lowest;
            return;
        }
        let mut options = std::mem::take(&mut row.options);
        let mut faces = Vec::with_capacity(options.len());
        for option in &mut options {
            let ever = |fitted| self.copies(row.scene, fitted, span.high) > 0;
            if !option.fitted().all(ever) {
                continue;
            }
            let level = Level { taken: span.low, share: Some(span.share), target: lowest };
            let place = self.lower(row, option, &level, span.steps, pricing).place;
            faces.push(self.face(row, option, span, place));
        }
        row.options = options;
        let base = faces.iter().filter(|face| face.now).map(|face| face.constant).max();
        let base = base.unwrap_or(0).max(0);
        let mut shares: Vec<((usize, usize), i64)> = Vec::new();
        for face in &faces {
            let slack = (base - face.best).max(0);
            let many = i64::from(face.gains.len().min(span.together).max(1) as u32);
            for (lot, gain) in &face.gains {
                let gain = gain - slack / many;
                if gain > 0 {
                    match shares.iter_mut().find(|(known, _)| known == lot) {
                        Some((_, most)) => *most = (*most).max(gain),
                        None => shares.push((*lot, gain)),
                    }
                }
            }
        }
        for face in &faces {
            let mut before = 0;
            for (lot, constant) in &face.steps {
                let now = (constant - base).max(0);
                shares.push((*lot, now - before));
                before = now;
            }
        }
        // What everything together is worth bounds the want too, and often better.
        let at_mixture: f64 = shares
            .iter()
            .map(|((at, lot), gain)| span.share[*at][*lot] * *gain as f64)
            .sum::<f64>()
            + base as f64;
        if (highest as f64) <= at_mixture {
            cut.base += row.weight * highest;
            return;
        }
        cut.base += row.weight * base;
        for ((at, lot), gain) in shares {
            cut.lots[at][lot] += row.weight * gain;
        }
    }

    /// What one option adds to a cut at the prices it has.
    ///
    /// Of what is fitted, a Barlow and a corrector, one is the gate: a piece that is not there yet,
    /// else one of which more could come. The other is taken to be there and to cost what it costs
    /// with all that could come, which is never too little for a bound.
    fn face(&self, row: &Row, option: &Choice, span: &Span<'_>, place: i64) -> Face {
        let shared = self.terms.shared;
        let cost = |fitted: usize, taken: &[u8]| {
            i64::from(piece_cost(self.copies(row.scene, fitted, taken).max(1), shared))
        };
        let (_, bare) = self.constant(row, option, span.low, place);
        let missing = |fitted: &usize| self.copies(row.scene, *fitted, span.low) == 0;
        let open =
            |fitted: &usize| self.place[*fitted].is_some_and(|at| span.high[at] > span.low[at]);
        let gate = option.fitted().find(missing).or_else(|| option.fitted().find(open));
        let others = option.fitted().filter(|fitted| Some(*fitted) != gate);
        let bare = bare - others.map(|fitted| cost(fitted, span.high)).sum::<i64>();
        let constant = bare - gate.map_or(0, |gate| cost(gate, span.low));
        let now = gate.is_none_or(|gate| !missing(&gate));
        let mut face = Face { now, constant, best: constant, steps: Vec::new(), gains: Vec::new() };
        if let Some(gate) = gate
            && let Some(at) = self.place[gate]
        {
            let mut taken = span.low.to_vec();
            while taken[at] < span.high[at] {
                let lot = usize::from(taken[at]);
                taken[at] += 1;
                if self.copies(row.scene, gate, &taken) > 0 {
                    let constant = bare - cost(gate, &taken);
                    face.best = face.best.max(constant);
                    face.steps.push(((at, lot), constant));
                }
            }
        }
        for column in &option.columns {
            let group = column.group();
            let Some(at) = self.place[group] else { continue };
            if span.high[at] <= span.low[at] {
                continue;
            }
            let above = i64::from(above(&column.worths, &option.prices)) - place;
            let beyond = |copies: usize| match copies {
                0 => 0,
                _ => (above - i64::from(piece_cost(copies, shared))).max(0),
            };
            let mut copies = self.copies(row.scene, group, span.low);
            let missing = self.missing(row.scene, group, span.low);
            for lot in span.low[at]..span.high[at] {
                let step = usize::from(lot - span.low[at]);
                if step < missing {
                    continue;
                }
                let gain = beyond(copies + 1) - beyond(copies);
                copies += 1;
                if gain > 0 {
                    face.gains.push(((at, usize::from(lot)), gain));
                }
            }
        }
        face
    }

    /// How many lots come before the first that is there for this scene.
    fn missing(&self, scene: usize, group: usize, taken: &[u8]) -> usize {
        let more = self.place[group].map_or(0, |at| usize::from(taken[at]));
        self.away[scene][group].saturating_sub(self.stock.groups[group].permanent + more)
    }

    /// A lot by open group and number.
    pub(super) fn lot(&self, at: usize, lot: usize) -> Lot {
        self.stock.groups[self.stock.open[at]].lots[lot]
    }
}

/// Between which states a cut is to hold, and where it is to be low.
struct Span<'a> {
    low: &'a [u8],
    high: &'a [u8],
    share: &'a [Vec<f64>],
    together: usize,
    steps: usize,
}

/// One option's part of a cut.
struct Face {
    /// Whether its gate is there already.
    now: bool,
    constant: i64,
    /// The largest constant, with all that could come through its gate.
    best: i64,
    /// The constant with each further piece of the gate's kind.
    steps: Vec<((usize, usize), i64)>,
    /// What each lot of an eyepiece adds.
    gains: Vec<((usize, usize), i64)>,
}
