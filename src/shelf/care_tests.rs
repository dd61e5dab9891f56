//! When something comes round again.

use jiff::civil::date;

use super::*;

#[test]
fn what_comes_round_is_due_by_the_calendar_or_by_its_loans() {
    let both = Round::new(Some(6), Some(10)).unwrap();
    let done = date(2026, 1, 31);
    assert_eq!(both.next(done), Some(date(2026, 7, 31)));
    assert!(!both.is_due(done, date(2026, 7, 30), 9));
    assert!(both.is_due(done, date(2026, 7, 31), 0));
    assert!(both.is_due(done, date(2026, 2, 1), 10));
    // The last day of a shorter month stands for a day that it lacks.
    assert_eq!(Round::new(Some(1), None).unwrap().next(done), Some(date(2026, 2, 28)));
    assert!(!Round::new(None, Some(3)).unwrap().is_due(done, date(2199, 1, 1), 2));
}

#[test]
fn a_round_that_never_comes_is_none() {
    assert_eq!(Round::new(None, None), Err(NotARound::Never));
    assert_eq!(Round::new(Some(0), None), Err(NotARound::Months));
    assert_eq!(Round::new(Some(121), None), Err(NotARound::Months));
    assert_eq!(Round::new(Some(i64::MAX), None), Err(NotARound::Months));
    assert_eq!(Round::new(None, Some(1001)), Err(NotARound::Loans));
}
