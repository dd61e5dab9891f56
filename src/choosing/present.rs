//! What was found, in the words and rows of the answer page.

use super::answer_page::{
    KitShown, LeftOut as Left, OtherNights, Outcome, Piece, PurposeRow, ViewRow,
};
use super::club_shelf::ClubShelf;
use super::power_picture::{Place, PowerPicture};
use super::search::{Ask, Found, Obstacle, Told};
use crate::kit::explain::Subject;
use crate::kit::purpose::Kind;
use crate::kit::rules::verdict_of;
use crate::kit::solve::Difference;
use crate::kit::story::{KitView, LeftOut, Nothing, OneMore, PieceAt};
use crate::kit::{Bench, Proof, Rule, Settings, Solver, Standing, SunFilter, Verdict};
use crate::lending::Nights;
use crate::lending::cautions::{self, Topic};
use crate::optics::{self, Barlow, Eyepiece, Tracking};
use crate::shelf::TelescopeRecord;
use crate::web::format;
use crate::web::mark::{Mark, Reason};

/// From here on, the heaviest part is not lifted without thinking: common practice, no source.
const HEAVY_PART_G: f64 = 15_000.0;

/// Shows what was found. `who` is how a sentence calls the observer: "Ines", "this observer".
#[derive(Debug)]
pub struct Presenter<'a> {
    found: &'a Found,
    ask: &'a Ask,
    settings: Settings,
    who: &'a str,
}

impl<'a> Presenter<'a> {
    /// Prepares to show.
    #[must_use]
    pub fn new(found: &'a Found, ask: &'a Ask, who: &'a str) -> Self {
        Self { found, ask, settings: Settings::default(), who }
    }

    fn shelf(&self) -> &ClubShelf {
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
            shelf.telescopes.len(),
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
        let solver = Solver::new(self.shelf().figures(), &self.ask.question, &settings);
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
        Outcome::Kits { best: Box::new(self.kit(best, self.praise(best))), others }
    }

