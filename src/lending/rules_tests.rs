use super::*;

fn night(text: &str) -> Night {
    text.parse().unwrap()
}

fn nights(first: &str, last: &str) -> Nights {
    Nights::parse(first, last).unwrap()
}

#[test]
fn each_rule_about_nights_names_what_would_keep_it() {
    let mut rules = Rules { longest_nights: 7, ahead_nights: 60, ..Rules::default() };
    rules.closed.insert(night("2026-06-10"), "annual meeting".into());
    let tonight = night("2026-06-05");
    let told = |first, last| -> Vec<String> {
        let broken = rules.broken_by_nights(nights(first, last), tonight);
        broken.iter().map(ToString::to_string).collect()
    };
    assert_eq!(told("2026-06-05", "2026-06-09"), Vec::<String>::new());
    assert_eq!(
        told("2026-06-04", "2026-06-05"),
        ["The first night is over: begin on 2026-06-05 or later."]
    );
    assert_eq!(
        told("2026-06-11", "2026-06-18"),
        ["The club lends for at most 7 nights: bring it back after the night of 2026-06-17."]
    );
    assert_eq!(
        told("2026-08-04", "2026-08-05"),
        ["One may ask at most 60 nights ahead: choose nights until 2026-08-04."]
    );
    assert_eq!(
        told("2026-06-09", "2026-06-10"),
        ["The club lends nothing on 2026-06-10 (annual meeting): choose other nights."]
    );
}

#[test]
fn openings_step_over_taken_and_closed_nights_and_stay_within_reach() {
    let mut rules = Rules { ahead_nights: 20, ..Rules::default() };
    rules.closed.insert(night("2026-06-12"), String::new());
    let taken = [night("2026-06-06"), night("2026-06-07")].into();
    let found = rules.openings(nights("2026-06-05", "2026-06-07"), night("2026-06-05"), &taken, 5);
    let told: Vec<String> = found.iter().map(ToString::to_string).collect();
    assert_eq!(
        told,
        [
            "2026-06-08 to 2026-06-10",
            "2026-06-13 to 2026-06-15",
            "2026-06-16 to 2026-06-18",
            "2026-06-19 to 2026-06-21",
            "2026-06-22 to 2026-06-24",
        ]
    );
}

#[test]
fn past_the_horizon_the_nearest_openings_lie_before_it() {
    let rules = Rules { ahead_nights: 30, ..Rules::default() };
    let tonight = night("2026-06-05");
    let found = rules.openings(nights("2026-09-04", "2026-09-06"), tonight, &BTreeSet::new(), 3);
    let told: Vec<String> = found.iter().map(ToString::to_string).collect();
    let expected =
        ["2026-06-12 to 2026-06-14", "2026-06-15 to 2026-06-17", "2026-06-18 to 2026-06-20"];
    assert_eq!(told, expected);
    assert!(found.iter().all(|one| rules.broken_by_nights(*one, tonight).is_empty()));
}
