//! All that is kept of a person, as tables: for them to take along.

use jiff::Timestamp;
use serde_json::{Map, Value, json};

use super::export_traces::{calendars, lent, log, on_the_shelf, second_factor, waited};
use super::gear::OwnCase;
use super::gear_store::own_case;
use crate::optics::Tracking;
use crate::people::access::Account;
use crate::people::guardian::guardian;
use crate::people::profile::{Profile, Sharing, Side, profile};
use crate::people::{self, Email, MemberRecord, PeopleError, forget, token};
use crate::post;
use crate::sheet::with_guard;
use crate::store::Store;
use crate::web::clock::Clock;
use crate::web::problem::Problem;

/// More letters than anybody gets.
const MOST_LETTERS: u32 = 10_000;

/// A table of what is kept.
#[derive(Clone, Debug, PartialEq)]
pub struct Kept {
    /// Its name, in file names and documents.
    pub name: &'static str,
    /// What is in it, in a few words.
    pub about: &'static str,
    /// The columns.
    pub columns: &'static [&'static str],
    /// The rows, in the order of the columns.
    pub rows: Vec<Vec<Value>>,
}

impl Kept {
    /// As CSV (RFC 4180).
    ///
    /// # Errors
    /// The text could not be written.
    pub fn as_csv(&self) -> std::io::Result<Vec<u8>> {
        let mut csv =
            csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
        csv.write_record(self.columns)?;
        for row in &self.rows {
            csv.write_record(row.iter().map(|cell| match cell {
                Value::Null => String::new(),
                // So that no spreadsheet takes a name for a formula.
                Value::String(text) => with_guard(text),
                other => other.to_string(),
            }))?;
        }
        csv.into_inner().map_err(|error| std::io::Error::other(error.to_string()))
    }

    fn as_json(&self) -> Value {
        let rows = self.rows.iter().map(|row| {
            let pairs = self.columns.iter().zip(row);
            Value::Object(pairs.map(|(name, cell)| ((*name).into(), cell.clone())).collect())
        });
        Value::Array(rows.collect())
    }
}

/// All tables as one document.
#[must_use]
pub fn as_json(tables: &[Kept], clock: &Clock) -> Value {
    let mut document = Map::new();
    document.insert("taken_at".into(), json!(clock.now().to_string()));
    for table in tables {
        document.insert(table.name.into(), table.as_json());
    }
    Value::Object(document)
}

/// Gathers all that is kept of this person.
///
/// # Errors
/// The database could not answer.
pub async fn everything(
    store: &Store,
    clock: &Clock,
    account: &Account,
) -> Result<Vec<Kept>, Problem> {
    let mut conn = store.reader().acquire().await?;
    let mut tables = Vec::new();
    if let Some(member) = account.member {
        let record = people::member(&mut conn, member).await?.ok_or(PeopleError::NotThere)?;
        let (profile, _) = profile(&mut conn, member).await?;
        let guardian = guardian(&mut conn, member).await?;
        tables.push(about_me(&record));
        tables.push(eyes(&profile));
        tables.push(Kept {
            name: "guardian",
            about: "who signs for you",
            columns: &["name", "email", "consented_on"],
            rows: guardian
                .into_iter()
                .map(|one| {
                    vec![
                        json!(one.name),
                        json!(one.email.as_ref().map(Email::as_str)),
                        json!(one.consented_on.to_string()),
                    ]
                })
                .collect(),
        });
        let case = own_case(&mut conn, member).await?;
        tables.push(own_telescopes(&case));
        tables.push(own_eyepieces(&case));
        tables.push(on_the_shelf(&mut conn, member).await?);
        tables.extend(lent(&mut conn, member).await?);
        tables.extend(waited(&mut conn, member).await?);
    }
    tables.push(calendars(&mut conn, account.id).await?);
    tables.push(second_factor(&mut conn, account.id).await?);
    let facts = forget::account_facts(&mut conn, account.id).await?;
    tables.push(Kept {
        name: "account",
        about: "how you sign in; your password is kept as a fingerprint only",
        columns: &["email", "name", "made_at", "roles"],
        rows: vec![vec![
            json!(facts.email),
            json!(facts.name),
            instant(facts.created_at),
            json!(facts.roles),
        ]],
    });
    tables.push(Kept {
        name: "sessions",
        about: "where you are signed in",
        columns: &["began_at", "last_used_at", "ends_at", "place", "browser"],
        rows: forget::session_times(&mut conn, account.id)
            .await?
            .into_iter()
            .map(|one| {
                vec![
                    instant(one.created_at),
                    instant(one.last_seen_at),
                    instant(one.expires_at),
                    json!(one.place),
                    json!(one.browser),
                ]
            })
            .collect(),
    });
    let letters = post::letters_of(
        &mut conn,
        clock,
        Some(account.id),
        account.member,
        (post::Letters::AndToGuardian, MOST_LETTERS),
    );
    tables.push(Kept {
        name: "letters",
        about: "letters from the club to you, and about your loans to your guardian",
        columns: &["subject", "written_at", "to_guardian"],
        rows: letters
            .await?
            .into_iter()
            .map(|one| {
                vec![json!(one.subject), json!(one.written.to_string()), json!(one.to_guardian)]
            })
            .collect(),
    });
    drop(conn);
    tables.push(log(store, account.id).await?);
    tables.push(Kept {
        name: "tokens",
        about: "your access tokens, without the tokens themselves",
        columns: &["name", "scope", "made_at", "ends_at", "last_used_on"],
        rows: token::of_account(store, clock, account.id)
            .await?
            .into_iter()
            .map(|one| {
                vec![
                    json!(one.name),
                    json!(one.scope.as_str()),
                    instant(one.created_at),
                    one.expires_at.map_or(Value::Null, instant),
                    json!(one.last_used_on.map(|day| day.to_string())),
                ]
            })
            .collect(),
    });
    Ok(tables)
}

