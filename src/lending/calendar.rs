//! Nights as a calendar shows them: a month to a table, a first night and then a last one to choose.
//! Pure; what each night is comes from whoever asks.

use std::collections::BTreeMap;

use jiff::civil::{Date, Weekday};

use super::night::{Night, Nights};
use crate::web::format;

/// How many months a page of the calendar has.
pub const MONTHS: i32 = 3;

/// What a night is to whoever looks at the calendar.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Mark {
    /// Everything that is asked about can be had.
    Free,
    /// Something can be had, though less good than on other nights.
    Poorer,
    /// It can't be had.
    Taken,
    /// The club lends nothing.
    Closed,
    /// Over, or too far ahead to be asked for.
    OutOfReach,
}

impl Mark {
    /// The word, for a reader who sees no shapes.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Free => "free",
            Self::Poorer => "free in part",
            Self::Taken => "taken",
            Self::Closed => "no lending",
            Self::OutOfReach => "can't be chosen",
        }
    }

    /// The class that draws its shape.
    pub const fn class(self) -> &'static str {
        match self {
            Self::Free => "free",
            Self::Poorer => "poorer",
            Self::Taken => "taken",
            Self::Closed => "closed",
            Self::OutOfReach => "away",
        }
    }

    /// Whether a loan may have this night.
    pub const fn can_be_had(self) -> bool {
        matches!(self, Self::Free | Self::Poorer)
    }
}

/// One night in a month's table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Day {
    /// The day of the month.
    pub number: i8,
    /// "Friday 5 June".
    pub name: String,
    /// What it is.
    pub mark: Mark,
    /// Where a tap leads; none where it can't be chosen.
    pub address: Option<String>,
    /// Whether it is the first night that was chosen.
    pub chosen: bool,
}

/// A month: weeks from Monday to Sunday, with gaps where other months begin.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Month {
    /// "June 2026".
    pub title: String,
    /// Its weeks.
    pub weeks: Vec<Vec<Option<Day>>>,
}

/// What a calendar is drawn from.
pub struct Sheet<'a> {
    /// What each night is; a night that is not in it is out of reach.
    pub marks: &'a BTreeMap<Night, Mark>,
    /// The first night, once it is chosen.
    pub chosen: Option<Night>,
    /// The most nights of a loan.
    pub longest: i32,
    /// Where choosing a first night leads.
    pub first: &'a dyn Fn(Night) -> String,
    /// Where choosing the last night leads.
    pub last: &'a dyn Fn(Nights) -> String,
}

