//! The forms and the tables ask for the same.

use super::*;
use crate::optics::{Barlow, Eyepiece};
use crate::shelf::fields::{Holds, holds};
use crate::shelf::{AccessoryFigures, FilterFigures, Tabular, TelescopeFigures};

fn check<T: Tabular>() {
    let mut columns: Vec<&str> = asked(T::KIND).iter().map(|one| one.column).collect();
    columns.push("state");
    columns.sort_unstable();
    let mut expected = T::COLUMNS.to_vec();
    expected.sort_unstable();
    assert_eq!(columns, expected);
    for one in asked(T::KIND) {
        let fits = match holds(one.column) {
            Holds::Text => matches!(one.by, By::Words | By::Lines),
            Holds::Word | Holds::Flag => matches!(one.by, By::Pick(..)),
            Holds::Number | Holds::Whole => matches!(one.by, By::Number | By::Pick(..)),
            Holds::Date => one.by == By::Date,
        };
        assert!(fits, "{}", one.column);
    }
}

#[test]
fn the_forms_ask_for_every_column_in_its_own_way() {
    check::<TelescopeFigures>();
    check::<Eyepiece>();
    check::<Barlow>();
    check::<FilterFigures>();
    check::<AccessoryFigures>();
}

#[test]
fn values_are_shown_with_their_unit_or_in_words() {
    assert_eq!(shown(Kind::Eyepiece, "focal_length_mm", "25"), "25\u{a0}mm");
    assert_eq!(shown(Kind::Filter, "kind", "moon"), "Dims the Moon");
    assert_eq!(shown(Kind::Barlow, "state", "in_repair"), "is in repair");
    assert_eq!(shown(Kind::Barlow, "name", "<b>"), "<b>");
    assert_eq!(label(Kind::Barlow, "factor"), "Factor");
}
