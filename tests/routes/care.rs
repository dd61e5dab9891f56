//! What a quartermaster sees of a member's eyes, and who signs for the young.

use borrowed_light::people::MemberId;
use borrowed_light::people::guardian::{Standing, standing};
use borrowed_light::people::rights::Role;

use crate::browser::Browser;
use crate::client::{Answer, House, PASSWORD};

const EYES: [(&str, &str); 5] = [
    ("glasses", "keeps_on"),
    ("looking", "right"),
    ("right_sphere", "-7.31"),
    ("right_cylinder", "-3.17"),
    ("version", "0"),
];

async fn signed_in<'a>(house: &'a House, name: &str, role: Role) -> (Browser<'a>, MemberId) {
    let email = format!("{}@example.org", name.to_lowercase());
    let (member, _) = house.member(name, &email, &[role]).await;
    let mut browser = Browser::new(house);
    browser.sign_in(&email, PASSWORD).await;
    (browser, member)
}

async fn say(browser: &mut Browser<'_>, year: &str, more: &[(&str, &str)]) {
    let fields = [&EYES[..], &[("birth_year", year)], more].concat();
    let saved = browser.post("/account/observer", &fields).await;
    assert_eq!(saved.header("location"), "/account/observer?saved=yes", "{}", saved.text());
}

fn tells_figures(answer: &Answer) -> bool {
    // Whole words: a request's random number may well hold four of these digits.
    let mut words = answer.text().split(|letter: char| !letter.is_alphanumeric() && letter != '.');
    words.any(|word| ["7.31", "3.17", "1961", "2012"].contains(&word.trim_end_matches('.')))
}

async fn stands(house: &House, member: MemberId) -> Standing {
    let mut conn = house.state.store.reader().acquire().await.unwrap();
    standing(&mut conn, member, house.state.clock.today()).await.unwrap()
}

#[tokio::test]
async fn a_quartermaster_sees_needs_in_words_and_figures_only_when_shared_and_with_a_password() {
    let house = House::new().await;
    let (mut ines, member) = signed_in(&house, "Ines", Role::Member).await;
    let (mut keeper, _) = signed_in(&house, "Keeper", Role::Quartermaster).await;
    say(&mut ines, "1961", &[]).await;
    let address = format!("/people/{member}/observer");

    let closed = keeper.get(&address).await;
    assert_eq!((closed.status.as_u16(), closed.header("cache-control")), (200, "no-store"));
    assert!(closed.text().contains("20 mm of eye relief or more"));
    assert!(closed.text().contains("They are for Ines alone"));
    assert!(!tells_figures(&closed));
    let refused = keeper.post(&address, &[("password", PASSWORD)]).await;
    assert_eq!(refused.status, 404, "nothing is shared");
    assert!(!tells_figures(&refused));

    let shared = [("birth_year", "1961"), ("shared", "yes"), ("version", "1")];
    ines.post("/account/observer", &[&EYES[..4], &shared].concat()).await;
    assert!(!tells_figures(&keeper.get(&address).await), "not before the password");
    let wrong = keeper.post(&address, &[("password", "the last evening star")]).await;
    assert_eq!(wrong.status, 422);
    assert!(!tells_figures(&wrong));
    let open = keeper.post(&address, &[("password", PASSWORD)]).await;
    assert!(open.text().contains("-7.31") && open.text().contains("1961"));
    assert_eq!(open.header("cache-control"), "no-store");
}

#[tokio::test]
async fn nobody_but_quartermasters_sees_anybodys_needs() {
    let house = House::new().await;
    let (mut ines, member) = signed_in(&house, "Ines", Role::Member).await;
    say(&mut ines, "1961", &[("shared", "yes")]).await;
    for (name, role) in [("Other", Role::Member), ("Lead", Role::Outreach), ("Chief", Role::Admin)]
    {
        let (mut browser, _) = signed_in(&house, name, role).await;
        let address = format!("/people/{member}/observer");
        assert_eq!(browser.get(&address).await.status, 403, "{name}");
        let opened = browser.post(&address, &[("password", PASSWORD)]).await;
        assert_eq!(opened.status, 403, "{name}");
        assert!(!tells_figures(&opened));
        let typed = [("guardian", "Somebody"), ("consented_on", "2026-06-01")];
        let put = browser.post(&format!("{address}/guardian"), &typed).await;
        assert_eq!(put.status, 403, "{name}");
    }
}

