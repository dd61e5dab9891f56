//! What was found, in the words and rows of the answer page.

use super::answer_page::{KitShown, Outcome, PurposeRow, ViewRow};
use super::club_shelf::ClubShelf;
use super::discreet::Telling;
use super::power_picture::{Place, PowerPicture};
use super::search::{Ask, AskedEyes, Found, Told};
use super::wording::{cautions_for, good_for, powers, reasons};
use crate::kit::explain::Subject;
use crate::kit::purpose::Kind;
use crate::kit::solve::Difference;
use crate::kit::story::{KitView, OneMore, PieceAt};
use crate::kit::{Bench, Kit, Proof, Settings, Solver, SunFilter, Verdict};
use crate::optics::{Barlow, Eyepiece, Tracking};
use crate::web::format;

/// Shows what was found. `who` is how a sentence calls the observer: "Ines", "this observer".
#[derive(Debug)]
pub struct Presenter<'a> {
    pub(super) found: &'a Found,
    pub(super) ask: &'a Ask,
    pub(super) settings: Settings,
    pub(super) who: &'a str,
}

impl<'a> Presenter<'a> {
    /// Prepares to show.
    #[must_use]
    pub fn new(found: &'a Found, ask: &'a Ask, who: &'a str) -> Self {
        Self { found, ask, settings: Settings::default(), who }
    }

    pub(super) fn shelf(&self) -> &ClubShelf {
        &self.found.shelf
    }

    /// The answer in one sentence.
    #[must_use]
    pub fn headline(&self) -> String {
        let Some(best) = self.found.kits.first() else {
            return format!("Nothing that is free suits {} on these nights.", self.who);
        };
        let name = &self.shelf().telescopes[best.kit.telescope].facts.name;
        let count = best.kit.eyepieces.len();
        let pieces = format::count(count, "eyepiece", "eyepieces");
        let some_suit =
            best.story.views.iter().any(|view| view.assessment.verdict() == Verdict::Suits);
        if some_suit {
            format!("Yes: {name} with {pieces} suits {} on these nights.", self.who)
        } else {
            format!(
                "With compromises: {name} with {pieces} is the best for {} on these nights.",
                self.who
            )
        }
    }

    /// How sure the service is.
    #[must_use]
    pub fn proof(&self) -> String {
        let shelf = self.shelf();
        let of = format!(
            "{} telescopes, {} eyepieces and {} Barlows are free on these nights",
            shelf.telescope_count(),
            shelf.eyepieces.len(),
            shelf.barlows.len()
        );
        match self.found.proof {
            Proof::Optimal => format!("{of}; it is proven that no kit among them is better."),
            Proof::BudgetSpent { gap } => format!(
                "{of}. The search ran out of time: a kit could be better by at most {}, so ask again for the proof.",
                format::per_cent(gap)
            ),
        }
    }

    /// What was found.
    #[must_use]
    pub fn outcome(&self) -> Outcome {
        let mut kits = self.found.kits.iter().enumerate();
        let Some((_, best)) = kits.next() else { return self.nothing() };
        let mut others: Vec<KitShown> = Vec::new();
        let settings = Settings::default();
        let solver = Solver::new(self.shelf().figures(), &self.ask.question, &settings)
            .with_own(self.shelf().own());
        for alternative in best.alternatives.iter().take(3) {
            let told = Told {
                story: solver.story(&alternative.kit),
                kit: alternative.kit.clone(),
                alternatives: Vec::new(),
            };
            let why = self.difference(alternative.difference);
            others.push(self.kit(&told, why));
        }
        others.extend(kits.map(|(_, told)| self.kit(told, self.compared(best, told))));
        Outcome::Kits { best: Box::new(self.kit(best, Self::praise(best))), others }
    }

    fn praise(told: &Told) -> String {
        let suits = told
            .story
            .views
            .iter()
            .filter(|view| view.assessment.verdict() == Verdict::Suits)
            .count();
        let (low, high) = powers(told);
        let clear = match (suits, told.story.views.len()) {
            (suits, all) if suits == all => "every one of them comfortable".to_owned(),
            (0, _) => "each with a drawback that stands beside it".to_owned(),
            (suits, _) => {
                format!("{} without any drawback", format::count(suits, "of them", "of them"))
            }
        };
        format!(
            "{} from {low} to {high}, {clear}.",
            format::sentence_case(&format::count(told.story.views.len(), "power", "powers")),
        )
    }

    fn difference(&self, difference: Difference) -> String {
        match difference {
            Difference::NoCorrector => {
                "The same telescope as it is, without a corrector to set and to carry.".into()
            }
            Difference::NoBarlow => {
                "The same telescope without a Barlow to handle in the dark.".into()
            }
            Difference::OneFewer => "One piece fewer to carry and to look after.".into(),
            Difference::Without(at) => {
                format!("If you leave {} to someone else.", self.shelf().eyepieces[at].facts.name)
            }
        }
    }

