//! What is not in the answer, and why: pieces left out, and what stands in the way of any kit.

use super::answer_page::{LeftOut as Left, OtherNights, Outcome};
use super::present::Presenter;
use super::search::Obstacle;
use super::wording::{in_words, rule_in_words};
use crate::kit::explain::Subject;
use crate::kit::story::{LeftOut, Nothing};
use crate::kit::{Rule, Solver};
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

    pub(super) fn nothing(&self) -> Outcome {
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
