//! What a person left behind by using the service: reservations, loans, doors and the log.

use serde_json::{Value, json};
use sqlx::SqliteConnection;

use super::export::{Kept, instant};
use crate::audit;
use crate::lending::handing::Condition;
use crate::lending::reading::{Wanted, Whole, wholes};
use crate::people::MemberId;
use crate::people::second::{self, Standing};
use crate::shelf;
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
        columns: &["reservation", "first_night", "last_night", "state", "items"],
        rows: all
            .iter()
            .map(|one| {
                let tags: Vec<String> =
                    one.lines.iter().map(|line| line.item.tag.to_string()).collect();
                vec![
                    json!(one.id.0),
                    json!(one.nights.first().to_string()),
                    json!(one.nights.last().to_string()),
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
