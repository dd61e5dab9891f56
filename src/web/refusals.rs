//! The refusals that many addresses share, as the OpenAPI document tells of them.

use std::collections::BTreeMap;

use utoipa::IntoResponses;
use utoipa::openapi::response::Response;
use utoipa::openapi::{ContentBuilder, Ref, RefOr, ResponseBuilder, ResponsesBuilder};

type Told = BTreeMap<String, RefOr<Response>>;

fn problems(all: &[(&str, &str)]) -> Told {
    let document = Ref::from_schema_name("ProblemDocument");
    let content = ContentBuilder::new().schema(Some(document)).build();
    let told = all.iter().fold(ResponsesBuilder::new(), |told, (status, says)| {
        let one = ResponseBuilder::new().description(*says);
        told.response(*status, one.content("application/problem+json", content.clone()))
    });
    told.build().into()
}

/// 401, which every address may answer with.
#[derive(Clone, Copy, Debug)]
pub struct NoToken;

impl IntoResponses for NoToken {
    fn responses() -> Told {
        problems(&[("401", "No valid access token")])
    }
}

/// What may be wrong with a JSON body of the usual size.
#[derive(Clone, Copy, Debug)]
pub struct Unreadable;

impl IntoResponses for Unreadable {
    fn responses() -> Told {
        problems(&[
            ("400", "Not JSON"),
            ("413", "More than 64 kB"),
            ("415", "Another content type than JSON"),
            ("422", "Values that can't be used, each with its pointer"),
        ])
    }
}

/// What may be wrong with the version that a change is based on.
#[derive(Clone, Copy, Debug)]
pub struct Unversioned;

impl IntoResponses for Unversioned {
    fn responses() -> Told {
        problems(&[("412", "Changed since it was read"), ("428", "No If-Match")])
    }
}
