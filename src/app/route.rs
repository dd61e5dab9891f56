//! One line of the table of addresses, and what becomes of it.

use std::convert::Infallible;

use axum::extract::DefaultBodyLimit;
use axum::handler::Handler;
use axum::http::Method;
use axum::middleware::{from_fn, from_fn_with_state};
use axum::routing::{MethodFilter, MethodRouter, on};
use axum::{Extension, Router};
use utoipa::openapi::OpenApi;
use utoipa_axum::router::UtoipaMethodRouter;

use super::state::AppState;
use crate::people::access::{Access, Gate, check};
use crate::web::body::{BodyLimit, DEFAULT_LIMIT};
use crate::web::request_id::name_route;

/// An address: how it is called, who may call it, how much it takes and who answers.
pub struct Route {
    /// The method.
    pub method: Method,
    /// The path, with `{names}` for its parts.
    pub path: &'static str,
    /// Who may call it.
    pub access: Access,
    /// The largest body it takes, in bytes.
    pub limit: usize,
    handler: MethodRouter<AppState>,
    told: Option<Tell>,
}

/// Tells what the API's own description says of an address. Only asked where somebody reads it: all
/// of them together take ten megabytes while they are made.
pub type Tell = fn() -> UtoipaMethodRouter<AppState>;

/// A handler of the API with what `utoipa::path` made of it.
macro_rules! told {
    ($($handler:tt)+) => {
        ($($handler)+, || utoipa_axum::routes!($($handler)+))
    };
}
pub(super) use told;

/// A page, a file or a sign of life.
pub fn at<H, T>(method: Method, path: &'static str, access: Access, handler: H) -> Route
where
    H: Handler<T, AppState>,
    T: 'static,
{
    let filter = MethodFilter::try_from(method.clone()).unwrap_or(MethodFilter::GET);
    let handler = on(filter, handler);
    Route { method, path, access, limit: DEFAULT_LIMIT, handler, told: None }
}

/// An address of the API, with its description:
/// `api(Method::POST, "/api/v1/…", access, told!(feature::api::handler))`.
pub fn api<H, T>(
    method: Method,
    path: &'static str,
    access: Access,
    (handler, tell): (H, Tell),
) -> Route
where
    H: Handler<T, AppState>,
    T: 'static,
{
    Route { told: Some(tell), ..at(method, path, access, handler) }
}

impl Route {
    /// Lets it take bodies of up to so many bytes.
    #[must_use]
    pub fn up_to(mut self, bytes: usize) -> Self {
        self.limit = bytes;
        self
    }

    /// The (method, path) pairs that its own description speaks of.
    #[must_use]
    pub fn described_as(&self) -> Vec<(String, String)> {
        let operations = |item: &utoipa::openapi::path::PathItem| {
            [
                ("GET", item.get.is_some()),
                ("POST", item.post.is_some()),
                ("PUT", item.put.is_some()),
                ("DELETE", item.delete.is_some()),
                ("PATCH", item.patch.is_some()),
            ]
            .into_iter()
            .filter(|(_, there)| *there)
            .map(|(method, _)| method.to_owned())
            .collect::<Vec<_>>()
        };
        let Some(tell) = self.told else { return Vec::new() };
        let (_, paths, _) = tell();
        let each = paths.paths.iter();
        each.flat_map(|(path, item)| {
            operations(item).into_iter().map(move |method| (method, path.clone()))
        })
        .collect()
    }

    /// Adds it to the router, behind its gate.
    pub(super) fn join(self, router: Router<AppState>, state: &AppState) -> Router<AppState> {
        let gate = Gate::of(self.access, state);
        let handler = self
            .handler
            .layer::<_, Infallible>(DefaultBodyLimit::max(self.limit))
            .layer::<_, Infallible>(Extension(BodyLimit(self.limit)))
            .layer::<_, Infallible>(from_fn_with_state(gate, check))
            .layer::<_, Infallible>(from_fn(name_route));
        router.route(self.path, handler)
    }

    /// Adds its description to the API's document.
    pub(super) fn describe(self, document: &mut OpenApi) {
        let Some(tell) = self.told else { return };
        let (schemas, paths, _) = tell();
        for (path, item) in paths.paths {
            match document.paths.paths.get_mut(&path) {
                Some(there) => there.merge_operations(item),
                None => {
                    document.paths.paths.insert(path, item);
                }
            }
        }
        let components = document.components.get_or_insert_default();
        components.schemas.extend(schemas);
    }
}
