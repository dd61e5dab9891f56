//! The members' list as a table that people edit by hand.

use std::collections::HashMap;
use std::io::Write;

use super::member::{
    BirthYear, Email, EyeRecord, MemberFacts, MemberNumber, MemberRecord, MemberState,
    WrittenCylinder,
};
use super::member_store::{
    PeopleError, add_member, member_eye, members, put_member_eye, replace_member,
};
use crate::eye::Glasses;
use crate::optics::{EyeRelief, PupilDiameter, Sphere};
use crate::sheet::{
    Cell, Cells, Columns, Faults, Lined, Name, NotTaken, Refused, Sheet, SheetWriter, Taken,
};
use crate::store::WriteTx;

/// The columns of the members' table. Those about age and eyes may be left out all together; then
/// what is known of them stays as it is.
pub const MEMBER_COLUMNS: Columns = Columns {
    needed: &["member_number", "name", "email", "joined", "state"],
    together: &[
        "birth_year",
        "glasses",
        "sphere_d",
        "cylinder_d",
        "measured_pupil_mm",
        "relief_floor_mm",
    ],
};

/// One row of the members' table.
#[derive(Debug, Clone, PartialEq)]
pub struct MemberRow {
    /// What the list says.
    pub facts: MemberFacts,
    /// Age and eyes, where the table speaks of them.
    pub eye: Option<EyeRecord>,
}

/// Reads the members' table.
///
/// # Errors
/// [`Refused`] with every bad cell of the file.
pub fn read_members(bytes: &[u8]) -> Result<Vec<Lined<MemberRow>>, Refused> {
    let sheet = Sheet::take_apart(bytes, MEMBER_COLUMNS)?;
    let with_eyes = sheet.has("birth_year");
    sheet.rows(|cells| {
        let facts = read_facts(cells);
        let eye = with_eyes.then(|| read_eye(cells));
        Some(MemberRow { facts: facts?, eye })
    })
}

fn read_facts(cells: &mut Cells<'_>) -> Option<MemberFacts> {
    let number = cells.needed("member_number", MemberNumber::new);
    let name = cells.needed("name", Name::new);
    let email = cells.optional("email", Email::new);
    let joined = cells.date("joined");
    let states = MemberState::ALL.map(MemberState::as_str);
    let state = cells.word("state", &states, MemberState::parse).unwrap_or(MemberState::Active);
    Some(MemberFacts { number: number?, name: name?, email, joined, state })
}

fn read_eye(cells: &mut Cells<'_>) -> EyeRecord {
    EyeRecord {
        birth_year: cells.whole("birth_year", BirthYear::new),
        glasses: cells.word("glasses", &Glasses::ALL.map(Glasses::as_str), Glasses::parse),
        sphere: cells.number("sphere_d", Sphere::new),
        cylinder: cells.number("cylinder_d", WrittenCylinder::new),
        measured_pupil: cells.number("measured_pupil_mm", PupilDiameter::new),
        relief_floor: cells.number("relief_floor_mm", EyeRelief::new),
    }
}

/// Writes the members' table, with the columns about age and eyes when a record is given for each
/// member and without them otherwise.
///
/// # Errors
/// The output refused.
pub fn write_members(
    output: impl Write,
    members: &[MemberRecord],
    eyes: Option<&[EyeRecord]>,
) -> std::io::Result<()> {
    let Columns { needed, together } = MEMBER_COLUMNS;
    let (before, after) = needed.split_at(3);
    let private = if eyes.is_some() { together } else { &[] };
    let mut sheet = SheetWriter::new(output, before.iter().chain(private).chain(after).copied())?;
    for (place, MemberRecord { facts, .. }) in members.iter().enumerate() {
        let mut row = vec![
            Cell::Text(facts.number.as_str()),
            Cell::Text(facts.name.as_str()),
            facts.email.as_ref().map(Email::as_str).into(),
        ];
        if let Some(eye) = eyes.and_then(|eyes| eyes.get(place)) {
            row.extend([
                Cell::from(eye.birth_year.map(|year| i64::from(year.year()))),
                eye.glasses.map(Glasses::as_str).into(),
                eye.sphere.map(Sphere::dioptres).into(),
                eye.cylinder.map(WrittenCylinder::dioptres).into(),
                eye.measured_pupil.map(PupilDiameter::mm).into(),
                eye.relief_floor.map(EyeRelief::mm).into(),
            ]);
        }
        row.extend([Cell::date(facts.joined), Cell::Text(facts.state.as_str())]);
        sheet.row(row)?;
    }
    sheet.finish()
}