    fn compared(&self, best: &Told, told: &Told) -> String {
        let aperture = |told: &Told| {
            self.shelf().telescopes[told.kit.telescope].figures.optics.aperture().mm()
        };
        let (low, high) = powers(told);
        let light = (aperture(told) / aperture(best)).powi(2);
        let light = if light > 1.15 {
            format!("gathers {light:.1} times as much light")
        } else if light < 0.87 {
            format!("gathers {} of the light", format::per_cent(light))
        } else {
            "gathers as much light".into()
        };
        format!("It {light} and gives {low} to {high}.")
    }

    /// The bench of a telescope, with what is fitted in it, and its solar filter.
    pub(super) fn bench(&self, telescope: usize) -> (Bench<'_>, SunFilter) {
        let one = &self.found.shelf.figures().telescopes[telescope];
        let filter = one.sun_filter;
        (Bench::new(&one.spec, filter, &self.ask.question, &self.settings), filter)
    }

    fn kit(&self, told: &Told, why: String) -> KitShown {
        let kit = &told.kit;
        let item = &self.shelf().telescopes[kit.telescope];
        let (bench, filter) = self.bench(kit.telescope);
        let mut with = Vec::new();
        with.extend(self.shelf().corrector(kit.telescope).map(|_| "a coma corrector".to_owned()));
        with.push(format::count(kit.eyepieces.len(), "eyepiece", "eyepieces"));
        with.extend(kit.barlow.map(|at| {
            let factor = self.shelf().barlows[at].figures.factor.times();
            format!("a {} Barlow", format::factor(factor))
        }));
        let title = format!("{} with {}", item.facts.name, format::list(&with));
        let mut eyepieces = kit.eyepieces.clone();
        let focal_length = |at: usize| self.shelf().eyepieces[at].figures.focal_length().mm();
        eyepieces.sort_by(|a, b| focal_length(*b).total_cmp(&focal_length(*a)));
        KitShown {
            title,
            why,
            telescope: self.telescope(kit.telescope),
            corrector: self.corrector(kit.telescope, &bench),
            eyepieces: eyepieces.into_iter().map(|at| self.eyepiece(at)).collect(),
            barlow: kit.barlow.map(|at| self.barlow(at)),
            picture: self.picture(told, &bench),
            views: told.story.views.iter().map(|view| self.view(view, &bench)).collect(),
            purposes: self.purposes(told),
            one_more: told.story.one_more.and_then(|one| self.one_more(one)),
            cautions: cautions_for(item, filter),
            reserve: Some(self.reserve_address(kit)),
            plan: self.plan_address(kit),
        }
    }

    /// The page on which the kit's pieces are reserved for the nights asked about.
    fn reserve_address(&self, kit: &Kit) -> String {
        let (first, last) = (self.ask.nights.first(), self.ask.nights.last());
        let site = self.ask.site.map_or_else(String::new, |site| format!("&site={site}"));
        format!("/reserve?items={}&from={first}&to={last}{site}", self.pieces(kit))
    }

    /// The page that plans those nights with the kit; none where the club has no site, and none for
    /// eyes that belong in no address.
    fn plan_address(&self, kit: &Kit) -> Option<String> {
        let (first, last) = (self.ask.nights.first(), self.ask.nights.last());
        self.found.sky.as_ref()?;
        let member = match self.ask.eyes {
            AskedEyes::Member(member) => format!("member={member}&"),
            AskedEyes::Anyone => String::new(),
            AskedEyes::Described => return None,
        };
        let site = self.ask.site.map_or_else(String::new, |site| format!("&site={site}"));
        let pieces = self.pieces(kit);
        Some(format!("/plan?{member}from={first}&to={last}&items={pieces}{site}"))
    }

    /// The numbers of the kit's pieces, the telescope's first.
    fn pieces(&self, kit: &Kit) -> String {
        let shelf = self.shelf();
        let mut ids = vec![shelf.telescopes[kit.telescope].id.to_string()];
        ids.extend(shelf.corrector(kit.telescope).map(|item| item.id.to_string()));
        ids.extend(kit.eyepieces.iter().map(|at| shelf.eyepieces[*at].id.to_string()));
        ids.extend(kit.barlow.map(|at| shelf.barlows[at].id.to_string()));
        ids.join(",")
    }

