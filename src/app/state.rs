//! What every handler can ask for.

use axum::extract::FromRef;

use crate::store::Store;
use crate::web::clock::Clock;
use crate::web::site::Site;

/// The state behind all handlers. A handler takes the part it needs: `State(store): State<Store>`.
#[derive(Clone, Debug, FromRef)]
pub struct AppState {
    /// The database.
    pub store: Store,
    /// The time.
    pub clock: Clock,
    /// Where the service stands.
    pub site: Site,
}
