//! The story of a kit: its views in order of power, what each is for, what was left out and why,
//! and what one more piece would add.

use super::bench::Bench;
use super::choose::{LANES, Worths};
use super::rules::{Assessment, Finding, Verdict};
use super::shelf::Kit;
use super::solve::Solver;
use super::worth::{Scale, VALUE_UNIT};
use crate::eye;
use crate::optics::{self, FieldBasis, View};

/// The numbers of one view for one observer, unrounded.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ViewFacts {
    /// Magnification, times.
    pub magnification: f64,
    /// Exit pupil, mm.
    pub exit_pupil_mm: f64,
    /// True field, degrees; none where neither field stop nor apparent field is known.
    pub true_field_deg: Option<f64>,
    /// What the true field was computed from.
    pub field_basis: Option<FieldBasis>,
    /// Drift across the field on the celestial equator, seconds.
    pub drift_time_s: Option<f64>,
    /// The eye's pupil, mm.
    pub eye_pupil: eye::PupilRange,
    /// The aperture whose light gets into the eye, mm.
    pub effective_aperture_mm: f64,
    /// Share of the light the iris loses.
    pub light_loss_fraction: f64,
    /// Lowest useful power.
    pub power_floor: f64,
    /// Highest power, on the rare excellent night or as the seeing allows.
    pub power_ceiling: f64,
    /// Highest power on most nights, or comfortable in this seeing.
    pub comfortable_power_ceiling: f64,
    /// Eye relief this observer needs in this view to be comfortable, mm.
    pub eye_relief_needed_mm: f64,
    /// Eye relief offered, mm.
    pub eye_relief_mm: Option<f64>,
}

impl ViewFacts {
    /// Works out one view's numbers.
    #[must_use]
    pub fn of(
        bench: &Bench<'_>,
        eyepiece: &optics::Eyepiece,
        barlow: Option<&optics::Barlow>,
    ) -> Self {
        let view = View::of(bench.telescope, eyepiece, barlow);
        let exit_pupil_mm = view.exit_pupil().mm();
        let light = bench.light(&view);
        Self {
            magnification: view.magnification().times(),
            exit_pupil_mm,
            true_field_deg: view.true_field().map(optics::TrueField::deg),
            field_basis: view.true_field().map(optics::TrueField::basis),
            drift_time_s: view.drift_time_on_equator().map(optics::DriftTime::s),
            eye_pupil: bench.pupil(),
            effective_aperture_mm: light.effective_aperture_mm(),
            light_loss_fraction: light.loss(),
            power_floor: bench.power_floor(),
            power_ceiling: bench.power_ceiling(),
            comfortable_power_ceiling: bench.comfortable_power_ceiling(),
            eye_relief_needed_mm: bench.relief_needed_mm(exit_pupil_mm),
            eye_relief_mm: eyepiece.relief().map(optics::EyeRelief::mm),
        }
    }
}

/// One view of a kit.
#[derive(Debug, Clone, PartialEq)]
pub struct KitView {
    /// Position of the eyepiece on the shelf.
    pub eyepiece: usize,
    /// Position of the Barlow, where it is used.
    pub barlow: Option<usize>,
    /// Its numbers.
    pub facts: ViewFacts,
    /// What the rules say.
    pub assessment: Assessment,
    /// Power over that of the view before it.
    pub step: Option<f64>,
    /// Names of the purposes it serves best in this kit, best served first.
    pub serves: Vec<Served>,
}

/// A purpose and how well it is served.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Served {
    /// Position in the mix.
    pub lane: usize,
    /// Stable name.
    pub id: &'static str,
    /// What it is, for people.
    pub name: &'static str,
    /// What kind of thing it is.
    pub kind: super::purpose::Kind,
    /// Worth, 0 to 1.
    pub worth: f64,
}

/// A piece on the shelf, by position.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum PieceAt {
    /// An eyepiece.
    Eyepiece(usize),
    /// A Barlow.
    Barlow(usize),
}

/// The one more piece that would add most to a kit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OneMore {
    /// Which piece.
    pub piece: PieceAt,
    /// Worth it adds over all purposes, before what it costs to carry.
    pub adds: f64,
    /// What it costs to carry.
    pub costs: f64,
}

/// Why an eyepiece on the shelf is not in the kit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LeftOut {
    /// A rule forbids it in this telescope, with and without the kit's Barlow: the worst finding
    /// on it without.
    Forbidden(Finding),
    /// It may be used, but adds less than it costs to carry, or less than what was chosen.
    AddsLittle {
        /// Worth it would add to the kit, before its cost.
        adds: f64,
        /// The eyepiece of the kit nearest in power.
        beside: usize,
    },
}

