//! `/reserve/calendar`: on which nights some pieces can be had.

use std::collections::{BTreeMap, BTreeSet};

use askama::Template;
use askama_web::WebTemplate;
use axum::extract::State;
use jiff::ToSpan;
use jiff::civil::Date;
use serde::Deserialize;

use super::calendar::{MONTHS, Mark, Month, Sheet};
use super::door::tonight;
use super::model::{LendingError, Wish};
use super::night::{Night, Nights};
use super::openings::spoken_for;
use super::rules::Rules;
use super::rules_store::rules;
use crate::people::access::SignedIn;
use crate::shelf::{self, ItemId};
use crate::store::Store;
use crate::web::body::Query;
use crate::web::clock::Clock;
use crate::web::frame::{Frame, Place};
use crate::web::problem::Problem;

/// The free nights of some pieces.
#[derive(Template, WebTemplate)]
#[template(path = "lending/calendar.html")]
pub struct CalendarPage {
    /// The frame.
    pub frame: Frame,
    /// The pieces: tag and name.
    pub pieces: Vec<(String, String)>,
    /// What to do next.
    pub says: String,
    /// The months.
    pub months: Vec<Month>,
    /// The page before, where there is one.
    pub earlier: Option<String>,
    /// The page after, where there is one.
    pub later: Option<String>,
    /// Where to type the nights instead.
    pub typed: String,
}

/// What the address says.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Asked {
    items: String,
    first: String,
    month: String,
}

/// Where a calendar stands: its first month, and the pages beside it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Standing {
    /// A day of the first month.
    pub from: Date,
    /// The month that the page before begins with, like 2026-03.
    pub earlier: Option<String>,
    /// The month that the page after begins with.
    pub later: Option<String>,
}

impl Standing {
    /// From the month that an address names, within what can be asked for.
    pub fn of(month: &str, tonight: Night, ahead: i32) -> Self {
        let now = tonight.evening().first_of_month();
        let end = tonight.later(ahead).unwrap_or(tonight).evening();
        let named = format!("{month}-01").parse::<Night>().ok().map(Night::evening);
        let from = named.unwrap_or(now).clamp(now, end);
        let moved = |months: i32| from.checked_add(months.months()).ok();
        let word = |date: Date| date.strftime("%Y-%m").to_string();
        Self {
            from,
            earlier: (from > now).then(|| moved(-MONTHS).map_or(now, |to| to.max(now))).map(word),
            later: moved(MONTHS).filter(|to| *to <= end).map(word),
        }
    }

    /// Every night on the page.
    pub fn nights(&self) -> Option<Nights> {
        let first = Night::new(self.from.first_of_month()).ok()?;
        let last = self.from.checked_add((MONTHS - 1).months()).ok()?.last_of_month();
        Nights::new(first, Night::new(last).ok()?).ok()
    }
}

/// What the club's rules and the taken nights make of each night.
pub fn marks(
    nights: Nights,
    rules: &Rules,
    tonight: Night,
    taken: &BTreeSet<Night>,
) -> BTreeMap<Night, Mark> {
    let until = tonight.later(rules.ahead_nights).unwrap_or(tonight);
    let mark = |night: Night| {
        if night < tonight || night > until {
            Mark::OutOfReach
        } else if rules.closed.contains_key(&night) {
            Mark::Closed
        } else if taken.contains(&night) {
            Mark::Taken
        } else {
            Mark::Free
        }
    };
    nights.iter().map(|night| (night, mark(night))).collect()
}

