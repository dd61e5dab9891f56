//! `/audit`: the log, for administrators.

use std::collections::HashMap;

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use jiff::civil::Date;
use jiff::{Timestamp, ToSpan as _};
use serde::Deserialize;

use super::actor::Means;
use super::page::{AuditPage, EntryRow};
use super::read::{self, Entry, Sought};
use crate::people::access::SignedIn;
use crate::people::roster;
use crate::store::Store;
use crate::web::body::Query;
use crate::web::clock::Clock;
use crate::web::field::{Choice, Field};
use crate::web::format;
use crate::web::frame::Place;
use crate::web::problem::Problem;
use crate::web::query::pairs;

/// What stands after the question mark of `/audit`.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Asked {
    person: String,
    deed: String,
    record: String,
    from: String,
    to: String,
    before: String,
}

/// `GET /audit`
///
/// # Errors
/// The database could not be read.
pub async fn log(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Query(asked): Query<Asked>,
) -> Result<Response, Problem> {
    let deeds = read::deeds(&store).await?;
    let mut page = AuditPage {
        frame: who.visit.frame("Audit log").at(Place::People),
        person: Field::of(&asked.person),
        deed: asked.deed.clone(),
        deeds: deeds.iter().map(|deed| Choice::new(deed, format::sentence_case(deed))).collect(),
        record: Field::of(&asked.record),
        from: Field::of(&asked.from),
        to: Field::of(&asked.to),
        entries: Vec::new(),
        older: None,
        searching: false,
    };
    let Some(mut sought) = understand(&asked, &clock, &mut page) else {
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
    };
    page.searching = sought != Sought { before: sought.before, ..Sought::default() };
    if !asked.person.trim().is_empty() {
        page.searching = true;
        sought.accounts = Some(roster::accounts_called(&store, asked.person.trim()).await?);
    }
    let (entries, older) = read::find(&store, &sought).await?;
    if older && let Some(last) = entries.last() {
        page.older = Some(older_address(&asked, last));
    }
    let names = names_in(&store, &entries).await?;
    page.entries = entries.into_iter().map(|entry| row(&clock, &names, entry)).collect();
    Ok(page.into_response())
}

/// Reads what is looked for, and marks what can't be read.
fn understand(asked: &Asked, clock: &Clock, page: &mut AuditPage) -> Option<Sought> {
    let mut sought = Sought::default();
    let mut fine = true;
    let deed = asked.deed.trim();
    sought.deed = (!deed.is_empty()).then(|| deed.to_owned());
    match read_record(&asked.record) {
        Ok(record) => sought.record = record,
        Err(why) => {
            page.record.refuse(why);
            fine = false;
        }
    }
    for (field, bound, first_after) in
        [(&mut page.from, &mut sought.from, 0), (&mut page.to, &mut sought.until, 1)]
    {
        let text = field.value.trim();
        if text.is_empty() {
            continue;
        }
        let day = text.parse::<Date>().ok();
        let instant =
            day.and_then(|day| midnight(day.checked_add(first_after.days()).ok()?, clock));
        if instant.is_none() {
            field.refuse("Write the day like 2026-06-05.");
            fine = false;
        }
        *bound = instant.or(*bound);
    }
    // Somebody who changes the address by hand gets the first page.
    sought.before = asked
        .before
        .split_once('.')
        .and_then(|(at, id)| Some((at.parse().ok()?, id.parse().ok()?)));
    fine.then_some(sought)
}

/// `loan`, or `loan 12`.
fn read_record(text: &str) -> Result<Option<(String, Option<i64>)>, &'static str> {
    const HOW: &str = "Write a kind of record, and its number if you like: “account 12”.";
    let text = text.trim().to_lowercase();
    if text.is_empty() {
        return Ok(None);
    }
    let (kind, number) = match text.rsplit_once(' ') {
        Some((kind, number)) if number.bytes().all(|byte| byte.is_ascii_digit()) => {
            (kind.trim(), Some(number.parse().map_err(|_| HOW)?))
        }
        _ => (text.as_str(), None),
    };
    let is_word =
        !kind.is_empty() && kind.chars().all(|c| c.is_ascii_lowercase() || c == '_' || c == ' ');
    if is_word { Ok(Some((kind.to_owned(), number))) } else { Err(HOW) }
}