    fn praise(&self, told: &Told) -> String {
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

    fn telescope(&self, at: usize) -> Piece {
        let item = &self.shelf().telescopes[at];
        Piece {
            tag: item.facts.tag.to_string(),
            name: item.facts.name.to_string(),
            detail: summary(item),
            address: Some(format!("/telescopes/{}", item.id.0)),
            twins: 0,
        }
    }

    fn eyepiece(&self, at: usize) -> Piece {
        let item = &self.shelf().eyepieces[at];
        let twins =
            self.shelf().eyepieces.iter().filter(|other| other.figures == item.figures).count();
        Piece {
            tag: item.facts.tag.to_string(),
            name: item.facts.name.to_string(),
            detail: eyepiece_in_words(&item.figures),
            address: None,
            twins: twins.saturating_sub(1),
        }
    }

    fn barlow(&self, at: usize) -> Piece {
        let item = &self.shelf().barlows[at];
        let twins =
            self.shelf().barlows.iter().filter(|other| other.figures == item.figures).count();
        Piece {
            tag: item.facts.tag.to_string(),
            name: item.facts.name.to_string(),
            detail: String::new(),
            address: None,
            twins: twins.saturating_sub(1),
        }
    }

    fn kit(&self, told: &Told, why: String) -> KitShown {
        let kit = &told.kit;
        let item = &self.shelf().telescopes[kit.telescope];
        let filter = self.shelf().figures().telescopes[kit.telescope].sun_filter;
        let bench = Bench::new(&item.figures.optics, filter, &self.ask.question, &self.settings);
        let mut title = format!(
            "{} with {}",
            item.facts.name,
            format::count(kit.eyepieces.len(), "eyepiece", "eyepieces")
        );
        if let Some(at) = kit.barlow {
            let factor = self.shelf().barlows[at].figures.factor.times();
            title = format!("{title} and a {} Barlow", format::factor(factor));
        }
        let mut eyepieces = kit.eyepieces.clone();
        let focal_length = |at: usize| self.shelf().eyepieces[at].figures.focal_length().mm();
        eyepieces.sort_by(|a, b| focal_length(*b).total_cmp(&focal_length(*a)));
        KitShown {
            title,
            why,
            telescope: self.telescope(kit.telescope),
            eyepieces: eyepieces.into_iter().map(|at| self.eyepiece(at)).collect(),
            barlow: kit.barlow.map(|at| self.barlow(at)),
            picture: self.picture(told, &bench),
            views: told.story.views.iter().map(|view| self.view(view, &bench)).collect(),
            purposes: self.purposes(told),
            one_more: told.story.one_more.and_then(|one| self.one_more(one)),
            cautions: cautions_for(item, filter),
        }
    }

    fn picture(&self, told: &Told, bench: &Bench<'_>) -> PowerPicture {
        let views = &told.story.views;
        let pupil = bench.pupil();
        PowerPicture {
            aperture_mm: self.shelf().telescopes[told.kit.telescope].figures.optics.aperture().mm(),
            pupil_mm: [pupil.low.mm(), pupil.typical.mm(), pupil.high.mm()],
            floor: bench.power_floor(),
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

    fn specs(&self, view: &KitView) -> (&Eyepiece, Option<&Barlow>) {
        (
            &self.shelf().eyepieces[view.eyepiece].figures,
            view.barlow.map(|at| &self.shelf().barlows[at].figures),
        )
    }

    fn view(&self, view: &KitView, bench: &Bench<'_>) -> ViewRow {
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
            reasons: reasons(view, Subject { bench, eyepiece, barlow }),
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

    /// What was left out, the telescopes first.
    #[must_use]
    pub fn left_out(&self) -> Vec<Left> {
        let mut left: Vec<Left> =
            self.found.useless.iter().map(|(at, nothing)| self.useless(*at, nothing)).collect();
        let Some(best) = self.found.kits.first() else { return left };
        let solver = Solver::new(self.shelf().figures(), &self.ask.question, &self.settings);
        let item = &self.shelf().telescopes[best.kit.telescope];
        let filter = self.shelf().figures().telescopes[best.kit.telescope].sun_filter;
        let bench = Bench::new(&item.figures.optics, filter, &self.ask.question, &self.settings);
        let mut seen: Vec<Eyepiece> =
            best.kit.eyepieces.iter().map(|at| self.shelf().eyepieces[*at].figures).collect();
        for (at, reason) in solver.left_out(&best.kit) {
            let record = &self.shelf().eyepieces[at];
            if seen.contains(&record.figures) {
                continue;
            }
            seen.push(record.figures);
            let (mark, why) = match reason {
                LeftOut::Forbidden(finding) => {
                    let subject =
                        Subject { bench: &bench, eyepiece: &record.figures, barlow: None };
                    (Some(Mark::from(finding.standing)), finding.sentence(subject))
                }
                LeftOut::AddsLittle { adds, beside } => {
                    let other = &self.shelf().eyepieces[beside].facts.name;
                    let why = if adds < 0.0005 {
                        format!("It would add nothing beside {other}.")
                    } else {
                        format!("It would add only {:.1}% beside {other}.", adds * 100.0)
                    };
                    (None, why)
                }
            };
            left.push(Left {
                mark,
                what: format!("{} {}", record.facts.tag, record.facts.name),
                why,
            });
        }
        left
    }

    fn useless(&self, at: usize, nothing: &Nothing) -> Left {
        let item = &self.shelf().telescopes[at];
        let mut why = "There is no eyepiece to try.".to_owned();
        let mut mark = Mark::Unsuitable;
        if let Some(view) = &nothing.nearest {
            let filter = self.shelf().figures().telescopes[at].sun_filter;
            let bench =
                Bench::new(&item.figures.optics, filter, &self.ask.question, &self.settings);
            let (eyepiece, barlow) = self.specs(view);
            let worst = view.assessment.worst();
            mark = worst.standing.into();
            why = format!(
                "Even the nearest, {}, fails: {}",
                self.shelf().eyepieces[view.eyepiece].facts.name,
                worst.sentence(Subject { bench: &bench, eyepiece, barlow })
            );
        }
        Left { mark: Some(mark), what: format!("{} {}", item.facts.tag, item.facts.name), why }
    }

    fn nothing(&self) -> Outcome {
        let none = Obstacle::default();
        let obstacle = self.found.obstacle.as_ref().unwrap_or(&none);
        let mut obstacles = Vec::new();
        for (tag, name, nights) in &obstacle.promised {
            obstacles.push(format!("{name} ({tag}) is promised for {}.", in_words(*nights)));
        }
        if obstacle.whole_shelf_gives_nothing {
            obstacles.push(
                "Nothing the club owns suits these eyes, so no loan stands in the way.".into(),
            );
        }
        if obstacles.is_empty() {
            obstacles
                .push("Too much is out on these nights: what is left does not make a kit.".into());
        }
        let counts = self.found.useless.iter().fold([0_usize; 9], |mut sum, (_, nothing)| {
            for (sum, count) in sum.iter_mut().zip(nothing.forbidden_by) {
                *sum += count;
            }
            sum
        });
        let most = Rule::ALL.into_iter().max_by_key(|rule| counts[*rule as usize]);
        if let Some(rule) = most.filter(|rule| counts[*rule as usize] > 0) {
            obstacles.push(format!("Most of what is free fails because {}.", rule_in_words(rule)));
        }
        Outcome::Nothing {
            obstacles,
            next_nights: obstacle
                .other_nights
                .iter()
                .map(|(nights, telescope)| OtherNights {
                    label: format::sentence_case(&in_words(*nights)),
                    value: format!("{}/{}", nights.first(), nights.last()),
                    what: format!("{telescope}, for example"),
                })
                .collect(),
        }
    }
}

fn rule_in_words(rule: Rule) -> &'static str {
    match rule {
        Rule::Fits => "it does not go into the focuser",
        Rule::Pupil => "the beam is wider than the eye, or the secondary's shadow shows",
        Rule::ThinBeam => "the beam is too thin",
        Rule::Ceiling => "the power is more than the aperture or the air allows",
        Rule::EyeRelief => "the eye cannot get close enough",
        Rule::Focus => "the focus is out of reach without glasses",
        Rule::FieldEdge => "the edge of the field is poor",
        Rule::Balance => "it is too heavy for the telescope",
        Rule::Sun => "no verified solar filter goes with the telescope",
    }
}

fn in_words(nights: Nights) -> String {
    format::nights(nights.first().evening(), nights.last().evening())
}

fn powers(told: &Told) -> (String, String) {
    let power = |view: Option<&KitView>| {
        view.map_or_else(String::new, |view| format::power(view.facts.magnification))
    };
    (power(told.story.views.first()), power(told.story.views.last()))
}

/// The two or three things a view serves best, in a few words.
fn good_for(view: &KitView) -> String {
    let names: Vec<&str> = view
        .serves
        .iter()
        .filter(|served| served.worth >= 0.15)
        .take(3)
        .map(|served| served.name)
        .collect();
    format::list(&names)
}

/// The reasons worth reading, worst first; for a view that suits, the one on eye relief.
pub(super) fn reasons(view: &KitView, subject: Subject<'_>) -> Vec<Reason> {
    let mut findings: Vec<_> = view
        .assessment
        .findings
        .iter()
        .filter(|finding| match finding.standing {
            Standing::Suits => false,
            // What is not known matters where it costs the verdict.
            Standing::NotKnown => verdict_of(finding.rule, finding.standing) != Verdict::Suits,
            _ => true,
        })
        .collect();
    findings.sort_by_key(|finding| std::cmp::Reverse(finding.standing));
    if findings.is_empty() {
        findings.push(view.assessment.of(Rule::EyeRelief));
    }
    findings
        .into_iter()
        .map(|finding| Reason { mark: finding.standing.into(), text: finding.sentence(subject) })
        .collect()
}

/// A telescope in plain words.
#[must_use]
pub fn summary(item: &TelescopeRecord) -> String {
    let optics = &item.figures.optics;
    let layout = match optics.layout() {
        optics::Layout::Refractor => "refractor",
        optics::Layout::Newtonian => "reflector",
        optics::Layout::SchmidtCassegrain => "Schmidt-Cassegrain",
        optics::Layout::MaksutovCassegrain => "Maksutov-Cassegrain",
        optics::Layout::Other | optics::Layout::Unknown => "telescope",
    };
    let mount = item.figures.mount.map_or("", |mount| match mount {
        crate::shelf::Mount::Dobsonian => " on a rocker",
        crate::shelf::Mount::Tabletop => " for a table",
        crate::shelf::Mount::Altazimuth => " on a simple mount",
        crate::shelf::Mount::Equatorial => " on an equatorial mount",
    });
    format!(
        "{:.0} mm {layout}{mount}, {}",
        optics.aperture().mm(),
        format::focal_ratio(optics.focal_ratio().number())
    )
}

/// An eyepiece's figures in a few words.
#[must_use]
pub fn eyepiece_in_words(eyepiece: &Eyepiece) -> String {
    let mut words = vec![format::millimetres(eyepiece.focal_length().mm())];
    if let Some(field) = eyepiece.apparent_field() {
        words.push(format!("{:.0}° field", field.deg()));
    }
    if let Some(relief) = eyepiece.relief() {
        words.push(format!("{} eye relief", format::millimetres(relief.mm())));
    }
    words.join(", ")
}

/// The cautions that go with a telescope.
#[must_use]
pub fn cautions_for(item: &TelescopeRecord, filter: SunFilter) -> Vec<String> {
    let mut told = Vec::new();
    let heaviest = item.figures.heaviest_part.map(optics::Mass::g);
    if let Some(helpers) = item.figures.helpers.filter(|helpers| helpers.count() > 0) {
        let weight = heaviest.map_or_else(String::new, |mass| {
            format!(" (the heaviest part weighs {})", format::mass(mass))
        });
        let needs = format::count(usize::from(helpers.count()), "helper", "helpers");
        told.push(format!("Bring {needs}{weight}. {}", cautions::about(Topic::Lifting).short));
    } else if let Some(mass) = heaviest.filter(|mass| *mass >= HEAVY_PART_G) {
        told.push(format!(
            "The heaviest part weighs {}. {}",
            format::mass(mass),
            cautions::about(Topic::Lifting).short
        ));
    }
    if filter == SunFilter::Missing {
        told.push(cautions::about(Topic::Sun).short.to_owned());
    } else {
        told.push(format!(
            "A verified solar filter exists for it; without it fitted: {}",
            cautions::about(Topic::Sun).short
        ));
    }
    told
}
