//! The report: figures and words, as they are kept, shown, printed and sent to programs.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::classes::members_in_words;
use crate::shelf::Worth;
use crate::web::format;

/// A piece of the club's.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Piece {
    /// The tag on it.
    pub tag: String,
    /// Its name.
    pub name: String,
}

/// Something to buy.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Bought {
    /// Its number on the list of candidates.
    pub candidate: i64,
    /// What the club calls it.
    pub name: String,
    /// Its figures in words.
    pub figures: String,
    /// `new`, `used`, or empty.
    pub condition: String,
    /// How many.
    pub count: usize,
    /// What one costs, in hundredths.
    pub price_cents: i64,
}

/// Something to sell.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Sold {
    /// Which.
    #[serde(flatten)]
    pub piece: Piece,
    /// What it brings, in hundredths.
    pub price_cents: i64,
}

/// The best choice under one budget.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Point {
    /// What may be spent, in hundredths.
    pub budget_cents: u64,
    /// What is spent, in hundredths; below zero where sales bring more.
    pub spent_cents: i64,
    /// The average value of the best kit afterwards, 0 to 1.
    pub value: f64,
    /// No choice under this budget reaches more.
    pub bound: f64,
    /// Whether the choice is proven to be the best.
    pub proven_optimal: bool,
    /// What to buy.
    pub buy: Vec<Bought>,
    /// What to sell.
    pub sell: Vec<Sold>,
    /// How the search chose: lots taken of each specification that could change.
    pub taken: Vec<u8>,
    /// Steps the search took.
    pub steps: usize,
}

impl Point {
    /// The largest possible improvement.
    #[must_use]
    pub fn gap(&self) -> f64 {
        if self.proven_optimal { 0.0 } else { (self.bound - self.value).max(0.0) }
    }
}

/// Who or what gains.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Gain {
    /// A group of members, or a telescope with its tag.
    pub what: String,
    /// How many members; 0 for a telescope.
    pub members: usize,
    /// Average value before, 0 to 1.
    pub before: f64,
    /// Average value after.
    pub after: f64,
}

/// How one telescope is served today.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Cover {
    /// Which.
    #[serde(flatten)]
    pub telescope: Piece,
    /// By exit pupil from 7 to 0.6 mm in equal steps of power: the share of members who have a
    /// comfortable view there.
    pub shares: Vec<f64>,
    /// Powers, from and to, at which nobody has one.
    pub gaps: Vec<(f64, f64)>,
    /// Members of sixty and more without a comfortable view below twice the lowest useful power.
    pub older_without_low_power: usize,
    /// Members of sixty and more.
    pub older: usize,
    /// Members for whom every eyepiece is too short in eye relief here.
    pub relief_too_short: usize,
}

/// A piece that is hard to get.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Sought {
    /// Which.
    #[serde(flatten)]
    pub piece: Piece,
    /// On how many of the weekends looked at it was spoken for.
    pub weekends: usize,
    /// How many wait for it.
    pub waiting: usize,
}

impl Sought {
    /// "out on 9 of 26 weekends, waited for by 2".
    pub fn in_words(&self, weekends: usize) -> String {
        let mut says = Vec::new();
        if weekends > 0 {
            let weekends = format::count(weekends, "weekend", "weekends");
            says.push(format!("out on {} of {weekends}", self.weekends));
        }
        if self.waiting > 0 {
            says.push(format!("waited for by {}", self.waiting));
        }
        says.join(", ")
    }
}

/// A range of specifications that would serve.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Wish {
    /// Shortest focal length.
    pub focal_length_min_mm: f64,
    /// Longest focal length.
    pub focal_length_max_mm: f64,
    /// The focal length that gains most.
    pub best_focal_length_mm: f64,
    /// Least apparent field.
    pub apparent_field_min_deg: f64,
    /// Least eye relief.
    pub eye_relief_min_mm: f64,
    /// Barrels in which it serves.
    pub barrels_mm: Vec<f64>,
    /// What the best one would add to the average value, 0 to 1.
    pub gain: f64,
}

impl Wish {
    /// In words.
    #[must_use]
    pub fn in_words(&self) -> String {
        let lengths = if self.focal_length_min_mm < self.focal_length_max_mm {
            format!(
                "{} to {}",
                format::millimetres(self.focal_length_min_mm),
                format::millimetres(self.focal_length_max_mm)
            )
        } else {
            format::millimetres(self.focal_length_min_mm)
        };
        let barrels: Vec<String> =
            self.barrels_mm.iter().map(|mm| format!("{mm}\u{a0}mm")).collect();
        format!(
            "{lengths}, {:.0}° of field or more, {} of eye relief or more, {} barrel",
            self.apparent_field_min_deg,
            format::millimetres(self.eye_relief_min_mm),
            barrels.join(" or "),
        )
    }
}

