//! The pages of what to buy next, for whoever decides for the club.

use std::fmt::Write as _;

use askama::Template;
use askama_web::WebTemplate;

use super::classes::members_in_words;
use super::report::{Cover, Gain, Point, Report, Sought, day, money, points, selling, shopping};
use crate::kit::purchase::coverage::{STEPS, beam_mm};
use crate::web::field::Field;
use crate::web::format;
use crate::web::frame::Frame;

/// A report or a computation in a list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// Its number.
    pub id: i64,
    /// "5 June 2026, for 400".
    pub label: String,
    /// How it stands.
    pub says: String,
}

/// A piece that could be sold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ForSale {
    /// Its tag.
    pub tag: String,
    /// Its name.
    pub name: String,
    /// What it would bring.
    pub price: String,
}

/// `/buying`
#[derive(Template, WebTemplate)]
#[template(path = "buying/overview.html")]
pub struct OverviewPage {
    /// The frame.
    pub frame: Frame,
    /// Good news to show once.
    pub notice: Option<String>,
    /// The budget as typed.
    pub budget: Field,
    /// How many candidates there are.
    pub candidates: usize,
    /// What could be sold.
    pub sales: Vec<ForSale>,
    /// The tag to put up for sale, as typed.
    pub tag: Field,
    /// Its price, as typed.
    pub price: Field,
    /// The sentence of the newest report, with its number.
    pub newest: Option<(i64, String)>,
    /// All reports, the newest first.
    pub lines: Vec<Line>,
}

/// `/buying/reports/{id}` while it is made, or after it was stopped.
#[derive(Template, WebTemplate)]
#[template(path = "buying/progress.html")]
pub struct ProgressPage {
    /// The frame.
    pub frame: Frame,
    /// Its number.
    pub id: i64,
    /// The budget.
    pub budget: String,
    /// Whether it still goes on.
    pub open: bool,
    /// What it does just now, or how it ended.
    pub says: String,
    /// How far it has come.
    pub per_cent: i64,
}

/// One budget in the picture of the frontier.
struct Dot {
    x: String,
    y: String,
    above: String,
    budget: String,
    points: String,
    proven: bool,
}

/// `/buying/reports/{id}` when it is done.
#[derive(Template, WebTemplate)]
#[template(path = "buying/report.html")]
pub struct ReportPage {
    /// The frame.
    pub frame: Frame,
    /// Its number.
    pub id: i64,
    /// The report.
    pub report: Report,
    /// Members who gain noticeably, by name; only for those who may see needs.
    pub names: Option<Vec<String>>,
}

// The template passes references.
#[allow(clippy::trivially_copy_pass_by_ref)]
impl ReportPage {
    fn points(value: &f64) -> String {
        points(*value)
    }

    fn money(cents: &i64) -> String {
        money(*cents)
    }

    fn budget(point: &Point) -> String {
        money(point.budget_cents.cast_signed())
    }

    fn shopping(point: &Point) -> String {
        let mut words = Vec::new();
        if !point.buy.is_empty() {
            words.push(format!("buy {}", shopping(point)));
        }
        if !point.sell.is_empty() {
            words.push(format!("sell {}", selling(point)));
        }
        match words.len() {
            0 => "Leave it as it is".to_owned(),
            _ => format::sentence_case(&words.join("; ")),
        }
    }

    fn proof(point: &Point) -> String {
        if point.proven_optimal {
            "proven".to_owned()
        } else {
            format!("at most {} better", points(point.gap()))
        }
    }

    fn more(gain: &Gain) -> String {
        format!("+{}", points(gain.after - gain.before))
    }

    fn gaining(gains: &[Gain]) -> Vec<&Gain> {
        gains.iter().filter(|gain| gain.after - gain.before >= 0.0005).take(12).collect()
    }

    fn sought(one: &Sought, weekends: &usize) -> String {
        one.in_words(*weekends)
    }

    fn members(count: &usize) -> String {
        members_in_words(*count)
    }

    fn powers(cover: &Cover) -> String {
        let ranges: Vec<String> = cover
            .gaps
            .iter()
            .map(|(low, high)| format!("{} to {}", format::power(*low), format::power(*high)))
            .collect();
        if ranges.is_empty() {
            String::new()
        } else {
            format!("Nobody is comfortable at {}.", format::list(&ranges))
        }
    }

