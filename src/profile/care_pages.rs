//! A quartermaster's view of a member: what choosing needs, the figures if they are shared, and who
//! signs for the young.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use jiff::civil::Date;
use serde::Deserialize;

use super::care_page::{CarePage, Figures, OfAge};
use super::needs::Needs;
use super::observer_form::ObserverForm;
use crate::audit::{Subject, note};
use crate::people::access::SignedIn;
use crate::people::guardian::{self, Guardian, Standing};
use crate::people::profile::{self, Profile, Sharing};
use crate::people::{self, Email, MemberId, MemberRecord, MemberState, Porter, Proof};
use crate::sheet::Name;
use crate::store::Store;
use crate::web::body::{Form, Path, Query};
use crate::web::clock::Clock;
use crate::web::field::Field;
use crate::web::format;
use crate::web::problem::Problem;

fn no_such_member() -> Problem {
    Problem::not_found("There is no such member.").next("Choose one from the list.")
}

/// Everything the page is made of.
struct Seen {
    record: MemberRecord,
    profile: Profile,
    standing: Standing,
}

impl Seen {
    async fn of(store: &Store, clock: &Clock, id: i64) -> Result<Self, Problem> {
        let mut conn = store.reader().acquire().await?;
        let record = people::member(&mut conn, MemberId(id))
            .await?
            .filter(|record| record.facts.state == MemberState::Active)
            .ok_or_else(no_such_member)?;
        let (profile, _) = profile::profile(&mut conn, record.id).await?;
        let standing = guardian::standing(&mut conn, record.id, clock.today()).await?;
        Ok(Self { record, profile, standing })
    }

    /// Shared, and of age to share: what nobody knows counts as young here.
    fn may_be_opened(&self) -> bool {
        self.profile.sharing == Sharing::Quartermasters && self.standing == Standing::Adult
    }

    fn page(&self, clock: &Clock, who: &SignedIn) -> CarePage {
        let name = self.record.facts.name.to_string();
        let today = clock.today();
        let address = format!("/people/{}/observer", self.record.id);
        CarePage {
            frame: who.visit.frame(format!("{name} at the eyepiece")).returning_to(&*address),
            address,
            needs: Needs::of(&self.profile.eyes.observer(today.year())),
            figures: if self.may_be_opened() { Figures::Shared } else { Figures::Closed },
            of_age: match &self.standing {
                Standing::Adult => OfAge::Yes,
                Standing::AgeNotKnown => OfAge::NotKnown,
                Standing::Minor { guardian, in_between } => OfAge::No {
                    guardian: guardian.as_ref().map(|one| {
                        let day = format::night(one.consented_on);
                        let told = if one.email.is_some() {
                            "Due and overdue loans are told to them by e-mail too."
                        } else {
                            "They are not reminded by e-mail: no address is written down."
                        };
                        format!(
                            "{} signs for {name}, with consent given on {day}. {told}",
                            one.name
                        )
                    }),
                    in_between: *in_between,
                },
            },
            name,
            guardian: Field::default(),
            email: Field::default(),
            consented_on: Field::of(today.to_string()),
            password_error: None,
            notice: None,
        }
    }
}

/// What stands after the question mark.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct Told {
    saved: Option<String>,
}

/// `GET /people/{id}/observer`
///
/// # Errors
/// 404 for a member who is not there.
pub async fn page(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
    Query(told): Query<Told>,
) -> Result<CarePage, Problem> {
    let notice = told.saved.is_some().then(|| "Written down.".into());
    Ok(CarePage { notice, ..Seen::of(&store, &clock, id).await?.page(&clock, &who) })
}

/// The form that opens the figures.
#[derive(Default, Deserialize)]
#[serde(default)]
pub struct OpenForm {
    password: String,
}