/// The whole report.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Report {
    /// The day it was made.
    pub made_on: String,
    /// Active members counted.
    pub members: usize,
    /// Classes of like eyes they were folded into.
    pub classes: usize,
    /// Telescopes counted.
    pub telescopes: usize,
    /// Eyepieces, Barlows and coma correctors of the club.
    pub pieces: usize,
    /// Candidates on the list.
    pub candidates: usize,
    /// Kinds of evening, in words.
    pub evenings: Vec<String>,
    /// Weekends of the loan history they stand for.
    pub weekends: usize,
    /// The average value of the best kit today, 0 to 1.
    pub today: f64,
    /// The best choice under each budget, rising; the last is the one asked about.
    pub points: Vec<Point>,
    /// Groups of members, by what they gain.
    pub groups: Vec<Gain>,
    /// How many members gain noticeably.
    pub members_who_gain: usize,
    /// Classes that gain noticeably, as words for the service itself; never sent or shown.
    #[serde(default)]
    #[schema(ignore)]
    pub gaining_classes: Vec<String>,
    /// Telescopes, by what they gain.
    pub by_telescope: Vec<Gain>,
    /// How each telescope is served today.
    pub cover: Vec<Cover>,
    /// Members for whom everything is too short in eye relief in every telescope.
    pub relief_too_short: usize,
    /// Pieces that are hard to get.
    pub sought: Vec<Sought>,
    /// Pieces whose going alone costs nothing.
    pub idle: Vec<Piece>,
    /// Pieces that may all go together.
    pub idle_together: Vec<Piece>,
    /// What would be ideal to buy next, one after another.
    pub wishes: Vec<Wish>,
    /// Seconds of computing.
    pub seconds: f64,
}

/// A value as shown: points out of a hundred.
#[must_use]
pub fn points(value: f64) -> String {
    format!("{:.1}", value * 100.0)
}

/// An amount of money as shown.
#[must_use]
pub fn money(cents: i64) -> String {
    match Worth::of_cents(cents.abs()) {
        Ok(worth) if cents < 0 => format!("−{worth}"),
        Ok(worth) => worth.to_string(),
        Err(_) => cents.to_string(),
    }
}

/// "5 June 2026" of a day as it is kept.
#[must_use]
pub fn day(kept: &str) -> String {
    kept.parse::<jiff::civil::Date>()
        .map_or_else(|_| kept.to_owned(), |day| day.strftime("%-d %B %Y").to_string())
}

/// What is bought, as a list in words.
#[must_use]
pub fn shopping(point: &Point) -> String {
    let one = |one: &Bought| {
        let used = if one.condition == "used" { ", used" } else { "" };
        let count = if one.count > 1 { format!("{} × ", one.count) } else { String::new() };
        format!("{count}“{}”{used} at {}", one.name, money(one.price_cents))
    };
    format::list(&point.buy.iter().map(one).collect::<Vec<_>>())
}

/// What is sold, as a list in words.
#[must_use]
pub fn selling(point: &Point) -> String {
    let one = |one: &Sold| {
        format!("{} “{}” for {}", one.piece.tag, one.piece.name, money(one.price_cents))
    };
    format::list(&point.sell.iter().map(one).collect::<Vec<_>>())
}

impl Report {
    /// "evenings are those of the last 26 weekends: everything in store; one piece of glass out".
    pub fn evenings_in_words(&self) -> String {
        let evenings = self.evenings.join("; ");
        match self.weekends {
            0 => format!("of past weekends nothing is known, so there is one evening: {evenings}"),
            1 => format!("evenings are those of the last weekend: {evenings}"),
            many => {
                let weekends = format::count(many, "weekend", "weekends");
                format!("evenings are those of the last {weekends}: {evenings}")
            }
        }
    }

    /// The choice that was asked about.
    #[must_use]
    pub fn best(&self) -> Option<&Point> {
        self.points.last()
    }

    /// The sentence for the committee's minutes.
    #[must_use]
    pub fn minutes(&self) -> String {
        let Some(best) = self.best() else {
            return "Nothing could be chosen: there are no candidates.".to_owned();
        };
        let budget = money(best.budget_cents.cast_signed());
        if best.buy.is_empty() && best.sell.is_empty() {
            return format!(
                "Of {} candidates none under a budget of {budget} gives any member a better kit; nothing is bought.",
                self.candidates
            );
        }
        let mut deeds = Vec::new();
        if !best.buy.is_empty() {
            deeds.push(format!("to buy {}", shopping(best)));
        }
        if !best.sell.is_empty() {
            deeds.push(format!("to sell {}", selling(best)));
        }
        let purse = match best.spent_cents {
            spent if spent < 0 => format!("which brings {}", money(-spent)),
            spent => format!("which costs {} of {budget}", money(spent)),
        };
        let proof = if best.proven_optimal {
            format!(
                "No other choice among the {} candidates does better for this money.",
                self.candidates
            )
        } else {
            format!(
                "The search ended before its proof: another choice may be better by up to {} points.",
                points(best.gap())
            )
        };
        format!(
            "It was resolved {}, {purse}. It raises the average best kit of {} members in {} telescopes from {} to {} points of 100; {} noticeably. {proof}",
            deeds.join(" and "),
            self.members,
            self.telescopes,
            points(self.today),
            points(best.value),
            match self.members_who_gain {
                0 => "nobody gains".to_owned(),
                many => format!("{} gain", members_in_words(many)),
            },
        )
    }
}