    fn concerns(cover: &Cover) -> Vec<String> {
        let mut says = Vec::new();
        let gaps = Self::powers(cover);
        if !gaps.is_empty() {
            says.push(gaps);
        }
        if cover.older_without_low_power > 0 {
            let all = cover.older_without_low_power == cover.older;
            let who = if all {
                "all of them".into()
            } else {
                members_in_words(cover.older_without_low_power)
            };
            says.push(format!("No comfortable low power from sixty years on: {who}."));
        }
        if cover.relief_too_short > 0 {
            says.push(format!(
                "Every eyepiece is too short in eye relief: {}.",
                members_in_words(cover.relief_too_short)
            ));
        }
        says
    }

    /// The outline of a telescope's cover, in a box of 240 by 28.
    fn outline(cover: &Cover) -> String {
        let mut path = String::from("M0 28");
        for (step, share) in cover.shares.iter().enumerate() {
            let width = 240.0 / STEPS as f64;
            let (left, right) = (step as f64 * width, (step as f64 + 1.0) * width);
            let y = 28.0 - 26.0 * share.clamp(0.0, 1.0);
            // Writing to a String cannot fail.
            let _ = write!(path, "L{left:.1} {y:.1}H{right:.1}");
        }
        path.push_str("V28z");
        path
    }

    /// Steps inside the range at which nobody is comfortable, as places to mark.
    fn holes(cover: &Cover) -> Vec<String> {
        let there = |share: &f64| *share > 0.0;
        let first = cover.shares.iter().position(there).unwrap_or(STEPS);
        let last = cover.shares.iter().rposition(there).unwrap_or(0);
        let width = 240.0 / STEPS as f64;
        (first..=last)
            .filter(|step| !there(&cover.shares[*step]))
            .map(|step| format!("{:.1}", step as f64 * width + 1.0))
            .collect()
    }

    /// Exit pupils under the picture with their places, in hundredths of its width.
    fn ticks() -> Vec<(String, String)> {
        let place = |mm: f64| {
            let (wide, thin) = (beam_mm(0), beam_mm(STEPS - 1));
            let share = (wide / mm).ln() / (wide / thin).ln();
            (0.5 + share * (STEPS as f64 - 1.0)) / STEPS as f64 * 240.0
        };
        [6.0, 4.0, 2.0, 1.0, 0.7]
            .into_iter()
            .map(|mm| (format!("{:.1}", place(mm)), format!("{mm}")))
            .collect()
    }

    /// The frontier: a step for each budget, in a box of 360 by 168.
    fn frontier(&self) -> Vec<Dot> {
        let all = &self.report.points;
        let top = all.iter().map(|point| point.value).fold(self.report.today, f64::max);
        let low = self.report.today;
        let room = (top - low).max(1e-9);
        let budget = all.last().map_or(1, |point| point.budget_cents.max(1)) as f64;
        all.iter()
            .map(|point| {
                let x = 30.0 + 300.0 * point.budget_cents as f64 / budget;
                let y = 130.0 - 100.0 * (point.value - low).max(0.0) / room;
                Dot {
                    x: format!("{x:.1}"),
                    y: format!("{y:.1}"),
                    above: format!("{:.1}", y - 11.0),
                    budget: money(point.budget_cents.cast_signed()),
                    points: points(point.value),
                    proven: point.proven_optimal,
                }
            })
            .collect()
    }

    fn frontier_line(&self) -> String {
        let mut path = String::from("M30 130");
        for dot in self.frontier() {
            let _ = write!(path, "H{}V{}", dot.x, dot.y);
        }
        path
    }

    fn day(kept: &str) -> String {
        day(kept)
    }

    fn wishes(&self) -> Vec<(String, String)> {
        self.report
            .wishes
            .iter()
            .map(|wish| (wish.in_words(), format!("+{}", points(wish.gain))))
            .collect()
    }

    fn took(&self) -> String {
        match self.report.seconds {
            under if under < 1.0 => "under a second".to_owned(),
            seconds => format::duration(seconds),
        }
    }
}