/// Takes rows of the members' table in: a member whose number is there already is changed, others
/// are added. Where something is wrong nothing is written.
///
/// # Errors
/// [`NotTaken::Refused`] when rows disagree with each other or with the list, and
/// [`NotTaken::Failed`] when the database refused; then drop the transaction.
pub async fn take_members_in(
    tx: &mut WriteTx,
    rows: &[Lined<MemberRow>],
) -> Result<Taken, NotTaken<PeopleError>> {
    let there = members(tx).await.map_err(NotTaken::Failed)?;
    agree(rows, &there)?;
    let there: HashMap<&MemberNumber, &MemberRecord> =
        there.iter().map(|record| (&record.facts.number, record)).collect();
    let mut taken = Taken::default();
    for Lined { line, value: row } in rows {
        let outcome = take_one(tx, row, there.get(&row.facts.number).copied()).await;
        let counter = match outcome {
            Ok(Outcome::Added) => &mut taken.added,
            Ok(Outcome::Changed) => &mut taken.changed,
            Ok(Outcome::Unchanged) => &mut taken.unchanged,
            // Two members may be trading addresses; one import can't do that in either order.
            Err(error @ PeopleError::EmailTaken) => {
                let mut faults = Faults::default();
                faults.add(Some(*line), Some("email"), error.to_string());
                faults.into_result()?;
                continue;
            }
            Err(error) => return Err(NotTaken::Failed(error)),
        };
        *counter += 1;
    }
    Ok(taken)
}

enum Outcome {
    Added,
    Changed,
    Unchanged,
}

async fn take_one(
    tx: &mut WriteTx,
    row: &MemberRow,
    there: Option<&MemberRecord>,
) -> Result<Outcome, PeopleError> {
    let Some(record) = there else {
        let id = add_member(tx, &row.facts).await?;
        if let Some(eye) = &row.eye {
            put_member_eye(tx, id, eye).await?;
        }
        return Ok(Outcome::Added);
    };
    let same_facts =
        record.facts == row.facts && record.facts.number.as_str() == row.facts.number.as_str();
    let same_eye = match &row.eye {
        Some(eye) => member_eye(tx, record.id).await? == *eye,
        None => true,
    };
    if same_facts && same_eye {
        return Ok(Outcome::Unchanged);
    }
    replace_member(tx, record.id, record.version, &row.facts).await?;
    if let Some(eye) = row.eye.as_ref().filter(|_| !same_eye) {
        put_member_eye(tx, record.id, eye).await?;
    }
    Ok(Outcome::Changed)
}

/// Whether the rows agree with each other and with the list.
fn agree(rows: &[Lined<MemberRow>], there: &[MemberRecord]) -> Result<(), Refused> {
    let folded = |email: &Email| email.as_str().to_ascii_lowercase();
    let mut faults = Faults::default();
    let mut numbers: HashMap<&MemberNumber, u64> = HashMap::new();
    let mut emails: HashMap<String, u64> = HashMap::new();
    for Lined { line, value: MemberRow { facts, .. } } in rows {
        if let Some(first) = numbers.insert(&facts.number, *line) {
            let says = format!(
                "{} is on line {first} already: give each member a number of their own.",
                facts.number
            );
            faults.add(Some(*line), Some("member_number"), says);
        }
        if let Some(email) = &facts.email
            && let Some(first) = emails.insert(folded(email), *line)
        {
            let says =
                format!("This address is on line {first} already: give each member their own.");
            faults.add(Some(*line), Some("email"), says);
        }
    }
    // An address in the table may belong to somebody on the list of whom the table is silent.
    for record in there.iter().filter(|record| !numbers.contains_key(&record.facts.number)) {
        let email = record.facts.email.as_ref();
        if let Some(line) = email.and_then(|email| emails.get(&folded(email))) {
            faults.add(Some(*line), Some("email"), PeopleError::EmailTaken.to_string());
        }
    }
    faults.into_result()
}
