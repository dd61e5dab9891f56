//! Oneself over HTTP: reading and replacing what one says of one's eyes.

use axum::extract::State;
use axum::http::{HeaderMap, header};
use axum::response::IntoResponse;
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use super::whose::{etag, must_match, own_member};
use crate::eye::Glasses;
use crate::optics::{EyeRelief, PupilDiameter, Sphere};
use crate::people::access::ApiCaller;
use crate::people::profile::{self, Profile, Sharing, Side, Written};
use crate::people::{self, BirthYear, EyeRecord, MemberRecord, PeopleError, WrittenCylinder};
use crate::store::Store;
use crate::web::body::Json;
use crate::web::problem::{Fault, Problem, ProblemDocument};
use crate::web::refusals::NoToken;

/// Oneself: who one is on the club's list, and what one says of one's eyes.
#[derive(Serialize, ToSchema)]
#[schema(as = Me)]
pub struct MeAnswer {
    /// The member's number in the API.
    pub member: i64,
    /// The number on the card.
    pub member_number: String,
    /// The name.
    pub name: String,
    /// The address on the club's list.
    pub email: Option<String>,
    /// The day of joining.
    #[schema(format = "date")]
    pub joined: Option<String>,
    /// What one says of one's eyes.
    pub observer: OwnEyes,
    /// Whether quartermasters may open `observer`.
    pub shared_with_quartermasters: bool,
}

/// What somebody says of their own eyes; whatever is missing or null is not known.
#[derive(Clone, Default, Deserialize, Serialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
#[schema(as = OwnEyes, example = json!({"birth_year": 1971, "glasses": "keeps_on", "looking_eye": "right", "sphere_d": -2.25, "cylinder_d": -1.0}))]
pub struct OwnEyes {
    /// Year of birth.
    #[schema(minimum = 1900, maximum = 2100)]
    pub birth_year: Option<i64>,
    /// `none`, `takes_off` or `keeps_on`.
    #[schema(pattern = "^(none|takes_off|keeps_on)$")]
    pub glasses: Option<String>,
    /// The eye that looks, `right` or `left`.
    #[schema(pattern = "^(right|left)$")]
    pub looking_eye: Option<String>,
    /// Sphere of the eye that looks, dioptres.
    #[schema(minimum = -25, maximum = 25)]
    pub sphere_d: Option<f64>,
    /// Its cylinder, dioptres, of either sign.
    #[schema(minimum = -10, maximum = 10)]
    pub cylinder_d: Option<f64>,
    /// Sphere of the other eye, dioptres.
    #[schema(minimum = -25, maximum = 25)]
    pub other_sphere_d: Option<f64>,
    /// Its cylinder, dioptres, of either sign.
    #[schema(minimum = -10, maximum = 10)]
    pub other_cylinder_d: Option<f64>,
    /// A measured dark-adapted pupil, mm.
    #[schema(minimum = 1, maximum = 10)]
    pub measured_pupil_mm: Option<f64>,
    /// The smallest eye relief one accepts, mm.
    #[schema(minimum = 0, maximum = 60)]
    pub relief_floor_mm: Option<f64>,
}

/// Replaces what one says of one's eyes: what is left out is erased.
#[derive(Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = MeChange)]
pub struct MeChange {
    observer: OwnEyes,
    #[serde(default)]
    shared_with_quartermasters: bool,
}

impl From<&Profile> for OwnEyes {
    fn from(profile: &Profile) -> Self {
        let eyes = &profile.eyes;
        Self {
            birth_year: eyes.birth_year.map(|year| i64::from(year.year())),
            glasses: eyes.glasses.map(|glasses| glasses.as_str().into()),
            looking_eye: profile.looking.map(|side| side.as_str().into()),
            sphere_d: eyes.sphere.map(Sphere::dioptres),
            cylinder_d: eyes.cylinder.map(WrittenCylinder::dioptres),
            other_sphere_d: profile.other.sphere.map(Sphere::dioptres),
            other_cylinder_d: profile.other.cylinder.map(WrittenCylinder::dioptres),
            measured_pupil_mm: eyes.measured_pupil.map(PupilDiameter::mm),
            relief_floor_mm: eyes.relief_floor.map(EyeRelief::mm),
        }
    }
}

/// Collects every fault of a body before any of it is used.
struct Checker(Vec<Fault>);

impl Checker {
    fn take<V, T, E: std::fmt::Display>(
        &mut self,
        field: &str,
        value: Option<V>,
        make: impl FnOnce(V) -> Result<T, E>,
    ) -> Option<T> {
        value.and_then(|value| {
            make(value)
                .map_err(|why| {
                    self.0.push(Fault::at(format!("/observer/{field}"), why.to_string()));
                })
                .ok()
        })
    }
}

