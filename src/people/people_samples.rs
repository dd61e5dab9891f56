use super::*;
use crate::gallery::{Sample, signed_in};
use crate::web::frame::{Place, Scheme};

pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
    let frame =
        |title: &str| signed_in(title, scheme, "Ada Quill", &[Role::Admin]).at(Place::People);
    let row = |name: &str, marks: &[&str]| PersonRow {
        page: "/people/3".into(),
        name: name.into(),
        more: "M-102, ines@example.org".into(),
        marks: marks.iter().map(ToString::to_string).collect(),
    };
    let list = |people: Vec<PersonRow>| PeoplePage {
        frame: frame("People"),
        tally: "32 members. Ten people can sign in.".into(),
        q: Field::default(),
        show: Show::All,
        people,
        more: Some("/people?after=a3".into()),
        letters: Some("Invite 14 members by mail".into()),
        waiting: Some("Two people ask to join".into()),
        manages: true,
    };
    let account = AccountPart {
        id: 3,
        email: "ines@example.org".into(),
        disabled: false,
        has_password: true,
        in_use: "Signed in on two devices, the last time on Friday 5 June 2026.".into(),
        sessions: true,
        roles: RoleBox::all(|role| role == Role::Member),
        may_open: true,
        own: false,
    };
    let person = |account: Option<AccountPart>| PersonPage {
        frame: frame("Ines Aldous"),
        facts: vec![
            ("Member number", "M-102".into()),
            ("E-mail address", "\"><script>alert(1)</script>".into()),
        ],
        invitable: None,
        account,
        notice: Some("The roles were changed.".into()),
        manages: true,
        mail: true,
        password: Field::default(),
    };
    let invite = |email: Field| InvitePage {
        frame: frame("Invite somebody"),
        name: Field::of("\"><script>alert(1)</script>"),
        email,
        roles: RoleBox::all(|role| role == Role::Member),
        mail: true,
    };
    vec![
        Sample::of(
            "people",
            &list(vec![
                row("Ines Aldous", &["Can’t sign in yet"]),
                row("Ada Quill", &["Administrator"]),
                row("\"><script>alert(1)</script>", &["Has left", "Switched off"]),
            ]),
        ),
        Sample::of(
            "people-none",
            &PeoplePage { more: None, q: Field::of("nobody"), ..list(Vec::new()) },
        ),
        Sample::of("person", &person(Some(account.clone()))),
        Sample::of(
            "person-off",
            &person(Some(AccountPart {
                disabled: true,
                sessions: false,
                in_use: "Not signed in anywhere.".into(),
                ..account.clone()
            })),
        ),
        Sample::of("person-own", &person(Some(AccountPart { own: true, ..account }))),
        Sample::of(
            "person-member",
            &PersonPage { invitable: Some(7), notice: None, ..person(None) },
        ),
        Sample::of(
            "link",
            &LinkPage {
                frame: frame("Invitation for Ines Aldous"),
                name: "Ines Aldous".into(),
                email: "ines@example.org".into(),
                link: format!("https://lend.example.org/setup/{}", "0f3a".repeat(16)),
                until: "Friday 12 June 2026, 12:00".into(),
                purpose: "to choose a password",
                back: "/people/3".into(),
            },
        ),
        Sample::of("invite", &invite(Field::default())),
        Sample::of(
            "invite-refused",
            &invite(Field::refused("ines", "This is not an e-mail address.")),
        ),
    ]
}
