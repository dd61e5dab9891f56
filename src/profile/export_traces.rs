//! What a person left behind by using the service: reservations, loans, doors and the log.

use serde_json::{Value, json};
use sqlx::SqliteConnection;

use super::export::{Kept, instant};
use crate::audit;
use crate::lending::handing::Condition;
use crate::lending::reading::{Wanted, Whole, wholes};
use crate::lending::{LendingError, feed_store, rules_store, signature, wait_list};
use crate::people::MemberId;
use crate::people::second::{self, Standing};
use crate::shelf::{self, ItemId};
use crate::store::Store;
use crate::web::problem::Problem;

/// Pieces of the club's shelf that are theirs or that they keep at home.
pub(super) async fn on_the_shelf(
    conn: &mut SqliteConnection,
    member: MemberId,
) -> Result<Kept, Problem> {
    let pieces = shelf::pieces_of_member(conn, member).await?;
    Ok(Kept {
        name: "pieces",
        about: "pieces on the club's shelf that you own or keep at home",
        columns: &["item", "name", "you_own_it", "you_keep_it", "value", "serial", "place"],
        rows: pieces
            .into_iter()
            .map(|(item, papers)| {
                let owned = papers.owner == Some(member);
                vec![
                    json!(item.tag.to_string()),
                    json!(item.name),
                    json!(owned),
                    json!(papers.custodian == Some(member)),
                    json!(papers.value.filter(|_| owned).map(|worth| worth.to_string())),
                    json!(if owned { papers.serial } else { String::new() }),
                    json!(papers.place),
                ]
            })
            .collect(),
    })
}

/// What they reserved, and what was handed over to them.
pub(super) async fn lent(
    conn: &mut SqliteConnection,
    member: MemberId,
) -> Result<[Kept; 2], Problem> {
    let wanted = Wanted { member: Some(member), most: i64::MAX, ..Wanted::default() };
    let all = wholes(conn, &wanted).await.map_err(|error| Problem::internal(&error))?;
    let reservations = Kept {
        name: "reservations",
        about: "what you reserved",
        columns: &[
            "reservation",
            "made_at",
            "first_night",
            "last_night",
            "by_day",
            "state",
            "items",
        ],
        rows: all
            .iter()
            .map(|one| {
                let tags: Vec<String> =
                    one.lines.iter().map(|line| line.item.tag.to_string()).collect();
                vec![
                    json!(one.id.0),
                    instant(one.created_at),
                    json!(one.nights.first().to_string()),
                    json!(one.nights.last().to_string()),
                    json!(one.daylight),
                    json!(one.state.as_str()),
                    json!(tags.join(" ")),
                ]
            })
            .collect(),
    };
    let loans = Kept {
        name: "loans",
        about: "what was handed over to you, piece by piece",
        columns: &[
            "loan",
            "reservation",
            "handed_at",
            "item",
            "state",
            "condition",
            "signed_name",
            "guardian",
            "witness",
            "cautions_version",
            "note",
        ],
        rows: all.iter().flat_map(pieces_lent).collect(),
    };
    Ok([reservations, loans])
}

fn pieces_lent(one: &Whole) -> Vec<Vec<Value>> {
    let Some(loan) = &one.loan else { return Vec::new() };
    one.lines
        .iter()
        .map(|line| {
            vec![
                json!(loan.id.0),
                json!(one.id.0),
                instant(loan.handed_at),
                json!(line.item.tag.to_string()),
                json!(line.state.as_str()),
                json!(line.condition.map(Condition::as_str)),
                json!(loan.signed_name),
                json!(loan.guardian),
                json!(loan.witness),
                json!(loan.cautions_version),
                json!(loan.note),
            ]
        })
        .collect()
}