    fn picture(&self, told: &Told, bench: &Bench<'_>) -> PowerPicture {
        let views = &told.story.views;
        let pupil = bench.pupil();
        PowerPicture {
            aperture_mm: self.shelf().telescopes[told.kit.telescope].figures.optics.aperture().mm(),
            pupil_mm: [pupil.low.mm(), pupil.typical.mm(), pupil.high.mm()]
                .map(|mm| self.ask.telling.pupil_mm(mm)),
            floor: match self.ask.telling {
                Telling::Plainly => bench.power_floor(),
                // The pupil could be read back from the floor.
                Telling::Discreetly => {
                    let pupil = self.ask.telling.pupil_mm(pupil.typical.mm()).max(1.0);
                    self.shelf().telescopes[told.kit.telescope].figures.optics.aperture().mm()
                        / pupil
                }
            },
            ceiling: bench.comfortable_power_ceiling(),
            best_ceiling: bench.power_ceiling(),
            barlow: told
                .kit
                .barlow
                .map(|at| format::factor(self.shelf().barlows[at].figures.factor.times())),
            places: views
                .iter()
                .map(|view| Place {
                    power: view.facts.magnification,
                    label: format::millimetres(
                        self.shelf().eyepieces[view.eyepiece].figures.focal_length().mm(),
                    ),
                    barlow: view.barlow.is_some(),
                    alone: views.iter().position(|other| {
                        view.barlow.is_some()
                            && other.barlow.is_none()
                            && other.eyepiece == view.eyepiece
                    }),
                    mark: view.assessment.verdict().into(),
                })
                .collect(),
        }
    }

    pub(super) fn specs(&self, view: &KitView) -> (&Eyepiece, Option<&Barlow>) {
        (
            &self.shelf().eyepieces[view.eyepiece].figures,
            view.barlow.map(|at| &self.shelf().barlows[at].figures),
        )
    }

    pub(super) fn view(&self, view: &KitView, bench: &Bench<'_>) -> ViewRow {
        let (eyepiece, barlow) = self.specs(view);
        let facts = &view.facts;
        let stands_still = bench.tracking() != Some(Tracking::Tracks);
        ViewRow {
            power: format::power(facts.magnification),
            step: view.step.map(|step| format!("{step:.1} times the last")),
            eyepiece: self.shelf().eyepieces[view.eyepiece].facts.name.to_string(),
            barlow: barlow
                .map(|one| format!("with the {} Barlow", format::factor(one.factor.times()))),
            exit_pupil: format::exit_pupil(facts.exit_pupil_mm),
            true_field: facts.true_field_deg.map_or_else(|| "not known".into(), format::field),
            drift: facts.drift_time_s.filter(|_| stands_still).map(format::duration),
            good_for: good_for(view),
            mark: view.assessment.verdict().into(),
            reasons: reasons(view, Subject { bench, eyepiece, barlow }, self.ask.telling),
        }
    }

    fn purposes(&self, told: &Told) -> Vec<PurposeRow> {
        let mut rows = Vec::new();
        for kind in [Kind::Sweep, Kind::Wide, Kind::Faint, Kind::Detail, Kind::Sharp] {
            let mut worth = 0.0;
            let mut count = 0.0;
            let mut best: Option<(f64, &KitView)> = None;
            for view in &told.story.views {
                for served in view.serves.iter().filter(|served| served.kind == kind) {
                    worth += served.worth;
                    count += 1.0;
                    if best.is_none_or(|(worth, _)| served.worth > worth) {
                        best = Some((served.worth, view));
                    }
                }
            }
            let Some((_, view)) = best else { continue };
            let (how_well, panes) = PurposeRow::words(worth / count);
            let (eyepiece, _) = self.specs(view);
            rows.push(PurposeRow {
                purpose: format::sentence_case(kind.in_words()),
                how_well: how_well.into(),
                panes,
                with: format!(
                    "best at {}, {}{}",
                    format::power(view.facts.magnification),
                    format::millimetres(eyepiece.focal_length().mm()),
                    if view.barlow.is_some() { " with the Barlow" } else { "" }
                ),
            });
        }
        rows
    }

    fn one_more(&self, one: OneMore) -> Option<String> {
        let OneMore { piece, adds, costs } = one;
        // Less than one part in two hundred is nothing that a person would notice.
        if adds < 0.005 {
            return None;
        }
        let (tag, name) = match piece {
            PieceAt::Eyepiece(at) => {
                let facts = &self.shelf().eyepieces[at].facts;
                (facts.tag.to_string(), facts.name.to_string())
            }
            PieceAt::Barlow(at) => {
                let facts = &self.shelf().barlows[at].facts;
                (facts.tag.to_string(), facts.name.to_string())
            }
        };
        let share = format!("{:.1}%", adds * 100.0);
        Some(if adds > costs {
            format!(
                "{name} ({tag}) would add the most: {share} more of everything one could wish to see."
            )
        } else {
            format!("{name} ({tag}) would add {share}, which is less than carrying it is worth.")
        })
    }
}