impl Sheet<'_> {
    /// The tables of `count` months, from the month of `from` on.
    pub fn months(&self, from: Date, count: i32) -> Vec<Month> {
        let mut months = Vec::new();
        let mut first = from.first_of_month();
        for _ in 0..count {
            months.push(self.month(first));
            let Ok(next) = first.last_of_month().tomorrow() else { break };
            first = next;
        }
        months
    }

    fn month(&self, first: Date) -> Month {
        let mut cells: Vec<Option<Day>> = Vec::new();
        let before = first.weekday().since(Weekday::Monday);
        cells.extend((0..before).map(|_| None));
        let mut date = first;
        while date.month() == first.month() {
            cells.push(Night::new(date).ok().map(|night| self.day(night)));
            let Ok(next) = date.tomorrow() else { break };
            date = next;
        }
        while !cells.len().is_multiple_of(7) {
            cells.push(None);
        }
        Month {
            title: first.strftime("%B %Y").to_string(),
            weeks: cells.chunks(7).map(<[_]>::to_vec).collect(),
        }
    }

    fn day(&self, night: Night) -> Day {
        let mark = self.mark(night);
        let address = match self.chosen.filter(|chosen| *chosen <= night) {
            Some(chosen) => self.stretch(chosen, night).map(self.last),
            None => mark.can_be_had().then(|| (self.first)(night)),
        };
        Day {
            number: night.evening().day(),
            name: night.evening().strftime("%A %-d %B").to_string(),
            mark,
            address,
            chosen: self.chosen == Some(night),
        }
    }

    fn mark(&self, night: Night) -> Mark {
        self.marks.get(&night).copied().unwrap_or(Mark::OutOfReach)
    }

    /// The loan from one night to another, where it can be had.
    fn stretch(&self, first: Night, last: Night) -> Option<Nights> {
        let nights = Nights::new(first, last).ok()?;
        let short = nights.count() <= self.longest;
        (short && nights.iter().all(|night| self.mark(night).can_be_had())).then_some(nights)
    }

    /// The last night that a loan from the chosen one can have.
    pub fn until(&self) -> Option<Night> {
        let mut last = self.chosen.filter(|night| self.mark(*night).can_be_had())?;
        let first = last;
        while let Some(next) = last.next()
            && self.stretch(first, next).is_some()
        {
            last = next;
        }
        Some(last)
    }

    /// What to do next, in one sentence.
    pub fn says(&self) -> String {
        let Some(chosen) = self.chosen else { return "Tap the first night.".into() };
        let first = format::night(chosen.evening());
        match self.until() {
            Some(until) if until == chosen => {
                format!("From {first}: only this one night can be had. Tap it again to go on.")
            }
            Some(until) => format!(
                "From {first}. Now tap the last night, until {} at most; the same night again for one night alone.",
                format::night(until.evening())
            ),
            None => format!("{first} can't be had. Tap another first night."),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn night(text: &str) -> Night {
        text.parse().unwrap()
    }

    fn sheet<R>(chosen: Option<&str>, with: impl FnOnce(Sheet<'_>) -> R) -> R {
        let all = Nights::parse("2026-06-05", "2026-07-10").unwrap();
        let mut marks: BTreeMap<Night, Mark> =
            all.iter().map(|night| (night, Mark::Free)).collect();
        marks.insert(night("2026-06-10"), Mark::Taken);
        marks.insert(night("2026-06-12"), Mark::Poorer);
        with(Sheet {
            marks: &marks,
            chosen: chosen.map(night),
            longest: 4,
            first: &|night| format!("first {night}"),
            last: &|nights| format!("last {nights}"),
        })
    }

    fn day(month: &Month, number: i8) -> Day {
        month.weeks.iter().flatten().flatten().find(|day| day.number == number).unwrap().clone()
    }

    #[test]
    fn a_month_has_whole_weeks_from_monday() {
        let months = sheet(None, |sheet| sheet.months(night("2026-06-17").evening(), 2));
        assert_eq!(months[0].title, "June 2026");
        // 1 June 2026 is a Monday, 1 July a Wednesday.
        assert_eq!(months[0].weeks[0][0].as_ref().unwrap().number, 1);
        assert_eq!(months[1].weeks[0].iter().filter(|day| day.is_none()).count(), 2);
        assert!(months.iter().flat_map(|month| &month.weeks).all(|week| week.len() == 7));
        assert_eq!(months[1].weeks.iter().flatten().flatten().count(), 31);
    }

    #[test]
    fn only_what_can_be_had_can_be_tapped_first() {
        let june = sheet(None, |sheet| sheet.months(night("2026-06-01").evening(), 1)).remove(0);
        assert_eq!(day(&june, 5).address.as_deref(), Some("first 2026-06-05"));
        assert_eq!(day(&june, 12).address.as_deref(), Some("first 2026-06-12"));
        assert_eq!(day(&june, 10).address, None);
        assert_eq!((day(&june, 4).mark, day(&june, 4).address), (Mark::OutOfReach, None));
    }

    #[test]
    fn the_last_night_ends_before_what_is_taken_and_within_the_longest_loan() {
        let last = |chosen, number| {
            sheet(Some(chosen), |sheet| {
                day(&sheet.months(night("2026-06-01").evening(), 1)[0], number).address
            })
        };
        assert_eq!(last("2026-06-08", 9).as_deref(), Some("last 2026-06-08 to 2026-06-09"));
        assert_eq!(last("2026-06-08", 11), None, "over what is taken");
        assert_eq!(last("2026-06-11", 14).as_deref(), Some("last 2026-06-11 to 2026-06-14"));
        assert_eq!(last("2026-06-11", 15), None, "longer than the club lends");
        assert_eq!(last("2026-06-11", 6).as_deref(), Some("first 2026-06-06"), "another first");
        let until = |chosen| sheet(Some(chosen), |sheet| sheet.until());
        assert_eq!(until("2026-06-08"), Some(night("2026-06-09")));
        assert_eq!(until("2026-06-11"), Some(night("2026-06-14")));
        assert_eq!(until("2026-06-10"), None);
    }
}