impl MeChange {
    fn check(self) -> Result<Profile, Problem> {
        let mut checker = Checker(Vec::new());
        let said = self.observer;
        let eyes = EyeRecord {
            birth_year: checker.take("birth_year", said.birth_year, BirthYear::new),
            glasses: checker.take("glasses", said.glasses, |word| {
                Glasses::parse(&word).ok_or("Use `none`, `takes_off` or `keeps_on`.")
            }),
            sphere: checker.take("sphere_d", said.sphere_d, Sphere::new),
            cylinder: checker.take("cylinder_d", said.cylinder_d, WrittenCylinder::new),
            measured_pupil: checker.take(
                "measured_pupil_mm",
                said.measured_pupil_mm,
                PupilDiameter::new,
            ),
            relief_floor: checker.take("relief_floor_mm", said.relief_floor_mm, EyeRelief::new),
        };
        let looking = checker.take("looking_eye", said.looking_eye, |word| {
            Side::parse(&word).ok_or("Use `right` or `left`.")
        });
        let other = Written {
            sphere: checker.take("other_sphere_d", said.other_sphere_d, Sphere::new),
            cylinder: checker.take("other_cylinder_d", said.other_cylinder_d, WrittenCylinder::new),
        };
        let sharing =
            if self.shared_with_quartermasters { Sharing::Quartermasters } else { Sharing::Nobody };
        match checker.0 {
            faults if faults.is_empty() => Ok(Profile { eyes, looking, other, sharing }),
            faults => Err(Problem::out_of_range(faults)),
        }
    }
}

fn answer(record: &MemberRecord, profile: &Profile, version: i64) -> impl IntoResponse + use<> {
    let facts = &record.facts;
    let me = MeAnswer {
        member: record.id.0,
        member_number: facts.number.to_string(),
        name: facts.name.to_string(),
        email: facts.email.as_ref().map(ToString::to_string),
        joined: facts.joined.map(|day| day.to_string()),
        observer: profile.into(),
        shared_with_quartermasters: profile.sharing == Sharing::Quartermasters,
    };
    let tag = etag(&[record.version, version]);
    ([(header::ETAG, tag), (header::CACHE_CONTROL, "no-store".into())], Json(me))
}

/// Who the token's owner is on the club's list, and what they say of their eyes.
///
/// # Errors
/// 404 for an account of nobody on the list.
#[utoipa::path(
    get,
    path = "/api/v1/me",
    tag = "about oneself",
    responses(
        (status = 200, description = "Oneself; the `ETag` header names the version", body = MeAnswer, content_type = "application/json"),
        (status = 404, description = "The account belongs to nobody on the list of members", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken,
    )
)]
pub async fn me(
    State(store): State<Store>,
    caller: ApiCaller,
) -> Result<impl IntoResponse, Problem> {
    let member = own_member(&caller.account)?;
    let mut conn = store.reader().acquire().await?;
    let record = people::member(&mut conn, member).await?.ok_or(PeopleError::NotThere)?;
    let (profile, version) = profile::profile(&mut conn, member).await?;
    Ok(answer(&record, &profile, version))
}

/// Replaces what the token's owner says of their eyes. Whatever is left out is erased. Send the
/// `ETag` that was read as `If-Match`.
///
/// # Errors
/// 412 when it was changed meanwhile, 422 with a pointer for every field that can't be used, 428
/// without `If-Match`.
#[utoipa::path(
    put,
    path = "/api/v1/me",
    tag = "about oneself",
    params(("If-Match" = String, Header, description = "The `ETag` that was read")),
    request_body(content = MeChange, content_type = "application/json", description = "What one says of one's eyes"),
    responses(
        (status = 200, description = "As it is now, with its new `ETag`", body = MeAnswer, content_type = "application/json"),
        (status = 400, description = "Not JSON", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 403, description = "A token that may only read", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 404, description = "The account belongs to nobody on the list of members", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 412, description = "Changed meanwhile", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 413, description = "More than 64 kB", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 415, description = "Another content type than JSON", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 422, description = "Fields that can't be used, each with its pointer", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 428, description = "No `If-Match`", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken,
    )
)]
pub async fn put_me(
    State(store): State<Store>,
    caller: ApiCaller,
    headers: HeaderMap,
    Json(change): Json<MeChange>,
) -> Result<impl IntoResponse, Problem> {
    let member = own_member(&caller.account)?;
    let wanted = change.check()?;
    let mut tx = store.write().await?;
    let record = people::member(&mut tx, member).await?.ok_or(PeopleError::NotThere)?;
    let (_, version) = profile::profile(&mut tx, member).await?;
    must_match(&headers, &etag(&[record.version, version]))?;
    let version = profile::replace_profile(&mut tx, member, version, &wanted).await?;
    tx.commit().await?;
    Ok(answer(&record, &wanted, version))
}