/// Seconds since 1970 as RFC 3339.
pub(super) fn instant(seconds: i64) -> Value {
    Timestamp::from_second(seconds).map_or(Value::Null, |at| json!(at.to_string()))
}

fn about_me(record: &MemberRecord) -> Kept {
    let facts = &record.facts;
    Kept {
        name: "member",
        about: "you on the club's list",
        columns: &["member", "member_number", "name", "email", "joined", "state"],
        rows: vec![vec![
            json!(record.id.0),
            json!(facts.number.to_string()),
            json!(facts.name.to_string()),
            json!(facts.email.as_ref().map(ToString::to_string)),
            json!(facts.joined.map(|day| day.to_string())),
            json!(facts.state.as_str()),
        ]],
    }
}

fn eyes(profile: &Profile) -> Kept {
    let own = super::api::OwnEyes::from(profile);
    Kept {
        name: "eyes",
        about: "what you said of your eyes",
        columns: &[
            "birth_year",
            "glasses",
            "looking_eye",
            "sphere_d",
            "cylinder_d",
            "other_sphere_d",
            "other_cylinder_d",
            "measured_pupil_mm",
            "relief_floor_mm",
            "shared_with_quartermasters",
        ],
        rows: vec![vec![
            json!(own.birth_year),
            json!(own.glasses),
            json!(profile.looking.map(Side::as_str)),
            json!(own.sphere_d),
            json!(own.cylinder_d),
            json!(own.other_sphere_d),
            json!(own.other_cylinder_d),
            json!(own.measured_pupil_mm),
            json!(own.relief_floor_mm),
            json!(profile.sharing == Sharing::Quartermasters),
        ]],
    }
}

fn own_telescopes(case: &OwnCase) -> Kept {
    Kept {
        name: "own_telescopes",
        about: "the telescopes in your own case",
        columns: &[
            "name",
            "layout",
            "aperture_mm",
            "focal_length_mm",
            "central_obstruction_mm",
            "focuser_barrel_mm",
            "focuser_travel_mm",
            "balance_limit_g",
            "tracking",
        ],
        rows: case
            .telescopes
            .iter()
            .map(|own| {
                let spec = own.figures.spec();
                vec![
                    json!(own.name.to_string()),
                    json!(spec.layout.as_str()),
                    json!(spec.aperture.mm()),
                    json!(spec.focal_length.mm()),
                    json!(spec.obstruction.map(crate::optics::Obstruction::mm)),
                    json!(spec.focuser.map(crate::optics::Barrel::mm)),
                    json!(spec.focuser_travel.map(crate::optics::Travel::mm)),
                    json!(spec.balance_limit.map(crate::optics::Mass::g)),
                    json!(spec.tracking.map(|tracking| tracking == Tracking::Tracks)),
                ]
            })
            .collect(),
    }
}

fn own_eyepieces(case: &OwnCase) -> Kept {
    Kept {
        name: "own_eyepieces",
        about: "the eyepieces in your own case",
        columns: &[
            "name",
            "focal_length_mm",
            "apparent_field_deg",
            "field_stop_mm",
            "eye_relief_mm",
            "usable_eye_relief_mm",
            "barrel_mm",
            "optical_class",
            "mass_g",
        ],
        rows: case
            .eyepieces
            .iter()
            .map(|own| {
                let spec = own.figures.spec();
                vec![
                    json!(own.name.to_string()),
                    json!(spec.focal_length.mm()),
                    json!(spec.apparent_field.map(crate::optics::ApparentField::deg)),
                    json!(spec.field_stop.map(crate::optics::FieldStop::mm)),
                    json!(spec.eye_relief.map(crate::optics::EyeRelief::mm)),
                    json!(spec.usable_relief.map(crate::optics::EyeRelief::mm)),
                    json!(spec.barrel.map(crate::optics::Barrel::mm)),
                    json!(spec.class.map(crate::optics::OpticalClass::as_str)),
                    json!(spec.mass.map(crate::optics::Mass::g)),
                ]
            })
            .collect(),
    }
}