/// A kit told in full.
#[derive(Debug, Clone, PartialEq)]
pub struct Story {
    /// Views in order of power.
    pub views: Vec<KitView>,
    /// Views the kit could give but a rule forbids, in order of power.
    pub forbidden: Vec<KitView>,
    /// The most useful further piece.
    pub one_more: Option<OneMore>,
}

impl Solver<'_> {
    /// Judges one view.
    #[must_use]
    pub fn view(&self, telescope: usize, eyepiece: usize, barlow: Option<usize>) -> KitView {
        let (bench, _) = self.bench(telescope);
        self.bare_view(&bench, eyepiece, barlow)
    }

    fn bare_view(&self, bench: &Bench<'_>, eyepiece: usize, barlow: Option<usize>) -> KitView {
        let spec = &self.shelf.eyepieces[eyepiece];
        let with = barlow.map(|at| &self.shelf.barlows[at]);
        KitView {
            eyepiece,
            barlow,
            facts: ViewFacts::of(bench, spec, with),
            assessment: bench.assess(spec, with),
            step: None,
            serves: Vec::new(),
        }
    }

    /// Tells a kit in full.
    #[must_use]
    pub fn story(&self, kit: &Kit) -> Story {
        let (bench, scale) = self.bench(kit.telescope);
        let mut views = Vec::new();
        let mut forbidden = Vec::new();
        let mut worths: Vec<Worths> = Vec::new();
        for &eyepiece in &kit.eyepieces {
            for barlow in [None, kit.barlow] {
                if barlow.is_none() || kit.barlow.is_some() && barlow == kit.barlow {
                    let view = self.bare_view(&bench, eyepiece, barlow);
                    match self.view_worths(&bench, &scale, eyepiece, barlow) {
                        Some(worth) => {
                            views.push(view);
                            worths.push(worth);
                        }
                        None => forbidden.push(view),
                    }
                }
                if kit.barlow.is_none() {
                    break;
                }
            }
        }
        for (lane, purpose) in scale.mix().iter().enumerate() {
            if purpose.weight == 0 {
                continue;
            }
            let best =
                (0..views.len()).max_by_key(|at| (worths[*at][lane], std::cmp::Reverse(*at)));
            if let Some(at) = best {
                views[at].serves.push(Served {
                    lane,
                    id: purpose.id,
                    name: purpose.name,
                    kind: purpose.kind,
                    worth: scale.worth(&worths[at], lane),
                });
            }
        }
        for view in &mut views {
            view.serves.sort_by(|a, b| b.worth.total_cmp(&a.worth).then(a.lane.cmp(&b.lane)));
        }
        let by_power = |a: &KitView, b: &KitView| {
            a.facts
                .magnification
                .total_cmp(&b.facts.magnification)
                .then(a.eyepiece.cmp(&b.eyepiece))
        };
        views.sort_by(by_power);
        forbidden.sort_by(by_power);
        for at in 1..views.len() {
            views[at].step =
                Some(views[at].facts.magnification / views[at - 1].facts.magnification);
        }
        let reached = reached(&worths);
        let one_more = self.one_more(kit, &bench, &scale, &reached);
        Story { views, forbidden, one_more }
    }

    fn one_more(
        &self,
        kit: &Kit,
        bench: &Bench<'_>,
        scale: &Scale,
        reached: &Worths,
    ) -> Option<OneMore> {
        let costs = self.costs();
        let mut best: Option<OneMore> = None;
        let mut offer = |piece, gain: i64, costs: f64| {
            let adds = gain as f64 * VALUE_UNIT;
            let better = best.is_none_or(|best| adds - costs > best.adds - best.costs);
            if gain > 0 && better {
                best = Some(OneMore { piece, adds, costs });
            }
        };
        for eyepiece in 0..self.shelf.eyepieces.len() {
            if !kit.eyepieces.contains(&eyepiece) {
                let gain = self.gain(bench, scale, eyepiece, kit.barlow, reached);
                offer(PieceAt::Eyepiece(eyepiece), gain, costs.eyepieces[eyepiece]);
            }
        }
        if kit.barlow.is_none() {
            for barlow in 0..self.shelf.barlows.len() {
                let mut with = *reached;
                for &eyepiece in &kit.eyepieces {
                    if let Some(worths) = self.view_worths(bench, scale, eyepiece, Some(barlow)) {
                        raise(&mut with, &worths);
                    }
                }
                offer(PieceAt::Barlow(barlow), sum(&with) - sum(reached), costs.barlows[barlow]);
            }
        }
        best
    }

    /// Worth an eyepiece adds to what a kit reaches already, in units of 2⁻³⁰.
    fn gain(
        &self,
        bench: &Bench<'_>,
        scale: &Scale,
        eyepiece: usize,
        barlow: Option<usize>,
        reached: &Worths,
    ) -> i64 {
        let mut with = *reached;
        if let Some(worths) = self.view_worths(bench, scale, eyepiece, None) {
            raise(&mut with, &worths);
        }
        if barlow.is_some()
            && let Some(worths) = self.view_worths(bench, scale, eyepiece, barlow)
        {
            raise(&mut with, &worths);
        }
        sum(&with) - sum(reached)
    }

    /// Why each eyepiece that is not in the kit was left out, in the order of the shelf.
    #[must_use]
    pub fn left_out(&self, kit: &Kit) -> Vec<(usize, LeftOut)> {
        let (bench, scale) = self.bench(kit.telescope);
        let mut views = Vec::new();
        for &eyepiece in &kit.eyepieces {
            for barlow in std::iter::once(None).chain(kit.barlow.map(Some)) {
                views.extend(self.view_worths(&bench, &scale, eyepiece, barlow));
            }
        }
        let reached = reached(&views);
        let focal_length = |at: usize| self.shelf.eyepieces[at].focal_length().mm();
        let mut left = Vec::new();
        for eyepiece in 0..self.shelf.eyepieces.len() {
            if kit.eyepieces.contains(&eyepiece) {
                continue;
            }
            let spec = &self.shelf.eyepieces[eyepiece];
            let direct = bench.assess(spec, None);
            let usable = direct.verdict() != Verdict::Unsuitable
                || kit.barlow.is_some_and(|barlow| {
                    bench.screen(spec, Some(&self.shelf.barlows[barlow])).is_some()
                });
            if !usable {
                left.push((eyepiece, LeftOut::Forbidden(*direct.worst())));
                continue;
            }
            let gain = self.gain(&bench, &scale, eyepiece, kit.barlow, &reached);
            let beside = kit.eyepieces.iter().copied().min_by(|a, b| {
                let off = |at: usize| (focal_length(at) / focal_length(eyepiece)).ln().abs();
                off(*a).total_cmp(&off(*b))
            });
            if let Some(beside) = beside {
                let adds = gain as f64 * VALUE_UNIT;
                left.push((eyepiece, LeftOut::AddsLittle { adds, beside }));
            }
        }
        left
    }

    /// Where a telescope has no usable view at all: for each rule that forbids some view, how many
    /// views it forbids alone or with others, and the view that comes nearest to being usable.
    #[must_use]
    pub fn why_nothing(&self, telescope: usize) -> Option<Nothing> {
        let (bench, _) = self.bench(telescope);
        let mut counts = [0_usize; 9];
        let mut nearest: Option<(usize, KitView)> = None;
        let barlows = std::iter::once(None).chain((0..self.shelf.barlows.len()).map(Some));
        for barlow in barlows {
            for (eyepiece, spec) in self.shelf.eyepieces.iter().enumerate() {
                let with = barlow.map(|at| &self.shelf.barlows[at]);
                let assessment = bench.assess(spec, with);
                if assessment.verdict() != Verdict::Unsuitable {
                    return None;
                }
                let mut broken = 0;
                for (count, finding) in counts.iter_mut().zip(&assessment.findings) {
                    let forbids = super::rules::verdict_of(finding.rule, finding.standing)
                        == Verdict::Unsuitable;
                    *count += usize::from(forbids);
                    broken += usize::from(forbids);
                }
                if nearest.as_ref().is_none_or(|(least, _)| broken < *least) {
                    nearest = Some((broken, self.bare_view(&bench, eyepiece, barlow)));
                }
            }
        }
        Some(Nothing { forbidden_by: counts, nearest: nearest.map(|(_, view)| view) })
    }
}

/// Why a telescope has no usable view.
#[derive(Debug, Clone, PartialEq)]
pub struct Nothing {
    /// How many views each rule forbids, in the order of the rules.
    pub forbidden_by: [usize; 9],
    /// The view with the fewest broken rules; none where there is no eyepiece at all.
    pub nearest: Option<KitView>,
}

fn raise(worths: &mut Worths, by: &Worths) {
    for lane in 0..LANES {
        worths[lane] = worths[lane].max(by[lane]);
    }
}

fn reached(views: &[Worths]) -> Worths {
    let mut reached = [0; LANES];
    for view in views {
        raise(&mut reached, view);
    }
    reached
}

fn sum(worths: &Worths) -> i64 {
    worths.iter().map(|worth| i64::from(*worth)).sum()
}
