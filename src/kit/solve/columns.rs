//! The columns of one telescope: what every useful eyepiece is worth, with a Barlow or without.

use super::Solver;
use crate::kit::bench::Bench;
use crate::kit::choose::{Choice, Columns, Worths, better};
use crate::kit::screen::{Beam, Glance, Lookout};
use crate::kit::worth::{Lens, Nearness, Scale};

/// The beam of one focal length and how near it comes to each purpose; none where a rule forbids
/// the beam.
type Seen = Option<(Beam, Nearness)>;

/// Reused memory for one thread.
#[derive(Debug, Default)]
pub(super) struct Scratch {
    /// Worths without a Barlow; none where a rule forbids the view.
    direct: Vec<Option<Worths>>,
    /// By eyepiece, the share of the field that this telescope's coma leaves clean.
    coma_free: Vec<f32>,
    /// By focal length.
    seen: Vec<Seen>,
    worths: Vec<Worths>,
    burdens: Vec<i64>,
    /// Which folded eyepiece each column is.
    who: Vec<u32>,
}

impl Scratch {
    pub(super) fn columns(&self) -> Columns<'_> {
        Columns { worths: &self.worths, burdens: &self.burdens }
    }

    /// A choice of columns, told in folded eyepieces.
    pub(super) fn named(&self, mut choice: Choice) -> Choice {
        for column in &mut choice.columns {
            *column = self.who[*column as usize];
        }
        choice
    }
}

impl Solver<'_> {
    /// Weighs every useful eyepiece without a Barlow.
    pub(super) fn fill_direct(
        &self,
        bench: &Bench<'_>,
        scale: &Scale,
        eyepieces: &[usize],
        scratch: &mut Scratch,
    ) {
        let lens = Lens::none(bench);
        self.look_through(bench, scale, &lens, &mut scratch.seen);
        let lookout = bench.lookout(None);
        let Scratch { direct, coma_free, seen, .. } = scratch;
        direct.clear();
        coma_free.clear();
        coma_free.extend(eyepieces.iter().map(|&at| bench.coma_free(self.spec(at))));
        let weighed = eyepieces.iter().zip(coma_free);
        direct.extend(weighed.map(|(&at, coma_free)| {
            self.weigh(scale, &lookout, at, lens.factor, *coma_free, seen)
        }));
    }

    /// Judges the beam of every focal length on the shelf.
    fn look_through(
        &self,
        bench: &Bench<'_>,
        scale: &Scale,
        lens: &Lens<'_>,
        seen: &mut Vec<Seen>,
    ) {
        seen.clear();
        seen.extend(self.focal_lengths.iter().map(|&at| {
            let glass = self.glasses[at];
            if !lens.focal_lengths_mm.contains(&glass.focal_length_mm) {
                return None;
            }
            let beam = bench.screen_beam(self.spec(at), lens.barlow)?;
            Some((beam, scale.nearness(glass.ln_focal_length, lens.ln_factor)))
        }));
    }

    /// Sets up the columns, with a Barlow or without one; false where there is a Barlow and no view
    /// would use it.
    pub(super) fn fill_columns(
        &self,
        bench: &Bench<'_>,
        scale: &Scale,
        lens: Option<&Lens<'_>>,
        eyepieces: &[usize],
        scratch: &mut Scratch,
    ) -> bool {
        let Scratch { direct, coma_free, seen, worths, burdens, who } = scratch;
        worths.clear();
        burdens.clear();
        who.clear();
        let mut used = lens.is_none();
        let behind = lens.map(|lens| {
            self.look_through(bench, scale, lens, seen);
            (bench.lookout(lens.barlow), lens.factor)
        });
        for ((&at, direct), coma_free) in eyepieces.iter().zip(direct).zip(coma_free) {
            let with = behind.as_ref().and_then(|(lookout, factor)| {
                self.weigh(scale, lookout, at, *factor, *coma_free, seen)
            });
            used |= with.is_some();
            if let Some(column) = better(with.as_ref(), direct.as_ref()) {
                worths.push(column);
                burdens.push(self.eyepieces[at].burden);
                who.push(at as u32);
            }
        }
        used
    }

    /// Weighs one view of a folded eyepiece, unless a rule forbids it.
    #[inline]
    fn weigh(
        &self,
        scale: &Scale,
        lookout: &Lookout,
        at: usize,
        factor: f32,
        coma_free: f32,
        seen: &[Seen],
    ) -> Option<Worths> {
        let glance: &Glance = &self.glances[at];
        let (beam, nearness) = seen[glance.focal_length as usize].as_ref()?;
        let screen = lookout.screen(*beam, glance, coma_free)?;
        Some(scale.weigh(self.glasses[at], nearness, factor, screen))
    }
}