#[tokio::test]
async fn of_a_young_member_nobody_opens_the_figures_even_if_they_are_shared() {
    let house = House::new().await;
    let (mut kit, member) = signed_in(&house, "Kit", Role::Member).await;
    let (mut keeper, _) = signed_in(&house, "Keeper", Role::Quartermaster).await;
    say(&mut kit, "2012", &[("shared", "yes")]).await;
    assert!(kit.get("/account/observer").await.text().contains("As long as you are under 18"));
    let address = format!("/people/{member}/observer");
    let page = keeper.get(&address).await;
    assert!(page.text().contains("They are for Kit alone"));
    assert!(!tells_figures(&page));
    let opened = keeper.post(&address, &[("password", PASSWORD)]).await;
    assert_eq!(opened.status, 404);
    assert!(!tells_figures(&opened));
}

#[tokio::test]
async fn a_guardian_is_written_down_with_day_and_writer_and_the_member_sees_it() {
    let house = House::new().await;
    let (mut kit, member) = signed_in(&house, "Kit", Role::Member).await;
    let (mut keeper, _) = signed_in(&house, "Keeper", Role::Quartermaster).await;
    say(&mut kit, "2012", &[]).await;
    let address = format!("/people/{member}/observer/guardian");
    for (name, day) in [("", "2026-06-01"), ("Maria", "soon"), ("Maria", "2026-06-06")] {
        let typed = [("guardian", name), ("consented_on", day)];
        let refused = keeper.post(&address, &typed).await;
        assert_eq!(refused.status, 422, "{name} {day}");
    }
    let typed = [("guardian", "Maria <Aldous>"), ("consented_on", "2026-06-01")];
    assert_eq!(keeper.post(&address, &typed).await.status, 303);
    let page = keeper.get(&format!("/people/{member}/observer?saved=yes")).await;
    assert!(page.text().contains("Maria &#60;Aldous&#62; signs for Kit"));
    assert!(page.text().contains("Monday 1 June 2026"));
    assert!(kit.get("/account/observer").await.text().contains("Maria &#60;Aldous&#62; has"));
    let Standing::Minor { guardian: Some(guardian), in_between: false } =
        stands(&house, member).await
    else {
        panic!("a guardian is there")
    };
    assert_eq!(guardian.recorded_by, 2, "the keeper's account");
    let of_age = keeper.post(&format!("/people/{member}/observer/of-age"), &[]).await;
    assert_eq!(of_age.status, 409, "no paper makes a fourteen-year-old 18");
}

#[tokio::test]
async fn in_the_year_of_the_eighteenth_birthday_a_paper_settles_it() {
    let house = House::new().await;
    let (mut kit, member) = signed_in(&house, "Kit", Role::Member).await;
    let (mut keeper, _) = signed_in(&house, "Keeper", Role::Quartermaster).await;
    assert_eq!(stands(&house, member).await, Standing::AgeNotKnown);
    say(&mut kit, "2008", &[]).await;
    assert!(stands(&house, member).await.is_minor());
    let address = format!("/people/{member}/observer");
    assert!(keeper.get(&address).await.text().contains("I have seen that Kit is 18"));
    assert_eq!(keeper.post(&format!("{address}/of-age"), &[]).await.status, 303);
    assert_eq!(stands(&house, member).await, Standing::Adult);
    assert!(keeper.get(&address).await.text().contains("signs for themself"));
    let typed = [("guardian", "Maria"), ("consented_on", "2026-06-01")];
    let late = keeper.post(&format!("{address}/guardian"), &typed).await;
    assert_eq!(late.status, 409, "nobody has to sign");
    assert_eq!(keeper.get("/people/77/observer").await.status, 404);
}