fn midnight(day: Date, clock: &Clock) -> Option<i64> {
    Some(clock.zone().to_timestamp(day.at(0, 0, 0, 0)).ok()?.as_second())
}

fn older_address(asked: &Asked, last: &Entry) -> String {
    let before = format!("{}.{}", last.at, last.id);
    let query = pairs([
        ("person", asked.person.as_str()),
        ("deed", &asked.deed),
        ("record", &asked.record),
        ("from", &asked.from),
        ("to", &asked.to),
        ("before", &before),
    ]);
    format!("/audit?{query}")
}

async fn names_in(store: &Store, entries: &[Entry]) -> Result<HashMap<i64, String>, Problem> {
    let mut ids: Vec<i64> = entries
        .iter()
        .flat_map(|entry| {
            let subject = entry.subject_id.filter(|_| is_account(entry));
            [entry.account, subject].into_iter().flatten()
        })
        .collect();
    ids.sort_unstable();
    ids.dedup();
    Ok(roster::names_of(store, &ids).await?)
}

fn is_account(entry: &Entry) -> bool {
    entry.subject_kind.as_deref() == Some("account")
}

fn row(clock: &Clock, names: &HashMap<i64, String>, entry: Entry) -> EntryRow {
    let called = |id: i64| names.get(&id).cloned().unwrap_or_else(|| format!("Account {id}"));
    let page_of = |id: i64| names.contains_key(&id).then(|| format!("/people/{id}"));
    let instant = Timestamp::from_second(entry.at).unwrap_or_default();
    let local = instant.to_zoned_datetime(clock.zone().clone());
    let who = match (entry.account, entry.means) {
        (Some(id), _) => called(id),
        (None, Means::Service) => "The service".into(),
        (None, Means::Command) => "Somebody at the server".into(),
        (None, _) => "Somebody not signed in".into(),
    };
    let (record, record_page) = match (&entry.subject_kind, entry.subject_id) {
        // What people do to their own account needs no second name.
        _ if is_account(&entry) && entry.subject_id == entry.account => (String::new(), None),
        (Some(_), Some(id)) if is_account(&entry) => (called(id), page_of(id)),
        (Some(kind), Some(id)) if kind == "member" => {
            (format!("Member {id}"), Some(format!("/people/members/{id}")))
        }
        (Some(kind), Some(id)) => {
            (format!("{} {id}", format::sentence_case(&kind.replace('_', " "))), None)
        }
        (Some(kind), None) => (format!("All of kind “{}”", kind.replace('_', " ")), None),
        (None, _) => (String::new(), None),
    };
    EntryRow {
        when: format!("{}, {}", format::night(local.date()), local.strftime("%H:%M:%S")),
        instant: instant.to_string(),
        who,
        who_page: entry.account.and_then(page_of),
        how: entry.means.says(),
        deed: format::sentence_case(&entry.deed),
        record,
        record_page,
        detail: entry.detail,
        address: entry.address.unwrap_or_default(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_record_is_a_kind_and_perhaps_a_number() {
        assert_eq!(read_record("  "), Ok(None));
        assert_eq!(read_record("Loan 12"), Ok(Some(("loan".into(), Some(12)))));
        assert_eq!(read_record("access_token"), Ok(Some(("access_token".into(), None))));
        for bad in ["12", "loan'; DROP TABLE audit", "loan 99999999999999999999", "<b>"] {
            assert!(read_record(bad).is_err(), "{bad}");
        }
    }
}
