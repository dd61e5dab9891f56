//! The form of a station, read: its pieces from lists or by tag and name, and what it shows.

use sqlx::SqliteConnection;

use super::aim::Aim;
use super::model::{Finder, Station};
use super::night_pages::{Sent, text};
use crate::shelf::{FilterKind, ItemId, ItemName, ItemState, Kind, filter, one_called};
use crate::web::problem::Problem;

/// What a station is put together from, by its name in the form.
pub(super) const PARTS: [(&str, Kind); 4] = [
    ("telescope", Kind::Telescope),
    ("eyepiece", Kind::Eyepiece),
    ("spare", Kind::Eyepiece),
    ("filter", Kind::Filter),
];

/// The field that takes a tag or name in place of a choice.
pub(super) fn called(name: &str) -> String {
    format!("{name}_called")
}

/// The piece that was chosen from a list.
pub(super) fn sent_item(sent: &Sent, name: &str) -> Option<ItemId> {
    text(sent, name).parse().ok().map(ItemId)
}

/// What keeps a piece from standing at a station, though it is of the kind: only what a list offers
/// may be named as well.
async fn unfit(conn: &mut SqliteConnection, item: &ItemName) -> Result<Option<String>, Problem> {
    let why = if item.state != ItemState::InService {
        item.state.words()
    } else if item.kind == Kind::Filter
        && filter(conn, item.id)
            .await?
            .is_none_or(|one| one.figures.kind != FilterKind::SolarFullAperture)
    {
        "is no solar filter for the whole front"
    } else {
        return Ok(None);
    };
    Ok(Some(format!("{} {why}: name another.", item.tag)))
}

/// Makes choices of the tags and names that were typed; gives those that name no piece, or none that
/// may stand there, by field, with why.
pub(super) async fn choose_named(
    conn: &mut SqliteConnection,
    sent: &mut Sent,
) -> Result<Vec<(String, String)>, Problem> {
    let mut slips = Vec::new();
    for (name, kind) in PARTS {
        let words = text(sent, &called(name)).to_owned();
        if words.is_empty() {
            continue;
        }
        // Nothing that was sent besides stands in for what was typed.
        sent.remove(name);
        let why = match one_called(conn, kind, &words).await? {
            Ok(item) => {
                let why = unfit(conn, &item).await?;
                if why.is_none() {
                    sent.insert(name.to_owned(), item.id.to_string());
                }
                why
            }
            Err(why) => Some(why.to_string()),
        };
        slips.extend(why.map(|why| (name.to_owned(), why)));
    }
    Ok(slips)
}

/// The station that was typed, or the fields that can't be read, those `unnamed` among them.
pub(super) fn read(
    sent: &Sent,
    number: i64,
    slots: usize,
    unnamed: Vec<(String, String)>,
) -> Result<Station, Vec<(String, String)>> {
    let item = |name: &str| sent_item(sent, name);
    let mut slips = unnamed;
    let mut aims = Vec::new();
    for at in 0..slots {
        let name = format!("slot-{at}");
        let typed = text(sent, &name);
        aims.push(if typed.is_empty() {
            None
        } else {
            match typed.parse::<Aim>() {
                Ok(aim) => Some(aim),
                Err(why) => {
                    slips.push((name, why.to_string()));
                    None
                }
            }
        });
    }
    let Some(telescope) = item("telescope") else {
        if slips.iter().all(|(name, _)| name != "telescope") {
            let is_typed = sent.contains_key(&called("telescope"));
            let says = if is_typed {
                "Name the station's telescope."
            } else {
                "Choose the station's telescope."
            };
            slips.insert(0, ("telescope".to_owned(), says.to_owned()));
        }
        return Err(slips);
    };
    if !slips.is_empty() {
        return Err(slips);
    }
    Ok(Station {
        eyepiece: item("eyepiece"),
        spare: item("spare"),
        filter: item("filter"),
        helper: text(sent, "helper").parse().ok(),
        finder: Finder::parse(text(sent, "finder")).unwrap_or(Finder::Open),
        aims,
        ..Station::with(number, telescope)
    })
}
