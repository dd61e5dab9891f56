//! What is not in the answer, and why: pieces left out, and what stands in the way of any kit.

use super::answer_page::{LeftOut as Left, OtherNights, Outcome, SkyChange};
use super::present::Presenter;
use super::search::Obstacle;
use super::wording::{in_words, rule_in_words};
use crate::kit::explain::Subject;
use crate::kit::story::{LeftOut, Nothing};
use crate::kit::{Kit, Rule, Solver};
use crate::lending::Night;
use crate::optics::Eyepiece;
use crate::web::format;
use crate::web::mark::Mark;

impl Presenter<'_> {
    /// What was left out, the telescopes first.
    #[must_use]
    pub fn left_out(&self) -> Vec<Left> {
        let mut left: Vec<Left> =
            self.found.useless.iter().map(|(at, nothing)| self.useless(*at, nothing)).collect();
        let Some(best) = self.found.kits.first() else { return left };
        let solver = Solver::new(self.shelf().figures(), &self.ask.question, &self.settings)
            .with_own(self.shelf().own());
        let (bench, _) = self.bench(best.kit.telescope);
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
                    (
                        Some(Mark::from(finding.standing)),
                        self.ask.telling.sentence(&finding, subject),
                    )
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
            let (bench, _) = self.bench(at);
            let (eyepiece, barlow) = self.specs(view);
            let worst = view.assessment.worst();
            mark = worst.standing.into();
            why = format!(
                "Even the nearest, {}, fails: {}",
                self.shelf().eyepieces[view.eyepiece].facts.name,
                self.ask.telling.sentence(worst, Subject { bench: &bench, eyepiece, barlow })
            );
        }
        Left { mark: Some(mark), what: format!("{} {}", item.facts.tag, item.facts.name), why }
    }

    /// On which nights the club lends nothing, and why; none where it always lends.
    pub fn closed(&self) -> Option<String> {
        let mut runs: Vec<(Night, Night, &str)> = Vec::new();
        for (night, reason) in &self.found.obstacle.as_ref()?.closed {
            match runs.last_mut() {
                Some((_, last, same)) if last.next() == Some(*night) && *same == reason => {
                    *last = *night;
                }
                _ => runs.push((*night, *night, reason.as_str())),
            }
        }
        let nights: Vec<String> = runs
            .iter()
            .map(|(first, last, reason)| {
                let nights = format::nights(first.evening(), last.evening());
                if reason.is_empty() { nights } else { format!("{nights} ({reason})") }
            })
            .collect();
        (!nights.is_empty())
            .then(|| format!("The club lends nothing on {}.", format::list(&nights)))
    }

    /// The nearest nights on which it would work.
    pub(super) fn next_nights(&self) -> Vec<OtherNights> {
        let found = self.found.obstacle.iter().flat_map(|obstacle| &obstacle.other_nights);
        found
            .map(|(nights, telescope)| OtherNights {
                label: format::sentence_case(&in_words(*nights)),
                value: format!("{}/{}", nights.first(), nights.last()),
                what: format!("{telescope}, for example"),
            })
            .collect()
    }

    /// What the sky changed: the kit for nights of which nothing is known, and the one for these.
    pub fn changed_by_sky(&self) -> Option<SkyChange> {
        let before = self.found.before.as_ref()?;
        let now = &self.found.kits.first()?.kit;
        if before.telescope == now.telescope
            && before.eyepieces == now.eyepieces
            && before.barlow == now.barlow
        {
            return Some(SkyChange::Nothing);
        }
        Some(SkyChange::Another { before: self.in_short(before), now: self.in_short(now) })
    }

    /// "The Miller with 32, 20 and 12 mm and a 2× Barlow".
    fn in_short(&self, kit: &Kit) -> String {
        let shelf = self.shelf();
        let mut lengths: Vec<f64> = kit
            .eyepieces
            .iter()
            .map(|at| shelf.eyepieces[*at].figures.focal_length().mm())
            .collect();
        lengths.sort_by(|a, b| b.total_cmp(a));
        let lengths: Vec<String> = lengths.iter().map(ToString::to_string).collect();
        let telescope = &shelf.telescopes[kit.telescope].facts.name;
        let barlow = kit.barlow.map_or_else(String::new, |at| {
            format!(" and a {} Barlow", format::factor(shelf.barlows[at].figures.factor.times()))
        });
        format!("{telescope} with {} mm{barlow}", format::list(&lengths))
    }

    pub(super) fn nothing(&self) -> Outcome {
        let none = Obstacle::default();
        let obstacle = self.found.obstacle.as_ref().unwrap_or(&none);
        let mut obstacles: Vec<String> = self.closed().into_iter().collect();
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
        Outcome::Nothing { obstacles, next_nights: self.next_nights() }
    }
}