/// What they waited for, and what they were shown how to use.
pub(super) async fn waited(
    conn: &mut SqliteConnection,
    member: MemberId,
) -> Result<[Kept; 3], Problem> {
    let internal = |error: LendingError| Problem::internal(&error);
    let places = wait_list::kept_of(conn, member).await.map_err(internal)?;
    let shown = rules_store::shown_of(conn, member).await.map_err(internal)?;
    let mut ids: Vec<ItemId> = places.iter().flat_map(|place| place.items.clone()).collect();
    ids.extend(shown.iter().map(|(item, _)| *item));
    let names = shelf::names(conn, &ids).await?;
    let tag = |id: &ItemId| {
        let name = names.iter().find(|name| name.id == *id);
        name.map_or_else(|| id.to_string(), |name| name.tag.to_string())
    };
    let waiting = Kept {
        name: "waiting_list",
        about: "what you wait or waited for",
        columns: &["place", "asked_at", "kind", "items", "first_night", "last_night", "state"],
        rows: places
            .iter()
            .map(|place| {
                let tags: Vec<String> = place.items.iter().map(tag).collect();
                vec![
                    json!(place.id),
                    instant(place.asked_at),
                    json!(place.kind),
                    json!(tags.join(" ")),
                    json!(place.first_night),
                    json!(place.last_night),
                    json!(place.state),
                ]
            })
            .collect(),
    };
    let training = Kept {
        name: "training",
        about: "what you were shown how to use",
        columns: &["item", "shown_on"],
        rows: shown.iter().map(|(item, day)| vec![json!(tag(item)), json!(day)]).collect(),
    };
    let signed = signature::signatures_of(conn, member).await.map_err(internal)?;
    let signatures = Kept {
        name: "signatures",
        about: "what you signed with, as a path in a box of 600 by 200",
        columns: &["reservation", "name", "path", "signed_at"],
        rows: signed
            .into_iter()
            .map(|(id, name, path, at)| vec![json!(id.0), json!(name), json!(path), instant(at)])
            .collect(),
    };
    Ok([waiting, training, signatures])
}

/// The addresses under which calendar programs fetch their calendar; what makes them secret is
/// kept as a fingerprint only.
pub(super) async fn calendars(conn: &mut SqliteConnection, account: i64) -> Result<Kept, Problem> {
    let all = feed_store::addresses(conn, account).await;
    let all = all.map_err(|error| Problem::internal(&error))?;
    Ok(Kept {
        name: "calendars",
        about: "addresses for your calendar program; they are kept as a fingerprint only",
        columns: &["calendar", "made_at", "last_used_on"],
        rows: all
            .into_iter()
            .map(|one| {
                vec![json!(one.kind.as_str()), instant(one.created_at), json!(one.last_used_on)]
            })
            .collect(),
    })
}

/// Whether a second factor is in force. Its secret is not theirs to take: it would open the door.
pub(super) async fn second_factor(
    conn: &mut SqliteConnection,
    account: i64,
) -> Result<Kept, Problem> {
    let row = match second::standing(conn, account).await? {
        Standing::Without => vec![json!(false), json!(0)],
        Standing::With { paper_codes } => vec![json!(true), json!(paper_codes)],
    };
    Ok(Kept {
        name: "second_factor",
        about: "whether a code is asked for when you sign in",
        columns: &["in_force", "codes_on_paper_left"],
        rows: vec![row],
    })
}

/// The log of what they did and of what was done to their account. From where others acted is
/// theirs to know.
pub(super) async fn log(store: &Store, account: i64) -> Result<Kept, Problem> {
    let entries = audit::all_about(store, account).await?;
    Ok(Kept {
        name: "log",
        about: "what you did here, and what was done to your account",
        columns: &["at", "by_you", "how", "deed", "record", "number", "detail", "from"],
        rows: entries
            .into_iter()
            .map(|entry| {
                let own = entry.account == Some(account);
                vec![
                    instant(entry.at),
                    json!(own),
                    json!(entry.means.as_str()),
                    json!(entry.deed),
                    json!(entry.subject_kind),
                    json!(entry.subject_id),
                    json!(if own { entry.detail } else { String::new() }),
                    json!(entry.address.filter(|_| own)),
                ]
            })
            .collect(),
    })
}
