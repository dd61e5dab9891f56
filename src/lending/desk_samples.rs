//! Pages of the desk with sample values.

use super::cautions;
use super::desk_pages::{DeskOnePage, DeskPage};
use super::desk_sheet::SheetPage;
use super::model::ReservationState;
use super::shown::ReservationShown;
use super::swap_pages::{RiskShown, SwapShown};
use crate::gallery::{Sample, frame};
use crate::lending::shown::sample;
use crate::web::frame::Place;
use crate::web::frame::Scheme;

const STROKES: &str = "M60 140L90 60L120 150L160 70L210 120L260 90L330 130L420 100";
const LATE: &str = "T-007 Orchard 8-inch should have been back on Monday and is still out.";

pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
    use ReservationState::{Closed, Confirmed, Out, Requested};
    let desk = |full: bool| {
        let list = |one: ReservationShown| if full { vec![one] } else { Vec::new() };
        DeskPage {
            frame: frame("The desk", scheme).at(Place::Desk),
            today: "Friday 5 June 2026".into(),
            at_risk: if full {
                vec![(sample(Confirmed, "Confirmed", false), vec![LATE.into()])]
            } else {
                Vec::new()
            },
            overdue: list(sample(Out, "Overdue: was due back on Monday 1 June", true)),
            going_out: list(sample(Confirmed, "Confirmed", false)),
            coming_back: list(sample(Out, "Out, due back on Saturday 6 June", false)),
            waiting: list(sample(Requested, "Waiting for approval", false)),
            away: list(sample(Out, "Out, due back on Monday 8 June", false)),
        }
    };
    let one = |state, refusal: Option<&str>| DeskOnePage {
        frame: frame("Orchard 8-inch", scheme).at(Place::Desk),
        one: sample(state, "As it stands", false),
        refusal: refusal.map(Into::into),
        risks: if state == Confirmed { RiskShown::samples() } else { Vec::new() },
        swap: (state == Confirmed && refusal.is_none()).then(|| SwapShown {
            item: 7,
            tag: "T-007".into(),
            name: "Orchard 8-inch".into(),
            instead: RiskShown::samples().remove(0).instead,
        }),
        why: if state == Requested {
            vec!["The club wants to be asked for one of the pieces."]
        } else {
            Vec::new()
        },
        cautions: cautions::ALL.iter().collect(),
        guardian: refusal.map(|_| String::new()),
        to_self: refusal.is_some(),
        signed: (state == Closed).then(|| "Signed by Ines Aldous.".into()),
        signed_before: (state == Confirmed && refusal.is_none()).then(|| {
            "Ines Aldous read the cautions and signed on Friday 5 June 2026, 14:00.".into()
        }),
        drawn: Some((STROKES.into(), "Ines Aldous".into())),
        notice: None,
        typed_name: String::new(),
    };
    let unsigned = "The borrower has not signed: write down the name they signed with.";
    vec![
        Sample::of("desk", &desk(true)),
        Sample::of("desk-empty", &desk(false)),
        Sample::of("desk-hand-over", &one(Confirmed, None)),
        Sample::of("desk-hand-over-refused", &one(Confirmed, Some(unsigned))),
        Sample::of("desk-return", &one(Out, None)),
        Sample::of("desk-approve", &one(Requested, None)),
        Sample::of("desk-closed", &one(Closed, None)),
        Sample::of(
            "desk-sheet",
            &SheetPage {
                frame: frame("Loan sheet 41", scheme).at(Place::Desk),
                one: sample(Out, "Out, due back on Monday 8 June", false),
                cautions: cautions::ALL.iter().take(4).collect(),
                signed: Some("Signed by Ines Aldous, who was shown version 1.".into()),
                drawn: Some((STROKES.into(), "Ines Aldous".into())),
                lifting: vec![
                    "T-007 Orchard 8-inch: Bring one helper. The heaviest part weighs 19 kg."
                        .into(),
                ],
            },
        ),
    ]
}
