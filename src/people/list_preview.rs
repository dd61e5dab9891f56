//! What a table of members would do to the club's list, before it does it.

use std::collections::HashMap;

use super::member::{Email, MemberFacts, MemberNumber, MemberRecord};
use super::member_table::MemberRow;
use crate::sheet::{Lined, Preview, Would};
use crate::web::format;

/// Compares the rows with the list.
#[must_use]
pub fn preview(rows: &[Lined<MemberRow>], there: &[MemberRecord]) -> Preview {
    let known: HashMap<&MemberNumber, &MemberFacts> =
        there.iter().map(|record| (&record.facts.number, &record.facts)).collect();
    let mut preview = Preview::default();
    let mut named = 0;
    for Lined { line, value } in rows {
        let facts = &value.facts;
        let what = format!("{} {}", facts.number, facts.name);
        let would = |changes| Would { line: *line, what, changes };
        let Some(before) = known.get(&facts.number) else {
            preview.added.push(would(Vec::new()));
            continue;
        };
        named += 1;
        let changes = differences(before, facts);
        if changes.is_empty() {
            preview.unchanged += 1;
        } else {
            preview.changed.push(would(changes));
        }
    }
    preview.unnamed = there.len().saturating_sub(named);
    preview
}

fn differences(before: &MemberFacts, after: &MemberFacts) -> Vec<String> {
    let mut all = Vec::new();
    let mut compare = |what: &str, before: String, after: String| {
        if before != after {
            let or_none = |text: String| if text.is_empty() { "none".into() } else { text };
            all.push(format!("{what}: {} becomes {}", or_none(before), or_none(after)));
        }
    };
    compare("Number", before.number.to_string(), after.number.to_string());
    compare("Name", before.name.to_string(), after.name.to_string());
    let email = |facts: &MemberFacts| {
        facts.email.as_ref().map(Email::as_str).unwrap_or_default().to_owned()
    };
    compare("E-mail address", email(before), email(after));
    let joined = |facts: &MemberFacts| facts.joined.map(format::night).unwrap_or_default();
    compare("Joined", joined(before), joined(after));
    let state = |facts: &MemberFacts| facts.state.as_str().to_owned();
    compare("Membership", state(before), state(after));
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::people::{MemberId, read_members};

    const HEAD: &str = "member_number,name,email,joined,state\n";

    #[test]
    fn a_preview_tells_the_new_the_changed_and_the_rest_apart() {
        let rows = |text: &str| read_members(format!("{HEAD}{text}").as_bytes()).unwrap();
        let there: Vec<MemberRecord> =
            rows("M-1,Ines Aldous,ines@example.org,,active\nM-2,Bo,,,active\nM-3,Cy,,,left\n")
                .into_iter()
                .zip(1..)
                .map(|(row, id)| MemberRecord {
                    id: MemberId(id),
                    version: 1,
                    facts: row.value.facts,
                })
                .collect();
        let preview =
            preview(&rows("M-4,Dee,,,active\nM-1,Ines Quill,,,active\nM-2,Bo,,,active\n"), &there);
        assert_eq!(preview.added.len(), 1);
        assert_eq!(preview.added[0].what, "M-4 Dee");
        assert_eq!(
            preview.changed[0].changes,
            [
                "Name: Ines Aldous becomes Ines Quill",
                "E-mail address: ines@example.org becomes none"
            ]
        );
        assert_eq!((preview.unchanged, preview.unnamed), (1, 1));
    }
}