/// `POST /people/{id}/observer`: opens figures that their member shares.
///
/// # Errors
/// 404 for a member who is not there or shares nothing, 429 after too many wrong passwords.
pub async fn open(
    State(store): State<Store>,
    State(clock): State<Clock>,
    porter: Porter,
    who: SignedIn,
    Path(id): Path<i64>,
    Form(form): Form<OpenForm>,
) -> Result<Response, Problem> {
    let seen = Seen::of(&store, &clock, id).await?;
    if !seen.may_be_opened() {
        return Err(Problem::not_found("There are no figures here that are shared with you.")
            .way("Back", format!("/people/{id}/observer")));
    }
    let mut page = seen.page(&clock, &who);
    if let Proof::Wrong(why) = porter.prove(&who, &form.password).await? {
        page.password_error = Some(why);
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
    }
    let mut tx = store.write().await?;
    note(&mut tx, who.actor(), "shared eye figures opened", Subject::of("member", id), "").await?;
    tx.commit().await?;
    page.figures = Figures::Open(ObserverForm::of(&seen.profile, 0).figures());
    Ok(page.into_response())
}

/// The form of a guardian's consent.
#[derive(Default, Deserialize)]
#[serde(default)]
pub struct GuardianForm {
    guardian: String,
    email: String,
    consented_on: String,
}

/// `POST /people/{id}/observer/guardian`: writes down who stands up for a young member.
///
/// # Errors
/// 404 for a member who is not there, 409 for one who is of age.
pub async fn put_guardian(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
    Form(form): Form<GuardianForm>,
) -> Result<Response, Problem> {
    let seen = Seen::of(&store, &clock, id).await?;
    if !seen.standing.is_minor() {
        return Err(Problem::conflict("Nobody has to sign for this member.")
            .way("Back", format!("/people/{id}/observer")));
    }
    let mut page = seen.page(&clock, &who);
    page.guardian = Field::of(&form.guardian);
    page.email = Field::of(&form.email);
    page.consented_on = Field::of(&form.consented_on);
    let name =
        Name::new(&form.guardian).map_err(|refused| page.guardian.refuse(refused.to_string())).ok();
    let email = match form.email.trim() {
        "" => Some(None),
        text => {
            Email::new(text).map(Some).map_err(|wrong| page.email.refuse(wrong.to_string())).ok()
        }
    };
    let day = match form.consented_on.trim().parse::<Date>() {
        Ok(day) if day <= clock.today() => Some(day),
        Ok(_) => {
            page.consented_on.refuse("This day is still to come.");
            None
        }
        Err(_) => {
            page.consented_on.refuse("Write the day, like 2026-06-05.");
            None
        }
    };
    let (Some(name), Some(email), Some(consented_on)) = (name, email, day) else {
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
    };
    let (name, recorded_by) = (name.to_string(), who.account.id);
    let guardian = Guardian { name, email, consented_on, recorded_by };
    let mut tx = store.write().await?;
    guardian::put_guardian(&mut tx, seen.record.id, &guardian, clock.seconds()).await?;
    note(&mut tx, who.actor(), "guardian's consent recorded", Subject::of("member", id), "")
        .await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/people/{id}/observer?saved=yes")).into_response())
}

/// `POST /people/{id}/observer/of-age`: somebody saw a paper that shows a member to be 18.
///
/// # Errors
/// 404 for a member who is not there, 409 where no paper can settle it.
pub async fn put_of_age(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
) -> Result<Redirect, Problem> {
    let seen = Seen::of(&store, &clock, id).await?;
    if !matches!(seen.standing, Standing::Minor { in_between: true, .. }) {
        return Err(Problem::conflict("By the year of birth, no paper can settle that this year.")
            .way("Back", format!("/people/{id}/observer")));
    }
    let mut tx = store.write().await?;
    let (member, today) = (seen.record.id, clock.today());
    guardian::put_adult_proof(&mut tx, member, today, who.account.id).await?;
    note(&mut tx, who.actor(), "proof of age seen", Subject::of("member", id), "").await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/people/{id}/observer?saved=yes")))
}