/// `GET /reserve/calendar`
///
/// # Errors
/// 404 where nothing of the club's is named.
pub async fn look(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Query(asked): Query<Asked>,
) -> Result<CalendarPage, Problem> {
    let tonight = tonight(&clock)?;
    let mut ids: Vec<ItemId> =
        asked.items.split([',', ' ']).filter_map(|part| part.parse().ok()).map(ItemId).collect();
    ids.truncate(Wish::MOST_ITEMS);
    let mut conn = store.reader().acquire().await?;
    let mut names = shelf::names(&mut conn, &ids).await.map_err(LendingError::from)?;
    if names.is_empty() {
        return Err(Problem::not_found("Nothing is chosen that the club lends.")
            .next("Find a kit, or look at the telescopes, and reserve from there.")
            .way("Find a kit", "/")
            .way("Telescopes", "/telescopes"));
    }
    names.sort_by_key(|item| (item.kind, item.id));
    let rules = rules(&mut conn, tonight).await?;
    let standing = Standing::of(&asked.month, tonight, rules.ahead_nights);
    let nights = standing
        .nights()
        .ok_or_else(|| Problem::not_found("The club's calendar does not reach there."))?;
    let ids: Vec<ItemId> = names.iter().map(|item| item.id).collect();
    let taken = spoken_for(&mut conn, &ids, nights).await?;
    let marks = marks(nights, &rules, tonight, &taken);
    let list: Vec<String> = ids.iter().map(ToString::to_string).collect();
    let list = list.join(",");
    let month = standing.from.strftime("%Y-%m");
    let here = format!("/reserve/calendar?items={list}");
    let first = |night: Night| format!("{here}&month={month}&first={night}");
    let last = |nights: Nights| {
        format!("/reserve?items={list}&from={}&to={}", nights.first(), nights.last())
    };
    let sheet = Sheet {
        marks: &marks,
        chosen: asked.first.parse().ok(),
        longest: rules.longest_nights,
        first: &first,
        last: &last,
    };
    let turn = |month: Option<String>| month.map(|month| format!("{here}&month={month}"));
    Ok(CalendarPage {
        frame: who.visit.frame("Free nights").at(Place::Kits),
        pieces: names.into_iter().map(|item| (item.tag.to_string(), item.name)).collect(),
        says: sheet.says(),
        months: sheet.months(standing.from, MONTHS),
        earlier: turn(standing.earlier),
        later: turn(standing.later),
        typed: format!("/reserve?items={list}"),
    })
}

/// A page with every mark.
#[cfg(test)]
pub(crate) mod samples {
    use super::*;
    use crate::gallery::{Sample, frame};
    use crate::web::frame::Scheme;

    /// Three months, with a night of each kind.
    pub(crate) fn months(chosen: Option<&str>) -> (String, Vec<Month>) {
        let tonight: Night = "2026-06-03".parse().unwrap();
        let rules = Rules {
            closed: [("2026-06-24".parse().unwrap(), String::new())].into(),
            ahead_nights: 70,
            ..Rules::default()
        };
        let standing = Standing::of("", tonight, rules.ahead_nights);
        let taken = Nights::parse("2026-06-12", "2026-06-14").unwrap().iter().collect();
        let mut marks = marks(standing.nights().unwrap(), &rules, tonight, &taken);
        marks.insert("2026-06-19".parse().unwrap(), Mark::Poorer);
        let sheet = Sheet {
            marks: &marks,
            chosen: chosen.map(|night| night.parse().unwrap()),
            longest: 31,
            first: &|night| format!("/reserve/calendar?items=7&first={night}"),
            last: &|nights| format!("/reserve?items=7&from={}", nights.first()),
        };
        (sheet.says(), sheet.months(standing.from, MONTHS))
    }

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let page = |chosen: Option<&str>| {
            let (says, months) = months(chosen);
            CalendarPage {
                frame: frame("Free nights", scheme).at(Place::Kits),
                pieces: vec![("T-007".into(), "Orchard <script>alert(1)</script>".into())],
                says,
                months,
                earlier: chosen.map(|_| "/reserve/calendar?items=7&month=2026-03".into()),
                later: Some("/reserve/calendar?items=7&month=2026-09".into()),
                typed: "/reserve?items=7".into(),
            }
        };
        vec![
            Sample::of("calendar", &page(None)),
            Sample::of("calendar-chosen", &page(Some("2026-06-08"))),
        ]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_pages_of_a_calendar_end_where_one_may_ask_no_more() {
        let tonight: Night = "2026-06-05".parse().unwrap();
        let at = |month: &str| {
            let standing = Standing::of(month, tonight, 366);
            (standing.from.to_string(), standing.earlier, standing.later)
        };
        let some = |text: &str| Some(text.to_owned());
        assert_eq!(at(""), ("2026-06-01".into(), None, some("2026-09")));
        assert_eq!(at("2026-08"), ("2026-08-01".into(), some("2026-06"), some("2026-11")));
        assert_eq!(at("2027-06").2, None);
        assert_eq!(at("1999-01").0, "2026-06-01");
        assert_eq!(at("soon").0, "2026-06-01");
        assert!(at("2199-12").0.as_str() <= "2027-06-06");
    }
}
